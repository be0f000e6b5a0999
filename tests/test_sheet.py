"""The sheet on the wall: large, whole, in both scales, with its own correction."""

from dataclasses import replace

import numpy as np
import pytest

import ovenkit as ok
from ovenkit.plan.agenda import agenda
from ovenkit.plan.doughs import dough_clock
from ovenkit.plan.table import checks, correction_table
from ovenkit.sheets import wall
from ovenkit.sheets.lettering import PT_MM
from ovenkit.sheets.otherwise import OTHERWISE
from ovenkit.sheets.scales import in_both
from ovenkit.sheets.wall import CLOCK_PT, TABLE_PT, wall_paper, wall_sheet
from ovenkit.traits import SPREADS


@pytest.fixture(scope="module")
def plan():
    return ok.plan_day(ok.read_oven("rowan"), {"hearth loaf": 10, "tray of roots": 1,
                                               "bean pot": 1}, fire=ok.Fire(hours=2.25, wood_kg=11))


@pytest.fixture(scope="module", autouse=True)
def once(plan):
    """The table, which takes longest, is made once."""
    table = correction_table(plan)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(wall, "correction_table", lambda *given: table)
        yield


@pytest.fixture(scope="module")
def paper(plan, once):
    return wall_paper(plan)


@pytest.fixture(scope="module")
def taped(plan, once):
    """The sheet of an oven that is known by tape only."""
    return wall_paper(plan, fitted=np.diag(SPREADS**2))


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
    assert any("oven reads" in line and "weather ___" in line for _, line, *_ in paper.placed)
    for hours, _ in checks(plan):
        assert f"{plan.at(hours)} before" in text


def test_one_line_an_action(paper, plan):
    """But what is to be done next shares the line of what comes out at that minute."""
    shown = plan.table[plan.table["kind"] != "check"].reset_index(drop=True)
    same = shown["clock"] == shown["clock"].shift()
    shared = shown["verb"].isin(("wait", "morning")) & same & (shown["verb"].shift() == "out")
    assert shared.sum() > 0
    clocks = sum(text in set(shown["clock"]) and size == CLOCK_PT
                 for _, text, *_, size in paper.placed)
    assert clocks == len(shown) - shared.sum()


def test_other_words_in_the_agenda_change_nothing_else(paper, plan, monkeypatch):
    """What is bold, what has a reading and what shares a line does not hang on words."""
    def told(plan, kitchen):
        return agenda(plan, kitchen).assign(what="do it", brief="")

    monkeypatch.setattr(wall, "agenda", told)
    other = wall_paper(plan)
    for size in (CLOCK_PT, 14):
        kept, now = ([text for _, text, *_, s in one.placed if s == size and (
            ":" in text and len(text) == 5 if size == CLOCK_PT else text.endswith(")")
            and text.split("(")[0].rstrip("\u00a0").endswith(("\u00b0C", "\u00b0F")))]
            for one in (paper, other))
        assert kept == now and len(kept) > 3


def test_a_load_in_has_the_reading_and_in_brackets_what_is_under_it(paper, plan):
    text = words(paper).replace("\u00a0", " ")
    for row in plan.order.itertuples():
        reads = plan.run.reading("hearth spot", row.set_h)
        assert f"{reads:.0f} \u00b0C ({row.hearth_c:.0f})" in text


def test_an_oven_known_by_tape_says_so_first_and_where_the_table_is(taped, paper):
    page = next(page for page, text, *_ in taped.placed if text == OTHERWISE) + 1
    assert f"follow the table on page {page};" in words(taped, 0)
    assert words(taped, 0).index("not yet known") < words(taped, 0).index("Reckoned")
    assert "not yet known" not in words(paper) and not taped.fits()


def test_parts_flow_on(paper, taped):
    """Every page but the last before the log is more than half filled."""
    for one in (paper, taped):
        for page in range(len(one.figures) - 2):
            foot = max(y1 for p, *_, y1, size in one.placed if p == page and y1 < one.bottom + 2)
            assert foot > one.bottom / 2
        assert words(one, len(one.figures) - 1).startswith("The log")


def test_the_table_is_large_and_no_number_is_parted_from_its_unit(paper, plan):
    reads = plan.run.reading("hearth spot", checks(plan)[0][0])
    size = max(s for _, text, *_, s in paper.placed if text.startswith(f"{reads:.0f} \u00b0C /"))
    assert size in TABLE_PT and min(TABLE_PT) >= 14
    assert not any(text.startswith("\u00b0") for _, text, *_ in paper.placed)
    small = [text for _, text, *_, y1, s in paper.placed if s < 14 and y1 < paper.bottom]
    assert small == ["mouth"]


def test_each_batch_has_its_own_time_to_wait(paper, plan):
    text, clocks = words(paper), dough_clock(plan)
    loaves = clocks[clocks["load"] == "hearth loaf"]
    assert len(loaves) == 2
    assert "hearth loaf: " + ", ".join(f"until {plan.at(row.holds_h)} ({row.which})"
                                       for row in loaves.itertuples()) in text


def test_what_would_help_stands_before_what_is_wrong(plan):
    lost = replace(plan, helps=("Make 2 of hearth loaf, not 10, with 3 kg less.",),
                   cost=plan.cost._replace(astray=1),
                   order=plan.order.assign(late=[True, *[False] * (len(plan.order) - 1)]))
    text = words(wall_paper(lost), 0)
    assert text.index("Make 2 of hearth loaf") < text.index("later than wanted")
    assert "3 kg / 6.6 lb less" in text


def test_both_scales_are_said_of_a_band_as_well():
    assert in_both("outside 210 to 250 \u00b0C, of 2.25 kg") == (
        "outside 210 to 250 \u00b0C / 410 to 482 \u00b0F, of 2.25 kg / 4.96 lb")


def test_the_same_plan_gives_the_same_bytes(plan, tmp_path):
    a, b = (wall_sheet(plan, tmp_path / name).read_bytes() for name in ("a.pdf", "b.pdf"))
    assert a == b
