"""How a fire burns away: against an independent integrator, and what becomes of the wood."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

import ovenkit as ok
from ovenkit import burning
from ovenkit.timeline import timeline


@pytest.mark.parametrize("wood, char, feed, char_yield, ember_s", [
    (0.0, 0.0, 14.0 / 7200, 0.15, burning.EMBER_S), (2.0, 0.8, 0.0, 0.15, burning.EMBER_S),
    (1.5, 1.1, 0.0, 0.13, burning.SPREAD_S), (0.3, 0.0, 5e-3, 0.18, burning.SPREAD_S)])
def test_burn_down_solves_its_equations(wood, char, feed, char_yield, ember_s):
    # scipy's DOP853 on dw/dt = f - w / s_w, dc/dt = y w / s_w - c / s_c
    def rates(_, x):
        gone = x[0] / burning.WOOD_S
        return [feed - gone, char_yield * gone - x[1] / ember_s]
    t = np.array([5.0, 300.0, 2000.0, 9000.0])
    true = solve_ivp(rates, (0, 9000), [wood, char], "DOP853", t, rtol=1e-11, atol=1e-13).y
    got = burning.burn_down(wood, char, feed, char_yield, ember_s, t)
    assert np.array(got) == pytest.approx(true, rel=1e-8, abs=1e-11)


def test_burn_down_in_two_parts_is_burn_down_in_one():
    half = burning.burn_down(0.4, 0.2, 2e-3, 0.15, 2400.0, 700.0)
    twice = burning.burn_down(*half, 2e-3, 0.15, 2400.0, 700.0)
    assert twice == pytest.approx(burning.burn_down(0.4, 0.2, 2e-3, 0.15, 2400.0, 1400.0))


@pytest.mark.parametrize("moisture", [0, 18, 45])
def test_gas_and_charcoal_share_the_worth_of_wood(moisture):
    gas, char = burning.wood_shares_mj(moisture)
    assert gas + char == pytest.approx(burning.wood_mj_per_kg(moisture))
    # from memory: charcoal holds 25 to 40 % of the worth of dry wood
    assert 0.25 < char / (gas + char) < 0.45


def test_air_for_a_megajoule():
    # Dietenberger 2002: 13.23 kJ per g of oxygen; air is 23.2 % oxygen by mass
    assert burning.AIR_KG_PER_MJ == pytest.approx(1.0 / 13.23 / 0.232, rel=2e-3)
    # about 6.0 kg of air per kg of dry wood (from memory)
    assert 19.0 * burning.AIR_KG_PER_MJ == pytest.approx(6.0, rel=0.05)


def test_a_timeline_gives_off_all_of_its_wood():
    """Flames, smoke, embers and what is left add up to the wood, by fine trapezia."""
    line = timeline((ok.Fire(hours=2, wood_kg=10, moisture_pct=20, rake_out=False),
                     ok.Wait(hours=1, door="open")), 20.0)
    given = line.flame_w + line.smoke_w + line.ember_w
    t = np.concatenate([[0.0], np.cumsum(line.dt)])
    total = np.trapezoid(np.concatenate([[0.0], given]), t) + line.left_j[-1]
    assert total == pytest.approx(10 * burning.wood_mj_per_kg(20) * 1e6, rel=1e-3)


def test_the_energy_of_a_day_counts_its_wood():
    run = ok.run_day(ok.domed_oven(), [ok.Fire(hours=2, wood_kg=10, moisture_pct=20)])
    assert run.energy["wood"] == pytest.approx(10 * burning.wood_mj_per_kg(20), rel=1e-9)
    # 8 % smoke (of the gases) and the charcoal raked out; "unburnt" is at least the smoke
    smoke = burning.SMOKE * burning.wood_shares_mj(20)[0] * 10
    assert smoke * 0.95 < run.energy["unburnt"] < smoke + burning.wood_shares_mj(20)[1] * 10


def test_embers_raked_out_early_carry_more_away():
    """Half an hour of spreading burns charcoal that a fire raked out at once throws away."""
    runs = ok.run_days([(ok.domed_oven(), [ok.Fire(hours=2.5, wood_kg=12, spread_minutes=m)])
                        for m in (0, 45)])
    early, late = (run.energy["unburnt"] for run in runs)
    assert early > 1.15 * late
    assert runs[0].energy["embers"] > runs[1].energy["embers"]


def test_wet_wood_charges_less():
    dry, wet = ok.run_days([(ok.domed_oven(), [ok.Fire(hours=2.5, wood_kg=12, moisture_pct=m)])
                            for m in (15, 35)])
    assert wet.energy["stored"] < 0.8 * dry.energy["stored"]
    assert wet.energy["wood"] == pytest.approx(12 * burning.wood_mj_per_kg(35))
