"""Probes, spot readers and hands, against published values and their own physics."""

import numpy as np
import pytest

from ovenkit.files import InputError
from ovenkit.instruments import gas_c, hand_count_s, probe_c, spot_c
from ovenkit.units import SIGMA


def test_junction_in_a_duct():
    # Incropera & DeWitt, Ex. 5.2: gas 200, wall 400 degC, h 400, emissivity 0.9 -> 218.7
    assert probe_c(200.0, 400.0, 400.0, 0.9) == pytest.approx(218.7, abs=0.05)


def test_gas_behind_a_junction():
    # Incropera & DeWitt, exercise: wall 500 K, junction 850 K, emissivity 0.6, h 60 -> 1111 K
    gas = gas_c(850 - 273.15, 500 - 273.15, 60.0, 0.6)
    assert gas + 273.15 == pytest.approx(1111, abs=1)


def test_probe_and_gas_undo_each_other_and_the_balance_holds():
    gas = np.array([20.0, 150.0, 400.0])[:, None]
    wall = np.array([20.0, 300.0, 900.0])
    shown = probe_c(gas, wall, 12.0, 0.8)
    assert shown.shape == (3, 3)
    assert gas_c(shown, wall, 12.0, 0.8) == pytest.approx(gas + 0 * wall, abs=1e-6)
    into = 12.0 * (gas - shown)
    out = 0.8 * SIGMA * ((shown + 273.15) ** 4 - (wall + 273.15) ** 4)
    assert into == pytest.approx(out, abs=1e-5)
    assert np.all((shown >= np.minimum(gas, wall) - 1e-9)
                  & (shown <= np.maximum(gas, wall) + 1e-9))


def test_limits_of_a_probe():
    assert probe_c(170.0, 220.0, 1e6, 0.9) == pytest.approx(170.0, abs=0.01)  # only air
    assert probe_c(170.0, 220.0, 0.0, 0.9) == pytest.approx(220.0, abs=0.01)  # only walls
    one, two = probe_c(170.0, 220.0, 15.0, 0.2), probe_c(170.0, 220.0, 15.0, 0.9)
    assert 170 < one < two < 220  # a bright probe believes the air more than a sooty one


@pytest.mark.parametrize("wall, seconds", [(300, 2.0), (275, 2.7), (250, 3.7), (220, 5.4),
                                           (200, 7.0)])
def test_hand_counts(wall, seconds):
    # t = 125 q^-1.9 (Wieczorek & Dembsey 2001, from memory); the counts are what cooks use
    assert hand_count_s(wall, wall) == pytest.approx(seconds, rel=0.05)


def test_hand_count_falls_with_heat_and_has_an_end():
    counts = hand_count_s(np.arange(20.0, 500.0, 5.0), 30.0)
    assert np.all(np.diff(counts) <= 0) and counts[0] == 60.0


def test_spot_reader():
    # a black surface and a black setting: the truth, whatever surrounds it
    assert spot_c(310.0, 20.0, 1.0, 1.0) == pytest.approx(310.0, abs=1e-9)
    # surface and reader as set, surroundings as warm as the reader: the truth
    assert spot_c(310.0, 20.0, 0.95, 0.95, 20.0) == pytest.approx(310.0, abs=1e-9)
    # a colder floor under a hotter dome mirrors it: the reader shows too much
    assert spot_c(200.0, 400.0, 0.8, 0.8) > 210.0
    # a shiny door in a hot oven, seen from outside among cool walls, reads far too low
    assert spot_c(200.0, 20.0, 0.2, 0.95) < 110.0


@pytest.mark.parametrize("call, word", [
    (lambda: probe_c("hot", 200, 10, 0.9), "air"),
    (lambda: probe_c(200, 200, -1, 0.9), "coefficient"),
    (lambda: probe_c(200, 200, 10, 1.2), "emissivity"),
    (lambda: probe_c([200, float("nan")], 200, 10, 0.9), "place"),
    (lambda: probe_c([200, 210], [1.0, 2.0, 3.0], 10, 0.9), "fit together"),
    (lambda: gas_c(150, 900, 1, 0.9), "no air"),
    (lambda: hand_count_s(None, 20), "walls"),
    (lambda: spot_c(-60, -60, 0.1, 0.5), "no reading")])
def test_bad_readings_are_refused(call, word):
    with pytest.raises(InputError, match=word):
        call()
