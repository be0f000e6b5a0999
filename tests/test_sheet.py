"""The sheet on the wall: large, whole, in both scales, with its own correction."""

import pytest

import ovenkit as ok
from ovenkit.plan.table import checks
from ovenkit.sheets.paper import PT_MM
from ovenkit.sheets.wall import CLOCK_PT, wall_paper, wall_sheet


@pytest.fixture(scope="module")
def plan():
    return ok.plan_day(ok.read_oven("rowan"), {"hearth loaf": 5, "tray of roots": 1, "bean pot": 1},
                       fire=ok.Fire(hours=2.25, wood_kg=11))


@pytest.fixture(scope="module")
def paper(plan):
    return wall_paper(plan)


def words(paper, page=None):
    return " ".join(text for p, text, *_ in paper.placed if page is None or p == page)


def test_nothing_leaves_the_page_or_overlaps(paper):
    assert paper.fits() == []


def test_clock_times_are_24_points_and_nothing_is_small(paper, plan):
    clocks = [size for _, text, *_, size in paper.placed
              if text == plan.at(plan.order["set_h"].iloc[0])]
    assert clocks and max(clocks) >= 24 == CLOCK_PT
    assert min(size for *_, size in paper.placed) >= 11
    assert CLOCK_PT * PT_MM > 8         # mm high: read from two metres


def test_it_says_what_a_sheet_must(paper, plan):
    text = words(paper)
    for said in ("oven reads", "wood meter", "weather", "\u00b0C", "\u00b0F", "In: 5 x hearth loaf",
                 "Rake out", "As planned", "tightest", "carbon monoxide", "Local codes",
                 "believe the oven", "hearth, middle", "deep probe"):
        assert said in text, said
    for hours, _ in checks(plan):
        assert f"{plan.at(hours)} before" in text


def test_one_line_an_action(paper, plan):
    shown = plan.table[plan.table["kind"].isin(("dough", "fire", "oven", "load", "end"))]
    clocks = sum(text in set(shown["clock"]) and size == CLOCK_PT
                 for _, text, *_, size in paper.placed)
    assert clocks == len(shown) - 1     # lighting and the first wood are one


def test_the_same_plan_gives_the_same_bytes(plan, tmp_path):
    a, b = (wall_sheet(plan, tmp_path / name).read_bytes() for name in ("a.pdf", "b.pdf"))
    assert a == b
