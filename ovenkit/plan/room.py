"""How many of a load fit a round hearth at once (draft)."""

from ovenkit.loads import fits


def most(load, oven):
    return fits(load, oven.inside_m, oven.mouth_w_m, oven.mouth_h_m)
