"""Bread, cake and pots against published bands and what bakers count on."""

import numpy as np
import pytest
from test_day import CLASS_OVEN, MINUTE

import ovenkit as ok


def baked(load, count, start_c, minutes=None, oven=CLASS_OVEN):
    """Row of one bake in soaked masonry after ten minutes shut."""
    run = ok.run_day(oven, [ok.Settle(minutes=10), ok.Bake(load, count, minutes=minutes)],
                     start=start_c)
    return run.bakes.iloc[0]


def in_oven(bake):
    return (bake["out_h"] - bake["in_h"]) * 60


@pytest.mark.parametrize("start_c", [240, 260, 280])
def test_hearth_loaves_come_out_good_in_their_band(start_c):
    """800 g at a hearth of 230-290 (trade band, no source): good in 20 to 45 minutes."""
    bake = baked("hearth loaf", 6, start_c)
    assert 230 < bake["hearth_in_c"] < 290
    assert bake["verdict"] == "good", bake["why"]
    assert 20 < in_oven(bake) < 45
    assert 95 <= bake["core_out_c"] <= 100.1     # lean bread is done at 93-99 (trade)


@pytest.mark.parametrize("load, count, start_c, low, high", [
    ("hearth loaf", 6, 240, 8, 12), ("hearth loaf", 6, 260, 8, 12), ("hearth loaf", 6, 280, 8, 12),
    ("hearth loaf 400 g", 8, 235, 12, 15), ("hearth loaf 400 g", 8, 247, 12, 15),
    ("roll", 12, 240, 16, 22), ("roll", 12, 255, 16, 22),
    pytest.param("tin loaf", 3, 225, 8, 12, marks=pytest.mark.xfail(
        strict=True, reason="12.8 %: the sides dry as if there were no tin round them"))])
def test_bake_loss(load, count, start_c, low, high):
    """Water lost, of dough: 800 g 8-12 %, 400 g 12-15 %, rolls 16-22 % (from memory); in a tin
    8-12 % (common practice, no source). The oven feels as each of them wants it."""
    bake = baked(load, count, start_c)
    assert bake["verdict"] == "good", bake["why"]
    assert low <= bake["loss_pct"] <= high


def test_tin_loaves():
    """Trade, no source: 850 g in a tin, in an oven that feels like 190-220, 35 to 55 minutes."""
    bake = baked("tin loaf", 3, 225)
    assert 190 < bake["feels_in_c"] < 220
    assert bake["verdict"] == "good" and 35 < in_oven(bake) < 55


@pytest.mark.xfail(strict=True, reason="91 degC: the crumb of the 850 g loaf conducts 0.7 W/mK")
def test_pan_sandwich_bread():
    """Therdthai, Zhou & Adamczak 2002: 27.4 minutes at 115/130/156/176 degC, crumb 99.

    Its crumb cannot pass 100 degC, so a slab that starts at 30 and has both faces held at 100
    is warmed faster than any such loaf. The mass of the published loaf is not known here.
    """
    tin = ok.load_catalogue()["tin loaf"]
    layer = (tin.slab_m, tin.conductivity_w_mk, 1000.0, tin.capacity_j_k / tin.volume_m3 / 1000)
    _, depths, temps = ok.conduction.heat_slab(
        [layer], ok.conduction.Fixed(100.0), ok.conduction.Fixed(100.0), 27.4 * MINUTE, 30.0)
    assert np.interp(tin.slab_m / 2, depths, temps[-1]) > 96


@pytest.mark.parametrize("count", [1, 2, 4])
def test_small_loaves(count):
    """Skjoldebrand & Andersson 1989: small loaves at 230 degC, 17 minutes (within 3)."""
    bake = baked("roll", count, 239)
    assert bake["feels_in_c"] == pytest.approx(230, abs=3)
    assert bake["verdict"] == "good"
    assert in_oven(bake) == pytest.approx(17, abs=3)


@pytest.mark.parametrize("load, count, start_c, low, high", [
    ("flatbread", 1, 340, 2, 5), ("roll", 12, 240, 15, 22), ("hearth loaf", 6, 245, 28, 40),
    ("hearth loaf 400 g", 8, 245, 22, 32), ("tin loaf", 3, 215, 35, 45),
    ("enriched bun", 12, 195, 14, 20), ("sponge cake", 2, 175, 28, 40),
    ("fruit cake", 1, 150, 150, 200), ("custard tart", 2, 155, 30, 45),
    ("tray of roots", 1, 210, 40, 55)])
def test_usual_times(load, count, start_c, low, high):
    """Minutes that a baker counts on in an oven that suits it, from a cookery book's recipe (common
    practice, no source)."""
    bake, y = baked(load, count, start_c), ok.load_catalogue()[load]
    assert y.feels_low_c - 5 < bake["feels_in_c"] < y.feels_high_c + 5
    assert bake["verdict"] == "good" and low <= in_oven(bake) <= high


def test_sponge():
    """Watanabe et al. 1992: sponge is best near 160 degC, pound cake near 180. Here it comes out
    good between 150 and 185 in less than an hour, pale below and dark in a bread oven."""
    for start_c in (160, 170, 180, 190):
        bake = baked("sponge cake", 2, start_c)
        assert 150 < bake["feels_in_c"] < 186
        assert bake["verdict"] == "good" and 25 < in_oven(bake) <= 60
    assert baked("sponge cake", 2, 130)["verdict"] == "pale"
    assert baked("sponge cake", 2, 270, minutes=30)["verdict"] in ("dark", "burnt")


@pytest.mark.parametrize("count", [1, 6])
def test_too_hot_a_hearth_burns_the_bottom(count):
    """Trade, no source: at 340 the loaf is black outside; the reason names the hearth."""
    bake = baked("hearth loaf", count, 350)
    assert bake["bottom"] == "burnt" and bake["verdict"] == "burnt"
    assert f"hearth was {bake['hearth_in_c']:.0f}" in bake["why"]


def test_hotter_is_not_better():
    """One loaf for 12 minutes at 360: burnt outside while the core is far from done."""
    bake = baked("hearth loaf", 1, 370, minutes=12)
    assert bake["core_out_c"] < 90 and "burnt" in (bake["top"], bake["bottom"])


def test_too_cool_an_oven_leaves_it_pale_or_cold():
    assert baked("hearth loaf", 6, 130, minutes=30)["verdict"] in ("cold", "underdone")
    assert baked("hearth loaf", 6, 175, minutes=45)["verdict"] in ("pale", "underdone")


def test_a_covered_pot_simmers_and_an_empty_tray_dries():
    """Water cannot pass 100 degC while there is any (Clausius-Clapeyron at 1 atm)."""
    pot = baked("bean pot", 1, 140, minutes=300)
    assert 85 < pot["core_out_c"] < 100.5
    tray = baked("steam tray", 1, 280, minutes=40)
    assert tray["core_out_c"] < 101 and 20 < tray["loss_pct"] <= 101
