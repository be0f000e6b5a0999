"""From a page of a log book to the oven it tells of, and its files; no widgets here."""

from dataclasses import dataclass
from pathlib import Path

from ovenkit.card import oven_card
from ovenkit.files import InputError, number, refuse
from ovenkit.fit import fit_oven
from ovenkit.keeping import save_fit
from ovenkit.oven import four_questions
from ovenkit.panels import logpage, measuring
from ovenkit.panels.scene import WEATHER, Field
from ovenkit.sheets.oven_card import print_card
from ovenkit.traits import TRAITS, said
from ovenkit.units import METRIC

OUTDOOR_C = 12.0


@dataclass(frozen=True)
class Tape(measuring.MyOven):
    """What is known before the log: the four questions, and the oven before lighting.

    before_c : hearth before lighting [degC]; outdoor_c : the air outside [degC]
    """
    before_c: float = OUTDOOR_C
    outdoor_c: float = OUTDOOR_C

    def __post_init__(self):
        number(self.before_c, "the hearth before lighting", -30, 300, "degC")
        number(self.outdoor_c, "the air outside", -40, 50, "degC")


FIELDS = (*measuring.SCENE.fields,
          Field("before_c", "Before fire", "What the hearth read before it was lit", 0, 250, 1,
                of="temp"), WEATHER)


def found(page, tape):
    """Return the Fit of a Page of a log book to an oven as a Tape has it; InputError."""
    if not page.entries:
        refuse("the page is empty: add what was read, and when it was lit and raked out")
    log = logpage.log(page)
    oven = four_questions(tape.inside_cm, tape.wall_mm, tape.build, tape.under)[0]
    return fit_oven(oven, log.steps, log, tape.outdoor_c, tape.before_c)


def sentences(fit, scale=METRIC):
    """Return what a Fit says as (head, text) pairs: a line for each trait, then its notes."""
    rows = [] if fit.enough else [
        ("Too thin", "This page does not say what the oven is; more readings, and later ones, "
         "would. What follows is little more than the tape said.")]
    for trait, row in zip(TRAITS, fit.table.itertuples(), strict=True):
        guess, best, low, high = (said(trait, value, scale) for value in (
            row.guess, row.estimate, row.low, row.high))
        tells = {"yes": "", "partly": " This page tells it in part."}.get(
            row.told, " This page does not tell it.")
        rows.append((row.what[0].upper() + row.what[1:],
                     f"{best}, four times of five between {low} and {high} (the tape said {guess})."
                     f"{tells}"))
    return (*rows, *(("Note", note) for note in fit.notes))


def keep(fit, folder, date, name="my_oven"):
    """Write a Fit as an oven file and its card to print, under names that are free; their Paths.

    date : of the firing, "YYYY-MM-DD"; raises InputError where nothing can be written.
    """
    oven = logpage.fresh(Path(folder) / f"{name}.toml")
    card = logpage.fresh(oven.with_name(f"{oven.stem}_card.pdf"))
    try:
        return (save_fit(fit, oven, date), print_card(oven_card(fit.oven, fit=fit), card, date))
    except OSError as error:
        raise InputError(f"{oven.name} cannot be written here ({error.__class__.__name__}): start "
                         "the lesson from a folder of your own") from error
