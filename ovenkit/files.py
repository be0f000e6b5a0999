"""Find data files, read TOML and CSV, and refuse bad input in one clear sentence."""

import csv
import datetime
import difflib
import math
import os
import re
import tomllib
from pathlib import Path

SHOWN = 60              # letters shown of a name that is not found


class InputError(ValueError):
    """Input that cannot be used; the message says what, where, and what would be right.

    sentence : the message; where : the place that leads it (file, line, step or load), or ""
    what : the key or quantity at fault, or ""
    want : which of the wants it is of, from 0, or None
    """

    def __init__(self, sentence, where="", what="", want=None):
        super().__init__(f"{where}: {sentence}" if where else sentence)
        self.sentence, self.where, self.what, self.want = sentence, where, what, want


def refuse(sentence, where="", what="", want=None):
    """Raise InputError, arguments as there."""
    raise InputError(sentence, where, what, want)


def number(value, what, low, high, unit="", where=""):
    """Return `value` as a float, if it is a finite number from `low` to `high`.

    what : name of the quantity in a cook's words, such as "wood moisture"
    low, high : limits, both allowed, in `unit`
    unit, where : unit, and place of the value, for the message
    Raises InputError for text, true or false, nan, infinity and values outside the limits.
    """
    unit = f" {unit}" if unit else ""
    right = f"give a number from {low:g} to {high:g}{unit}"
    if isinstance(value, (bool, str)) or value is None:
        refuse(f"{what} is {value!r}, which is not a number: {right}", where, what)
    try:
        result = float(value)
    except OverflowError:
        refuse(f"{what} is a number of too many digits: {right}", where, what)
    except (TypeError, ValueError):
        refuse(f"{what} is {value!r}, which is not one number: {right}", where, what)
    if not math.isfinite(result) or not low <= result <= high:
        refuse(f"{what} is {result:.6g}{unit}: {right}", where, what)
    return result


def near(name, names):
    """Return "; did you mean 'x'?" for the name in `names` nearest to `name`, or ""."""
    found = difflib.get_close_matches(str(name).lower(), [n.lower() for n in names], 1, 0.55)
    match = [n for n in names if found and n.lower() == found[0]]
    return f"; did you mean {match[0]!r}?" if match else ""


def choose(name, names, what, where=""):
    """Return `name` if it is one of `names`.

    name : str
    names : collection of str
    what : what the name stands for, such as "load"
    where : place of the name, for the message
    Raises InputError with the nearest name, or with all names if none is near.
    """
    if isinstance(name, str) and name in names:
        return name
    hint = near(name, names) or f": give one of {', '.join(map(repr, names))}"
    refuse(f"there is no {what} {name!r}{hint}", where, what)


def clock_hours(text, what="clock time", where=""):
    """Return hours after midnight [h] of `text` ("HH:MM", 00:00 to 23:59)."""
    match = re.fullmatch(r"(\d{1,2}):(\d{2})", text) if isinstance(text, str) else None
    if not match or int(match[1]) > 23 or int(match[2]) > 59:
        shown = re.fullmatch(r"(\d{1,2})[.h ](\d{2})", str(text))
        right = f"{shown[1]}:{shown[2]}" if shown and int(shown[1]) < 24 else "06:30"
        last = "; the day ends at 23:59" if text == "24:00" else ""
        refuse(f"{what} is {text!r}: give a time of day such as \"{right}\"{last}", where, what)
    return int(match[1]) + int(match[2]) / 60.0


def data_dir():
    """Return the folder of data files, in a checkout or as installed from a wheel."""
    here = Path(__file__).resolve().parent
    for folder in (here / "data", here.parent / "data"):
        if (folder / "loads.csv").is_file():
            return folder
    refuse(f"the data folder is missing: neither {here / 'data'} nor {here.parent / 'data'} "
           "has loads.csv")


def find(path_or_name, kind="", beside=None):
    """Return the Path of a file given by path, by path in the data folder, or by bare name.

    path_or_name : str or Path; "data/ovens/x.toml" is found from any working directory
    kind : folder of the data in which bare names are looked for, "ovens" or "days"
    beside : Path of a folder that is looked in first
    Raises InputError with the nearest of the files that are there.
    """
    if not isinstance(path_or_name, (str, Path)) or not str(path_or_name).strip():
        refuse(f"a file name was expected, not {path_or_name!r}")
    name, folder = Path(path_or_name), data_dir()
    places = [Path(beside) / name] if beside else []
    places += [name, folder / name, folder.parent / name, folder / kind / name]
    for place in places:
        for path in (place, Path(f"{place}.toml")):
            if os.path.isfile(path):        # of a name too long for a file, too
                return path
    shown = str(name) if len(str(name)) <= SHOWN else f"{str(name)[:SHOWN]}..."
    if any(map(os.path.isdir, places)):
        refuse(f"{shown!r} is a folder: give a file that is in it")
    there = sorted(p.stem for p in (folder / kind).glob("*.toml")) if kind else []
    hint = near(name.stem, there)
    if not hint and there:
        hint = f": the kit's own {kind} are {', '.join(there)}"
    refuse(f"there is no file {shown!r}{hint}")


def _text(path):
    try:
        return Path(path).read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        refuse(f"there is no file {str(path)!r}")
    except UnicodeDecodeError:
        refuse("this is not UTF-8 text: open it in an editor, choose Save as, and the encoding "
               "UTF-8", Path(path).name)
    except OSError as error:
        refuse("it is a folder: give a file that is in it" if Path(path).is_dir() else
               f"it cannot be read ({error.strerror})", Path(path).name)


def date_of(value, what, where=""):
    """Return the datetime.date of one, or of "YYYY-MM-DD"; InputError."""
    if isinstance(value, datetime.date) and not isinstance(value, datetime.datetime):
        return value
    try:
        return datetime.date.fromisoformat(value)
    except (TypeError, ValueError):
        refuse(f"{what} is {value!r}: give a day such as \"2026-05-31\"", where)


TOML_SLIPS = {  # what a line of a TOML file looks like -> what would be right
    "[\u2018\u2019\u201c\u201d\u201e\u201f\u00ab\u00bb]": 'quotes are straight: "',
    r"^\s*(first|spare|out|ready|portion|moisture|outdoor|inside|masonry|wood)[ -]"
    r"(load|kg|by|at|g|pct|c|cm)\s*=": r"write \1_\2 =",
    r"^\s*[A-Za-z]\w*( \w+)+\s*=": "a name of several words stands in quotes, such as "
                                    "\"hearth loaf\" = 6",
    r"^\s*[\w\" ]+:\s": "an equals sign stands between a key and its value",
    r",\s*(?:#.*)?$": "no comma at the end of a line",
    r",\s*\}": "no comma before the closing }",
    r"=\s*\d+,\d": "a decimal is written with a point, such as 2.5",
    r"=\s*\d{1,2}[:.h]\d{2}\b": "a time stands in quotes, such as \"17:00\"",
    r"^\s*\[\s*(want|step)\s*\]": "each of several stands in double brackets: [[want]], [[step]]",
    r"(\w+)\s*=\s*(?i:yes|on|true)\W*(?:#.*)?$": r"write \1 = true",
    r"(\w+)\s*=\s*(?i:no|off|false)\W*(?:#.*)?$": r"write \1 = false, or leave it out",
    r"=\s*[A-Za-z](?!rue|alse)": "text stands in quotes",
    r"=\s*\{[^}]*$": "what begins with { ends with } on the same line"}
TOML_SAYS = {  # what tomllib says -> the same for who does not program
    r"Cannot overwrite a value": "the same name stands there twice",
    r"Cannot declare .* twice": "the same heading stands there twice: one of several begins with "
                                "[[want]], in two brackets each",
    r"Illegal character '\\n'": "a quote that is opened on this line is not closed"}


def read_toml(path):
    """Return the dict in the TOML file at `path`; InputError names the line it fails on."""
    text = _text(path)
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        line = re.search(r"line (\d+)", str(error))
        row = text.split("\n")[int(line[1]) - 1] if line else ""
        slips = ((re.search(form, row), words) for form, words in TOML_SLIPS.items())
        hint = next((f"; {found.expand(words)}" for found, words in slips if found), "")
        says = str(error)
        for form, words in TOML_SAYS.items():
            says = re.sub(form, words, says)
        refuse(f"this is not valid TOML: {says}{hint}", Path(path).name)
    except RecursionError:
        refuse("this is not valid TOML: too many brackets stand one in another", Path(path).name)
    except ValueError:                      # int() reads no more than some thousands of digits
        before = text[:re.search(r"[\d_]{640}", text).start()].split("\n")
        refuse("a number has too many digits", f"{Path(path).name} line {len(before)}")


HEADER = re.compile(r"\s*\[{1,2}\s*([^\[\],]+?)\s*\]{1,2}\s*(#.*)?$")      # [count], [[want]]
NAMED = re.compile(r"\s*([^=#\[\]]+?)\s*=")                               # a key, and what it is
QUOTED = re.compile(r"""\"{3}(?:\\.|[^\\])*?\"{3,5}|'{3}.*?'{3,5}"""      # over several lines,
                    r"""|"(?:\\.|[^"\\\n])*"|'[^'\n]*'|#[^\n]*""", re.DOTALL)     # or on one


def line_of(path, key, table="", index=0):
    """Return "file line N" for a key of a TOML file, to lead an error message.

    path : Path of the file
    key : the key; where it is not found, the line of its table is given
    table : name of the table it stands in, "" for the top of the file
    index : which of several [[tables]] of that name, from 0
    """
    plain = QUOTED.sub(lambda found: "\n" * found[0].count("\n") or found[0], _text(path))
    whole = ".".join(filter(None, (table, key)))
    current, count, best = "", -1 if table else 0, 0
    for n, line in enumerate(plain.split("\n"), start=1):
        header, named = HEADER.match(line), NAMED.match(line)
        if header:
            current = name = header[1]
            count += current == table
        elif named:
            name = ".".join(filter(None, (current, re.sub("[\"']", "", named[1]))))
        else:
            continue
        if current != table or count == index:
            if name == whole:
                return f"{Path(path).name} line {n}"
            best = best or n * (name == table)      # a table in braces, on the line of its name
    return f"{Path(path).name} line {best}" if best else Path(path).name


def read_csv(path, columns):
    """Return the rows of a CSV file as dicts, each with its line number under "line".

    path : Path of the file; lines that begin with # and empty lines are left out
    columns : dict of column name -> type, str or float; an empty float cell is nan, and
        other columns are left as text
    Raises InputError naming file, line and column for a missing column or a bad cell.
    """
    file, lines = Path(path).name, _text(path).splitlines()
    kept = [(n, line) for n, line in enumerate(lines, start=1)
            if line.strip() and not line.lstrip().startswith("#")]
    if not kept:
        refuse("the file has no rows", file)
    header, *cells = [[c.strip() for c in next(csv.reader([line]))] for _, line in kept]
    for column in columns:
        if column not in header:
            refuse(f"the column {column!r} is missing{near(column, header)}",
                   f"{file} line {kept[0][0]}")
    rows = []
    for (n, _), values in zip(kept[1:], cells, strict=True):
        if len(values) != len(header):
            refuse(f"the row has {len(values)} cells, the header has {len(header)}",
                   f"{file} line {n}")
        row = dict(zip(header, values, strict=True))
        for column in (c for c, kind in columns.items() if kind is float):
            row[column] = _cell(row[column], column, f"{file} line {n}")
        rows.append(row | {"line": n})
    return rows


def _cell(text, column, where):
    if not text:
        return math.nan
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        refuse(f"column {column!r} holds {text!r}, which is not a number", where)
    return value
