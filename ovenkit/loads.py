"""What is put in the oven: its heat capacity, its size, and when it is done.

Heat capacity and conductivity follow composition and temperature (Choi & Okos 1986, as printed
in ASHRAE Refrigeration, Thermal Properties of Foods): by mass for the one, by volume for the
other.
"""

import math
from dataclasses import dataclass, fields
from functools import cached_property, lru_cache

import numpy as np

from ovenkit.files import InputError, choose, data_dir, number, read_csv, refuse

COMPONENTS = ("water", "protein", "fat", "carbohydrate", "fibre", "ash")
KINDS = ("bread", "tin", "tray", "pot", "dish")
SHAPES = ("round", "disc", "box", "cylinder")
VESSEL_CP = 450.0  # iron and steel [J/kgK], ISO 10456
PACKING = 0.75  # share of a round hearth that pieces and their spacing can fill (an estimate)

_CP = np.array([  # kJ/kgK per degC^0, ^1, ^2; rows as COMPONENTS
    [4.1762, -9.0864e-5, 5.4731e-6], [2.0082, 1.2089e-3, -1.3129e-6],
    [1.9842, 1.4733e-3, -4.8008e-6], [1.5488, 1.9625e-3, -5.9399e-6],
    [1.8459, 1.8306e-3, -4.6509e-6], [1.0926, 1.8896e-3, -3.6817e-6]])
_K = np.array([  # W/mK
    [0.57109, 1.7625e-3, -6.7036e-6], [0.17881, 1.1958e-3, -2.7178e-6],
    [0.18071, -2.7604e-4, -1.7749e-7], [0.20141, 1.3874e-3, -4.3312e-6],
    [0.18331, 1.2497e-3, -3.1683e-6], [0.32962, 1.4011e-3, -2.9069e-6]])
_RHO = np.array([  # kg/m3, from memory
    [997.18, 3.1439e-3, -3.7574e-3], [1329.9, -0.51840, 0.0], [925.59, -0.41757, 0.0],
    [1599.1, -0.31046, 0.0], [1311.5, -0.36589, 0.0], [2423.8, -0.28063, 0.0]])


def _fractions(composition, where=""):
    for key in composition:
        choose(key, COMPONENTS, "part of a composition", where)
    x = np.array([number(composition.get(c, 0.0), f"the fraction of {c}", 0, 1, "", where)
                  for c in COMPONENTS])
    if abs(x.sum() - 1.0) > 0.0101:
        refuse(f"the fractions of the composition add up to {x.sum():.3f}: they must make 1", where)
    return x


def _at(table, temp_c):
    temp_c = np.asarray(temp_c, dtype=float)[..., None]
    return table[:, 0] + table[:, 1] * temp_c + table[:, 2] * temp_c**2


def heat_capacity(composition, temp_c):
    """Return the heat capacity [J/kgK] of food above freezing.

    composition : dict of mass fractions water, protein, fat, carbohydrate (without fibre),
        fibre, ash; they add up to 1 within 0.01, a part left out is none
    temp_c : temperature [degC], any shape; good from 0 to 150 degC

    cp = sum x_i cp_i(T) (Choi & Okos 1986). Raises InputError for a bad composition.
    """
    return _at(_CP, temp_c) @ _fractions(composition) * 1000.0


def conductivity(composition, temp_c):
    """Return the conductivity [W/mK] of food without pores, arguments as `heat_capacity`.

    k = sum v_i k_i(T) by volume, v_i = (x_i / rho_i) / sum(x_j / rho_j) (Choi & Okos 1986;
    densities from memory). Raises InputError for a bad composition.
    """
    volume = _fractions(composition) / _at(_RHO, temp_c)
    return (_at(_K, temp_c) * volume).sum(-1) / volume.sum(-1)


@dataclass(frozen=True)
class Load:
    """One piece of something to bake or cook; fields as the columns of data/loads.csv.

    kind : "bread", "tin", "tray", "pot" or "dish"
    mass_g, vessel_kg : the piece without its vessel [g], and its iron or steel vessel [kg]
    water ... ash : mass fractions, together 1 within 0.01
    shape : "round" (cap of a sphere), "disc", "box" or "cylinder"
    length_cm, width_cm, height_mm, spacing_cm : size during the bake and room to the next piece
    contact_w_m2k : from hearth into underside [W/m2K]
    conductivity_w_mk : of the inside during baking [W/mK]
    crust, wet : dries behind a front and browns; has an open wet surface
    start_c, core_c : as it goes in, and its core when done [degC]
    top_gold ... bottom_burnt : browning at which each side is gold, dark, burnt
    hearth_low_c ... feels_high_c : bands it comes out well in [degC]
    open_s : open door to load a piece [s]
    least_minutes, max_minutes : shortest stay that does it, where no core tells (pots), or 0;
        longest sensible bake [min]
    Raises InputError for values outside their limits.
    """

    name: str
    kind: str
    mass_g: float
    vessel_kg: float
    water: float
    protein: float
    fat: float
    carbohydrate: float
    fibre: float
    ash: float
    shape: str
    length_cm: float
    width_cm: float
    height_mm: float
    spacing_cm: float
    contact_w_m2k: float
    conductivity_w_mk: float
    crust: bool
    wet: bool
    start_c: float
    core_c: float
    top_gold: float
    top_dark: float
    top_burnt: float
    bottom_gold: float
    bottom_dark: float
    bottom_burnt: float
    hearth_low_c: float
    hearth_high_c: float
    feels_low_c: float
    feels_high_c: float
    open_s: float
    least_minutes: float
    max_minutes: float
    note: str = ""

    def __post_init__(self):
        where = f"load {self.name!r}"
        choose(self.kind, KINDS, "kind of load", where)
        choose(self.shape, SHAPES, "shape", where)
        for key, limits in _LIMITS.items():
            number(getattr(self, key), key, *limits, where)
        for key in ("crust", "wet"):
            if not isinstance(getattr(self, key), bool):
                refuse(f"{key} is {getattr(self, key)!r}: give True or False", where)
        _fractions(self.composition, where)
        if self.shape != "box" and self.length_cm != self.width_cm:
            refuse(f"a {self.shape} shape has one diameter, not {self.length_cm:g} by "
                   f"{self.width_cm:g} cm", where)
        for keys in (("top_gold", "top_dark", "top_burnt"),
                     ("bottom_gold", "bottom_dark", "bottom_burnt"),
                     ("hearth_low_c", "hearth_high_c"), ("feels_low_c", "feels_high_c")):
            values = [getattr(self, key) for key in keys]
            if sorted(set(values)) != values:
                refuse(f"{', '.join(keys)} are {', '.join(f'{v:g}' for v in values)}: "
                       "they must rise", where)

    def __hash__(self):
        return hash((self.name, self.mass_g, self.start_c))

    @cached_property
    def composition(self):
        """Dict of mass fractions, as `heat_capacity` takes it."""
        return {c: getattr(self, c) for c in COMPONENTS}

    @cached_property
    def capacity_j_k(self):
        """Heat capacity of the piece at 60 degC with its vessel [J/K]."""
        food = self.mass_g / 1000.0 * float(heat_capacity(self.composition, 60.0))
        return food + self.vessel_kg * VESSEL_CP

    @cached_property
    def water_kg(self):
        """Water in one piece [kg]."""
        return self.mass_g / 1000.0 * self.water

    @cached_property
    def footprint_m2(self):
        """Hearth one piece covers [m2]."""
        return self._plan(0.0)

    @cached_property
    def place_m2(self):
        """Hearth one piece needs with the room round it [m2]."""
        return self._plan(self.spacing_cm)

    def _plan(self, spacing_cm):
        sides = (self.length_cm + spacing_cm) * (self.width_cm + spacing_cm) * 1e-4
        return sides if self.shape == "box" else sides * math.pi / 4.0

    @cached_property
    def volume_m3(self):
        """Volume of one piece [m3]."""
        h = self.height_mm / 1000.0
        if self.shape == "round":  # cap of a sphere: pi h (3 r^2 + h^2) / 6
            return h * self.footprint_m2 / 2.0 + math.pi * h**3 / 6.0
        return h * self.footprint_m2

    @cached_property
    def density(self):
        """Density of the food during the bake [kg/m3]."""
        return self.mass_g / 1000.0 / self.volume_m3

    @cached_property
    def top_m2(self):
        """Exposed area of one piece, sides included [m2]; of a disc the top only."""
        h, length, width = self.height_mm / 1000.0, self.length_cm / 100.0, self.width_cm / 100.0
        sides = {"round": math.pi * h**2, "disc": 0.0, "box": 2.0 * (length + width) * h,
                 "cylinder": math.pi * length * h}
        return self.footprint_m2 + sides[self.shape]

    @cached_property
    def slab_m(self):
        """Thickness [m] of the flat slab, heated on both faces, that warms as slowly.

        From the first eigenvalues of product solutions (Incropera & DeWitt, section 5.6):
        1/L^2 = 1/h^2 + 0.586/r^2 for round plans, 1/h^2 + 1/l^2 + 1/w^2 for a box. A round loaf
        is taken as the cylinder of its volume; a stirred liquid counts by its height.
        """
        h, r = self.volume_m3 / self.footprint_m2, self.length_cm / 200.0
        if self.stirred:
            return h
        if self.shape == "box":
            return (h**-2 + (2.0 * r) ** -2 + (self.width_cm / 100.0) ** -2) ** -0.5
        return (h**-2 + 0.586 * r**-2) ** -0.5

    @cached_property
    def stirred(self):
        """Whether it is a liquid that its own convection stirs (conductivity of 5 or more)."""
        return self.conductivity_w_mk >= 5.0

    @cached_property
    def slab_w_k(self):
        """Conduction scale of one piece [W/K]: k V / L^2."""
        return self.conductivity_w_mk * self.volume_m3 / self.slab_m**2

    @cached_property
    def warming_j(self):
        """Heat [J] that takes one piece from its start to its core's end, without steam."""
        return self.capacity_j_k * max(self.core_c - self.start_c, 0.0)


_LIMITS = {
    "mass_g": (1, 50000, "g"), "vessel_kg": (0, 50, "kg"), "length_cm": (1, 200, "cm"),
    "width_cm": (1, 200, "cm"), "height_mm": (1, 600, "mm"), "spacing_cm": (0, 50, "cm"),
    "contact_w_m2k": (1, 1000, "W/m2K"), "conductivity_w_mk": (0.05, 50, "W/mK"),
    "start_c": (-30, 100, "degC"), "core_c": (20, 100, "degC"),
    **dict.fromkeys(("top_gold", "top_dark", "top_burnt", "bottom_gold", "bottom_dark",
                     "bottom_burnt"), (0.001, 1000, "")),
    **dict.fromkeys(("hearth_low_c", "hearth_high_c", "feels_low_c", "feels_high_c"),
                    (20, 600, "degC")),
    "open_s": (0, 600, "s"), "max_minutes": (1, 2880, "min"),
    "least_minutes": (0, 2880, "min"),
}


def load_catalogue(path=None):
    """Return the dict of name -> Load of a CSV file; data/loads.csv if `path` is left out.

    Raises InputError naming file, line and column.
    """
    return dict(_catalogue(str(path or data_dir() / "loads.csv")))


@lru_cache
def _catalogue(path):
    kinds = {f.name: float if f.type is float else str for f in fields(Load)}
    loads = {}
    for row in read_csv(path, kinds):
        where = f"{path.replace(chr(92), '/').rsplit('/', 1)[-1]} line {row.pop('line')}"
        for key in ("crust", "wet"):
            choose(row[key], ("yes", "no"), f"value of {key}", where)
            row[key] = row[key] == "yes"
        if row["name"] in loads:
            refuse(f"the load {row['name']!r} stands here a second time", where)
        try:
            loads[row["name"]] = Load(**{key: row[key] for key in kinds})
        except InputError as error:
            refuse(str(error), where)
    return loads


def get_load(name_or_load, where=""):
    """Return the Load of that name in the kit's catalogue; a Load is handed back as it is."""
    if isinstance(name_or_load, Load):
        return name_or_load
    loads = load_catalogue()
    return loads[choose(name_or_load, loads, "load", where)]


def hearth_share(loads, inside_m):
    """Return how much of a round hearth's usable area some loads need; above 1 they do not fit.

    loads : pairs of (Load, count)
    inside_m : diameter of the hearth [m]

    Pieces with their spacing can fill 0.75 of the disk (an estimate).
    """
    return sum(n * y.place_m2 for y, n in loads) / (PACKING * math.pi * inside_m**2 / 4.0)


def fits(load, inside_m, mouth_w_m=math.inf, mouth_h_m=math.inf):
    """Return how many of one Load fit a hearth at once; 0 if it cannot pass the mouth.

    load : Load
    inside_m, mouth_w_m, mouth_h_m : diameter of the hearth, width and height of the mouth [m]
    """
    sides = (load.length_cm / 100.0, load.width_cm / 100.0)
    across = math.hypot(*sides) if load.shape == "box" else sides[0]
    if across > inside_m or min(sides) > mouth_w_m or load.height_mm / 1000.0 > mouth_h_m:
        return 0
    return max(1, int(1.0 / hearth_share([(load, 1)], inside_m)))
