"""The correction on the day: readings that differ from the plan, and what to do about it.

The oven is estimated anew (`estimate`), and the rest of the day put right in it (`rest`).
"""

from dataclasses import dataclass, replace
from functools import partial

import numpy as np
import pandas as pd

from ovenkit.files import choose, clock_hours, number, refuse
from ovenkit.oven import Oven
from ovenkit.plan.agenda import day_words
from ovenkit.plan.doughs import over_proved, under_proved
from ovenkit.plan.estimate import WILD, Estimate
from ovenkit.plan.inside import OUT_SOON_MIN, inside, take_out
from ovenkit.plan.now import off_of, to_come
from ovenkit.plan.remarks import changed
from ovenkit.plan.rest import rests
from ovenkit.plan.wants import today
from ovenkit.run import READINGS, State

FAHRENHEIT_K = 60.0     # a wild reading so near to what is expected, taken as degF, may be one


@dataclass(frozen=True, eq=False)
class Correction:
    """The rest of a day, planned again.

    hours : from when on, after lighting; oven, state : as they are estimated then, what is in at
        the reading taken out when it is done
    off_c, steps, taken, order, written : as of `rest.Rest`
    sentence : what changed, in one line
    notes : readings that are hard to believe; helps : doughs that wait too long now, and a top-up
        fire if it would save what is spoilt
    """
    hours: float
    oven: Oven
    state: State
    off_c: float
    order: pd.DataFrame
    written: pd.DataFrame
    steps: tuple
    taken: tuple
    sentence: str
    notes: tuple
    helps: tuple = ()


def correct(plan, clock, readings, fitted=None, kitchen="warm", behind_min=0):
    """Return the Correction of a plan after readings on the day.

    plan : Plan; clock : time of day "HH:MM" of the readings, the first after lighting;
        "HH:MM next day" is on the day after the first load
    readings : dict of instrument (as of `Run.reading`) -> degC, or seconds for "hand count"
    fitted : covariance of a `fit.Fit` of this oven, or None
    kitchen : "warm" or "cool", which says how soon a dough can be proved
    behind_min : minutes by which the day runs late: what was to be out at 15:15 came out now, 20
        minutes later, is correct(plan, "15:35", ..., behind_min=20)
    What is in the oven stays in until its time; or until it is done, if that is wrong, and is told.
    Raises InputError for a time outside the day, or readings that are none.
    """
    hours, readings = _hours(plan, clock), _checked(readings)
    late_h = number(behind_min, "behind_min", 0, 720, "minutes") / 60
    if late_h > hours:
        refuse(f"behind_min is {behind_min:g}, and at {clock} the day is {60 * hours:.0f} minutes "
               "old: give how much later it is than the plan")
    estimate = Estimate(plan, hours - late_h, fitted)
    if not to_come(plan, estimate)[0]:
        refuse(f"at {clock} the last load is in: there is nothing left to plan")
    oven, state, far = estimate.given(readings)
    what, off_c = inside(plan, estimate, oven), off_of(estimate, state)
    state = replace(state, zones_c=np.maximum(state.zones_c + what.cells_k, plan.outdoor_c))
    (rest,) = rests(plan, estimate, [state], kitchen, behind_min, what.longer_min, [off_c])
    notes = tuple(_wild(name, value, estimate) for (name, value), off in zip(
        readings.items(), far, strict=True) if abs(off) > WILD)
    same = "what is to come goes on as written" if what.verdict else "go on as written"
    say = partial(changed, plan, rest.order, rest.off_c, rest.taken, same=same)
    said = say()
    if not rest.stands and said.endswith(f"{same}."):       # some minutes matter
        said = say(least=(1, 1))
    begin_h = estimate.end_h + late_h + what.longer_min / 60
    told = [take_out(plan.steps[estimate.step].load, what.verdict, plan.at(begin_h))
            ] if what.verdict else []
    return Correction(begin_h, oven, state, rest.off_c, rest.order, rest.written,
                      rest.steps, rest.taken, said, notes,
                      (*told, *_helps(plan, rest, begin_h, hours)))


def _wild(name, value, estimate):
    """A sentence on a reading that is hard to believe."""
    expected = estimate.plan.run.reading(name, estimate.hours)
    in_c = (value - 32) / 1.8
    hint = (f": {value:.4g} \u00b0F are {in_c:.0f} \u00b0C; readings are in \u00b0C"
            if name != "hand count" and abs(in_c - expected) < FAHRENHEIT_K else "")
    return f"The {name} of {value:.4g} is far from what can be expected{hint}: read it again."


def _helps(plan, rest, begin_h, now_h):
    """Sentences: doughs that are wanted before they are proved, or wait longer than they hold, and
    a fire that saves what is spoilt.

    begin_h : when the oven is free [h]; now_h : of the reading [h]
    """
    for name, minutes in under_proved(plan, rest.order, rest.taken):
        yield (f"The {name} is wanted {minutes:.0f} minutes before it is proved: stand it warmer "
               "now.")
    for name, until_h, rescue in over_proved(plan, rest.order, rest.taken):
        yield f"The {name} waits until {plan.at(until_h)} only: {rescue}."
    if rest.top_up:
        k, more = rest.top_up
        free = "now" if begin_h - now_h < OUT_SOON_MIN / 60 else f"at {plan.at(begin_h)}"
        meanwhile = ("food out and doughs in the cold, the next load in "
                     f"{more.minutes:.0f} minutes after it is lit")
        yield f"A {more.offer(k, meanwhile, free)}."


def _hours(plan, clock):
    """Hours after lighting of a time of day, of the first load's day or of the next."""
    ends = float(plan.run.hours[-1])
    at = clock_hours(today(clock), "clock")
    if today(clock) == clock:
        hours = (at - clock_hours(plan.light_at)) % 24
    else:
        hours = at - clock_hours(plan.first_load) + float(plan.order["set_h"].iloc[0]) + 24
    if hours > ends:
        refuse(f"at {clock} nothing of this plan is in the oven: it runs from {plan.light_at} to "
               f"{plan.at(ends)}{day_words(plan, ends)}")
    return hours


def _checked(readings):
    if not isinstance(readings, dict) or not readings:
        refuse("give at least one reading, each with its instrument, such as {'hearth spot': 245}")
    for name, value in readings.items():
        choose(name, READINGS, "instrument")
        limits = (0.1, 60, "s") if name == "hand count" else (-20, 700, "degC")
        number(value, name, *limits)
    return readings
