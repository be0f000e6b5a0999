"""The one slab code: against printed examples, in order, and the same for walls and textbooks."""

from itertools import pairwise

import numpy as np
import pytest

import ovenkit as ok
from ovenkit import conduction, exact
from ovenkit.conduction import Convection, Fixed, Flux, Insulated, heat_slab
from ovenkit.files import InputError
from ovenkit.program import FRACTIONS, MASONRY_RATES, OUTSIDE_W_M2K

STEEL_45 = (45.0, 7800.0, 45.0 / 1.4e-5 / 7800.0)  # k, rho, cp of diffusivity 1.4e-5 m2/s
COPPER = (401.0, 8933.0, 401.0 / 117e-6 / 8933.0)
T3 = (0.1, 35.0, 7200.0, 440.5)
BRICK = (0.09, 1.02, 2150.0, 930.0)
BLANKET = (0.075, 0.049, 128.0, 1000.0)


def at_depth(result, depth_m):
    """Temperature at a depth at the end [degC]."""
    _, depths, temps = result
    return np.interp(depth_m, depths, temps[-1])


def nafems(cells, seconds=32.0, step_s=0.02):
    return heat_slab([T3], Fixed(0.0), Fixed(lambda t: 100 * np.sin(np.pi * t / 40)),
                     seconds / 3600, 0.0, cells=cells, step_s=step_s)


@pytest.mark.parametrize("cells", [50, 60, 120])
def test_nafems_t3(cells):
    # NAFEMS Standard Benchmarks 1990, T3: 36.60 degC at 0.08 m after 32 s
    assert at_depth(nafems(cells), 0.08) == pytest.approx(36.60, abs=0.2)


def test_surface_stepped():
    # Holman, Heat Transfer, Ex. 4.2a: 118.5 degC at 25 mm after 30 s
    slab = heat_slab([(0.3, *STEEL_45)], Fixed(250.0), Insulated(), 30 / 3600, 35.0, cells=300,
                     step_s=0.1)
    assert at_depth(slab, 0.025) == pytest.approx(118.5, abs=0.5)


def test_constant_flux():
    # Holman, Ex. 4.2b: 79.3 degC at 25 mm, 199.4 degC at the surface
    slab = heat_slab([(0.3, *STEEL_45)], Flux(3.2e5), Insulated(), 30 / 3600, 35.0, cells=300,
                     step_s=0.1)
    assert at_depth(slab, 0.025) == pytest.approx(79.3, abs=0.5)
    assert at_depth(slab, 0.0) == pytest.approx(199.4, abs=0.5)


def test_copper_under_flux():
    # Incropera & DeWitt, Ex. 5.10: 120.0 degC at the surface, 45.4 degC at 150 mm after 120 s
    slab = heat_slab([(1.2, *COPPER)], Flux(3e5), Insulated(), 120 / 3600, 20.0, cells=300,
                     step_s=0.5)
    assert at_depth(slab, 0.0) == pytest.approx(120.0, abs=0.5)
    assert at_depth(slab, 0.15) == pytest.approx(45.4, abs=0.5)


def test_pipe_wall_warmed_by_oil():
    # Incropera & DeWitt, Ex. 5.4: 42.9 degC, -7360 W/m2 (series 43.02, -7318) after 480 s
    wall = (0.04, 63.9, 7832.0, 63.9 / 18.8e-6 / 7832.0)
    slab = heat_slab([wall], Insulated(), Convection(500.0, 60.0), 480 / 3600, -20.0, step_s=1)
    assert at_depth(slab, 0.0) == pytest.approx(42.9, rel=0.01)
    flux = 500.0 * (at_depth(slab, 0.04) - 60.0)
    assert flux == pytest.approx(-7360, rel=0.01)
    assert flux == pytest.approx(-7318, rel=0.002)


def test_layered_hemisphere_at_rest():
    # Fourier's law in a sphere, two layers: 473.5 W, outer face 32.9 degC
    layers = [(0.115, 1.05, 2150.0, 930.0), (0.15, 0.10, 500.0, 900.0)]
    slab = heat_slab(layers, Fixed(300.0), Convection(10.0, 20.0), 400, 20.0,
                     inner_radius_m=0.50, step_s=3600, cells=80)
    face = at_depth(slab, 0.265)
    assert face == pytest.approx(32.9, abs=0.33)
    assert 2 * np.pi * 0.765**2 * 10.0 * (face - 20.0) == pytest.approx(473.5, rel=0.01)


def test_a_plate_that_only_radiates():
    # Separation of variables: 280.65, 235.09, 160.89 degC after 1, 4, 12 h. To 0 K, eps sigma
    # T^4 is a coefficient eps sigma T^3, which the closed form gives at every moment.
    eps, kelvin = 0.9, 573.15

    def h(t):
        return eps * 5.670374419e-8 * exact.radiation_cooling(t, kelvin, eps, 1.0, 956e3) ** 3
    plate = (0.1, 5000.0, 10000.0, 956.0)
    hours, _, temps = heat_slab([plate], Convection(h, -273.15), Insulated(), 12, 300.0, cells=4,
                                step_s=60)
    mean = temps[:, 1:-1].mean(axis=1)
    assert np.interp([1, 4, 12], hours, mean) == pytest.approx([280.65, 235.09, 160.89], abs=0.1)


def test_second_order_in_space():
    """Halving the cells quarters the error against the series of NAFEMS T3."""
    def error(cells):
        _, depths, temps = nafems(cells, step_s=0.1)
        return np.abs(temps[-1] - exact.nafems_t3(depths, 32.0)).max()
    errors = [error(n) for n in (40, 80, 160)]
    for coarse, fine in pairwise(errors):
        assert coarse / fine == pytest.approx(4.0, rel=0.12)
    assert errors[-1] < 0.03


def test_second_order_in_time():
    """Halving the step quarters the error under a swinging flux (5 h, ten swings)."""
    def face(step_s):
        swing = Flux(lambda t: 3000.0 * np.sin(2 * np.pi * t / 1800.0))
        return heat_slab([BRICK], swing, Convection(10.0, 0.0), 5, 0.0, cells=20,
                         step_s=step_s)[2][-1, 0]
    best = face(1.0)
    errors = [abs(face(step) - best) for step in (90.0, 45.0, 22.5)]
    for coarse, fine in pairwise(errors):
        assert coarse / fine == pytest.approx(4.0, rel=0.15)


def test_heat_stays_in_an_insulated_shell():
    """What flows in is stored: C dT sums to the flux, cell by cell, in a shell as in a slab."""
    for radius in (None, 0.4):
        layers = [BRICK, BLANKET]
        _, _, temps = heat_slab(layers, Flux(2000.0), Insulated(), 2, 20.0, inner_radius_m=radius)
        thick = np.array([0.09, 0.075])
        each = np.round(60 * thick / thick.sum()).astype(int)
        g = conduction.grid(layers, [np.full(n, 1 / n) for n in each], radius or np.inf)
        assert g.capacity @ (temps[-1, 1:-1] - 20.0) == pytest.approx(2000.0 * 7200, rel=1e-5)


def test_capacity_of_a_shell_is_its_volume():
    g = conduction.grid([(0.1, 1.0, 2000.0, 900.0)], [np.full(7, 1 / 7)], 0.4)
    volume = 4 / 3 * np.pi * (0.5**3 - 0.4**3) / (4 * np.pi * 0.4**2)
    assert g.capacity.sum() == pytest.approx(2000.0 * 900.0 * volume, rel=1e-12)
    assert g.outer_area == pytest.approx((0.5 / 0.4) ** 2)


def test_holds_is_exact_for_a_straight_flux():
    """z' = -d z + q0 + (q1 - q0) t/dt has a closed solution (any book on linear equations)."""
    d, dt, z0, q0, q1 = 3e-3, 400.0, 0.7, 2.0, 5.0
    kept, start, end = conduction.holds(np.array([d]), dt)
    slope = (q1 - q0) / dt
    settled = (q0 - slope / d) / d
    true = settled + slope * dt / d + (z0 - settled) * np.exp(-d * dt)
    assert kept * z0 + start * q0 + end * q1 == pytest.approx([true], rel=1e-12)
    none = conduction.holds(np.array([1e-9]), 0.0)
    assert np.array(none).ravel() == pytest.approx([1.0, 0.0, 0.0])


def _drive(slab, fluxes, dt, start=0.0):
    """Inner face and modes under fluxes [W/m2] at the ends of equal steps."""
    kept, first, last = conduction.holds(slab.decay, dt)
    port, z = slab.port[0], slab.basis.T @ (slab.grid.capacity * start)
    face = []
    for before, after in pairwise(fluxes):
        z = kept * z + port * (first * before + last * after)
        face.append(port @ z + slab.face[0] * after)
    return np.array(face), z


FIRING = np.concatenate([  # W/m2 every 30 s
    np.linspace(0, 9000, 30), np.full(240, 6000.0), np.linspace(6000, -800, 20),
    np.full(500, -250.0), np.full(20, -4000.0), np.full(400, -250.0)])


@pytest.mark.parametrize("radius", [np.inf, 0.42])
def test_a_few_modes_answer_as_all(radius):
    """A firing, a rest, a cold load and a rest again: within 1 K of 400 K, 0.2 K on the mean."""
    layers = [BRICK, (0.025, *BLANKET[1:]), (0.025, *BLANKET[1:]), (0.025, *BLANKET[1:])]
    g = conduction.grid(layers, FRACTIONS, radius)
    few = conduction.reduced(g, MASONRY_RATES, OUTSIDE_W_M2K)
    assert few.decay.shape[-1] == 7 < len(g.capacity)
    true, _ = _drive(conduction.modes(g, OUTSIDE_W_M2K), FIRING, 30.0)
    got, _ = _drive(few, FIRING, 30.0)
    assert np.ptp(true) > 300.0
    assert np.abs(got - true).max() < 1.0
    assert np.abs(got - true).mean() < 0.2


def test_a_few_modes_lose_no_heat():
    """The constant is in the span: what goes in is stored, whatever is left out."""
    g = conduction.grid([BRICK, BLANKET], [conduction.graded(30, 1.1), np.full(8, 1 / 8)], 0.42)
    few = conduction.reduced(g, (1e-4, 1e-3))
    assert few.basis @ (few.basis.T @ g.capacity) == pytest.approx(1.0, abs=1e-10)
    _, z = _drive(few, FIRING, 30.0)
    put_in = np.trapezoid(FIRING, dx=30.0)
    assert g.capacity @ (few.basis @ z) == pytest.approx(put_in, rel=5e-5)


def test_modes_of_many_slabs_at_once_are_those_of_each():
    rows = np.array([[BRICK, BLANKET], [(0.05, 0.7, 1900, 880), (0.1, 0.07, 300, 900)]])
    fractions, radius = [np.full(12, 1 / 12), np.full(6, 1 / 6)], np.array([np.inf, 0.3])
    both = conduction.reduced(conduction.grid(rows, fractions, radius), MASONRY_RATES, 10.0)
    for i in (0, 1):
        one = conduction.reduced(conduction.grid(rows[i], fractions, radius[i]), MASONRY_RATES,
                                 10.0)
        assert both.decay[i] == pytest.approx(one.decay, rel=1e-6)
        assert np.abs(both.basis[i]) == pytest.approx(np.abs(one.basis), abs=1e-8)


def test_days_and_textbook_slabs_share_their_step(monkeypatch):
    """Take the exact step away, and neither a textbook slab nor a day can be computed."""
    def gone(*_):
        raise ArithmeticError("no step")
    monkeypatch.setattr(conduction, "holds", gone)
    with pytest.raises(ArithmeticError, match="no step"):
        nafems(20)
    with pytest.raises(ArithmeticError, match="no step"):
        ok.run_day(ok.domed_oven(), [ok.Wait(minutes=5)], start=200)


def test_days_and_textbook_slabs_share_their_modes(monkeypatch):
    def gone(*_):
        raise ArithmeticError("no modes")
    monkeypatch.setattr(conduction, "_slab", gone)
    with pytest.raises(ArithmeticError, match="no modes"):
        nafems(20)
    with pytest.raises(ArithmeticError, match="no modes"):  # an oven met nowhere else
        ok.run_day(ok.domed_oven(inside_cm=81.7), [ok.Wait(minutes=5)], start=200)


def test_depths_include_both_faces():
    hours, depths, temps = heat_slab([BRICK], Fixed(100.0), Fixed(20.0), 30, 20.0,
                                     step_s=300)
    assert depths[0] == 0.0 and depths[-1] == pytest.approx(0.09)
    assert temps.shape == (len(hours), len(depths)) and hours[-1] == pytest.approx(30)
    assert temps[-1] == pytest.approx(100 - 80 * depths / 0.09, abs=1e-3)   # straight at rest


@pytest.mark.parametrize("change, message", [
    ({"layers": []}, "at least one layer"),
    ({"layers": [(0.1, 1.0, 2000)]}, "layer 1 has 3 numbers"),
    ({"layers": [BRICK, (0.1, -1.0, 2000, 900)]}, "layer 2: conductivity"),
    ({"layers": [(float("nan"), 1.0, 2000, 900)]}, "layer 1: thickness"),
    ({"hours": 0}, "hours is 0"),
    ({"hours": "2"}, "hours is '2'"),
    ({"start_c": -300}, "start_c is -300"),
    ({"inner_radius_m": 0}, "inner_radius_m is 0"),
    ({"cells": 0}, "cells is 0"),
    ({"step_s": -1}, "step_s is -1"),
    ({"inner": 250}, "inner is 250: give Flux, Convection, Fixed or Insulated"),
    ({"outer": Fixed("hot")}, "outer is 'hot'"),
])
def test_bad_slabs_are_refused(change, message):
    case = {"layers": [BRICK], "inner": Fixed(100.0), "outer": Insulated(), "hours": 1,
            "start_c": 20.0} | change
    with pytest.raises(InputError, match=message):
        heat_slab(**case)
