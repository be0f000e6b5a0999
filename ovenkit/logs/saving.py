"""A log kept in a file that reads back as the same log."""

import csv
import io
import os
from pathlib import Path

from ovenkit.files import refuse
from ovenkit.logs.grid import digits
from ovenkit.logs.log import Log
from ovenkit.logs.rows import names_void
from ovenkit.units import US, c_to_f, f_to_c


def save_log(log, path, overwrite=False):
    """Write a Log as a CSV file that `read_log` reads back, and return the Path.

    path : of the file, ".csv" is added if it has no ending; overwrite : True replaces a file
    Raises InputError, also for a file that is there already.
    """
    if not isinstance(log, Log):
        refuse(f"the log is {type(log).__name__}: give what read_log or new_log returned")
    path = Path(path)
    path = path if path.suffix else path.with_suffix(".csv")
    if path.exists() and not overwrite:
        refuse("there is such a file already: give another name, or overwrite=True", path.name)
    unit = "F" if log.scale == US else "C"
    lines = [(did.line, 0, [digits(did.hours), did.what]) for did in log.done]
    for row in log.table.itertuples():
        settled = {(row.line, row.where), (row.line, "")} & log.answered or names_void(row.note)
        lines.append((row.line, 1, [
            digits(row.hours), "", row.where, ">" * row.at_least + _written(row, unit),
            "no" if row.void else "yes" if settled else "", row.note]))
    out = io.StringIO()
    rows = csv.writer(out, lineterminator="\n")
    rows.writerows([["lit at", log.lit_at]] if log.lit_at else [])
    if log.outdoor_c is not None:
        rows.writerow(["outdoors", f"{digits(log.outdoor_c)} °C"])
    rows.writerow(["decimal hours", "what", "where", f"reading (°{unit})", "use", "note"])
    rows.writerows(row for *_, row in sorted(lines, key=lambda row: row[:2]))
    put(path, out.getvalue())
    return path


def _written(row, unit):
    """A reading as text that is read back as the same number."""
    value = row.reading_c
    if unit == "C" or row.where == "hand count":
        return digits(value)
    fahrenheit = [round(c_to_f(value), places) for places in (0, 1, 3, 6, 9, 12)]
    return next((digits(f) for f in fahrenheit if f_to_c(f) == value), f"{digits(value)} °C")


def put(path, text):
    """Write a whole text file or none; InputError if it cannot be."""
    new = path.with_name(path.name + ".new")
    try:
        new.write_text(text, encoding="utf-8", newline="")
        os.replace(new, path)
    except (OSError, UnicodeEncodeError) as error:
        refuse(f"it cannot be written ({error.__class__.__name__}): give a folder that is there",
               path.name)
