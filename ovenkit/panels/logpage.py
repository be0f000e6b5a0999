"""A page of a log book as it is filled in; no widgets here.

Entries are kept as they were typed, so that what stands in the file is what was written; `log`
reads them as any log is read.
"""

import csv
import io
import re
from dataclasses import dataclass, replace
from pathlib import Path

from ovenkit.files import InputError, refuse
from ovenkit.logs import new_log
from ovenkit.logs.acts import is_lit, read_act
from ovenkit.logs.grid import cells_of, read_text
from ovenkit.logs.rows import headed
from ovenkit.logs.times import moment
from ovenkit.logs.words import plain, shown
from ovenkit.units import METRIC

COLUMNS = ("time", "what", "where", "reading", "note")


@dataclass(frozen=True)
class Entry:
    """A line of the page: a reading of an instrument, or `what` was done; text as it was typed."""
    time: str
    what: str = ""
    where: str = ""
    reading: str = ""
    note: str = ""

    @property
    def words(self):
        """The entry in one line."""
        return ", ".join(filter(None, (self.time, self.what or f"{self.where} {self.reading}",
                                       self.note)))


@dataclass(frozen=True)
class Page:
    """entries : tuple of Entry; lit_at : time of lighting as typed, or "" """
    entries: tuple = ()
    lit_at: str = ""


def entry(time, where, text, note="", scale=METRIC):
    """Return the Entry of what was typed.

    where : an instrument, or "" for something done; text : the reading, or what was done
    scale : units.Scale of a reading that does not say its own
    Raises InputError for what cannot be read.
    """
    time, text, note = (" ".join(each.split()) for each in (time, text, note))
    if not time:
        refuse("the time is empty: give one such as 7:30")
    moment(time)
    if not text:
        refuse("there is no reading: give a number, or what was done, such as 'raked out'")
    if not where:
        read_act(text)
        return Entry(time, what=text, note=note)
    hand = where == "hand count"
    seen = shown(text, hand)
    if seen is None or seen.bound in ("<", "!"):
        refuse(f"{text!r} does not tell how hot it was: give a number, or >500 for past the range")
    if seen.value is None:
        refuse(f"{text!r} is past the range of the instrument: write its highest reading, >500")
    if not seen.unit and not hand:
        question = "?" * ("?" in text)
        text = f"{text.replace('?', '').strip()} {scale.unit('temp')}{question}"
    return Entry(time, where=where, reading=text, note=note)


def added(page, new):
    """Return the Page with one Entry more; InputError if it does not go with the others."""
    page = replace(page, entries=(*page.entries, new))
    log(page, steps=False)
    return page


def removed(page, place):
    """Return the Page without its entry at `place`, from 0."""
    return replace(page, entries=page.entries[:place] + page.entries[place + 1:])


def lit(page, lit_at):
    """Return the Page of a fire lit at a time; InputError for what is none."""
    lit_at = " ".join(lit_at.split())
    if lit_at and moment(lit_at).minutes is None:
        refuse(f"the fire is lit at {lit_at!r}: give a time such as 6:30")
    page = replace(page, lit_at=lit_at)
    if page.entries:
        log(page, steps=False)
    return page


def log(page, steps=True):
    """Return the Log of a Page; the hours of one that does not say when it was lit begin with its
    first entry. Raises InputError."""
    lit_at = page.lit_at or None
    if not lit_at and page.entries and not any(is_lit(row.what) for row in page.entries):
        first = moment(page.entries[0].time)
        lit_at = None if first.minutes is None else plain(page.entries[0].time)
    rows = [{name: getattr(row, name) for name in COLUMNS} for row in page.entries]
    return new_log(rows, lit_at=lit_at, steps=steps)


def doubts(page):
    """Return (tuple of the doubts of each entry, sentences of the page as a whole)."""
    found, whole = [[] for _ in page.entries], []
    if not page.entries:
        return (), ()
    sentences = ()
    for steps in (True, False):
        try:
            sentences = log(page, steps).doubts
            break
        except InputError as error:
            text = re.sub(r"^row \d+: | \(steps=False.*", "", str(error))
            whole = [f"Not yet a whole day: {text}."]
    for sentence in sentences:
        row, text = re.fullmatch(r"row (\d+): (.*)", sentence).groups()
        found[max(int(row) - 1, 0)].append(re.sub(
            r"[:,.]? *(without|keep)\(\d+.*$| as in line \d+", "", text))
    if not page.lit_at and not any(is_lit(row.what) for row in page.entries):
        whole.append("Say when the fire was lit.")
    return tuple(map(tuple, found)), tuple(whole)


def csv_text(page):
    """Return the Page as the text of a file that `read_log` reads."""
    out = io.StringIO()
    rows = csv.writer(out, lineterminator="\n")
    rows.writerows([["lit at", page.lit_at]] if page.lit_at else [])
    rows.writerow(COLUMNS)
    rows.writerows([getattr(row, name) for name in COLUMNS] for row in page.entries)
    return out.getvalue()


def read_page(path):
    """Return the Page of a file that `csv_text` wrote; InputError for another file."""
    name, text = read_text(path)
    grid = cells_of(text, name)
    top, _, lit_at, _ = headed(grid, f"{name} line")
    if tuple(grid[top][1]) != COLUMNS:
        refuse("this is no page of a log book: read_log reads it", f"{name} line {grid[top][0]}")
    for line, cells in grid[top + 1:]:
        if len(cells) != len(COLUMNS):
            refuse(f"the line has {len(cells)} cells and not {len(COLUMNS)}", f"{name} line {line}")
    page = Page(tuple(Entry(*cells) for _, cells in grid[top + 1:]), lit_at or "")
    if page.entries:
        log(page, steps=False)
    return page


def fresh(path):
    """Return the Path of a file that is not there yet: `path`, or its name with _2, _3, ..."""
    path = Path(path)
    path = path if path.suffix else path.with_suffix(".csv")
    stem, n = path.stem, 2
    while path.exists():
        path, n = path.with_name(f"{stem}_{n}{path.suffix}"), n + 1
    return path
