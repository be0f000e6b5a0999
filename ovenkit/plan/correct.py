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
from ovenkit.plan.doughs import begun_anew, over_proved, under_proved
from ovenkit.plan.estimate import WILD, Estimate
from ovenkit.plan.inside import OUT_SOON_MIN, inside, take_out
from ovenkit.plan.now import off_of, to_come
from ovenkit.plan.planning import Plan
from ovenkit.plan.remarks import by_night, changed, doubtful, finished_on, in_scale
from ovenkit.plan.rest import fire_first, rests
from ovenkit.plan.wants import today
from ovenkit.run import READINGS, State
from ovenkit.units import METRIC, f_to_c

WILD_K = 100.0          # nor is a reading believed unasked that is so far from the plan
FAHRENHEIT_K = 60.0     # a wild reading so near to what is expected, taken as degF, may be one


@dataclass(frozen=True, eq=False)
class Correction:
    """The rest of a day, planned again.

    plan : Plan that is corrected
    hours : from when on, after lighting; oven, state : as they are estimated then, what is in at
        the reading taken out when it is done
    off_c, steps, taken, order, written : as of `rest.Rest`
    notes : readings that are hard to believe; helps : what is in comes out otherwise, doughs that
        are begun at another time or wait too long now, what wants somebody in the night, a top-up
        fire that would save what is spoilt; with a `fire`, of the day after it
    stands : whether what is to come goes on as written; inside : whether `helps` tell of what is in
    fire : "light a top-up fire ...", if the day goes on with it at once, or ""
    """
    plan: Plan
    hours: float
    oven: Oven
    state: State
    off_c: float
    order: pd.DataFrame
    written: pd.DataFrame
    steps: tuple
    taken: tuple
    notes: tuple
    helps: tuple
    stands: bool
    inside: bool
    fire: str

    @property
    def sentence(self):
        """What changed, in one line."""
        return self.say()

    def say(self, scale=METRIC):
        """Return what changed, in one line, as it reads in a scale."""
        same = "what is to come goes on as written" if self.inside else "go on as written"
        say = partial(changed, self.plan, self.order, self.off_c, self.taken, scale, same=same)
        said = say()
        if not self.stands and said.endswith(f"{same}."):       # some minutes matter
            said = say(least=(1, 1))
        if self.fire:
            head, rest = said.split(": ", 1)
            said = f"{head}: {in_scale(self.fire, scale)}. Without it: {rest}"
        return f"Until you have read again: {said[0].lower()}{said[1:]}" if self.notes else said


def correct(plan, clock, readings, fitted=None, kitchen="warm", behind_min=0, scale=METRIC):
    """Return the Correction of a plan after readings on the day.

    plan : Plan; clock : time of day "HH:MM" of the readings, the first after lighting;
        "HH:MM next day" is on the day after the first load
    readings : dict of instrument (as of `Run.reading`) -> degC, or seconds for "hand count"
    fitted : covariance of a `fit.Fit` of this oven, or None
    kitchen : "warm" or "cool", which says how soon a dough can be proved
    behind_min : minutes by which the day runs late: what was to be out at 15:15 came out now, 20
        minutes later, is correct(plan, "15:35", ..., behind_min=20)
    scale : units.Scale in which `notes` and `helps` speak; readings are in degC all the same
    What is in the oven stays in until its time; or until it is done, if that is wrong, and is told.
    Raises InputError for a time outside the day, or readings that are none.
    """
    if not isinstance(plan, Plan):
        refuse(f"the plan is {plan!r}: give what plan_day returned, or read_wants(file).plan()")
    hours, readings = _hours(plan, clock), _checked(readings)
    late_h = number(behind_min, "behind_min", 0, 720, "minutes") / 60
    if late_h > hours:
        refuse(f"behind_min is {behind_min:g}, and at {clock} the day is {60 * hours:.0f} minutes "
               "old: give how much later it is than the plan")
    estimate = Estimate(plan, hours - late_h, fitted)
    if not to_come(plan, estimate)[0]:
        refuse(f"the first {clock} after the oven is lit at {plan.light_at} is "
               f"{plan.at(hours)}{day_words(plan, hours)}, and the last load is in: there is "
               "nothing left to plan")
    oven, state, far, apart = estimate.given(readings)
    what, off_c = inside(plan, estimate, oven), off_of(estimate, state)
    state = replace(state, zones_c=np.maximum(state.zones_c + what.cells_k, plan.outdoor_c))
    (rest,) = rests(plan, estimate, [state], kitchen, behind_min, what.longer_min, [off_c])
    begin_h = estimate.end_h + late_h + what.longer_min / 60
    told = [take_out(plan.steps[estimate.step].load, what.verdict, plan.at(begin_h))
            ] if what.verdict else []
    free = "now" if begin_h - hours < OUT_SOON_MIN / 60 else f"at {plan.at(begin_h)}"
    place, more = rest.top_up or (None, None)
    lit = fire_first(plan, rest)
    order, taken = (more.order, more.taken) if lit else (rest.order, rest.taken)
    helps = (*told, *_helps(plan, order, taken, hours, kitchen), *_at_night(plan, order, taken))
    if more and not lit:
        helps += in_scale(f"A {_fire(more, place, free)}, would save {more.saved}.", scale),
    return Correction(
        plan, begin_h, oven, state, rest.off_c, rest.order, rest.written, rest.steps, rest.taken,
        tuple(_doubts(estimate, readings, far, apart, scale)), helps, rest.stands, bool(told),
        f"light a {_fire(more, place, free)}: it would save {_saved(rest)}" if lit else "")


def _doubts(estimate, readings, far, apart, scale):
    """Sentences on readings that are hard to believe, or contradict each other.

    far, apart : as of `estimate.Estimated`
    """
    def say(name, value):
        return f"{scale.to(value, '' if name == 'hand count' else 'temp'):.4g}"

    expected = {name: estimate.plan.run.reading(name, estimate.hours) for name in readings}
    for (name, value), off in zip(readings.items(), far, strict=True):
        in_c, degrees = f_to_c(value), name != "hand count"
        hint = (f": {value:.4g} \u00b0F are {in_c:.0f} \u00b0C; readings are in \u00b0C"
                if degrees and scale == METRIC and abs(in_c - expected[name]) < FAHRENHEIT_K
                else f", {say(name, expected[name])}")
        if abs(off) > WILD or degrees and abs(value - expected[name]) > WILD_K:
            yield (f"The {name} of {say(name, value)} is far from what can be expected{hint}: "
                   "read it again.")
    if apart:
        one, other = (f"{name} of {say(name, readings[name])} "
                      f"(as planned {say(name, round(expected[name]))})" for name in apart)
        yield (f"The {one} and the {other} contradict each other: read both again, the hearth "
               "where nothing lay.")


def _helps(plan, order, taken, now_h, kitchen):
    """Sentences: what is begun at another time now, doughs that are wanted before they are proved,
    or wait longer than they hold, what may not be done by morning.

    order, taken : as of `rest.Rest`; now_h : of the reading [h]
    """
    doughs = plan, order, taken, kitchen, now_h
    anew = dict.fromkeys(f"the {name} at {plan.at(new_h)}, not {plan.at(was_h)}"
                         for name, new_h, was_h in begun_anew(*doughs))
    if anew:
        yield f"Begin to make {'; '.join(anew)}."
    for name, minutes in under_proved(*doughs):
        yield (f"The {name} is wanted {minutes:.0f} minutes before it is proved: stand it warmer "
               "now.")
    for name, until_h, rescue in over_proved(*doughs):
        yield f"The {name} waits until {plan.at(until_h)} only: {rescue}."
    for row, k in zip(order.itertuples(), taken, strict=True):
        may = doubtful(row, plan.batches[k].overnight)
        if may:
            yield f"The {row.load} {may}: probe it then, and finish it on the stove if need be."


def _saved(rest):
    """What the top-up fire of a Rest saves, in words; one load by its name."""
    (_, more), lost = rest.top_up, rest.order.loc[rest.order["spoilt"], "load"]
    return f"the {lost.iloc[0]}" if len(lost) == 1 else more.saved


def _fire(more, place, now):
    """What a TopUp asks for, in words; place, now : as of `TopUp.lit`."""
    return (f"{more.lit(place, now)}, food out and doughs in the cold, the next load in "
            f"{more.minutes:.0f} minutes after it is lit")


def _at_night(plan, order, taken):
    """Sentences on what wants somebody in the night, unlike by the plan."""
    for row, k in zip(order.itertuples(), taken, strict=True):
        was, load = plan.order.iloc[k], plan.batches[k].load
        asked, planned = ([one.set_h] if plan.batches[k].overnight else [one.set_h, one.out_h]
                          for one in (row, was))
        night = [plan.at(hours) for hours in asked if by_night(plan.at(hours))]
        if night and not any(by_night(plan.at(hours)) for hours in planned):
            yield (f"The {row.load} wants somebody at {' and '.join(night)}, in the night: if "
                   f"nobody stays up, finish it {finished_on(load)}.")


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
