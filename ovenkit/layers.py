"""What masonry is made of: materials whose properties follow temperature, in layers."""

from bisect import bisect
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate, pairwise

from ovenkit.files import choose, data_dir, number, read_csv

LAYER_MM = "layer thickness", 0.3, 1000, "mm"      # its name, lowest, highest, unit


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
                 number(mm, *LAYER_MM, where) / 1000.0)


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
