"""What a panel is made of: fields, settings, and pure functions from settings to picture.

A Scene has no widgets: settings -> `run` -> `picture`, each tried without a browser.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from ovenkit.units import METRIC

DOORS = ("shut", "ajar", "open")
AJAR_MM = 20.0      # a finger
GROUPS = {"oven": "The oven", "fire": "The fire", "day": "The day", "view": "What is shown"}


def held(door, gap_mm=AJAR_MM):
    """How a step says that the door stands as a word of DOORS; ajar by gap_mm [mm]."""
    return {"gap_mm": gap_mm} if door == "ajar" else {"door": door}


def drawn(series, later_h=0.0):
    """A Series over the hours as a picture takes it: (hours, values), later_h [h] later."""
    return series.index.to_numpy() + later_h, series.to_numpy()


@dataclass(frozen=True)
class Field:
    """A control: a number with a slider and a box, or a choice of words.

    name : field of the settings; label : its words, without unit; tip : what it means
    low, high, step : of a number, in the kit's units; choices : words, for a choice
    of : what is measured, see `units.Scale`; unit : name of another unit, such as "minutes"
    group : of GROUPS, in which order controls stand; more : True stands under 'more'
    """

    name: str
    label: str
    tip: str
    low: float = 0
    high: float = 1
    step: float = 1
    choices: tuple = ()
    of: str = ""
    unit: str = ""
    group: str = "day"
    more: bool = False

    def words(self, scale=METRIC):
        """Its label with the unit."""
        unit = self.unit or scale.unit(self.of)
        return f"{self.label}, {unit}" if unit else self.label


MASONRY = Field("masonry_kg", "Masonry", "How heavy the bricks inside the insulation are", 120, 900,
                10, of="mass", group="oven")
INSIDE = Field("inside_cm", "Oven inside", "Inside diameter of the hearth", 74, 120, 1, of="length",
               group="oven")
INSULATION = Field("insulation_mm", "Insulation", "Thickness round the dome", 0, 200, 5, unit="mm",
                   group="oven")
CRACK = Field("door_crack_mm", "Door crack", "Width of the crack all round the shut door", 0, 8,
              0.5, unit="mm", group="oven")
WOOD = Field("wood_kg", "Wood", "Wood on the fire, 18 % water", 4, 30, 0.5, of="mass", group="fire")
FIRE = Field("fire_hours", "Fire", "From lighting to raking out", 1, 5, 0.25, unit="hours",
             group="fire")
SPREAD = Field("spread_minutes", "Embers spread", "Over the whole hearth, at the end of the fire",
               0, 60, 5, unit="minutes", group="fire")
WEATHER = Field("outdoor_c", "Weather", "Temperature outdoors", -15, 35, 1, of="temp")


def more(*fields):
    """Return fields as they stand under 'more'."""
    return tuple(replace(field, more=True) for field in fields)


@dataclass(frozen=True)
class Scene:
    """One thing to try: what can be set, what then happens, and how it is shown.

    start : frozen settings as the panel opens; fields : tuple of Field
    run : (settings, finer=1.0) -> result; InputError where it cannot be done, or not safely
    picture : (settings, result, kept=None, scale=METRIC) -> picture of `figures`
    """

    name: str
    start: object
    fields: tuple
    run: Callable
    picture: Callable
