"""The steps of a day at the oven, and the checks a day must pass before it is run.

Steps are frozen and in cooks' units. Every step takes `minutes` or `hours`, not both.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from numbers import Real

from ovenkit.files import InputError, choose, clock_hours, number, refuse
from ovenkit.loads import Load, fits, get_load, hearth_share
from ovenkit.oven import Oven

LIMITS = {  # key: what a cook calls it, lowest, highest, unit
    "minutes": ("the time", 0.1, 2880, "minutes"),
    "hours": ("the time", 0.01, 48, "hours"),
    "wood_kg": ("wood", 0.5, 200, "kg"),
    "moisture_pct": ("wood moisture", 0, 60, "%"),
    "spread_minutes": ("the time embers are spread", 0, 600, "minutes"),
    "gap_mm": ("the gap of the door", 1, 300, "mm"),
    "count": ("count", 1, 200, "pieces"),
    "outdoor_c": ("outdoor temperature", -40, 50, "degC"),
    "start_c": ("temperature of the oven at the start", -40, 400, "degC"),
    "hours_shut": ("time shut since the day before", 0.1, 48, "hours"),
}
HOT_C = 350.0  # the hottest masonry that one firing reaches all through (common practice)
MASONRY_CP = 960.0  # fireclay at 400 degC [J/kgK], VDI Heat Atlas


def check_limits(key, value, where=""):
    """Return a number that is within what LIMITS allow for a key; InputError."""
    try:
        result = number(value, *LIMITS[key], where)
    except InputError as error:
        if key == "moisture_pct" and isinstance(value, Real) and 60 < value < 300:
            wet = 100.0 * value / (100.0 + value)
            refuse(f"{error}, wet basis; if {value:g} is what a pin meter reads, of dry weight, "
                   f"write {wet:.0f}")
        raise
    if key == "moisture_pct" and 0 < result < 1:
        refuse(f"moisture_pct is {value:g} %, drier than any wood: write {100 * value:g} for "
               f"{100 * value:g} %", where, key)
    return result


def _count(value):
    value = check_limits("count", value)
    if value != int(value):
        refuse(f"count is {value:g}: give a whole number")
    return int(value)


class _Step:
    """What all steps share: their time, and the door while they last."""

    def _check_time_and_door(self, needs_time=True):
        for key in ("minutes", "hours", "gap_mm"):
            if getattr(self, key, None) is not None:
                check_limits(key, getattr(self, key))
        if self.minutes is not None and self.hours is not None:
            refuse(f"a {self.title} step has minutes {self.minutes:g} and hours {self.hours:g}: "
                   "give one of the two")
        if needs_time and self.seconds is None:
            refuse(f"a {self.title} step needs its time: give minutes= or hours=")
        choose(getattr(self, "door", "open"), ("shut", "open"), "way of leaving the door")
        if getattr(self, "gap_mm", None) is not None and self.door == "open":
            refuse(f"the door is open and gap_mm is {self.gap_mm:g}: leave one of the two out")

    @property
    def seconds(self):
        """Length of the step [s]; None for a Bake that lasts until done."""
        if self.minutes is not None:
            return 60.0 * self.minutes
        return None if self.hours is None else 3600.0 * self.hours


@dataclass(frozen=True, kw_only=True)
class Fire(_Step):
    """Burn wood with the door open.

    hours or minutes : from lighting until the embers are out, or until the next step
    wood_kg, moisture_pct : wood as weighed [kg] and its water, wet basis [%]; a pin meter mostly
        reads dry basis d, which is 100 d / (100 + d) wet
    spread_minutes : how long, at the end, the embers lie over the whole hearth [min]
    rake_out : True takes the embers out at the end, False leaves them in
    """

    hours: float | None = None
    minutes: float | None = None
    wood_kg: float
    moisture_pct: float = 18.0
    spread_minutes: float = 30.0
    rake_out: bool = True
    title = "fire"

    def __post_init__(self):
        self._check_time_and_door()
        for key in ("wood_kg", "moisture_pct", "spread_minutes"):
            check_limits(key, getattr(self, key))
        if not isinstance(self.rake_out, bool):
            refuse(f"rake_out is {self.rake_out!r}: give true or false")
        if 60.0 * self.spread_minutes > self.seconds:
            refuse(f"spread_minutes is {self.spread_minutes:g}, longer than the fire of "
                   f"{self.seconds / 60.0:g} minutes: the spread is the end of the fire")


@dataclass(frozen=True, kw_only=True)
class RakeOut(_Step):
    """Take out embers a Fire has left in, with the door open; five minutes if not said."""

    minutes: float | None = None
    hours: float | None = None
    title = "rake out"

    def __post_init__(self):
        if self.minutes is None and self.hours is None:
            object.__setattr__(self, "minutes", 5.0)
        self._check_time_and_door()


@dataclass(frozen=True, kw_only=True)
class Settle(_Step):
    """Let the oven rest after raking out; door "shut" or "open", or ajar by gap_mm."""

    minutes: float | None = None
    hours: float | None = None
    door: str = "shut"
    gap_mm: float | None = None
    title = "settle"

    def __post_init__(self):
        self._check_time_and_door()


@dataclass(frozen=True, kw_only=True)
class Wait(Settle):
    """Let time pass with nothing in the oven; door "shut" or "open", or ajar by gap_mm."""

    title = "wait"


@dataclass(frozen=True)
class Bake(_Step):
    """Put loads in and take them out.

    load : Load, or its name in the catalogue
    count : how many of it
    minutes or hours : how long; neither means until done
    beside : dict of what else is in at the same time, Load or name -> count
    door : "shut" or "open"; gap_mm : door ajar by a slot of that width along one upright edge

    Kept: `load` as a Load, `beside` as a tuple of (Load, count), `count` as int.
    """

    load: Load | str
    count: int = 1
    minutes: float | None = None
    hours: float | None = None
    beside: Mapping | tuple = ()
    door: str = "shut"
    gap_mm: float | None = None
    title = "bake"

    def __post_init__(self):
        self._check_time_and_door(needs_time=False)
        beside = self.beside or ()
        if not isinstance(beside, (Mapping, tuple)):
            refuse(f"beside is {beside!r}: give names and counts, such as {{'steam tray': 1}}")
        pairs = beside.items() if isinstance(beside, Mapping) else beside
        object.__setattr__(self, "load", get_load(self.load))
        object.__setattr__(self, "count", _count(self.count))
        object.__setattr__(self, "beside", tuple((get_load(y), _count(n)) for y, n in pairs))

    @property
    def loads(self):
        """All loads of the step as a tuple of (Load, count), `load` first."""
        return ((self.load, self.count), *self.beside)


def door_gap(step):
    """Return the door during a step: "shut", "open", or the width of its gap [m]."""
    if getattr(step, "gap_mm", None) is not None:
        return step.gap_mm / 1000.0
    return getattr(step, "door", "open")


def check_steps(oven, steps, start=None, where=None):
    """Return `steps` as a tuple, if they can be done in this oven, and done safely.

    oven : Oven
    steps : sequence of steps
    start : None (as cold as outdoors), a temperature [degC], or a state to go on from
    where : one text per step that leads its error; "step 1" and so on if left out

    Raises InputError for a Bake or Settle in a cold oven, raking out without embers, a door
    shut or ajar on live embers (carbon monoxide), loads that do not fit hearth or mouth, and
    loads that need more heat than the masonry can hold.
    """
    if not isinstance(oven, Oven):
        refuse(f"the oven is {oven!r}: give an Oven, such as domed_oven()")
    if isinstance(start, (str, bool)):
        refuse(f"start is {start!r}: give a temperature in degC, or a state of another run")
    if isinstance(start, Real):
        check_limits("start_c", start)
    steps = tuple(steps) if isinstance(steps, (list, tuple)) else (steps,)
    if not steps:
        refuse("the day has no steps: give at least one")
    warm, embers = start is not None, False
    masonry_kg = oven.masonry_kg
    for i, step in enumerate(steps):
        place = where[i] if where else f"step {i + 1}"
        if not isinstance(step, _Step):
            refuse(f"{step!r} is not a step: give Fire, RakeOut, Settle, Bake or Wait", place)
        if isinstance(step, RakeOut) and not embers:
            refuse("there are no embers to rake out: a fire with rake_out=True is raked out at "
                   "its own end", place)
        if step.title in ("bake", "settle") and not warm:
            refuse(f"{step.title} in a cold oven: put a fire before it, or give the start", place)
        if embers and door_gap(step) != "open":
            refuse(f"the door is {'shut' if door_gap(step) == 'shut' else 'ajar'} on live embers, "
                   "which make carbon monoxide: rake out first, or leave the door open", place)
        if isinstance(step, Bake):
            _check_room(oven, masonry_kg, step, place)
        if isinstance(step, Fire):
            warm, embers = True, not step.rake_out
        embers = embers and not isinstance(step, RakeOut)
    return steps


def _check_room(oven, masonry_kg, bake, where):
    """Refuse loads that hearth, mouth or stored heat cannot serve."""
    for load, n in bake.loads:
        most = fits(load, oven.inside_m, oven.mouth_w_m, oven.mouth_h_m)
        if not most:
            refuse(f"a {load.name} ({load.length_cm:g} x {load.width_cm:g} cm, "
                   f"{load.height_mm / 10.0:g} cm high) does not go through the mouth "
                   f"({100.0 * oven.mouth_w_m:.0f} x {100.0 * oven.mouth_h_m:.0f} cm) onto the "
                   f"hearth ({100.0 * oven.inside_m:.0f} cm across)", where)
        if n > most:
            refuse(f"{n} of {load.name} do not fit the hearth of "
                   f"{100.0 * oven.inside_m:.0f} cm; {most} fit at once: bake in batches", where)
        need, high = n * load.warming_j, HOT_C - load.core_c
        holds = masonry_kg * MASONRY_CP * high
        if need > holds:
            refuse(f"{n} of {load.name} need {need / 1e6:.0f} MJ to be done, and "
                   f"{masonry_kg:.0f} kg of masonry hold {holds / 1e6:.0f} MJ between "
                   f"{HOT_C:.0f} and {load.core_c:g} degC: no order of loads helps, "
                   "take fewer or smaller ones", where)
    share = hearth_share(bake.loads, oven.inside_m)
    if share > 1.0 and len(bake.loads) > 1:
        refuse(f"{' and '.join(f'{n} of {y.name}' for y, n in bake.loads)} together need "
               f"{100.0 * share:.0f} % of the room on the hearth of "
               f"{100.0 * oven.inside_m:.0f} cm: bake in batches", where)


@dataclass(frozen=True)
class Day:
    """An oven, the steps of one day, and the weather.

    outdoor_c : outdoor temperature [degC]
    lit_at : time of day "HH:MM" at which the first step begins
    start : None (as cold as outdoors), a temperature [degC], or a state to go on from
    before : the Day at whose end this one starts, or None
    name, lines : name of the day; one text per step that leads its error
    Raises InputError if the steps cannot be done, or not safely (see `check_steps`).
    """

    oven: Oven
    steps: tuple
    outdoor_c: float = 12.0
    lit_at: str = "06:00"
    start: object = None
    before: "Day | None" = None
    name: str = "day"
    lines: tuple = ()

    def __post_init__(self):
        check_limits("outdoor_c", self.outdoor_c)
        clock_hours(self.lit_at, "lit_at")
        if self.before is not None and self.start is not None:
            refuse("the day has a start and a day before: give one of the two")
        if self.before is not None and self.before.oven != self.oven:
            refuse(f"the day before was in the oven {self.before.oven.name!r} and this one is in "
                   f"{self.oven.name!r}: heat does not move from one oven to another")
        start = self.start if self.before is None else self.before
        steps = check_steps(self.oven, self.steps, start, self.lines)
        object.__setattr__(self, "steps", steps)
