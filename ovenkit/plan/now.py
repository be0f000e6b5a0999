"""A moment of a plan that is under way: what is still to come, and ways to go on."""

from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
import pandas as pd

from ovenkit.files import refuse
from ovenkit.plan.doughs import allowed_h
from ovenkit.plan.order import order_table
from ovenkit.plan.rule import ON_THE_DAY, Task
from ovenkit.plan.tries import gap_of
from ovenkit.plan.wants import hotter, untold
from ovenkit.run import Run
from ovenkit.simulate import run_day
from ovenkit.steps import Fire, Wait

SURE_MIN = 2            # good so much sooner or later: as written will do
AS_PLANNED_K = 3.0      # an oven that is off by less is as planned
LONGER = 1.25           # and still not given up, if it is browned by eye


class Way(NamedTuple):
    """A way to go on.

    steps : from now on; taken : the place in the plan of each load to come; run : Run of them
    order : of the loads to come, as Plan.order, its margin_min no more than SURE_MIN
    """
    steps: tuple
    taken: tuple
    run: Run
    order: pd.DataFrame

    @property
    def cost(self):
        """(loads spoilt, how far astray)."""
        return int(self.order["spoilt"].sum()), int(self.order["astray"].sum())


@dataclass(frozen=True)
class Now:
    """A moment of a plan that is under way.

    task : batches as they are today, the rule of the day; left : place of each to come
    minutes : since the first was to go in; begin_h : hours after lighting of what comes next
    steps : to come, as written; pauses : (minutes, gap_mm) before each load, as written
    """
    plan: object
    task: Task
    left: tuple
    minutes: float
    begin_h: float
    steps: tuple
    pauses: list

    @property
    def first_h(self):
        """When the first load of the day was to go in [h after lighting]."""
        return self.plan.order["set_h"].iloc[0]

    @property
    def fire_to_come(self):
        """Whether a fire is to come as written."""
        return to_light(self.steps, self.begin_h) is not None

    @property
    def given_up(self):
        """How many of the loads to come are spoilt by the plan, and that is accepted."""
        return int(self.plan.given_up[list(self.left)].sum())

    @property
    def unmet(self):
        """Whether more of them is spoilt as the day goes on by now than is accepted."""
        return bool(self.plan.order["spoilt"].iloc[list(self.left)].sum() > self.given_up)

    def way(self, state, steps, taken):
        """The Way of some steps, from a State on."""
        run = run_day(state.oven, steps, self.plan.outdoor_c, state)
        batches = [self.task.batches[i] for i in taken]
        return Way(steps, taken, run, order_table(
            run, batches, from_h=self.begin_h, first_h=self.first_h, rule=self.task.rule,
            either_way=(1, SURE_MIN)))


def to_light(steps, from_h):
    """Return (when it is lit, its wood [kg]) of the first fire in some steps, or None.

    from_h : when they begin [h]
    """
    for step in steps:
        if isinstance(step, Fire):
            return from_h, step.wood_kg
        from_h += step.seconds / 3600
    return None


def moment(plan, estimate, kitchen="warm", behind_min=0.0, longer_min=0.0):
    """Return the Now of an `estimate.Estimate`; arguments as of `rest.rests`. InputError where no
    time is left for what is in overnight.
    """
    left, minutes = to_come(plan, estimate)
    batches = ready(plan, kitchen, estimate.hours + behind_min / 60)
    task = Task(plan.oven, batches, plan.outdoor_c, ON_THE_DAY,
                planned=plan.order["load"].iloc[left[0]])
    late_min = behind_min + longer_min
    steps, pauses = _as_written(plan, estimate, left)
    if late_min and batches[left[-1]].overnight:
        steps, pauses = _till_morning(steps, pauses, -late_min, len(left) == 1)
    return Now(plan, task, left, minutes + late_min, estimate.end_h + late_min / 60, steps, pauses)


def off_of(estimate, state):
    """Return the hearth of a state over what was planned for an Estimate's moment [K]."""
    return float(state.zones_c[1, 0] - estimate.planned.zones_c[1, 0])


def to_come(plan, estimate):
    """Return (indices of batches still to go in, minutes since the first was to go in, below 0
    before)."""
    set_h = plan.order["set_h"].to_numpy()
    left = tuple(int(i) for i in np.flatnonzero(set_h >= estimate.end_h - 1e-6))
    return left, float(60 * (estimate.end_h - set_h[0]))


def ready(plan, kitchen, now_h):
    """Return the batches of a plan as they are on the day: none to go in before it can be ready, or
    after it holds; covered pots in a hotter oven too, and what is watched LONGER than its longest,
    not by minutes that were asked for (see `tries.taken_out`).

    now_h : hours after lighting; what is not made by then takes its time
    """
    first = plan.order["set_h"].iloc[0]
    return tuple(_watched(batch)._replace(
        load=batch.load if batch.overnight else _eased(batch.load),
        ready_h=max(batch.ready_h, soonest - first), in_by_h=latest - first, lost_h=lost - first)
        for batch, (soonest, latest, lost) in zip(
            plan.batches, allowed_h(plan, kitchen, now_h), strict=True))


def _watched(batch):
    """A Batch that is taken out when it is done, if a core tells; as it is, if none does."""
    told = batch.stay and not (batch.overnight or batch.load.least_minutes or untold(batch.load))
    return batch._replace(stay=None, asked=batch.stay) if told else batch


def longest_min(load):
    """Return for how long a load may be in on the day, where it is watched: LONGER, with a crust.
    """
    return int(load.max_minutes * LONGER) if load.crust else load.max_minutes


def _eased(load):
    return replace(hotter(load), max_minutes=longest_min(load))


def _till_morning(steps, pauses, more_min, alone):
    """Steps and pauses as of `_as_written`, what is in overnight out so much later than by them: it
    goes in later, if that is waited for, else it stays in longer."""
    *before, last = steps
    wait = before[-1].seconds / 60 + more_min if before and isinstance(before[-1], Wait) else -1
    if wait <= 0:
        minutes = last.seconds / 60 + more_min
        if minutes <= 0 and alone:
            refuse(f"no time is left for the {last.load.name} before it is to be out in the "
                   "morning: cook it through on the stove")
        return (*before, replace(last, minutes=max(minutes, 1.0), hours=None)), pauses
    return ((*before[:-1], replace(before[-1], minutes=wait, hours=None), last),
            [*pauses[:-1], (wait, pauses[-1][1])])


def _as_written(plan, estimate, left):
    """(steps, the (minutes, gap_mm) before each load) to come as the plan has them."""
    now, steps = plan.steps[estimate.step], plan.steps[estimate.step + 1:]
    pauses = [(row.wait_min, row.gap_mm) for row in plan.order.iloc[list(left)].itertuples()]
    rest_min = round(60 * float(plan.run.step_h[estimate.step + 1] - estimate.end_h), 6)
    if isinstance(now, Wait):
        pauses[0] = rest_min, gap_of(now)
    if rest_min > 0:
        steps = (replace(now, minutes=rest_min, hours=None), *steps)
    return steps, pauses
