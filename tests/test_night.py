"""What stays in overnight, who is needed when, and a plan that runs on into the next day."""

from dataclasses import replace

import numpy as np
import pytest

import ovenkit as ok
from ovenkit.files import InputError
from ovenkit.plan import hands
from ovenkit.plan.agenda import agenda
from ovenkit.plan.correct import correct
from ovenkit.plan.hands import RAKING_MIN, by_night_mixed, clashes
from ovenkit.plan.remarks import asides
from ovenkit.plan.table import checks, correction_table
from ovenkit.plan.wants import NIGHT_K, Want

ROWAN = ok.read_oven("rowan")
WANTS = [Want("hearth loaf", 5), Want("tray of roots", 1), Want("bean pot", 1, overnight=True)]


@pytest.fixture(scope="module")
def plan():
    return ok.plan_day(ROWAN, WANTS, first_load="10:30")


def test_the_pot_goes_in_last_and_comes_out_in_the_morning(plan):
    pot = plan.order.iloc[-1]
    assert pot["load"] == "bean pot" and plan.at(pot["out_h"]) == "07:00"
    assert pot["out_h"] - plan.order["set_h"].iloc[0] == pytest.approx(20.5)
    assert plan.good and 12 < pot["set_h"] - plan.order["set_h"].iloc[0] + 10.5 < 22
    later = ok.plan_day(ROWAN, [*WANTS[:2], Want("bean pot", 1, overnight=True,
                                                 out_by="06:00 next day")])
    assert later.at(later.order["out_h"].iloc[-1]) == "06:00"


def test_a_pot_with_all_night_may_go_into_a_hotter_oven(plan):
    """It falls meanwhile (common practice, no source), and does not boil dry."""
    bands = ok.load_catalogue()["bean pot"]
    assert plan.order["feels_high_c"].iloc[-1] == bands.feels_high_c + NIGHT_K
    assert plan.run.baked[-1].loss_pct < 60 * bands.water
    assert plan.run.baked[-1].core_out_c > 63       # the figure of food codes, from memory


def test_the_night_is_nobodys(plan):
    noon = agenda(ok.plan_day(ROWAN, {"bean pot": 1}, "12:00", fire=ok.Fire(hours=2, wood_kg=5)))
    soak = noon[noon["what"].str.startswith("Soak")].iloc[0]
    assert soak["clock"] == "21:00" and "the day before" in soak["what"]
    table = agenda(plan)
    key = table[table["what"].str.contains("who has the key")].iloc[0]
    assert key["hours"] < plan.order["set_h"].iloc[-1] + 0.5
    assert table["what"].iloc[-1].startswith("Read the hearth")
    late = ok.plan_day(ROWAN, {"tray of roots": 1, "bean pot": 1}, first_load="18:00",
                       fire=ok.Fire(hours=2.25, wood_kg=10))
    assert any("overnight = true" in text for text in asides(late))
    assert not any("in the night" in text for text in asides(plan))


@pytest.mark.parametrize("fields, message", [
    ({"load": "hearth loaf"}, "a night is longer"), ({"load": "braise pot"}, "a night is longer"),
    ({"load": "bean pot", "minutes": 300}, "leave one of the two out"),
    ({"load": "bean pot", "out_by": "20:00"}, "of the same day"),
    ({"load": "bean pot", "overnight": "yes"}, "write overnight = true"),
    ({"load": "bean pot", "out_by": "23:00 next day"}, "a time of the morning"),
    ({"load": "bean pot", "minutes": 800}, "thrown away")])
def test_what_cannot_be_in_overnight(fields, message):
    with pytest.raises(InputError, match=message):
        Want(count=1, **{"overnight": "minutes" not in fields or fields["minutes"] < 700} | fields)


def test_a_pot_alone_goes_in_when_it_is_said_and_not_for_too_long():
    fire = ok.Fire(hours=1.5, wood_kg=6)
    alone = ok.plan_day(ROWAN, [Want("bean pot", 1, overnight=True)], "20:00", fire=fire)
    assert alone.order["minutes"].tolist() == [660] and alone.light_at < "20:00"
    assert alone.at(alone.order["out_h"].iloc[0]) == "07:00"
    with pytest.raises(InputError, match="set first_load to 19:00"):
        ok.plan_day(ROWAN, [Want("bean pot", 1, overnight=True)], "18:00", fire=fire)


def test_only_one_batch_is_in_overnight():
    with pytest.raises(InputError, match="only one batch can be"):
        ok.plan_day(ROWAN, [*WANTS, Want("apple rings", 1, overnight=True)])


def test_hands_are_counted_where_the_oven_cannot_wait(plan):
    """Each clash named is one: some dough's work and some work at the oven are at that time."""
    said = clashes(plan)
    rake = plan.steps[0].hours
    doughs = agenda(plan)
    shaped = doughs[doughs["what"].str.startswith("Shape hearth loaf")]["hours"].iloc[0]
    proved = doughs[doughs["what"].str.startswith("Prove hearth loaf")]["hours"].iloc[0]
    raked = [text for text in said if "rake out while somebody shapes 5 x hearth loaf" in text]
    assert bool(raked) == (shaped < rake + RAKING_MIN / 60 and rake < proved)
    assert not clashes(ok.plan_day(ROWAN, {"bean pot": 1}, fire=ok.Fire(hours=2, wood_kg=6)))
    busy = clashes(ok.plan_day(ROWAN, {"hearth loaf": 5, "tin loaf": 4, "enriched bun": 12}))
    assert busy and all(" while somebody " in text for text in busy)
    words = {"two": 2, "three": 3, "four": 4}
    for text in busy:       # the oven wants a pair, and at most one each dough that is named
        pairs = words[text.split(", ")[1].split(" pairs")[0]]
        assert 2 <= pairs <= 2 + text.count(" and another ")


def test_two_doughs_at_once_while_the_oven_cannot_wait_are_three_pairs(monkeypatch):
    plan = ok.plan_day(ROWAN, {"hearth loaf": 4}, fire=ok.Fire(hours=2.5, wood_kg=11))
    monkeypatch.setattr(hands, "_oven", lambda plan: [(2.0, 2.2, 2.2, "it comes out")])
    for works, pairs in (([(1.9, 2.1), (2.05, 2.3)], "three"), ([(1.9, 2.05), (2.1, 2.3)], "two")):
        monkeypatch.setattr(hands, "_doughs", lambda plan, kitchen, works=works: [
            (*one, "shapes") for one in works])
        said, = clashes(plan)
        assert said == (f"{plan.at(2.2)}, {pairs} pairs: it comes out while somebody shapes and "
                        "another shapes")


def test_a_fire_in_the_night_and_poultry_overnight_are_not_passed_over():
    early = ok.plan_day(ROWAN, {"hearth loaf": 4}, "05:00", fire=ok.Fire(hours=2.5, wood_kg=11))
    assert any(text.startswith(f"The fire is lit at {early.light_at}") for text in early.notes)
    bird = replace(ok.load_catalogue()["custard tart"], name="roast chicken", max_minutes=720)
    with pytest.raises(InputError, match="poultry"):
        ok.plan_day(ROWAN, [Want(bird, 1, overnight=True)])


def test_a_reading_on_the_next_day_is_of_that_day():
    heavy = ok.read_oven("hornbeam")
    long = ok.plan_day(heavy, [Want("hearth loaf", 4),
                               Want("bean pot", 1, ready_at="18:00 next day")], "17:00",
                       ok.Fire(hours=4, wood_kg=30))
    hours = float(long.order["set_h"].iloc[0]) + 23.5       # 16:30 on the next day
    read = {"hearth spot": long.run.reading("hearth spot", hours)}
    first = correct(long, "16:30", {"hearth spot": long.run.reading("hearth spot", hours - 24)})
    assert first.hours < 6 and len(first.order) == 2
    same = correct(long, "16:30 next day", read)
    assert abs(same.off_c) < 2 and "as planned" in same.sentence


def test_a_degree_off_changes_nothing():
    day = ok.plan_day(ROWAN, {"flatbread": 2, "hearth loaf": 4, "tin loaf": 3, "bean pot": 1},
                      fire=ok.Fire(hours=2.5, wood_kg=13))
    for hours, k in checks(day)[1:]:
        read = day.run.reading("hearth spot", hours) - 1
        same = correct(day, day.at(hours), {"hearth spot": read})
        assert "go on as written" in same.sentence
        assert same.order["minutes"].tolist() == day.order["minutes"].iloc[k:].tolist()


def test_a_reading_in_fahrenheit_is_taken_for_one(plan):
    hours = checks(plan)[1][0]
    in_f = plan.run.reading("hearth spot", hours) * 1.8 + 32
    wild = correct(plan, plan.at(hours), {"hearth spot": in_f})
    assert "readings are in \u00b0C" in wild.notes[0] and np.isfinite(wild.off_c)


def test_the_table_says_what_a_wait_costs_those_who_must_be_out(plan):
    """Late by the clock, if all goes on as written after what the words say."""
    day = ok.plan_day(ROWAN, [Want("hearth loaf", 5), Want("tin loaf", 4, out_by="13:30")],
                      fire=ok.Fire(hours=2.25, wood_kg=11))
    hours, k = checks(day)[0]
    assert day.order["load"].tolist() == ["hearth loaf", "tin loaf"] and not day.cost.spoilt
    hot = correction_table(day, check=0, offs_c=(0, 60)).iloc[1]
    second = day.order.iloc[1]
    out_h = hours + (hot["wait_min"] + hot["minutes"] + second["wait_min"] + second["minutes"]) / 60
    assert hot["batch"] == 0 and ("late" in hot["later"]) == (day.at(out_h) > "13:30")
    assert "late" not in hot["later"] or hot["later"].endswith(f"late, {day.at(out_h)}")
    last = correction_table(plan, check=len(checks(plan)) - 1)
    assert (last["words"].str.split().str.len() <= 6).all()
    assert last["words"].iloc[-1].endswith(("then in overnight", "keep it boiling"))


def test_a_dough_mixed_by_night_is_sent_to_the_fridge_by_the_kitchens_own_clock():
    """A cool kitchen proves slower, so it is mixed sooner (common practice, no source)."""
    early = ok.plan_day(ROWAN, {"hearth loaf": 5}, "09:00", ok.Fire(hours=2, wood_kg=9))
    for kitchen in ("warm", "cool"):
        mixed = agenda(early, kitchen).set_index("verb").loc["mix", "clock"]
        assert by_night_mixed(early, kitchen)[0].startswith(f"The hearth loaf is mixed at {mixed}")
    assert not by_night_mixed(ok.plan_day(ROWAN, {"hearth loaf": 5}, "14:00",
                                          ok.Fire(hours=2, wood_kg=9)))
