"""The day by the clock: nothing too early, wood that adds up, readings that are the run's."""

import io
import re
from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

import ovenkit as ok
from ovenkit.files import InputError
from ovenkit.loads import load_catalogue
from ovenkit.plan.agenda import KINDS, SOAK_H, VERBS, agenda, wood_in_parts
from ovenkit.plan.cautions import cautions
from ovenkit.plan.doughs import dough_clock, load_doughs
from ovenkit.plan.remarks import minute_of
from ovenkit.plan.report import of_ten, plan_csv, plan_text
from ovenkit.traits import SPREADS
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


def test_at_one_minute_out_comes_before_reading_and_reading_before_what_follows():
    plan = ok.plan_day(ok.read_oven("rowan"), {"flatbread": 4, "hearth loaf": 5},
                       fire=ok.Fire(hours=2.5, wood_kg=13))
    table = plan.table
    minutes = [minute_of(plan, hours) for hours in table["hours"]]
    assert minutes == sorted(minutes)
    reads = table.index[table["verb"] == "read"]
    assert len(reads) == len(plan.order)
    for k, (i, row) in enumerate(zip(reads, plan.order.itertuples(), strict=True)):
        after = table[i + 1:]
        following = after[after["verb"].isin(("wait", "in"))].iloc[0]
        assert following["verb"] == ("wait" if row.wait_min else "in")
        assert following["clock"] == table["clock"][i]
        before = table[:i]
        assert (before["verb"] == "out").sum() == (before["verb"] == "in").sum() == k
    assert set(plan.order["wait_min"] > 0) == {True, False}


def test_what_an_action_is_stands_beside_its_words(plan):
    table = plan.table
    assert (table["kind"] == table["verb"].map(VERBS)).all()
    assert all(note.startswith(brief) for note, brief in zip(
        table["note"], table["brief"], strict=True))
    written = pd.read_csv(io.StringIO(plan_csv(plan)), keep_default_na=False)
    assert list(written) == ["clock", "hours", "what", "note", "kind"]
    assert written["note"].tolist() == table["note"].tolist()


def test_wood_put_on_adds_up(plan):
    fed = plan.table[plan.table["verb"].isin(("light", "stoke"))]["what"]
    put_on = [float(re.search(r"with ([\d.]+) kg|on ([\d.]+) kg", what)[0].split()[1])
              for what in fed]
    assert len(put_on) > 2 and sum(put_on) == pytest.approx(plan.wood_kg, abs=1e-9)
    rake = plan.table[plan.table["verb"] == "rake"]["hours"].iloc[0]
    assert rake == plan.steps[0].hours < plan.order["set_h"].iloc[0]


@pytest.mark.parametrize("wood_kg, times", [(9.0, 4), (10.0, 3), (11.0, 5), (7.35, 4), (0.5, 1)])
def test_wood_in_parts_sums_to_the_whole(wood_kg, times):
    parts = wood_in_parts(wood_kg, times)
    assert sum(parts) == pytest.approx(wood_kg, abs=1e-9)
    assert max(parts) - min(parts) < 0.051 and len(parts) == times
    assert wood_in_parts(9.0, 4) == pytest.approx([2.25] * 4)


def test_expected_readings_are_those_of_the_run(plan):
    row = plan.order.iloc[0]
    check = plan.table[plan.table["what"] == f"Read the oven before the {row['load']}"].iloc[0]
    hearth = plan.run.reading("hearth spot", check["hours"])
    assert f"hearth {hearth:.0f}," in check["note"] and "loaves left" in check["note"]


def test_a_load_in_says_the_reading_and_what_is_under_it(plan):
    table = plan.table
    for row in plan.order.itertuples():
        note = table[(table["verb"] == "in") & (table["hours"] == row.set_h)]["note"].iloc[0]
        reads = plan.run.reading("hearth spot", row.set_h)
        assert f"the hearth reads {reads:.0f} \u00b0C, {row.hearth_c:.0f} under the load" in note
        assert reads > row.hearth_c + 2         # a reader sees the hotter dome in the hearth too
    text = plan_text(plan)
    first = plan.order.iloc[0]
    assert f", {first['hearth_c']:.0f} under the load ({first['hearth_low_c']:.0f} to" in text


def test_a_load_of_another_name_is_turned_and_has_its_core():
    rye = replace(load_catalogue()["hearth loaf"], name="rye")
    plan = ok.plan_day(ok.read_oven("rowan"), [ok.Want(rye, 4)], fire=ok.Fire(hours=2, wood_kg=10))
    table = plan.table
    assert (table["what"] == "Turn the rye").sum() == 1
    assert table[table["what"] == "Out: rye"]["note"].iloc[0] == f"core {rye.core_c:.0f} \u00b0C"
    assert "about" in table[table["verb"] == "in"]["note"].iloc[0]


@pytest.mark.parametrize("first_load", ["08:00", "12:30", "16:00", "19:00"])
def test_beans_are_put_to_soak_the_evening_before(first_load):
    plan = ok.plan_day(ok.read_oven("rowan"), {"bean pot": 1}, first_load,
                       fire=ok.Fire(hours=2, wood_kg=5))
    table = plan.table.set_index("verb")
    soaked = table.loc["boil", "hours"] - table.loc["soak", "hours"]
    assert SOAK_H[0] - 1e-9 <= soaked <= SOAK_H[1] + 1e-9
    assert "(the day before)" in table.loc["soak", "what"]
    assert "18:00" <= table.loc["soak", "clock"] <= "21:00"


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
    assert cool["buffer"].sum() == 1 and warm["buffer"].dtype == bool
    with pytest.raises(InputError, match="no kitchen 'wram'; did you mean 'warm'"):
        dough_clock(plan, "wram")


def test_every_load_has_something_made_for_it():
    assert set(load_doughs()) == set(load_catalogue())


def test_the_cautions_are_those_of_the_day(plan):
    said = " ".join(cautions(plan))
    assert "carbon monoxide" in said and "boil hard" in said and "63 \u00b0C" in said
    assert "Local codes" in said
    bread = ok.plan_day(ok.read_oven("rowan"), {"hearth loaf": 4},
                        fire=ok.Fire(hours=2, wood_kg=10))
    assert "boil hard" not in " ".join(cautions(bread))


def test_notes_speak_the_scale_asked_for(plan):
    table = agenda(plan, scale=US)
    words = " ".join([*table["what"], *table["note"]])
    assert "°F" in words and "lb" in words and "°C" not in words and "kg" not in words


@pytest.mark.parametrize("first_load", ["04:00", "10:30", "22:30"])
def test_what_is_not_on_the_day_of_the_fire_says_so(first_load):
    plan = ok.plan_day(ok.read_oven("rowan"), {"hearth loaf": 4, "bean pot": 1}, first_load,
                       fire=ok.Fire(hours=2.25, wood_kg=10))
    lit = int(plan.light_at[:2]) + int(plan.light_at[3:]) / 60
    for row in agenda(plan).itertuples():
        day = (lit + row.hours) // 24
        assert ("(the day before)" in row.what) == (day < 0)
        assert ("(the next day)" in row.what) == (day == 1)
        assert ("(two days on)" in row.what) == (day == 2)


def test_batches_of_a_load_are_numbered():
    plan = ok.plan_day(ok.read_oven("rowan"), {"hearth loaf": 10, "bean pot": 1},
                       fire=ok.Fire(hours=2.25, wood_kg=11))
    which = dough_clock(plan)[["load", "which"]].to_numpy().tolist()
    assert which == [["hearth loaf", "1 of 2"], ["hearth loaf", "2 of 2"], ["bean pot", ""]]
    assert plan.table["what"].str.startswith("Shape hearth loaf (2 of 2)").sum() == 1


def test_what_would_help_is_said_before_what_is_wrong(plan):
    lost = replace(plan, helps=("Make 2 of hearth loaf, not 5.",),
                   order=plan.order.assign(late=[True, *[False] * (len(plan.order) - 1)]))
    lines = plan_text(lost).splitlines()
    at = lines.index("NOT QUITE AS WANTED")        # nothing is spoilt
    assert lines[at + 1].startswith("Make 2") and "later than wanted" in lines[at + 2]


def test_an_oven_known_by_tape_is_said_to_be_so_before_the_order(plan):
    by_tape = plan_text(plan, fitted=np.diag(SPREADS**2))
    assert by_tape.index("not yet known") < by_tape.index("THE ORDER")
    known = plan_text(plan)
    assert "not yet known" not in known and "1 days" not in known + by_tape
    assert re.search(r"in its bands (\d days? of 10|seldom|nearly always), good", known)


@pytest.mark.parametrize("share, words, days", [
    (0.04, "seldom", "seldom"), (0.1, "1 of 10", "1 day of 10"), (0.32, "3 of 10", "3 days of 10"),
    (0.96, "nearly always", "nearly always")])
def test_a_chance_in_words(share, words, days):
    assert (of_ten(share), of_ten(share, days=True)) == (words, days)
