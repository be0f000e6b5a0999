"""A second fire in the middle of the day, with its own spreading, raking out and settling."""

from dataclasses import replace
from typing import NamedTuple

import numpy as np
import pandas as pd

from ovenkit.inverse import usual_fire
from ovenkit.plan.doughs import chills
from ovenkit.plan.order import order_table
from ovenkit.plan.rule import ON_THE_DAY, PLANNED, Node, root
from ovenkit.plan.tries import COOL, next_one
from ovenkit.plan.wants import hottest_first
from ovenkit.simulate import run_day, run_days
from ovenkit.steps import Settle, Wait

TOP_UP_KG_M2 = 12.0     # of hearth: the largest top-up fire
SURE = replace(PLANNED, gaps=ON_THE_DAY.gaps, thorough=False, later=ON_THE_DAY.later)
GRID_KG = 1.0           # its worth is known no better
REST_MIN = 20           # after raking out
OUT_H = 2.0             # food is not kept out for longer (common practice, no source)


class TopUp(NamedTuple):
    """A fire between two loads.

    wood_kg : of it; minutes : that food is out, from its lighting until the next load goes in
    taken : index of each batch after it, in order; order : Plan.order of them; steps : the fire,
        and all after it
    saves, of : how many loads it saves, of so many that are spoilt without it
    """
    wood_kg: float
    minutes: float
    taken: tuple
    order: pd.DataFrame
    steps: tuple
    saves: int
    of: int

    def lit(self, place, now="now"):
        """Return in words how much is burnt when, at a place of `Rest.top_up`; now : when 0 is."""
        when = f"before the {self.order['load'].iloc[0]}" if place else now
        return f"top-up fire of {self.wood_kg:g} kg {when}"


def before_cold(task, order, taken, run, begin_h, first_h, moisture_pct):
    """Return (k, TopUp) of the best fire before the first load that finds the oven too cold, the
    k-th of an order, after which fewer of those to come are spoilt; or None.

    task : `rule.Task`; order : Plan.order of loads to come; taken : index of each batch
    run : Run of them, which begins at `begin_h` [h after lighting]
    first_h : when the first load of the day was to go in [h]; moisture_pct : wet basis [%]
    With spreading, raking out, settling and waiting it takes OUT_H at most; the loads go in in
    the planned order, or the hottest first and pots last, each as soon as it suits it. Its worth is
    known badly, so they are to be well within their bands, whatever the rule of the task. Fires are
    tried at the steps of the task, and worked out at full ones, the best first, until one saves
    something.
    """
    cold = too_cold(order)
    if not cold.any():
        return None
    k = int(np.argmax(cold))
    lit_h = order["set_h"].iloc[k] - order["wait_min"].iloc[k] / 60
    state, spoilt = run.state(max(lit_h - begin_h, 0.0)), int(order["spoilt"].iloc[k:].sum())
    batches = tuple(batch._replace(in_by_h=batch.in_by_h + OUT_H, lost_h=batch.lost_h + OUT_H)
                    if chills(batch.load.name) and batch.lost_h >= begin_h - first_h else batch
                    for batch in task.batches)      # doughs in the cold, what is not lost by now
    sure = task._replace(rule=SURE, planned=None, batches=batches)
    planned = sorted(taken[k:])
    hottest = sorted(planned, key=lambda i: (
        batches[i].overnight, batches[i].load.kind == "pot", *hottest_first(batches[i].load), i))
    wood = np.arange(GRID_KG, TOP_UP_KG_M2 * task.oven.hearth_area_m2, GRID_KG)
    fires = [(usual_fire(task.oven, kg, moisture_pct, task.outdoor_c), Settle(minutes=REST_MIN))
             for kg in wood]
    runs = run_days([(state.oven, fire) for fire in fires], task.outdoor_c, state, task.finer)
    nodes = [root(left, one.state(), 60 * (lit_h - first_h) + _minutes(fire), fire)
             for fire, one in zip(fires, runs, strict=True) if _minutes(fire) <= 60 * OUT_H
             for left in ([planned] if planned == hottest else [planned, hottest])]
    while nodes and nodes[0].left:
        nodes = [node for node in next_one(sure, nodes) if node.cost.spoilt < spoilt
                 and _minutes(_before(node)) <= 60 * OUT_H]
    for node in sorted(nodes, key=Node.key):
        more = _in_full(sure, task.rule, node, spoilt, state, lit_h, first_h)
        if more:
            return k, more
    return None


def _in_full(sure, rule, node, spoilt, state, lit_h, first_h):
    """The TopUp of a Node that was tried at longer steps, at full ones; None if it saves nothing.

    rule : of what is spoilt; spoilt : loads without it; state : as it is lit, at `lit_h` [h]
    """
    fire, task = node.fire, sure._replace(finer=1.0)
    full = run_day(state.oven, fire, task.outdoor_c, state)
    nodes = [root(node.order, full.state(), 60 * (lit_h - first_h) + _minutes(fire), fire)]
    while nodes[0].left:
        nodes = next_one(task, nodes)
    (node,) = nodes
    steps, minutes = (*fire, *node.steps), _minutes(_before(node))
    then = order_table(run_day(state.oven, steps, task.outdoor_c, state),
                       [sure.batches[i] for i in node.order], len(fire), lit_h, first_h, rule,
                       either_way=())
    saves = spoilt - int(then["spoilt"].sum())
    return TopUp(fire[0].wood_kg, minutes, node.order, then, steps, saves, spoilt) if (
        saves > 0 and minutes <= 60 * OUT_H) else None


def _before(node):
    """The fire of a Node, its rest, and the wait until the first load goes in."""
    first = node.steps[:1]
    return (*node.fire, *(first if isinstance(first[0], Wait) else ()))


def _minutes(steps):
    return sum(step.seconds for step in steps) / 60


def too_cold(order):
    """Return which rows of a Plan.order are spoilt for want of heat, a bool Series."""
    below = (order["hearth_c"] < order["hearth_low_c"]) | (order["feels_c"] < order["feels_low_c"])
    return order["spoilt"] & (order["verdict"].isin(COOL)
                              | below & order["fault"].isin(("longest", "off")))
