"""The card of an oven, to print: A5, or two ovens side by side on A4."""

import re

from ovenkit.files import refuse
from ovenkit.sheets.paper import MARGIN_MM, SIZES_MM, Paper, free_path
from ovenkit.units import METRIC, US

MEASURED = "measured:"


def oven_card_paper(cards, date=""):
    """Return the Paper of one Card, or of two side by side.

    cards : `card.Card`, or a list of one or two; date : as it is to be printed
    """
    cards = list(cards) if isinstance(cards, (list, tuple)) else [cards]
    if len(cards) > 2:
        refuse(f"{len(cards)} cards: a page holds one or two")
    paper = Paper("A5" if len(cards) == 1 else "A4 landscape", title="Oven card")
    half = SIZES_MM["A5"][0]
    for i, card in enumerate(cards):
        paper.y, paper.left, paper.right = (MARGIN_MM, i * half + MARGIN_MM,
                                            (i + 1) * half - MARGIN_MM)
        _card(paper, card, date)
    return paper


def _card(paper, card, date):
    paper.paragraph(f"{card.name}, {card.inside_cm:.0f} cm", 20, bold=True, after_mm=0.5)
    paper.paragraph(f"Date: {date or '____________'}   {card.fitted}", 10)
    paper.rule()
    wide = paper.right - paper.left
    both = [(what, how, dict(zip((w for w, _ in card.lines(METRIC)), card.lines(US), strict=True))[
        what]) for what, how in card.lines(METRIC)]
    rows = [(f"{what}" if what == other[0] else f"{what} ({_number(other[0])})",
             how if how == other[1] else f"{how} / {other[1]}", "")
            for what, how, other in both]
    paper.table([("", "", MEASURED), *rows], [0.40 * wide, 0.42 * wide, 0.18 * wide], 9.5,
                bold=(1,), pad_mm=0.9)
    paper.paragraph("If the oven and this card disagree, believe the oven and write it down. Rake "
                    "out before you shut the door: embers make carbon monoxide. A damp oven is "
                    "dried first. Local codes come first.", 9.5)


def _number(words):
    """The temperatures in some words, such as 572 to 392 °F."""
    return " to ".join(re.findall(r"(-?\d+) \u00b0F", words)) + " \u00b0F"


def print_card(cards, path, date="", overwrite=False):
    """Write the card of one oven, or two side by side, as PDF; returns its Path.

    cards : `card.Card`, or a list of one or two; path : of the PDF; date : to be printed
    overwrite : True replaces a file that is there; else InputError
    """
    free_path(path, overwrite)
    return oven_card_paper(cards, date).save(path, overwrite)
