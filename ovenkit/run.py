"""What a day came to: temperatures, bakes, the ledger of heat, and a state to go on from."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import pandas as pd

from ovenkit import baking, burning, conduction, instruments
from ovenkit.files import choose, number, refuse
from ovenkit.loads import load_catalogue
from ovenkit.march import LEAST_EMBER_KG, Trace
from ovenkit.program import OUTSIDE_W_M2K, Program, bodies, load_slab
from ovenkit.units import SIGMA, ZERO_C
from ovenkit.verdicts import colour, judge

FEEL_EPS = 0.90         # of a load, and of a kitchen oven's walls seen by it
FEEL_H = 6.0            # W/m2K, still air over a load (natural convection, 30 to 60 K)
SIDE_SHARE = 0.22       # of what a loaf's crust sees, the share that is hearth
DEEP_M = 0.025          # depth of a deep probe
LOAF_LOSS = 0.12        # of an 800 g loaf's dough that leaves as steam (from memory, 8 to 15 %)
TERMS = ("flue", "mouth", "embers", "unburnt", "outer", "food", "steam", "stored")
READINGS = ("dome front spot", "dome back spot", "hearth spot", "air probe",
            "air probe near wall", "deep hearth probe", "hand count")
PROBE_EPS, PROBE_H, NEAR_H = 0.8, 25.0, 12.0   # a sheathed probe in moving and in wall air


@dataclass(frozen=True, eq=False)
class State:
    """An oven's masonry at one moment, raked out and empty.

    zones_c : [zone, cell] degC, from the inner face outwards, zones in the order of the table
    hours : of the day it was taken from; outdoor_c : weather then [degC]
    """
    zones_c: np.ndarray
    hours: float
    outdoor_c: float


def loaf_mj():
    """Heat that one 800 g hearth loaf takes [MJ]: to warm its dough and boil off its loss."""
    loaf = load_catalogue()["hearth loaf"]
    return (loaf.warming_j + LOAF_LOSS * loaf.mass_g / 1000 * baking.LATENT) / 1e6


def feels_k(dome_w_m2, hearth_w_m2, air_k):
    """Return the even kitchen oven [K] that gives a load's crust the same heat.

    dome_w_m2, hearth_w_m2 : sigma T^4 of what the crust sees above and beside [W/m2]
    air_k : [K]. Solves eps sigma T^4 + h T = eps (seen) + h T_air, by Newton.
    """
    seen = FEEL_EPS * ((1 - SIDE_SHARE) * dome_w_m2 + SIDE_SHARE * hearth_w_m2) + FEEL_H * air_k
    t = np.array(air_k, float)
    for _ in range(6):
        t = t - (FEEL_EPS * SIGMA * t**4 + FEEL_H * t - seen) / (
            4 * FEEL_EPS * SIGMA * t**3 + FEEL_H)
    return t


@dataclass(frozen=True, eq=False)
class Run:
    """One day of a marched program; tables are made when asked for."""
    program: Program
    trace: Trace
    day: int

    @property
    def oven(self):
        return self.program.ovens[self.day]

    @property
    def outdoor_c(self):
        return float(self.program.outdoor_k[self.day] - ZERO_C)

    @cached_property
    def _steps(self):
        return len(self.program.timelines[self.day].dt)

    @cached_property
    def _dt(self):
        return self.program.dt[:self._steps, self.day]

    @cached_property
    def _segment(self):
        """Segment of every moment: that of the step which ends there."""
        s = self.program.segment[:self._steps, self.day]
        return np.concatenate([s[:1], s])

    @cached_property
    def hours(self):
        """Time of every moment [h]."""
        return np.concatenate([[0.0], np.cumsum(self._dt)]) / 3600

    def _of(self, name):
        return getattr(self.trace, name)[:self._steps + 1, self.day]

    def _set(self, name):
        p, d = self.program, self.day
        return getattr(p, name)[p.kind[d], p.scene[d][self._segment]]

    @cached_property
    def _slab(self):
        """Slabs of the bodies of masonry: zones, then places."""
        slab, which = self.program.slabs, bodies(self.program.places)
        return conduction.Slab(*(x[self.day, which] for x in slab[:4]),
                               conduction.Grid(*(x[self.day, which] for x in slab.grid)))

    def _cells_k(self, body):
        """Cell temperatures of a body of masonry over outdoors [K], (moments, cells)."""
        return self._of("modes")[:, body] @ self._slab.basis[body].T

    @cached_property
    def _zone_modes(self):
        """Modes of the zones with the cold spots shared out again, (moments, 5, modes)."""
        z = self._of("modes")[:, :5 + self.program.places]
        ration = self._set("ration")
        area = self._set("body_m2")[:, :2, None]
        whole = area + ration.sum(1)[..., None]
        out = z[:, :5].copy()
        out[:, :2] = (out[:, :2] * area + np.swapaxes(ration, 1, 2) @ z[:, 5:]) / whole
        return out

    @cached_property
    def _stored_j(self):
        """Heat in masonry, door and air over outdoors [J]."""
        energy = np.einsum("bnm,bn->bm", self._slab.basis, self._slab.grid.capacity)
        heat = np.einsum("kbm,bm->kb", self._of("modes")[:, :len(energy)], energy)
        air = self.program.air_j_k[self.day] * (
            self._of("temp_k")[:, -1] - self.program.outdoor_k[self.day])
        return (heat * self._set("body_m2")).sum(-1) + air

    @cached_property
    def _feels_c(self):
        glow = SIGMA * self._of("temp_k")**4
        off = np.isinf(self._gap)
        door = np.where(off, SIGMA * self.program.outdoor_k[self.day]**4, glow[:, 4])
        o = self.oven
        dome = o.dome_area_m2 / (o.dome_area_m2 + o.mouth_area_m2)
        above = dome * (glow[:, 2] + glow[:, 3]) / 2 + (1 - dome) * door
        return feels_k(above, glow[:, 1], self._of("temp_k")[:, -1]) - ZERO_C

    @cached_property
    def _gap(self):
        gaps = np.array([s.gap_m for s in self.program.timelines[self.day].segments])
        return gaps[self._segment]

    def _outer_w_m2(self, body):
        g = self._slab.grid
        conductance = conduction.outer_conductance(g, OUTSIDE_W_M2K)[body]
        return conductance * (self._of("modes")[:, body] @ self._slab.basis[body, -1])

    @cached_property
    def table(self):
        """DataFrame of the day: temperatures [degC] and stored heat [MJ], index hours."""
        t = self._of("temp_k") - ZERO_C
        depth = self._slab.grid.depth
        outdoor = self.outdoor_c

        def at(body, where):
            return self._cells_k(body) @ where + outdoor

        def deep(body):
            x = depth[body]
            i = int(np.clip(np.searchsorted(x, DEEP_M), 1, len(x) - 1))
            share = np.clip((DEEP_M - x[i - 1]) / (x[i] - x[i - 1]), 0, 1)
            row = np.zeros(len(x))
            row[i - 1], row[i] = 1 - share, share
            return row

        def outer(body, layers):
            """The face between masonry and what comes next, by flux continuity."""
            i = int(np.searchsorted(np.cumsum(self._slab.grid.width[body]),
                                    layers[0].thickness_m * (1 + 1e-9)))
            width = self._slab.grid.width[body]
            i = i - 1 if np.cumsum(width)[i] > layers[0].thickness_m * (1 + 1e-6) else i
            if i + 1 >= len(width):
                row = np.zeros(len(width))
                row[-1] = 1.0
                return row
            half = _half_conductances(self.oven, body, width, i)
            row = np.zeros(len(width))
            row[i], row[i + 1] = half[0] / sum(half), half[1] / sum(half)
            return row

        data = {
            "hearth_fire_c": t[:, 0], "hearth_bake_c": t[:, 1], "dome_back_c": t[:, 2],
            "dome_front_c": t[:, 3], "door_c": t[:, 4],
            "hearth_deep_c": at(1, deep(1)),
            "dome_deep_c": (at(2, deep(2)) + at(3, deep(3))) / 2,
            "hearth_outer_c": at(1, outer(1, self.oven.hearth)),
            "dome_outer_c": (at(2, outer(2, self.oven.dome)) + at(3, outer(3, self.oven.dome))) / 2,
            "air_c": t[:, -1], "feels_c": self._feels_c, "stored_mj": self._stored_j / 1e6,
            "hearth_under_load_c": np.where(self._set("ration")[:, 0].sum(-1) > 0, t[:, 5], np.nan)}
        keep = np.concatenate([[True], self._dt > 0])
        return pd.DataFrame({k: v[keep] for k, v in data.items()},
                            index=pd.Index(self.hours[keep], name="hours"))

    def _integral(self, rate):
        """Integral of a rate per moment, as the march held it: straight between moments, and
        over the first step of a segment constant."""
        first = self.program.first[:self._steps, self.day]
        before, after = rate[:-1], rate[1:]
        mean = np.where(first.reshape(-1, *[1] * (rate.ndim - 1)), after, (before + after) / 2)
        return np.concatenate([np.zeros((1,) + rate.shape[1:]), np.cumsum(
            mean * self._dt.reshape(-1, *[1] * (rate.ndim - 1)), axis=0)])

    @cached_property
    def rates(self):
        """DataFrame of heat flows [W] at every moment: what `energy` integrates."""
        p, d = self.program, self.day
        line = p.timelines[d]
        t, outdoor = self._of("temp_k"), p.outdoor_k[d]
        pad = [0.0]
        flame = np.concatenate([pad, line.flame_w])
        boiled = self._of("boiled_w").sum((1, 2))
        glow = (self._set("glow_out") * SIGMA * (t**4 - outdoor**4)).sum(-1)
        light = self._set("flame")[:, -1] * burning.RADIANT * flame
        gas = self._of("draught_w_k") * (t[:, -1] - outdoor)
        live = self._set("live")
        masonry = 5 + p.places
        area = self._set("body_m2")
        outer = sum(area[:, i] * self._outer_w_m2(i) for i in range(masonry))
        off = (self._set("sink") * (t - outdoor)).sum(-1)
        into = self._of("heat_w")[:, masonry:-2].sum(-1)
        return pd.DataFrame({
            "wood": np.concatenate([line.feed_w[:1], line.feed_w]),
            "flue": np.where(live, gas, 0.0), "mouth": np.where(live, 0.0, gas) + glow + light,
            "unburnt": np.concatenate([line.smoke_w[:1], line.smoke_w]), "outer": outer + off, "food": into - boiled,
            "steam": boiled + self._of("steam_w_k") * (t[:, -1] - baking.BOIL_K)},
            index=pd.Index(self.hours, name="hours"))

    @cached_property
    def energy(self):
        """Series of the day's heat [MJ]: wood = flue + mouth + embers + unburnt + outer + food
        + steam + stored + residual. Each term is integrated from its own flow."""
        p, d = self.program, self.day
        sums = {k: self._integral(v.to_numpy())[-1] / 1e6 for k, v in self.rates.items()}
        line = p.timelines[d]
        live = self._set("live")
        ember_j = np.concatenate([[0.0], live[1:] * burning.EMBER_CP * (
            line.char_kg + LEAST_EMBER_KG) * (self._of("temp_k")[1:, -2] - p.outdoor_k[d])])
        left_j = np.concatenate([[0.0], line.left_j])
        raked = np.flatnonzero(p.rake[d][line.segment] & line.first)
        ends = np.append(raked, len(line.dt))
        sums["embers"] = sum(ember_j[i] for i in ends) / 1e6
        sums["unburnt"] += sum(left_j[i] for i in ends) / 1e6
        sums["stored"] = (self._stored_j[-1] - self._stored_j[0]) / 1e6
        sums["residual"] = sums["wood"] - sum(sums[k] for k in TERMS)
        return pd.Series({k: sums[k] for k in ("wood", *TERMS, "residual")}, name="MJ")

    @cached_property
    def bakes(self):
        """DataFrame of what came out: a row per kind of load in a Bake."""
        columns = ("load count in_h out_h hearth_in_c dome_in_c air_in_c feels_in_c core_out_c "
                   "top_c bottom_c top bottom loss_pct heat_mj radiation_share verdict why").split()
        rows = [self._baked(s, place) for s, row in enumerate(
            self.program.timelines[self.day].segments) if row.lay and row.inside
            for place in range(len(row.laid))]
        return pd.DataFrame(rows, columns=columns)

    @cached_property
    def _browned(self):
        """Browning of tops and bottoms up to every moment, (moments, 2, J)."""
        n = 5 + self.program.places
        t = self._of("temp_k")[:, n:-2].reshape(-1, 2, self.program.places)
        return self._integral(baking.browning_rate(t))

    @cached_property
    def _taken(self):
        """Heat into loads and latent heat out of them up to every moment [J]."""
        j, n = self.program.places, 5 + self.program.places
        heat = self._of("heat_w")
        rates = np.stack([heat[:, n:n + j], heat[:, n + j:n + 2 * j], self._of("by_air_w"),
                          self._of("boiled_w").sum(1)], axis=1)
        return self._integral(rates)

    def core_c(self, place=0):
        """Core of the load at a place, at every moment [degC]; only true while it is in."""
        core = np.full(len(self.hours), np.nan)
        segments = self.program.timelines[self.day].segments
        z = self._of("modes")[:, 5 + self.program.places + place]
        for i in np.unique(self._segment):
            laid = segments[i].laid
            if segments[i].inside and place < len(laid):
                here = self._segment == i
                rows = load_slab(laid[place][0]).basis
                middle = rows[len(rows) // 2 - 1:len(rows) // 2 + 1].mean(0)
                core[here] = z[here] @ middle + self.outdoor_c
        return core

    def _span(self, segment):
        """First and last moment of the segments in which the load laid at `segment` is in."""
        segments = self.program.timelines[self.day].segments
        last = segment
        while last + 1 < len(segments) and segments[last + 1].inside and not segments[last + 1].lay:
            last += 1
        inside = np.flatnonzero((self._segment >= segment) & (self._segment <= last))
        inside = inside[inside > 0]
        return inside[0] - 1, inside[-1]

    def _baked(self, segment, place):
        segments = self.program.timelines[self.day].segments
        load, count = segments[segment].laid[place]
        start, end = self._span(segment)
        step = segments[segment].step
        before = max(np.flatnonzero([segments[i].step == step for i in self._segment])[0] - 1, 0)
        t = self._of("temp_k") - ZERO_C
        browned = self._browned[end, :, place] - self._browned[start, :, place]
        top_w, bottom_w, by_air, boiled = self._taken[end, :, place] - self._taken[start, :, place]
        top = colour(browned[0], load.top_gold, load.top_dark, load.top_burnt)
        bottom = colour(browned[1], load.bottom_gold, load.bottom_dark, load.bottom_burnt)
        if not load.crust:
            top = bottom = "pale"
        core = self.core_c(place)[end]
        n = 5 + self.program.places + place
        minutes = (self.hours[end] - self.hours[start]) * 60
        hearth, dome = t[before, 1], (t[before, 2] + t[before, 3]) / 2
        feels = self._feels_c[before]
        heat = top_w + bottom_w
        loss = 100 * boiled / baking.LATENT / (count * load.mass_g / 1000)
        verdict, why = judge(load, core, top, bottom, hearth, feels, minutes, loss)
        return (load.name, count, self.hours[start], self.hours[end], hearth, dome,
                t[before, -1], feels, core, t[end, n], t[end, n + self.program.places], top, bottom,
                loss, heat / 1e6,
                (top_w - by_air) / heat if heat else 0.0, verdict, why)

    def _at(self, values, hours):
        hours = number(hours, "hours", 0.0, self.hours[-1] + 1e-9, "h of this day")
        return float(np.interp(hours, self.hours, values))

    def usable_mj(self, above_c=150, hours=None):
        """Heat in the masonry above a temperature: a Series over the day, or at `hours` [MJ].

        above_c : [degC]; hours : [h]. Counts hearth and dome bricks hotter than that, not
        insulation. Sum of C (T - above) over such cells.
        """
        above_c = number(above_c, "above_c", -40, 1500, "degC")
        total = np.zeros(len(self.hours))
        area = self._set("body_m2")
        for body in range(5 + self.program.places):
            if body == 4:
                continue
            wall = self.oven.dome if body in (2, 3) else self.oven.hearth
            brick = self._slab.grid.depth[body] < wall[0].thickness_m
            over = np.maximum(self._cells_k(body)[:, brick] + self.outdoor_c - above_c, 0.0)
            total += area[:, body] * (over @ self._slab.grid.capacity[body][brick])
        total /= 1e6
        if hours is not None:
            return self._at(total, hours)
        return pd.Series(total, index=pd.Index(self.hours, name="hours"), name="usable_mj")

    def loaves_left(self, hours=None, above_c=None):
        """How many 800 g loaves the heat above the present load's hearth limit would warm.

        hours : [h], or None for a Series over the day; above_c : limit [degC], or None for the
        lower hearth band of the load that is in, or goes in next, or went in last.
        """
        if above_c is None:
            limits = self._limits()
            levels = np.unique(limits)
            total = np.zeros(len(self.hours))
            for level in levels:
                total += np.where(limits == level, self.usable_mj(level).to_numpy(), 0.0)
        else:
            total = self.usable_mj(above_c).to_numpy()
        total = total / loaf_mj()
        if hours is not None:
            return self._at(total, hours)
        return pd.Series(total, index=pd.Index(self.hours, name="hours"), name="loaves_left")

    def _limits(self):
        segments = self.program.timelines[self.day].segments
        limit, per_segment = None, []
        for row in reversed(segments):
            if row.lay and row.laid:
                limit = row.laid[0][0].hearth_low_c
            per_segment.append(limit)
        per_segment = per_segment[::-1]
        last = next((x for x in reversed(per_segment) if x is not None),
                    load_catalogue()["hearth loaf"].hearth_low_c)
        for i in range(len(per_segment) - 1, -1, -1):
            if segments[i].inside and segments[i].laid:
                last = segments[i].laid[0][0].hearth_low_c
            per_segment[i] = per_segment[i] if per_segment[i] is not None else last
        return np.array(per_segment, float)[self._segment]

    def reading(self, where, hours):
        """What an instrument shows at `hours` [h]: degC, or seconds for "hand count".

        where : "dome front spot", "dome back spot", "hearth spot", "air probe",
        "air probe near wall", "deep hearth probe" or "hand count".
        Raises InputError for another name, or a time outside the day.
        """
        choose(where, READINGS, "instrument")
        table = self.table
        row = {k: float(np.interp(number(hours, "hours", 0, self.hours[-1] + 1e-9, "h"),
                                  table.index, table[k])) for k in table.columns[:-1]}
        wall = (row["dome_back_c"] + row["dome_front_c"] + row["hearth_bake_c"]) / 3
        air = row["air_c"]
        spots = {"dome front spot": row["dome_front_c"], "dome back spot": row["dome_back_c"],
                 "hearth spot": row["hearth_bake_c"]}
        if where in spots:
            return float(instruments.spot_c(spots[where], wall))
        if where == "deep hearth probe":
            return row["hearth_deep_c"]
        if where == "hand count":
            return float(instruments.hand_count_s(wall, air))
        if where == "air probe":
            return float(instruments.probe_c(air, wall, PROBE_H, PROBE_EPS))
        return float(instruments.probe_c((air + row["dome_front_c"]) / 2, row["dome_front_c"],
                                         NEAR_H, PROBE_EPS))

    def state(self, hours=None):
        """The masonry at `hours` [h] (the end if left out), as a State to go on from.

        What is in the oven then counts as taken out, embers as raked out.
        """
        hours = self.hours[-1] if hours is None else number(
            hours, "hours", 0.0, self.hours[-1] + 1e-9, "h of this day")
        i = int(np.clip(np.searchsorted(self.hours, hours, side="right"), 1, len(self.hours) - 1))
        a, b = self.hours[i - 1], self.hours[i]
        share = (hours - a) / (b - a) if b > a else 1.0
        z = (1 - share) * self._zone_modes[i - 1] + share * self._zone_modes[i]
        cells = np.einsum("bnm,bm->bn", self._slab.basis[:5], z) + self.outdoor_c
        return State(cells, float(hours), self.outdoor_c)


def _half_conductances(oven, body, width, i):
    """Conductance of the half cells on both sides of the face after cell i (flat is enough)."""
    from ovenkit.oven import working_layers
    layers = working_layers(oven.dome if body in (2, 3) else oven.hearth)
    return 2 * layers[0][1] / width[i], 2 * layers[min(1, len(layers) - 1)][1] / width[i + 1]
