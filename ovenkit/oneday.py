"""One day's view of a trace: its moments, what was in force at each, and integrals over them."""

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from ovenkit import baking, conduction
from ovenkit.draught import draught_w_k, shut_flow
from ovenkit.exchange import HOT_FACING_DOWN, HOT_FACING_UP, buoyancy_fit
from ovenkit.march import Trace
from ovenkit.program import OUTSIDE_W_M2K, Program, bodies, load_slab
from ovenkit.units import SIGMA, ZERO_C

FEEL_EPS = 0.90         # of a load, and of a kitchen oven's walls seen by it
FEEL_H = 6.0            # W/m2K, still air over a load (natural convection, 30 to 60 K)
SIDE_SHARE = 0.22       # of what a loaf's crust sees, the share that is hearth


@lru_cache(maxsize=256)
def _middle(load):
    """Weights of the modes of a piece that give its core."""
    cells = load_slab(load).basis
    return (cells[len(cells) // 2 - 1] + cells[len(cells) // 2]) / 2


def feels_k(dome_w_m2, hearth_w_m2, air_k):
    """Return the even kitchen oven [K] that gives a load's crust the same heat.

    dome_w_m2, hearth_w_m2 : sigma T^4 of what the crust sees above and beside [W/m2]
    air_k : [K]. Solves eps sigma T^4 + h T = eps (seen) + h T_air, by Newton from what is seen.
    """
    glow = (1 - SIDE_SHARE) * dome_w_m2 + SIDE_SHARE * hearth_w_m2
    seen = FEEL_EPS * glow + FEEL_H * air_k
    t = np.sqrt(np.sqrt(glow / SIGMA))
    for _ in range(4):      # within 1e-5 K
        t = t - (FEEL_EPS * SIGMA * t**4 + FEEL_H * t - seen) / (
            4 * FEEL_EPS * SIGMA * t**3 + FEEL_H)
    return t


def feels_shut_c(oven, outdoor_c, zones_k):
    """Return what an oven would feel like, mouth shut and nothing in it [degC].

    oven : Oven; outdoor_c : [degC]; zones_k : hearth_fire hearth_bake dome_back dome_front
        [..., 4] [K]
    The air is the one at which as much heat comes from hearth and dome as leaves by the crack:
    sum c A buoyancy |T - T_air|^(1/3) (T - T_air) = D (T_air - T_out), by Newton.
    """
    outdoor, t = outdoor_c + ZERO_C, zones_k
    hearth, dome = HOT_FACING_UP * oven.hearth_area_m2, HOT_FACING_DOWN * oven.dome_area_m2
    warm = np.array([hearth, hearth, dome, dome]) / 2
    flow = shut_flow(oven.mouth_w_m, oven.mouth_h_m, oven.crack_m, outdoor)
    low, high = np.minimum(outdoor, t.min(-1)), np.maximum(outdoor, t.max(-1))
    air = t.mean(-1)
    for _ in range(5):      # within 1e-5 K
        pull = warm * np.cbrt(np.abs(t - air[..., None])) * buoyancy_fit(air)[..., None]
        loss = draught_w_k(flow, (air - outdoor) / outdoor)
        gain = (pull * (t - air[..., None])).sum(-1) - loss * (air - outdoor)
        air = np.clip(air + gain / (4 / 3 * pull.sum(-1) + 1.5 * loss + 1e-9), low, high)
    glow = SIGMA * t**4
    return feels_k((glow[..., 2] + glow[..., 3]) / 2, glow[..., 1], air) - ZERO_C


@dataclass(frozen=True, eq=False)
class OneDay:
    """One day of a marched program, by its moments: the start, then the end of every step."""
    program: Program
    trace: Trace
    day: int

    @property
    def oven(self):
        """The Oven of the day."""
        return self.program.ovens[self.day]

    @property
    def outdoor_c(self):
        """Outdoor temperature [degC]."""
        return float(self.program.outdoor_k[self.day] - ZERO_C)

    @property
    def timeline(self):
        """The Timeline of the day."""
        return self.program.timelines[self.day]

    @property
    def steps(self):
        """The steps of the day, a Bake that lasted until done with its minutes."""
        return self.timeline.steps

    @cached_property
    def step_h(self):
        """When each step begins, and the last one ends [h], (steps + 1)."""
        return np.concatenate([[0.0], np.cumsum([step.seconds for step in self.steps])]) / 3600

    @cached_property
    def hours(self):
        """Time of every moment [h]."""
        return np.concatenate([[0.0], np.cumsum(self.timeline.dt)]) / 3600

    @cached_property
    def segment(self):
        """Index of the segment of every moment: that of the step which ends there."""
        return np.concatenate([self.timeline.segment[:1], self.timeline.segment])

    def fuel(self, name):
        """A row of the timeline's fire [W, J or kg], at the end of every time step."""
        return getattr(self.timeline, name) * self.oven.fire_share

    def of(self, name):
        """An array of the trace, for this day's moments."""
        return getattr(self.trace, name)[:len(self.hours), self.day]

    def during(self, name):
        """What was in force at every moment: an array of the program by kind and scene."""
        p, d = self.program, self.day
        return getattr(p, name)[p.kind[d], p.scene[d][self.segment]]

    @cached_property
    def temp_c(self):
        """Temperatures of all surfaces [degC], (moments, surfaces)."""
        return self.of("temp_k") - ZERO_C

    @cached_property
    def slabs(self):
        """Slab of every body of masonry: zones, then places."""
        slab, which = self.program.slabs, bodies(self.program.places)
        return conduction.Slab(*(x[self.day, which] for x in slab[:4]),
                               conduction.Grid(*(x[self.day, which] for x in slab.grid)))

    def cells_k(self, body):
        """Cell temperatures of a body of masonry over outdoors [K], (moments, cells)."""
        return self.of("modes")[:, body] @ self.slabs.basis[body].T

    def outer_w_m2(self, body):
        """Heat from a body's outer skin to outside air [W per m2 of its inner face]."""
        conductance = conduction.outer_conductance(self.slabs.grid, OUTSIDE_W_M2K)[body]
        return conductance * (self.of("modes")[:, body] @ self.slabs.basis[body, -1])

    @cached_property
    def zone_modes(self):
        """Modes of the zones with the cold spots shared out again, (moments, 5, modes)."""
        z = self.of("modes")[:, :5 + self.program.places]
        ration = self.during("ration")
        area = self.during("body_m2")[:, :2, None]
        out = z[:, :5].copy()
        out[:, :2] = (out[:, :2] * area + np.swapaxes(ration, 1, 2) @ z[:, 5:]) / (
            area + ration.sum(1)[..., None])
        return out

    @cached_property
    def stored_j(self):
        """Heat in masonry, door and air over outdoors [J], at every moment."""
        energy = np.einsum("bnm,bn->bm", self.slabs.basis, self.slabs.grid.capacity)
        heat = np.einsum("kbm,bm->kb", self.of("modes")[:, :len(energy)], energy)
        air = self.program.air_j_k[self.day] * (self.temp_c[:, -1] - self.outdoor_c)
        return (heat * self.during("body_m2")).sum(-1) + air

    @cached_property
    def feels_c(self):
        """What the oven feels like to a load [degC], at every moment; see `feels_k`."""
        glow = SIGMA * self.of("temp_k")**4
        gap = np.array([s.gap_m for s in self.timeline.segments])[self.segment]
        outdoors = SIGMA * self.program.outdoor_k[self.day]**4
        door = np.where(np.isinf(gap), outdoors, glow[:, 4])
        dome = self.oven.dome_area_m2 / (self.oven.dome_area_m2 + self.oven.mouth_area_m2)
        above = dome * (glow[:, 2] + glow[:, 3]) / 2 + (1 - dome) * door
        return feels_k(above, glow[:, 1], self.of("temp_k")[:, -1]) - ZERO_C

    def met_c(self, hours):
        """What a load meets at `hours` [h], one moment or an array: (hearth it is laid on, cold
        spots and all, and what the oven feels like, mouth shut and nothing in) [degC]."""
        area = np.concatenate([self.during("body_m2")[:, 1:2], self.during("ration")[..., 1]], 1)
        t = np.concatenate([self.temp_c[:, 1:2], self.temp_c[:, 5:5 + self.program.places]], 1)
        zones = self.temp_c[:, :4].copy()
        zones[:, 1] = (t * area).sum(1) / area.sum(1)
        now = np.stack([np.interp(hours, self.hours, zone) for zone in zones.T], axis=-1)
        return now[..., 1], feels_shut_c(self.oven, self.outdoor_c, now + ZERO_C)

    def feels_shut_c(self, moments):
        """What the oven would feel like at some moments, mouth shut and nothing in [degC]."""
        return feels_shut_c(self.oven, self.outdoor_c, self.of("temp_k")[moments][..., :4])

    def integral(self, rate):
        """Integral of a rate [per s] (moments, ...) up to every moment, as the march held it:
        straight between moments, and over the first step of a segment constant."""
        more = [1] * (rate.ndim - 1)
        first = self.timeline.first.reshape(-1, *more)
        mean = np.where(first, rate[1:], (rate[:-1] + rate[1:]) / 2)
        return np.concatenate([np.zeros((1,) + rate.shape[1:]), np.cumsum(
            mean * self.timeline.dt.reshape(-1, *more), axis=0)])

    @cached_property
    def browned(self):
        """Browning of tops and bottoms up to every moment, (moments, 2, J)."""
        n = 5 + self.program.places
        t = self.of("temp_k")[:, n:-2].reshape(-1, 2, self.program.places)
        return self.integral(baking.browning_rate(t))

    def core_c(self, place=0):
        """Core of the load at a place [degC] at every moment; nan while none is in."""
        return self._cores[place]

    @cached_property
    def _cores(self):
        cores = np.full((self.program.places, len(self.hours)), np.nan)
        z = self.of("modes")[:, 5 + self.program.places:]
        for i, row in enumerate(self.timeline.segments):
            if row.inside:
                here = self.segment == i
                for place, (load, _) in enumerate(row.laid):
                    cores[place, here] = z[here, place] @ _middle(load) + self.outdoor_c
        return cores

    def span(self, segment):
        """First and last moment of the load that is laid as a segment begins."""
        segments, last = self.timeline.segments, segment
        while last + 1 < len(segments) and segments[last + 1].inside and not segments[last + 1].lay:
            last += 1
        inside = np.flatnonzero((self.segment >= segment) & (self.segment <= last))
        inside = inside[inside > 0]
        return inside[0] - 1, inside[-1]
