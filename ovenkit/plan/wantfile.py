"""A file of wants that a teacher writes by hand, the evening before."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

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
from ovenkit.oven import Oven, oven_from_table, read_oven
from ovenkit.plan.doughs import KITCHENS
from ovenkit.plan.planning import MOST_SPARE_KG, plan_day
from ovenkit.plan.wants import Want
from ovenkit.steps import LIMITS, STEP_KEYS, Fire
from ovenkit.traits import SPREADS

KEYS = ("name", "note", "oven", "outdoor_c", "first_load", "start_c", "moisture_pct", "kitchen",
        "spare_kg", "fire", "count", "want")
FIRE_KEYS = tuple(key for key in STEP_KEYS["fire"] if key != "rake_out")
WANT_KEYS = ("load", "count", "people", "portion_g", "minutes", "ready_at", "out_by", "start_c",
             "overnight", "note")


@dataclass(frozen=True)
class WantFile:
    """What a want file says.

    name; oven : Oven; wants : tuple of Want; first_load : "HH:MM"
    fire : Fire if it is given, or None; outdoor_c, start_c : [degC], start_c None if cold
    moisture_pct : of the wood, wet basis [%]; kitchen : "warm" or "cool"
    spare_kg : wood in hand, over the fire that is chosen [kg]
    fitted : covariance of what is not known of the oven: of its fit, of a tape's measure, or None
    path : Path of the file
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

    def plan(self):
        """Return the Plan; InputError for wants that cannot be met at all, or not safely."""
        try:
            return plan_day(self.oven, self.wants, self.first_load, self.fire, self.outdoor_c,
                            self.start_c, self.moisture_pct, spare_kg=self.spare_kg)
        except InputError as error:
            refuse(str(error), self._where(str(error).split(":")[0]))

    def _where(self, name):
        """The line of this file on which a load is wanted, else the file."""
        if self.path is None:
            return ""
        names = [want.load.name for want in self.wants]
        if name not in names:
            return self.path.name
        row = names.index(name) - len(read_toml(self.path).get("count", {}))
        return line_of(self.path, name, "count") if row < 0 else (
            line_of(self.path, "load", "want", row))


def read_wants(path):
    """Return the WantFile of a TOML file.

    path : Path or name, such as "data/days/x.toml" or the bare name of one of the kit's days
    Raises InputError naming file, line and key; for its form see data/README.md.
    """
    path = find(path, "days")
    table = read_toml(path)
    if "step" in table and not {"want", "count"} & set(table):
        refuse(f"this day says what is done, not what is wanted: print it with python -m ovenkit "
               f"{path.name}, or write [[want]] tables", line_of(path, "step"))
    for key, value in table.items():
        where = line_of(path, key)
        choose(key, KEYS, "key of a want file", where)
        if key == "moisture_pct" and isinstance(value, float) and 0 < value < 1:
            refuse(f"moisture_pct is {value:g} %, drier than any wood: write {100 * value:g} for "
                   f"{100 * value:g} %", where)
        if key in LIMITS and key != "count":
            number(value, *LIMITS[key], where)
        elif key == "spare_kg":
            number(value, key, 0, MOST_SPARE_KG, "kg", where)
        elif key in ("name", "note", "first_load", "kitchen") and not isinstance(value, str):
            refuse(f"{key} is {value!r}: give text in quotes" + (
                ', such as "10:30"' if key == "first_load" else ""), where)
    if "spare_kg" in table and "fire" in table:
        refuse("spare_kg is over the fire that is chosen, and [fire] gives one: leave one of the "
               "two out", line_of(path, "spare_kg"))
    for key, missing in (("oven", "oven" not in table),
                         ("want", not {"want", "count"} & set(table))):
        if missing:
            refuse(f"the file has no {key}: add it", path.name)
    clock_hours(table.get("first_load", "10:30"), "first_load", line_of(path, "first_load"))
    choose(table.get("kitchen", "warm"), KITCHENS, "kitchen", line_of(path, "kitchen"))
    counts, rows = table.get("count", {}), table.get("want", [])
    if not isinstance(counts, dict):
        refuse(f"count is {counts!r}: write a table [count] with a line for each load, such as "
               '"hearth loaf" = 6', line_of(path, "count"))
    if not counts and not rows:
        refuse('nothing is wanted: below [count] goes a line such as "hearth loaf" = 6',
               line_of(path, "", "count" if "count" in table else ""))
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        refuse("the wants are not tables: begin each one with [[want]]", line_of(path, "want"))
    try:
        oven = (oven_from_table({"name": "your oven"} | table["oven"], path, "oven")
                if isinstance(table["oven"], dict)
                else read_oven(find(table["oven"], "ovens", path.parent)))
    except InputError as error:
        if ".toml" in str(error).split(":")[0]:
            raise
        refuse(str(error), line_of(path, "oven"))
    return WantFile(table.get("name", path.stem), oven,
                    (*(_counted(name, counts[name], path) for name in counts),
                     *(_want(row, path, i) for i, row in enumerate(rows))),
                    table.get("first_load", "10:30"), _fire(table, path),
                    float(table.get("outdoor_c", 12)), table.get("start_c"),
                    float(table.get("moisture_pct", 18)), table.get("kitchen", "warm"),
                    float(table.get("spare_kg", 0)), _unknown(table["oven"], path), path)


def _unknown(oven, path):
    """Covariance of an oven's traits: of its fit if it has one; of a tape's measure if it stands in
    the day itself; None for an oven that is known."""
    if isinstance(oven, dict):
        return np.diag(SPREADS**2)
    file = find(oven, "ovens", path.parent)
    return read_fit(file).covariance if "fit" in read_toml(file) else None


def _counted(name, count, path):
    """The Want of a line of [count]."""
    if name in KEYS:
        refuse(f"{name} stands below [count], and what is below it is counted: move it above "
               "[count]", line_of(path, name, "count"))
    try:
        return Want(name, count)
    except InputError as error:
        text = str(error)
        refuse(text if text.startswith(name) else f"{name}: {text}", line_of(path, name, "count"))


def _want(row, path, i):
    def at(key):
        return f"{line_of(path, key, 'want', i)}, want {i + 1}"

    for key in row:
        choose(key, WANT_KEYS, "key of a want", at(key))
    if "load" not in row:
        refuse("the want has no load: add it, such as load = \"hearth loaf\"", at(""))
    if not isinstance(row["load"], str):
        refuse(f"load is {row['load']!r}: give its name in quotes", at("load"))
    try:
        return Want(**{key: value for key, value in row.items() if key != "note"})
    except InputError as error:
        refuse(str(error), at("load"))


def _fire(table, path):
    row = table.get("fire")
    if row is None:
        return None
    where = line_of(path, "", "fire")
    if not isinstance(row, dict):
        refuse(f"fire is {row!r}: write a table [fire] with hours and wood_kg",
               line_of(path, "fire"))
    for key, value in row.items():
        choose(key, FIRE_KEYS, "key of a fire", line_of(path, key, "fire"))
        number(value, *LIMITS[key], line_of(path, key, "fire"))
    if "wood_kg" not in row:
        refuse("the fire has no wood_kg: add it, or leave [fire] out to have one chosen", where)
    try:
        return Fire(**{"moisture_pct": table.get("moisture_pct", 18)} | row)
    except InputError as error:
        refuse(str(error), where)
