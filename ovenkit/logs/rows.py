"""Lines of cells -> readings and what was done, each as it was written, with its doubts."""

import re
from typing import NamedTuple

from ovenkit.files import InputError, number, refuse
from ovenkit.logs import words
from ovenkit.logs.acts import is_act, is_lit
from ovenkit.logs.grid import FORM, LOOK, count
from ovenkit.logs.times import moment
from ovenkit.run import READINGS
from ovenkit.units import f_to_c

NO, YES = {"no", "n", "out", "0", "false", "x", "void"}, {"yes", "y", "in", "1", "true", "ok"}
THROUGH = r"\b(?:flames?|steam(?:y)?|glass)\b"      # a spot reader does not see through these
VOID = rf"{THROUGH}|\bvoid\b"
DENIED = rf"\b(?:no|not|without|never|after|before|past|free of)\s+(?:\w+\s+){{0,2}}?(?:{VOID})"
GIVE = "give 'where' and 'reading (°C)', or instruments such as hearth spot, air probe"


class Reading(NamedTuple):
    """A reading before times are known.

    row : of the log; unit : "C", "F" or "" as the writer said it; use : "yes", "no" or ""
    """
    row: int
    line: int
    where: str
    shown: words.Shown
    unit: str
    note: str
    use: str
    void: bool


def names_void(note):
    """Whether a note says that a reading is to be kept out."""
    low = note.lower()
    return bool(re.search(VOID, low) and not re.search(DENIED, low))


class Top(NamedTuple):
    """What stands above the readings: index of the line of heads, doubts, time of lighting or None,
    outdoors [degC] or None."""
    heads: int
    doubts: list
    lit_at: str | None
    outdoor_c: float | None


def headed(grid, name):
    """Return the Top of the lines of a log; InputError."""
    scores = [count(cells) for _, cells in grid[:LOOK]]
    best = max(range(len(scores)), key=lambda i: scores[i])
    if scores[best] < 2:
        hint = next((words.like_a_head(cell) for cell in grid[0][1]
                     if not count([cell]) and words.like_a_head(cell)), "")
        refuse(f"there is no line of heads{hint}: write {FORM}", f"{name} {grid[0][0]}")
    doubts, lit, outdoors = [], None, None
    for line, cells in grid[:best]:
        text = " ".join(filter(None, cells))
        said = (re.fullmatch(r"(?:the )?(?:fire )?(?:lit|lighted|lighting)(?: the fire)?(?: at)?"
                             r"[ :=]*([0-9].*)?", words.plain(text).lower())
                or re.fullmatch(r"([0-9][0-9:.h]*) lit", words.plain(text).lower()))
        weather = re.fullmatch(r"(?:outdoors?|outside|weather)[ :=,]*(.+)",
                               words.plain(text).lower())
        if weather:
            outdoors = _outdoors(weather[1], f"{name} {line}")
        elif said and said[1]:
            moment(said[1], f"{name} {line}")
            lit = said[1]
        elif said:
            continue
        elif re.match("[0-9]", text) and sum(map(bool, cells)) > 2:
            refuse("this stands above the heads: put the line of heads first", f"{name} {line}")
        else:
            doubts.append((line, "", f"{text!r} stands above the heads and is not read"))
    return Top(best, doubts, lit, outdoors)


def _outdoors(text, where):
    """Temperature of the air outside, of its words [degC]."""
    found = re.match(r"[+-]?[0-9.,]+ ?(?:°|deg(?:rees)?)? ?[cf]\b", text)
    if not found:
        refuse(f"outdoors is {text!r}: write it like 'outdoors,7 °C'", where)
    seen = words.shown(found[0], where=where)
    value = f_to_c(seen.value) if seen.unit == "F" else seen.value
    return number(value, "outdoors", -40, 50, "degC", where)


def columns(names, rows, where):
    """Return (Heads of the columns, doubts); InputError for what may be a misspelt head."""
    heads, doubts = [words.head(name, where) for name in names], []
    if names and not names[0] and not any(h.kind == "time" for h in heads):
        heads[0] = words.Head("time")
    for i, (name, head) in enumerate(zip(names, heads, strict=True)):
        cells = [cells[i] for _, cells in rows if i < len(cells) and cells[i]]
        if not head.kind and (name or cells):
            like = words.like_a_head(name)
            numbers = sum(bool(re.match(r"[<>~+-]?[0-9]", cell)) for cell in cells)
            if like or cells and (not name or 2 * numbers > len(cells)):
                refuse(f"the head {name!r} is none that is known"
                       f"{like or ': ' + GIVE + ', or take the column out'}", where)
            doubts.append(f"the column {name!r} is not read")
        if head.taken:
            doubts.append(f"{name!r} is read {head.taken}")
    for kind in ("time", *dict.fromkeys(words.HEADS), *READINGS):
        same = [name for name, h in zip(names, heads, strict=True) if (h.where or h.kind) == kind]
        if len(same) > 1:
            refuse(f"{' and '.join(map(repr, same))} are both columns of {kind}: keep one", where)
        if not same and kind == "time":
            hint = next(filter(None, map(words.like_a_head, names)), ": head one time, or hours")
            refuse(f"no column is of times{hint}", where)
    if not any(h.kind in ("reading", "instrument", "what") for h in heads):
        refuse(f"no column is of readings: {GIVE}", where)
    return heads, doubts


class Rows:
    """The rows of a log, taken one by one.

    heads : Heads of the columns; name : leads errors; where : instrument of readings that do not
    say theirs, or None; tops : {instrument or None: (highest that it reads, unit)}
    times : (line, time, date, whether the fire is lit), a row each; readings : Reading, ...
    done : (row, line, text), ...; doubts : (line, instrument or "", text), ...
    """

    def __init__(self, heads, name, where, tops):
        self.heads, self.name, self.where, self.tops = heads, name, where, tops
        self.times, self.readings, self.done, self.doubts = [], [], [], []
        self.told = set()

    def take(self, line, cells):
        """Take a row; InputError naming the line for a cell that cannot be read."""
        place = f"{self.name} {line}"
        if any(cells[len(self.heads):]):
            refuse(f"the row has {len(cells)} cells, and there are {len(self.heads)} heads: write "
                   "a decimal point, or put a cell with a comma in quotes", place)
        pairs = list(zip(self.heads, [*cells, *[""] * len(self.heads)], strict=False))
        said = {head.kind: cell for head, cell in pairs}
        what, note = said.get("what", ""), said.get("note", "")
        shown = [(head, cell) for head, cell in pairs if head.kind in ("reading", "instrument")
                 and cell.lower() not in words.BLANK]
        if re.fullmatch(r"-?|read(?:ing)?s?", what.lower()):
            what = ""
        if not shown and not what and is_act(said.get("where", "")):
            what = said["where"]
        elif not shown and not what and is_act(note):
            what, note = note, ""
        if not shown and not what:
            if note or said["time"] and not self._is_time(said["time"]):
                self.doubts.append((line, "", f"{note or said['time']!r} is neither a reading nor "
                                    "anything done: it is not read"))
            if not self._is_time(said["time"]):
                return
        if what:
            self.done.append((len(self.times), line, what))
        self._readings(line, shown, said, note, place)
        self.times.append((line, said["time"], said.get("date", ""), bool(what) and is_lit(what)))

    @staticmethod
    def _is_time(text):
        try:
            return bool(moment(text))
        except InputError:
            return False

    def _readings(self, line, shown, said, note, place):
        use = said.get("use", "").lower()
        if use not in NO | YES | {""}:
            refuse(f"use is {said['use']!r}: write yes, no, or leave it empty", place)
        use = "no" if use in NO else "yes" if use else ""
        shown = [(self._place(head, said, line, place), head, cell) for head, cell in shown]
        spots = any(where.endswith("spot") for where, *_ in shown)
        if shown and re.fullmatch("[0-9]{1,3}", note):
            self.doubts.append((line, "", f"the note is {note!r}: if it is what follows a decimal "
                                "comma, put the reading in quotes"))
        for where, head, cell in shown:
            seen = words.shown(cell, where == "hand count", place)
            if seen is None:
                continue
            if not seen.unit:
                seen = seen._replace(unit=head.unit or self._unit(said, place))
            if seen.doubt:
                self.doubts.append((line, where, seen.doubt))
            if seen.bound in ("<", "!"):
                self.doubts.append((line, where, f"{cell!r} ({where}) does not tell how hot it "
                                    "was: it is left out"))
                continue
            unit = seen.unit
            if seen.value is None:
                seen = seen._replace(**self._top(where, head, said, cell, seen.unit, place))
            void = not use and self._void(note, line, where, spots)
            mark = note if seen.note in note else f"{note} {seen.note}".strip()
            self.readings.append(
                Reading(len(self.times), line, where, seen, unit, mark, use, void or use == "no"))

    def _place(self, head, said, line, place):
        """Instrument of a cell of a reading."""
        if head.kind == "instrument":
            return head.where
        named = said.get("where", "")
        if not named and self.where is None:
            refuse("nothing says where this was read: write an instrument such as 'hearth spot', "
                   "or give where=\"hearth spot\"", place)
        if not named:
            return self.where
        where, taken = words.choose_instrument(named, place)
        if taken and named.lower() not in self.told:
            self.told.add(named.lower())
            self.doubts.append((line, where, f"{named!r} is read {taken}"))
        return where

    def _unit(self, said, place):
        text = said.get("unit", "")
        if text and not words.unit_of(text):
            refuse(f"the unit is {text!r}: write °C or °F", place)
        return words.unit_of(text) if text else ""

    def _top(self, where, head, said, cell, unit, place):
        """value and unit of the highest that an instrument reads: cell, head or argument."""
        top = words.shown(said.get("range", ""), where=place)
        if top and top.value is not None:
            return {"value": top.value, "unit": top.unit or unit}
        if head.top is not None:
            return {"value": head.top, "unit": head.unit or unit}
        top = self.tops.get(where, self.tops.get(None))
        if top is None or where == "hand count":
            refuse(f"{cell!r} ({where}) is past the range of the instrument, which is not said: "
                   "write '>500' with its highest reading, or give reads_to=", place)
        return {"value": top[0], "unit": top[1]}

    def _void(self, note, line, where, spots):
        """Whether a note keeps a reading out: a spot reader's, if there is one in the row."""
        low = note.lower()
        if not re.search(VOID, low):
            return False
        other = spots and not where.endswith("spot") and not re.search(r"\bvoid\b", low)
        if other or not names_void(note):
            self.doubts.append((line, where, f"the note says {note!r}, and the {where} is counted: "
                                f"without({line}) keeps it out"))
            return False
        return True
