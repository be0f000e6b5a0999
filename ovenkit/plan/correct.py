"""The correction on the day: readings that differ from the plan, and what to do about it.

The oven is estimated anew (`estimate`). If all that is to come is good as written, it stays so;
else it is put in order again, by the rule for the day itself (`rule.ON_THE_DAY`).
"""

from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from ovenkit.files import choose, clock_hours, number, refuse
from ovenkit.oven import Oven
from ovenkit.plan.agenda import day_words
from ovenkit.plan.doughs import allowed_h, over_proved
from ovenkit.plan.estimate import WILD, Estimate
from ovenkit.plan.planning import order_table
from ovenkit.plan.remarks import changed
from ovenkit.plan.rule import ON_THE_DAY, Task, root
from ovenkit.plan.search import NARROW, dive
from ovenkit.plan.topup import too_cold, top_up
from ovenkit.plan.wants import NEXT_DAY, today
from ovenkit.run import READINGS, State
from ovenkit.simulate import run_day

QUICK = 0.5             # steps twice as long while it is tried: readings are no truer than that
SURE_MIN = 2            # good so much sooner or later: as written will do
AS_PLANNED_K = 3.0      # an oven that is off by less is as planned
FAHRENHEIT_K = 60.0     # a wild reading so near to what is expected, taken as degF, may be one


@dataclass(frozen=True, eq=False)
class Correction:
    """The rest of a day, planned again.

    hours : from when on, after lighting; oven, state : as they are estimated then
    off_c : hearth then, over what was planned [K]; order : of the loads to come, as Plan.order, its
        margin_min no more than SURE_MIN
    written : the same if the plan went on as written
    steps : from then on; taken : the place in the plan of each load to come
    sentence : what changed, in one line
    notes : readings that are hard to believe; helps : doughs that wait too long now, and a top-up
        fire if a load is spoilt and one would save it
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


def correct(plan, clock, readings, fitted=None, kitchen="warm"):
    """Return the Correction of a plan after readings on the day.

    plan : Plan; clock : time of day "HH:MM" of the readings, after lighting; "HH:MM next day" is
        on the day after the first load
    readings : dict of instrument (as of `Run.reading`) -> degC, or seconds for "hand count"
    fitted : covariance of a `fit.Fit` of this oven, or None
    kitchen : "warm" or "cool", which says how soon a dough can be proved
    What is in the oven stays in until its time; the rest is put in order again.
    Raises InputError for a time outside the day, or readings that are none.
    """
    hours, readings = _hours(plan, clock), _checked(readings)
    estimate = Estimate(plan, hours, fitted)
    oven, state, off = estimate.given(readings)
    left, minutes = to_come(plan, estimate)
    if not left:
        refuse(f"at {clock} the last load is in: there is nothing left to plan")
    now = root(left, state, minutes)
    off_c = float(state.zones_c[1, 0] - estimate.planned.zones_c[1, 0])
    task = Task(oven, ready(plan, kitchen, hours), plan.outdoor_c, ON_THE_DAY, QUICK,
                plan.order["load"].iloc[left[0]])
    steps, written, taken = as_written(plan, estimate, oven, state, ON_THE_DAY)
    order = written
    if not (as_planned(plan, order, taken, off_c) or will_do(plan, order, taken, ON_THE_DAY)):
        (best,), _ = dive(task, [[now]], beam=NARROW)
        steps, taken = best.steps, best.order
        order = rest_order(plan, estimate, oven, state, steps, taken, ON_THE_DAY)
    notes = tuple(_wild(name, value, estimate) for (name, value), far in zip(
        readings.items(), off, strict=True) if abs(far) > WILD)
    return Correction(estimate.end_h, oven, state, off_c, order, written, steps, taken,
                      changed(plan, order, off_c, taken), notes,
                      tuple(_helps(plan, task, order, taken, now, off_c)))


def saving(plan, task, now, order, off_c):
    """Return the `topup.TopUp` that saves what an oven below the plan spoils, or None.

    order : Plan.order of the rest of the day without it; off_c : hearth over the plan [K]
    """
    if off_c >= 0 or plan.cost.spoilt or not too_cold(order).any():
        return None
    return top_up(task, now.left, now.state, now.minutes, plan.steps[0].moisture_pct)


def as_written(plan, estimate, oven, state, rule):
    """(steps, Plan.order, indices) of the loads to come as the plan has them, in an oven as it is.
    """
    k, ends = estimate.step, np.cumsum([step.seconds for step in plan.steps]) / 3600
    steps, taken = plan.steps[k + 1:], to_come(plan, estimate)[0]
    rest_min = round(60 * (ends[k] - estimate.end_h), 6)
    if rest_min > 0:
        steps = (replace(plan.steps[k], minutes=rest_min, hours=None), *steps)
    return steps, rest_order(plan, estimate, oven, state, steps, taken, rule), taken


def _wild(name, value, estimate):
    """A sentence on a reading that is hard to believe."""
    expected = estimate.plan.run.reading(name, estimate.hours)
    in_c = (value - 32) / 1.8
    hint = (f": {value:g} \u00b0F are {in_c:.0f} \u00b0C; readings are in \u00b0C"
            if name != "hand count" and abs(in_c - expected) < FAHRENHEIT_K else "")
    return f"The {name} of {value:g} is far from what can be expected{hint}: read it again."


def as_planned(plan, order, taken, off_c):
    """Whether the oven is as the plan has it, and spoils no more than it does: then it stands.

    order, taken : of `as_written`; off_c : hearth over the plan [K]
    """
    spoils = plan.order["spoilt"].to_numpy()[list(taken)]
    return abs(off_c) < AS_PLANNED_K and not (order["spoilt"].to_numpy() & ~spoils).any()


def will_do(plan, order, taken, rule):
    """Whether the plan stands as written: every load to come good, and SURE_MIN sooner or later,
    and no further outside its bands than on a day that is off.

    order, taken : of `as_written`
    """
    sure = np.minimum(plan.order["margin_min"].iloc[list(taken)], SURE_MIN).to_numpy()
    return bool((~order["spoilt"] & (order["margin_k"] >= -rule.free_k)
                 & (order["margin_min"].to_numpy() >= sure)).all())


def rest_order(plan, estimate, oven, state, steps, taken, rule, either_way=(1, SURE_MIN)):
    """Plan.order of steps from then on, in an oven as it is."""
    return order_table(run_day(oven, steps, plan.outdoor_c, state),
                       [plan.batches[i] for i in taken], from_h=estimate.end_h,
                       first_h=plan.order["set_h"].iloc[0], rule=rule, either_way=either_way)


def _helps(plan, task, order, taken, now, off_c):
    """Sentences: doughs that wait longer than they hold, and a fire that saves what is spoilt."""
    for name, until_h, rescue in over_proved(plan, order, taken):
        yield f"The {name} waits until {plan.at(until_h)} only: {rescue}."
    more = saving(plan, task, now, order, off_c)
    if more:
        yield (f"A top-up fire of {more.wood_kg:g} kg now, with food out for {more.minutes:.0f} "
               "minutes and the doughs in the cold, would save it.")


def _hours(plan, clock):
    """Hours after lighting of a time of day, of the first load's day or of the next."""
    ends = float(plan.run.hours[-1])
    at = clock_hours(today(clock), "clock")
    if today(clock) == clock:
        hours = (at - clock_hours(plan.light_at)) % 24
        if hours + 24 <= ends:
            refuse(f'{clock} comes twice in this plan, which runs for {ends:.0f} hours: write '
                   f'"{clock} {NEXT_DAY}" for the second')
    else:
        hours = at - clock_hours(plan.first_load) + float(plan.order["set_h"].iloc[0]) + 24
    if hours > ends:
        refuse(f"at {clock} nothing of this day is left: it runs from {plan.light_at} to "
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


def to_come(plan, estimate):
    """Return (indices of batches still to go in, minutes since the first was to go in, below 0
    before)."""
    set_h = plan.order["set_h"].to_numpy()
    left = tuple(int(i) for i in np.flatnonzero(set_h >= estimate.end_h - 1e-6))
    return left, float(60 * (estimate.end_h - set_h[0]))


def ready(plan, kitchen, now_h):
    """Return the batches of a plan, none to go in before it can be ready, or after it holds.

    now_h : hours after lighting; what is not made by then takes its time
    """
    first = plan.order["set_h"].iloc[0]
    return tuple(batch._replace(ready_h=max(batch.ready_h, soonest - first), in_by_h=latest - first)
                 for batch, (soonest, latest) in zip(plan.batches, allowed_h(plan, kitchen, now_h),
                                                     strict=True))
