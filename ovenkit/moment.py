"""Days at one moment of their march, and how their bodies will answer the next steps.

Temperatures here are over outdoors [K]; heat flows are into surfaces [W].
"""

from typing import NamedTuple

import numpy as np

from ovenkit import baking, conduction
from ovenkit.program import MODES, bodies, load_slab
from ovenkit.units import SIGMA, ZERO_C

SETTINGS = ("body_m2", "glow", "link", "warm", "plume", "flame", "flow", "live", "count", "load")
NEARLY_DRY = 0.5    # share of a load's water after which each step is held to what is left


class Loads(NamedTuple):
    """Rows of numbers of the loads a program meets; row 0 is nothing."""
    decay: np.ndarray
    port: np.ndarray        # 2, modes
    face: np.ndarray        # 2
    area: np.ndarray        # conduction area of a piece [m2]
    side: np.ndarray        # 2, m2: top and bottom of a piece
    crust: np.ndarray
    wet: np.ndarray
    water_j: np.ndarray     # latent heat of the water in a piece
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
                     load.water_kg * baking.LATENT, slab.basis.T @ slab.grid.capacity,
                     load.start_c + ZERO_C))
    return Loads(*(np.array(column) for column in zip(*rows)))


class Now:
    """Days at one moment, with the settings of the scene each is in."""

    def __init__(self, program, modes, air_k):
        p = self.program = program
        b, j, n = p.days, p.places, p.glow.shape[-1]
        self.table = load_rows(p.loads)
        for name in SETTINGS:
            setattr(self, name, getattr(p, name)[p.kind, p.scene[:, 0]])
        self.ration = p.ration[p.kind, p.scene[:, 0]]
        self.hearth_m2 = self.body_m2[:, :2] + self.ration.sum(-2)
        self.outdoor = p.outdoor_k[:, None]
        self.boil_over = (baking.BOIL_K - self.outdoor)[..., None]
        self.per_outdoor, self.per_air = 1.0 / p.outdoor_k, 1.0 / p.air_j_k
        self.slab = bodies(j) + [3 + i for i in range(j)]   # of each body, loads after the walls
        self.decay = np.concatenate([p.slabs.decay, np.ones((b, j, MODES))], axis=1)
        self.inner = np.concatenate([p.slabs.port[:, :, 0], np.zeros((b, j, MODES))], axis=1)
        self.face = np.concatenate([p.slabs.face[:, :, 0], np.ones((b, j))], axis=1)
        self.port = self.inner[:, self.slab]
        self.port1, self.face1 = np.zeros((b, j, MODES)), np.ones((b, j))
        self.z = np.zeros((b, 5 + 2 * j, MODES))
        self.z[:, :5 + j] = modes
        self.T = np.repeat(air_k[:, None] - self.outdoor, n, axis=1)
        self.T[:, :5 + j] = (self.port * self.z).sum(-1)[:, :5 + j]
        self.T_before = self.T
        self.Q = np.zeros((b, n))
        self.crumb = np.zeros((b, 5 + 3 * j))   # W into bodies, in the order of Q
        self.boiled = self.crust = np.zeros((b, 2, j))
        self.boils = np.zeros((b, 2, j), bool)
        self.gone_j = np.zeros((b, j))          # latent heat of the water that has left
        self.any_dry = False
        self.ember_j, self.draught, self.steam = np.zeros(b), np.zeros(b), np.zeros(b)
        self.by_air = np.zeros((b, j))
        self.a, self.b = np.zeros((b, n)), np.zeros((b, n))

    def enter(self, rows, segment):
        """Take over the scenes of the segments that some days enter; True if loads are laid."""
        p, t = self.program, self.table
        scene = p.kind[rows], p.scene[rows, segment]
        for name in SETTINGS:
            getattr(self, name)[rows] = getattr(p, name)[scene]
        self.any_load = bool(self.count.any())
        self.any_live = bool(self.live.any())
        self.any_wet = self.any_load and bool((t.wet[self.load] * self.count).any())
        self.glow4 = 4 * SIGMA * self.glow
        self.glow_back = -self.glow.sum(-1) * (SIGMA * self.outdoor**4)
        raked = np.zeros(p.days, bool)
        raked[rows] = p.rake[rows, segment]
        self.ember_j = np.where(raked, 0.0, self.ember_j)
        lay = p.lay[rows, segment]
        if lay.any():
            self._lay(rows[lay], segment[lay])
        area = np.concatenate([self.body_m2, t.area[self.load] * self.count], axis=1)
        self.area = np.where(area > 1e-9, area, 1.0)
        side = np.swapaxes(t.side[self.load] * self.count[..., None], 1, 2)
        self.boil, self.idle = baking.BOIL_W_M2K * side, side <= 0
        per_side = 1.0 / np.where(side > 0, side, 1.0)
        self.crust_k = per_side / baking.CRUST_K
        self.drying = t.crust[self.load][:, None] * per_side / (
            baking.LATENT * baking.CRUST_WATER)
        self.water_j = t.water_j[self.load] * self.count
        self.nearly_dry_j = NEARLY_DRY * self.water_j
        self.boiled = self.boiled * (self.count > 0)[:, None]
        if not self.any_load:
            self.by_air, self.steam = 0.0 * self.by_air, 0.0 * self.steam
        self.b[:], self.a[:] = 0.0, 0.0
        return bool(lay.any())

    def _lay(self, rows, segment):
        """Even out the cold spots, then lay each load on hearth of its zone's mean heat."""
        p, t, j = self.program, self.table, self.program.places
        z, whole = self.z[rows], self.hearth_m2[rows]
        before = self.ration[rows]                          # places, 2: hearth_fire, hearth_bake
        after = p.ration[p.kind[rows], p.scene[rows, segment]]
        left = whole - before.sum(-2)
        z[:, :2] = (z[:, :2] * left[..., None]
                    + np.swapaxes(before, 1, 2) @ z[:, 5:5 + j]) / whole[..., None]
        total = after.sum(-1, keepdims=True)
        part = np.where(total > 1e-9, after / np.maximum(total, 1e-9), [0.0, 1.0])
        z[:, 5:5 + j] = part @ z[:, :2]
        at = self.load[rows]
        warm = t.start_k[at] - self.outdoor[rows]
        z[:, 5 + j:] = t.start[at] * warm[..., None]
        self.ration[rows] = after
        self.decay[rows, 3:], self.face[rows, 3:] = t.decay[at], t.face[at][..., 0]
        self.inner[rows, 3:], self.port1[rows] = t.port[at][..., 0, :], t.port[at][..., 1, :]
        self.port = self.inner[:, self.slab]
        self.face1[rows] = t.face[at][..., 1]
        fresh = {"z": z, "boiled": 0.0, "crust": 0.0, "gone_j": 0.0, "boils": False}
        for name, value in fresh.items():
            array = getattr(self, name).copy()
            array[rows] = value
            setattr(self, name, array)
        self.Q, self.T = self.Q.copy(), self.T.copy()
        self.Q[rows, 5 + j:5 + 3 * j] = 0.0
        self.T[rows, 5 + j:5 + 3 * j] = np.tile(warm, 2)


class Coefficients(NamedTuple):
    """Answers of all bodies over a chunk of time steps, a row a step, per W of heat."""
    kept: np.ndarray
    start0: np.ndarray      # from the heat at the start, through the first face
    end0: np.ndarray        # from the heat at the end
    start1: np.ndarray      # the same through the second face (bottoms of loads)
    end1: np.ndarray
    masonry: np.ndarray     # K/W of its faces
    beta: np.ndarray        # (..., 2, J) K/W of the fronts of loads, each to its own heat
    cross: np.ndarray       # (..., 1, J) K/W, to the heat of the other side
    new: np.ndarray         # weight of the flow at the end of the step in its mean


def coefficients(now, dt, first):
    """Coefficients of the steps dt (chunk, B) [s]; over a first step the flow is held."""
    kept, start, end = conduction.holds(now.decay, dt[..., None, None])
    hold = first[..., None, None]
    end += hold * start
    start *= 1 - hold
    j = now.port1.shape[1]
    per_m2 = 1.0 / now.area
    load_m2 = per_m2[:, -j:]
    end1, start1 = end[..., -j:, :] * now.port1, start[..., -j:, :] * now.port1
    end *= now.inner
    start *= now.inner
    beta0 = (now.face + np.einsum("...bm,...bm->...b", end, now.inner))[..., now.slab] * per_m2
    beta1 = (now.face1 + np.einsum("...bm,...bm->...b", end1, now.port1)) * load_m2
    cross = np.einsum("...bm,...bm->...b", end1, now.inner[:, -j:]) * load_m2
    return Coefficients(
        kept[..., now.slab, :], start[..., now.slab, :] * per_m2[..., None],
        end[..., now.slab, :] * per_m2[..., None], start1 * load_m2[..., None],
        end1 * load_m2[..., None], beta0[..., :-j],
        np.stack([beta0[..., -j:], beta1], axis=-2), cross[..., None, :], 0.5 + 0.5 * hold)
