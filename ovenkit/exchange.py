"""Heat and air that pass between surfaces: warm air rising, leaking doors, radiation.

Radiation. In a closed room of grey diffuse surfaces with view factors F, J = eps sigma T^4 +
(1 - eps) F J is the light leaving each. What i absorbs of what j emits is symmetric,
    AF_ij = A_i eps_i [F (I - (1 - eps) F)^-1]_ij eps_j    [m2],
so that the net radiation leaving i is sum_j AF_ij sigma (T_i^4 - T_j^4): Hottel's script-F
times area (Hottel & Sarofim, Radiative Transfer, 1967, from memory).
"""

from typing import NamedTuple

import numpy as np

from ovenkit.files import number, refuse
from ovenkit.units import GRAVITY, SIGMA, ZERO_C
from ovenkit.views import SURFACES as SURFACES
from ovenkit.views import Cavity as Cavity
from ovenkit.views import cavity as cavity

AIR_R = 287.05  # gas constant of dry air [J/kgK]
PRESSURE = 101325.0  # [Pa]

# h = c * buoyancy * |dT|^(1/3), that is Nu = c Ra^(1/3); Incropera & DeWitt, ch. 9
HOT_FACING_UP = 0.15  # eq. 9.31, the hearth under cooler air
UPRIGHT = 0.10  # eq. 9.24, turbulent; the door (reads 10-25 % below Churchill & Chu)
HOT_FACING_DOWN = 0.06  # eq. 9.32, 0.27 Ra^(1/4) met at Ra 1e8; the dome over cooler air


def numbers(*asked):
    """Check arguments that may be arrays, each given as (value, what, low, high, unit).

    Returns one float array each. Raises InputError for the first value that is not a finite
    number from low to high, and for shapes that do not broadcast together.
    """
    arrays = []
    for value, what, low, high, unit in asked:
        try:
            array = np.asarray(value)
        except ValueError:
            refuse(f"{what} has rows of unequal length")
        if array.ndim == 0 or array.dtype.kind not in "iuf":
            array = np.asarray([number(v, what, low, high, unit)
                                for v in array.ravel().tolist()]).reshape(array.shape)
        array = array.astype(float)
        wrong = ~((array >= low) & (array <= high))
        if wrong.any():
            at = tuple(int(i) for i in np.argwhere(wrong)[0])
            number(float(array[at]), f"{what}, place {at}", low, high, unit)
        arrays.append(array)
    try:
        np.broadcast_shapes(*(a.shape for a in arrays))
    except ValueError:
        shapes = ", ".join(f"{what} {a.shape}" for (_, what, *_), a in zip(asked, arrays))
        refuse(f"these do not fit together, by their shapes: {shapes}")
    return arrays


class Air(NamedTuple):
    """Dry air at 1 atm: density [kg/m3], cp [J/kgK], viscosity [Pa s], k [W/mK], Prandtl."""

    rho: np.ndarray
    cp: np.ndarray
    mu: np.ndarray
    k: np.ndarray
    pr: np.ndarray


def air(temp_c):
    """Return Air at `temp_c` [degC], -40 to 1000, any shape; InputError outside.

    Ideal gas density and cubics in T/1000 K fitted to CoolProp's air from -5 to 907 degC,
    where rho is good to 0.1 %, cp and k to 0.3 % and mu to 0.4 %.
    """
    (temp_c,) = numbers((temp_c, "temperature of the air", -40.0, 1000.0, "degC"))
    return _air(temp_c + ZERO_C)


def _air(temp_k):
    x = temp_k / 1000.0
    cp = 1031.0 + x * (-254.73 + x * (650.65 - x * 284.66))
    mu = 1e-5 * (0.20325 + x * (6.3933 + x * (-3.2557 + x * 0.98311)))
    k = 1e-2 * (0.16123 + x * (9.3334 + x * (-3.9358 + x * 1.2039)))
    return Air(PRESSURE / (AIR_R * temp_k), cp, mu, k, cp * mu / k)


def buoyancy(temp_k):
    """Return k (g beta / (nu alpha))^(1/3) [W/m2K per K^(1/3)] of air at `temp_k` [K].

    Any shape; h = c buoyancy |dT|^(1/3) with the c of this module and the air's temperature
    taken midway between surface and room. beta = 1/T. Source: `air`.
    """
    gas = _air(np.asarray(temp_k, float))
    return gas.k * (GRAVITY / temp_k * gas.rho**2 * gas.cp / (gas.mu * gas.k)) ** (1.0 / 3.0)


def buoyancy_fit(temp_k):
    """Return `buoyancy` [W/m2K per K^(1/3)] as 560.4 T^-0.6754: within 1 %, -5 to 907 degC."""
    return 560.4 * temp_k**-0.6754


def natural_h(c, surface_c, air_c):
    """Return the natural convection coefficient [W/m2K] of a surface in still air.

    c : HOT_FACING_UP, UPRIGHT or HOT_FACING_DOWN
    surface_c, air_c : temperatures [degC], shapes that broadcast
    h = c buoyancy |dT|^(1/3), at the mean temperature (Incropera & DeWitt, ch. 9).
    """
    c, surface_c, air_c = numbers(
        (c, "the constant of natural convection", 0.0, 1.0, ""),
        (surface_c, "temperature of the surface", -60.0, 1500.0, "degC"),
        (air_c, "temperature of the air", -60.0, 1500.0, "degC"))
    film_k = (surface_c + air_c) / 2.0 + ZERO_C
    return c * buoyancy(film_k) * np.cbrt(np.abs(surface_c - air_c))


class Flow(NamedTuple):
    """Air through an opening: [kg/s] each way, and the neutral plane as share of height."""

    kg_s: np.ndarray
    neutral: np.ndarray


def mouth_flow(width_m, height_m, inside_c, outside_c, cd=0.6):
    """Return the two-way Flow of air through an open mouth, exact in density.

    width_m, height_m : of the opening [m]; inside_c, outside_c : temperatures [degC];
    cd : discharge coefficient (BS 5925, about 0.6); shapes broadcast
    As much air leaves as enters: z/H = 1 / (1 + (rho_heavy/rho_light)^(1/3)),
    m = (2/3) cd w sqrt(2 g (rho_heavy - rho_light) rho_heavy) z^(3/2). The heavier air
    passes below the neutral plane, the lighter above. Raises InputError.
    """
    width, height, inside, outside, cd = _opening(width_m, height_m, inside_c, outside_c, cd)
    return opening_flow(width, 0.0, height, inside + ZERO_C, outside + ZERO_C, cd)


def crack_flow(width_m, height_m, crack_m, inside_c, outside_c, cd=0.6):
    """Return the two-way Flow of air through a crack all round a shut door.

    width_m, height_m, crack_m : of the door, and the width of the crack [m]
    inside_c, outside_c : temperatures [degC]; cd : discharge coefficient; shapes broadcast
    Two upright slots, one level slot at the bottom and one at the top, m = cd A
    sqrt(2 rho dp) at every height (BS 5925); see `opening_flow`. Raises InputError.
    """
    width, height, inside, outside, cd = _opening(width_m, height_m, inside_c, outside_c, cd)
    (crack,) = numbers((crack_m, "width of the crack", 0.0, 1.0, "m"))
    return opening_flow(2.0 * crack, width * crack, height,
                        inside + ZERO_C, outside + ZERO_C, cd)


def _opening(width_m, height_m, inside_c, outside_c, cd):
    return numbers((width_m, "width of the opening", 0.0, 10.0, "m"),
                   (height_m, "height of the opening", 0.001, 10.0, "m"),
                   (inside_c, "temperature inside", -60.0, 1500.0, "degC"),
                   (outside_c, "temperature outside", -60.0, 1500.0, "degC"),
                   (cd, "discharge coefficient", 0.01, 1.0, ""))


def opening_flow(upright_m, level_m2, height_m, inside_k, outside_k, cd=0.6):
    """Return the two-way Flow through upright slots and level slots at bottom and top.

    upright_m : width of all upright slots together [m]
    level_m2 : area of the slot at the bottom, and of the one at the top [m2]
    height_m : height [m]; inside_k, outside_k : temperatures [K]; no checks, shapes broadcast
    With s = z/H and f(s) = level sqrt(s) + (2/3) upright H s^(3/2), in = out gives
    f(s) = sqrt(rho_light/rho_heavy) f(1 - s) (Newton), and
    m = cd sqrt(2 g H (rho_heavy - rho_light) rho_heavy) f(s).
    """
    cold, warm = np.minimum(inside_k, outside_k), np.maximum(inside_k, outside_k)
    ratio = cold / warm  # rho_light / rho_heavy
    root = np.sqrt(ratio)
    s = 1.0 / (1.0 + ratio ** (-1.0 / 3.0))  # upright slots alone
    body = upright_m * height_m / 1.5
    if np.any(level_m2):
        for _ in range(5):
            up, down = np.sqrt(s), np.sqrt(1.0 - s)
            gap = up * (level_m2 + body * s) - root * down * (level_m2 + body * (1.0 - s))
            slope = ((0.5 * level_m2 + 1.5 * body * s) / up
                     + root * (0.5 * level_m2 + 1.5 * body * (1.0 - s)) / down)
            s = s - gap / np.where(slope > 0.0, slope, 1.0)
    heavy = PRESSURE / (AIR_R * cold)
    drive = np.sqrt(2.0 * GRAVITY * height_m * (1.0 - ratio)) * heavy
    return Flow(cd * drive * np.sqrt(s) * (level_m2 + body * s), s)


def exchange_areas(areas, view_factors, emissivities):
    """Return AF[..., n, n] [m2], symmetric, for a closed room of grey diffuse surfaces.

    areas : [..., n] m2, 0 allowed (such rows come out 0)
    view_factors : [..., n, n]; emissivities : [..., n], over 0 up to 1
    Net radiation leaving i is sum_j AF_ij sigma (T_i^4 - T_j^4). Equation and source: see the
    module. Raises InputError naming the row, if rows of view factors do not sum to 1 within
    1e-6 or reciprocity A_i F_ij = A_j F_ji does not hold within 1e-6 of the smaller area.
    """
    areas, f, eps = _enclosure(areas, view_factors, emissivities)
    m = np.eye(f.shape[-1]) - (1.0 - eps)[..., :, None] * f
    f_m = np.linalg.solve(m.swapaxes(-1, -2), f.swapaxes(-1, -2)).swapaxes(-1, -2)
    af = (areas * eps)[..., :, None] * f_m * eps[..., None, :]
    return (af + af.swapaxes(-1, -2)) / 2.0


def net_radiation(areas, view_factors, emissivities, temps_k):
    """Return the net radiation [W] leaving each surface of a closed room, shape [..., n].

    areas, view_factors, emissivities : as for `exchange_areas`
    temps_k : [..., n] K; nan marks a reradiating surface, which gives back all it gets
    q_i = sum_j AF_ij sigma (T_i^4 - T_j^4). Raises InputError as `exchange_areas`, and if a
    reradiating surface sees no surface of known temperature.
    """
    af = exchange_areas(areas, view_factors, emissivities)
    n = af.shape[-1]
    temps = _with_last_axis(temps_k, n, "temperatures")
    free = np.isnan(temps)
    (known,) = numbers((np.where(free, 0.0, temps), "temperature of a surface", 0, 6000, "K"))
    af, free, known = (_spread(a, (af, 2), (free, 1), keep=k)
                       for a, k in ((af, 2), (free, 1), (known, 1)))
    power = SIGMA * known**4
    if free.any():
        power = _reradiated(af, free, power)
    net = np.sum(af * (power[..., :, None] - power[..., None, :]), axis=-1)
    return np.where(free, 0.0, net)


def _reradiated(af, free, power):
    """sigma T^4 of all surfaces, where those that are `free` have no net radiation."""
    eye = np.eye(af.shape[-1])
    balance = eye * np.sum(af, axis=-1)[..., None] - af
    empty = free & (np.sum(af, axis=-1) <= 0.0)  # no area: any temperature will do
    rows = np.where((free & ~empty)[..., None], balance, eye)
    try:
        solved = np.linalg.solve(rows, np.where(free, 0.0, power)[..., None])[..., 0]
    except np.linalg.LinAlgError:
        solved = np.full(power.shape, np.inf)
    if free.all(axis=-1).any() or not np.isfinite(solved).all():
        refuse("a reradiating surface (temperature nan) sees no surface of known "
               "temperature: give at least one temperature")
    return solved


def absorbed(areas, view_factors, emissivities, incident_w):
    """Return the radiation [W] that each surface keeps of light that comes from outside.

    areas, view_factors, emissivities : as for `exchange_areas`
    incident_w : [..., n] W that strikes each surface first; the rest is thrown on diffusely
    I = incident + F^T (1 - eps) I, absorbed = eps I; it sums to the incident sum.
    Raises InputError as `exchange_areas`.
    """
    areas, f, eps = _enclosure(areas, view_factors, emissivities)
    light = _with_last_axis(incident_w, f.shape[-1], "incident radiation")
    (light,) = numbers((light, "incident radiation", 0.0, 1e9, "W"))
    m = np.eye(f.shape[-1]) - f.swapaxes(-1, -2) * (1.0 - eps)[..., None, :]
    return eps * np.linalg.solve(m, light[..., None])[..., 0]


def _with_last_axis(value, n, what):
    array = np.asarray(value)
    if array.dtype.kind not in "iuf" or array.ndim < 1 or array.shape[-1] != n:
        refuse(f"{what}: give {n} numbers, one for each surface, not "
               f"{np.array2string(array, threshold=8)}")
    return array.astype(float)


def _spread(array, *others, keep):
    """Broadcast the leading axes of `array` to those of others, (array, axes kept) each."""
    try:
        lead = np.broadcast_shapes(*(a.shape[:a.ndim - k] for a, k in others))
    except ValueError:
        refuse("surfaces and temperatures do not fit together: "
               + " and ".join(str(a.shape) for a, _ in others))
    return np.broadcast_to(array, lead + array.shape[array.ndim - keep:])


def _enclosure(areas, view_factors, emissivities):
    """Checked float arrays of a closed room."""
    (f,) = numbers((view_factors, "view factor", -1e-9, 1.0 + 1e-6, ""))
    if f.ndim < 2 or f.shape[-1] != f.shape[-2]:
        refuse(f"view factors have shape {f.shape}: give a square table, a row per surface")
    n = f.shape[-1]
    areas = _with_last_axis(areas, n, "areas")
    eps = _with_last_axis(emissivities, n, "emissivities")
    areas, eps = numbers((areas, "area of a surface", 0.0, 1e6, "m2"),
                         (eps, "emissivity", 1e-6, 1.0, ""))
    lead = _spread(f, (f, 2), (areas, 1), (eps, 1), keep=2).shape[:-2]
    areas, eps = np.broadcast_to(areas, lead + (n,)), np.broadcast_to(eps, lead + (n,))
    total = np.broadcast_to(f.sum(axis=-1), lead + (n,))
    bad = (np.abs(total - 1.0) > 1e-6) & (areas > 0.0)
    if bad.any():
        at = tuple(np.argwhere(bad)[0])
        refuse(f"view factors of surface {at[-1]} (counted from 0) sum to {total[at]:.7g}: "
               "a closed room needs 1")
    sent = areas[..., :, None] * f
    least = np.minimum(areas[..., :, None], areas[..., None, :])
    bad = np.abs(sent - sent.swapaxes(-1, -2)) > 1e-6 * np.maximum(least, 1e-12)
    if bad.any():
        at = tuple(np.argwhere(bad)[0])
        i, j = at[-2:]
        refuse(f"view factors of surfaces {i} and {j} (counted from 0) break reciprocity: "
               f"area x factor is {sent[at]:.7g} m2 one way and "
               f"{sent.swapaxes(-1, -2)[at]:.7g} m2 the other")
    return areas, f, eps
