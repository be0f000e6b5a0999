"""What thermometers and a bare hand say, and why they disagree."""

import numpy as np

from ovenkit.exchange import numbers
from ovenkit.files import refuse
from ovenkit.units import SIGMA, ZERO_C

SKIN_C = 33.0
HAND_AIR_H = 10.0  # hot air on a hand [W/m2K], from memory
LONGEST_COUNT_S = 60.0
C1L, C2 = 1.191042972e-16, 1.438776877e-2  # of Planck's law [W m2/sr], [m K] (CODATA 2018)
BAND_M = 8e-6, 14e-6    # what a spot reader sees [m] (common practice, no source)


def band_light(temp_k):
    """Return what a black body shines in the band of a spot reader [W/m2 sr].

    temp_k : temperature [K], over 0, any shape
    L = integral over BAND_M of C1L / (l^5 (exp(C2 / (l T)) - 1)) dl (Planck's law), here by twelve
    points of Gauss and Legendre: the integrand is smooth.
    """
    at, weight = np.polynomial.legendre.leggauss(12)
    low, high = BAND_M
    metres = (high + low) / 2 + at * (high - low) / 2
    colour = C1L / (metres**5 * np.expm1(C2 / (metres * np.asarray(temp_k, float)[..., None])))
    return colour @ weight * (high - low) / 2


# read off both ways, in steps of 0.14 %: within 1 mK of the law, and many times as fast
TABLE_K = np.geomspace(100.0, 30000.0, 4000)
TABLE_LIGHT = band_light(TABLE_K)


def probe_c(gas_c, wall_c, h, emissivity):
    """Return what a bare probe in the air shows [degC]: walls shine on it.

    gas_c, wall_c : air and walls round it [degC]; h : air on the probe [W/m2K];
    emissivity : of the probe, over 0 up to 1; shapes broadcast
    h (T_gas - T) = eps sigma (T^4 - T_wall^4), T in K (Incropera & DeWitt, Ex. 5.2).
    Raises InputError.
    """
    gas, wall, h, eps = numbers((gas_c, "temperature of the air", -60.0, 2000.0, "degC"),
                                (wall_c, "temperature of the walls", -60.0, 2000.0, "degC"),
                                (h, "heat transfer coefficient", 0.0, 1e6, "W/m2K"),
                                (emissivity, "emissivity", 1e-6, 1.0, ""))
    gas, wall = gas + ZERO_C, wall + ZERO_C
    es = eps * SIGMA
    t = np.maximum(gas, wall)  # from above, Newton's steps on this convex curve never overshoot
    for _ in range(60):
        step = (h * (t - gas) + es * (t**4 - wall**4)) / (h + 4.0 * es * t**3)
        t = t - step
        if np.all(np.abs(step) < 1e-10):
            break
    return t - ZERO_C


def gas_c(probe_c, wall_c, h, emissivity):
    """Return the air's temperature [degC] behind a bare probe's reading; undoes `probe_c`.

    probe_c, wall_c : reading and walls [degC]; h [W/m2K] over 0; emissivity of the probe
    T_gas = T + eps sigma (T^4 - T_wall^4) / h, T in K. Raises InputError, also when no air
    could be cold enough to give that reading.
    """
    probe, wall, h, eps = numbers((probe_c, "reading of the probe", -60.0, 2000.0, "degC"),
                                  (wall_c, "temperature of the walls", -60.0, 2000.0, "degC"),
                                  (h, "heat transfer coefficient", 1e-3, 1e6, "W/m2K"),
                                  (emissivity, "emissivity", 1e-6, 1.0, ""))
    shine = eps * SIGMA * ((probe + ZERO_C) ** 4 - (wall + ZERO_C) ** 4)
    gas = probe + shine / h
    if np.any(gas < -ZERO_C):
        refuse(f"no air gives this reading: with h {np.min(h):g} W/m2K, walls up to "
               f"{np.max(wall):g} degC lift a probe further; check the readings or raise h")
    return gas


def hand_count_s(wall_c, air_c):
    """Return the seconds [s] until a bare hand hurts: a rough guide, +-50 K, never a dare.

    wall_c, air_c : temperatures in the oven [degC], shapes broadcast
    t = 125 q^-1.9, q [kW/m2] = sigma T_wall^4 + 10 (T_air - 33), at most 60 s
    (Wieczorek & Dembsey 2001, from memory). Raises InputError.
    """
    wall, gas = numbers((wall_c, "temperature of the walls", -60.0, 2000.0, "degC"),
                        (air_c, "temperature of the air", -60.0, 2000.0, "degC"))
    q = (SIGMA * (wall + ZERO_C) ** 4 + HAND_AIR_H * (gas - SKIN_C)) / 1000.0
    return np.minimum(125.0 * np.maximum(q, 0.5) ** -1.9, LONGEST_COUNT_S)


def spot_c(surface_c, surroundings_c, emissivity=0.93, setting=0.95, reader_c=20.0):
    """Return what an infrared spot reader shows [degC] for a surface in an oven.

    surface_c, surroundings_c : the surface, and the walls it mirrors [degC]
    emissivity : of the surface; setting : emissivity set on the reader; both up to 1
    reader_c : temperature of the reader [degC], which it takes for the surroundings
    setting L(T) + (1 - setting) L(reader) = eps L(surface) + (1 - eps) L(surroundings), where L
    is `band_light`. Raises InputError, also when the light is less than the reader expects of
    its own warmth.
    """
    surface, around, eps, setting, reader = numbers(
        (surface_c, "temperature of the surface", -60.0, 2000.0, "degC"),
        (surroundings_c, "temperature of the surroundings", -60.0, 2000.0, "degC"),
        (emissivity, "emissivity of the surface", 0.01, 1.0, ""),
        (setting, "emissivity set on the reader", 0.1, 1.0, ""),
        (reader_c, "temperature of the reader", -40.0, 80.0, "degC"))
    light = eps * _light(surface) + (1.0 - eps) * _light(around)
    light = (light - (1.0 - setting) * _light(reader)) / setting
    if np.any(light < TABLE_LIGHT[0]):
        refuse(f"a reader set to {np.min(setting):g} has no reading for so cold a surface: "
               "raise the setting")
    return np.interp(light, TABLE_LIGHT, TABLE_K) - ZERO_C


def _light(temp_c):
    return np.interp(temp_c + ZERO_C, TABLE_K, TABLE_LIGHT)
