"""March days through time: fluxes in, temperatures out, many days at once.

Every surface answers the heat flow Q [W] into it over a step by T = a + b Q, exact for its
conduction (`conduction.holds`), and gets the flow
    Q = S + G sigma T^4 + L T
from radiation (G), from air, contact and the door (L), and from the fire (S). One Newton step
from the extrapolated temperatures T_p solves for Q:
    (I - M b) Q = S - 3 G sigma T_p^4 + M a,    M = 4 sigma T_p^3 G + L
The convection in L is taken at T_p.
"""

from typing import NamedTuple

import numpy as np

from ovenkit import baking, burning, conduction, exchange
from ovenkit.program import MODES, air_flow, bodies, load_slab
from ovenkit.units import SIGMA, ZERO_C

CHUNK_NUMBERS = 400_000     # of mode coefficients prepared at once
LEAST_EMBER_KG = 0.05
VAPOUR_J_M3K = 900.0        # rho cp of air for the Lewis relation, h / h_m
SETTINGS = ("body_m2", "glow", "glow_out", "link", "sink", "warm", "plume", "flame", "flow",
            "live", "count", "load")


class Trace(NamedTuple):
    """What a march leaves behind; K + 1 moments, then as Program. Row 0 is the start."""
    temp_k: np.ndarray      # K + 1, B, n
    heat_w: np.ndarray      # K + 1, B, n: flow into each surface
    modes: np.ndarray       # K + 1, B, bodies, MODES
    boiled_w: np.ndarray    # K + 1, B, 2, J: latent heat of what leaves tops and bottoms
    crust_m: np.ndarray     # K + 1, B, 2, J
    by_air_w: np.ndarray    # K + 1, B, J: convection into the tops
    draught_w_k: np.ndarray  # K + 1, B: air in and out times its heat capacity
    steam_w_k: np.ndarray   # K + 1, B: the same for steam, from 100 degC


class Loads(NamedTuple):
    """Rows of numbers of the loads a program meets; row 0 is nothing."""
    decay: np.ndarray
    port: np.ndarray
    face: np.ndarray
    area: np.ndarray        # conduction area of a piece [m2]
    side: np.ndarray        # 2, m2: top and bottom of a piece
    crust: np.ndarray
    wet: np.ndarray
    water: np.ndarray       # kg
    start: np.ndarray       # modes of one kelvin
    start_k: np.ndarray


def load_rows(loads):
    """The Loads of a tuple of Load, None first."""
    rows = [(np.ones(MODES), np.zeros((2, MODES)), np.ones(2), 1.0, np.ones(2), False, False,
             1.0, np.zeros(MODES), ZERO_C)]
    for load in loads[1:]:
        slab = load_slab(load)
        rows.append((slab.decay, slab.port, slab.face, load.volume_m3 / load.slab_m,
                     (load.top_m2, load.footprint_m2), load.crust, load.wet,
                     max(load.water_kg, 1e-6), slab.basis.T @ slab.grid.capacity,
                     load.start_c + ZERO_C))
    return Loads(*(np.array(column) for column in zip(*rows)))


class Now:
    """Days at one moment, with the settings of the segment each is in."""

    def __init__(self, program, modes, kelvin):
        p = self.program = program
        b, j, n = p.days, p.places, p.glow.shape[-1]
        self.table = load_rows(p.loads)
        for name in SETTINGS:
            setattr(self, name, getattr(p, name)[p.kind, p.scene[:, 0]])
        self.ration = p.ration[p.kind, p.scene[:, 0]]
        self.hearth_m2 = self.body_m2[:, :2] + self.ration.sum(-2)
        self.outdoor = p.outdoor_k[:, None]
        self.z = np.zeros((b, 5 + 2 * j, MODES))
        self.z[:, :5 + j] = modes
        self.slab = bodies(j) + [3 + i for i in range(j)]   # of each body, loads after the walls
        self.decay = np.concatenate([p.slabs.decay, np.ones((b, j, MODES))], axis=1)
        self.inner = np.concatenate([p.slabs.port[:, :, 0], np.zeros((b, j, MODES))], axis=1)
        self.face = np.concatenate([p.slabs.face[:, :, 0], np.ones((b, j))], axis=1)
        self.port = self.inner[:, self.slab]
        self.port1, self.face1 = np.zeros((b, j, MODES)), np.ones((b, j))
        self.T = np.repeat(kelvin[:, None], n, axis=1)
        self.T[:, :5 + j] = (self.port * self.z).sum(-1)[:, :5 + j] + self.outdoor
        self.T_before = self.T
        self.Q = np.zeros((b, n))
        self.crumb = np.zeros((b, 5 + 3 * j))   # W into bodies, ports as in Q
        self.boiled = self.boiled_before = self.crust = np.zeros((b, 2, j))
        self.gone = np.zeros((b, j))            # kg of water that has left the loads inside
        self.ember_j = np.zeros(b)
        self.by_air, self.draught, self.steam = np.zeros((b, j)), np.zeros(b), np.zeros(b)
        self.a, self.b = np.repeat(self.outdoor, n, axis=1), np.zeros((b, n))
        self.changed = True

    def enter(self, rows, segment):
        """Take over the settings of the segments that some days enter."""
        p = self.program
        scene = p.kind[rows], p.scene[rows, segment]
        for name in SETTINGS:
            getattr(self, name)[rows] = getattr(p, name)[scene]
        self.any_load = bool(self.count.any())
        self.any_live = bool(self.live.any())
        self.any_wet = self.any_load and bool((self.table.wet[self.load] * self.count).any())
        self.glow4 = 4 * SIGMA * self.glow
        self.ember_j[rows[p.rake[rows, segment]]] = 0.0
        lay = p.lay[rows, segment]
        if lay.any():
            self._lay(rows[lay], segment[lay])
        area = np.concatenate([self.body_m2, self.table.area[self.load] * self.count], axis=1)
        self.area = np.where(area > 1e-9, area, 1.0)
        self.side = np.moveaxis(self.table.side[self.load] * self.count[..., None], -1, 1)
        boil = baking.BOIL_W_M2K * self.side
        side = np.where(self.side > 0, self.side, 1.0)
        self.boil, self.crust_k = boil, 1.0 / (baking.CRUST_K * side)
        self.water = self.table.water[self.load] * np.maximum(self.count, 1.0)
        self.boiled = self.boiled * (self.count > 0)[:, None]
        if not self.any_load:
            self.by_air, self.steam = 0.0 * self.by_air, 0.0 * self.steam
        self.drying = self.table.crust[self.load][:, None] / (
            baking.LATENT * baking.CRUST_WATER * side)
        self.outdoor_flow = self.sink * self.outdoor + self.glow_out * (SIGMA * self.outdoor**4)
        self.b[:] = 0.0
        self.a[:] = self.outdoor

    def _lay(self, rows, segment):
        """Even out the cold spots, then lay each load on hearth of its zone's mean heat."""
        p, t, j = self.program, self.table, self.program.places
        z, whole = self.z[rows], self.hearth_m2[rows]
        before, after = self.ration[rows], p.ration[p.kind[rows], p.scene[rows, segment]]  # places, 2: fire, bake
        left = whole - before.sum(-2)
        z[:, :2] = (z[:, :2] * left[..., None]
                    + np.swapaxes(before, 1, 2) @ z[:, 5:5 + j]) / whole[..., None]
        total = after.sum(-1, keepdims=True)
        part = np.where(total > 1e-9, after / np.maximum(total, 1e-9), [0.0, 1.0])
        z[:, 5:5 + j] = part @ z[:, :2]
        at = self.load[rows]
        z[:, 5 + j:] = t.start[at] * (t.start_k[at] - self.outdoor[rows])[..., None]
        self.z[rows], self.ration[rows] = z, after
        self.decay[rows, 3:], self.face[rows, 3:] = t.decay[at], t.face[at][..., 0]
        self.inner[rows, 3:], self.port1[rows] = t.port[at][..., 0, :], t.port[at][..., 1, :]
        self.port = self.inner[:, self.slab]
        self.face1[rows] = t.face[at][..., 1]
        for name in ("boiled", "crust", "gone"):
            setattr(self, name, getattr(self, name).copy())
            getattr(self, name)[rows] = 0.0
        self.Q, self.boiled_before, self.changed = self.Q.copy(), self.boiled, True
        self.Q[rows, 5 + j:5 + 3 * j] = 0.0
        self.T = self.T.copy()
        self.T[rows, 5 + j:5 + 3 * j] = np.tile(t.start_k[at], 2)


class Coefficients(NamedTuple):
    """Answers of all bodies over a chunk of time steps, a row a step, per W of heat."""
    kept: np.ndarray
    start0: np.ndarray
    end0: np.ndarray
    start1: np.ndarray
    end1: np.ndarray
    beta0: np.ndarray       # K/W, masonry
    beta: np.ndarray        # (..., 2, J) K/W, fronts of loads, each to its own heat
    beta01: np.ndarray      # (..., 1, J) K/W, to the heat of the other side
    new: np.ndarray         # weight of the flux at the end of the step in its mean


def coefficients(now, dt, first):
    """Coefficients of the steps dt (chunk, B); over a first step the flux is held."""
    kept, start, end = conduction.holds(now.decay, dt[..., None, None])
    hold = first[..., None, None]
    end += hold * start
    start *= 1 - hold
    j = now.port1.shape[1]
    per_m2 = 1.0 / now.area
    end1 = end[..., -j:, :] * now.port1
    end *= now.inner
    beta0 = (now.face + np.einsum("...bm,...bm->...b", end, now.inner))[..., now.slab] * per_m2
    load_m2 = per_m2[:, -j:]
    beta1 = (now.face1 + (end1 * now.port1).sum(-1)) * load_m2
    beta01 = (end1 * now.inner[:, -j:]).sum(-1) * load_m2
    start1 = start[..., -j:, :] * now.port1
    start *= now.inner
    return Coefficients(
        kept[..., now.slab, :], start[..., now.slab, :] * per_m2[..., None],
        end[..., now.slab, :] * per_m2[..., None], start1 * load_m2[..., None],
        end1 * load_m2[..., None], beta0[..., :-j],
        np.stack([beta0[..., -j:], beta1], axis=-2), beta01[..., None, :], 0.5 + 0.5 * hold)


def march(program, modes, kelvin):
    """Return the Trace of a Program.

    modes : (B, zones and places, MODES) at the start, over outdoor temperature
    kelvin : (B,) K, of air before the first step
    """
    p = program
    steps, b, j = p.dt.shape[0], p.days, p.places
    n = p.glow.shape[-1]
    trace = Trace(*(np.zeros((steps + 1, b) + shape) for shape in (
        (n,), (n,), (5 + 2 * j, MODES), (2, j), (2, j), (j,), (), ())))
    now = Now(p, modes, kelvin)
    _store(trace, 0, now)
    enters = p.first.any(axis=1).tolist()
    lays = (p.first & np.take_along_axis(p.lay.T, p.segment, axis=0)).any(axis=1)
    stop = np.append(np.flatnonzero(lays), steps)
    longest = max(1, CHUNK_NUMBERS // now.z.size)
    before = np.concatenate([np.ones((1, b)), p.dt[:-1]])
    fresh = p.first | np.concatenate([np.ones((1, b), bool), p.first[:-1]])
    ratio = np.where(fresh | (before <= 0), 0.0, p.dt / np.where(before > 0, before, 1.0))
    upto = 0
    for k in range(steps):
        if enters[k]:
            rows = np.flatnonzero(p.first[k])
            now.enter(rows, p.segment[k][rows])
        if k >= upto or now.changed:
            upto = min(k + longest, stop[np.searchsorted(stop, k, side="right")])
            chunk = zip(*coefficients(now, p.dt[k:upto], p.first[k:upto]))
            now.changed = False
        _step(now, next(chunk), p.dt[k], ratio[k][:, None], p.fuel[:, k])
        _store(trace, k + 1, now)
    return trace


def _store(trace, k, now):
    for array, value in zip(trace, (now.T, now.Q, now.z, now.boiled, now.crust, now.by_air,
                                    now.draught, now.steam)):
        array[k] = value


def _step(now, coefficient, dt, ratio, fuel):
    """One time step of all days."""
    kept, start0, end0, start1, end1, beta0, beta, beta01, new = coefficient
    p, outdoor, a, b = now.program, now.outdoor, now.a, now.b
    j, n = p.places, a.shape[1]
    m, mj, tail = 5 + j, 5 + 2 * j, 5 + 3 * j   # ends of masonry, tops, bottoms
    guess = now.T + (now.T - now.T_before) * ratio
    # what each surface answers: T = a + b Q
    z = kept * now.z
    z += start0 * now.crumb[:, :mj, None]
    if now.any_load:
        z[:, m:] += start1 * now.crumb[:, mj:, None]
        a[:, mj:tail] = np.add.reduce(now.port1 * z[:, m:], -1) + outdoor
    a[:, :mj] = np.add.reduce(now.port * z, -1) + outdoor
    b[:, :m] = beta0
    a[:, -1] = now.T[:, -1]
    b[:, -1] = dt / p.air_j_k
    if now.any_live:
        ember_c = burning.EMBER_CP * (fuel[2] + LEAST_EMBER_KG)
        a[:, -2] = p.outdoor_k + now.live * now.ember_j / ember_c
        b[:, -2] = now.live * dt / ember_c
    if now.any_load:
        law = _fronts(now, dt, beta, beta01)
        cross = law[-1]
    # what each surface gets: Q = S + G sigma T^4 + L T
    air = guess[:, -1:]
    warm = np.cbrt(np.abs(guess[:, :-1] - air)) * (now.warm * exchange.buoyancy_fit(air))
    source = now.outdoor_flow.copy()
    if now.any_live:
        flame_w = fuel[0]
        warm += now.plume * (burning.PLUME * np.cbrt(flame_w / 1000.0))[:, None]
        source += now.flame[:, :-1] * (burning.RADIANT * flame_w)[:, None]
        source[:, -1] += (1 - burning.RADIANT) * flame_w
        source[:, -2] += fuel[1] * now.live
    air = air[:, 0]
    draught = air_flow(now.flow, air, p.outdoor_k) * (1005.0 + 0.075 * (air - p.outdoor_k))
    source[:, -1] += draught * p.outdoor_k
    leaving = np.add.reduce(warm, -1) + draught
    if now.any_load:
        steam = now.boiled.sum((1, 2)) * (baking.STEAM_CP / baking.LATENT)
        source[:, -1] += steam * baking.BOIL_K
        leaving += steam
        now.steam = steam
    hot = now.glow4 * (guess * guess * guess)[:, None, :]
    matrix = hot + now.link
    matrix[:, :-1, -1] += warm
    matrix[:, -1, :-1] += warm
    flat = matrix.reshape(len(matrix), -1)[:, ::n + 1]
    flat[:, :-1] -= warm
    flat[:, -1] -= leaving
    source += (matrix @ a[..., None] - hot @ (0.75 * guess)[..., None])[..., 0]
    left = matrix * -b[:, None, :]
    if now.any_load:
        across = np.concatenate([matrix[:, :, mj:tail], matrix[:, :, m:mj]], -1)
        left[:, :, m:tail] -= across * np.concatenate([cross, cross], -1)
    left.reshape(len(left), -1)[:, ::n + 1] += 1.0
    Q = np.linalg.solve(left, source[..., None])[..., 0]
    T = a + b * Q
    now.crumb = Q[:, :tail]
    if now.any_load:
        T[:, m:tail] += (cross * Q[:, m:tail].reshape(-1, 2, j)[:, ::-1]).reshape(-1, 2 * j)
        _dry(now, law, dt, new, Q[:, m:tail], T[:, m:tail])
        now.by_air = warm[:, m:mj] * (T[:, -1:] - T[:, m:mj])
        z[:, m:] += end1 * now.crumb[:, mj:, None]
    z += end0 * now.crumb[:, :mj, None]
    now.z = z
    if now.any_live:
        now.ember_j = now.live * ember_c * (T[:, -2] - p.outdoor_k)
    now.T_before, now.T, now.Q, now.draught = now.T, T, Q, draught


def _fronts(now, dt, beta, beta01):
    """Answers of tops and bottoms (into now.a, now.b) and the law of their fronts.

    Sides are the axis of length 2: top, bottom.
    """
    j = now.program.places
    m, tail = 5 + j, 5 + 3 * j
    alpha = now.a[:, m:tail].reshape(-1, 2, j)
    heat = now.Q[:, m:tail].reshape(-1, 2, j)
    front = alpha + beta * heat + beta01 * heat[:, ::-1]
    e1 = ((front > baking.BOIL_K) & (now.gone < now.water)[:, None]) * now.boil
    e0, ref = 0.0, baking.BOIL_K
    if now.any_wet:
        e0, e1, ref = _drying(now, front[:, 0], e1)
    fronts, b, cross = baking.fronts(alpha, beta, beta01, e0, e1, ref)
    rate = 1.5 * now.boiled - 0.5 * now.boiled_before
    grown = np.maximum(now.crust + now.drying * (rate * dt[:, None, None]), 0.0)
    resistance = grown * now.crust_k
    now.a[:, m:tail] = fronts.reshape(-1, 2 * j)
    now.b[:, m:tail] = (b + resistance).reshape(-1, 2 * j)
    return e0, e1, ref, resistance, cross


def _drying(now, front, e1):
    """Below the boil an open wet top gives off h_m (rho_sat - rho_air), h_m by Lewis."""
    j = now.program.places
    m = 5 + j
    air = now.T[:, -1:]
    T = np.minimum(front, baking.BOIL_K)
    vapour, slope = baking.vapour_kg_m3(T)
    h = now.warm[:, m:m + j] * exchange.buoyancy_fit(air) * np.cbrt(
        np.abs(now.T[:, m:m + j] - air))
    left = np.maximum(1 - now.gone / now.water, 0)
    carries = now.table.wet[now.load] * left * h * (baking.LATENT / VAPOUR_J_M3K)
    steam = now.boiled.sum((1, 2))[:, None] / baking.LATENT
    share = steam / (steam + now.draught[:, None] / 1640.0 + 1e-9)    # by volume
    around = share * baking.STEAM_KG_M3 * baking.BOIL_K / air
    dry = e1[:, 0] == 0.0
    e0, ref, e1 = np.zeros_like(e1), np.full_like(e1, baking.BOIL_K), e1.copy()
    e0[:, 0] = dry * carries * np.maximum(vapour - around, 0.0)
    e1[:, 0] += dry * carries * slope * (vapour > around)
    ref[:, 0] = np.where(dry, T, baking.BOIL_K)
    return e0, e1, ref


def _dry(now, law, dt, new, heat, surface):
    """Water that leaves in the step, the crust it leaves behind, heat into the crumb."""
    e0, e1, ref, resistance, _ = law
    j = now.program.places
    heat, surface = heat.reshape(-1, 2, j), surface.reshape(-1, 2, j)
    boiled = e0 + e1 * (surface - resistance * heat - ref)
    lost = (new * boiled + (1.0 - new) * now.boiled) * dt[:, None, None]
    now.crust = np.maximum(now.crust + now.drying * lost, 0.0)
    now.gone = now.gone + np.add.reduce(lost, 1) / baking.LATENT
    now.boiled_before, now.boiled = now.boiled, boiled
    now.crumb = now.crumb.copy()
    now.crumb[:, 5 + j:] -= boiled.reshape(-1, 2 * j)
