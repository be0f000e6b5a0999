"""A day planned: the order of the loads, the fire, the clock, and how sure each load is."""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import pandas as pd

from ovenkit.files import choose, clock_hours, number, refuse
from ovenkit.inverse import usual_fire
from ovenkit.oven import Oven
from ovenkit.plan.agenda import agenda
from ovenkit.plan.firing import SETTLE_MIN, firings
from ovenkit.plan.margins import EITHER_WAY_MIN, margins
from ovenkit.plan.remarks import notes
from ovenkit.plan.remedies import remedies
from ovenkit.plan.rule import CALM, PLANNED, SLACK_H, Cost, Task, astray, fault, hurried, root
from ovenkit.plan.safety import check_safe
from ovenkit.plan.search import NO_END, search
from ovenkit.plan.tries import gap_of, quickest
from ovenkit.plan.wants import as_wants, batches
from ovenkit.run import Run
from ovenkit.simulate import run_day, run_days
from ovenkit.steps import Bake, Fire, Settle, Wait
from ovenkit.units import clock
from ovenkit.verdicts import judge

EXACT_BATCHES = 7       # up to so many, with the fire given, the search goes on to its end
LOOK_NODES = 1000       # looked at where a fire is to be chosen too, before the best is taken
HURRIED_NODES = 300     # the same where something must be out by a time: more moments are tried
MANY_NODES = 12         # the same for more batches
MOST_SPARE_KG = 5.0     # more wood in hand is another fire
REMEDY_NODES = 60       # and for trying out what would help, where no load may be spoilt


@dataclass(frozen=True, eq=False)
class Plan:
    """A planned day.

    oven, outdoor_c, start : as of `run_day`; wants : tuple of Want
    order : DataFrame, a row per batch as it goes in: load, count, wait_min, gap_mm of the door
        meanwhile (as of `tries.pause`), minutes, set_h, out_h, the bands, what the oven is then,
        margin_k, margin_min, late, verdict, why, spoilt, by what fault (of `rule.FAULTS`), astray
    batches : tuple of Batch in that order; steps : of the whole day; run : its Run
    light_at, first_load : "HH:MM"; wood_kg : of the fire [kg]; cost : `rule.Cost`
    exact : whether no order is better; bound : the least that any other could cost
    notes : sentences: what compromises there are, the tightest load, and `helps`
    helps : sentences: what would help, where a load is spoilt, or hurried
    spare_kg : of the wood, what is in hand [kg]
    """
    oven: Oven
    outdoor_c: float
    start: object
    wants: tuple
    order: pd.DataFrame
    batches: tuple
    steps: tuple
    run: Run
    light_at: str
    first_load: str
    cost: Cost
    exact: bool
    bound: Cost
    notes: tuple
    helps: tuple = ()
    spare_kg: float = 0.0

    @cached_property
    def table(self):
        """The day by the clock, see `agenda.agenda`."""
        return agenda(self)

    @property
    def wood_kg(self):
        """Wood of the fire, as weighed [kg]."""
        return self.steps[0].wood_kg if isinstance(self.steps[0], Fire) else 0.0

    @property
    def good(self):
        """Whether every load goes in within its bands, or all but, and comes out good, in time."""
        return self.cost.astray == 0

    def at(self, hours):
        """Time of day "HH:MM" of `hours` after lighting [h]."""
        return clock(hours, self.light_at)


def plan_day(oven, wants, first_load="10:30", fire=None, outdoor_c=12, start=None,
             moisture_pct=18, settle_minutes=SETTLE_MIN, goes_first=None, spare_kg=0.0):
    """Return the Plan of one firing: the best order of what is wanted.

    oven : Oven
    wants : dict of load -> count, or a list of Want or of (load, count)
    first_load : time of day "HH:MM" at which the first load goes in
    fire : Fire if it is given; None chooses wood and hours
    outdoor_c, start : as of `run_day`
    moisture_pct : of the wood, wet basis [%]; settle_minutes : least rest after raking out
    goes_first : name of the load that goes first whatever it costs, or None; what would help is
        then not looked for
    spare_kg : wood in hand for a poor day, over the fire that is chosen [kg]; the day is planned on
        all of it, so it waits longer
    What "best" is, see `rule`: exact for a given fire, up to seven batches and no out_by, else the
    best of many with a bound on any other. Raises InputError for wants that cannot be met at all,
    or not safely.
    """
    if not isinstance(oven, Oven):
        refuse(f"the oven is {oven!r}: give an Oven, such as domed_oven()")
    clock_hours(first_load, "first_load")
    number(spare_kg, "spare_kg", 0, MOST_SPARE_KG, "kg")
    if spare_kg and fire is None:
        least = plan_day(oven, wants, first_load, None, outdoor_c, start, moisture_pct,
                         settle_minutes, goes_first)
        fire = usual_fire(oven, least.wood_kg + spare_kg, moisture_pct, outdoor_c)
        return replace(plan_day(oven, wants, first_load, fire, outdoor_c, start, moisture_pct,
                                settle_minutes, goes_first), spare_kg=spare_kg)
    wants = as_wants(wants)
    check_safe(wants)
    if goes_first is not None:
        choose(goes_first, [want.load.name for want in wants], "wanted load")
    if fire is None:
        fires = firings(oven, moisture_pct, outdoor_c, settle_minutes)
    elif isinstance(fire, Fire):
        fires = [(fire, Settle(minutes=settle_minutes))]
    else:
        refuse(f"fire is {fire!r}: give a Fire, or None to have one chosen")
    if spare_kg:
        refuse("spare_kg is over the fire that is chosen, and fire= gives one: leave out one of "
               "the two")

    wanted = batches(oven, wants, first_load)
    few = len(wanted) <= EXACT_BATCHES
    check_times(oven, wanted, first_load)
    if all(batch.ready_h > 0 for batch in wanted if batch.load.name == goes_first) and goes_first:
        refuse("it is to go first, and is not ready when the first load goes in", goes_first)

    def best(wants, some, most, nodes=REMEDY_NODES if few else 0):
        todo, some = batches(oven, wants, first_load), some or fires
        roots = _roots(oven, some, len(todo), outdoor_c, start)
        found = _found(Task(oven, todo, outdoor_c, PLANNED), roots, nodes, goes_first, most)
        return found and _planned(oven, wants, todo, found, first_load, outdoor_c, start)

    nodes = (MANY_NODES if not few else HURRIED_NODES if hurried(wanted) else
             LOOK_NODES if fire is None else None)
    plan = best(wants, None, NO_END, nodes)
    if (plan.cost.spoilt or plan.cost.astray and hurried(wanted)) and goes_first is None:
        every = fire and firings(oven, fire.moisture_pct, outdoor_c, settle_minutes)
        helps = tuple(remedies(plan, best, every))
        plan = replace(plan, notes=(*plan.notes, *helps), helps=helps)
    return plan


def _found(task, roots, nodes, first, most):
    """The Found of a search; where there are deadlines the better of two, as an easy one must not
    make a plan worse: the other does not hurry, and is later than it may be at its cost. Where no
    compromise may be, it does not hurry either."""
    calm = task._replace(rule=CALM)
    if most[1] == 0:
        return search(calm, roots, nodes, first, most)
    found = search(task, roots, nodes, first, most)
    if not hurried(task.batches) or found and found.exact:
        return found
    late = search(calm, roots, nodes, first, most)
    if found is None or late and late.node.key() < found.node.key():
        return late and late._replace(exact=False, bound=found.bound if found else late.bound)
    return found


def check_times(oven, todo, first_load):
    """Raise InputError for times that no order of some Batches can keep.

    oven : Oven; todo : tuple of Batch; first_load : "HH:MM" at which the first goes in
    """
    asked = [batch for batch in todo if hurried([batch])]
    for batch, minutes in zip(asked, quickest(oven, tuple(asked)), strict=True):
        name, end = batch.load.name, 60 * batch.out_by_h
        room = end - max(60 * batch.ready_h, 0.0)
        if end <= 0:
            by = clock(end / 60, first_load)
            refuse(f"out_by {by} is before the first load goes in, at {first_load}: count the "
                   f'hours to 24, or, if it is the morning after, write "{by} next day"', name)
        if room < minutes - 60 * SLACK_H:
            refuse(f"out_by leaves {max(room, 0):.0f} minutes, and in the hottest oven it stays "
                   f"{minutes:.0f}: give a later time, or have it ready sooner", name)
    if len(todo) == 1 and todo[0].overnight and 60 * todo[0].until_h > todo[0].load.max_minutes:
        most_h = todo[0].load.max_minutes / 60      # alone: it goes in as the first load
        refuse(f"from {first_load} until {clock(todo[0].until_h, first_load)} is longer than the "
               f"{most_h:g} hours it may be in: set first_load to "
               f"{clock(todo[0].until_h - most_h, first_load)}", todo[0].load.name)
    if all(batch.ready_h > 0 for batch in todo):
        soonest = min(batch.ready_h for batch in todo)
        first = clock(soonest, first_load)
        later = clock_hours(first_load) + soonest >= 24
        refuse(f"nothing is ready when the first load goes in, at {first_load}: " + (
            f"make it a day of its own, the next, with first_load {first} and no ready_at" if later
            else f"set first_load to {first}"))


def _planned(oven, wants, todo, found, first_load, outdoor_c, start):
    """The Plan of a search's answer: the whole day run once more, in one piece."""
    node = found.node
    steps = node.fire + node.steps
    run = run_day(oven, steps, outdoor_c, start)
    order = order_table(run, [todo[i] for i in node.order], len(node.fire))
    cost = node.cost._replace(spoilt=int(order["spoilt"].sum()), astray=int(order["astray"].sum()))
    light_at = clock(24 - order["set_h"].iloc[0], first_load)
    plan = Plan(oven, outdoor_c, start, wants, order, tuple(todo[i] for i in node.order), steps,
                run, light_at, first_load, cost, found.exact, found.bound, ())
    return replace(plan, notes=tuple(notes(plan)))


def order_table(run, taken, n_fire=0, from_h=0.0, first_h=None, rule=PLANNED,
                either_way=EITHER_WAY_MIN):
    """Return Plan.order of a run that begins `from_h` hours after lighting.

    taken : Batches in the order of its bakes; n_fire : steps before the first wait or bake
    rule : `rule.Rule` that says what is spoilt
    either_way : minutes tried for the margins, as of `margins.margins`
    first_h : when the first load of the day goes in, as planned; None for the first of these
    """
    at = from_h + np.concatenate([[0.0], np.cumsum([step.seconds for step in run.steps])]) / 3600
    bakes = [i for i, step in enumerate(run.steps) if isinstance(step, Bake)]
    rows, first = [], at[bakes[0]] if first_h is None else first_h
    for k, (i, batch, row, spare) in enumerate(zip(
            bakes, taken, run.baked, margins(run, either_way), strict=True)):
        pause = run.steps[i - 1] if i > n_fire and isinstance(run.steps[i - 1], Wait) else None
        y = batch.load
        off_k, when = max(-spare.kelvin, 0.0), (at[i] - first, at[i + 1] - first)
        why = fault(rule, taken[k:], batch, row.verdict, off_k, run.steps[i].minutes, *when)
        rows.append({
            "load": y.name, "count": batch.count,
            "wait_min": 0 if pause is None else int(pause.minutes),
            "gap_mm": 0 if pause is None else gap_of(pause),
            "minutes": int(run.steps[i].minutes), "set_h": at[i], "out_h": at[i + 1],
            "hearth_c": spare.hearth_c, "hearth_low_c": y.hearth_low_c,
            "hearth_high_c": y.hearth_high_c, "feels_c": spare.feels_c,
            "feels_low_c": y.feels_low_c, "feels_high_c": y.feels_high_c,
            "margin_k": spare.kelvin, "margin_min": spare.minutes,
            "late": when[1] > batch.end_h + SLACK_H,
            "verdict": row.verdict, "why": judge(
                y, row.core_out_c, row.top, row.bottom, spare.hearth_c, spare.feels_c,
                run.steps[i].minutes, row.loss_pct)[1],
            "spoilt": bool(why), "fault": why,
            "astray": astray(rule, batch, bool(why), off_k, *when)})
    return pd.DataFrame(rows)


def _roots(oven, fires, n, outdoor_c, start):
    """Search nodes of some fires, settled, with nothing baked yet."""
    runs = run_days([(oven, fire) for fire in fires], outdoor_c, start)
    return [root(range(n), run.state(), fire=steps)
            for steps, run in zip(fires, runs, strict=True)]
