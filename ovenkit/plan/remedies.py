"""What would help a plan that spoils a load: the nearest changes after which none is spoilt."""

import math
from dataclasses import replace

import numpy as np

from ovenkit.files import InputError, clock_hours
from ovenkit.plan.rule import Task, rule_for
from ovenkit.plan.topup import top_up
from ovenkit.units import clock

MOST = 3                # changes named
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
    second = _between(plan)
    if second:
        load, fire = second
        out.append(f"A top-up fire of {fire.wood_kg:g} kg before the {load}, with food out for "
                   f"{fire.minutes:.0f} minutes, would do it too.")
    return out or ["No one change of fire or count that was tried makes every load good: leave out "
                   "two things, bake on two days, or use another oven."]


def _between(plan):
    """(load, TopUp) of a fire before the first load that finds the oven too cold, or None."""
    order = plan.order
    cold = order["spoilt"] & ((order["hearth_c"] < order["hearth_low_c"])
                              | (order["feels_c"] < order["feels_low_c"]))
    k = int(np.argmax(cold))
    if not cold.any() or k == 0:
        return None
    begin_h = order["set_h"].iloc[k] - order["wait_min"].iloc[k] / 60
    task = Task(plan.oven, plan.batches, plan.outdoor_c, rule_for(plan.batches))
    more = top_up(task, range(k, len(order)), plan.run.state(begin_h),
                  60 * (begin_h - order["set_h"].iloc[0]), plan.steps[0].moisture_pct)
    return more and (order["load"].iloc[k], more)


def _kinds(plan, fires):
    """Yield for each kind of change, the nearest first: (what to say of it, wants, fires)."""
    if fires is not None:
        yield [(lambda p: _fire_words(plan, p), plan.wants, fires)]
    names = list(dict.fromkeys(plan.order.loc[plan.order["spoilt"], "load"]))
    for name in [name for name in names if any(want.load.name == name and want.out_by
                                               for want in plan.wants)]:
        yield [(lambda p, n=name: _by_words(plan, p, n),
                tuple(replace(want, out_by=None) if want.load.name == name else want
                      for want in plan.wants), None)]
    counted = plan.order["load"].value_counts(sort=False)
    for name in dict.fromkeys([*names, *counted.index[counted > 1]]):
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
