"""Closed solutions of heat flow, to set beside the solver in lessons and tests.

Equations from Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, ch. 3 and 5, unless
another source is named. Positions and times broadcast against each other.
"""

import math

import numpy as np

from ovenkit.exchange import numbers
from ovenkit.files import number, refuse
from ovenkit.units import SIGMA, ZERO_C

_erfc = np.vectorize(math.erfc, otypes=[float])


def _place_and_time(depth_m, seconds):
    return numbers((depth_m, "depth", 0.0, 1e3, "m"), (seconds, "time", 0.0, 1e12, "s"))


def _positive(value, what, unit):
    return number(value, what, 1e-12, 1e12, unit)


def _temp(value, what):
    return number(value, what, -ZERO_C, 1e5, "degC")


def semi_infinite_step(depth_m, seconds, start_c, surface_c, diffusivity):
    """Return temperatures [degC] in thick material whose surface jumps to a new temperature.

    depth_m, seconds : [m], [s], shapes broadcast; start_c, surface_c : [degC];
    diffusivity : [m2/s]
    T = T_s + (T_0 - T_s) erf(x / (2 sqrt(alpha t))). Raises InputError.
    """
    x, t = _place_and_time(depth_m, seconds)
    start, surface = _temp(start_c, "start"), _temp(surface_c, "surface temperature")
    reach = 2.0 * np.sqrt(_positive(diffusivity, "diffusivity", "m2/s") * np.maximum(t, 1e-12))
    return start + (surface - start) * _erfc(x / reach)


def semi_infinite_flux(depth_m, seconds, start_c, flux_w_m2, k, diffusivity):
    """Return temperatures [degC] in thick material heated by a constant flux.

    depth_m, seconds : [m], [s], shapes broadcast; start_c : [degC]; flux_w_m2 : into the
    surface [W/m2]; k : [W/mK]; diffusivity : [m2/s]
    T = T_0 + (q/k) (2 sqrt(alpha t/pi) exp(-x^2/(4 alpha t)) - x erfc(x/(2 sqrt(alpha t)))).
    Raises InputError.
    """
    x, t = _place_and_time(depth_m, seconds)
    start, k = _temp(start_c, "start"), _positive(k, "conductivity", "W/mK")
    flux = number(flux_w_m2, "flux", -1e9, 1e9, "W/m2")
    reach = 2.0 * np.sqrt(_positive(diffusivity, "diffusivity", "m2/s") * np.maximum(t, 1e-12))
    u = x / reach
    return start + flux / k * (reach / math.sqrt(math.pi) * np.exp(-u * u) - x * _erfc(u))


def slab_series(depth_m, seconds, thickness_m, k, diffusivity, h, start_c, ambient_c, terms=60):
    """Return temperatures [degC] in a slab, insulated behind, warmed by convection in front.

    depth_m, seconds : from the insulated face [m], [s], shapes broadcast
    thickness_m [m], k [W/mK], diffusivity [m2/s], h [W/m2K], start_c, ambient_c [degC]
    theta = sum C_n cos(zeta_n x/L) exp(-zeta_n^2 Fo), zeta tan zeta = Bi,
    C_n = 4 sin zeta / (2 zeta + sin 2 zeta). Raises InputError.
    """
    x, t = _place_and_time(depth_m, seconds)
    length = _positive(thickness_m, "thickness", "m")
    number(float(x.max(initial=0.0)), "depth", 0.0, length, "m")
    biot = _positive(h, "heat transfer coefficient", "W/m2K") * length
    biot /= _positive(k, "conductivity", "W/mK")
    start, ambient = _temp(start_c, "start"), _temp(ambient_c, "temperature of the air")
    low = np.arange(terms) * math.pi
    high = low + math.pi / 2.0
    for _ in range(60):
        zeta = (low + high) / 2.0
        below = zeta * np.sin(zeta) * np.cos(low) < biot * np.cos(zeta) * np.cos(low)
        low, high = np.where(below, zeta, low), np.where(below, high, zeta)
    weight = 4.0 * np.sin(zeta) / (2.0 * zeta + np.sin(2.0 * zeta))
    fourier = _positive(diffusivity, "diffusivity", "m2/s") * t[..., None] / length**2
    series = weight * np.cos(zeta * x[..., None] / length) * np.exp(-zeta**2 * fourier)
    return ambient + (start - ambient) * series.sum(axis=-1)


def nafems_t3(depth_m, seconds, terms=2000):
    """Return temperatures [degC] of the NAFEMS benchmark T3, by its series.

    depth_m, seconds : 0 to 0.1 m, [s], shapes broadcast
    L 0.1 m, k 35, cp 440.5, rho 7200; T(0) = 0, T(L) = 100 sin(pi t/40) degC, start 0 degC.
    T = g x/L - sum c_n g_0 w (l cos wt + w sin wt - l exp(-l t))/(l^2 + w^2) sin(n pi x/L),
    l = alpha (n pi/L)^2, c_n = 2 (-1)^(n+1)/(n pi), by Duhamel's theorem
    (benchmark: NAFEMS Standard Benchmarks 1990). Raises InputError.
    """
    x, t = _place_and_time(depth_m, seconds)
    number(float(x.max(initial=0.0)), "depth", 0.0, 0.1, "m")
    x, t, length, w = x[..., None], t[..., None], 0.1, math.pi / 40.0
    n = np.arange(1, terms + 1)
    rate = 35.0 / (440.5 * 7200.0) * (n * math.pi / length) ** 2
    c = 2.0 * (-1.0) ** (n + 1) / (n * math.pi)
    wave = rate * np.cos(w * t) + w * np.sin(w * t) - rate * np.exp(-rate * t)
    series = c * w * wave / (rate**2 + w**2) * np.sin(n * math.pi * x / length)
    return 100.0 * (np.sin(w * t) * x / length - series.sum(axis=-1, keepdims=True))[..., 0]


def shell_steady(radii_m, conductivities, inner_c, ambient_c, outer_h):
    """Return (W, temperatures of the faces [degC]) of a layered hemisphere in steady state.

    radii_m : n + 1 radii from inside out [m]; conductivities : n values [W/mK]
    inner_c : inner face [degC]; ambient_c : air outside [degC]; outer_h : [W/m2K]
    Q = (T_in - T_air) / (sum (1/r_i - 1/r_i+1)/(2 pi k_i) + 1/(2 pi r_out^2 h)).
    Raises InputError.
    """
    (radii,) = numbers((np.atleast_1d(radii_m), "radius", 1e-6, 1e3, "m"))
    (ks,) = numbers((np.atleast_1d(conductivities), "conductivity", 1e-6, 1e4, "W/mK"))
    if radii.ndim != 1 or ks.shape != (radii.size - 1,):
        refuse(f"a shell of {radii.size} radii needs {radii.size - 1} conductivities, one for "
               f"each layer, not {ks.size}")
    if np.any(np.diff(radii) <= 0.0):
        refuse(f"the radii {radii.tolist()} must grow from inside out")
    inner, ambient = _temp(inner_c, "inner face"), _temp(ambient_c, "temperature of the air")
    h = _positive(outer_h, "heat transfer coefficient", "W/m2K")
    layers = -np.diff(1.0 / radii) / (2.0 * math.pi * ks)
    watts = (inner - ambient) / (layers.sum() + 1.0 / (2.0 * math.pi * radii[-1] ** 2 * h))
    return watts, inner - watts * np.concatenate([[0.0], np.cumsum(layers)])


def radiation_cooling(seconds, start_k, emissivity, area_m2, capacity_j_k):
    """Return temperatures [K] of a body of even temperature that shines into cold space.

    seconds : [s], any shape; start_k [K]; area_m2 [m2]; capacity_j_k : mass x cp [J/K]
    T = T_0 (1 + 3 eps sigma A T_0^3 t/(m c))^(-1/3). Raises InputError.
    """
    (t,) = numbers((seconds, "time", 0.0, 1e12, "s"))
    start, eps = _positive(start_k, "start", "K"), number(emissivity, "emissivity", 0.0, 1.0)
    rate = 3.0 * eps * SIGMA * _positive(area_m2, "area", "m2") * start**3
    rate /= _positive(capacity_j_k, "heat capacity", "J/K")
    return start * np.cbrt(1.0 / (1.0 + rate * t))


def slab_settle_s(thickness_m, diffusivity):
    """Return the slowest time constant [s] with which a slab between shut faces evens out.

    thickness_m : [m]; diffusivity : [m2/s]
    tau = L^2/(pi^2 alpha): what is left of the unevenness falls to 37 % each tau.
    Raises InputError.
    """
    length = _positive(thickness_m, "thickness", "m")
    return length**2 / (math.pi**2 * _positive(diffusivity, "diffusivity", "m2/s"))
