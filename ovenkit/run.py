"""What a day came to: temperatures, bakes, the ledger of heat, and a state to go on from."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import pandas as pd

from ovenkit import baked, baking, instruments, ledger
from ovenkit.files import choose, number
from ovenkit.layers import working_layers
from ovenkit.loads import load_catalogue
from ovenkit.oneday import OneDay
from ovenkit.oven import Oven
from ovenkit.units import METRIC

DEEP_M = 0.025          # depth of a deep probe
LOAF_LOSS = 0.12        # of an 800 g loaf's dough that leaves as steam (from memory, 8 to 15 %)
READINGS = ("dome front spot", "dome back spot", "hearth spot", "air probe",
            "air probe near wall", "deep hearth probe", "hand count")
PROBE_EPS, PROBE_H, NEAR_H = 0.8, 25.0, 12.0   # a sheathed probe in moving and in wall air


@dataclass(frozen=True, eq=False)
class State:
    """An oven's masonry at one moment, raked out and empty.

    zones_c : [zone, cell] degC, from the inner face outwards, zones in the order of the table
    oven : the Oven it belongs to
    hours : of the day it was taken from; outdoor_c : weather then [degC]
    """
    oven: Oven
    zones_c: np.ndarray
    hours: float
    outdoor_c: float


def loaf_mj():
    """Heat that one 800 g hearth loaf takes [MJ]: to warm its dough and boil off its loss."""
    loaf = load_catalogue()["hearth loaf"]
    return (loaf.warming_j + LOAF_LOSS * loaf.mass_g / 1000 * baking.LATENT) / 1e6


class Run(OneDay):
    """One day, computed; its tables are made when asked for."""

    @cached_property
    def table(self):
        """DataFrame of the day: temperatures [degC] and stored heat [MJ], index hours."""
        t = self.temp_c

        def at(*zones, where):
            rows = [where(zone) for zone in zones]
            return sum(self.cells_k(zone) @ row for zone, row in zip(zones, rows)) / len(
                zones) + self.outdoor_c

        data = {
            "hearth_fire_c": t[:, 0], "hearth_bake_c": t[:, 1], "dome_back_c": t[:, 2],
            "dome_front_c": t[:, 3], "door_c": t[:, 4],
            "hearth_deep_c": at(1, where=self._deep),
            "dome_deep_c": at(2, 3, where=self._deep),
            "hearth_outer_c": at(1, where=self._masonry_face),
            "dome_outer_c": at(2, 3, where=self._masonry_face),
            "air_c": t[:, -1], "feels_c": self.feels_c, "stored_mj": self.stored_j / 1e6,
            "hearth_under_load_c": np.where(self.during("ration")[:, 0].sum(-1) > 0, t[:, 5],
                                            np.nan)}
        keep = np.append(True, self.timeline.dt > 0)
        return pd.DataFrame({k: v[keep] for k, v in data.items()},
                            index=pd.Index(self.hours[keep], name="hours"))

    def _deep(self, zone):
        """Weights of the cells of a zone that give the temperature at DEEP_M."""
        depth = self.slabs.grid.depth[zone]
        return np.array([np.interp(DEEP_M, depth, row) for row in np.eye(len(depth))])

    def _masonry_face(self, zone):
        """Weights of the cells that give the outer face of the masonry, by flux continuity."""
        layers = working_layers(self.oven.dome if zone in (2, 3) else self.oven.hearth)
        width = self.slabs.grid.width[zone]
        i = int(np.argmin(np.abs(np.cumsum(width) - layers[0][0])))
        row = np.zeros(len(width))
        if i + 1 == len(width):
            row[i] = 1.0
            return row
        inner, outer = layers[0][1] / width[i], layers[min(1, len(layers) - 1)][1] / width[i + 1]
        row[i], row[i + 1] = inner / (inner + outer), outer / (inner + outer)
        return row

    @cached_property
    def baked(self):
        """List of `baked.Baked`: what came out, one per kind of load in a Bake."""
        return baked.baked(self)

    def baked_in(self, scale):
        """List of `baked.Baked`, the temperatures of `why` in a units.Scale."""
        return self.baked if scale == METRIC else baked.baked(self, scale)

    @cached_property
    def bakes(self):
        """DataFrame of what came out, a row per kind of load in a Bake; see `baked.Baked`."""
        return pd.DataFrame(self.baked, columns=baked.Baked._fields)

    @cached_property
    def rates(self):
        """DataFrame of heat flows [W]: what `energy` integrates; see `ledger.rates`."""
        return ledger.rates(self)

    @cached_property
    def energy(self):
        """Series of the day's heat [MJ], in and out; see `ledger`."""
        return ledger.energy(self, self.rates)

    def at(self, column, hours):
        """A column of the table at `hours` [h], one moment or an array of them."""
        values = np.interp(hours, self.table.index.to_numpy(), self.table[column].to_numpy())
        return values if np.ndim(hours) else float(values)

    def _time(self, hours):
        return number(hours, "hours", 0.0, self.hours[-1] + 1e-9, "h of this day")

    @cached_property
    def _bricks(self):
        """(temperatures [degC], heat capacities [J/K]) of all cells of brick, (moments, cells)."""
        g, area = self.slabs.grid, self.during("body_m2")
        temps, capacities = [], []
        for body in [0, 1, 2, 3, *range(5, 5 + self.program.places)]:
            wall = self.oven.dome if body in (2, 3) else self.oven.hearth
            n = int(np.searchsorted(g.depth[body], wall[0].thickness_m))
            temps.append(self.of("modes")[:, body] @ self.slabs.basis[body, :n].T)
            capacities.append(area[:, body, None] * g.capacity[body, :n])
        return np.concatenate(temps, axis=1) + self.outdoor_c, np.concatenate(capacities, axis=1)

    def _usable_mj(self, above_c, rows=slice(None)):
        temps, capacities = (x[rows] for x in self._bricks)
        return (np.maximum(temps - above_c, 0.0) * capacities).sum(-1) / 1e6

    def usable_mj(self, above_c=150, hours=None):
        """Heat in the masonry above a temperature: a Series over the day, or at `hours` [MJ].

        above_c : [degC]; hours : [h]. Counts hearth and dome bricks hotter than that, not
        insulation: the sum of C (T - above) over such cells.
        """
        total = self._usable_mj(number(above_c, "above_c", -40, 1500, "degC"))
        return self._over_day(total, hours, "usable_mj")

    def loaves_left(self, hours=None, above_c=None):
        """How many 800 g loaves the heat above the present load's hearth limit would warm.

        hours : [h], or None for a Series over the day; above_c : limit [degC], or None for the
        lower hearth band of the load that is in, or goes in next, or went in last.
        """
        if above_c is None:
            total = self._left
        else:
            total = self._usable_mj(number(above_c, "above_c", -40, 1500, "degC")) / loaf_mj()
        return self._over_day(total, hours, "loaves_left")

    @cached_property
    def _left(self):
        limits, total = self._limits(), np.zeros(len(self.hours))
        for level in np.unique(limits):
            rows = limits == level
            total[rows] = self._usable_mj(level, rows)
        return total / loaf_mj()

    def _over_day(self, values, hours, name):
        if hours is not None:
            return float(np.interp(self._time(hours), self.hours, values))
        return pd.Series(values, index=pd.Index(self.hours, name="hours"), name=name)

    def _limits(self):
        """Lower hearth band [degC] at every moment: of the load that is in, of the next, or of
        the last; of a hearth loaf on a day without loads."""
        limits, ahead = [], None
        for row in reversed(self.timeline.segments):
            if row.inside:
                ahead = row.laid[0][0].hearth_low_c
            limits.append(ahead)
        known = [limit for limit in limits if limit is not None]
        last = known[0] if known else load_catalogue()["hearth loaf"].hearth_low_c
        limits = [last if limit is None else limit for limit in reversed(limits)]
        return np.array(limits, float)[self.segment]

    def reading(self, where, hours):
        """What an instrument shows at `hours` [h]: degC, or seconds for "hand count".

        where : "dome front spot", "dome back spot", "hearth spot", "air probe",
        "air probe near wall", "deep hearth probe" or "hand count"
        hours : one moment, or an array of them
        Raises InputError for another name, or a time outside the day.
        """
        choose(where, READINGS, "instrument")
        for hour in np.ravel(hours).tolist() if np.ndim(hours) else [hours]:
            self._time(hour)
        shown = self._shown(where, np.asarray(hours, float))
        return shown if np.ndim(hours) else float(shown)

    def _shown(self, where, hours):
        spot = {"dome front spot": "dome_front_c", "dome back spot": "dome_back_c",
                "hearth spot": "hearth_bake_c"}.get(where)
        if where == "deep hearth probe":
            return self.at("hearth_deep_c", hours)
        back, front, hearth = (self.at(k, hours) for k in (
            "dome_back_c", "dome_front_c", "hearth_bake_c"))
        wall = (back + front + hearth) / 3
        if spot:
            return instruments.spot_c(self.at(spot, hours), wall)
        air = self.at("air_c", hours)
        if where == "hand count":
            return instruments.hand_count_s(wall, air)
        if where == "air probe":
            return instruments.probe_c(air, wall, PROBE_H, PROBE_EPS)
        return instruments.probe_c((air + front) / 2, front, NEAR_H, PROBE_EPS)

    def state(self, hours=None):
        """The masonry at `hours` [h] (the end if left out), as a State to go on from.

        What is in the oven then counts as taken out, embers as raked out.
        """
        hours = self.hours[-1] if hours is None else self._time(hours)
        i = int(np.clip(np.searchsorted(self.hours, hours, side="right"), 1, len(self.hours) - 1))
        a, b = self.hours[i - 1], self.hours[i]
        share = (hours - a) / (b - a) if b > a else 1.0
        z = (1 - share) * self.zone_modes[i - 1] + share * self.zone_modes[i]
        cells = np.einsum("bnm,bm->bn", self.slabs.basis[:5], z) + self.outdoor_c
        return State(self.oven, cells, float(hours), self.outdoor_c)
