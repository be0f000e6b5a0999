"""Batches on a round hearth: whole pieces that do not touch, no more than geometry allows."""

from dataclasses import replace

import numpy as np
import pytest

import ovenkit as ok
from ovenkit.loads import fits, load_catalogue
from ovenkit.plan.room import layout, most

LOADS = load_catalogue()
# least radius of a circle that holds n circles of radius 1 (Graham, Lubachevsky, Nurmela and
# Ostergard, Discrete Mathematics 181, 1998; the numbers from memory)
OPTIMAL = {1: 1.0, 2: 2.0, 3: 2.1547, 4: 2.4142, 5: 2.7013, 6: 3.0, 7: 3.0, 8: 3.3048, 9: 3.6131,
           10: 3.8130, 11: 3.9238, 12: 4.0296, 19: 4.8637}


def loaf(across_cm):
    return replace(LOADS["hearth loaf"], length_cm=across_cm, width_cm=across_cm, spacing_cm=0.0)


@pytest.mark.parametrize("n", [1, 3, 4, 5, 7, 8, 12, 19])
def test_circles_against_the_best_known(n):
    """What is said to fit does; at the best known size at most one piece is given away, of many two."""
    inside_m = 2 * OPTIMAL[n] * 0.1 * 1.0005
    found = max(k for k in range(25) if k == 0 or layout(loaf(20), k, inside_m) is not None)
    assert n - (2 if n > 12 else 1) <= found <= n + (n == 6)
    if n + 1 in OPTIMAL:
        assert layout(loaf(20), n + 1, 2 * OPTIMAL[n + 1] * 0.1 * 0.995) is None


@pytest.mark.parametrize("name", [n for n, load in LOADS.items() if load.shape != "box"])
@pytest.mark.parametrize("inside_m", [0.6, 0.8, 1.1])
def test_round_pieces_are_whole_and_apart(name, inside_m):
    load = LOADS[name]
    n = max((k for k in range(1, 80) if layout(load, k, inside_m) is not None), default=0)
    if not n:
        return
    places, r = layout(load, n, inside_m), load.length_cm / 200
    assert (np.hypot(*places.T) + r <= inside_m / 2 + 1e-6).all()
    gaps = np.hypot(*(places[:, None] - places[None]).transpose(2, 0, 1)) + 9 * np.eye(n)
    assert gaps.min() >= 2 * r - 1e-6


def test_trays_against_a_packing_by_hand():
    """40 x 30 cm trays, 2 cm between: on 80 cm two lie side by side (84 cm need a hearth of
    2 hypot(42, 16) = 90 cm), or one behind the other: hypot(21, 32) = 38.3 cm of 40: two."""
    tray = LOADS["tray of roots"]
    assert layout(tray, 2, 0.80) is not None and layout(tray, 3, 0.80) is None
    assert layout(tray, 1, 0.55) is not None and layout(tray, 2, 0.70) is None


@pytest.mark.parametrize("name", list(LOADS))
def test_a_batch_is_one_that_the_day_accepts(name):
    for oven in map(ok.read_oven, ("hazel", "rowan", "hornbeam")):
        n = most(LOADS[name], oven)
        assert n <= fits(LOADS[name], oven.inside_m, oven.mouth_w_m, oven.mouth_h_m)
        if n:
            assert layout(LOADS[name], n, oven.inside_m).shape == (n, 2)


def test_what_does_not_pass_the_mouth_makes_no_batch():
    assert most(replace(LOADS["hearth loaf"], length_cm=45, width_cm=45), ok.read_oven("rowan")) == 0
