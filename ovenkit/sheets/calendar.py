"""A planned day as a calendar file: one entry for each thing to do, in the clock of the kitchen.

The form is iCalendar (RFC 5545): lines end with CR LF and are folded at 75 octets; times carry no
zone, so that they are the same clock wherever the file is opened.
"""

import datetime
import hashlib

from ovenkit.files import date_of
from ovenkit.plan.agenda import agenda
from ovenkit.plan.remarks import minute_of
from ovenkit.sheets.paper import free_path
from ovenkit.units import METRIC

MINUTES = {"fire": 10, "load": 5, "dough": 15}      # how long an entry lasts; 5 for the others
FOLD = 75               # octets of a line


def calendar_text(plan, date, kitchen="warm", scale=METRIC):
    """Return a planned day as iCalendar text.

    plan : Plan; date : of the first load, datetime.date or "YYYY-MM-DD"
    kitchen, scale : as of `agenda`
    """
    midnight = datetime.datetime.combine(date_of(date, "the date"), datetime.time())
    lit_on = midnight - datetime.timedelta(
        days=minute_of(plan, float(plan.order["set_h"].iloc[0])) // 1440)
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//ovenkit//day on one fire//EN"]
    for row in agenda(plan, kitchen, scale).itertuples():
        begin = lit_on + datetime.timedelta(minutes=minute_of(plan, row.hours))
        end = begin + datetime.timedelta(minutes=MINUTES.get(row.kind, 5))
        name = hashlib.sha256(f"{begin}{row.what}{row.note}".encode()).hexdigest()[:24]
        lines += ["BEGIN:VEVENT", f"UID:{name}@ovenkit", f"DTSTAMP:{midnight:%Y%m%dT%H%M%SZ}",
                  f"DTSTART:{begin:%Y%m%dT%H%M%S}", f"DTEND:{end:%Y%m%dT%H%M%S}",
                  f"SUMMARY:{_escaped(row.what)}"]
        lines += [f"DESCRIPTION:{_escaped(row.note)}"] if row.note else []
        lines.append("END:VEVENT")
    return "".join(f"{_folded(line)}\r\n" for line in [*lines, "END:VCALENDAR"])


def write_calendar(plan, path, date, kitchen="warm", scale=METRIC, overwrite=False):
    """Write a planned day as a calendar file, and return its Path; see `calendar_text`."""
    path = free_path(path, overwrite)
    path.write_text(calendar_text(plan, date, kitchen, scale), encoding="utf-8", newline="")
    return path


def _escaped(text):
    for sign in "\\;,":
        text = text.replace(sign, f"\\{sign}")
    return text.replace("\n", "\\n")


def _folded(line):
    """A line cut into pieces of at most FOLD octets, each but the first led by a space."""
    pieces, piece = [], ""
    for sign in line:
        if len((piece + sign).encode()) > FOLD - bool(pieces):
            pieces.append(piece)
            piece = ""
        piece += sign
    return "\r\n ".join([*pieces, piece])
