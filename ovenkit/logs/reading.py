"""A log read: from a file, or from the rows of a notebook."""

from collections.abc import Mapping
from dataclasses import replace

import pandas as pd

from ovenkit.files import InputError, choose, number, refuse
from ovenkit.logs import words
from ovenkit.logs.acts import Did, is_lit
from ovenkit.logs.checks import odd_scale, possible
from ovenkit.logs.grid import FORM, cells_of, read_text, typed
from ovenkit.logs.log import Log, named
from ovenkit.logs.rows import Rows, columns, headed
from ovenkit.logs.story import steps_of
from ovenkit.logs.times import hours_after
from ovenkit.units import METRIC, US, f_to_c

COLUMNS = {"hours": float, "where": object, "reading_c": float, "at_least": bool, "void": bool,
           "note": object, "line": int}


def read_log(source, unit=None, where=None, lit_at=None, reads_to=None, steps=True):
    """Return the Log in a CSV file: commas, semicolons or tabs between the cells.

    source : path of the file, or an open text file
    unit : "C" or "F", of readings for which the file says none
    where : instrument of readings for which the file says none
    lit_at : time of lighting "HH:MM", if the file does not say it
    reads_to : highest that an instrument reads, for 'HI': number [degC] or text such as "932 °F",
        for all of them, or a dict of instrument -> that
    steps : False leaves alone what was done, but for the lighting
    Raises InputError naming the line.
    """
    name, text = read_text(source)
    grid = cells_of(text, name)
    top = headed(grid, f"{name} line")
    lit = top.lit_at
    if lit and lit_at is not None:
        refuse(f"the file says that the fire was lit at {lit}: leave lit_at= out", name)
    log = _log(grid[top.heads:], f"{name} line", top.doubts, unit, where, lit_at or lit, reads_to,
               steps)
    return replace(log, outdoor_c=top.outdoor_c)


def new_log(rows, unit=None, where=None, lit_at=None, reads_to=None, steps=True):
    """Return the Log of typed rows; see `read_log`.

    rows : list of dicts, or DataFrame, with columns as in a file; `line` is the row, from 1
    """
    return _log(typed(rows), "row", [], unit, where, lit_at, reads_to, steps)


def _log(grid, name, doubts, unit, where, lit_at, reads_to, steps):
    """The Log of lines of cells, the first one heads."""
    if unit is not None and not (isinstance(unit, str) and words.unit_of(unit)):
        choose(unit, ("C", "F"), "unit of readings")
    (line, names), *rest = grid
    heads, more = columns(names, rest, f"{name} {line}")
    doubts = [*doubts, *((line, "", text) for text in more)]
    rows = Rows(heads, name, named(where), _tops(reads_to))
    for each, cells in rest:
        if cells != names:
            rows.take(each, cells)
    if not rows.readings and not rows.done:
        refuse(f"the log has no readings: write {FORM}", f"{name} {line}")
    head = next(head for head in heads if head.kind == "time")
    times = hours_after(rows.times, (head, line), lit_at, name)
    unit, more = _unit(rows.readings, times.hours, words.unit_of(unit) if unit else "", name)
    doubts += [*((each, "", text) for each, text in times.doubts), *rows.doubts, *more]
    table, scale = _table(rows.readings, times.hours, unit)
    done = tuple(Did(times.hours[row], text, each) for row, each, text in rows.done)
    told = ()
    if steps and done:
        end = max(times.hours[i] for i in (*(row.row for row in rows.readings),
                                           *(i for i, *_ in rows.done)))
        try:
            told, more = steps_of(done, end, name, scale == US)
        except InputError as error:
            refuse(f"{error} (steps=False reads the readings alone)")
        doubts += [(each, "", text) for each, text in more]
    elif done:
        done = tuple(did for did in done if is_lit(did.what))
    doubts += odd_scale(table, told, scale)
    settled = frozenset((row.line, row.where) for row in rows.readings if row.use == "yes")
    return Log(table, times.lit_at, told, done, scale, name, tuple(doubts), settled)


def _tops(reads_to):
    """{instrument or None for all: (highest, unit)} of the argument."""
    if reads_to is None:
        return {}
    tops, each = {}, reads_to.items() if isinstance(reads_to, Mapping) else [(None, reads_to)]
    for key, value in each:
        if isinstance(value, str):
            top = words.shown(value, False, "reads_to")
            if top is None or top.value is None or not top.unit:
                refuse(f"it is {value!r}: give a number in °C, or text such as '932 °F'",
                       "reads_to")
            value, unit = top.value, top.unit
        else:
            value, unit = number(value, "reads_to", 0, 2000, "degC"), "C"
        tops[named(key)] = (value, unit)
    return tops


def _unit(readings, hours, asked, name):
    """("C" or "F" for readings without a unit, doubts); InputError if it may be either.

    No masonry oven shows 800 degC twice, and none that was lit an hour ago shows less than
    0 degC twice (common practice, no source).
    """
    bare = [row for row in readings if not row.shown.unit]
    said = sorted({row.unit for row in readings} - {"", "s"})
    if asked or not bare:
        return asked or "C", []
    line = bare[0].line
    if len(said) == 1:
        return said[0], [(line, "", f"no unit is written; it is read in °{said[0]} like the "
                          "others")]
    if said:
        refuse("no unit is written, and others are in °C and °F: write it", f"{name} {line}")
    hot = sum(800 < row.shown.value < 1300 for row in bare)
    cold = sum(0 < row.shown.value < 32 and hours[row.row] > 1 for row in bare)
    if hot > 1 and not cold or cold > 1 and not hot:
        unit = "F" if hot else "C"
        return unit, [(line, "", f"no unit is written; all of them can only be in °{unit}, and so "
                       "they are read")]
    hottest = max(bare, key=lambda row: row.shown.value)
    refuse(f"no unit is written, and {hottest.shown.value:g} may be °C, or "
           f"{f_to_c(hottest.shown.value):.0f} °C if it is °F: write 'reading (°C)' or (°F) as "
           "the head, or give unit=\"C\" or unit=\"F\"", f"{name} {hottest.line}")


def _table(readings, hours, unit):
    """(DataFrame of readings, units.Scale that they were written in)."""
    rows, units = [], set()
    for row in readings:
        value, of = row.shown.value, row.shown.unit or unit
        value = f_to_c(value) if of == "F" else value
        units.add(row.unit or of)
        void = row.void or hours[row.row] < 0 or not possible(row.where, value)
        rows.append((hours[row.row], row.where, value, row.shown.bound == ">", void, row.note,
                     row.line))
    table = pd.DataFrame(rows, columns=list(COLUMNS)).astype(COLUMNS)
    return table, US if units - {"s"} == {"F"} else METRIC
