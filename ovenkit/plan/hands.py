"""Where a planned day wants two pairs of hands: doughs at the moment of raking out or loading."""

from ovenkit.plan.doughs import dough_clock, load_doughs
from ovenkit.plan.remarks import by_night
from ovenkit.steps import Bake, Fire

RAKING_MIN = 15           # raking out, brushing, swabbing (common practice, no source)
ONCE_H = 0.01           # mixed and shaped in one go
LOAD_MIN = 5            # at the mouth, before and after a load goes in or comes out


def clashes(plan, kitchen="warm"):
    """Return for each time the oven and a dough want hands at once when and why, "HH:MM: why".

    plan : Plan; kitchen : "warm" or "cool"
    """
    both = sorted((max(begin, start), what, works) for begin, end, works in _doughs(plan, kitchen)
                  for start, stop, what in _oven(plan)
                  if begin < stop - 1e-6 and start < end - 1e-6)
    return [f"{plan.at(at)}: {what} while somebody {works}" for at, what, works in both]


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
    """(from, until, what is done) at the oven, where it cannot wait."""
    at = 0.0
    for step in plan.steps:
        if isinstance(step, Fire):
            end = at + step.seconds / 3600
            yield end, end + RAKING_MIN / 60, "rake out"
        elif isinstance(step, Bake):
            end, near = at + step.seconds / 3600, LOAD_MIN / 60
            yield at, at + near, f"the {step.load.name} goes in"
            yield end - near, end, f"the {step.load.name} comes out"
        at += step.seconds / 3600
