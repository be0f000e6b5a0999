"""A file of wants that a teacher writes by hand, the evening before."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from ovenkit.dayfile import STEP_KEYS
from ovenkit.files import (
    InputError,
    choose,
    clock_hours,
    find,
    line_of,
    number,
    read_toml,
    refuse,
)
from ovenkit.keeping import read_fit
from ovenkit.oven import Oven, four_questions
from ovenkit.ovenfile import oven_from_table, read_oven
from ovenkit.plan.doughs import KITCHENS
from ovenkit.plan.planning import MOST_SPARE_KG, plan_day
from ovenkit.plan.wants import Want
from ovenkit.simulate import run_day
from ovenkit.steps import LIMITS, Day, Fire, check_limits
from ovenkit.traits import SPREADS

NUMBERS = {key: LIMITS[key] for key in ("outdoor_c", "start_c", "moisture_pct")} | {
    "spare_kg": ("spare_kg", 0, MOST_SPARE_KG, "kg")}
TEXTS = ("name", "note", "first_load", "kitchen")
TABLES = {"fire": "hours and wood_kg", "count": 'a line for each load, such as "hearth loaf" = 6'}
KEYS = (*TEXTS, *NUMBERS, *TABLES, "oven", "want")
FIRE_KEYS = tuple(key for key in STEP_KEYS["fire"] if key != "rake_out")
WANT_KEYS = ("load", "count", "people", "portion_g", "minutes", "ready_at", "out_by", "start_c",
             "overnight", "note")
USUAL_WALL_MM = 90      # of brick laid on its side, in a small oven (common practice, no source)


@dataclass(frozen=True)
class WantFile:
    """What a want file says.

    name; oven : Oven; wants : tuple of Want; first_load : "HH:MM"
    fire : Fire if it is given, or None; outdoor_c, start_c : [degC], start_c None if cold
    moisture_pct : of the wood, wet basis [%]; kitchen : "warm" or "cool"
    spare_kg : wood in hand, over the fire that is chosen [kg]
    fitted : covariance of what is not known of the oven: of its fit, of a tape's measure, or None
    path : Path of the file; counted : how many of the wants, the first, are lines of [count]
    """
    name: str
    oven: Oven
    wants: tuple
    first_load: str = "10:30"
    fire: Fire | None = None
    outdoor_c: float = 12.0
    start_c: float | None = None
    moisture_pct: float = 18.0
    kitchen: str = "warm"
    spare_kg: float = 0.0
    fitted: object = None
    path: Path | None = None
    counted: int = 0

    def plan(self):
        """Return the Plan; InputError for wants that cannot be met at all, or not safely."""
        try:
            return plan_day(self.oven, self.wants, self.first_load, self.fire, self.outdoor_c,
                            self.start_c, self.moisture_pct, spare_kg=self.spare_kg)
        except InputError as error:
            refuse(str(error), self._place(error))

    def papers(self, folder=None):
        """Return the Paths of its sheet on the wall and of its plan as a table; beside the file, if
        `folder` is left out."""
        folder = self.path.parent if folder is None else Path(folder)
        return [folder / f"{self.path.stem}_{end}" for end in ("sheet.pdf", "plan.csv")]

    def _place(self, error):
        """The line of this file that an error of its plan is about; of none in particular, when the
        first load goes in."""
        names = [want.load.name for want in self.wants]
        i = names.index(error.where) if error.want is None and error.where in names else error.want
        if self.path is None:
            return ""
        if i is None:
            return line_of(self.path, error.what or "first_load")
        if i < self.counted:
            return line_of(self.path, names[i], "count")
        return line_of(self.path, error.what or "load", "want", i - self.counted)


class Mistakes(list):
    """The sentences of InputErrors, gathered."""

    def tried(self, function, *arguments):
        """Return what a function does; None where it refuses, and keep its sentence."""
        try:
            return function(*arguments)
        except InputError as error:
            self.append(str(error))


def read_wants(path):
    """Return the WantFile of a TOML file.

    path : Path or name, such as "data/days/x.toml" or the bare name of one of the kit's days
    Raises InputError naming file, line and key, a line for the first mistake of each want and of
    each key; for its form see data/README.md.
    """
    path = find(path, "days")
    table, found = read_toml(path), Mistakes()
    if "step" in table and not {"want", "count"} & set(table):
        refuse(f"this day says what is done, not what is wanted: print it with python -m ovenkit "
               f"{path.name}, or write [[want]] tables", line_of(path, "step"))
    good = {key: value for key, value in table.items()
            if found.tried(_checked, key, value, path) is not None}
    if not found:
        found.tried(_check_whole, good, path)
    counts, rows = good.get("count", {}), good.get("want", [])
    outdoor_c, moisture_pct = good.get("outdoor_c", 12), good.get("moisture_pct", 18)
    oven = found.tried(_oven, good["oven"], path) if "oven" in good else None
    fire = found.tried(_fire, good["fire"], moisture_pct, path) if "fire" in good else None
    if oven and fire:
        found.tried(_check_air, oven, fire, outdoor_c, path)
    found.tried(_check_strays, counts, path)
    wants = [*(found.tried(_counted, name, counts[name], path) for name in counts
               if name not in KEYS),
             *(found.tried(_want, row, i, path) for i, row in enumerate(rows))]
    if found:
        refuse("\n".join(found))
    return WantFile(good.get("name", path.stem), oven, tuple(wants),
                    good.get("first_load", "10:30"), fire, float(outdoor_c), good.get("start_c"),
                    float(moisture_pct), good.get("kitchen", "warm"),
                    float(good.get("spare_kg", 0)), _unknown(good["oven"], path), path,
                    len(counts))


def _checked(key, value, path):
    """Return the value of a key at the top of the file at `path`; InputError."""
    where = line_of(path, key)
    choose(key, KEYS, "key of a want file", where)
    if key in NUMBERS:
        number(value, *NUMBERS[key], where)
    if key == "moisture_pct":
        check_limits(key, value, where)
    if key in TEXTS and not isinstance(value, str):
        refuse(f"{key} is {value!r}: give text in quotes" + (
            ', such as "10:30"' if key == "first_load" else ""), where)
    if key in TABLES and not isinstance(value, dict):
        refuse(f"{key} is {value!r}: write a table [{key}] with {TABLES[key]}", where)
    if key == "want" and not (isinstance(value, list) and all(
            isinstance(row, dict) for row in value)):
        refuse("the wants are not tables: begin each one with [[want]]", where)
    if key == "first_load":
        clock_hours(value, key, where)
    if key == "kitchen":
        choose(value, KITCHENS, key, where)
    return value


def _check_whole(table, path):
    """Raise InputError for a file without what it must have, or with what does not go together."""
    if "spare_kg" in table and "fire" in table:
        refuse("spare_kg is over the fire that is chosen, and [fire] gives one: leave one of the "
               "two out", line_of(path, "spare_kg"))
    if "oven" not in table:
        refuse('the file has no oven: add it, such as oven = "rowan" or '
               "oven = { inside_cm = 80, masonry_kg = 300 }", path.name)
    if not {"want", "count"} & set(table):
        refuse('nothing is wanted: add [count], and below it a line such as "hearth loaf" = 6',
               path.name)
    if not table.get("count") and not table.get("want"):
        refuse('nothing is wanted: below [count] goes a line such as "hearth loaf" = 6',
               line_of(path, "", "count"))


def _oven(given, path):
    """The Oven that a file names, or describes."""
    try:
        return (oven_from_table({"name": "your oven"} | given, path, "oven")
                if isinstance(given, dict) else read_oven(find(given, "ovens", path.parent)))
    except InputError as error:
        refuse(error.sentence + _usual_mass(given), error.where or line_of(path, "oven"))


def _usual_mass(oven):
    """What an oven described by its size alone mostly weighs, in words; else ""."""
    if not isinstance(oven, dict) or "inside_cm" not in oven or {
            "masonry_kg", "dome", "hearth"} & set(oven):
        return ""
    try:
        usual_kg = four_questions(oven["inside_cm"], USUAL_WALL_MM)[0].masonry_kg
    except InputError:
        return ""
    return (f"; for {oven['inside_cm']:g} cm write masonry_kg = {round(usual_kg, -1):.0f}, a guess "
            f"for walls of {USUAL_WALL_MM} mm: lesson 00 tells better")


def _unknown(oven, path):
    """Covariance of an oven's traits: of its fit if it has one; of a tape's measure if it stands in
    the day itself; None for an oven that is known."""
    if isinstance(oven, dict):
        return np.diag(SPREADS**2)
    file = find(oven, "ovens", path.parent)
    return read_fit(file).covariance if "fit" in read_toml(file) else None


def _check_strays(counts, path):
    """Raise InputError for keys of the file that stand below [count]."""
    strays = [name for name in counts if name in KEYS]
    if strays:
        refuse(f"what stands below [count] is counted: move {', '.join(strays)} above [count]",
               line_of(path, strays[0], "count"))


def _counted(name, count, path):
    """The Want of a line of [count]."""
    try:
        return Want(name, count)
    except InputError as error:
        refuse(error.sentence, f"{line_of(path, name, 'count')}: {name}")


def _want(row, i, path):
    """The Want of a [[want]]; row : its dict; i : which it is, from 0; path : Path of the file."""
    def at(key):
        return f"{line_of(path, key, 'want', i)}, want {i + 1}"

    for key in row:
        if key in KEYS and key not in WANT_KEYS:
            refuse(f"{key} is of the whole day: move it above the first [[want]] and [count]",
                   at(key))
        choose(key, WANT_KEYS, "key of a want", at(key))
    if "load" not in row:
        refuse("the want has no load: add it, such as load = \"hearth loaf\"", at(""))
    if not isinstance(row["load"], str):
        refuse(f"load is {row['load']!r}: give its name in quotes", at("load"))
    try:
        return Want(**{key: value for key, value in row.items() if key != "note"})
    except InputError as error:
        refuse(str(error), at(error.what if error.what in row else "load"))


def _fire(row, moisture_pct, path):
    """The Fire of [fire]; row : its dict; moisture_pct : of the wood, where it says none [%];
    path : Path of the file."""
    for key, value in row.items():
        choose(key, FIRE_KEYS, "key of a fire", line_of(path, key, "fire"))
        number(value, *LIMITS[key], line_of(path, key, "fire"))
    where = line_of(path, "", "fire")
    if "wood_kg" not in row:
        refuse("the fire has no wood_kg: add it, or leave [fire] out to have one chosen", where)
    try:
        return Fire(**{"moisture_pct": moisture_pct} | row)
    except InputError as error:
        refuse(str(error), where)


def _check_air(oven, fire, outdoor_c, path):
    """Raise InputError for more wood than the mouth of an oven gives air for: burn it."""
    where = f"{line_of(path, 'wood_kg', 'fire')}, wood_kg"
    run_day(Day(oven, (fire,), outdoor_c, lines=(where,)))
