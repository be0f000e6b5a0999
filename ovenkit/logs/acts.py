"""What a row of a log says was done.

lit · wood 3.5 · spread · raked out · in 6 hearth loaf · out · door open 5 min · shut · end
"""

import re
from typing import NamedTuple

from ovenkit.burning import wet_basis_pct
from ovenkit.files import InputError, near, number, refuse
from ovenkit.loads import load_catalogue
from ovenkit.logs.words import decimal, plain
from ovenkit.units import lb_to_kg

AJAR_MM = 20.0      # a finger
FORMS = ("lit", "wood 3.5", "spread", "raked out", "in 6 hearth loaf", "out", "door open 5 min",
         "door ajar 20 mm", "shut", "end")
NUMBER = r"([0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)"
WET = rf"(?:[,;]? ?(?:(?:pin )?(meter):? ?)?{NUMBER} ?(%)?)?"
WOOD = (rf"(?:wood|stoke[d]?|fed|feed|put on|added|add|\+):? ?{NUMBER} ?(kg|lbs?|pounds?)?"
        rf"(?: of)?(?: wood| logs?)?{WET}",
        rf"\+?{NUMBER} ?(kg|lbs?|pounds?)(?: of)?(?: wood| logs?)?{WET}")
ODD_PCT = 24.0      # of water by weight: so wet a wood is rarely burnt, a meter often shows it
DOOR = (rf"(?:the )?(?:door )?(?:is )?(open(?:ed)?|off|shut|closed?|ajar|on)(?: the door)?"
        rf"(?:[ ,]+{NUMBER} ?(mm|cm))?(?:[ ,]+(?:for )?{NUMBER} ?(min(?:utes?)?|mins|m|h|hours?))?")
ASIDE = r"(?:swab|mop|brush|turn|steam|spray|flip|rotat|vent|flour|rain|snow|read|check)\w*\b.*"


class Did(NamedTuple):
    """A row of what was done: hours after lighting, its text, its line."""
    hours: float
    what: str
    line: int


class Act(NamedTuple):
    """What a row means: `kind` of "lit", "wood", "spread", "rake", "in", "out", "door", "end" or
    "aside", and its `value`s; `unsure` : how it was read, `doubt` : what to look at, or ""."""
    kind: str
    value: tuple = ()
    unsure: str = ""
    doubt: str = ""


def is_lit(text):
    """Whether a text says that the fire is lit."""
    return bool(re.fullmatch(
        r"(?:the )?(?:fire )?(?:re-?)?(?:lit\b.*|(?:lighted|light|lighting)(?: up)?(?: the fire)?"
        r"(?: again)?(?:[,:;]? .*[0-9].*)?)", plain(text).lower().strip(" .!")))


def is_act(text):
    """Whether a text is something done, in a form that `read_act` takes."""
    try:
        return bool(plain(text)) and bool(read_act(text))
    except InputError:
        return False


def read_act(text, where=""):
    """Return the Act of a text; InputError with the nearest form for what is none."""
    low = plain(text).lower().strip(" .!")
    if is_lit(low):
        wood = re.search(r"(?:\+|wood|[0-9.,]+ ?(?:kg|lb|pound)).*$", low)
        return Act("lit", (read_act(wood[0], where),) if wood else ())
    for form in WOOD:
        found = re.fullmatch(form, low)
        if found and (found[3] or found[5] or not found[4]):
            return _wood(found, where)
    if re.fullmatch(r"(?:the )?(?:embers? )?spread(?: out)?(?: the)?(?: embers?)?(?: out)?", low):
        return Act("spread")
    if re.fullmatch(r"(?:the )?(?:embers? |fire |ash )?(?:raked?|raking)(?: ?-?it| all)?(?: the)?"
                    r"(?: embers?| fire)?(?:[ -]?out)?(?: the)?(?: embers?)?|embers out", low):
        return Act("rake")
    found = re.fullmatch(DOOR, low)
    if found and (low not in ("on", "off")):
        return _door(found)
    if re.fullmatch(ASIDE, low):
        return Act("aside")
    if re.fullmatch(r"end|the end|ended|finish(?:ed)?|done|stop(?:ped)?", low):
        return Act("end")
    if re.fullmatch(r"(?:all |everything |took |taken |take |it )?out(?: all)?", low):
        return Act("out")
    found = (re.fullmatch(r"(?:took |taken |take )?(?:out:? (.+)|(.+?),? (?:taken )?out)", low)
             or re.fullmatch(r"un-?loaded:? (.+)()", low))
    if found:
        return Act("out", _loads(found[1] or found[2], where, out=True))
    found = (re.fullmatch(r"(?:put |went )?in:? (.+)()", low)
             or re.fullmatch(r"load(?:ed)?:? (.+)()", low)
             or re.fullmatch(r"()(.+?),? (?:went |put |go |goes )?in", low))
    if found:
        return Act("in", _loads(found[1] or found[2], where))
    if re.match(r"wood|stoke|fed\b|added\b", low):
        refuse(f"{plain(text)!r} does not say how much: write it like 'wood 3.5', in kg", where)
    refuse(f"{plain(text)!r} is nothing that can be done"
           f"{near(low, FORMS) or ': write it like one of ' + ', '.join(map(repr, FORMS))}", where)


def _wood(found, where):
    amount, unit = decimal(found[1])[0], found[2] or ""
    kg = lb_to_kg(amount) if unit.startswith(("lb", "pound")) else amount
    wet = found[4] and decimal(found[4])[0]
    doubt = ""
    if wet and found[3]:
        wet = float(wet_basis_pct(wet))
    elif wet and wet > ODD_PCT:
        doubt = (f"{wet:g} % is read as the share of water in what was weighed; if a pin meter "
                 f"showed it, write 'meter {wet:g}'")
    return Act("wood", (number(kg, "wood", 0.05, 200, "kg", where), wet),
               "" if unit else f"{amount:g} is read as kg of wood", doubt)


def _door(found):
    how, gap, unit, minutes, long = found.groups()
    state = "shut" if how in ("shut", "on") or how.startswith("close") else "open"
    unsure = ""
    if how == "ajar" or gap:
        state = (decimal(gap)[0] * (10.0 if unit == "cm" else 1.0)) if gap else AJAR_MM
        unsure = "" if gap else f"ajar is read as a gap of {AJAR_MM:g} mm"
    minutes = minutes and decimal(minutes)[0] * (60.0 if long.startswith("h") else 1.0)
    return Act("door", (state, minutes), unsure)


def _loads(text, where, out=False):
    """((name of load, count or None), ...) of "6 hearth loaves + 1 steam tray"; () of "bread" that
    comes out."""
    found = []
    names = {_singular(name): name for name in load_catalogue()}
    for part in re.split(r"\s*(?:\+|&|;|,|\band\b)\s*", text):
        count = re.match(r"([0-9]{1,3}) ?x? (?=\D)", part) or re.search(r" x ?([0-9]{1,3})$", part)
        name = (part[:count.start()] + part[count.end():] if count else part).strip()
        name = re.sub(r"^(?:the|a|of) ", "", name)
        if out and name in ("bread", "loaves", "all", "everything", "food", "it", "them"):
            return ()
        if _singular(name) not in names:
            refuse(f"there is no load {name!r}"
                   f"{near(name, names.values()) or ': give a name of data/loads.csv'}", where)
        if not (count or out or name == names[_singular(name)]):
            refuse(f"how many {name} went in? write it like 'in 6 hearth loaf'", where)
        found.append((names[_singular(name)], int(count[1]) if count else None))
    return tuple(found)


def _singular(name):
    words = [w if w in ("g",) else re.sub("ves$", "f", w) for w in name.split()]
    return " ".join(re.sub("s$", "", w) for w in words)
