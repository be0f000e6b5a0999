"""The rest of a day in an oven that is not as planned: what to do now.

If all that is to come is good as written, it stays so. Else it is tried in the planned order and
after the planned waits, each load until it is done; then each load as soon as the oven suits it
(at once, where it is under the plan); then in any order, by the rule of the day
(`rule.ON_THE_DAY`). The first of these will do after which nothing is spoilt and little astray,
else the best is taken; another order must be better by SWAP. What the plan as written would spoil
no more of stays as written.
"""

from dataclasses import replace
from functools import partial
from typing import NamedTuple

import numpy as np
import pandas as pd

from ovenkit.plan.doughs import allowed_h
from ovenkit.plan.order import order_table
from ovenkit.plan.rule import ON_THE_DAY, Task, miss, root
from ovenkit.plan.search import NARROW, dive
from ovenkit.plan.topup import before_cold
from ovenkit.plan.tries import as_ordered, gap_of, next_one
from ovenkit.plan.wants import hotter
from ovenkit.run import Run
from ovenkit.simulate import run_day
from ovenkit.steps import Wait

QUICK = 0.5             # steps twice as long while it is tried: readings are no truer than that
SURE_MIN = 2            # good so much sooner or later: as written will do
LONGER = 1.25           # and still not given up, if it is browned by eye
CHILLED_K = 10.0        # an oven that is so far under the plan is not cooled any further
SWAP = 4                # astray, for which another order is not looked for
AS_PLANNED_K = 3.0      # an oven that is off by less is as planned


class Rest(NamedTuple):
    """The rest of a day.

    off_c : hearth now, over what was planned [K]; stands : whether it goes on as written
    steps : from now on; taken : the place in the plan of each load to come; run : Run of them
    order : of the loads to come, as Plan.order, its margin_min no more than SURE_MIN
    written : the same if the plan went on as written
    top_up : (place in `order`, or 0 for now, `topup.TopUp`) of a fire that saves what is too cold,
        or None
    """
    off_c: float
    stands: bool
    steps: tuple
    taken: tuple
    run: Run
    order: pd.DataFrame
    written: pd.DataFrame
    top_up: tuple | None


def rests(plan, estimate, states, kitchen="warm", behind_min=0.0):
    """Return a Rest of a plan for each of some states of the oven; they are tried together.

    plan : Plan; estimate : `estimate.Estimate` of the moment; states : `run.State`
    kitchen : "warm" or "cool", which says how soon a dough can be proved
    behind_min : minutes by which the day is later than that moment of the plan
    """
    left, minutes = to_come(plan, estimate)
    minutes += behind_min
    begin_h = estimate.end_h + behind_min / 60
    task = Task(plan.oven, ready(plan, kitchen, estimate.hours + behind_min / 60), plan.outdoor_c,
                ON_THE_DAY, QUICK, plan.order["load"].iloc[left[0]])
    steps, pauses = _as_written(plan, estimate, left)

    def told(state, steps, taken):
        run = run_day(state.oven, steps, plan.outdoor_c, state)
        return run, order_table(run, [task.batches[i] for i in taken], from_h=begin_h,
                                first_h=plan.order["set_h"].iloc[0], rule=task.rule,
                                either_way=(1, SURE_MIN))

    written = [told(state, steps, left) for state in states]
    off = [float(state.zones_c[1, 0] - estimate.planned.zones_c[1, 0]) for state in states]
    ajar = pauses[0][0] > 0 and pauses[0][1] != 0       # the door, until the next load
    stands = [_as_planned(plan, order, left, k) or _will_do(plan, order, left) and not (
        ajar and k < -CHILLED_K) for (_, order), k in zip(written, off, strict=True)]
    best = {n: (*written[n], steps, left) for n in range(len(states))}
    for finer in (QUICK, 1.0):      # and at full steps, where that was wrong
        again = [n for n, ok in enumerate(stands) if not ok]
        nodes = _again(task._replace(finer=finer), [root(left, states[n], minutes) for n in again],
                       pauses, [off[n] < -CHILLED_K for n in again])
        for n, node in zip(again, nodes, strict=True):
            run, order = told(states[n], node.steps, node.order)
            if _cost(order) <= _cost(best[n][1]):
                best[n] = run, order, node.steps, node.order
            stands[n] = _cost(order) <= node.cost[:2]       # as good as it was thought
    out = []
    for n, (run, order, todo, taken) in best.items():
        more = None
        if off[n] < 0 and order["spoilt"].sum() > plan.order["spoilt"].iloc[list(left)].sum():
            more = _fire(plan, task, begin_h, (order, taken, run), (written[n][1], left,
                                                                    written[n][0]))
        out.append(Rest(off[n], todo is steps, todo, taken, run, order, written[n][1], more))
    return out


def _fire(plan, task, begin_h, best, written):
    """Rest.top_up: of a fire in the best order, or now and in the planned order.

    best, written : (Plan.order, index of each batch, Run)
    """
    with_fire = partial(before_cold, task, begin_h=begin_h, first_h=plan.order["set_h"].iloc[0],
                        moisture_pct=plan.steps[0].moisture_pct)
    more = with_fire(*best)
    if more is None and best[1] != written[1]:
        more = with_fire(*written)
        if more and more[1].of - more[1].saves >= best[0]["spoilt"].sum():
            return None
    return more


def to_come(plan, estimate):
    """Return (indices of batches still to go in, minutes since the first was to go in, below 0
    before)."""
    set_h = plan.order["set_h"].to_numpy()
    left = tuple(int(i) for i in np.flatnonzero(set_h >= estimate.end_h - 1e-6))
    return left, float(60 * (estimate.end_h - set_h[0]))


def ready(plan, kitchen, now_h):
    """Return the batches of a plan as they are on the day: none to go in before it can be ready, or
    after it holds; covered pots in a hotter oven too, and what is watched LONGER than its longest.

    now_h : hours after lighting; what is not made by then takes its time
    """
    first = plan.order["set_h"].iloc[0]
    return tuple(batch._replace(
        load=batch.load if batch.overnight else _eased(batch.load),
        ready_h=max(batch.ready_h, soonest - first), in_by_h=latest - first)
        for batch, (soonest, latest) in zip(plan.batches, allowed_h(plan, kitchen, now_h),
                                            strict=True))


def _eased(load):
    return replace(hotter(load), max_minutes=load.max_minutes * (LONGER if load.crust else 1))


def _as_written(plan, estimate, left):
    """(steps, the (minutes, gap_mm) before each load) to come as the plan has them."""
    ends = np.cumsum([step.seconds for step in plan.steps]) / 3600
    now, steps = plan.steps[estimate.step], plan.steps[estimate.step + 1:]
    pauses = [(row.wait_min, row.gap_mm) for row in plan.order.iloc[list(left)].itertuples()]
    rest_min = round(60 * float(ends[estimate.step] - estimate.end_h), 6)
    if isinstance(now, Wait):
        pauses[0] = rest_min, gap_of(now)
    if rest_min > 0:
        steps = (replace(now, minutes=rest_min, hours=None), *steps)
    return steps, pauses


def _as_planned(plan, order, left, off_c):
    """Whether the oven is as the plan has it, and spoils no more than it does: then it stands."""
    spoils = plan.order["spoilt"].to_numpy()[list(left)]
    return abs(off_c) < AS_PLANNED_K and not (order["spoilt"].to_numpy() & ~spoils).any()


def _will_do(plan, order, left):
    """Whether the plan stands as written: no compromise to come, every load good SURE_MIN sooner or
    later, and the next one not waited for until it is out of its bands."""
    sure = np.minimum(plan.order["margin_min"].iloc[list(left)], SURE_MIN).to_numpy()
    next_ = order.iloc[0]
    return bool((order["astray"] == 0).all() and (order["margin_min"].to_numpy() >= sure).all()
                and (next_["margin_k"] >= 0 or not next_["wait_min"]))


def _again(task, roots, pauses, chilled):
    """The best Node after each of some roots: as planned until done, then each load as soon as it
    suits it, then in any order; what will do is not looked further for.

    chilled : of each, whether it is too cool for the planned waits
    """
    def as_planned(task, roots):
        return as_ordered(task, roots, pauses)

    best = [None] * len(roots)
    for way in (as_planned, _soonest, _searched):
        poor = [n for n, cold in enumerate(chilled) if not (way is as_planned and cold) and (
            best[n] is None or best[n][0] > (0, SWAP))]
        for n, node in zip(poor, way(task, [roots[n] for n in poor]), strict=True):
            waits = way is as_planned and _missed(task, node)       # until it is out of its bands
            astray = node.cost.astray + SWAP * (node.order != tuple(sorted(node.order)))
            ranked = (node.cost.spoilt, max(astray, SWAP + 1) if waits else astray), node
            best[n] = ranked if best[n] is None else min(best[n], ranked, key=lambda one: one[0])
    return [node for _, node in best]


def _soonest(task, nodes):
    """Nodes after all that is left, in its order, each load in as soon as it suits it."""
    while nodes and nodes[0].left:
        nodes = next_one(task, nodes)
    return nodes


def _searched(task, roots):
    """The best Node found after each of some roots, in any order."""
    return dive(task, [[now] for now in roots], beam=NARROW) if roots else []


def _missed(task, node):
    """Whether the oven waits for the next load until it is out of its bands."""
    row = node.rows[0]
    return isinstance(node.steps[0], Wait) and miss(
        task.batches[node.order[0]], row.hearth_in_c, row.feels_in_c) > 0


def _cost(order):
    return int(order["spoilt"].sum()), int(order["astray"].sum())
