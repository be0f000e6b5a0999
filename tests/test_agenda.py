"""The day by the clock: nothing too early, wood that adds up, readings that are the run's."""

import re

import pytest

import ovenkit as ok
from ovenkit.files import InputError
from ovenkit.loads import load_catalogue
from ovenkit.plan.agenda import KINDS, agenda, cautions
from ovenkit.plan.doughs import dough_clock, load_doughs
from ovenkit.units import US


@pytest.fixture(scope="module")
def plan():
    return ok.plan_day(ok.read_oven("rowan"), {"hearth loaf": 5, "tin loaf": 4, "tray of roots": 1,
                                               "bean pot": 1})


def test_in_and_out_are_those_of_the_plan(plan):
    table = plan.table
    for row in plan.order.itertuples():
        into = table[table["what"] == f"In: {row.count} x {row.load}"].iloc[0]
        assert into["hours"] == row.set_h and into["clock"] == plan.at(row.set_h)
        assert table.loc[table["what"] == f"Out: {row.load}", "hours"].iloc[0] == row.out_h
    assert set(table["kind"]) == set(KINDS) and table["hours"].round(4).is_monotonic_increasing


def test_wood_put_on_adds_up(plan):
    put_on = [float(re.search(r"Put on ([\d.]+) kg", what)[1]) for what in plan.table["what"]
              if what.startswith("Put on")]
    assert sum(put_on) == pytest.approx(plan.wood_kg, abs=0.06 * len(put_on))
    rake = plan.table[plan.table["what"].str.startswith("Rake out")]["hours"].iloc[0]
    assert rake == plan.steps[0].hours < plan.order["set_h"].iloc[0]


def test_expected_readings_are_those_of_the_run(plan):
    row = plan.order.iloc[0]
    check = plan.table[plan.table["what"] == f"Read the oven before the {row['load']}"].iloc[0]
    hearth = plan.run.reading("hearth spot", check["hours"])
    assert f"hearth {hearth:.0f}," in check["note"] and "loaves left" in check["note"]


def test_no_hand_is_held_into_an_oven_over_280(plan):
    for row in plan.table[plan.table["kind"] == "check"].itertuples():
        hot = plan.run.reading("dome back spot", row.hours) >= 280
        assert ("no hand" in row.note) == hot


def test_doughs_are_counted_back(plan):
    warm, cool = dough_clock(plan, "warm"), dough_clock(plan, "cool")
    loaf = warm[warm["load"] == "hearth loaf"].iloc[0]
    dough = load_doughs()["hearth loaf"]
    total = sum(dough.minutes("warm")) / 60
    assert loaf["ready_h"] - loaf["mix_h"] == pytest.approx(total)
    assert cool.loc[cool["load"] == "hearth loaf", "mix_h"].iloc[0] < loaf["mix_h"]
    assert warm.loc[warm["buffer"], "load"].tolist() == ["tin loaf"]     # not the first one
    assert cool["buffer"].sum() == 1
    with pytest.raises(InputError, match="no kitchen 'wram'; did you mean 'warm'"):
        dough_clock(plan, "wram")


def test_every_load_has_something_made_for_it():
    assert set(load_doughs()) == set(load_catalogue())


def test_the_cautions_are_those_of_the_day(plan):
    said = " ".join(cautions(plan))
    assert "carbon monoxide" in said and "boil hard" in said and "63 \u00b0C" in said
    assert "Local codes" in said
    bread = ok.plan_day(ok.read_oven("rowan"), {"hearth loaf": 4}, fire=ok.Fire(hours=2, wood_kg=10))
    assert "boil hard" not in " ".join(cautions(bread))


def test_notes_speak_the_scale_asked_for(plan):
    notes = " ".join(agenda(plan, scale=US)["note"])
    assert "°F" in notes and "lb" in notes and "°C" not in notes


@pytest.mark.parametrize("first_load", ["04:00", "10:30", "22:30"])
def test_what_is_not_on_the_day_of_the_fire_says_so(first_load):
    plan = ok.plan_day(ok.read_oven("rowan"), {"hearth loaf": 4, "bean pot": 1}, first_load,
                       fire=ok.Fire(hours=2.25, wood_kg=10))
    lit = int(plan.light_at[:2]) + int(plan.light_at[3:]) / 60
    for row in agenda(plan).itertuples():
        day = (lit + row.hours) // 24
        assert ("(the day before)" in row.what) == (day < 0)
        assert ("(the next day)" in row.what) == (day >= 1)
