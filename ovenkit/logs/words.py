"""What one cell of a log says: a number, a reading, a unit, an instrument, the head of a column.

People write 310, 310,5, 620F, >500, HI, 310? and "floor IR"; what may be one thing or another is
refused, or comes back with a doubt.
"""

import difflib
import re
import unicodedata
from typing import NamedTuple

from ovenkit.files import near, refuse
from ovenkit.run import READINGS

BLANK = {"", "-", "--", "---", "/", ".", "x", "n/a", "na", "nan", "none", "nil", "null"}
BROKEN = {"err", "error", "fail", "fault", "e", "eee", "blot", "smudge", "illegible", "unreadable"}
UNREADABLE = r"[0-9]+[?_*x#]+[0-9]+|[0-9]*[_*x#]+|[?_*x#]+[0-9]+"     # a digit of it is lost
UNITS = {"c": "C", "celsius": "C", "celcius": "C", "centigrade": "C", "f": "F",
         "fahrenheit": "F", "farenheit": "F"}
ALIKE = 0.75    # a head so like a known one is a slip of the pen, not a column of its own
SAME = {  # words of cooks -> words of the kit
    "floor": "hearth", "deck": "hearth", "sole": "hearth", "hearthstone": "hearth",
    "roof": "dome", "ceiling": "dome", "crown": "dome", "rear": "back", "mouth": "front",
    "ir": "spot", "infrared": "spot", "gun": "spot", "laser": "spot", "surface": "spot",
    "skin": "spot", "pyrometer": "spot", "reader": "spot", "thermometer": "probe",
    "thermocouple": "probe", "embedded": "deep", "buried": "deep", "walls": "wall",
    "seconds": "count", "sec": "count", "s": "count"}
IDLE = set("the of in at on by a my temp temps temperature reading readings".split())
BACK = "as 'dome back spot'; if it was near the mouth write 'dome front'"
DEEP = "as 'deep hearth probe', 25 mm under the hearth, the only deep one the kit knows"
INSTRUMENTS = {  # words, in any order -> instrument, and how it was taken where that is a guess
    "hearth": ("hearth spot", ""), "hearth spot": ("hearth spot", ""),
    "hearth middle": ("hearth spot", ""), "hearth middle spot": ("hearth spot", ""),
    "dome back": ("dome back spot", ""), "dome back spot": ("dome back spot", ""),
    "dome front": ("dome front spot", ""), "dome front spot": ("dome front spot", ""),
    "dome": ("dome back spot", BACK), "dome spot": ("dome back spot", BACK),
    "air": ("air probe", ""), "air probe": ("air probe", ""), "oven probe": ("air probe", ""),
    "oven air": ("air probe", ""), "oven air probe": ("air probe", ""),
    "oven": ("air probe", "as 'air probe'; if it was pointed at the floor write 'hearth'"),
    "air probe near wall": ("air probe near wall", ""), "air wall": ("air probe near wall", ""),
    "air near wall": ("air probe near wall", ""), "air probe wall": ("air probe near wall", ""),
    "probe near wall": ("air probe near wall", ""), "near wall": ("air probe near wall", ""),
    "deep": ("deep hearth probe", ""), "deep probe": ("deep hearth probe", ""),
    "deep hearth": ("deep hearth probe", ""), "deep hearth probe": ("deep hearth probe", ""),
    "hearth probe": ("deep hearth probe",
                     "as 'deep hearth probe'; if it lay on the hearth write 'hearth spot'"),
    "probe wall": ("deep hearth probe", DEEP), "deep wall": ("deep hearth probe", DEEP),
    "deep probe wall": ("deep hearth probe", DEEP),
    "hand": ("hand count", ""), "hand count": ("hand count", ""), "count": ("hand count", ""),
    "hand test": ("hand count", "")}
BY_WORDS = {frozenset(words.split()): found for words, found in INSTRUMENTS.items()}

HOUR, MINUTE = {"hour", "hours", "h", "hr", "hrs"}, {"min", "mins", "minute", "minutes"}
AFTER = {"after", "since", "elapsed", "lighting", "decimal"}
TIMES = HOUR | MINUTE | AFTER | set("time clock when timestamp datetime".split())
BESIDE_TIMES = set("of day date the lit fire from start at local s o'clock".split())
HEADS = {  # a column's kind -> heads
    "where": ("where", "place", "instrument", "thermometer", "position", "location", "point",
              "spot", "sensor"),
    "reading": ("reading", "readings", "temp", "temps", "temperature", "temperatures", "value",
                "deg", "degrees", "shows", "reads"),
    "what": ("what", "step", "event", "did", "done", "action", "what was done", "job"),
    "note": ("note", "notes", "remark", "remarks", "comment", "comments"),
    "use": ("use", "used", "keep"),
    "unit": ("unit", "units", "scale"),
    "range": ("range", "max", "highest", "limit", "reads to", "up to"),
    "date": ("date", "day")}
BY_HEAD = {head: kind for kind, heads in HEADS.items() for head in heads}


class Head(NamedTuple):
    """The head of a column.

    kind : of HEADS, "time", "instrument", or "" for an unknown one
    where : instrument, of a column of one; taken : how, where that is a guess
    unit : "C", "F", or ""; top : highest that its instrument shows, in its unit, or None
    after : of a time, "hours" or "minutes" after lighting, "clock", "hours?", or ""
    decimal : hours of a time are decimal ones for certain
    """
    kind: str
    where: str = ""
    taken: str = ""
    unit: str = ""
    top: float | None = None
    after: str = ""
    decimal: bool = False


class Shown(NamedTuple):
    """What an instrument showed.

    value : number in `unit`, or None where none is written
    unit : "C", "F", "s", or "" for none said
    bound : ">" past the range, "<" below it, "!" an error of the instrument, or ""
    note : "?" or "~", where the writer was not sure; doubt : how it was read, or ""
    """
    value: float | None
    unit: str = ""
    bound: str = ""
    note: str = ""
    doubt: str = ""


def plain(text):
    """Return a cell's text with one kind of space, degree sign, dash and quote."""
    for odd, usual in (("º", "°"), ("˚", "°"), ("½", ".5"), ("¼", ".25"), ("¾", ".75")):
        text = text.replace(odd, usual)
    text = unicodedata.normalize("NFKC", text)
    text = re.sub("[\u2010-\u2015\u2212]", "-", text).replace("\u2019", "'").replace("×", "x")
    return " ".join(text.split())


def decimal(text, where="", thousands=False):
    """Return (number, doubt) of a text with a decimal point or comma, or None for another text.

    thousands : read 1 020, 1'020 and 1,020 as a thousand and twenty. Raises InputError for 1.020.
    """
    if thousands:
        if re.fullmatch(r"[+-]?[1-9]\.[0-9]{3}", text):
            refuse(f"{text!r} may be {text.replace('.', '')} or {text}0: write one of them",
                   where)
        if re.fullmatch(r"[1-9],[0-9]{3}", text):
            return float(text.replace(",", "")), f"{text} is read as {text.replace(',', '')}"
        if re.fullmatch(r"[1-9][ '][0-9]{3}([.,][0-9]+)?", text):
            text = re.sub("[ ']", "", text)
        mixed = re.fullmatch(r"([1-9])([.,])([0-9]{3})(?!\2)[.,]([0-9]+)", text)
        if mixed:
            text = f"{mixed[1]}{mixed[3]}.{mixed[4]}"
    if re.fullmatch(r"[+-]?([0-9]{1,9}([.,][0-9]{0,30})?|\.[0-9]{1,30})", text):
        return float(text.replace(",", ".")), ""
    if re.fullmatch(r"[+-]?[0-9](\.[0-9]{1,20})?[eE][+-]?[0-9]{1,2}", text):
        return float(text), ""
    return None


def unit_of(text):
    """Return "C" or "F" of a text such as "°C", "deg F" or "Celsius", or ""."""
    low = text.strip().lower()
    found = (re.fullmatch(r"deg([cf])", low)
             or re.fullmatch(r"(?:°|deg(?:rees?)?\b\.?)?\s*([a-z]+)\.?", low))
    return UNITS.get(found[1], "") if found else ""


def shown(text, hand=False, where=""):
    """Return the Shown of a reading as it was written, or None for an empty cell.

    hand : a hand count, in seconds
    Raises InputError for what is no reading, and for what may be two.
    """
    rest = plain(text).lower()
    if rest not in BLANK and re.fullmatch(UNREADABLE, rest):
        return Shown(None, bound="!", note="?")
    note = "?" if "?" in rest else ""
    rest = rest.replace("?", "").strip()
    if rest in BLANK:
        return Shown(None, bound="!", note="?") if note else None
    if rest.rstrip(".") in BROKEN:
        return Shown(None, bound="!")
    about = re.match(r"(~|≈|ca\b\.?|circa\b|about\b|approx\b\.?|around\b)\s*", rest)
    if about:
        rest, note = rest[about.end():], note or "~"
    bound, rest = _bound(rest)
    if not rest and bound:
        return Shown(None, "", bound, note)
    number, unit = _number_and_unit(rest, where)
    if number is None or hand and unit not in ("", "s") or not hand and unit == "s":
        right = ("give seconds, such as 12" if hand else
                 "give one number such as 310, 310 °C or 590 °F, >500 or HI for past the range, "
                 "or leave the cell empty")
        between = re.match(r"([0-9.,]+)\s*(?:-|to|/|\.\.+)\s*([0-9.,]+)", rest)
        middle = _middle(between) if between else None
        right = f"give one number, such as {middle:g}" if middle is not None else right
        refuse(f"the {'hand count' if hand else 'reading'} is {plain(text)!r}: {right}", where)
    return Shown(number[0], "s" if hand else unit, bound, note, number[1])


def _bound(rest):
    """(">", "<" or "", the text without it)."""
    for sign, head, tail in (
            (">", r"(>=?|≥|over(?:range|load)?\b|above\b|more than\b|at least\b|hi(?:gh)?\b"
             r"|o\.?l\.?(?![a-z])|o/l\b|max\b)", r"(\+|and over|or more|and up)"),
            ("<", r"(<=?|≤|under\b|below\b|less than\b|lo(?:w)?\b)", r"(or less)")):
        found = re.match(head, rest)
        if found:
            return sign, rest[found.end():].strip(" .:(),")
        found = re.search(rf"\s*{tail}(\s*[a-z°]*)$", rest)
        if found and re.match("[0-9]", rest):
            return sign, rest[:found.start()] + found[2]
    return "", rest


def _number_and_unit(rest, where):
    found = re.fullmatch(r"([+-]?[0-9.,' ]*[0-9](?:e[+-]?[0-9]+)?[.,]?)\s*(.*)", rest)
    if not found:
        return None, ""
    number, tail = decimal(found[1].strip(), where, thousands=True), found[2].strip(" .")
    if re.fullmatch(r"s|secs?|seconds?|counts?", tail):
        return number, "s"
    unsaid = tail in ("", "°", "deg", "degrees")
    unit = "" if unsaid else unit_of(tail)
    return (number, unit) if unit or unsaid else (None, "")


def _middle(between):
    low, high = (decimal(text.strip(".,")) for text in between.groups())
    return None if low is None or high is None else (low[0] + high[0]) / 2


def instrument(text):
    """Return (instrument of `run.READINGS`, how it was taken where that is a guess), or None."""
    words = re.findall(r"[a-z]+|[0-9]+", re.sub(r"°\s*[cf]\b", " ", plain(text).lower()))
    words = [w for w in words if w not in IDLE and w not in ("t", "c", "f", "degc", "degf")]
    return BY_WORDS.get(frozenset(SAME.get(w, w) for w in words))


def choose_instrument(text, where=""):
    """Return `instrument` of a text; InputError with the nearest name for one that is none."""
    found = instrument(text)
    if found is None:
        hint = near(plain(text), [*READINGS, *INSTRUMENTS])
        if instrument(f"air {text}") and instrument(f"deep {text}"):
            hint = ": is it 'air probe' or 'deep hearth probe'?"
        elif instrument(f"hearth {text}") and instrument(f"dome {text}"):
            hint = ": is it 'hearth spot', 'dome back spot' or 'dome front spot'?"
        refuse(f"there is no instrument {plain(text)!r}"
               f"{hint or ': give one of ' + ', '.join(map(repr, READINGS))}", where)
    return found


def head(text, where=""):
    """Return the Head of a column; InputError for one that is both °C and °F."""
    low = plain(text).lower().strip(" :.")
    top = re.search(r"\b(?:max|up to|to|range)\.?\s*([0-9]+)\b", low)
    if top:
        low = low[:top.start()] + low[top.end():]
    words = re.findall(r"[a-z']+|[0-9]+", re.sub(r"deg(rees?)?\.?\s*(?=[cf]\b)|[°_]", " ", low))
    units = {UNITS[w] for w in words if w in UNITS}
    rest = [w for w in words if w not in UNITS and w not in ("in", "the", "a")]
    if len(units) == 2:
        if not rest or BY_HEAD.get(rest[0]) == "unit":
            return Head("unit")
        refuse(f"the head {plain(text)!r} has °C and °F: keep the one that the readings are in",
               where)
    unit, name = (units.pop() if units else ""), " ".join(rest)
    most = float(top[1]) if top else None
    if TIMES & set(rest) and set(rest) <= TIMES | BESIDE_TIMES:
        return Head("time", after=_after(set(rest)), decimal="decimal" in rest)
    if name in BY_HEAD:
        return Head(BY_HEAD[name], unit=unit, top=most)
    if not rest and unit:
        return Head("reading", unit=unit, top=most)
    found = instrument(name)
    return Head("instrument", *found, unit, most) if rest and found else Head("")


def _after(words):
    if words & MINUTE:
        return "minutes"
    if words & AFTER:
        return "hours"
    if words & HOUR:
        return "hours?"
    return "clock" if words & {"clock", "day", "o'clock"} else ""


def like_a_head(text):
    """Return "; did you mean 'x'?" for a head that is nearly a known one, or ""."""
    known = [*BY_HEAD, *READINGS, "hearth", "dome", "dome back", "deep", "time", "clock", "hours",
             "hand"]
    low = re.sub(r"\(.*|\[.*", "", plain(text).lower()).strip()
    return near(low, known) if difflib.get_close_matches(low, known, 1, ALIKE) else ""
