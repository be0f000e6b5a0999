"""What would help a plan that spoils a load: the nearest changes after which none is spoilt."""

import math
from dataclasses import replace

import numpy as np

from ovenkit.files import InputError, clock_hours
from ovenkit.plan.rule import PLANNED, Task
from ovenkit.plan.topup import too_cold, top_up
from ovenkit.plan.wants import NEXT_DAY
from ovenkit.units import clock

MOST = 3                # changes named
TRIED = 8               # plans made to find them, at most
COUNTS = 5              # numbers of one load tried


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
                   f"{fire.minutes:.0f} minutes, would do it{' too' if out else ''}.")
    return out or ["No one change of fire or count that was tried makes every load good: leave out "
                   "two things, bake on two days, or use another oven."]


def _between(plan):
    """(load, TopUp) of a fire before the first load that finds the oven too cold, or None."""
    order, cold = plan.order, too_cold(plan.order)
    k = int(np.argmax(cold))
    if not cold.any() or k == 0:
        return None
    begin_h = order["set_h"].iloc[k] - order["wait_min"].iloc[k] / 60
    task = Task(plan.oven, plan.batches, plan.outdoor_c, PLANNED)
    more = top_up(task, range(k, len(order)), plan.run.state(begin_h),
                  60 * (begin_h - order["set_h"].iloc[0]), plan.steps[0].moisture_pct)
    return more and (order["load"].iloc[k], more)


def _kinds(plan, fires):
    """Yield for each kind of change, the nearest first: (what to say of it, wants, fires)."""
    if fires is not None:
        yield [(lambda p: _fire_words(plan, p), plan.wants, fires)]
    of = [batch.want for batch in plan.batches]         # a row of Plan.order each
    spoilt = list(dict.fromkeys(np.array(of)[plan.order["spoilt"].to_numpy()].tolist()))
    for i in spoilt:
        if plan.wants[i].out_by:
            by = _quarter_after(plan, i)
            yield [(lambda p, i=i, by=by: _by_words(plan, i, by), _with(plan, i, out_by=by), None),
                   (lambda p, i=i: _by_words(plan, i, _quarter_after(p, i)),
                    _with(plan, i, out_by=None), None)]
        if plan.wants[i].minutes and plan.wants[i].load.crust:
            yield [(lambda p, i=i: f"Leave out minutes for the {plan.wants[i].load.name}",
                    _with(plan, i, minutes=None), None)]
    for i in dict.fromkeys([*spoilt, *(i for i in of if of.count(i) > 1)]):
        want = plan.wants[i]
        sizes = [batch.count for batch in plan.batches if batch.want == i]
        counts = [sum(sizes[:k]) for k in range(len(sizes) - 1, 0, -1)] or [want.count // 2]
        yield [(lambda p, n=n, w=want: f"Make {n} of {w.load.name}, not {w.count}",
                _with(plan, i, count=n), None) for n in counts[:COUNTS] if n]
    for i in dict.fromkeys([*spoilt, *of]):
        if len(plan.wants) > 1:
            yield [(lambda p, i=i: f"Leave out the {plan.wants[i].load.name}",
                    (*plan.wants[:i], *plan.wants[i + 1:]), None)]


def _with(plan, i, **fields):
    """The wants of a plan, some fields of one of them changed."""
    return (*plan.wants[:i], replace(plan.wants[i], **fields), *plan.wants[i + 1:])


def _quarter_after(plan, i):
    """The next quarter of an hour after a want of a plan is out, as `Want.out_by` has it."""
    out = max(row.out_h for row, batch in zip(plan.order.itertuples(), plan.batches, strict=True)
              if batch.want == i)
    first = clock_hours(plan.first_load) + out - plan.order["set_h"].iloc[0]
    quarter = math.ceil(4 * first - 1e-6) / 4
    return clock(quarter, "00:00") + (f" {NEXT_DAY}" if quarter >= 24 else "")


def _by_words(plan, i, by):
    return f"Ask for the {plan.wants[i].load.name} by {by}, not {plan.wants[i].out_by}"


def _fire_words(plan, other):
    was, now = plan.steps[0], other.steps[0]
    minutes = round((now.seconds - was.seconds) / 60)
    more = "more" if minutes > 0 else "less"
    return (f"Burn {now.wood_kg:g} kg of wood over {now.seconds / 3600:g} h, not {was.wood_kg:g} "
            f"kg over {was.seconds / 3600:g} h ({abs(minutes)} minutes {more} fire)")
