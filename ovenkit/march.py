"""March days through time: heat flows in, temperatures out, many days at once.

Every surface answers the heat flow Q [W] into it over a step by T = a + b Q, exact for its
conduction (`conduction.holds`), and gets the flow
    Q = S + G sigma T^4 + L T
from radiation (G), from air, contact and the door (L), and from the fire (S). One Newton step
from the extrapolated temperatures T_p solves for Q:
    (I - M b) Q = S - 3 G sigma T_p^4 + M a,    M = 4 sigma T_p^3 G + L
(the convection in L is taken at T_p). T is over outdoors, absolute where it is raised to the
fourth power.
"""

from typing import NamedTuple

import numpy as np
from scipy.linalg.lapack import dgesv

from ovenkit import baking, burning, exchange
from ovenkit.draught import draught_w_k
from ovenkit.moment import Now, coefficients
from ovenkit.program import MODES

CHUNK_NUMBERS = 100_000     # of mode coefficients prepared at once; more leave the cache
LEAST_EMBER_KG = 0.05
OVERSHOT_K = 0.3            # a front this far above the boil should have boiled
VAPOUR_J_M3K = 900.0        # rho cp of air for the Lewis relation, h / h_m
AIR_J_KG = 1640.0           # cp of air times its molar mass over that of water


class Trace(NamedTuple):
    """What a march leaves behind; K + 1 moments, then as Program. Row 0 is the start."""
    temp_k: np.ndarray      # K + 1, B, n
    heat_w: np.ndarray      # K + 1, B, n: flow into each surface
    modes: np.ndarray       # K + 1, B, bodies, MODES, over outdoors
    boiled_w: np.ndarray    # K + 1, B, 2, J: latent heat of what leaves tops and bottoms
    crust_m: np.ndarray     # K + 1, B, 2, J
    by_air_w: np.ndarray    # K + 1, B, J: convection into the tops
    draught_w_k: np.ndarray  # K + 1, B: air in and out times its heat capacity
    steam_w_k: np.ndarray   # K + 1, B: the same for steam, from 100 degC


def march(program, modes, air_k):
    """Return the Trace of a Program.

    modes : (B, zones and places, MODES) at the start, over outdoor temperature
    air_k : (B,) K, of the air before the first step
    """
    p = program
    steps, b, j = p.dt.shape[0], p.days, p.places
    n = p.glow.shape[-1]
    trace = Trace(*(np.zeros((steps + 1, b) + shape) for shape in (
        (n,), (n,), (5 + 2 * j, MODES), (2, j), (2, j), (j,), (), ())))
    now = Now(p, modes, air_k)
    trace.temp_k[0], trace.modes[0] = now.T, now.z
    enters = p.first.any(axis=1).tolist()
    lays = (p.first & np.take_along_axis(p.lay.T, p.segment, axis=0)).any(axis=1)
    stop = np.append(np.flatnonzero(lays), steps)
    longest = max(1, CHUNK_NUMBERS // now.z.size)
    before = np.concatenate([np.ones((1, b)), p.dt[:-1]])
    fresh = p.first | np.concatenate([np.ones((1, b), bool), p.first[:-1]])
    ratio = np.where(fresh | (before <= 0), 0.0, p.dt / np.where(before > 0, before, 1.0))
    base = upto = 0
    for k in range(steps):
        laid = False
        if enters[k]:
            rows = np.flatnonzero(p.first[k])
            laid = now.enter(rows, p.segment[k][rows])
        if k >= upto or laid:
            base, upto = k, min(k + longest, stop[np.searchsorted(stop, k, side="right")])
            chunk = coefficients(now, p.dt[k:upto], p.first[k:upto])
            ready = iter(list(zip(*chunk)))
            laws = None
        elif enters[k]:
            laws = None
        laws = _step(now, next(ready), chunk, k - base, laws, p.dt[k], ratio[k][:, None],
                     p.fuel[:, k], p.first[k] if enters[k] else None, trace.temp_k[k + 1],
                     trace.modes[k + 1])
        for array, value in zip(trace[1:2] + trace[3:], (
                now.Q, now.boiled, now.crust, now.by_air, now.draught, now.steam)):
            array[k + 1] = value
    trace.temp_k[:] += now.outdoor
    return trace


def _step(now, row, chunk, at, laws, dt, ratio, fuel, first, T, z):
    """One time step of all days, into T and z; returns the front laws of the chunk.

    A second pass, from the temperatures the first one found, is for the days that `first` names
    (None: none), in which everything has just jumped, and for those in which a front has come to
    the boil unforeseen.
    """
    kept, start0, end0, start1, end1, masonry, beta, cross, new = row
    a, b, loaded, live = now.a, now.b, now.any_load, now.any_live
    j = now.program.places
    m, mj, tail = 5 + j, 5 + 2 * j, 5 + 3 * j   # ends of masonry, tops, bottoms
    guess = now.T + (now.T - now.T_before) * ratio
    guess[:, -1] = now.T[:, -1]             # air jumps: what it did is no guide
    # what each surface answers: T = a + b Q
    np.multiply(kept, now.z, out=z)
    z += start0 * now.crumb[:, :mj, None]
    if loaded:
        z[:, m:] += start1 * now.crumb[:, mj:, None]
        np.add.reduce(now.port1 * z[:, m:], -1, out=a[:, mj:tail])
    np.add.reduce(now.port * z, -1, out=a[:, :mj])
    b[:, :m] = masonry
    a[:, -1] = now.T[:, -1]
    b[:, -1] = dt * now.per_air
    if live:
        ember_c = burning.EMBER_CP * (fuel[2] + LEAST_EMBER_KG)
        late = 0.2 + 0.8 * new[:, 0, 0]     # of the step, the share at the flow of its end
        a[:, -2] = now.live * (now.ember_j + (1 - late) * dt * now.Q[:, -2]) / ember_c
        b[:, -2] = now.live * late * dt / ember_c
    across = drying = None
    if loaded:
        alpha = a[:, m:tail].reshape(-1, 2, j).copy()
        boils = _boiling(now, alpha, beta, cross)
        across, drying, laws = _fronts(now, alpha, boils, chunk, at, laws, dt, beta, cross)
    drawn = now.draught
    Q, warm = _balance(now, guess, fuel, across, T)
    again = first
    if loaded:
        over = _overshot(now, drying, boils, Q, T)
        if over is not None:
            rows = over.any((1, 2))
            again = rows if first is None else first | rows
            drawn, now.draught = now.draught, drawn     # the fronts of other days stay as they were
            across, drying, laws = _fronts(now, alpha, boils | over, chunk, at, None, dt, beta,
                                           cross)
            now.draught = drawn
    if again is not None:
        fresh, draught = np.empty_like(T), now.draught
        better, warmer = _balance(now, T.copy(), fuel, across, fresh)
        Q = np.where(again[:, None], better, Q)
        T[:] = np.where(again[:, None], fresh, T)
        warm = np.where(again[:, None], warmer, warm)
        now.draught = np.where(again, now.draught, draught)
    now.crumb = Q[:, :tail]
    if loaded:
        _dry(now, drying, dt, new, Q[:, m:tail].reshape(-1, 2, j), T[:, m:tail].reshape(-1, 2, j))
        now.by_air = warm[:, m:mj] * (T[:, -1:] - T[:, m:mj])
        z[:, m:] += end1 * now.crumb[:, mj:, None]
    z += end0 * now.crumb[:, :mj, None]
    if live:
        now.ember_j = now.live * ember_c * T[:, -2]
    now.z, now.T_before, now.T, now.Q = z, now.T, T, Q
    return laws


def _balance(now, guess, fuel, across, T):
    """Flows into all surfaces and convection coefficients, and temperatures into T.

    guess : T_p over outdoors, is used up; across : K/W, how a load's side answers its other side
    """
    p, a, b = now.program, now.a, now.b
    j, n = p.places, a.shape[1]
    m, mj, tail = 5 + j, 5 + 2 * j, 5 + 3 * j
    guess += now.outdoor
    air = guess[:, -1:]
    warm = np.cbrt(np.abs(guess[:, :-1] - air))
    warm *= now.warm * exchange.buoyancy_fit(air)
    source = now.glow_back.copy()
    if now.any_live:
        flame_w = fuel[0]
        warm += now.plume * (burning.PLUME * np.cbrt(flame_w / 1000.0))[:, None]
        source += now.flame[:, :-1] * (burning.RADIANT * flame_w)[:, None]
        source[:, -1] += (1 - burning.RADIANT) * flame_w
        source[:, -2] += fuel[1] * now.live
    now.draught = draught_w_k(now.flow, (air[:, 0] - p.outdoor_k) * now.per_outdoor)
    leaving = np.add.reduce(warm, -1)
    leaving += now.draught
    if now.any_load:
        now.steam = np.add.reduce(now.boiled, (1, 2)) * (baking.STEAM_CP / baking.LATENT)
        source[:, -1] += now.steam * now.boil_over[:, 0, 0]
        leaving += now.steam
    hot = now.glow4 * (guess * guess * guess)[:, None, :]
    matrix = hot + now.link
    matrix[:, :-1, -1] += warm
    matrix[:, -1, :-1] += warm
    flat = matrix.reshape(len(matrix), -1)[:, ::n + 1]
    flat[:, :-1] -= warm
    flat[:, -1] -= leaving
    # sigma (4 T_p^3 T - 3 T_p^4), T absolute = a + outdoors + b Q
    source += _times(matrix, a)
    source += _times(hot, now.outdoor - 0.75 * guess)
    left = matrix * -b[:, None, :]
    if across is not None:
        left[:, :, m:mj] -= matrix[:, :, mj:tail] * across
        left[:, :, mj:tail] -= matrix[:, :, m:mj] * across
    left.reshape(len(left), -1)[:, ::n + 1] += 1.0
    Q = _solve(left, source)
    np.multiply(b, Q, out=T)
    T += a
    if across is not None:
        sides = T[:, m:tail].reshape(-1, 2, j)
        sides += across * Q[:, m:tail].reshape(-1, 2, j)[:, ::-1]
    return Q, warm


def _times(matrix, vector):
    """Matrix times vector for each day; a single one goes without numpy's care for many."""
    if len(matrix) == 1:
        return (matrix[0] @ vector[0])[None]
    return (matrix @ vector[..., None])[..., 0]


def _solve(left, right):
    """Solve one small system per day; a single one goes to LAPACK without numpy's checks."""
    if len(left) == 1:
        return dgesv(left[0], right[0])[2][None]
    return np.linalg.solve(left, right[..., None])[..., 0]


def _boiling(now, alpha, beta, cross):
    """Which fronts boil: those that did and still give off steam, and those about to."""
    boils = now.boils & (now.boiled > 0.0)
    if not (now.boils | now.idle).all():
        heat = now.Q[:, 5 + now.program.places:-2].reshape(alpha.shape)
        soon = alpha + beta * heat
        soon += cross * heat[:, ::-1]
        boils |= ~now.boils & (soon > now.boil_over)
    if now.any_dry:
        boils &= (now.gone_j < now.water_j)[:, None]
    return boils


def _overshot(now, drying, boils, Q, T):
    """Which fronts, taken as below the boil, came out above it; None if none did."""
    below = ~(boils | now.idle)
    if now.any_dry:
        below &= (now.gone_j < now.water_j)[:, None]
    if not below.any():
        return None
    m = 5 + now.program.places
    front = T[:, m:-2].reshape(boils.shape) - drying[-1] * Q[:, m:-2].reshape(boils.shape)
    over = below & (front > now.boil_over + OVERSHOT_K)
    return over if over.any() else None


def _fronts(now, alpha, boils, chunk, at, laws, dt, beta, cross):
    """Answers of tops and bottoms (into now.a, now.b); across, how they dry, and the laws.

    Sides are the axis of length 2: top, bottom. alpha : their fronts if no heat came. `laws` are
    those of the whole chunk, as long as the same fronts boil.
    """
    j = now.program.places
    m, tail = 5 + j, 5 + 3 * j
    e0, ref = 0.0, now.boil_over
    if now.any_wet:
        heat = now.Q[:, m:tail].reshape(-1, 2, j)
        soon = alpha + beta * heat + cross * heat[:, ::-1]
        e0, e1, ref = _wet(now, soon[:, 0], boils * now.boil)
        law, laws = baking.fronts(beta, cross, e0, e1, ref), None
    else:
        e1 = boils * now.boil
        if laws is None or (boils != now.boils).any():
            laws = list(zip(*baking.fronts(chunk.beta, chunk.cross, e0, e1, ref)))
        law = baking.Fronts(*laws[at])
    now.boils = boils
    grown = now.crust + now.drying * (now.boiled * dt[:, None, None])
    resistance = np.maximum(grown, 0.0) * now.crust_k
    sides = now.a[:, m:tail].reshape(-1, 2, j)
    sides[:] = law.own * alpha + law.other * alpha[:, ::-1] + law.kick
    np.add(law.heat, resistance, out=now.b[:, m:tail].reshape(-1, 2, j))
    return law.cross, (e0, e1, ref, resistance), laws


def _wet(now, front, e1):
    """Below the boil an open wet top gives off h_m (rho_sat - rho_air), h_m by Lewis."""
    m, j = 5 + now.program.places, now.program.places
    air = now.T[:, -1:]
    T = np.minimum(front + now.outdoor, baking.BOIL_K)
    vapour, slope = baking.vapour_kg_m3(T)
    h = now.warm[:, m:m + j] * exchange.buoyancy_fit(air + now.outdoor) * np.cbrt(
        np.abs(now.T[:, m:m + j] - air))
    left = np.maximum(1 - now.gone_j / np.maximum(now.water_j, 1.0), 0)
    carries = now.table.wet[now.load] * left * h * (baking.LATENT / VAPOUR_J_M3K)
    steam = now.boiled.sum((1, 2))[:, None] / baking.LATENT
    share = steam / (steam + now.draught[:, None] / AIR_J_KG + 1e-9)    # by volume
    around = share * baking.STEAM_KG_M3 * baking.BOIL_K / (air + now.outdoor)
    dry = e1[:, 0] == 0.0
    e0, ref, e1 = np.zeros_like(e1), np.repeat(now.boil_over, 2, axis=1) + 0 * e1, e1.copy()
    e0[:, 0] = dry * carries * np.maximum(vapour - around, 0.0)
    e1[:, 0] += dry * carries * slope * (vapour > around)
    ref[:, 0] = np.where(dry, T - now.outdoor, ref[:, 0])
    return e0, e1, ref


def _dry(now, drying, dt, new, heat, surface):
    """Water that leaves in the step, the crust it leaves behind, heat into the crumb."""
    e0, e1, ref, resistance = drying
    boiled = surface - resistance * heat
    boiled -= ref
    boiled *= e1
    boiled += e0
    old = (1.0 - new) * now.boiled
    if now.any_dry:                         # no more leaves than is there
        seconds = dt[:, None, None]
        room = now.water_j - now.gone_j - (old * seconds).sum(1)
        most = (boiled * ((new + 0.5) * seconds)).sum(1)
        boiled *= np.clip(room / np.maximum(most, 1e-9), 0.0, 1.0)[:, None]
    lost = new * boiled + old
    lost *= dt[:, None, None]
    now.crust = np.maximum(now.crust + now.drying * lost, 0.0)
    now.gone_j = now.gone_j + np.add.reduce(lost, 1)
    now.any_dry = (now.gone_j > now.nearly_dry_j).any()
    now.boiled = boiled
    now.crumb = now.crumb.copy()
    now.crumb[:, 5 + len(heat[0, 0]):] -= boiled.reshape(len(boiled), -1)
