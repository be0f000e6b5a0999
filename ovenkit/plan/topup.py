"""A second fire in the middle of the day, with its own spreading, raking out and settling."""

from dataclasses import replace
from typing import NamedTuple

import numpy as np

from ovenkit.inverse import usual_fire
from ovenkit.plan.rule import ON_THE_DAY, PLANNED, Node, root
from ovenkit.plan.tries import COOL, next_one
from ovenkit.simulate import run_days
from ovenkit.steps import Settle, Wait

TOP_UP_KG_M2 = 12.0     # of hearth: the largest top-up fire
SURE = replace(PLANNED, gaps=ON_THE_DAY.gaps, thorough=False, later=(0, 3))
GRID_KG = 1.0           # its worth is known no better
REST_MIN = 20           # after raking out
OUT_MIN = 120           # food is not kept out for longer (common practice, no source)


class TopUp(NamedTuple):
    """A fire between two loads.

    wood_kg : of it; minutes : that food is out for it, its rest with it
    wait_min : that the oven waits after that; node : `rule.Node` of the day after it
    saves, of : how many loads it saves, of so many that are spoilt without it
    """
    wood_kg: float
    minutes: float
    wait_min: float
    node: Node
    saves: int
    of: int

    @property
    def saved(self):
        """What it saves, in words."""
        return f"{self.saves} of {self.of}" if self.saves < self.of else (
            "it" if self.of == 1 else "them")


def before_cold(task, order, taken, run, from_h, first_h, moisture_pct):
    """Return (k, TopUp) of the best fire before the first load that finds the oven too cold, the
    k-th of an order, after which fewer of those to come are spoilt; or None.

    task : `rule.Task`; order : Plan.order of loads to come; taken : index of each batch
    run : Run of them, which begins at `from_h` [h after lighting]
    first_h : when the first load of the day was to go in [h]; moisture_pct : wet basis [%]
    With spreading, raking out and settling it takes OUT_MIN at most; then the loads go in in this
    order, each as soon as it suits it. Its worth is known badly, so they are to be well within
    their bands, whatever the rule of the task.
    """
    cold = too_cold(order)
    if not cold.any():
        return None
    k = int(np.argmax(cold))
    begin_h = order["set_h"].iloc[k] - order["wait_min"].iloc[k] / 60
    state, spoilt = run.state(begin_h - from_h), int(order["spoilt"].iloc[k:].sum())
    task = task._replace(rule=SURE, planned=None)
    wood = np.arange(GRID_KG, TOP_UP_KG_M2 * task.oven.hearth_area_m2, GRID_KG)
    fires = [(usual_fire(task.oven, kg, moisture_pct, task.outdoor_c), Settle(minutes=REST_MIN))
             for kg in wood]
    runs = run_days([(state.oven, fire) for fire in fires], task.outdoor_c, state, task.finer)
    takes = [sum(step.seconds for step in fire) / 60 for fire in fires]
    roots = [root(taken[k:], one.state(), 60 * (begin_h - first_h) + more, fire)
             for fire, one, more in zip(fires, runs, takes, strict=True) if more <= OUT_MIN]
    nodes = roots
    while nodes and nodes[0].left:
        nodes = [node for node in next_one(task, nodes) if node.cost.spoilt < spoilt]
    if not nodes:
        return None
    node = min(nodes, key=Node.key)
    wait = node.steps[0].minutes if isinstance(node.steps[0], Wait) else 0.0
    return k, TopUp(node.fire[0].wood_kg, sum(step.seconds for step in node.fire) / 60, wait, node,
                    spoilt - node.cost.spoilt, spoilt)


def too_cold(order):
    """Return which rows of a Plan.order are spoilt for want of heat, a bool Series."""
    below = (order["hearth_c"] < order["hearth_low_c"]) | (order["feels_c"] < order["feels_low_c"])
    return order["spoilt"] & (order["verdict"].isin(COOL)
                              | below & order["fault"].isin(("longest", "off")))
