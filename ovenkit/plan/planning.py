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
from ovenkit.plan.order import order_table
from ovenkit.plan.remarks import notes
from ovenkit.plan.remedies import near, remedies
from ovenkit.plan.rule import CALM, HASTY, PLANNED, Cost, Task, hurried, root
from ovenkit.plan.safety import check_safe
from ovenkit.plan.search import NO_END, Found, dive, search
from ovenkit.plan.times import check_times
from ovenkit.plan.wants import as_wants, batches
from ovenkit.run import Run
from ovenkit.simulate import run_day, run_days
from ovenkit.steps import Fire, Settle
from ovenkit.units import clock

EXACT_BATCHES = 7       # up to so many, with the fire given, the search goes on to its end
LOOK_NODES = 700        # looked at where a fire is to be chosen too, before the best is taken
HURRIED_NODES = 200     # the same where something must be out by a time: more moments are tried
MANY_NODES = 12         # the same for more batches
MOST_SPARE_KG = 5.0     # more wood in hand is another fire
REMEDY_NODES = 60       # and for trying out what would help, where no load may be spoilt


@dataclass(frozen=True, eq=False)
class Plan:
    """A planned day.

    oven, outdoor_c, start : as of `run_day`; wants : tuple of Want
    order : DataFrame, a row per batch as it goes in: load, count, wait_min, gap_mm of the door
        meanwhile (as of `tries.pause`), minutes, set_h, out_h, the bands, what the oven is then,
        margin_k, margin_min, late, verdict, spoilt, by what fault (of `rule.FAULTS`), astray
    batches : tuple of Batch in that order; steps : of the whole day; run : its Run
    light_at, first_load : "HH:MM"; wood_kg : of the fire [kg]; cost : `rule.Cost`
    exact : whether no order is better, at the moments that `rule` tries; bound : the least that
        any other could cost
    notes : sentences: what compromises there are, the tightest load, and `helps`
    helps : sentences: what would help, where a load is spoilt, or hurried
    spare_kg : of the wood, what is in hand [kg]; moisture_pct : of the wood, wet basis [%]
    made : of each row of `order`, the `doughs.Made` of it; () before the day begins
    spoils : of each row of `order`, whether it is spoilt and that is accepted; () as `order` says
    midnight_h : when the day of the first load began [h after lighting]
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
    moisture_pct: float = 18.0
    made: tuple = ()
    midnight_h: float = 0.0
    spoils: tuple = ()

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

    @property
    def given_up(self):
        """Which rows of `order` are spoilt, and that is accepted, [row] of bool."""
        return np.array(self.spoils or self.order["spoilt"], bool)

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
    if not (fire is None or isinstance(fire, Fire)):
        refuse(f"fire is {fire!r}: give a Fire, or None to have one chosen")
    if spare_kg and fire:
        refuse("spare_kg is over the fire that is chosen, and fire= gives one: leave out one of "
               "the two")
    wants = as_wants(wants)
    check_safe(wants)
    if goes_first is not None:
        choose(goes_first, [want.load.name for want in wants], "wanted load")
    wanted = batches(oven, wants, first_load)
    check_times(oven, wanted, first_load)
    if all(batch.ready_h > 0 for batch in wanted if batch.load.name == goes_first) and goes_first:
        refuse("it is to go first, and is not ready when the first load goes in", goes_first)
    few = len(wanted) <= EXACT_BATCHES
    every = firings(oven, fire.moisture_pct if fire else moisture_pct, outdoor_c, settle_minutes)

    def best(wants, fires, most=(0, np.inf), nodes=REMEDY_NODES if few else 0):
        todo = batches(oven, wants, first_load)
        check_times(oven, todo, first_load)
        roots = _roots(oven, fires, len(todo), outdoor_c, start)
        found = _found(Task(oven, todo, outdoor_c, PLANNED), roots, nodes, goes_first, most)
        return found and _planned(oven, wants, todo, found, first_load, outdoor_c, start)

    def planned(fires):
        return best(wants, fires, NO_END, MANY_NODES if not few else HURRIED_NODES
                    if hurried(wanted) else None if len(fires) == 1 else LOOK_NODES)

    rest = Settle(minutes=settle_minutes)
    plan = planned([(fire, rest)] if fire else every)
    if spare_kg:
        more = usual_fire(oven, plan.wood_kg + spare_kg, moisture_pct, outdoor_c)
        plan = _with_spare(plan, planned([(more, rest)]), spare_kg)
    if plan.cost.astray and hurried(wanted):    # the hurry may not be needed
        own = [plan.steps[:2]] if fire or spare_kg else near(plan, every)
        plan = best(wants, own, (0, 0)) or plan
    if (plan.cost.spoilt or plan.cost.astray and hurried(wanted)) and goes_first is None:
        helps = tuple(remedies(plan, best, every, bool(fire or spare_kg)))
        plan = replace(plan, notes=(*plan.notes, *helps), helps=helps)
    return plan


def _with_spare(least, plan, spare_kg):
    """A Plan with wood in hand, which says so where it is the worse for it."""
    worse = plan.cost[:2] > least.cost[:2]
    return replace(plan, spare_kg=spare_kg, notes=(*notes(replace(plan, spare_kg=spare_kg)), *(
        [f"The {spare_kg:g} kg in hand make the day worse, for the oven is too hot too long: take "
         "less in hand."] if worse else [])))


def _found(task, roots, nodes, first, most):
    """The Found of a search. Where there are deadlines, and not all could be tried, quick searches
    without a hurry and with the greatest alone may find better. Where no compromise may be, nothing
    is hurried."""
    if most[1] == 0:
        return search(task._replace(rule=CALM), roots, nodes, first, most)
    found = search(task, roots, nodes, first, most)
    if not hurried(task.batches) or found and found.exact:
        return found
    for rule in (CALM, HASTY):
        (node,) = dive(task._replace(rule=rule), [roots], first, most)
        if node and (found is None or node.key() < found.node.key()):
            found = Found(node, found.bound if found else Cost(0, 0, 0, 0.0, 0.0), False)
    return found


def _planned(oven, wants, todo, found, first_load, outdoor_c, start):
    """The Plan of a search's answer: the whole day run once more, in one piece."""
    node = found.node
    steps = node.fire + node.steps
    run = run_day(oven, steps, outdoor_c, start)
    order = order_table(run, [todo[i] for i in node.order], len(node.fire))
    cost = node.cost._replace(spoilt=int(order["spoilt"].sum()), astray=int(order["astray"].sum()))
    light_at = clock(24 - order["set_h"].iloc[0], first_load)
    plan = Plan(oven, outdoor_c, start, wants, order, tuple(todo[i] for i in node.order), steps,
                run, light_at, first_load, cost, found.exact, found.bound, (),
                moisture_pct=steps[0].moisture_pct,
                midnight_h=float(order["set_h"].iloc[0]) - clock_hours(first_load))
    return replace(plan, notes=tuple(notes(plan)))


def _roots(oven, fires, n, outdoor_c, start):
    """Search nodes of some fires, settled, with nothing baked yet."""
    runs = run_days([(oven, fire) for fire in fires], outdoor_c, start)
    return [root(range(n), run.state(), fire=steps)
            for steps, run in zip(fires, runs, strict=True)]
