"""A whole day once more, by scipy's stiff solvers: what the march is measured against.

The same physics as `ovenkit.program` and `ovenkit.march`, put together afresh and solved another
way: nodes that sit on the faces of the walls (no modes), the radiosity equations solved surface by
surface, air through the door by the exact flow, one `solve_ivp` for every segment of the day.
Only constants, materials, loads, view factors and the order of segments come from the kit.

The unknowns of a segment are one long chain of nodes - five walls, the cold spots, the loads -
and behind them the skins, crusts and water of the loads, embers, air and vapour.
"""

from time import perf_counter
from typing import NamedTuple

import numpy as np
from scipy.integrate import solve_ivp
from scipy.sparse import csc_matrix

from ovenkit import baking, burning, exchange, program
from ovenkit.layers import working_layers
from ovenkit.march import LEAST_EMBER_KG, VAPOUR_J_M3K
from ovenkit.steps import Fire
from ovenkit.timeline import segments_of
from ovenkit.units import SIGMA, ZERO_C
from ovenkit.views import cavity

SKIN_J_M2K = 2.0        # of the outermost crust: so little that it follows in a tenth of a second
SKIN_M = 1e-6           # least crust, so that a skin is never without a resistance
AIR_J_M3K = 700.0       # heat capacity of a cubic metre of oven air (250 degC)
LEAST_K = 150.0         # keeps a trial of the solver from air below absolute zero
VAPOUR_S = 1.0          # time in which the vapour of the air follows what the loads give off


class Mesh(NamedTuple):
    """Cells of a wall's first layer and how they widen, of its other layers, of a load; and how
    hard a front is held at the boil [W/m2K]."""
    masonry: int = 64
    growth: float = 1.06
    behind: int = 16
    behind_growth: float = 1.15
    load: int = 40
    load_growth: float = 1.10
    boil_w_m2k: float = 1e6


FAST = Mesh(14, 1.3, 5, 1.5, 12, 1.3, 1e5)     # for `time_bdf`: as far off as the march


class Part(NamedTuple):
    """A wall or load as nodes: `size` times k gives W/K, `volume` times rho c gives J/K."""
    size: np.ndarray        # links
    link_layer: np.ndarray  # links, row of the layer each lies in
    volume: np.ndarray      # links, 2: half of each link's own volume to its two nodes
    outer_m2: float         # outer face


class Answer(NamedTuple):
    """A day's answer at the moments asked for; a list of bakes as dicts."""
    hours: np.ndarray
    zones_c: np.ndarray     # moments, 5
    air_c: np.ndarray
    place_c: np.ndarray     # the first cold spot, nan without
    core_c: np.ndarray      # of the first load, nan without
    stored_mj: np.ndarray   # nan for layers that follow temperature
    bakes: list             # load, heat_mj, steam_kg, core_c, crust_m (top, bottom)


def cut(thickness, cells, growth):
    """Depths [m] of the nodes of a layer, from face to face."""
    width = growth ** np.arange(cells)
    return thickness * np.concatenate([[0.0], np.cumsum(width)]) / width.sum()


def part_of(thicknesses, mesh, radius=np.inf):
    """A wall per m2 of its inner face; a shell's area grows as (1 + x / radius)^2."""
    depth, layer = [np.zeros(1)], []
    for i, thick in enumerate(thicknesses):
        cells = mesh.masonry if i == 0 else mesh.behind
        x = cut(thick, cells, mesh.growth if i == 0 else mesh.behind_growth)
        depth.append(depth[-1][-1] + x[1:])
        layer += [i] * cells
    x = np.concatenate(depth)
    middle = (x[1:] + x[:-1]) / 2
    grown = 1 + x / radius
    size = grown[1:] * grown[:-1] / np.diff(x)

    def within(y):                                   # volume up to depth y
        return y + y**2 / radius + y**3 / (3 * radius**2)

    halves = np.stack([within(middle) - within(x[:-1]), within(x[1:]) - within(middle)], -1)
    return Part(size, np.array(layer), halves, grown[-1] ** 2)


def load_part(load, mesh):
    """A piece per m2 of its conduction area, fine at both faces."""
    half = cut(load.slab_m / 2, mesh.load // 2, mesh.load_growth)
    x = np.concatenate([half, load.slab_m - half[-2::-1]])
    width = np.diff(x)
    return Part(1 / width, np.zeros(len(width), int), np.stack([width, width], -1) / 2, 1.0)


class Chain:
    """Bodies in a row, unlinked: capacities [J/K] and links [W/K], fixed or by temperature."""

    def __init__(self, bodies):
        """bodies : (Part, area [m2], layers) each, layers (k, rho c) as numbers or functions."""
        size, volume, self.tables, self.rows, outer = [], [], [], [], []
        start, self.first, self.last = 0, [], []
        for part, area, layers in bodies:
            n = len(part.size) + 1
            size.append(np.append(part.size * area, 0.0))
            volume.append(np.append(part.volume * area, np.zeros((1, 2)), 0))
            for i, table in enumerate(layers):
                self.tables.append(table)
                self.rows.append(start + np.flatnonzero(part.link_layer == i))
            outer.append(part.outer_m2 * area)
            self.first.append(start)
            self.last.append(start + n - 1)
            start += n
        self.nodes, self.outer_m2 = start, np.array(outer)
        self.size, self.volume = np.concatenate(size)[:-1], np.concatenate(volume)[:-1]
        self.fixed = not any(callable(k) for k, _ in self.tables)
        self.given = self._properties(None) if self.fixed else None

    def properties(self, temp_k):
        """(links [W/K], capacities [J/K]) at node temperatures [K]."""
        return self.given if self.fixed else self._properties(temp_k)

    def _properties(self, temp_k):
        shape = (self.nodes, 1) if temp_k is None else temp_k.shape
        link = np.zeros((self.nodes - 1,) + shape[1:])
        capacity = np.zeros(shape)
        for (k, rho_c), rows in zip(self.tables, self.rows):
            if callable(k):
                a, b = temp_k[rows], temp_k[rows + 1]
                link[rows] = self.size[rows, None] * k((a + b) / 2)
                store = rho_c(a), rho_c(b)
            else:
                link[rows], store = self.size[rows, None] * k, (rho_c, rho_c)
            capacity[rows] += self.volume[rows, :1] * store[0]
            capacity[rows + 1] += self.volume[rows, 1:] * store[1]
        return link, capacity


class Room:
    """What the surfaces of one segment are and see: zones, places, tops, embers, outdoors."""

    def __init__(self, oven, segment):
        view = cavity(oven.inside_m, oven.rise_m, oven.mouth_area_m2)
        zones, laid, on = view.areas, segment.laid, segment.inside
        j = len(laid)
        cover = [float(segment.piled), float(segment.spread)]
        opened = min(segment.gap_m / oven.mouth_w_m, 1.0)
        room = [zones[i] * program.FILL * (1 - cover[i]) for i in (0, 1)]
        self.ration = np.zeros((j, 2))
        for p, (load, count) in enumerate(laid):         # the baking hearth fills first
            rest = load.footprint_m2 * count
            for i in (1, 0):
                self.ration[p, i] = min(rest, room[i])
                room[i] -= self.ration[p, i]
                rest -= self.ration[p, i]
        n = 5 + 2 * j + 2
        ember, out, tops = n - 2, n - 1, [5 + j + p for p in range(j)]
        share = np.zeros((n, 5))
        for z in range(5):
            share[z, z] = 1.0
        for i in (0, 1):
            share[i, i] -= cover[i] + self.ration[:, i].sum() / zones[i]
            share[ember, i] = cover[i]
            for p in range(j):
                share[tops[p] if on else 5 + p, i] = self.ration[p, i] / zones[i]
        share[4, 4], share[out, 4] = 1 - opened, opened
        share = np.maximum(share, 0.0)
        sight = np.zeros((n, n))
        for a in range(5):
            for b in range(5):
                sight += np.outer(share[:, a], share[:, b]) * zones[a] * view.view_factors[a, b]
        area = share @ zones
        sides = [(load.top_m2 - load.footprint_m2) * count * on for load, count in laid]
        self._raise(sight, area, sides, tops, zones, out)
        self.zones, self.area, self.covered = zones, area, self.ration.sum(1)
        self._solve(area, sight, share @ view.flame, j)
        up, down, side = (exchange.HOT_FACING_UP, exchange.HOT_FACING_DOWN, exchange.UPRIGHT)
        rising = [up, up, down, down, side] + [up] * j + [side] * j + [up, 0.0]
        self.warm = np.array(rising) * area              # W/K per buoyancy and K^(1/3)
        self.plume = np.zeros(n)
        self.plume[2:4] = area[2:4]
        self.contact = np.array([y.contact_w_m2k * y.footprint_m2 * c * on for y, c in laid])
        self.ash = [burning.ASH_W_M2K * zones[i] * cover[i] for i in (0, 1)]
        self.off = program.OFF_W_M2K * zones[4] * (opened == 1.0 and np.isinf(segment.gap_m))

    @staticmethod
    def _raise(sight, area, sides, tops, zones, out):
        """Sides of loads see half hearth and half dome as far as the hearth between is free."""
        spare, hearth = area[0] + area[1], zones[0] + zones[1]
        x = [0.5 * s * spare / hearth for s in sides]
        if sum(x) <= 0.0:
            return
        x = [v * min(1.0, 0.9 * spare / sum(x)) for v in x]
        total, rest = sum(x), [2, 3, 4, out]
        gone = {(i, r): total / spare * sight[i, r] for i in (0, 1) for r in rest}
        for (i, r), value in gone.items():
            sight[i, r] -= value
            sight[r, i] -= value
            for p, t in enumerate(tops):
                sight[t, r] += x[p] / total * value
                sight[r, t] += x[p] / total * value
        for p, t in enumerate(tops):
            for i in (0, 1):
                sight[t, i] += x[p] * area[i] / spare
                sight[i, t] += x[p] * area[i] / spare
            sight[t, t] += sides[p] - 2 * x[p]
            area[t] += sides[p]

    def _solve(self, area, sight, flame, j):
        """Radiosity J = eps E + (1 - eps)(F J + H): heat kept as `glow` @ E + `light` * H."""
        eps = np.array([program.HEARTH_EPS] * 2 + [program.DOME_EPS] * 2 + [program.DOOR_EPS]
                       + [program.HEARTH_EPS] * j + [program.LOAD_EPS] * j
                       + [program.EMBER_EPS, 1.0])
        n = len(area)
        self.glow, self.light = np.zeros((n, n)), np.zeros(n)
        on = np.flatnonzero(area > 0.0)
        a, e, f = area[on], eps[on], sight[np.ix_(on, on)] / area[on, None]
        assert np.allclose(f.sum(1), 1.0, atol=1e-9), "rows of view factors sum to one"
        bounce = np.linalg.inv(np.eye(len(on)) - (1 - e)[:, None] * f)
        self.glow[np.ix_(on, on)] = (a * e)[:, None] * (f @ (bounce * e) - np.eye(len(on)))
        strikes = flame[on] / a
        self.light[on] = a * e * (f @ (bounce @ ((1 - e) * strikes)) + strikes)


class Stage:
    """One segment: its unknowns, their rates, and which depends on which."""

    def __init__(self, oven, segment, outdoor_k, walls, mesh, fuel, film):
        self.room, self.segment, self.outdoor_k = Room(oven, segment), segment, outdoor_k
        self.oven, self.fuel, self.film, self.boil = oven, fuel, film, mesh.boil_w_m2k
        room, self.j = self.room, len(segment.laid)
        self.inside = segment.inside and self.j > 0
        free = [room.zones[i] - room.ration[:, i].sum() for i in (0, 1)]
        bodies = [walls[0] + (free[0],), walls[0] + (free[1],), walls[1] + (room.zones[2],),
                  walls[1] + (room.zones[3],), walls[2] + (room.zones[4],)]
        bodies += [walls[0] + (area,) for area in room.covered]
        bodies = [(part, area, layers) for part, layers, area in bodies]
        self.walls = len(bodies)
        if self.inside:
            bodies += [(load_part(y, mesh), y.volume_m3 / y.slab_m * c,
                        [(y.conductivity_w_mk, y.capacity_j_k / y.volume_m3)])
                       for y, c in segment.laid]
        self.chain = Chain(bodies)
        self.first, self.last = np.array(self.chain.first), np.array(self.chain.last)
        self.tie = program.OUTSIDE_W_M2K * self.chain.outer_m2[:self.walls, None]
        n, k = self.chain.nodes, self.j if self.inside else 0
        self.k = k
        at = np.cumsum([n, 2 * k, 2 * k, k, 1, 1])
        self.skin, self.crust, self.gone = slice(n, at[1]), slice(at[1], at[2]), slice(at[2], at[3])
        self.ember, self.air, self.vapour, self.size = at[3], at[4], at[5], at[5] + 1
        self.air_j_k = AIR_J_M3K * np.pi * oven.rise_m / 6 * (
            3 * (oven.inside_m / 2) ** 2 + oven.rise_m**2)
        off = np.isinf(segment.gap_m)
        crack, gap = (0.0, oven.mouth_w_m) if off else (
            oven.crack_m, min(segment.gap_m, oven.mouth_w_m))
        self.opening = gap + 2 * crack, crack * oven.mouth_w_m, oven.mouth_h_m
        if k:
            count = np.array([c for _, c in segment.laid], float)
            self.side = np.array([y.top_m2 for y, _ in segment.laid]
                                 + [y.footprint_m2 for y, _ in segment.laid]) * np.tile(count, 2)
            self.water = np.array([max(y.water_kg, 1e-6) for y, _ in segment.laid]) * count
            self.dries = np.tile([float(y.crust) for y, _ in segment.laid], 2)
            self.wet = np.array([float(y.wet) for y, _ in segment.laid])
            self.fronts = np.concatenate([self.first[self.walls:], self.last[self.walls:]])

    def unpack(self, y):
        """Surface temperatures [K], as in `Room`."""
        T, n, k = y[:self.chain.nodes], len(self.room.area), self.k
        surface = np.full((n, y.shape[1]), self.outdoor_k)
        surface[:5 + self.j] = T[self.first[:5 + self.j]]
        if k:
            surface[5 + self.j:5 + 2 * self.j] = y[self.skin][:k]
        return surface

    def rates(self, t, y):
        """d/dt of the unknowns; `y` may hold several columns."""
        flat = y.ndim == 1
        y = y[:, None] if flat else y
        room, k, j = self.room, self.k, self.j
        T, air = y[:self.chain.nodes], np.maximum(y[self.air], LEAST_K)
        link, capacity = self.chain.properties(T)
        flow = link * (T[:-1] - T[1:])
        heat = np.zeros_like(T)
        heat[:-1] -= flow
        heat[1:] += flow
        outer = self.last[:self.walls]
        heat[outer] += self.tie * (self.outdoor_k - T[outer])
        flame_w, ember_w, char_kg = self.fuel(t)
        surface = self.unpack(y)
        live = self.segment.piled or self.segment.spread
        ember_c = burning.EMBER_CP * (char_kg + LEAST_EMBER_KG)
        if live:
            surface[-2] = self.outdoor_k + y[self.ember] / ember_c
        got = room.glow @ (SIGMA * surface**4)
        got += (room.light * burning.RADIANT * flame_w)[:, None]
        lift = exchange.buoyancy((surface + air) / 2 if self.film else air)
        h_area = room.warm[:, None] * lift * np.cbrt(np.abs(surface - air))
        by_air = h_area + room.plume[:, None] * burning.PLUME * np.cbrt(flame_w / 1000.0)
        got += by_air * (air - surface)
        air_w = (by_air * (surface - air)).sum(0) + (1 - burning.RADIANT) * flame_w
        for i in (0, 1):
            ash = room.ash[i] * (surface[-2] - surface[i])
            got[i] += ash
            got[-2] -= ash
        got[4] += room.off * (self.outdoor_k - surface[4])
        flow_kg_s = exchange.opening_flow(*self.opening, air, self.outdoor_k).kg_s
        air_w -= flow_kg_s * cp_to(air, self.outdoor_k) * (air - self.outdoor_k)

        out = np.zeros_like(y)
        if k:
            skin, crust = y[self.skin], np.maximum(y[self.crust], 0.0) + SKIN_M
            touch = room.contact[:, None] * (surface[5:5 + j] - skin[k:])
            got[5:5 + j] -= touch
            through = (skin - T[self.fronts]) * (baking.CRUST_K * self.side[:, None] / crust)
            into = np.concatenate([got[5 + j:5 + 2 * j], touch])
            out[self.skin] = (into - through) / (SKIN_J_M2K * self.side[:, None])
            boiled = self.boiled(y, T[self.fronts], h_area[5 + j:5 + 2 * j])
            heat[self.fronts] += through - boiled
            grown = boiled * self.dries[:, None] / (
                baking.LATENT * baking.CRUST_WATER * self.side[:, None])
            out[self.crust] = np.where((y[self.crust] > 0) | (grown > 0), grown, 0.0)
            out[self.gone] = (boiled[:k] + boiled[k:]) / baking.LATENT
            steam = boiled.sum(0) / baking.LATENT
            air_w += steam * baking.STEAM_CP * (baking.BOIL_K - air)
            by_volume = steam / (steam + flow_kg_s * 18.015 / 28.96 + 1e-9)
            out[self.vapour] = (by_volume - y[self.vapour]) / VAPOUR_S
        heat[self.first[:self.walls]] += got[:self.walls]
        out[:self.chain.nodes] = heat / capacity
        if live:
            out[self.ember] = got[-2] + ember_w
        out[self.air] = air_w / self.air_j_k
        return out[:, 0] if flat else out

    def boiled(self, y, fronts, h_area):
        """Latent heat [W] that leaves the fronts: tops, then bottoms."""
        k = self.k
        left = np.maximum(1 - y[self.gone] / self.water[:, None], 0.0)
        wet = np.tile(np.minimum(1000.0 * left, 1.0), (2, 1))
        boiled = wet * self.boil * self.side[:, None] * np.maximum(fronts - baking.BOIL_K, 0.0)
        if self.wet.any():
            vapour = baking.vapour_kg_m3(np.minimum(fronts[:k], baking.BOIL_K))[0]
            around = y[self.vapour] * baking.STEAM_KG_M3 * baking.BOIL_K / y[self.air]
            boiled[:k] += self.wet[:, None] * left * h_area * (
                baking.LATENT / VAPOUR_J_M3K) * np.maximum(vapour - around, 0.0)
        return boiled

    def sparsity(self):
        """Which rate depends on which unknown."""
        n = self.chain.nodes
        s = np.zeros((self.size, self.size), bool)
        i = np.arange(n)
        s[i, i] = s[i[1:], i[:-1]] = s[i[:-1], i[1:]] = True
        s[np.arange(n, self.size), np.arange(n, self.size)] = True
        met = list(self.first[:self.walls]) + list(range(n, n + self.k))
        met += [self.air] + ([self.ember] if self.segment.piled or self.segment.spread else [])
        s[np.ix_(met, met)] = True
        for q in range(self.k):
            for side in (q, self.k + q):
                skin, crust, gone = n + side, self.crust.start + side, self.gone.start + q
                front = self.fronts[side]
                hearth = self.first[5 + q]
                for a in (skin, front):
                    s[a, [skin, front, crust, gone]] = True
                s[[crust, gone], front] = s[[crust, gone], gone] = True
                s[[crust, self.vapour, self.air], crust] = True
                s[[self.air, self.vapour], front] = s[[self.air, self.vapour], gone] = True
                s[[skin, hearth], hearth] = s[[skin, hearth], skin] = True
            if self.wet[q]:
                for row in (self.fronts[q], self.gone.start + q, self.air, self.vapour,
                            self.crust.start + q):
                    s[row, [self.vapour, self.air, n + q, self.fronts[q]]] = True
        if self.k:
            s[self.vapour, self.air] = True
        return csc_matrix(s)


def cp_to(temp_k, outdoor_k):
    """Mean heat capacity of air [J/kgK] between two temperatures (Simpson)."""
    ends = exchange._air(temp_k).cp + exchange._air(np.float64(outdoor_k)).cp
    return (ends + 4 * exchange._air((temp_k + outdoor_k) / 2).cp) / 6


def walls_of(oven, mesh, true_layers=False):
    """(Part, layers) of hearth, dome and door."""
    walls = []
    for stack, radius in ((oven.hearth, np.inf), (oven.dome, oven.sphere_radius_m),
                          (oven.door, np.inf)):
        part = part_of([y.thickness_m for y in stack], mesh, radius)
        if true_layers:
            layers = [by_temperature(y.material) for y in stack]
        else:
            layers = [(k, rho * cp) for _, k, rho, cp in working_layers(stack)]
        walls.append((part, layers))
    return walls


def by_temperature(material):
    """(k, rho c) of a material as functions of temperature [K]."""
    temps = np.array(material.temps_c) + ZERO_C
    return (lambda t: np.interp(t, temps, material.k),
            lambda t: material.density * np.interp(t, temps, material.cp))


def soaked(wall, start_k, outdoor_k):
    """Nodes of a wall long held at `start_k` inside: steady conduction to outdoor air."""
    part, layers = wall
    k = np.array([layers[i][0] for i in part.link_layer])
    resistance = np.concatenate([[0.0], np.cumsum(1 / (part.size * k))])
    whole = resistance[-1] + 1 / (program.OUTSIDE_W_M2K * part.outer_m2)
    return start_k - (start_k - outdoor_k) * resistance / whole


def run(oven, steps, outdoor_c=12.0, start_c=None, hours=(), mesh=Mesh(), rtol=1e-6,
        atol_k=1e-3, method="BDF", true_layers=False, film=False):
    """Return the Answer of a day, at `hours` [h], each after 0 and up to the day's end.

    steps : checked steps, every Bake with its time; start_c : None (as cold as outdoors) or the
    temperature of the soaked masonry [degC]; true_layers : k and c follow temperature;
    film : buoyancy at the mean of surface and air, not at the air
    """
    outdoor_k = outdoor_c + ZERO_C
    walls = walls_of(oven, mesh, true_layers)
    begin = [np.full(len(part.size) + 1, outdoor_k) if start_c is None
             else soaked((part, layers), start_c + ZERO_C, outdoor_k) for part, layers in walls]
    zones = [begin[0], begin[0], begin[1], begin[1], begin[2]]
    patches, ration, loads = [], np.zeros((0, 2)), None
    air, ember, vapour = (outdoor_c if start_c is None else start_c) + ZERO_C, 0.0, 0.0
    wood = char = 0.0
    moisture = 18.0
    asked = np.asarray(hours, float) * 3600.0
    clock, rows, bakes = 0.0, [], {}
    for segment in segments_of(tuple(steps)):
        step = steps[segment.step]
        moisture = step.moisture_pct if isinstance(step, Fire) else moisture
        if segment.rake:
            wood = char = ember = 0.0
        fuel, burnt = fire(segment, moisture, wood, char)
        stage = Stage(oven, segment, outdoor_k, walls, mesh, fuel, film)
        if segment.lay:
            for i in (0, 1):
                whole = stage.room.zones[i]
                mixed = zones[i] * (whole - ration[:, i].sum())
                mixed = mixed + sum(r[i] * patch for r, patch in zip(ration, patches))
                zones[i] = mixed / whole
            patches = [(r[0] * zones[0] + r[1] * zones[1]) / r.sum() for r in stage.room.ration]
            loads = None
        ration = stage.room.ration
        if segment.seconds <= 0.0:
            continue
        k = stage.k
        if k and loads is None:
            temps = np.array([y.start_c + ZERO_C for y, _ in segment.laid])
            nodes = stage.last[-1] - stage.first[-1] + 1
            loads = [[np.full(nodes, t) for t in temps], np.tile(temps, 2),
                     np.zeros(2 * k), np.zeros(k)]
        chain = [*zones, *patches] + (loads[0] if k else [])
        tail = [*loads[1:]] if k else []
        y0 = np.concatenate([*chain, *tail, [ember, air, vapour * bool(k)]])
        atol = np.full(stage.size, atol_k)
        atol[stage.crust], atol[stage.gone] = 1e-5 * atol_k, 1e-3 * atol_k
        atol[stage.ember], atol[stage.vapour] = 1e3 * atol_k, 1e-2 * atol_k
        end = clock + segment.seconds
        here = asked[(asked > clock + 1e-6) & (asked <= end + 1e-6)] - clock
        at = np.append(np.minimum(here, segment.seconds), segment.seconds)
        at = np.unique(at)
        solved = solve_ivp(stage.rates, (0.0, segment.seconds), y0, method=method, t_eval=at,
                           rtol=rtol, atol=atol, jac_sparsity=stage.sparsity(), vectorized=True)
        if not solved.success:
            raise RuntimeError(f"{segment}: {solved.message}")
        y = solved.y
        rows.append(_record(stage, y[:, :len(here)], clock + at[:len(here)]))
        last = y[:, -1]
        pieces = np.split(last[:stage.chain.nodes], stage.chain.first[1:])
        zones, patches = pieces[:5], pieces[5:stage.walls]
        ember, air, vapour = last[stage.ember], last[stage.air], last[stage.vapour]
        wood, char = burnt(segment.seconds)
        clock = end
        if k:
            loads = [pieces[stage.walls:], last[stage.skin], last[stage.crust],
                     last[stage.gone]]
            bakes[segment.step] = [_baked(stage, q, loads) for q in range(k)]
    return Answer(*(np.concatenate(column) for column in zip(*rows)), sum(bakes.values(), []))


def fire(segment, moisture, wood, char):
    """(fuel, burnt): heat of flames and embers and the charcoal at t; (wood, char) at t."""
    gas_j, _ = (1e6 * v for v in burning.wood_shares_mj(moisture))
    life = burning.SPREAD_S if segment.spread else burning.EMBER_S
    dry = burning.CHAR_YIELD * (1 - moisture / 100)

    def burnt(t):
        return burning.burn_down(wood, char, segment.feed_kg_s, dry, life, t)

    def fuel(t):
        w, c = burnt(t)
        return ((1 - burning.SMOKE) * gas_j * w / burning.WOOD_S,
                1e6 * burning.CHAR_MJ_PER_KG * c / life, c)

    return fuel, burnt


def _record(stage, y, seconds):
    T = y[:stage.chain.nodes] - ZERO_C
    none = np.full(y.shape[1], np.nan)
    place = T[stage.first[5]] if stage.j else none
    core = T[(stage.first[stage.walls] + stage.last[stage.walls]) // 2] if stage.k else none
    stored = none
    if stage.chain.fixed:
        masonry = stage.last[stage.walls - 1] + 1
        over = y[:masonry] - stage.outdoor_k
        stored = (stage.chain.given[1][:masonry] * over).sum(0)
        stored = (stored + stage.air_j_k * (y[stage.air] - stage.outdoor_k)) / 1e6
    return (seconds / 3600, T[stage.first[:5]].T, y[stage.air] - ZERO_C, place, core, stored)


def _baked(stage, q, loads):
    """What a load is after a segment, the pieces of its kind together."""
    nodes, _, crust, gone = loads
    load, _ = stage.segment.laid[q]
    at = stage.walls + q
    part = slice(stage.first[at], stage.last[at] + 1)
    over = nodes[q] - (load.start_c + ZERO_C)
    warmed = (stage.chain.given[1][part, 0] * over).sum() if stage.chain.fixed else np.nan
    return {"load": load.name, "core_c": nodes[q][len(over) // 2] - ZERO_C,
            "steam_kg": gone[q], "heat_mj": (warmed + gone[q] * baking.LATENT) / 1e6,
            "crust_m": (crust[q], crust[stage.k + q])}


def moments(steps, hours):
    """Since when nothing has happened [s], and whether the fire is out, at `hours` [h] > 0."""
    segments = segments_of(tuple(steps))
    start = np.cumsum([0.0] + [s.seconds for s in segments])[:-1]
    out = max([0.0] + [t for t, s in zip(start, segments) if s.rake])
    seconds = np.asarray(hours) * 3600.0
    since = [t - start[start < t - 1e-6].max() for t in seconds]
    return np.array(since), seconds > out + 1e-6


def time_bdf(day, mesh=FAST, rtol=1e-4, atol_k=0.01):
    """Return (seconds, error [K]) of a Day by `solve_ivp(BDF)` at about the error of the march.

    Sparsity is given, each segment starts afresh. The error is the largest of hearth and dome
    from 5 min after an event, once the fire is out, against `run` as tight as it comes.
    """
    hours = np.arange(60.0, sum(step.seconds for step in day.steps), 60.0) / 3600.0
    begin = perf_counter()
    answer = run(day.oven, day.steps, day.outdoor_c, day.start, hours, mesh, rtol, atol_k)
    seconds = perf_counter() - begin
    tight = run(day.oven, day.steps, day.outdoor_c, day.start, hours)
    since, out = moments(day.steps, hours)
    late = out & (since >= 300.0)
    return seconds, np.abs(answer.zones_c - tight.zones_c)[late, :4].max()
