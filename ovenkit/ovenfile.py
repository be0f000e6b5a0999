"""An oven in a TOML file."""

from dataclasses import replace

from ovenkit.files import InputError, choose, find, line_of, number, read_toml, refuse
from ovenkit.layers import LAYER_MM, layer, materials
from ovenkit.oven import DOORS, LIMITS, UNDER_HEARTH, domed_oven

CHOICES = {  # key of an oven file: the names it may hold
    "under_hearth": lambda: UNDER_HEARTH,
    "door": lambda: DOORS,
    **dict.fromkeys(("hearth_material", "dome_material", "insulation_material"), materials),
}
DOMED_KEYS = ("name", "note", "inside_cm", "masonry_kg", "insulation_mm", "rise_cm",
              "mouth_w_cm", "mouth_h_cm", "hearth_mm", "door_crack_mm", "fire_share", *CHOICES)
FIT_KEYS = ("fit", "firing")  # what `keeping` adds to the file of a fitted oven


def read_oven(path):
    """Return the Oven described by a TOML file.

    path : Path or name, such as "data/ovens/x.toml" or the bare name of one of the kit's ovens

    The file holds the keywords of `domed_oven`; or, in place of mass and materials, the layers
    from the inside out as tables [[dome]], [[hearth]] and [[door]] with `material` and `mm`.
    The log book of a fitted oven (see `keeping`) is passed over.
    Raises InputError naming file, line and key.
    """
    path = find(path, "ovens")
    return oven_from_table(without_fit(read_toml(path)), path)


def without_fit(table):
    """Return the dict of an oven file without what `keeping` adds."""
    return {key: value for key, value in table.items() if key not in FIT_KEYS}


def oven_from_table(table, path, name=""):
    """Return the Oven of a dict as in `read_oven`; `path` and the table's `name` lead errors."""
    listed = [part for part in ("dome", "hearth", "door") if isinstance(table.get(part), list)]
    shape_keys = ("name", "note", "inside_cm", "rise_cm", "mouth_w_cm", "mouth_h_cm",
                  "door_crack_mm", "fire_share")
    keys = (*shape_keys, "dome", "hearth", "door") if listed else DOMED_KEYS
    for key, value in table.items():
        where = line_of(path, key, name)
        choose(key, keys, "key", where)
        if key in LIMITS:
            number(value, f"{LIMITS[key][0]} ({key})", *LIMITS[key][1:], where)
        elif not listed and not isinstance(value, str):
            refuse(f"{key} is {value!r}: give text in quotes", where)
        elif key in CHOICES and not listed:
            choose(value, CHOICES[key](), key, where)
    for key in ("inside_cm", *(("dome", "hearth", "door") if listed else ("masonry_kg",))):
        if key not in table:
            refuse(f"the oven has no {key}: add it", line_of(path, "", name))
    try:
        if not listed:
            return domed_oven(**{"name": path.stem} | table)
        size = domed_oven(**{k: table[k] for k in shape_keys if k in table}, masonry_kg=None)
        return replace(size, name=table.get("name", path.stem), **{
            part: _layers(table[part], part, path, name) for part in ("dome", "hearth", "door")})
    except InputError as error:
        if str(error).startswith(path.name):
            raise
        refuse(str(error), line_of(path, "masonry_kg", name))


def _layers(rows, part, path, name):
    table = f"{name}.{part}" if name else part
    if not isinstance(rows, list):
        refuse(f"{part} is {rows!r}: list its layers as [[{table}]] with material and mm",
               line_of(path, part, name))
    layers = []
    for i, row in enumerate(rows):
        if not isinstance(row, dict):
            refuse(f"a layer of the {part} is {row!r}: write [[{table}]] with material and mm",
                   line_of(path, part, name))
        for key in {"material": 0, "mm": 0} | row:
            choose(key, ("material", "mm"), "key of a layer", line_of(path, key, table, i))
            if key not in row:
                refuse(f"the layer has no {key}: add it", line_of(path, key, table, i))
        where = line_of(path, "material", table, i)
        number(row["mm"], "layer thickness (mm)", *LAYER_MM[1:], line_of(path, "mm", table, i))
        layers.append(layer(row["material"], row["mm"], where))
    return tuple(layers)
