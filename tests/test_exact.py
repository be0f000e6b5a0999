"""Closed solutions against the printed examples they come from."""

import numpy as np
import pytest

from ovenkit import exact
from ovenkit.files import InputError


def test_surface_stepped():
    # Holman, Heat Transfer, Ex. 4.2a: 118.5 degC
    assert exact.semi_infinite_step(0.025, 30, 35, 250, 1.4e-5) == pytest.approx(118.5, abs=0.5)
    assert exact.semi_infinite_step(0.0, 30, 35, 250, 1.4e-5) == pytest.approx(250)
    assert exact.semi_infinite_step([0.01, 1.0], 0, 35, 250, 1.4e-5) == pytest.approx([35, 35])


def test_constant_flux():
    # Holman, Ex. 4.2b: 79.3 degC at 25 mm, 199.4 degC at the surface
    temps = exact.semi_infinite_flux([0.025, 0.0], 30, 35, 3.2e5, 45, 1.4e-5)
    assert temps == pytest.approx([79.3, 199.4], abs=0.5)
    # Incropera & DeWitt, Ex. 5.10, copper (k 401, alpha 117e-6): 120.0 and 45.4 degC
    temps = exact.semi_infinite_flux([0.0, 0.15], 120, 20, 3e5, 401, 117e-6)
    assert temps == pytest.approx([120.0, 45.4], abs=0.5)


def test_flux_solution_obeys_fourier_and_keeps_its_heat():
    k, alpha, flux, t = 0.9, 4e-7, 5000.0, 1800.0
    dx = 1e-6
    two = exact.semi_infinite_flux([0.0, dx], t, 20, flux, k, alpha)
    assert k * (two[0] - two[1]) / dx == pytest.approx(flux, rel=1e-4)
    x = np.linspace(0, 0.4, 4001)
    rise = exact.semi_infinite_flux(x, t, 20, flux, k, alpha) - 20
    assert k / alpha * np.trapezoid(rise, x) == pytest.approx(flux * t, rel=1e-5)


def test_slab_warmed_from_one_side():
    # Incropera & DeWitt, Ex. 5.4 (one term): 42.9 degC, -7360 W/m2; the series 43.02, -7318
    case = dict(thickness_m=0.04, k=63.9, diffusivity=18.8e-6, h=500, start_c=-20, ambient_c=60)
    back, front = exact.slab_series([0.0, 0.04], 480, **case)
    assert back == pytest.approx(42.9, rel=0.01) and back == pytest.approx(43.02, abs=0.02)
    assert 500 * (front - 60) == pytest.approx(-7360, rel=0.01)
    assert 500 * (front - 60) == pytest.approx(-7318, rel=1e-3)


def test_slab_begins_even_and_ends_at_the_air():
    case = dict(thickness_m=0.1, k=1.0, diffusivity=5e-7, h=20, start_c=300, ambient_c=20)
    assert exact.slab_series([0.0, 0.05], 0, terms=4000, **case) == pytest.approx(300, abs=0.1)
    assert exact.slab_series(0.1, 1e7, **case) == pytest.approx(20, abs=1e-9)
    # early, before the back feels anything, it is thick material: nothing has happened there
    assert exact.slab_series(0.0, 300, **case) == pytest.approx(300, abs=1e-3)


def test_nafems_t3():
    # NAFEMS Standard Benchmarks 1990, T3: 36.60 degC at 0.08 m after 32 s (series 36.603)
    assert exact.nafems_t3(0.08, 32) == pytest.approx(36.603, abs=1e-3)
    assert exact.nafems_t3([0.0, 0.1], [7.0, 20.0]) == pytest.approx([0, 100], abs=1e-9)
    assert exact.nafems_t3(0.05, 0.0) == pytest.approx(0, abs=1e-3)


def test_layered_hemisphere():
    # Fourier's law in a sphere, two layers: 473.5 W, outer face 32.9 degC
    watts, faces = exact.shell_steady([0.50, 0.615, 0.765], [1.05, 0.10], 300, 20, 10)
    assert watts == pytest.approx(473.5, rel=1e-3)
    assert faces[0] == 300 and faces[-1] == pytest.approx(32.9, abs=0.05)
    assert watts == pytest.approx(2 * np.pi * 0.765**2 * 10 * (faces[-1] - 20), rel=1e-12)


def test_cooling_by_radiation_alone():
    # T0 573.15 K, 1 m2, emissivity 0.9, 956 kJ/K after 1, 4, 12 h: separation of variables
    temps = exact.radiation_cooling(np.array([1, 4, 12]) * 3600, 573.15, 0.9, 1.0, 956e3)
    assert temps - 273.15 == pytest.approx([280.65, 235.09, 160.89], abs=0.1)  # degC
    rate = -0.9 * 5.670374419e-8 * 573.15**4 / 956e3
    early = exact.radiation_cooling(1.0, 573.15, 0.9, 1.0, 956e3)
    assert early - 573.15 == pytest.approx(rate, rel=1e-3)


def test_settling_time_is_the_slowest_mode():
    # 100 mm of brick: between shut faces cos(pi x/L) dies with L^2/(pi^2 alpha)
    tau = exact.slab_settle_s(0.1, 4.8e-7)
    assert tau == pytest.approx(0.1**2 / (np.pi**2 * 4.8e-7))
    x, dt, alpha = (np.arange(200) + 0.5) / 200 * 0.1, 0.05, 4.8e-7
    t = np.cos(np.pi * x / 0.1)
    first = t[0]
    for _ in range(2000):
        flow = np.diff(t) / (0.1 / 200)
        t = t + dt * alpha * (np.append(flow, 0) - np.append(0, flow)) / (0.1 / 200)
    assert -2000 * dt / np.log(t[0] / first) == pytest.approx(tau, rel=1e-3)


@pytest.mark.parametrize("call, word", [
    (lambda: exact.semi_infinite_step(-0.01, 30, 35, 250, 1e-5), "depth"),
    (lambda: exact.semi_infinite_step(0.01, 30, 35, 250, 0), "diffusivity"),
    (lambda: exact.slab_series(0.2, 1, 0.1, 1, 1e-6, 10, 0, 1), "depth"),
    (lambda: exact.nafems_t3(0.2, 1), "depth"),
    (lambda: exact.shell_steady([0.5, 0.6], [1, 2, 3], 300, 20, 10), "conductivities"),
    (lambda: exact.shell_steady([0.6, 0.5], [1], 300, 20, 10), "grow"),
    (lambda: exact.radiation_cooling(float("inf"), 500, 0.9, 1, 1e5), "time")])
def test_bad_input_is_refused(call, word):
    with pytest.raises(InputError, match=word):
        call()
