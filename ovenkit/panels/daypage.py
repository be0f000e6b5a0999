"""A day of one's own: a want file as it is typed in, its plan, its sheet, its corrections.

No widgets here.
"""

import re
from dataclasses import dataclass, replace
from functools import partial
from itertools import compress
from pathlib import Path

import numpy as np
import pandas as pd

from ovenkit.figures import Line
from ovenkit.files import InputError, number, refuse
from ovenkit.logs.saving import put
from ovenkit.logs.times import moment
from ovenkit.logs.words import shown
from ovenkit.panels.planning import load_line
from ovenkit.plan import Plan
from ovenkit.plan.chances import chances
from ovenkit.plan.correct import correct
from ovenkit.plan.doughs import to_begin
from ovenkit.plan.hands import by_night_mixed
from ovenkit.plan.remarks import at_words, in_scale, notes
from ovenkit.plan.report import by_tape, of_ten, plan_csv, unknown_words
from ovenkit.plan.wantfile import WantFile, read_wants
from ovenkit.plan.wants import NEXT_DAY
from ovenkit.sheets.paper import free_path
from ovenkit.sheets.wall import wall_sheet
from ovenkit.simulate import run_day
from ovenkit.units import METRIC, f_to_c

EXAMPLE = """\
name = "Saturday class"
oven = { inside_cm = 80, masonry_kg = 300 }     # lesson 00 tells the mass
first_load = "10:30"

[count]
"hearth loaf" = 6
"tray of roots" = 2

[[want]]                        # for what has more to say
load = "fruit cake"
people = 12
portion_g = 120
out_by = "17:30"

[[want]]
load = "bean pot"
count = 1
overnight = true                # goes in last, comes out at seven in the morning
"""
MOST = 100_000          # characters of a want file, and more


@dataclass(frozen=True)
class Kept:
    """A want file as it stands in its file.

    path : Path; text : what was last read from it, or written to it; None if nothing was
    """

    path: Path
    text: str | None = None


@dataclass(frozen=True, eq=False)
class Planned:
    """What was planned: the WantFile, its Plan, how sure it is as of `chances.chances`."""

    wants: WantFile
    plan: Plan
    sure: pd.DataFrame


def path_of(name):
    """Return the Path of a want file by its name, `.toml` added; InputError for no name."""
    if not isinstance(name, (str, Path)) or not str(name).strip():
        refuse("the file has no name: give one, such as my_day")
    path = Path(str(name).strip())
    if not path.name or path.is_dir():
        refuse(f"{str(name).strip()!r} is a folder: give the name of a file, such as my_day")
    return path if path.suffix == ".toml" else path.with_name(f"{path.name}.toml")


def opened(name):
    """Return the Kept of a file that is there; InputError if it cannot be read."""
    path = path_of(name)
    if not path.exists():
        refuse("there is no such file here: Plan it makes it, Open shows one that is there",
               path.name)
    try:
        if path.stat().st_size > MOST:
            refuse("it is too long for a want file", path.name)
        return Kept(path, path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError):
        refuse("it cannot be read as text: give another file", path.name)


def keep(name, text, kept):
    """Write what is typed into its file; return its Kept.

    kept : the Kept of what is shown. InputError where another file would be overwritten, or one
    that was changed by somebody else meanwhile.
    """
    path = path_of(name)
    if len(text) > MOST:
        refuse("what is typed is too long for a want file", path.name)
    if path.exists():
        there = opened(path)
        if there.text != text and (path, there.text) != (kept.path, kept.text):
            refuse("there is such a file already, and it says something else: give another name, "
                   "or press Open", path.name)
    put(path, text)
    return Kept(path, text)


def planned(path):
    """Return the Planned of a want file; InputError, its lines quoted."""
    try:
        wants = read_wants(path)
        plan = wants.plan()
    except InputError as error:
        rows = Path(path).read_text(encoding="utf-8").split("\n")
        raise InputError(re.sub(r"line (\d+)", lambda found: _quoted(found, rows),
                                str(error))) from None
    return Planned(wants, plan, chances(plan, fitted=wants.fitted))


def _quoted(found, rows):
    """A line number that was found, and what stands there, for a box has no numbers."""
    row = rows[int(found[1]) - 1].strip() if int(found[1]) <= len(rows) else ""
    return f"{found[0]} ({row})" if row else found[0]


def head(day, scale=METRIC):
    """Return in a line when to light, how much wood, and when the first load goes in."""
    plan = day.plan
    good, hours = int((~plan.order["spoilt"]).sum()), plan.steps[0].hours
    return (f"{day.wants.name}: light the fire at {plan.light_at}, "
            f"{scale.say(plan.wood_kg, 'mass', 1)} of wood over {hours:g} "
            f"hour{'' if hours == 1 else 's'}; "
            f"first load in at {plan.first_load}. {good} of {len(plan.order)} come out good.")


def lines(day, scale=METRIC):
    """Return a Line for each load, and for what is to be minded."""
    plan, at = day.plan, partial(at_words, day.plan)
    rows = zip(plan.order.itertuples(), day.sure.itertuples(), strict=True)
    return (*(replace(line, text=f"{line.text} By the clock alone good {of_ten(row.good)}.")
              for line, row in ((load_line(row, at, scale, plan.run.reading(
                  "hearth spot", row.set_h)), sure) for row, sure in rows)),
            *([Line("Mind", unknown_words("the sheet"))] if by_tape(day.wants.fitted) else []),
            *(Line("Mind", note) for note in (
                *notes(plan, scale), *by_night_mixed(plan, day.wants.kitchen))),
            *(Line("What would help", in_scale(note, scale)) for note in plan.helps))


def printed(day, overwrite=False):
    """Write the sheet on the wall and the plan as a table; return their Paths.

    InputError if one of them is there and is not to be replaced
    """
    sheet, table = (free_path(path, overwrite) for path in day.wants.papers())
    wants = day.wants
    wall_sheet(day.plan, sheet, wants.kitchen, "", wants.fitted, overwrite, wants.name)
    put(table, plan_csv(day.plan, wants.kitchen))
    return sheet, table


def readings(typed, scale=METRIC):
    """Return the dict of instrument -> degC, or seconds, of what was typed.

    typed : dict of instrument -> text, "" for what was not read; scale : of what says no unit
    Raises InputError for what is no reading, and if there is none.
    """
    out = {}
    for name, text in typed.items():
        hand = name == "hand count"
        such = "of seconds, such as 8" if hand else "such as 230 °C or 446 °F"
        try:
            seen = shown(text, hand)
        except InputError:
            refuse(f"{text!r} is no reading: give one number, {such}", name)
        if seen is None:
            continue
        if seen.value is None or seen.bound:
            refuse(f"{text!r} does not tell how hot it was: give one number, {such}", name)
        unit = seen.unit or scale.unit("temp")[-1]
        out[name] = f_to_c(seen.value) if unit == "F" else seen.value
    return out or refuse("nothing is read yet: give what one thermometer shows, or a hand count")


def with_unit(name, text, scale):
    """Return a reading as it was typed, with the unit it was typed in."""
    bare = re.fullmatch(r"\s*[\d.,]+\s*", text) and name != "hand count"
    return f"{text.strip()} {scale.unit('temp')}" if bare else text


def corrected(day, since, at, typed, late="", scale=METRIC):
    """Return the Correction of a Planned day.

    since : its Plan, or the Correction that is followed since
    at : time of day of the readings; typed : as of `readings`; late : minutes by which the day runs
    late, as text, or ""
    """
    clock = clock_of(at)
    minutes = re.fullmatch(r"\s*(\d*(?:[.,]\d+)?)\s*(?:min\w*)?\s*", late)
    if not minutes:
        refuse(f"{late!r} is no number of minutes: give one, such as 20; 0 or nothing if it is not "
               "late", "Late")
    behind = number(float(minutes[1].replace(",", ".") or 0), "Late", 0, 720, "minutes")
    try:
        return correct(since, clock, readings(typed, scale), day.wants.fitted,
                       day.wants.kitchen, behind, scale)
    except InputError as error:
        raise InputError(str(error).replace(" (behind_min)", "")) from None


def clock_of(text):
    """Return a time of day as people write it, as "HH:MM" or "HH:MM next day"."""
    if not text.strip():
        refuse("the time is empty: give the time of day of the readings, such as 12:10", "Read at")
    try:
        read = moment(text)
    except InputError:
        read = None
    if read is None or read.minutes is None or not 0 <= read.minutes < 1440:
        refuse(f"{text!r} is no time of day: give one, such as 12:10 or 1:10 pm", "Read at")
    hours, minutes = divmod(int(read.minutes), 60)
    return f"{hours:02d}:{minutes:02d}" + f" {NEXT_DAY}" * read.next_day


def corrected_head(new, scale=METRIC):
    """Return what a Correction says first: how the oven is, and what is next."""
    return _parted(new, scale)[0]


def corrected_lines(new, kitchen="warm", scale=METRIC):
    """Return Lines of a Correction: what is doubted, what else changes, what is to be minded, each
    load to come; the last two without its fire as well, if it asks for one."""
    doubted = tuple(Line("Hard to believe", note) for note in new.notes)
    if new.contrary:            # nothing is known better than by the plan
        return doubted
    rest = _parted(new, scale)[1]
    if new.fire:
        return (*doubted, *_to_come(new, "With the fire, ", kitchen, scale),
                Line("Without the fire", rest),
                *_to_come(new.without, "Without the fire, ", kitchen, scale))
    return (*doubted, *([Line("Then", rest)] if rest else []),
            *followed_lines(new, kitchen, scale))


def followed_lines(new, kitchen="warm", scale=METRIC):
    """Return Lines of a Correction that is followed: what is to be minded, what is in, what is to
    be begun, each load to come."""
    return tuple(_to_come(new, "", kitchen, scale))


def _parted(new, scale):
    """What a Correction says, parted: (how the oven is and what is next, all else)."""
    said = new.say(scale)
    cut = re.search(r"(?<=\.) Without it: " if new.fire else r"(?<=: )(.*?)(; )", said)
    if not cut:
        return said, ""
    rest = said[cut.end():]
    return (said[:cut.start() if new.fire else cut.start(2)].rstrip(".") + ".",
            f"{rest[0].upper()}{rest[1:]}")


def _to_come(new, when, kitchen, scale):
    """Lines of what is to be minded, what is in, what is to be begun, and each load to come; `when`
    leads them."""
    plan, lines = new.plan, [Line("mind", words) for words in new.helps]
    at, stove = partial(at_words, plan), np.array(new.on_stove)
    if new.held.batch is not None:
        lines.append(Line("in the oven", f"{plan.batches[new.held.batch].load.name}, out at "
                                         f"{at(new.hours)}."))
    if new.to_light and not new.fire:
        lines.append(Line("the fire", f"{_fire_words(new, scale)}."))
    begin = "; ".join(f"{name} at {at(hours)}" for name, hours in to_begin(
        new.order[~stove], list(compress(new.made, ~stove)), kitchen))
    lines += [Line("still to begin", f"{begin}.")] if begin else []
    run = run_day(new.oven, new.steps, plan.outdoor_c, new.state)
    for row, out, made in zip(new.order.itertuples(), stove, new.made, strict=True):
        line = load_line(row, at, scale, run.reading(
            "hearth spot", row.set_h - new.hours))
        line = replace(line, text=f"{line.text} It waits in the cold.") if made.chilled else line
        lines.append(Line(f"to come, {row.load}: on the stove", "Not left in overnight.", False)
                     if out else replace(line, head=f"to come, {line.head}"))
    return [replace(line, head=f"{when}{line.head}" if when else
                    f"{line.head[0].upper()}{line.head[1:]}") for line in lines]


def since(new, scale=METRIC):
    """Return in words what readings are held against."""
    held = ("You do so: from now on readings are held against this, and no longer against the "
            "plan.")
    goes_in = new.order[~np.array(new.on_stove)]
    if goes_in.empty:
        return f"{held} Nothing more goes in."
    row = goes_in.iloc[0]
    first = new.to_light and new.to_light[0] < row["set_h"]
    after = f"the fire, {_fire_words(new, scale)}; then " if first else ""
    return f"{held} Next: {after}{row['load']} in at {at_words(new.plan, row['set_h'])}."


def _fire_words(new, scale):
    """Return in words how much wood is lit when, of the fire that is to come."""
    lit_h, wood_kg = new.to_light
    return f"{in_scale(f'{wood_kg:g} kg', scale)} of wood, lit at {at_words(new.plan, lit_h)}"
