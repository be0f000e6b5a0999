"""A log as lines of cells: from a file, from an open file, or from a notebook's rows."""

import csv
import datetime
import re
from collections.abc import Mapping
from decimal import Decimal
from numbers import Integral, Real
from pathlib import Path

import numpy as np
import pandas as pd

from ovenkit.files import InputError, find, near, refuse
from ovenkit.logs.words import Head, head

FORM = "a first line such as 'time,where,reading (°C),note', then a line for each reading"
LOOK = 15       # lines among which the line of heads is looked for


def read_text(source):
    """Return (name, text) of a path or an open text file; InputError if there is no text."""
    if hasattr(source, "read"):
        name, read = Path(str(getattr(source, "name", "the log"))).name, source.read
    else:
        path = _found(source)
        name, read = path.name, path.read_bytes
    try:
        data = read()
    except (OSError, ValueError) as error:
        refuse(f"cannot be read ({error.__class__.__name__})", name)
    if isinstance(data, bytes):
        wide = data[:2] in (b"\xff\xfe", b"\xfe\xff")
        for encoding in ("utf-16",) if wide else ("utf-8-sig", "cp1252", "latin-1"):
            try:
                return name, data.decode(encoding)
            except UnicodeDecodeError:
                continue
    if not isinstance(data, str):
        refuse("cannot be read as text: save it as CSV", name)
    return name, data.removeprefix("\ufeff")


def _found(source):
    try:
        return find(source, "logs")
    except InputError as error:
        if not isinstance(source, (str, Path)) or "\n" in str(source):
            refuse("give the path of a log, or an open text file; io.StringIO makes one of a text")
        folder = Path(source).parent
        there = sorted(p.name for p in folder.glob("*.csv")) if folder.is_dir() else []
        refuse(f"{error}{near(Path(source).name, there) if there else ''}")
    except (OSError, ValueError):
        refuse("give the path of a log, or an open text file; io.StringIO makes one of a text")


def cells_of(text, name):
    """Return [(line, cells), ...] of a CSV text, without notes (#) and empty lines.

    The separator is the one that makes most heads. Raises InputError naming the line of a
    quotation mark that is not closed.
    """
    lines = re.split(r"\r\n|\r|\n", text)
    told = re.fullmatch(r"sep=([,;\t])", lines[0].strip())
    lines = ["" if told and not n or line.lstrip().startswith("#") else line
             for n, line in enumerate(lines)]
    first = [line for line in lines if line.strip()][:LOOK]
    separator = told[1] if told else max(
        ",;\t", key=lambda s: max((count(cells) for cells in csv.reader(first, delimiter=s)),
                                  default=0))
    reader = csv.reader((line + "\n" for line in lines), delimiter=separator, strict=True,
                        skipinitialspace=True)
    grid, line = [], 1
    most = min([2, *(row.count(separator) for row in first[:1])]) or 1
    try:
        for cells in reader:
            if any(part.count(separator) >= most for cell in cells if "\n" in cell
                   for part in cell.split("\n")):
                refuse("a quotation mark here takes the next line with it: take it away, or close "
                       "it", f"{name} line {line}")
            cells = [" ".join(cell.split()) for cell in cells]
            if any(cells):
                grid.append((line, cells))
            line = reader.line_num + 1
    except csv.Error:
        refuse("a quotation mark is opened and not closed, or stands within a cell: take it away; "
               "for the time of the row above leave the cell empty", f"{name} line {line}")
    if not grid:
        refuse(f"the log is empty: write {FORM}", name)
    return grid


def count(cells):
    """How many of some cells are heads of columns."""
    found = []
    for cell in cells:
        try:
            found.append(head(cell))
        except InputError:
            found.append(Head("unsure"))
    return sum(bool(each.kind) for each in found)


def typed(rows):
    """Return [(0, heads), (1, cells), ...] of a list of dicts or a DataFrame; InputError."""
    if isinstance(rows, pd.DataFrame):
        names = [str(name) for name in rows.columns]
        cells = rows.itertuples(index=False, name=None)
    elif isinstance(rows, (list, tuple)) and all(isinstance(row, Mapping) for row in rows):
        rows = [{str(key): value for key, value in row.items()} for row in rows]
        names = list(dict.fromkeys(key for row in rows for key in row))
        cells = [[row.get(name) for name in names] for row in rows]
    else:
        refuse(f"the rows are {type(rows).__name__}: give a list of dicts such as "
               "{'time': '7:30', 'where': 'hearth', 'reading': '310 °C'}, or a DataFrame")
    return [(0, [" ".join(name.split()) for name in names])] + [
        (n, [_text(value, f"row {n}") for value in row]) for n, row in enumerate(cells, start=1)]


def digits(value):
    """Return a number as text that `words.decimal` reads back: no exponent, no 1.020."""
    text = format(Decimal(repr(float(value))), "f")
    return text + "0" if re.fullmatch(r"-?[1-9]\.[0-9]{3}", text) else text


def _text(value, where):
    """Text of a value of a notebook."""
    if isinstance(value, str):
        return " ".join(value.split())
    if value is None or value is pd.NaT or value is pd.NA:
        return ""
    if isinstance(value, np.datetime64):
        value = pd.Timestamp(value)
    elif isinstance(value, np.generic) and not isinstance(value, np.timedelta64):
        value = value.item()
    if isinstance(value, datetime.datetime):
        return "" if value is pd.NaT else value.strftime("%Y-%m-%d %H:%M:%S")
    if isinstance(value, (datetime.date, datetime.time)):
        return value.isoformat()
    if isinstance(value, (bool, np.timedelta64)) or not isinstance(value, Real):
        refuse(f"{str(value)[:40]!r} is neither a number nor text", where)
    if value != value:
        return ""
    if not -1e9 < value < 1e9:
        refuse("a number is too large to be a time or a reading", where)
    return str(int(value)) if isinstance(value, Integral) else digits(value)
