"""The planner: the same best order as brute force, promises that hold, corrections that help."""

from dataclasses import replace

import numpy as np
import plan_trials
import pytest

import ovenkit as ok
from ovenkit.files import InputError
from ovenkit.inverse import usual_fire
from ovenkit.plan.chances import chances
from ovenkit.plan.remarks import asides, comes_out, misses
from ovenkit.plan.rule import (
    EASY_K,
    GRID_MIN,
    ON_THE_DAY,
    PLANNED,
    SLACK_K,
    Node,
    Task,
    astray,
    root,
)
from ovenkit.plan.search import search
from ovenkit.plan.tries import cooling, expand
from ovenkit.plan.wants import Want, as_wants, batches
from ovenkit.traits import SPREADS

ROWAN = ok.read_oven("rowan")
FIRE = ok.Fire(hours=2.25, wood_kg=11)
CLASS = {"hearth loaf": 5, "tin loaf": 5, "enriched bun": 20, "tray of roots": 2}


@pytest.fixture(scope="module")
def plan():
    return ok.plan_day(ROWAN, CLASS, first_load="10:30")


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_small_menus_against_all_orders_by_hand(seed):
    menu = plan_trials.random_menu(np.random.default_rng(seed), 3)
    plan = ok.plan_day(ROWAN, menu, fire=FIRE)
    cost, names = plan_trials.by_hand(ROWAN, menu, [FIRE, ok.Settle(minutes=20)])
    assert plan.exact
    assert plan.order["load"].tolist() == names
    assert plan.cost[:3] == cost


def tree(menu):
    """(Task, root) of a menu in Rowan after the usual fire."""
    todo, fire = batches(ROWAN, as_wants(menu)), (ok.Fire(hours=2.5, wood_kg=12),
                                                  ok.Settle(minutes=20))
    return Task(ROWAN, todo, 12, PLANNED), root(
        range(len(todo)), ok.run_day(ROWAN, fire).state(), fire=fire)


def whole_tree(task, start):
    """The best leaf of the whole tree, every node opened, none bounded."""
    level = [start]
    while level[0].left:
        found = []
        for part in (level[i:i + 400] for i in range(0, len(level), 400)):
            children = expand(task, list(zip(part, cooling(task, part), strict=True)))
            found += [child for mine in children for child in mine]
        level = found
    return min(level, key=Node.key)


@pytest.mark.slow
@pytest.mark.parametrize("menu", [
    {"flatbread": 3, "hearth loaf": 5, "tin loaf": 5, "enriched bun": 20, "tray of roots": 2,
     "fruit cake": 2},
    {"roll": 12, "hearth loaf": 5, "seeded roll": 12, "hearth loaf 400 g": 6, "tin loaf": 5,
     "sponge cake": 2}])
def test_the_search_finds_the_best_leaf_of_the_whole_tree(menu):
    task, start = tree(menu)
    found, best = search(task, [start]), whole_tree(task, start)
    assert found.exact and found.node.order == best.order and found.node.cost == best.cost


@pytest.mark.parametrize("wants, rule, planned", [
    ([Want("hearth loaf", 5), Want("tin loaf", 5, out_by="12:15"), Want("tray of roots", 2)],
     PLANNED, None),
    ([Want("roll", 12, out_by="13:30"), Want("sponge cake", 2), Want("tin loaf", 4)],
     PLANNED, None),
    ([Want("hearth loaf", 5), Want("enriched bun", 12, out_by="12:00"), Want("tin loaf", 4)],
     ON_THE_DAY, "enriched bun"),
    ([Want("tin loaf", 5), Want("sponge cake", 2), Want("roll", 12)], ON_THE_DAY, "sponge cake"),
])
def test_the_bound_holds_in_a_hurry_and_on_the_day(wants, rule, planned):
    _, start = tree({"tin loaf": 1})
    todo = batches(ROWAN, as_wants(wants), "10:30")
    task = Task(ROWAN, todo, 12, rule, planned=planned)
    start = root(range(len(todo)), start.state, 0.0, start.fire)
    found, best = search(task, [start]), whole_tree(task, start)
    assert found.exact and found.node.key() == best.key()


def leaves_no_worse(task, start, cost):
    """Leaves of the tree that cost no more than `cost`, every order tried that does not cost more
    already; no bound on what is still to come. A plan never becomes cheaper by going on."""
    level = [start]
    while level and level[0].left:
        found = []
        for part in (level[i:i + 400] for i in range(0, len(level), 400)):
            children = expand(task, list(zip(part, cooling(task, part), strict=True)))
            found += [child for mine in children for child in mine if child.cost <= cost]
        level = found
    return level


@pytest.mark.slow
@pytest.mark.parametrize("seed", [2, 5, 11])
def test_no_order_of_seven_loads_is_better(seed):
    task, start = tree(plan_trials.random_menu(np.random.default_rng(seed), 7))
    assert len(task.batches) >= 7
    found = search(task, [start])
    leaves = leaves_no_worse(task, start, found.node.cost)
    assert found.exact and min(leaves, key=Node.key).order == found.node.order


def test_fire_free_is_no_worse_than_any_fire_given():
    menu = {"hearth loaf": 5, "tray of roots": 2}
    free = ok.plan_day(ROWAN, menu)
    for wood in (8, 10, 12, 14):
        given = ok.plan_day(ROWAN, menu, fire=usual_fire(ROWAN, wood))
        assert free.cost <= given.cost


def test_a_plan_is_whole(plan):
    assert plan.good and plan.exact
    assert plan.wood_kg == plan.steps[0].wood_kg
    first = plan.order["set_h"].iloc[0]
    assert plan.at(first) == plan.first_load == "10:30"
    waits = [step for step in plan.steps if isinstance(step, ok.Wait)]
    assert all(step.minutes % GRID_MIN == 0 for step in waits)
    assert sum(step.minutes for step in waits) == plan.cost.waiting_min
    assert plan.order["verdict"].eq("good").all() and (
        plan.order["margin_k"] >= -SLACK_K).all()
    assert any("tightest" in note for note in plan.notes)


def test_wood_heat_in_food_is_what_the_trade_measures(plan):
    """Of the wood's heat 1 to 15 % ends in one day's loads from a cold oven (measured on wood-fired
    bakery ovens: references of the field give 12 to 31 % for ovens filled again and again)."""
    energy = plan.run.energy
    assert 0.01 < (energy.food + energy.steam) / energy.wood < 0.15


def test_a_batch_is_cut_as_the_hearth_allows():
    sizes = [b.count for b in batches(ROWAN, as_wants({"hearth loaf": 14}))]
    assert sum(sizes) == 14 and max(sizes) - min(sizes) <= 1 and len(sizes) >= 2


def test_people_and_portions():
    assert Want("hearth loaf", people=12, portion_g=150).count == 3


@pytest.mark.parametrize("ready", ["13:00", "20:00", "01:30 next day"])
def test_ready_at_is_kept_however_late(ready):
    late = ok.plan_day(ROWAN, [Want("hearth loaf", 5), Want("bean pot", 1, ready_at=ready)],
                       fire=FIRE)
    row = late.order[late.order["load"] == "bean pot"].iloc[0]
    hours = row["set_h"] - late.order["set_h"].iloc[0] + 10.5
    assert hours >= int(ready[:2]) + int(ready[3:5]) / 60 + (24 if "next" in ready else 0) - 1e-6
    assert any(f"before {ready}, as asked" in text for text in asides(late))


def test_times_are_of_the_day_of_the_first_load_unless_said():
    for out_by in ("04:00", "10:00"):
        with pytest.raises(InputError, match=f"out_by {out_by} is before the first load"):
            ok.plan_day(ROWAN, [Want("hearth loaf", 5), Want("bean pot", 1, out_by=out_by)])
    night = ok.plan_day(ROWAN, [Want("hearth loaf", 5),
                                Want("bean pot", 1, minutes=420, out_by="08:00 next day")])
    assert not night.cost.spoilt
    early = ok.plan_day(ROWAN, [Want("hearth loaf", 5), Want("tray of roots", 1, ready_at="09:00")],
                        first_load="16:00", fire=FIRE)
    assert early.cost.waiting_min < 180


def test_nobody_waits_for_hours_for_the_last_degrees_of_a_band():
    """A sponge that would be four degrees over its band goes in, and not nearly three hours later
    (common practice, no source)."""
    small = ok.domed_oven(70, 220)
    plan = ok.plan_day(small, [("hearth loaf 400 g", 4), ("sponge cake", 1)], "17:00")
    cake = plan.order.iloc[-1]
    assert cake["load"] == "sponge cake" and cake["verdict"] == "good" and plan.good
    assert -EASY_K < cake["margin_k"] < 0 and cake["wait_min"] <= 60


def test_an_easier_deadline_does_not_make_a_worse_day():
    menu = [("flatbread", 4), ("hearth loaf", 5), ("tray of roots", 1)]
    tight, easy = (ok.plan_day(ROWAN, [*menu, Want("sponge cake", 2, out_by=by)], fire=FIRE)
                   for by in ("15:30", "18:30"))
    assert easy.cost[:2] <= tight.cost[:2]


def test_a_compromise_counts_the_square_of_its_degrees_and_of_its_lateness():
    """Three loads 29 degrees off are worse than four that are 18 off (common practice)."""
    cake = batches(ROWAN, as_wants([Want("sponge cake", 1, out_by="12:30")]))[0]     # 2 h after

    def points(off_k, out_h=1.0, why=""):
        return astray(PLANNED, cake, why, off_k, 0.5, out_h)
    assert points(0) == points(EASY_K) == 0 < points(EASY_K + 0.1) == points(10) == 1
    assert (points(20), points(29)) == (4, 8) and 3 * points(29) > 4 * points(18)
    assert points(0, 2.5, "late") == 1 and points(0, 4.0, "late") == 16     # half an hour, two
    assert points(0, 1.0, "verdict") > points(29, 4.0, "late")      # late is better than burnt


def test_the_nearest_change_is_found_and_not_only_whole_batches():
    plan = ok.plan_day(ROWAN, [("flatbread", 5), ("enriched bun", 5)], "16:00",
                       ok.Fire(hours=2, wood_kg=10), 35)
    assert plan.cost.spoilt and any(text.startswith("Make 4 of flatbread, not 5, and every load")
                                    for text in plan.helps)
    four = ok.plan_day(ROWAN, [("flatbread", 4), ("enriched bun", 5)], "16:00",
                       ok.Fire(hours=2, wood_kg=10), 35)
    assert four.good


def test_in_a_heavy_oven_what_would_help_is_found():
    heavy = ok.domed_oven(inside_cm=130, masonry_kg=2000, insulation_mm=150)
    wants = [("hearth loaf 400 g", 6), ("tin loaf", 2)]
    late = ok.plan_day(heavy, [*wants, Want("stock pot", 1, start_c=95, out_by="15:45")], "13:30",
                       usual_fire(heavy, 43, 18, 20), 20)
    assert late.cost.spoilt
    for words in ("Ask for the stock pot by ", "Leave out the stock pot"):
        assert any(text.startswith(words) for text in late.helps)


def test_wood_in_hand_that_spoils_a_day_says_so():
    wants = [("hearth loaf", 6), Want("sponge cake", 2, out_by="13:00")]
    plan, spare = ok.plan_day(ROWAN, wants), ok.plan_day(ROWAN, wants, spare_kg=3)
    assert plan.good and not spare.good and spare.wood_kg == plan.wood_kg + 3
    assert any("in hand make the day worse" in text for text in spare.notes)
    assert not any("in hand make" in text for text in ok.plan_day(
        ROWAN, {"hearth loaf": 6}, spare_kg=0.5).notes)


def test_of_days_that_spoil_a_load_the_one_less_astray_is_planned():
    """Not a fire so small that it suits the apples alone."""
    plan = ok.plan_day(ROWAN, [("hearth loaf", 5), Want("apple rings", 2, minutes=240)])
    assert plan.cost.spoilt == 1
    assert plan.order.loc[plan.order["load"] == "hearth loaf", "hearth_c"].iloc[0] > 180


@pytest.mark.parametrize("wants, message", [
    ([Want("bean pot", 1, start_c=18)], "hard boil"),
    ([Want("braise pot", 1, start_c=5)], "hard boil"),
    ([("hearth loaf", 5), ("stock pot", 1)], "hard boil")])
def test_pots_go_in_boiling_or_not_at_all(wants, message):
    with pytest.raises(InputError, match=message):
        ok.plan_day(ROWAN, wants)


@pytest.mark.parametrize("fields, message", [
    ({"load": "custard tart", "minutes": 300}, "120 at most"),
    ({"load": "custard tart", "start_c": 80}, "is done at 78"),
    ({"load": "flatbread", "minutes": 2.5}, "whole number"),
    ({"load": "roll", "people": 4, "portion_g": "lots"}, "not a number")])
def test_wants_that_cannot_be(fields, message):
    with pytest.raises(InputError, match=message):
        Want(**({} if "people" in fields else {"count": 2}) | fields)


def test_a_time_that_cannot_be_kept_is_answered_with_one_that_can():
    fire, loaves = ok.Fire(hours=2.5, wood_kg=12), Want("hearth loaf", 5)
    late = ok.plan_day(ROWAN, [loaves, Want("fruit cake", 2, out_by="13:00")], fire=fire)
    by, = [words for words in late.helps if words.startswith("Ask for the fruit cake by")]
    then = by.removeprefix("Ask for the fruit cake by ")[:5]
    mended = ok.plan_day(ROWAN, [loaves, Want("fruit cake", 2, out_by=then)], fire=fire)
    assert late.cost.spoilt and not mended.cost.spoilt
    cake = mended.order[mended.order["load"] == "fruit cake"].iloc[0]
    assert "13:00" < mended.at(cake["out_h"]) <= then


@pytest.mark.slow
def test_a_load_that_must_be_out_goes_in_off_its_bands_sooner_than_late():
    wants = [Want("hearth loaf", 3), Want("tin loaf", 4), Want("roll", 12),
             Want("sponge cake", 1, out_by="13:15")]
    small, fire = ok.domed_oven(70, 220), ok.Fire(hours=2.5, wood_kg=9.5)
    plan = ok.plan_day(small, wants, fire=fire)
    assert not plan.cost.spoilt and plan.order["verdict"].eq("good").all()
    cake = plan.order[plan.order["load"] == "sponge cake"].iloc[0]
    assert plan.at(cake["out_h"]) <= "13:15" and plan.cost.astray > 0
    free = ok.plan_day(small, [Want(want.load, want.count) for want in wants], fire=fire)
    assert free.cost.astray == 0


def test_what_cannot_be_is_said_with_what_would_help():
    thin = ok.plan_day(ROWAN, {"hearth loaf": 5, "tin loaf": 4}, fire=ok.Fire(hours=1.5, wood_kg=6))
    assert thin.cost.spoilt
    assert any("more fire" in note and "every load comes out good" in note for note in thin.notes)
    small = ok.plan_day(ok.read_oven("hazel"), {"hearth loaf": 12})
    assert any("Make" in note and "not 12" in note for note in small.notes)


@pytest.mark.parametrize("wants, message", [
    ([], "nothing is wanted"), ({"hearth loafs": 3}, "did you mean 'hearth loaf'"),
    ([Want], "is not a want"), ({"hearth loaf": -2}, "count is -2"),
    ({"steam tray": 1}, "say how long it stays"),
])
def test_bad_wants_are_refused(wants, message):
    with pytest.raises(InputError, match=message):
        ok.plan_day(ROWAN, wants)


def test_unsafe_wants_are_refused():
    pot = ok.load_catalogue()["bean pot"]
    import dataclasses
    for name in ("chicken pot", "rice pot", "mince pot", "ducks in a pot"):
        with pytest.raises(InputError, match="cooling oven"):
            ok.plan_day(ROWAN, [(dataclasses.replace(pot, name=name), 1)])
    with pytest.raises(InputError, match="hard boil"):
        ok.plan_day(ROWAN, [Want("stock pot", 1, minutes=600)])


def test_chances_follow_what_is_not_known(plan):
    """An oven known by its tape alone is less sure than one that is known."""
    sure, unsure = chances(plan, n=60), chances(plan, n=60, fitted=np.diag(SPREADS**2))
    assert (sure["in_band"] >= unsure["in_band"]).all()
    widths = [one["hearth_high_c"] - one["hearth_low_c"] for one in (sure, unsure)]
    assert (widths[0] > 10).all() and (widths[0] < 80).all() and (widths[1] > widths[0]).all()


def test_green_wood_is_told_of():
    for wet_pct in (18, 45):
        day = ok.plan_day(ROWAN, {"hearth loaf": 3}, fire=ok.Fire(
            hours=2.5, wood_kg=12, moisture_pct=wet_pct))
        assert any("45 % water is not seasoned" in note for note in day.notes) == (wet_pct == 45)


def test_chances_in_longer_steps_are_the_same(plan, monkeypatch):
    """Within half of what another draw of so many ovens moves them (binomial, two spreads)."""
    quick = chances(plan, fitted=np.diag(SPREADS**2))
    monkeypatch.setattr("ovenkit.plan.chances.FINER", 2.0)
    fine = chances(plan, fitted=np.diag(SPREADS**2))
    for what in ("in_band", "good"):
        assert (abs(quick[what] - fine[what]) <= np.sqrt(0.25 / 300)).all()


def test_twelve_batches_have_an_answer_and_a_bound():
    menu = {"hearth loaf": 12, "roll": 24, "seeded roll": 24, "tin loaf": 10, "enriched bun": 45,
            "tray of roots": 4, "fruit cake": 4, "bean pot": 1}
    plan = ok.plan_day(ROWAN, menu, fire=ok.Fire(hours=3, wood_kg=14))
    assert len(plan.order) >= 12
    assert plan.exact or plan.bound <= plan.cost


def test_promises_hold_with_finer_steps_and_cells():
    promised, broken, _ = plan_trials.kept_promises(3, seed=5)
    assert promised and not broken, broken


@pytest.mark.slow
def test_a_pot_wanted_before_its_bands_come_is_answered_with_a_time():
    fire, loaves = ok.Fire(hours=2.5, wood_kg=13), Want("hearth loaf", 5)
    soon = ok.plan_day(ROWAN, [loaves, Want("bean pot", 1, out_by="15:30")], fire=fire)
    assert soon.cost.spoilt
    by, = [words for words in soon.helps if words.startswith("Ask for the bean pot by")]
    then = by.removeprefix("Ask for the bean pot by ")[:5]
    assert not ok.plan_day(ROWAN, [loaves, Want("bean pot", 1, out_by=then)], fire=fire).cost.spoilt


def test_what_does_not_go_in_at_once_is_said():
    text = " ".join(ok.plan_day(ROWAN, {"hearth loaf": 9}, fire=FIRE).notes)
    assert "9 x hearth loaf go in as 2 batches: this hearth holds 7 at once" in text


def test_wood_in_hand_is_burnt_and_waited_for():
    menu = {"hearth loaf": 5, "tray of roots": 1}
    least, more = ok.plan_day(ROWAN, menu), ok.plan_day(ROWAN, menu, spare_kg=1)
    assert more.wood_kg == least.wood_kg + 1 and more.spare_kg == 1
    assert not more.cost.spoilt and more.cost.waiting_min >= least.cost.waiting_min
    assert any("1.0 kg of the wood is in hand" in text for text in asides(more))


HAZEL = ok.read_oven("hazel")


@pytest.mark.parametrize("oven, wants, fire, waiting_min", [
    (ROWAN, {"hearth loaf": 6, "fruit cake": 2}, ok.Fire(hours=2.25, wood_kg=11), 260),
    (ROWAN, {"braise pot": 4}, ok.Fire(hours=2, wood_kg=9), 180),
    (HAZEL, {"custard tart": 3, "tin loaf": 1, "sponge cake": 4},
     ok.Fire(hours=2.5, wood_kg=5.5), 250),
    (HAZEL, {"flatbread": 1}, ok.Fire(hours=1.5, wood_kg=6), 10)])
def test_what_a_cook_finds_by_hand_is_found(oven, wants, fire, waiting_min):
    """Just inside a band before outside it; later, if it burns at once; not overdone by grace."""
    plan = ok.plan_day(oven, wants, fire=fire)
    assert plan.good and plan.order["wait_min"].sum() <= waiting_min
    assert (plan.order["margin_k"] >= 0).all()


def test_a_wait_for_what_is_made_much_later_has_its_door():
    """Fourteen hours on, an oven that stood open has a drying heat, one that was shut has not."""
    rings = ok.plan_day(ok.read_oven("hornbeam"), [
        Want("hearth loaf", 8), Want("apple rings", 2, ready_at="09:00 next day")], "17:00",
        ok.Fire(hours=4, wood_kg=32))
    last = rings.order.iloc[-1]
    assert rings.good and last["gap_mm"] == "open"
    assert last["set_h"] - rings.order["set_h"].iloc[0] >= 16


def test_every_spoilt_load_has_its_own_reason():
    late = ok.plan_day(ROWAN, [Want("hearth loaf", 6), Want("custard tart", 2, out_by="12:30")],
                       fire=ok.Fire(hours=2.25, wood_kg=11))
    assert late.order["fault"].tolist() == ["", "late"] and late.helps
    assert [text for text in misses(late) if "later than wanted" in text]
    assert not [text for text in misses(late) if "count on" in text]
    for fault, said, short in (("longest", "the longest it may", "too slow"),
                               ("off", "nobody can count on", "off its bands")):
        order = late.order.assign(spoilt=[False, True], fault=["", fault], late=False,
                                  margin_k=[4.0, -12.0])
        assert [text for text in misses(replace(late, order=order)) if said in text]
        assert comes_out(next(order.iloc[1:].itertuples())) == short


def test_too_many_by_far_is_answered_with_a_number():
    plan = ok.plan_day(ROWAN, {"hearth loaf": 80}, fire=ok.Fire(hours=2.5, wood_kg=12))
    made = [text for text in plan.helps if text.startswith("Make ")]
    assert plan.cost.spoilt and len(made) == 1
    count = int(made[0].split()[1])
    assert not ok.plan_day(ROWAN, {"hearth loaf": count},
                           fire=ok.Fire(hours=2.5, wood_kg=12)).cost.spoilt


def test_what_is_not_ready_until_the_next_day_is_another_day():
    with pytest.raises(InputError, match="a day of its own"):
        ok.plan_day(ROWAN, [Want("hearth loaf", 1, ready_at="11:00 next day")])
