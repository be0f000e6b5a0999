"""Probes, spot readers and hands, against published values and their own physics."""

import numpy as np
import pytest

from ovenkit.files import InputError
from ovenkit.instruments import (
    BAND_M,
    C2,
    TABLE_K,
    TABLE_LIGHT,
    band_light,
    gas_c,
    hand_count_s,
    probe_c,
    spot_c,
)
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


def share_below(x):
    """Share of a black body's light of waves shorter than l, x = C2 / (l T).

    15 / pi^4 sum over n of e^-nx / n (x^3 + 3 x^2 / n + 6 x / n^2 + 6 / n^3) (Chang & Rhee 1984)
    """
    n = np.arange(1, 200)
    return 15 / np.pi**4 * np.sum(
        np.exp(-n * x) / n * (x**3 + 3 * x**2 / n + 6 * x / n**2 + 6 / n**3))


def test_the_series_gives_printed_shares():
    # Incropera & DeWitt, Table 12.1: 4000 um K 0.480877, 7000 um K 0.808109
    assert share_below(C2 / 4000e-6) == pytest.approx(0.480877, abs=5e-5)
    assert share_below(C2 / 7000e-6) == pytest.approx(0.808109, abs=5e-5)


@pytest.mark.parametrize("temp_k", [250.0, 300.0, 500.0, 573.15, 900.0, 2300.0])
def test_light_in_the_band_is_its_share_of_a_black_bodys(temp_k):
    low, high = (share_below(C2 / (wave * temp_k)) for wave in BAND_M)
    assert band_light(temp_k) == pytest.approx((high - low) * SIGMA * temp_k**4 / np.pi, rel=1e-6)


def test_the_table_follows_the_law_and_light_grows_with_heat():
    temps = np.linspace(210.0, 2300.0, 3001)
    assert np.abs(np.interp(band_light(temps), TABLE_LIGHT, TABLE_K) - temps).max() < 2e-3
    assert np.all(np.diff(TABLE_LIGHT) > 0)
    assert band_light(temps[:6].reshape(3, 2)).shape == (3, 2)


@pytest.mark.parametrize("temp_c", [150.0, 250.0, 350.0])
def test_a_wrong_setting_counts_for_more_in_the_band_than_over_all_waves(temp_c):
    """Light of one wave grows as T^n, n = x / (1 - exp(-x)), x = C2 / (l T) (Planck's law); light
    of all waves as T^4 (Stefan & Boltzmann). Where n is less, so much light is more degrees."""
    kelvin = temp_c + 273.15
    off = spot_c(temp_c, temp_c, 1.0, 0.999) - temp_c
    too_much = 0.001 * (1 - band_light(293.15) / band_light(kelvin))
    x = C2 / (np.array(BAND_M) * kelvin)
    least, most = kelvin * too_much / (x / (1 - np.exp(-x)))
    assert least < off < most
    grey = ((kelvin**4 - 0.001 * 293.15**4) / 0.999) ** 0.25 - kelvin
    assert 1.1 < off / grey < 1.6


def test_readings_take_arrays_and_do_not_end_with_the_table():
    shown = spot_c(np.array([100.0, 200.0, 300.0]), np.array([[20.0], [250.0]]))
    assert shown.shape == (2, 3) and np.all(np.diff(shown) > 0)
    assert shown[1, 2] == spot_c(300.0, 250.0)
    assert spot_c(2000.0, 2000.0, 1.0, 0.1) < TABLE_K[-1] - 1000


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
