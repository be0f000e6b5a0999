"""Where a planned day wants more than one pair of hands: doughs while the oven cannot wait."""

from ovenkit.plan.doughs import dough_clock, load_doughs
from ovenkit.plan.remarks import by_night
from ovenkit.steps import Bake, Fire

PAIRS = {2: "two", 3: "three", 4: "four"}
RAKING_MIN = 15           # raking out, brushing, swabbing (common practice, no source)
ONCE_H = 0.01           # mixed and shaped in one go
LOAD_MIN = 5            # at the mouth, before and after a load goes in or comes out


def clashes(plan, kitchen="warm"):
    """Return for each time the oven and doughs want hands at once when and why, "HH:MM: why".

    plan : Plan; kitchen : "warm" or "cool"
    """
    out, doughs = [], list(_doughs(plan, kitchen))
    for start, stop, when, what in _oven(plan):
        works = [one for one in doughs if one[0] < stop - 1e-6 and start < one[1] - 1e-6]
        if works:
            begins = [max(start, begin) for begin, *_ in works]
            pairs = 1 + max(sum(begin <= at < end for begin, end, _ in works) for at in begins)
            out.append(f"{plan.at(when)}, {PAIRS.get(pairs, pairs)} pairs: {what} while "
                       f"somebody {' and another '.join(work for *_, work in works)}")
    return out


def by_night_mixed(plan, kitchen="warm"):
    """Return a sentence for each dough that is mixed in the night, and may wait in the fridge.

    plan : Plan; kitchen : "warm" or "cool"
    """
    return [f"The {row.load} is mixed at {plan.at(row.mix_h)}, in the night: mix it the evening "
            "before, and prove it in the fridge overnight."
            for row in dough_clock(plan, kitchen).itertuples()
            if by_night(plan.at(row.mix_h)) and load_doughs()[row.load].into_fridge]


def _doughs(plan, kitchen):
    """(from, until, what somebody does) of the work at doughs, in hours after lighting."""
    for row in dough_clock(plan, kitchen).itertuples():
        name = f"{row.count} x {row.load}"
        if row.shape_h - row.mixed_h < ONCE_H:
            yield row.mix_h, row.prove_h, f"makes {name}"
        else:
            yield row.mix_h, row.mixed_h, f"mixes {name}"
            yield row.shape_h, row.prove_h, f"shapes {name}"


def _oven(plan):
    """(from, until, when, what is done) at the oven, where it cannot wait."""
    at = 0.0
    for step in plan.steps:
        if isinstance(step, Fire):
            end = at + step.seconds / 3600
            yield end, end + RAKING_MIN / 60, end, "rake out"
        elif isinstance(step, Bake):
            end, near = at + step.seconds / 3600, LOAD_MIN / 60
            yield at, at + near, at, f"the {step.load.name} goes in"
            yield end - near, end, end, f"the {step.load.name} comes out"
        at += step.seconds / 3600
