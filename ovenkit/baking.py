"""What heat does to a load: a front that boils dry, a crust, its colour, its water.

A side of a load is a front at temperature T_f under a dry crust of resistance R:
    surface temperature = T_f + R Q,    heat into the crumb = Q - q_ev
The front is wet crumb. It gives off q_ev = e0 + e1 (T_f - T_ref): nothing below the boil, or
the drying of an open wet surface; at the boil e1 is so large that T_f stays at 100 degC and
all that the crumb cannot take boils off. As water leaves, the front moves in and the crust grows
(Zanoni, Peri & Pierucci 1993).
"""

from typing import NamedTuple

import numpy as np

from ovenkit.units import ZERO_C

BOIL_K = ZERO_C + 100.0
LATENT = 2.2565e6      # J/kg, water at 100 degC (IAPWS)
STEAM_KG_M3 = 0.598    # steam at 100 degC (IAPWS)
STEAM_CP = 2000.0      # J/kgK, steam at 100 to 250 degC (IAPWS, rounded)
BOIL_W_M2K = 2e5       # how hard the front is held at the boil
CRUST_K = 0.09         # W/mK, dry porous crust (from memory: 0.05 to 0.12)
CRUST_WATER = 150.0    # kg of water per m3 of crumb that the front leaves behind (from memory)
BROWNING_PER_S, BROWNING_J_MOL = 42000.0, 64151.0  # Zanoni, Peri & Bruno 1995
GAS_R = 8.314462618    # J/molK


def browning_rate(temp_k):
    """Return the rate of crust browning [1/s] at `temp_k` [K]: 42000 exp(-64151 / R T).

    Colour goes as 1 - exp(-X), X the time integral of this rate (Zanoni, Peri & Bruno 1995).
    """
    return BROWNING_PER_S * np.exp(-BROWNING_J_MOL / (GAS_R * temp_k))


def vapour_kg_m3(temp_k):
    """Return (density of saturated vapour [kg/m3], its slope [kg/m3K]) at `temp_k` [K].

    Magnus form, good to 1 % from 0 to 100 degC (Alduchov & Eskridge 1996, from memory),
    ideal gas; held at 100 degC above it.
    """
    t = np.clip(temp_k, 233.0, BOIL_K)
    c = t - ZERO_C
    pressure = 610.94 * np.exp(17.625 * c / (c + 243.04))
    density = pressure / (461.5 * t)
    return density, density * (17.625 * 243.04 / (c + 243.04) ** 2 - 1.0 / t)


class Fronts(NamedTuple):
    """Front temperatures = own a + other a' + kick + heat Q + cross Q', the dash for the other
    side, a the temperatures if no heat came; see `fronts`."""
    own: np.ndarray
    other: np.ndarray
    kick: np.ndarray
    heat: np.ndarray
    cross: np.ndarray


def fronts(beta, cross, e0, e1, ref):
    """Return the Fronts of loads.

    beta : [..., 2, J] K/W and cross : [..., 1, J] K/W, answers of the crumb to heat into the same
    and the other side; e0, e1, ref : W, W/K, K of q_ev = e0 + e1 (T_f - ref). The axis of
    length 2 is top, bottom.   (I + beta diag(e1)) T_f = a - beta (e0 - e1 ref) + beta Q
    """
    s = e1 * ref - e0
    one, far, square = 1.0 + beta * e1, e1[..., ::-1, :], cross * cross
    det = one[..., :1, :] * one[..., 1:, :] - square * (e1[..., :1, :] * e1[..., 1:, :])
    own, other = one[..., ::-1, :] / det, -cross * far / det
    kick = beta * s + cross * s[..., ::-1, :]
    heat = (beta + (beta[..., :1, :] * beta[..., 1:, :] - square) * far) / det
    return Fronts(own, other, own * kick + other * kick[..., ::-1, :], heat, cross / det)
