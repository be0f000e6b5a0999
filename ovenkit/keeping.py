"""A fitted oven kept in a file: the oven, how sure it is, and the log book of its firings.

The file is an oven file as `ovenfile.read_oven` reads it, the layers from the inside out, with a
table [fit] and one [[firing]] for each log it was fitted to; data/README.md has the form.
"""

import datetime
import math
import os
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pandas as pd

from ovenkit.evidence import LIMITS, check_covariance
from ovenkit.files import choose, date_of, find, line_of, number, read_toml, refuse
from ovenkit.fit import Fit
from ovenkit.layers import materials
from ovenkit.oven import Oven
from ovenkit.ovenfile import oven_from_table, without_fit
from ovenkit.run import READINGS
from ovenkit.traits import TRAITS

SHAPE = {"inside_cm": ("inside_m", 100), "rise_cm": ("rise_m", 100),
         "mouth_w_cm": ("mouth_w_m", 100), "mouth_h_cm": ("mouth_h_m", 100),
         "door_crack_mm": ("crack_m", 1000), "fire_share": ("fire_share", 1)}
TRAIT_KEYS = ("what", "guess", "estimate", "low", "high", "unit", "told")
FIRING_KEYS = ("date", "outdoor_c", "note", "count", "rms", "readings")
ROW_KEYS = ("hours", "where", "reading", "residual", "at_least")
ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r"}


@dataclass(frozen=True, eq=False)
class Firing:
    """One firing of a log book.

    date : datetime.date; outdoor_c : [degC]; note : str
    readings : DataFrame hours, where, reading_c, residual_c (reading less fit), at_least
    rms : dict of instrument -> residual, root mean square, each reading as it counted [degC;
        seconds for "hand count"]
    """
    date: datetime.date
    outdoor_c: float
    note: str
    readings: pd.DataFrame
    rms: dict


@dataclass(frozen=True, eq=False)
class Kept:
    """What a file of `save_fit` holds.

    oven : the fitted Oven; covariance : of the logarithms of its traits, [trait, trait], for the
    next `fit_oven`; firings : tuple of Firing, oldest first; table : DataFrame, as of `Fit`
    """
    oven: Oven
    covariance: np.ndarray
    firings: tuple
    table: pd.DataFrame


def save_fit(fit, path, date, note="", overwrite=False, before=None):
    """Write a Fit as an oven file with its log book, and return the Path.

    fit : Fit; path : of the file, ".toml" is added if it has no ending
    date : of the firing, datetime.date or "YYYY-MM-DD"; note : str
    overwrite : True replaces a file that is there
    before : Kept whose oven and covariance the fit began with: its firings stay in the book
    Raises InputError, also for a file that is there already.
    """
    if not isinstance(fit, Fit):
        refuse(f"the fit is {fit!r}: give what fit_oven returned")
    if not isinstance(note, str):
        refuse(f"note is {note!r}: give text")
    if not isinstance(before, (Kept, type(None))):
        refuse(f"before is {before!r}: give what read_fit returned, or None")
    path = Path(path)
    path = path if path.suffix else path.with_suffix(".toml")
    if path.exists() and not overwrite:
        refuse("there is such a file already, and its log book would be lost: give another name, "
               "or overwrite=True; a further firing is added with before=read_fit(...)", path.name)
    rows = fit.residual_c
    firing = Firing(date_of(date, "date"), fit.run.outdoor_c, note, rows, _rms(rows))
    firings = (*(before.firings if before else ()), firing)
    _put(path, "\n".join([*_oven_lines(fit.oven), *_fit_lines(fit),
                          *(line for one in firings for line in _firing_lines(one)), ""]))
    return path


def read_fit(path):
    """Return the Kept of a file that `save_fit` wrote.

    path : Path or name, as of `read_oven`. Raises InputError naming file and line.
    """
    path = find(path, "ovens")
    table = read_toml(path)
    oven = oven_from_table(without_fit(table), path)
    fit = table.get("fit")
    if not isinstance(fit, dict):
        refuse("this oven has no [fit]: it was not fitted to a log; read_oven reads it", path.name)
    for key in ("covariance", "traits"):
        if key not in fit:
            refuse(f"the fit has no {key}: add it", line_of(path, "", "fit"))
    covariance = check_covariance(fit["covariance"], line_of(path, "covariance", "fit"))
    traits = _traits(fit["traits"], line_of(path, "traits", "fit"))
    firings = table.get("firing", [])
    if not isinstance(firings, list) or not firings:
        refuse("the log book is empty: each firing is a table [[firing]]", path.name)
    return Kept(oven, covariance, tuple(_firing(row, path, i) for i, row in enumerate(firings)),
                traits)


def _rms(rows):
    rows = rows[~rows["at_least"]]
    return {where: math.sqrt(np.average(one["residual_c"] ** 2, weights=one["counted"]))
            for where, one in rows.groupby("where", sort=False)}


# reading

def _traits(rows, where):
    names = [trait.name for trait in TRAITS]
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows) or [
            row.get("name") for row in rows] != names:
        refuse(f"traits are not a list of tables with the names {', '.join(names)}", where)
    for row in rows:
        for key in {**dict.fromkeys(TRAIT_KEYS), **row}:
            choose(key, ("name", *TRAIT_KEYS), "key of a trait", where)
            if key not in row:
                refuse(f"the trait {row['name']!r} has no {key}: add it", where)
    return pd.DataFrame([[row[key] for key in TRAIT_KEYS] for row in rows],
                        index=pd.Index(names, name="trait"), columns=TRAIT_KEYS)


def _firing(row, path, i):
    def at(key):
        return line_of(path, key, "firing", i)

    if not isinstance(row, dict):
        refuse(f"a firing is {row!r}: begin each one with [[firing]]", path.name)
    for key in {**dict.fromkeys(FIRING_KEYS), **row}:
        choose(key, FIRING_KEYS, "key of a firing", at(key))
        if key not in row:
            refuse(f"the firing has no {key}: add it", at(""))
    if not isinstance(row["note"], str):
        refuse(f"note is {row['note']!r}: give text in quotes", at("note"))
    rms = row["rms"]
    if not isinstance(rms, dict):
        refuse(f"rms is {rms!r}: give {{ \"hearth spot\" = 7.5 }}", at("rms"))
    for where, value in rms.items():
        number(value, f"rms of {choose(where, READINGS, 'instrument', at('rms'))}", 0, 2000, "",
               at("rms"))
    rows = row["readings"]
    if not isinstance(rows, list) or len(rows) != row["count"]:
        refuse(f"count is {row['count']}, and the readings are "
               f"{len(rows) if isinstance(rows, list) else rows!r}: one is missing or too many",
               at("count"))
    return Firing(date_of(row["date"], "date", at("date")),
                  number(row["outdoor_c"], "outdoor_c", -40, 50, "degC", at("outdoor_c")),
                  row["note"], _readings(rows, at("readings")), rms)


def _readings(rows, where):
    for n, row in enumerate(rows, 1):
        here = f"{where}, reading {n}"
        if not isinstance(row, dict):
            refuse(f"it is {row!r}: give {{ hours, where, reading, residual }}", here)
        for key in {**dict.fromkeys(ROW_KEYS[:4]), **row}:
            choose(key, ROW_KEYS, "key of a reading", here)
            if key not in row:
                refuse(f"it has no {key}: add it", here)
        choose(row["where"], READINGS, "instrument", here)
        number(row["hours"], "hours", 0, 1000, "h", here)
        number(row["reading"], "the reading", *LIMITS[row["where"] == "hand count"], here)
        number(row["residual"], "residual", -2000, 2000, "", here)
        if not isinstance(row.get("at_least", False), bool):
            refuse(f"at_least is {row['at_least']!r}: give true or false", here)
    return pd.DataFrame({
        "hours": [float(row["hours"]) for row in rows], "where": [row["where"] for row in rows],
        "reading_c": [float(row["reading"]) for row in rows],
        "residual_c": [float(row["residual"]) for row in rows],
        "at_least": [row.get("at_least", False) for row in rows]})


# writing

def _oven_lines(oven):
    yield f"name = {_text(oven.name)}"
    if oven.note:
        yield f"note = {_text(oven.note)}"
    for key, (name, factor) in SHAPE.items():
        yield f"{key} = {_times(getattr(oven, name), factor)!r}"
    for part in ("dome", "hearth", "door"):
        for layer in getattr(oven, part):
            if materials().get(layer.material.name) != layer.material:
                refuse(f"{layer.material.name!r} is no material of materials.csv: add it there, "
                       "so that the file can name it")
            yield from ("", f"[[{part}]]", f"material = {_text(layer.material.name)}",
                        f"mm = {_times(layer.thickness_m, 1000)!r}")


def _times(value, factor):
    """The number that gives `value` when it is divided by `factor`, the shortest there is."""
    product = value * factor
    near = [round(product, digits) for digits in (0, 3, 6, 9, 12)]
    near += [product, math.nextafter(product, 0), math.nextafter(product, math.inf)]
    return next((x for x in near if x / factor == value), product)


def _fit_lines(fit):
    yield from ("", "[fit]", "traits = [")
    for name, *row in fit.table[list(TRAIT_KEYS)].reset_index().astype(object).to_numpy().tolist():
        yield f"    {_inline(dict(zip(('name', *TRAIT_KEYS), (name, *row), strict=True)))},"
    yield from ("]", "covariance = [")
    yield from (f"    [{', '.join(map(repr, row))}]," for row in fit.covariance.tolist())
    yield "]"


def _firing_lines(firing):
    rows = firing.readings
    yield from ("", "[[firing]]", f"date = {firing.date.isoformat()}",
                f"outdoor_c = {float(firing.outdoor_c)!r}", f"note = {_text(firing.note)}",
                f"count = {len(rows)}", f"rms = {_inline(firing.rms)}", "readings = [")
    for row in rows.itertuples():
        cells = dict(zip(ROW_KEYS, (float(row.hours), row.where, float(row.reading_c),
                                    float(row.residual_c)), strict=False))
        yield f"    {_inline(cells | ({'at_least': True} if row.at_least else {}))},"
    yield "]"


def _inline(cells):
    def shown(value):
        return (_text(value) if isinstance(value, str) else
                str(value).lower() if isinstance(value, bool) else repr(float(value)))
    pairs = (f"{key if key.isidentifier() and key.isascii() else _text(key)} = {shown(value)}"
             for key, value in cells.items())
    return f"{{ {', '.join(pairs)} }}"


def _text(text):
    """A TOML string on one line: what would end it, and what cannot be seen, is escaped."""
    return '"' + "".join(
        ESCAPES.get(c) or (f"\\u{ord(c):04X}" if ord(c) < 32 or ord(c) == 127 else c)
        for c in text) + '"'


def _put(path, text):
    """Write a whole file or none."""
    new = path.with_name(path.name + ".new")
    try:
        new.write_bytes(text.encode("utf-8"))
        os.replace(new, path)
    except (OSError, UnicodeEncodeError) as error:
        refuse(f"it cannot be written ({error.__class__.__name__}): give a folder that is there "
               "and text that can be written", path.name)
