"""What would help a plan that spoils a load: the nearest changes after which none is spoilt."""

from dataclasses import replace

from ovenkit.files import InputError

MOST = 3                # changes named
TRIED = 6               # plans made to find them, at most


def remedies(plan, best, fires=None):
    """Return sentences, the nearest changes after which no load is spoilt; each has been tried.

    plan : Plan that spoils a load; best : (wants, fires or None for those it had) -> Plan
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
            if not other.cost.spoilt:
                out.append(f"{words(other)}, and every load comes out good.")
                break
    return out or ["No one change of fire or count that was tried makes every load good: leave out "
                   "two things, bake on two days, or use another oven."]


def _kinds(plan, fires):
    """Yield, for each kind of change, the nearest first: (what to say of the Plan, wants, fires)."""
    if fires is not None:
        yield [(lambda p: _fire_words(plan, p), plan.wants, fires)]
    names = list(dict.fromkeys(plan.order.loc[plan.order["spoilt"], "load"]))
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


def _fire_words(plan, other):
    was, now = plan.steps[0], other.steps[0]
    minutes = round((now.seconds - was.seconds) / 60)
    more = "more" if minutes > 0 else "less"
    return (f"Burn {now.wood_kg:g} kg of wood over {now.seconds / 3600:g} h, not {was.wood_kg:g} kg "
            f"over {was.seconds / 3600:g} h ({abs(minutes)} minutes {more} fire)")
