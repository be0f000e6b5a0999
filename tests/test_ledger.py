"""The ledger of heat: it closes, and every term is integrated from its own flow."""

import dataclasses

import numpy as np
import pytest

import ovenkit as ok
from ovenkit import baking, ledger

DAYS = ("class_day", "morning_after", "small_oven_evening")
FLOWS = ("wood", "flue", "mouth", "unburnt", "outer", "food", "steam")


@pytest.fixture(scope="module")
def days():
    return {name: ok.run_day(ok.read_day(name)) for name in DAYS}


def gap(energy):
    """Residual as a share of the largest term."""
    terms = energy.drop("residual")
    assert np.isfinite(terms).all()
    return abs(energy["residual"]) / terms.abs().max()


def random_day(rng):
    """An oven and a day of fire, rest and one to four loads, door and all, drawn at random."""
    oven = ok.domed_oven(
        inside_cm=rng.uniform(70, 110), masonry_kg=rng.uniform(150, 900),
        insulation_mm=rng.uniform(0, 120), door_crack_mm=rng.uniform(0, 4),
        under_hearth=str(rng.choice(["insulating board", "bare slab", "sand"])),
        door=str(rng.choice(["insulated steel", "steel sheet", "wood"])))
    hours = rng.uniform(1.0, 3.5)
    embers = bool(rng.integers(2))
    steps = [ok.Fire(hours=hours, wood_kg=60 * oven.mouth_area_m2 * (hours - 0.75) + 1,
                     moisture_pct=rng.uniform(10, 30), spread_minutes=rng.uniform(0, 45),
                     rake_out=not embers)]
    if embers:
        steps += [ok.Bake("flatbread", 2, minutes=3, door="open"), ok.RakeOut(minutes=6)]
    steps.append(ok.Settle(minutes=rng.uniform(5, 60)))
    for _ in range(rng.integers(1, 5)):
        name, most = [("hearth loaf", 3), ("roll", 8), ("tin loaf", 3), ("tray of roots", 1),
                      ("stock pot", 1), ("apple rings", 1)][rng.integers(6)]
        door = [{}, {"gap_mm": rng.uniform(5, 60)}, {"door": "open"}][rng.integers(3)]
        steps.append(ok.Bake(name, int(rng.integers(1, most + 1)),
                             minutes=rng.uniform(8, 120), **door))
        steps.append(ok.Wait(minutes=rng.uniform(1, 90), **door))
    return oven, steps


def random_days(seed, n):
    rng = np.random.default_rng(seed)
    days = [random_day(rng) for _ in range(n)]
    return ok.run_days(days, outdoor_c=[float(t) for t in rng.uniform(-10, 35, n)])


@pytest.mark.parametrize("name", DAYS)
def test_the_schools_days_close(days, name):
    assert gap(days[name].energy) <= 1e-3


def test_twenty_random_days_close():
    gaps = [gap(run.energy) for run in random_days(3, 20)]
    assert max(gaps) <= 1e-3, np.round(gaps, 5)


@pytest.mark.slow
def test_two_hundred_random_days_close():
    gaps = [gap(run.energy) for run in random_days(8, 200)]
    assert max(gaps) <= 1e-3, np.sort(gaps)[-10:]


@pytest.mark.parametrize("start", [90, 180, 300])
def test_a_day_without_a_fire_closes(start):
    run = ok.run_day(ok.domed_oven(), [ok.Wait(hours=1), ok.Bake("roll", 12, minutes=20),
                                       ok.Wait(hours=10)], start=start)
    assert gap(run.energy) <= 1e-3
    assert run.energy["wood"] == run.energy["flue"] == run.energy["unburnt"] == 0


@pytest.mark.parametrize("term", FLOWS)
def test_a_flow_off_by_a_hundredth_shows(days, term):
    """Scale one column of `rates`: its own term moves, no other, and the residual by as much."""
    run = days["class_day"]
    flows = run.rates.copy()
    none = flows.copy()
    none[term] = 0.0
    flows[term] *= 1.01
    before, after = run.energy, ledger.energy(run, flows)
    share = before[term] - ledger.energy(run, none)[term]     # what flowed, without what is left
    assert abs(share) > 0.2
    assert after[term] - before[term] == pytest.approx(0.01 * share, rel=1e-9)
    sign = 1 if term == "wood" else -1
    assert after["residual"] - before["residual"] == pytest.approx(sign * 0.01 * share, rel=1e-6)
    same = [t for t in before.index if t not in (term, "residual")]
    assert (after[same] == before[same]).all()


def test_stored_heat_off_by_a_hundredth_shows(days):
    run = days["class_day"]
    other = dataclasses.replace(run)
    other.__dict__["stored_j"] = run.stored_j * 1.01
    moved = other.energy["residual"] - run.energy["residual"]
    assert moved == pytest.approx(-0.01 * run.energy["stored"], rel=1e-6)


def test_stored_heat_is_that_of_the_cells(days):
    """Sum C (T - T_outdoors) over every cell of the state handed on, beside `stored`."""
    run = days["class_day"]
    cells = run.state().zones_c - run.outdoor_c
    g = run.slabs.grid
    areas = run.during("body_m2")[-1, :5].copy()
    areas[:2] += run.during("ration")[-1].sum(0)
    body = (g.capacity[:5] * cells).sum(-1) @ areas
    assert run.stored_j[-1] == pytest.approx(body, rel=1e-3)    # the air holds the rest


def test_food_and_steam_are_those_of_the_bakes(days):
    """Heat into each load is what warmed it and what boiled off at 2256.5 kJ/kg (IAPWS)."""
    run = days["class_day"]
    catalogue = ok.load_catalogue()
    kilos = run.bakes["load"].map(lambda name: catalogue[name].mass_g / 1000) * run.bakes["count"]
    boiled_mj = (run.bakes["loss_pct"] / 100 * kilos * baking.LATENT).sum() / 1e6
    assert run.energy["food"] == pytest.approx(run.bakes["heat_mj"].sum() - boiled_mj, rel=0.01)
    # steam takes up to a tenth more: it leaves as hot as the air (IAPWS, 2.0 kJ/kgK)
    assert boiled_mj * 0.95 < run.energy["steam"] < 1.15 * boiled_mj


def test_food_is_its_heat_capacity():
    """A pot of cold stock takes C (T - start), nearly all of one temperature as it is stirred."""
    run = ok.run_day(ok.domed_oven(), [ok.Bake("stock pot", 1, minutes=150)], start=150)
    pot = ok.load_catalogue()["stock pot"]
    warmed = run.bakes["core_out_c"][0] - pot.start_c
    assert run.bakes["loss_pct"][0] < 0.5
    assert run.energy["food"] * 1e6 == pytest.approx(pot.capacity_j_k * warmed, rel=0.05)


def test_outer_loss_at_rest_is_fouriers():
    """Soaked masonry begins at rest: the loss through the dome is the layered shell's."""
    oven = ok.domed_oven(insulation_mm=75)
    run = ok.run_day(oven, [ok.Wait(hours=1)], start=250)
    rows = ok.layers.working_layers(oven.dome)
    radii = oven.sphere_radius_m + np.cumsum([0.0] + [row[0] for row in rows])
    watts, _ = ok.exact.shell_steady(radii, [row[1] for row in rows], 250, 12, 10)
    per_m2 = watts / (2 * np.pi * oven.sphere_radius_m**2)
    assert run.outer_w_m2(2)[0] == pytest.approx(per_m2, rel=0.005)


def test_wood_heat_in_the_food(days):
    """One day's loads from a cold oven hold 1 to 15 % of the wood's heat.

    Bakeries' ovens filled again and again reach 12-31 % (Int. J. Current Eng. & Technology
    4(3) 2014, 1412-1417, and others); one firing and a few loads stay below.
    """
    energy = days["class_day"].energy
    assert 0.01 < energy["food"] / energy["wood"] < 0.15
    assert 0.01 < (energy["food"] + energy["steam"]) / energy["wood"] < 0.15
