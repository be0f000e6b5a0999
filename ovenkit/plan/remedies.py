"""What would help a plan that spoils a load: the nearest changes after which none is spoilt."""

import math
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from ovenkit.files import InputError, clock_hours
from ovenkit.inverse import WOOD_GRID_KG, usual_fire
from ovenkit.plan.search import Cost, Node, search
from ovenkit.simulate import run_days
from ovenkit.steps import Settle
from ovenkit.units import clock

MOST = 3                # changes named
TOP_UP_KG_M2 = 12.0     # of hearth: the largest top-up fire
TOP_UP_SETTLE_MIN = 20
LOOK_NODES = 60
TRIED = 6               # plans made to find them, at most


def remedies(plan, best, fires=None):
    """Return sentences, the nearest changes after which no load is spoilt; each has been tried.

    plan : Plan that spoils a load; best : (wants, fires or None for those it had) -> Plan that
        spoils none, or None
    fires : all fires there are, if the plan's own was given
    """
    out, tried = [], 0
    for changes in _kinds(plan, fires):
        for words, wants, some in changes:
            if tried == TRIED or len(out) == MOST:
                break
            tried += 1
            try:
                other = best(wants, some)
            except InputError:
                continue
            if other and not other.cost.spoilt:
                out.append(f"{words(other)}, and every load comes out good.")
                break
    more = top_up(plan, plan.steps[0].moisture_pct)
    if more:
        out.append(f"A top-up fire of {more.wood_kg:g} kg before the {more.load}, with food out "
                   f"for {more.minutes:.0f} minutes, would do it too.")
    return out or ["No one change of fire or count that was tried makes every load good: leave out "
                   "two things, bake on two days, or use another oven."]


class TopUp(NamedTuple):
    """A fire between two loads: before which, of how much wood, and how long food is out."""
    load: str
    wood_kg: float
    minutes: float


def top_up(plan, moisture_pct=18.0):
    """Return the least TopUp after which no load to come is spoilt, or None if none does it.

    plan : Plan whose loads run out of heat; moisture_pct : of the wood, wet basis [%]
    The fire has its own spreading, raking out and settling: 60 to 120 minutes (common practice,
    no source).
    """
    cold = plan.order["spoilt"] & ((plan.order["hearth_c"] < plan.order["hearth_low_c"])
                                   | (plan.order["feels_c"] < plan.order["feels_low_c"]))
    k = int(np.argmax(cold))
    if not cold.any() or k == 0:
        return None
    oven, row = plan.oven, plan.order.iloc[k]
    begin_h = row["set_h"] - row["wait_min"] / 60
    wood = np.arange(1.0, TOP_UP_KG_M2 * oven.hearth_area_m2, WOOD_GRID_KG)
    fires = [(usual_fire(oven, kg, moisture_pct, plan.outdoor_c),
              Settle(minutes=TOP_UP_SETTLE_MIN)) for kg in wood]
    runs = run_days([(oven, fire) for fire in fires], plan.outdoor_c, plan.run.state(begin_h))
    since = 60 * (begin_h - plan.order["set_h"].iloc[0])
    roots = [Node(Cost(0, 0, 0, fire[0].wood_kg, fire[0].seconds / 3600), (),
                  tuple(range(k, len(plan.batches))), since + _minutes(fire), run.state(), (), (),
                  fire) for fire, run in zip(fires, runs, strict=True)]
    found = search(oven, plan.batches, roots, plan.outdoor_c, nodes=LOOK_NODES, most_spoilt=0)
    return found and TopUp(row["load"], found.node.cost.wood_kg, _minutes(found.node.fire))


def _minutes(steps):
    return sum(step.seconds for step in steps) / 60


def _kinds(plan, fires):
    """Yield for each kind of change, the nearest first: (what to say of it, wants, fires)."""
    if fires is not None:
        yield [(lambda p: _fire_words(plan, p), plan.wants, fires)]
    names = list(dict.fromkeys(plan.order.loc[plan.order["spoilt"], "load"]))
    for name in dict.fromkeys(plan.order.loc[plan.order["late"], "load"]):
        yield [(lambda p, n=name: _by_words(plan, p, n),
                tuple(replace(want, out_by=None) if want.load.name == name else want
                      for want in plan.wants), None)]
    for name in names:
        i = next(k for k, want in enumerate(plan.wants) if want.load.name == name)
        want, rest = plan.wants[i], (plan.wants[:i], plan.wants[i + 1:])
        sizes = plan.order.loc[plan.order["load"] == name, "count"].tolist()
        counts = [sum(sizes[:k]) for k in range(len(sizes) - 1, 0, -1)] or [want.count // 2]
        yield [(lambda p, n=n, w=want: f"Make {n} of {w.load.name}, not {w.count}",
                (*rest[0], replace(want, count=n, people=None), *rest[1]), None)
               for n in counts if n]
    for name in names:
        without = tuple(want for want in plan.wants if want.load.name != name)
        if without:
            yield [(lambda p, n=name: f"Leave out the {n}", without, None)]


def _by_words(plan, other, name):
    """A later time to ask for: the next quarter of an hour after it comes out."""
    asked = next(want.out_by for want in plan.wants if want.load.name == name)
    out = other.order.loc[other.order["load"] == name, "out_h"].max()
    lit = clock_hours(other.light_at)
    quarter = math.ceil(4 * (lit + out) - 1e-6) / 4
    return f"Ask for the {name} by {clock(quarter - lit, other.light_at)}, not {asked}"


def _fire_words(plan, other):
    was, now = plan.steps[0], other.steps[0]
    minutes = round((now.seconds - was.seconds) / 60)
    more = "more" if minutes > 0 else "less"
    return (f"Burn {now.wood_kg:g} kg of wood over {now.seconds / 3600:g} h, not {was.wood_kg:g} "
            f"kg over {was.seconds / 3600:g} h ({abs(minutes)} minutes {more} fire)")
