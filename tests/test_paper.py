"""Printed pages: measured text, nothing off the page, nothing overwritten, the same bytes twice."""

import pytest

import ovenkit as ok
from ovenkit.card import oven_card
from ovenkit.files import InputError
from ovenkit.sheets.lettering import width_mm, wrapped
from ovenkit.sheets.oven_card import oven_card_paper, print_card
from ovenkit.sheets.paper import Paper


@pytest.fixture(scope="module")
def cards():
    return [oven_card(ok.read_oven(name)) for name in ("rowan", "alder")]


def test_text_is_wrapped_to_its_measured_width():
    words = "rake out before you shut the door " * 8 + "incomprehensibilities" * 4
    for size in (10, 14, 24):
        lines = wrapped(words, size, 80)
        assert all(width_mm(line, size) <= 80 for line in lines)
        assert "".join(lines).replace(" ", "") == words.replace(" ", "")


def test_a_number_keeps_its_unit():
    words = "331 \u00b0C / 628 \u00b0F, 3.4 kg / 7.5 lb, after 75 minutes"
    for wide in range(30, 60, 3):
        lines = wrapped(words, 14, wide)
        assert len(lines) > 1 and " ".join(lines) == words
        assert not any(line.startswith(("\u00b0", "kg", "lb", "minutes")) for line in lines)


def test_what_leaves_the_page_or_overlaps_is_found():
    paper = Paper("A5")
    paper.text(10, 20, "a line", 14)
    assert not paper.fits()
    paper.text(12, 21, "another", 14)
    paper.text(130, 60, "a line that runs out", 14)
    wrong = " ".join(paper.fits())
    assert "lies on" in wrong and "leaves the page" in wrong


def test_a_long_table_goes_on_over_pages_with_its_head():
    paper = Paper("A4")
    paper.table([("clock", "what"), *[(f"{i}:00", "load the oven " * 4) for i in range(60)]],
                [40, 120], 24)
    assert len(paper.figures) > 2 and not paper.fits()
    assert sum(text == "clock" for _, text, *_ in paper.placed) == len(paper.figures)


def test_rows_together_stay_on_a_page_and_a_row_of_one_text_goes_across():
    paper = Paper("A4")
    rows = [("a", "b")]
    for i in range(30):
        rows += [(f"group {i}, wider than the first of the columns",), ("1", f"row {i}")]
    paper.table(rows, [30, 150], 16, together=2)
    assert len(paper.figures) > 1 and not paper.fits()
    at = {text: page for page, text, *_ in paper.placed}
    for i in range(30):
        assert at[f"group {i}, wider than the first of the columns"] == at[f"row {i}"]


def test_cards_fit_their_pages_in_both_scales(cards):
    for some, pages in ((cards[0], 1), (cards, 1)):
        paper = oven_card_paper(some)
        assert not paper.fits() and len(paper.figures) == pages
        text = " ".join(words for _, words, *_ in paper.placed)
        assert "°F" in text and "lb" in text and "carbon monoxide" in text
    with pytest.raises(InputError, match="one or two"):
        oven_card_paper(cards * 2)


def test_a_file_that_is_there_is_kept(cards, tmp_path):
    first = print_card(cards[0], tmp_path / "card.pdf")
    before = first.read_bytes()
    with pytest.raises(InputError, match="is there already.*card_2.pdf"):
        print_card(cards[1], first)
    assert first.read_bytes() == before
    assert print_card(cards[0], first, overwrite=True).read_bytes() == before
    with pytest.raises(InputError, match="no folder"):
        print_card(cards[0], tmp_path / "nowhere" / "card.pdf")
