"""What would help a plan that is not as wanted: the nearest changes after which it is."""

import math
from dataclasses import replace

import numpy as np

from ovenkit.files import InputError, clock_hours
from ovenkit.plan.rule import PLANNED, Task
from ovenkit.plan.topup import before_cold
from ovenkit.plan.wants import NEXT_DAY, today
from ovenkit.units import clock

MOST = 3                # changes named
TRIED = 8               # plans made to find them, at most,
LOST, MANY, TRIED_FEW = 3, 8, 4     # and so many where so many loads are spoilt, for one change
                                    # will hardly do, or there are so many batches
COUNTS = 4              # of them for how many can be made
NEAR = 0.75, 0.9, 1.0, 1.1, 1.25    # of the wood of the plan, where the fire is free


class Trials:
    """Other wants or fires, tried until so many have been.

    plan, best : as of `remedies`; fires : list of (Fire, Settle) they are tried with
    left : how many more may be tried
    """

    def __init__(self, plan, best, fires):
        self.best, self.fires = best, fires
        self.most = (0, np.inf) if plan.cost.spoilt else (0, 0)
        hard = plan.cost.spoilt >= LOST or len(plan.batches) >= MANY
        self.left = TRIED_FEW if hard else TRIED

    def __call__(self, wants, fires=None):
        """The Plan of other wants or fires if it will do, else None."""
        if not self.left:
            return None
        self.left -= 1
        try:
            other = self.best(wants, fires or self.fires, self.most)
        except InputError:
            return None
        return other if other and other.cost[:2] <= self.most else None


def remedies(plan, best, fires, given):
    """Return sentences, the nearest changes after which no load is spoilt; each has been tried.

    plan : Plan that spoils a load, or has compromises for the sake of a deadline; then only what
        has none will do
    best : (wants, fires, most as of `search`) -> Plan, or None
    fires : list of (Fire, Settle), all there are; given : whether the plan's own was given
    """
    out, made = [], Trials(plan, best, [plan.steps[:2]] if given else near(plan, fires))
    for change in _changes(plan, made, fires if given else None):
        if change:
            words, other = change
            out.append(f"{words}, and {_comes_to(plan, other)}.")
        if len(out) == MOST or not made.left:
            break
    if not plan.cost.spoilt:
        return out
    second = _between(plan)
    if second:
        load, fire = second
        does = "do it" if fire.saves == fire.of else f"save {fire.saves} of {fire.of}"
        out.append(f"A top-up fire of {fire.wood_kg:g} kg before the {load}, with food out for "
                   f"{fire.minutes:.0f} minutes, would {does}{' too' if out else ''}.")
    return out or ["No one change of fire or count that was tried makes every load good: " + (
        "make less of it, bake on two days, or use another oven." if len(plan.wants) == 1 else
        "leave out more, bake on two days, or use another oven.")]


def near(plan, fires):
    """Return some of a list of (Fire, Settle), those of about as much wood as a plan's."""
    wood = np.array([fire.wood_kg for fire, _ in fires])
    return [fires[i] for i in sorted({int(np.abs(wood - share * plan.wood_kg).argmin())
                                      for share in NEAR})]


def _comes_to(plan, other):
    """What a change of a plan comes to."""
    off = int((other.order["astray"] > 0).sum())
    good = "comes out good" if plan.cost.spoilt else "goes in within its bands"
    return f"every load {good}" if not off else (
        f"no load is spoilt, though {off} go{'es' * (off == 1)} in off "
        f"{'its' if off == 1 else 'their'} bands")


def _changes(plan, made, fires):
    """Yield for each kind of change, the nearest first, (words, Plan) of one that will do or None.
    """
    of = [batch.want for batch in plan.batches]         # a row of Plan.order each
    if not plan.cost.spoilt:
        for i, want in enumerate(plan.wants):
            if want.out_by and not want.overnight:
                yield _later(plan, made, i)
        return
    if fires is not None:
        other = made(plan.wants, fires)
        yield other and (_fire_words(plan, other), other)
    spoilt = list(dict.fromkeys(np.array(of)[plan.order["spoilt"].to_numpy()].tolist()))
    for i in spoilt:
        want = plan.wants[i]
        if want.out_by and not want.overnight:
            yield _later(plan, made, i)
        if want.minutes and want.load.crust:
            other = made(_with(plan, i, minutes=None))
            yield other and (f"Leave out minutes for the {want.load.name}", other)
    for i in dict.fromkeys([*spoilt, *(i for i in of if of.count(i) > 1)]):
        yield _fewer(plan, made, i)
    for i in dict.fromkeys([*spoilt, *of]):
        if len(plan.wants) > 1:
            other = made((*plan.wants[:i], *plan.wants[i + 1:]))
            yield other and (f"Leave out the {plan.wants[i].load.name}", other)


def _later(plan, made, i):
    """(words, Plan) of the soonest quarter of an hour found by which a want can be out, or None."""
    for by in (_quarter_after(plan, i), None):
        other = made(_with(plan, i, out_by=by))
        if other:
            sooner = _quarter_after(other, i)
            again = made(_with(plan, i, out_by=sooner)) if sooner != by else None
            by, other = (sooner, again) if again else (by, other)
            if by and _day_h(by) > _day_h(plan.wants[i].out_by):
                return (f"Ask for the {plan.wants[i].load.name} by {by}, not "
                        f"{plan.wants[i].out_by}", other)
    return None


def _day_h(text):
    """Hours of a time as `Want.out_by` has it, from the midnight before the first load."""
    return clock_hours(today(text)) + 24 * (text != today(text))


def _fewer(plan, made, i):
    """(words, Plan) of the most of a want that can be made, as found in COUNTS trials, or None."""
    want, found = plan.wants[i], None
    few, many, last = 0, want.count, max(made.left - COUNTS, 0)
    while many - few > 1 and made.left > last:
        count = (few + many) // 2
        other = made(_with(plan, i, count=count))
        few, many = (count, many) if other else (few, count)
        found = (f"Make {count} of {want.load.name}, not {want.count}", other) if other else found
    return found


def _between(plan):
    """(load, TopUp) of a fire before the first load that finds the oven too cold, or None; it does
    not help what is spoilt before."""
    found = before_cold(Task(plan.oven, plan.batches, plan.outdoor_c, PLANNED), plan.order,
                        range(len(plan.order)), plan.run, 0.0, plan.order["set_h"].iloc[0],
                        plan.moisture_pct)
    if not found or found[0] == 0 or plan.order["spoilt"].iloc[:found[0]].any():
        return None
    return plan.order["load"].iloc[found[0]], found[1]


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


def _fire_words(plan, other):
    was, now = plan.steps[0], other.steps[0]
    minutes = round((now.seconds - was.seconds) / 60)
    more = f" ({abs(minutes)} minutes {'more' if minutes > 0 else 'less'} fire)" if minutes else ""
    return (f"Burn {now.wood_kg:g} kg of wood over {now.seconds / 3600:g} h, not {was.wood_kg:g} "
            f"kg over {was.seconds / 3600:g} h{more}")
