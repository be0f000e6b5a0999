"""Crust, front and steam of a load, against kinetics and steam tables that are published."""

import numpy as np
import pytest

from ovenkit import baking
from ovenkit.units import ZERO_C


@pytest.mark.parametrize("temp_c, minutes", [(160, 15.0), (200, 3.33), (250, 0.70)])
def test_half_way_to_brown(temp_c, minutes):
    # Zanoni, Peri & Bruno 1995: k = 42000 exp(-64151/RT) 1/s; half-way is ln 2 / k
    half = np.log(2) / baking.browning_rate(temp_c + ZERO_C) / 60
    assert half == pytest.approx(minutes, rel=0.005)


@pytest.mark.parametrize("temp_c", [5, 25, 60, 90, 100])
def test_saturated_vapour(temp_c):
    steam = pytest.importorskip("CoolProp.CoolProp")
    density, slope = baking.vapour_kg_m3(temp_c + ZERO_C)

    def true(c):
        return steam.PropsSI("D", "T", c + ZERO_C, "Q", 1, "Water")
    # IAPWS-95 by CoolProp; the ideal gas is 1.6 % light at the boil
    assert density == pytest.approx(true(temp_c), rel=0.02)
    if temp_c < 100:
        assert slope == pytest.approx((true(temp_c + 0.5) - true(temp_c - 0.5)), rel=0.03)


def test_vapour_is_held_above_the_boil():
    assert baking.vapour_kg_m3(ZERO_C + 250) == pytest.approx(baking.vapour_kg_m3(ZERO_C + 100))


def test_steam_by_the_tables():
    # IAPWS: 2256.5 kJ/kg at 100 degC; 20 degC water to steam at 100 / 250: 2591.6 / 2890.5 kJ/kg
    steam = pytest.importorskip("CoolProp.CoolProp")
    assert baking.LATENT == pytest.approx(2256.5e3, rel=1e-4)
    assert baking.STEAM_KG_M3 == pytest.approx(
        steam.PropsSI("D", "T", ZERO_C + 100, "Q", 1, "Water"), rel=2e-3)
    assert 150 * baking.STEAM_CP == pytest.approx(2890.5e3 - 2591.6e3, rel=0.01)


def _front(law, alpha, heat):
    return (law.own * alpha + law.other * alpha[..., ::-1, :] + law.kick + law.heat * heat
            + law.cross * heat[..., ::-1, :])


def test_fronts_solve_both_sides_at_once():
    """The closed 2 x 2 answer is the one numpy finds for (I + B e1) T = alpha + B (Q - s)."""
    rng = np.random.default_rng(4)
    alpha = rng.uniform(300, 420, (3, 2, 2))
    beta = rng.uniform(0.01, 0.2, (3, 2, 2))
    cross = rng.uniform(0.0, 0.005, (3, 1, 2))
    e0, e1 = rng.uniform(0, 50, (3, 2, 2)), rng.uniform(0, 5000, (3, 2, 2))
    heat = rng.uniform(-50, 400, (3, 2, 2))
    law = baking.fronts(beta, cross, e0, e1, baking.BOIL_K)
    got = _front(law, alpha, heat)
    for i in range(3):
        for j in range(2):
            answer = np.array([[beta[i, 0, j], cross[i, 0, j]], [cross[i, 0, j], beta[i, 1, j]]])
            left = np.eye(2) + answer * e1[i, :, j]
            loss = e0[i, :, j] - e1[i, :, j] * baking.BOIL_K
            true = np.linalg.solve(left, alpha[i, :, j] + answer @ (heat[i, :, j] - loss))
            assert got[i, :, j] == pytest.approx(true, rel=1e-10)


def test_a_front_stays_at_the_boil():
    """However hot the oven, wet crumb holds 100 degC: all the rest boils off (Zanoni 1993)."""
    alpha, beta = np.full((2, 1), 400.0), np.full((2, 1), 0.05)
    e1 = np.full((2, 1), baking.BOIL_W_M2K * 0.05)
    law = baking.fronts(beta, np.zeros((1, 1)), 0.0, e1, baking.BOIL_K)
    for heat in (100.0, 1000.0):
        front = _front(law, alpha, np.full((2, 1), heat))
        assert front == pytest.approx(baking.BOIL_K, abs=0.2)
        boiled = e1 * (front - baking.BOIL_K)
        assert boiled == pytest.approx(heat + (400.0 - baking.BOIL_K) / 0.05, rel=0.01)
