"""A day in a TOML file."""

from dataclasses import replace

from ovenkit.files import InputError, choose, clock_hours, find, line_of, read_toml, refuse
from ovenkit.ovenfile import oven_from_table, read_oven
from ovenkit.steps import LIMITS, Bake, Day, Fire, RakeOut, Settle, Wait, check_limits

STEPS = {"fire": Fire, "rake out": RakeOut, "settle": Settle, "bake": Bake, "wait": Wait}
STEP_KEYS = {
    "fire": ("hours", "minutes", "wood_kg", "moisture_pct", "spread_minutes", "rake_out"),
    "rake out": ("minutes", "hours"),
    "settle": ("minutes", "hours", "door", "gap_mm"),
    "wait": ("minutes", "hours", "door", "gap_mm"),
    "bake": ("load", "count", "minutes", "hours", "beside", "door", "gap_mm"),
}
DAY_KEYS = ("name", "note", "oven", "outdoor_c", "lit_at", "start_c", "start_from",
            "hours_shut", "step")


def read_day(path):
    """Return the Day described by a TOML file.

    path : Path or name, such as "data/days/x.toml" or the bare name of one of the kit's days
    Raises InputError naming file, line, step and key.
    """
    return _read_day(find(path, "days"), ())


def _read_day(path, seen):
    if path.resolve() in seen:
        refuse("start_from leads back to this same file: a day cannot start from itself", path.name)
    table = read_toml(path)
    if "want" in table and "step" not in table:
        refuse(f"this file says what is wanted, not what is done: plan it with python -m ovenkit "
               f"plan {path.name}", line_of(path, "want"))
    for key, value in table.items():
        where = line_of(path, key)
        choose(key, DAY_KEYS, "key of a day", where)
        if key in LIMITS:
            check_limits(key, value, where)
        if key in ("name", "note", "start_from") and not isinstance(value, str):
            refuse(f"{key} is {value!r}: give text in quotes", where)
    for key in ("oven", "outdoor_c", "step"):
        if key not in table:
            refuse(f"the day has no {key}: add it", path.name)
    if ("start_from" in table) != ("hours_shut" in table):
        refuse("start_from and hours_shut belong together: give both, or neither", path.name)
    clock_hours(table.get("lit_at", "06:00"), "lit_at", line_of(path, "lit_at"))
    rows = table["step"]
    if not isinstance(rows, list) or not rows or not all(isinstance(row, dict) for row in rows):
        refuse("the steps are not tables: begin each one with [[step]]", line_of(path, "step"))
    steps, lines = zip(*(_read_step(row, path, i) for i, row in enumerate(rows)), strict=True)
    before = None
    try:
        if isinstance(table["oven"], dict):
            oven = oven_from_table(table["oven"], path, "oven")
        else:
            oven = read_oven(find(table["oven"], "ovens", path.parent))
        if "start_from" in table:
            before = _read_day(find(table["start_from"], "days", path.parent),
                               (*seen, path.resolve()))
            before = replace(before, steps=(*before.steps, Wait(hours=table["hours_shut"])),
                             lines=(*before.lines, f"{path.name}, hours_shut"))
        return Day(oven, steps, float(table["outdoor_c"]), table.get("lit_at", "06:00"),
                   table.get("start_c"), before, table.get("name", path.stem), lines)
    except InputError as error:
        if ".toml" in str(error).split(":")[0]:
            raise
        refuse(str(error), path.name)


def _read_step(row, path, i):
    """Return (step, text that leads its errors) of the i-th [[step]] table."""
    def at(key):
        return f"{line_of(path, key, 'step', i)}, step {i + 1}"

    if "do" not in row:
        refuse(f"the step does not say what to do: add do = with one of {', '.join(STEPS)}",
               f"{line_of(path, '', 'step', i)}, step {i + 1}")
    do = row["do"]
    choose(do, STEPS, "kind of step", f"{at('do')}, do")
    keys = {key: value for key, value in row.items() if key != "do"}
    for key, value in keys.items():
        choose(key, STEP_KEYS[do], f"key of a {do} step", at(key))
        if key in LIMITS:
            check_limits(key, value, f"{at(key)}, {key}")
    for key in {"bake": ("load",), "fire": ("wood_kg",)}.get(do, ()):
        if key not in keys:
            refuse(f"a {do} step needs {key}", at("do"))
    where = at("load" if "load" in keys else "do")
    try:
        return STEPS[do](**keys), where
    except InputError as error:
        refuse(str(error), where)
