"""A second fire in the middle of the day, with its own spreading, raking out and settling."""

from dataclasses import replace
from typing import NamedTuple

import numpy as np

from ovenkit.inverse import usual_fire
from ovenkit.plan.rule import ON_THE_DAY, PLANNED, Node, root
from ovenkit.plan.search import NARROW, dive
from ovenkit.simulate import run_days
from ovenkit.steps import Settle

TOP_UP_KG_M2 = 12.0     # of hearth: the largest top-up fire
SURE = replace(PLANNED, gaps=ON_THE_DAY.gaps, thorough=False)
GRID_KG = 1.0           # its worth is known no better
SETTLE_MIN = 20
OUT_MIN = 120           # food is not kept out for longer (common practice, no source)


class TopUp(NamedTuple):
    """A fire between two loads: of how much wood, for how long food is out, and the rest of the
    day after it (`rule.Node`)."""
    wood_kg: float
    minutes: float
    node: Node


def too_cold(order):
    """Return which rows of a Plan.order are spoilt and found the oven too cold, a bool Series."""
    return order["spoilt"] & ((order["hearth_c"] < order["hearth_low_c"])
                              | (order["feels_c"] < order["feels_low_c"]))


def top_up(task, left, state, minutes=None, moisture_pct=18.0):
    """Return the best TopUp after which no load to come is spoilt, or None if none does it.

    task : `rule.Task`; left : indices of the batches to come; state : of the oven
    minutes : since the first batch went in, or None; moisture_pct : of the wood, wet basis [%]
    With spreading, raking out and settling it takes OUT_MIN at most. Its worth is known badly,
    so what goes in after it is to be well within its bands, whatever the rule of the task.
    """
    task = task._replace(rule=SURE, planned=None)
    wood = np.arange(GRID_KG, TOP_UP_KG_M2 * task.oven.hearth_area_m2, GRID_KG)
    fires = [(usual_fire(task.oven, kg, moisture_pct, task.outdoor_c),
              Settle(minutes=SETTLE_MIN)) for kg in wood]
    runs = run_days([(task.oven, fire) for fire in fires], task.outdoor_c, state,
                    task.finer)
    takes = [sum(step.seconds for step in fire) / 60 for fire in fires]
    roots = [root(left, run.state(), None if minutes is None else minutes + more, fire)
             for fire, run, more in zip(fires, runs, takes, strict=True) if more <= OUT_MIN]
    (node,), _ = dive(task, [roots], most=(0, np.inf), beam=NARROW)
    if node is None:
        return None
    return TopUp(node.fire[0].wood_kg, sum(step.seconds for step in node.fire) / 60, node)
