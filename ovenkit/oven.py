"""An oven: layers of masonry in the shape of a dome over a round hearth.

The inside is a spherical cap over a flat disk. The masonry of the dome is a shell whose area
grows with depth, so its thickness follows from its mass by

    m = rho A [(R + t)^3 - R^3] / (3 R^2)

with A the inner area of the dome [m2], R the radius of the sphere [m] and t the thickness [m].
"""

import math
from dataclasses import dataclass, replace

from ovenkit.files import choose, number, refuse
from ovenkit.layers import layer

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
