"""What an oven is made of: materials, layers, and a dome over a round hearth.

The inside is a spherical cap over a flat disk. The masonry of the dome is a shell whose area
grows with depth, so its thickness follows from its mass by

    m = rho A [(R + t)^3 - R^3] / (3 R^2)

with A the inner area of the dome [m2], R the radius of the sphere [m] and t the thickness [m].
"""

import math
from bisect import bisect
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import accumulate, pairwise

from ovenkit.files import (
    InputError,
    choose,
    data_dir,
    find,
    line_of,
    number,
    read_csv,
    read_toml,
    refuse,
)

THINNEST_M, THICKEST_M = 0.015, 0.400  # masonry outside these is no oven of this kind

LIMITS = {  # key: what a cook calls it, lowest, highest, unit
    "inside_cm": ("inside diameter", 40, 250, "cm"),
    "masonry_kg": ("masonry mass", 10, 20000, "kg"),
    "insulation_mm": ("insulation thickness", 0, 400, "mm"),
    "rise_cm": ("height of the dome", 12, 130, "cm"),
    "mouth_w_cm": ("width of the mouth", 15, 120, "cm"),
    "mouth_h_cm": ("height of the mouth", 8, 80, "cm"),
    "hearth_mm": ("hearth thickness", 15, 400, "mm"),
    "door_crack_mm": ("crack round the door", 0, 30, "mm"),
    "fire_share": ("heat of the wood that burns in this oven, 1 as the kit has it", 0.3, 2, ""),
    "wall_mm": ("wall thickness", 20, 340, "mm"),
    "mm": ("layer thickness", 0.3, 1000, "mm"),
}
UNDER_HEARTH = {  # under the hearth bricks, from the top down: (material, mm)
    "insulating board": (("calcium silicate", 50), ("concrete", 100)),
    "bare slab": (("concrete", 150),),
    "sand": (("sand", 50), ("concrete", 100)),
    "perlite concrete": (("perlite concrete", 100), ("concrete", 100)),
}
DOORS = {  # from the inside out: (material, mm)
    "insulated steel": (("steel", 1.5), ("fibre blanket", 40), ("steel", 1)),
    "steel sheet": (("steel", 3),),
    "wood": (("softwood", 40),),
}
BUILDS = {"brick": "firebrick", "cast": "refractory castable"}
CHOICES = {  # key of an oven file: the names it may hold
    "under_hearth": lambda: UNDER_HEARTH,
    "door": lambda: DOORS,
    **dict.fromkeys(("hearth_material", "dome_material", "insulation_material"),
                    lambda: materials()),
}
DOMED_KEYS = ("name", "note", "inside_cm", "masonry_kg", "insulation_mm", "rise_cm",
              "mouth_w_cm", "mouth_h_cm", "hearth_mm", "door_crack_mm", "fire_share", *CHOICES)
FIT_KEYS = ("fit", "firing")  # what `keeping` adds to the file of a fitted oven


def _between(x, xs, ys):
    """Straight between the points of a short table, held outside it."""
    i = min(max(bisect(xs, x), 1), len(xs) - 1)
    if len(xs) == 1 or x <= xs[0]:
        return ys[0]
    if x >= xs[-1]:
        return ys[-1]
    return ys[i - 1] + (ys[i] - ys[i - 1]) * (x - xs[i - 1]) / (xs[i] - xs[i - 1])


@dataclass(frozen=True)
class Material:
    """A material whose conductivity and heat capacity follow temperature.

    name, source : str
    temps_c : temperatures of the table [degC], rising
    k, cp : conductivity [W/mK] and heat capacity [J/kgK] at them; linear between, held outside
    density : [kg/m3]
    """

    name: str
    temps_c: tuple
    k: tuple
    density: float
    cp: tuple
    source: str = ""

    def __hash__(self):
        return hash((self.name, self.density))

    def k_at(self, temp_c):
        """Conductivity [W/mK] at `temp_c` [degC]."""
        return _between(temp_c, self.temps_c, self.k)

    def cp_at(self, temp_c):
        """Heat capacity [J/kgK] at `temp_c` [degC]."""
        return _between(temp_c, self.temps_c, self.cp)


@dataclass(frozen=True)
class Layer:
    """A thickness [m] of one Material."""

    material: Material
    thickness_m: float


@lru_cache
def _materials():
    columns = dict.fromkeys(("temp_c", "k_w_mk", "density_kg_m3", "cp_j_kgk"), float)
    path = data_dir() / "materials.csv"
    table = {}
    for row in read_csv(path, {"name": str, "source": str} | columns):
        where = f"{path.name} line {row['line']}"
        number(row["temp_c"], "temp_c", -50, 2000, "degC", where)
        for column in ("k_w_mk", "density_kg_m3", "cp_j_kgk"):
            number(row[column], column, 1e-3, 1e5, "", where)
        table.setdefault(row["name"], []).append(row)

    def build(name, rows):
        rows = sorted(rows, key=lambda row: row["temp_c"])
        temps_c, k, cp = (tuple(r[c] for r in rows) for c in ("temp_c", "k_w_mk", "cp_j_kgk"))
        sources = "; ".join(dict.fromkeys(row["source"] for row in rows))
        return Material(name, temps_c, k, rows[0]["density_kg_m3"], cp, sources)

    return {name: build(name, rows) for name, rows in table.items()}


def materials():
    """Return the dict of name -> Material of the file data/materials.csv."""
    return dict(_materials())


def layer(name, mm, where=""):
    """Return the Layer of `mm` [mm] of the material called `name`."""
    return Layer(materials()[choose(name, materials(), "material", where)],
                 number(mm, *LIMITS["mm"], where) / 1000.0)


@lru_cache(maxsize=4096)
def working_layers(layers, inner_c=250.0, outer_c=20.0, outside_h=10.0):
    """Return ((thickness_m, k, rho, cp), ...) of layers at their working temperatures.

    layers : tuple of Layer, from the inside out
    inner_c : temperature of the inner face [degC]
    outer_c, outside_h : outside air [degC] and the heat transfer to it [W/m2K]

    Each layer is taken at the mean of its two faces in the steady flat profile
    q = (T_in - T_air) / (sum t/k + 1/h), passed four times as k follows temperature
    (Incropera & DeWitt, section 3.1).
    """
    mean_c = [0.5 * (inner_c + outer_c)] * len(layers)
    for _ in range(4):
        resistance = [y.thickness_m / y.material.k_at(t)
                      for y, t in zip(layers, mean_c, strict=True)]
        flux = (inner_c - outer_c) / (sum(resistance) + 1.0 / outside_h)
        faces_c = [inner_c - flux * r for r in accumulate(resistance, initial=0.0)]
        mean_c = [0.5 * (a + b) for a, b in pairwise(faces_c)]
    return tuple((y.thickness_m, y.material.k_at(t), y.material.density, y.material.cp_at(t))
                 for y, t in zip(layers, mean_c, strict=True))


@dataclass(frozen=True)
class Oven:
    """A dome over a round hearth with one mouth.

    inside_m : diameter of the hearth [m]
    rise_m : height of the dome over the hearth [m]
    mouth_w_m, mouth_h_m : width and height of the mouth [m]
    dome, hearth, door : tuples of Layer from the inside out; the first of dome and hearth is
        the masonry that stores
    crack_m : width of the crack all round the shut door [m]
    fire_share : heat that a kilogram of wood gives in this oven, as a share of what it gives in
        the kit's fire: 1, or what a fit to one's own readings says
    Raises InputError for a shape that is no oven, or masonry outside 15 to 400 mm.
    """

    name: str
    inside_m: float
    rise_m: float
    mouth_w_m: float
    mouth_h_m: float
    dome: tuple
    hearth: tuple
    door: tuple
    crack_m: float = 0.001
    fire_share: float = 1.0
    note: str = ""

    def __post_init__(self):
        inside_cm, rise_cm = 100.0 * self.inside_m, 100.0 * self.rise_m
        number(inside_cm, *LIMITS["inside_cm"])
        number(rise_cm, "height of the dome (rise_cm)", math.ceil(0.25 * inside_cm),
               math.floor(0.55 * inside_cm), "cm on this size")
        number(100.0 * self.mouth_w_m, "width of the mouth (mouth_w_cm)", 15,
               math.floor(0.8 * inside_cm), "cm on this size")
        number(100.0 * self.mouth_h_m, "height of the mouth (mouth_h_cm)", 8,
               math.floor(0.85 * rise_cm), "cm on this size")
        number(1000.0 * self.crack_m, *LIMITS["door_crack_mm"])
        number(self.fire_share, *LIMITS["fire_share"])
        for part in ("dome", "hearth", "door"):
            if not getattr(self, part):
                refuse(f"the {part} has no layers: give at least one")
        for part in ("dome", "hearth"):
            number(1000.0 * getattr(self, part)[0].thickness_m, f"masonry of the {part}",
                   1000.0 * THINNEST_M, 1000.0 * THICKEST_M, "mm thick")

    def __hash__(self):
        return hash((self.name, self.inside_m, self.crack_m, self.fire_share,
                     *(part[i].thickness_m for part in (self.dome, self.hearth)
                       for i in range(min(2, len(part))))))

    @property
    def hearth_area_m2(self):
        """Area of the hearth [m2]."""
        return math.pi * self.inside_m**2 / 4.0

    @property
    def mouth_area_m2(self):
        """Area of the mouth [m2]."""
        return self.mouth_w_m * self.mouth_h_m

    @property
    def dome_area_m2(self):
        """Inner area of the dome without the mouth [m2]: pi (a^2 + h^2) less the mouth."""
        return math.pi * ((self.inside_m / 2.0) ** 2 + self.rise_m**2) - self.mouth_area_m2

    @property
    def sphere_radius_m(self):
        """Radius of the sphere the dome is cut from [m]: (a^2 + h^2) / (2 h)."""
        return ((self.inside_m / 2.0) ** 2 + self.rise_m**2) / (2.0 * self.rise_m)

    @property
    def dome_masonry_m(self):
        """Thickness of the dome's masonry [m]."""
        return self.dome[0].thickness_m

    @property
    def hearth_masonry_m(self):
        """Thickness of the hearth's masonry [m]."""
        return self.hearth[0].thickness_m

    @property
    def masonry_kg(self):
        """Mass of masonry inside the insulation [kg]: the store."""
        hearth = self.hearth[0].material.density * self.hearth_area_m2 * self.hearth_masonry_m
        shell = _shell_m3(self.sphere_radius_m, self.dome_area_m2, self.dome_masonry_m)
        return hearth + self.dome[0].material.density * shell

    def with_walls(self, dome_m, hearth_m):
        """Return this Oven with masonry `dome_m` and `hearth_m` [m] thick."""
        return replace(
            self, dome=(replace(self.dome[0], thickness_m=dome_m), *self.dome[1:]),
            hearth=(replace(self.hearth[0], thickness_m=hearth_m), *self.hearth[1:]))

    def with_mass(self, masonry_kg, keep_hearth=False):
        """Return this Oven with `masonry_kg` [kg]: dome and hearth scaled in thickness alike.

        keep_hearth : leave the hearth as thick as it is and put the rest of the mass in the dome
        Raises InputError for a mass that would be thinner than 15 mm or thicker than 400 mm.
        """
        masonry_kg = number(masonry_kg, *LIMITS["masonry_kg"])
        hearth_kg = self.hearth[0].material.density * self.hearth_area_m2 * self.hearth_masonry_m
        ratio = self.hearth_masonry_m / self.dome_masonry_m
        fixed_kg, hearth_kg_m = (hearth_kg, 0.0) if keep_hearth else (
            0.0, hearth_kg / self.dome_masonry_m)
        dome_m = _solve_thickness(masonry_kg, self.sphere_radius_m, self.dome_area_m2,
                                  self.dome[0].material.density, hearth_kg_m, fixed_kg)
        return self.with_walls(dome_m, self.hearth_masonry_m if keep_hearth else dome_m * ratio)


def _shell_m3(radius_m, area_m2, thickness_m):
    grown = (radius_m + thickness_m) ** 3 - radius_m**3
    return area_m2 * grown / (3.0 * radius_m**2)


def _solve_thickness(masonry_kg, radius_m, area_m2, density, hearth_kg_m, fixed_kg):
    """Thickness of the dome [m] that gives the mass: Newton on a rising, convex cubic."""
    def mass(t):
        return density * _shell_m3(radius_m, area_m2, t) + hearth_kg_m * t + fixed_kg

    low, high = math.ceil(mass(THINNEST_M)), math.floor(mass(THICKEST_M))
    if masonry_kg <= fixed_kg:
        refuse(f"{masonry_kg:g} kg is less than the hearth alone weighs ({fixed_kg:.0f} kg): "
               f"give {low} to {high} kg, or a thinner hearth")
    t = 0.1
    for _ in range(30):
        slope = density * area_m2 * (1.0 + t / radius_m) ** 2 + hearth_kg_m
        t -= (mass(t) - masonry_kg) / slope
    if not THINNEST_M <= t <= THICKEST_M:
        refuse(f"{masonry_kg:g} kg on this size would be {1000.0 * t:.0f} mm thick; "
               f"give {low} to {high} kg")
    return t


def domed_oven(inside_cm=80, masonry_kg=300, insulation_mm=75, rise_cm=None, mouth_w_cm=None,
               mouth_h_cm=None, hearth_mm=None, hearth_material="firebrick",
               dome_material="firebrick", insulation_material="fibre blanket",
               under_hearth="insulating board", door="insulated steel", door_crack_mm=1.0,
               fire_share=1.0, name="domed oven", note=""):
    """Return an Oven from what a cook knows of it.

    inside_cm : inside diameter of the hearth [cm]
    masonry_kg : mass of brick or castable inside the insulation, dome and hearth [kg]; None
        leaves the masonry 100 mm thick
    insulation_mm : thickness of insulation round the dome [mm]
    rise_cm : height of the dome [cm]; 0.48 of the diameter if left out
    mouth_w_cm, mouth_h_cm : mouth [cm]; half the diameter (25 to 60 cm) wide and 0.63 of the
        rise high if left out (common practice, no source)
    hearth_mm : thickness of the hearth bricks [mm]; as thick as the dome if left out
    hearth_material, dome_material, insulation_material : names of data/materials.csv
    under_hearth : "insulating board", "bare slab", "sand" or "perlite concrete"
    door : "insulated steel", "steel sheet" or "wood"
    door_crack_mm : width of the crack all round the shut door [mm]
    fire_share : heat that a kilogram of wood gives here, 1 as the kit has it

    The mass becomes thickness: a shell over the dome that grows with depth, and a flat hearth
    as thick, or as thick as said. Insulation and 10 mm of lime-sand render (common practice, no
    source) come round the dome; what is under the hearth comes under it.
    Raises InputError for a value outside its limits, a name that is not there, or a mass that
    would be thinner than 15 mm or thicker than 400 mm on this size.
    """
    given = {key: value for key, value in locals().items() if key in LIMITS and value is not None}
    size = {key: number(value, *LIMITS[key]) for key, value in given.items()}
    inside_m = size["inside_cm"] / 100.0
    rise_m = size.get("rise_cm", 48.0 * inside_m) / 100.0
    mouth_w_m = size.get("mouth_w_cm", min(max(50.0 * inside_m, 25.0), 60.0)) / 100.0
    mouth_h_m = size.get("mouth_h_cm", 63.0 * rise_m) / 100.0
    under = UNDER_HEARTH[choose(under_hearth, UNDER_HEARTH, "choice of under_hearth")]
    leaf = DOORS[choose(door, DOORS, "door")]

    blanket = [layer(insulation_material, size["insulation_mm"])] if insulation_mm else []
    shape = Oven(name, inside_m, rise_m, mouth_w_m, mouth_h_m,
                 dome=(layer(dome_material, 100), *blanket, layer("lime-sand render", 10)),
                 hearth=(layer(hearth_material, size.get("hearth_mm", 100)),
                         *(layer(*y) for y in under)),
                 door=tuple(layer(*y) for y in leaf), crack_m=size["door_crack_mm"] / 1000.0,
                 fire_share=size["fire_share"], note=note)
    if masonry_kg is None:
        return shape
    return shape.with_mass(size["masonry_kg"], keep_hearth=hearth_mm is not None)


def four_questions(inside_cm, wall_mm, build="brick", under="insulating board"):
    """Return (Oven, (low_kg, high_kg)) from what a tape and a look can tell.

    inside_cm : inside diameter [cm]
    wall_mm : thickness of the masonry, without insulation [mm]
    build : "brick" or "cast"
    under : what is under the hearth, as `under_hearth` of `domed_oven`

    The range of mass is that of a wall 15 % thinner and 15 % thicker.
    """
    wall_m = number(wall_mm, *LIMITS["wall_mm"]) / 1000.0
    material = BUILDS[choose(build, BUILDS, "build")]
    shape = domed_oven(inside_cm, None, dome_material=material, hearth_material=material,
                       under_hearth=under, name=f"{build} oven, {inside_cm:g} cm inside")
    low, oven, high = (shape.with_walls(m, m) for m in (0.85 * wall_m, wall_m, 1.15 * wall_m))
    return oven, (low.masonry_kg, high.masonry_kg)


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
        number(row["mm"], "layer thickness (mm)", *LIMITS["mm"][1:],
               line_of(path, "mm", table, i))
        layers.append(layer(row["material"], row["mm"], where))
    return tuple(layers)
