"""From settings to picture: one oven, one fire, a menu in some order. No widgets here.

settings -> `steps` and `oven` -> `run` -> `picture`, each a pure function.
"""

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from ovenkit.figures import Band, Line, Picture
from ovenkit.files import choose, number, refuse
from ovenkit.oven import domed_oven
from ovenkit.panels.guesses import LIT_AT
from ovenkit.panels.scene import (
    DOORS,
    FIRE,
    INSIDE,
    MASONRY,
    WEATHER,
    WOOD,
    Field,
    Scene,
    drawn,
    held,
    more,
)
from ovenkit.simulate import run_day
from ovenkit.steps import Bake, Fire, Settle, Wait
from ovenkit.units import METRIC, clock

AFTER_H = 1.5           # shown after the last load goes in


@dataclass(frozen=True)
class Turn:
    """One load of the menu and how it is handled.

    load : name in the catalogue; count : pieces; minutes : in the oven [min]
    door : "shut", "ajar" (a gap of 20 mm) or "open" while it is in
    cool_minutes : door open and nothing in, before it goes in [min]
    """

    load: str
    count: int = 1
    minutes: float = 35
    door: str = "shut"
    cool_minutes: float = 0


MENU = (  # Larch Yard's, invented
    Turn("flatbread", 4, 7),
    Turn("hearth loaf", 6, 32, cool_minutes=20),
    Turn("tin loaf", 6, 47),
    Turn("sponge cake", 3, 26, "ajar", cool_minutes=25),
    Turn("bean pot", 3, 480, cool_minutes=90),
)


@dataclass(frozen=True)
class DrawDown:
    """What the panel can set: oven, fire, weather, and the turns in the order they go in.

    masonry_kg [kg], inside_cm [cm], wood_kg [kg], fire_hours [h], settle_minutes [min],
    outdoor_c [degC]; turns : tuple of Turn, or of names of MENU
    Raises InputError for a name that is not on the menu, or that stands there twice.
    """

    masonry_kg: float = 320
    inside_cm: float = 80
    wood_kg: float = 13
    fire_hours: float = 2
    settle_minutes: float = 20
    outdoor_c: float = 12
    turns: tuple = MENU

    def __post_init__(self):
        menu = {turn.load: turn for turn in MENU}
        turns = tuple(
            turn if isinstance(turn, Turn) else menu[choose(turn, menu, "load on the menu")]
            for turn in self.turns)
        if not turns:
            refuse("the menu is empty: give at least one load")
        names = [turn.load for turn in turns]
        for name in names:
            if names.count(name) > 1:
                refuse(f"the load {name!r} stands on the menu twice: raise its count instead")
        for turn in turns:
            choose(turn.door, DOORS, "way of leaving the door", turn.load)
            number(turn.cool_minutes, "cooling before a load", 0, 600, "minutes", turn.load)
        object.__setattr__(self, "turns", turns)


def move(turns, load, place):
    """Return the turns with one load at a place, 1 for the first; the others close up."""
    turn = next(t for t in turns if t.load == load)
    rest = [t for t in turns if t.load != load]
    rest.insert(int(place) - 1, turn)
    return tuple(rest)


def change(turns, load, **fields):
    """Return the turns with some fields of one load changed."""
    return tuple(replace(t, **fields) if t.load == load else t for t in turns)


def oven(settings):
    """Return the Oven of the settings."""
    return domed_oven(settings.inside_cm, settings.masonry_kg, name="oven on the page")


def steps(settings):
    """Return the steps of the day: fire, settle, then cool and bake, turn by turn."""
    rows = [Fire(hours=settings.fire_hours, wood_kg=settings.wood_kg),
            Settle(minutes=settings.settle_minutes)]
    for turn in settings.turns:
        if turn.cool_minutes:
            rows.append(Wait(minutes=turn.cool_minutes, door="open"))
        rows.append(Bake(turn.load, turn.count, minutes=turn.minutes, **held(turn.door)))
    return rows


def run(settings, finer=1.0):
    """Return the Run of the settings; InputError where it cannot be done, or not safely.

    finer : as of `run_day`
    """
    return run_day(oven(settings), steps(settings), outdoor_c=settings.outdoor_c, finer=finer)


def key_numbers(day):
    """Return the dict of a Run's key numbers.

    hearth_first_c, hearth_last_c : hearth as the first and the last load go in [degC]
    left_first, left_last : loaves left then, for that load; good, of : loads that came out good
    """
    first, last = day.baked[0], day.baked[-1]
    return {"hearth_first_c": float(first.hearth_in_c), "hearth_last_c": float(last.hearth_in_c),
            "left_first": day.loaves_left(first.in_h), "left_last": day.loaves_left(last.in_h),
            "good": sum(row.verdict == "good" for row in day.baked), "of": len(day.baked)}


def key_line(numbers, scale=METRIC):
    """Return the key numbers as one line of text."""
    first, last = (scale.say(numbers[name], "temp") for name in ("hearth_first_c", "hearth_last_c"))
    return ("{good} of {of} came out good. Hearth {first} as the first load goes in, {last} as the "
            "last; loaves left {left_first:.0f} and {left_last:.0f}.").format(
                first=first, last=last, **numbers)


def lines(day, scale=METRIC):
    """Return a Line per load: when, how it came out, and why."""
    bakes = [times for step, times in zip(day.steps, pairwise(day.step_h), strict=True)
             if isinstance(step, Bake)]
    return tuple(
        Line(f"{row.load}: {row.verdict}", f"In {clock(start, LIT_AT)}, out "
             f"{clock(end, LIT_AT)}; {row.why}.", row.verdict == "good")
        for row, (start, end) in zip(day.baked_in(scale), bakes, strict=True))


def alt_text(day, numbers, scale=METRIC):
    """Return what the picture shows, in words."""
    loads = ", ".join(f"{row.load} {row.verdict}" for row in day.baked)
    first, last = (scale.say(numbers[name], "temp") for name in ("hearth_first_c", "hearth_last_c"))
    return (f"Chart of the oven running down after the fire is raked out. The hearth is at {first} "
            f"as the first load goes in and at {last} as the last one does. Dome, air, the hearth "
            "under a load, what it feels like, and the loaves left are drawn beside it. "
            f"In order: {loads}.")


def picture(settings, day, kept=None, scale=METRIC):
    """Return the Picture of a Run; `kept` is a Run to compare it with, or None."""
    table, numbers = day.table, key_numbers(day)
    hours = table.index.to_numpy()
    span = (settings.fire_hours, min(day.baked[-1].in_h + AFTER_H, day.baked[-1].out_h))
    inside = np.zeros(len(hours), bool)
    for row in day.baked:
        inside |= (hours >= row.in_h) & (hours <= row.out_h)
    curves = {
        "dome": (table.dome_back_c + table.dome_front_c) / 2, "feels": table.feels_c,
        "air": table.air_c, "under": table.hearth_under_load_c.where(inside),
        "hearth": table.hearth_bake_c}
    if kept is not None:
        curves["kept"] = kept.table.hearth_bake_c
    bands = tuple(Band(row.in_h, row.out_h, row.load, row.verdict, row.verdict == "good")
                  for row in day.baked)
    return Picture({name: drawn(y) for name, y in curves.items()}, bands, span,
                   drawn(day.loaves_left()), drawn(kept.loaves_left()) if kept else None, LIT_AT,
                   key=key_line(numbers, scale), alt=alt_text(day, numbers, scale),
                   lines=lines(day, scale), scale=scale)


SCENE = Scene("draw_down", DrawDown(), (
    MASONRY, INSIDE, WOOD, *more(
        FIRE, Field("settle_minutes", "Settle", "Door shut after raking out", 5, 120, 5,
                    unit="minutes"), WEATHER),
), run, picture)
