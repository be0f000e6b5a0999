"""Let it settle: embers out, door shut, and what evens out while nothing is done. No widgets here.

settings -> `oven` and `steps` -> `run` -> `picture`, each a pure function.
"""

from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from ovenkit.figures import Line, Picture
from ovenkit.loads import load_catalogue
from ovenkit.oven import domed_oven
from ovenkit.panels.charging import FIRST_MIN, LAST_MIN, charged_words, lost_of_100
from ovenkit.panels.guesses import LIT_AT
from ovenkit.panels.scene import (
    CRACK,
    FIRE,
    INSIDE,
    INSULATION,
    MASONRY,
    SPREAD,
    WEATHER,
    WOOD,
    Field,
    Scene,
    drawn,
    more,
)
from ovenkit.run import Run
from ovenkit.simulate import run_day
from ovenkit.steps import Fire, Settle
from ovenkit.units import METRIC, clock
from ovenkit.views import cavity

LEAST_H = 1.5       # computed however short the rest: the lines speak of 80 minutes
NEAR_K = 15.0       # skin and depth count as one (our own)
HEARTH, BACK, FRONT = PLACES = "hearth_bake_c", "dome_back_c", "dome_front_c"
SKINS = ["hearth_fire_c", *PLACES]


@dataclass(frozen=True)
class Rest:
    """What the panel can set: oven, fire, weather, and how long the oven rests.

    masonry_kg [kg], inside_cm [cm], insulation_mm, door_crack_mm [mm], wood_kg [kg],
    fire_hours [h], spread_minutes [min], settle_hours [h], outdoor_c [degC]
    """

    masonry_kg: float = 320
    inside_cm: float = 80
    insulation_mm: float = 75
    door_crack_mm: float = 1
    wood_kg: float = 13
    fire_hours: float = 2
    spread_minutes: float = 30
    settle_hours: float = 2
    outdoor_c: float = 12


class Rested(NamedTuple):
    """A Run of fire and rest, and the hour at which it is raked out and shut [h]."""

    day: Run
    shut_h: float


def oven(settings):
    """Return the Oven of the settings."""
    return domed_oven(settings.inside_cm, settings.masonry_kg, settings.insulation_mm,
                      door_crack_mm=settings.door_crack_mm, name="oven on the page")


def steps(settings):
    """Return the steps of the day: a fire that is raked out, and rest with the door shut."""
    return [Fire(hours=settings.fire_hours, wood_kg=settings.wood_kg,
                 spread_minutes=settings.spread_minutes),
            Settle(hours=max(settings.settle_hours, LEAST_H))]


def run(settings, finer=1.0):
    """Return the Rested of the settings; InputError where it cannot be done.

    finer : as of `run_day`
    """
    day = run_day(oven(settings), steps(settings), outdoor_c=settings.outdoor_c, finer=finer)
    return Rested(day, settings.fire_hours)


def at(rested, column, minutes):
    """A column of the table, or a Series over its index, so many minutes after shutting."""
    hours = rested.shut_h + minutes / 60
    if isinstance(column, str):
        return rested.day.at(column, hours)
    return float(np.interp(hours, column.index, column))


def fall(rested, column, begin, end):
    """How far it falls between two minutes after shutting [K]."""
    return at(rested, column, begin) - at(rested, column, end)


def skin(rested):
    """Series of the mean skin of hearth and dome, by area [degC]."""
    shape = rested.day.oven
    areas = cavity(shape.inside_m, shape.rise_m, shape.mouth_area_m2).areas[:4]
    return rested.day.table[SKINS] @ (areas / areas.sum())


def apart(rested):
    """Series of how far the hottest of PLACES is over the coolest [K]."""
    places = rested.day.table[list(PLACES)]
    return places.max(axis=1) - places.min(axis=1)


def lost_pct(rested, minutes):
    """Part of the stored heat that is gone so many minutes after shutting [%]."""
    return 100 * (1 - at(rested, "stored_mj", minutes) / at(rested, "stored_mj", 0))


def shut_in(rested, place, scale=METRIC):
    """What a place loses of every 100 degrees in the shut-in test, as read in a units.Scale."""
    return lost_of_100(at(rested, place, FIRST_MIN), at(rested, place, LAST_MIN), scale)


def settled_min(rested, series, level):
    """Minutes after shutting from which a Series stays at or under a level; None if not yet."""
    rest = series.loc[rested.shut_h - 1e-9:]
    over = np.flatnonzero(rest.to_numpy() > level)
    if not len(over):
        return 0.0
    i = over[-1]
    if i + 1 == len(rest):
        return None
    hours = np.interp(level, rest.iloc[[i + 1, i]], rest.index[[i + 1, i]])
    return float(60 * (hours - rested.shut_h))


def _moved(kelvin, scale):
    if round(scale.to(kelvin, "rise")) == 0:
        return "did not move"
    return f"{'fell' if kelvin > 0 else 'rose'} {scale.say(abs(kelvin), 'rise')}"


def _skin(rested, scale):
    floor, whole = ([_moved(fall(rested, column, m, m + 20), scale) for m in (0, 60)]
                    for column in (HEARTH, skin(rested)))
    return Line("Skin", "In the first 20 minutes the hearth {}, from minute 60 to 80 it {}. Hearth "
                "and dome together {}, then {}.".format(*floor, *whole))


def _places(rested, scale):
    far = apart(rested)
    first, *rest = (scale.say(at(rested, far, m), "rise", unit=not m) for m in (0, 20, 40, 60))
    return Line("Places", "Hearth, dome back and dome front are {} apart at raking out; {} after "
                "20 minutes, {} after 40, {} after 60.".format(first, *rest))


def _depth(rested, scale):
    table, near = rested.day.table, scale.say(NEAR_K, "rise")
    minutes = settled_min(rested, table.hearth_bake_c - table.hearth_deep_c, NEAR_K)
    said = ("is not yet" if minutes is None else "is from the start" if minutes == 0 else
            f"comes, after {minutes:.0f} minutes,")
    return Line("Depth", f"The hearth's skin {said} within {near} of the brick 25 mm down.")


def _test(rested, scale):
    ten, forty = (scale.say(at(rested, HEARTH, m), "temp") for m in (FIRST_MIN, LAST_MIN))
    hearth, back = (shut_in(rested, place, scale) for place in (HEARTH, BACK))
    words, good = charged_words(hearth)
    return Line(f"Shut-in test: {words}", f"The hearth reads {ten} at {FIRST_MIN} minutes and "
                f"{forty} at {LAST_MIN}: {hearth:.0f} of every 100 degrees lost; the dome back "
                f"loses {back:.0f}.", good)


def _bread(rested, scale):
    loaf, hearth = load_catalogue()["hearth loaf"], rested.day.table[HEARTH]
    high, low = (scale.say(c, "temp") for c in (loaf.hearth_high_c, loaf.hearth_low_c))
    minutes = settled_min(rested, hearth, loaf.hearth_high_c)
    if at(rested, hearth, 0) < loaf.hearth_low_c:
        said = f"The hearth is under {low} at raking out, too cool for hearth loaves"
    elif minutes is None:
        said = f"At the end the hearth is still over {high}, too hot for hearth loaves"
    elif minutes == 0:
        said = f"The hearth is under {high} from the start: wait for evenness alone"
    else:
        said = (f"The hearth comes under {high} at "
                f"{clock(rested.shut_h + minutes / 60, LIT_AT)}, after {minutes:.0f} minutes")
    return Line("Bread", f"{said}.")


def lines(rested, scale=METRIC):
    """Return the Lines below the picture: the test, skin, store, places, depth and bread."""
    return (_test(rested, scale), _skin(rested, scale),
            Line("Store", f"{lost_pct(rested, 20):.1f} % of its heat is gone after 20 minutes, "
                 f"{lost_pct(rested, 60):.1f} % after an hour."),
            _places(rested, scale), _depth(rested, scale), _bread(rested, scale))


def key_numbers(rested):
    """Return the dict of the key numbers.

    shut_c, forty_c : hearth at raking out and 40 minutes later [degC]
    lost_pct : of the store in those 40 minutes; apart_k, later_k : between places then [K]
    """
    far = apart(rested)
    return {"shut_c": at(rested, HEARTH, 0), "forty_c": at(rested, HEARTH, LAST_MIN),
            "lost_pct": lost_pct(rested, LAST_MIN), "apart_k": at(rested, far, 0),
            "later_k": at(rested, far, LAST_MIN)}


def key_line(numbers, scale=METRIC):
    """Return the key numbers as one line of text."""
    say = scale.say
    return (f"Hearth {say(numbers['shut_c'], 'temp')} at raking out, "
            f"{say(numbers['forty_c'], 'temp')} after {LAST_MIN} minutes shut, and "
            f"{numbers['lost_pct']:.1f} % of the oven's heat gone. Hearth and dome are "
            f"{say(numbers['apart_k'], 'rise', unit=False)} degrees apart, then "
            f"{say(numbers['later_k'], 'rise', unit=False)}.")


def picture(settings, rested, kept=None, scale=METRIC):
    """Return the Picture of a Rested; one kept is drawn as if raked out at the same moment."""
    table, shut_h = rested.day.table, rested.shut_h
    key = key_line(key_numbers(rested), scale)
    curves = {name: drawn(table[column]) for name, column in {
        "outer": "hearth_outer_c", "deep": "hearth_deep_c", "back": BACK, "front": FRONT,
        "hearth": HEARTH}.items()}
    kept_left = None
    if kept is not None:
        later_h = shut_h - kept.shut_h
        curves["kept"] = drawn(kept.day.table[HEARTH], later_h)
        kept_left = drawn(kept.day.loaves_left(), later_h)
    alt = ("Chart of the shut oven from raking out on. Hearth, dome back and dome front, the "
           "hearth 25 mm in and its outer face draw nearer to each other, fast and then slowly, "
           f"and never become one. {key}")
    return Picture(curves, (), (shut_h, shut_h + settings.settle_hours),
                   drawn(rested.day.loaves_left()), kept_left, LIT_AT, key=key, alt=alt,
                   lines=lines(rested, scale), scale=scale)


SCENE = Scene("settle", Rest(), (
    MASONRY, WOOD, replace(FIRE, low=0.5, high=4.5),
    Field("settle_hours", "Settle", "Door shut, nothing in: what the chart shows", 0.5, 4.5, 0.25,
          unit="hours"),
    *more(INSIDE, INSULATION, CRACK, SPREAD, WEATHER),
), run, picture)
