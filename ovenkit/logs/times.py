"""The times of a log: clocks and hours as people write them -> hours after lighting.

A clock runs on: a time that falls back by more than BACK_MIN is on the next day, unless it can as
well be the afternoon of a clock of twelve hours, which is refused. A small step back is a doubt.
"""

import datetime
import re
from typing import NamedTuple

from ovenkit.files import refuse
from ovenkit.logs.words import decimal, plain

DAY_MIN, BACK_MIN = 1440.0, 180.0
FAR_MIN = 720.0         # to the next entry, or from lighting to the first: worth a doubt
WHOLE_LOG_MIN = 96 * 60.0
NAMED = {"noon": "12:00", "midday": "12:00", "midnight": "0:00"}
DATES = ("%Y-%m-%d", "%d.%m.%Y", "%d.%m.%y", "%d/%m/%Y", "%m/%d/%Y", "%d/%m/%y", "%m/%d/%y")
RIGHT = "give a time such as 7:30, 19:30, 7:30 pm, or hours after lighting such as 2.5"
AS_ABOVE = {"", '"', "''", "do.", "ditto", "-"}
NEXT = r"(?:\(?\+ ?1 ?d?(?:ay)?\)?|\(?next (?:day|morning|night)\)?)"


class Moment(NamedTuple):
    """A time as it was written.

    form : "clock" (7:30, 7h30, 7 pm), "dot" (7.30), "run" (730), "whole" (7), "number"
        (2.5), or "lasting" (30 min)
    value : minutes of "clock" and "lasting", else the number
    half : "am", "pm", "said" for noon and midnight, or ""
    next_day : it says so; date : or None; sure : False for "7:30?"
    """
    form: str
    value: float
    half: str = ""
    next_day: bool = False
    date: str | None = None
    sure: bool = True

    @property
    def minutes(self):
        """Minutes of the clock that it can be read as, or None."""
        hours, minutes = divmod(self.value, 100.0)
        return {"clock": self.value, "whole": 60.0 * self.value if self.value < 24 else None,
                "run": 60.0 * hours + minutes,
                "dot": 60.0 * int(self.value) + round(100.0 * (self.value % 1.0))}.get(self.form)


def moment(text, where=""):
    """Return the Moment of a cell; InputError for what is no time."""
    low = plain(text).lower()
    sure, low = "?" not in low, low.replace("?", "").strip().removeprefix("~").strip()
    named = re.search(r"\b(?:12 )?(noon|midday|midnight)\b", low)
    low = low.replace(named[0], NAMED[named[1]]) if named else low
    date = re.match(r"([0-9]{4}-[0-9]{2}-[0-9]{2}|[0-9]{1,2}[./][0-9]{1,2}[./](?:[0-9]{4}|[0-9]{2})"
                    r"(?= ))[t ,]+", low)
    low = low[date.end():] if date else low
    tomorrow = re.match(rf"{NEXT},? *", low) or re.search(rf",? *{NEXT}$", low)
    low = (low[:tomorrow.start()] + low[tomorrow.end():]).strip() if tomorrow else low
    date = date and date[1]
    end = re.fullmatch(r"(.*?) ?([ap])\.? ?m\.?", low)
    half, low = (f"{end[2]}m", end[1]) if end else ("", low)
    rest = ("said" if named else half, bool(tomorrow), date, sure)
    clock = (re.fullmatch(r"([0-9]{1,2}) ?(?::|h|hrs?) ?([0-9]{2})(?::([0-9]{2})(?:\.0*)?)?"
                          r" ?(?:h|hrs?|m|min|o'clock)?", low)
             or half and re.fullmatch(r"([0-9]{1,2})[.,]([0-9]{2})()", low)
             or re.fullmatch(r"([0-9]{1,2}) ?(?:h|o'clock)()()", low)
             or half and re.fullmatch(r"([0-9]{1,2})()()", low))
    if clock:
        hours, minutes, seconds = (int(part or 0) for part in clock.groups())
        if hours > (12 if half else 96) or minutes > 59 or seconds > 59 or half and hours < 1:
            refuse(f"the time is {plain(text)!r}: {RIGHT}", where)
        hours += {"": 0, "am": -12 * (hours == 12), "pm": 12 * (hours < 12)}[half]
        return Moment("clock", 60.0 * hours + minutes + seconds / 60.0, *rest)
    unit = re.search(r" ?(h|hrs?|hours?|min|mins|minutes?)$", low)
    found = None if half else decimal(low[:unit.start()] if unit else low)
    if found is None or found[0] > WHOLE_LOG_MIN:
        refuse(f"the time is {plain(text)!r}: {RIGHT}", where)
    if unit:
        return Moment("lasting", found[0] * (1.0 if unit[1].startswith("m") else 60.0), *rest)
    dot = re.fullmatch(r"([0-9]{1,2})[.,]([0-9]{2})", low)
    form = "number"
    if dot and int(dot[1]) < 24 and int(dot[2]) < 60:
        form = "dot"
    elif re.fullmatch(r"([01]?[0-9]|2[0-3])[0-5][0-9]", low):
        form = "run"
    elif re.fullmatch(r"[0-9]{1,2}", low):
        form = "whole"
    return Moment(form, found[0], *rest)


class Times(NamedTuple):
    """hours : after lighting, of each row; lit_at : "HH:MM", or None; doubts : (line, text)"""
    hours: list
    lit_at: str | None
    doubts: list


def hours_after(rows, column, lit_at, name):
    """Return the Times of the rows of a log.

    rows : tuples of (line, cell of time, cell of date, row says that the fire is lit); an empty
        time is that of the row above
    column : Head of the times and its line; lit_at : text of the time of lighting, or None
    name : leads errors, such as "log.csv line"
    Raises InputError naming the line.
    """
    head, head_line = column
    moments, doubts = [], []
    for line, text, date, _ in rows:
        where = f"{name} {line}"
        if plain(text) in AS_ABOVE:
            if not moments:
                refuse(f"the first row has no time: {RIGHT}", where)
            moments.append(moments[-1])
            continue
        moments.append(moment(text, where)._replace(**{"date": plain(date)} if plain(date) else {}))
        if not moments[-1].sure:
            doubts.append((line, f"the time is {plain(text)!r}"))
    lit_cell = next((m for m, row in zip(moments, rows, strict=True) if row[3]), None)
    clocked = _is_clock(moments, head, lit_cell, lit_at, (name, rows, head_line), doubts)
    if clocked:
        return _by_clock(moments, rows, lit_at, lit_cell, name, doubts)
    return _by_hours(moments, rows, head, lit_at, lit_cell, name, doubts)


def _is_clock(moments, head, lit_cell, lit_at, place, doubts):
    """Whether a column is of clock times; the doubts there are in that are added."""
    name, rows, head_line = place
    forms = {m.form for m in moments}
    if head.after in ("hours", "minutes"):
        return False
    if head.after == "clock" or "clock" in forms:
        if "clock" in forms and head.after == "hours?" and not lit_at and lit_cell is None:
            refuse("7:30 in a column of hours may be a clock or hours after lighting: head it "
                   "'time' and say when the fire was lit, or head it 'hours after lighting'",
                   f"{name} {head_line}")
        return True
    lit_by_clock = lit_at is not None or lit_cell is not None and lit_cell.value > 0
    if head.after == "hours?":
        return False
    if lit_by_clock and not forms & {"number", "lasting"}:
        return True
    if forms == {"lasting"} or "lasting" in forms and not lit_by_clock and "number" in forms:
        return False
    if "number" in forms and not lit_by_clock:
        doubts.append((head_line, "times such as "
                       f"{next(m.value for m in moments if m.form == 'number'):g} are read as "
                       "hours after lighting; 'hours after lighting' as the head says so"))
        return False
    line = next(row[0] for row, m in zip(rows, moments, strict=True)
                if not lit_by_clock or m.form in ("number", "lasting"))
    refuse("this may be a time of day or hours after lighting: write 7:30 for a clock, or head "
           "the column 'hours after lighting' or 'minutes after lighting'", f"{name} {line}")


def _by_hours(moments, rows, head, lit_at, lit_cell, name, doubts):
    each = 1.0 if head.after == "minutes" else 60.0
    minutes = []
    for (line, text, *_), m in zip(rows, moments, strict=True):
        if m.half or m.date or m.next_day or m.form == "clock" and each == 1.0:
            refuse(f"the time is {plain(text)!r} in a column of {head.after.rstrip('?')}: write "
                   "a number such as 150 or 2.5 after lighting", f"{name} {line}")
        minutes.append(m.value * (1.0 if m.form in ("clock", "lasting") else each))
        if not -DAY_MIN <= minutes[-1] <= WHOLE_LOG_MIN:
            refuse(f"the time is {plain(text)!r}, {minutes[-1] / 60:g} h after lighting: give "
                   "hours from -24 to 96", f"{name} {line}")
    if lit_cell is not None and lit_cell.value != 0:
        line = next(row[0] for row in rows if row[3])
        refuse(f"the fire is lit at {lit_cell.value:g}, and hours count from lighting: write 0 "
               "there, or head the column 'time' for a clock", f"{name} {line}")
    _back_doubts(minutes, rows, doubts)
    parts = [(row[0], re.fullmatch(r"-?[0-9]+[.,]([0-9]+)", plain(row[1]))) for row in rows]
    parts = [(line, part) for line, part in parts if part]
    if each == 60.0 and not head.decimal and len(parts) > 1 and {
            part[1] for _, part in parts} <= {"00", "15", "30", "45"} and any(
            part[1] in ("30", "45", "15") for _, part in parts):
        line, part = next((line, part) for line, part in parts if part[1] != "00")
        doubts.append((line, f"{part[0]} is read as a decimal number of hours; if it is hours and "
                       f"minutes write {re.sub('[.,]', ':', part[0])}"))
    return Times([m / 60.0 for m in minutes], _clock_text(_lit(lit_at)), doubts)


def _lit(lit_at):
    """Minutes of the day of a text of the time of lighting, or None."""
    if lit_at is None:
        return None
    if not isinstance(lit_at, str):
        refuse(f"lit_at is {lit_at!r}: give the time of lighting, such as \"06:30\"")
    m = moment(lit_at, "lit_at")
    if m.minutes is None or not 0 <= m.minutes < DAY_MIN:
        refuse(f"lit_at is {lit_at!r}: give the time of lighting, such as \"06:30\"")
    return m.minutes


def _clock_text(minutes):
    return None if minutes is None else "{:02.0f}:{:02.0f}".format(
        *divmod(round(minutes) % DAY_MIN, 60))


def _by_clock(moments, rows, lit_at, lit_cell, name, doubts):
    lit = _lit(lit_at)
    if lit is None and lit_cell is None:
        refuse("nothing says when the fire was lit: add a row 'lit' with its time, or give "
               "lit_at=\"06:30\"", f"{name} {rows[0][0]}")
    days, twelve = _days(moments, rows, name), any(m.half.endswith("m") for m in moments)
    long_clock = (lit or 0) >= 780 or any(
        (m.minutes or 0) >= 780 or m.form != "whole" and m.minutes is not None and m.minutes < 60
        for m in moments if not m.half)
    now, minutes = lit, []
    for (line, text, *_), m, day in zip(rows, moments, days, strict=True):
        where, clock = f"{name} {line}", m.minutes
        if clock is None or not 0 <= clock <= DAY_MIN:
            refuse(f"the time is {plain(text)!r} among clock times: write it like 7:30", where)
        blank = plain(text) in AS_ABOVE
        at = minutes[-1] if blank else _next(clock, m, now, day, twelve, long_clock, text, where)
        if m.form in ("run", "whole") and not blank:
            doubts.append((line, f"{plain(text)} is read as {_clock_text(at)}"))
        if minutes and at < max(minutes) and not blank:
            doubts.append((line, f"{plain(text)} comes {max(minutes) - at:.0f} minutes before an "
                           "entry above it: look at both times"))
        said = blank or m.next_day or day is not None
        if now is not None and at - now > FAR_MIN and not said:
            doubts.append((line, f"{plain(text)} is read as {(at - now) / 60:.1f} h after the "
                           "time before it: if so much time did not pass, correct it"))
        minutes.append(at)
        now = at if now is None else max(now, at)
    start = next((at for at, row in zip(minutes, rows, strict=True) if row[3]), lit)
    if lit is not None and abs((start - lit + 720) % DAY_MIN - 720) > 0.51:
        line = next(row[0] for row in rows if row[3])
        refuse(f"the fire is lit at {_clock_text(start)} here, and elsewhere at "
               f"{_clock_text(lit)}: leave one of the two out", f"{name} {line}")
    for (line, text, *_), at in zip(rows, minutes, strict=True):
        if not -DAY_MIN <= at - start <= WHOLE_LOG_MIN:
            refuse(f"the time is {plain(text)!r}, {(at - start) / 60:.0f} h after lighting: give "
                   "times of one firing, at most 96 h", f"{name} {line}")
    return Times([(at - start) / 60.0 for at in minutes], _clock_text(start), doubts)


def _next(clock, m, now, day, twelve, long_clock, text, where):
    """Minutes, counted on over midnights, of a clock time that comes after `now`."""
    if day is not None:
        return clock + DAY_MIN * (day + m.next_day)
    if m.next_day:
        late = -(-((now or 0.0) - BACK_MIN - clock) // DAY_MIN)
        return clock + DAY_MIN * max(1.0, late)
    if now is None:
        if twelve and not m.half and clock < 780:
            refuse(f"the time is {plain(text)!r}, and others say am or pm: write {plain(text)} am "
                   "or pm", where)
        return clock
    if twelve and not m.half and clock < 780:
        at = clock % 720.0
        return at + 720.0 * -(-(now - BACK_MIN - at) // 720.0)
    at = clock + DAY_MIN * (now // DAY_MIN)
    if now - at <= BACK_MIN:
        return at - DAY_MIN if at - DAY_MIN >= now - BACK_MIN else at
    if not (long_clock or twelve) and clock < 780:
        refuse(f"{plain(text)} comes after {_clock_text(now)}: is it {_clock_text(clock + 720)} of "
               f"that day, or the next day? write {_clock_text(clock + 720)} or "
               f"'{plain(text)} next day'", where)
    return at + DAY_MIN


def _days(moments, rows, name):
    """Days after the first date of each row, None for rows of a log without dates."""
    said = [m.date for m in moments]
    if not any(said):
        return said
    if all(re.fullmatch(r"(day )?[0-9]", d.lower()) for d in said if d):
        found = [d and int(d[-1]) for d in said]
    else:
        found = next(filter(None, (_dated(said, form) for form in DATES)), None)
    if found is None:
        line = next(row[0] for row, d in zip(rows, said, strict=True) if d)
        refuse(f"the dates such as {next(filter(None, said))!r} are not days of one firing: write "
               "them like 2026-05-31", f"{name} {line}")
    first = next(d for d in found if d is not None)
    return [None if day is None else day - first for day in found]


def _dated(said, form):
    """Day numbers of dates in a form, or None if one is not in it or they lie far apart."""
    try:
        found = [d and datetime.datetime.strptime(d, form).toordinal() for d in said]
    except ValueError:
        return None
    known = [d for d in found if d is not None]
    return found if max(known) - min(known) <= 4 else None


def _back_doubts(minutes, rows, doubts):
    for (line, text, *_), at, before in zip(rows[1:], minutes[1:], minutes, strict=False):
        if at < before:
            doubts.append((line, f"{plain(text)} comes before the entry above it: look at both "
                           "times"))
