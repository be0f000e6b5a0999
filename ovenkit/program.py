"""Days turned into arrays: the only place that sees many days at once.

For each day and segment: which surfaces there are, what they exchange, how air gets in and out.
Surfaces, in the order of the last axis of every temperature and heat flow:
    0..4   hearth_fire hearth_bake dome_back dome_front door
    then   J places on the hearth (the cold spot under a load), J tops and J bottoms of loads,
           the embers, the air.
J is the largest number of kinds of load in the oven at once in any of the days.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ovenkit import burning, conduction, exchange
from ovenkit.draught import door_flow
from ovenkit.layers import working_layers
from ovenkit.timeline import timeline
from ovenkit.units import ZERO_C
from ovenkit.views import cavity

ZONES = exchange.SURFACES
MODES = 7
MASONRY_RATES = (0.0, 2e-5, 2e-4, 1e-3, 5e-3, 3e-2)   # 1/s; with the constant: MODES
LOAD_RATES = (2e-4, 1.5e-3, 1.5e-2)                   # 1/s, both faces
LAYERS = 4              # every wall is cut as this many layers
FRACTIONS = (conduction.graded(36, 1.1), *[conduction.graded(8, 1.5)] * (LAYERS - 1))
LOAD_FRACTIONS = (np.full(24, 1 / 24),)
OUTSIDE_W_M2K = 10.0    # outer skin to still air, radiation and convection together
OFF_W_M2K = 10.0        # inside of a door that stands off, to outside air
HEARTH_EPS, DOME_EPS, DOOR_EPS, LOAD_EPS, EMBER_EPS = 0.93, 0.93, 0.80, 0.90, 0.95
FILL = 0.98             # most of the hearth that loads can cover
AIR_J_M3K = 350.0       # half of what oven air holds: all of it would cost the ledger 0.1 %


@dataclass(frozen=True)
class Program:
    """Days ready to march; B days, S segments, K time steps, n surfaces, J places.

    What surfaces exchange is kept once for each kind of day, P (an oven's shape, its steps and
    weather), and each of its scenes, C: row `kind[day], scene[day, segment]`.
    """
    ovens: tuple
    timelines: tuple
    outdoor_k: np.ndarray   # B
    places: int             # J
    dt: np.ndarray          # K, B
    segment: np.ndarray     # K, B
    first: np.ndarray       # K, B
    fuel: np.ndarray        # 3, K, B: flame_w ember_w char_kg
    slabs: conduction.Slab  # B, (hearth, dome, door)
    air_j_k: np.ndarray     # B
    lay: np.ndarray         # B, S
    rake: np.ndarray        # B, S
    loads: tuple            # catalogue entries met, None first
    kind: np.ndarray        # B
    scene: np.ndarray       # B, S
    body_m2: np.ndarray     # P, C, zones and places: masonry area
    ration: np.ndarray      # P, C, J, 2: area each place takes of hearth_fire, hearth_bake
    glow: np.ndarray        # P, C, n, n: radiation exchange areas, rows sum to -glow_out
    glow_out: np.ndarray    # P, C, n: to outdoors
    link: np.ndarray        # P, C, n, n: W/K by contact and, for the door, to outdoors
    sink: np.ndarray        # P, C, n: W/K to outdoors
    warm: np.ndarray        # P, C, n - 1: constant of natural convection times area
    plume: np.ndarray       # P, C, n - 1: area under the fire's plume
    flame: np.ndarray       # P, C, n + 1: share of the flames' light; last: out of the mouth
    flow: np.ndarray        # P, C, 3: air exchange, see `draught_w_k`
    live: np.ndarray        # P, C: embers or fire in the oven
    load: np.ndarray        # P, C, J: index into `loads`; 0 is nothing
    count: np.ndarray       # P, C, J: pieces in the oven

    @property
    def days(self):
        return len(self.ovens)


def compile_days(days, finer=1.0):
    """Return the Program of days, each (oven, checked steps, outdoor_c)."""
    ovens, plans, outdoor_c = zip(*days)
    order = {plan: i for i, plan in enumerate(dict.fromkeys(plans))}
    lines = [timeline(plan, finer) for plan in order]
    day = np.array([order[plan] for plan in plans])
    outdoor_k = np.array(outdoor_c, float) + ZERO_C
    steps = max(len(t.dt) for t in lines)
    places = max([1] + [len(s.laid) for t in lines for s in t.scenes])
    loads = (None, *dict.fromkeys(load for t in lines for s in t.scenes for load, _ in s.laid))

    def per_step(name, hold=False):
        """(..., K, B) of a row or rows of the timelines; past a day's end 0, or its last value."""
        rows = [np.asarray(getattr(t, name)) for t in lines]
        out = np.zeros((steps, len(rows)), rows[0].dtype)
        for i, row in enumerate(rows):
            out[:len(row), i] = row
            out[len(row):, i] = row[-1] if hold else 0
        return out[:, day]

    def per_segment(values):
        length = max(len(row) for row in values)
        return np.array([[*row] + [row[-1]] * (length - len(row)) for row in values])[day]

    # one kind of day for each shape of oven, steps and weather: masonry does not matter here
    keys = [((o.inside_m, o.rise_m, o.mouth_w_m, o.mouth_h_m, o.crack_m), d, k)
            for o, d, k in zip(ovens, day.tolist(), outdoor_k.tolist())]
    kinds = {key: i for i, key in enumerate(dict.fromkeys(keys))}
    kind = np.array([kinds[key] for key in keys])
    shown = [keys.index(key) for key in kinds] if len(kinds) < 9 else np.unique(
        kind, return_index=True)[1].tolist()
    number = {load: i for i, load in enumerate(loads)}
    scenes = _scenes([lines[day[i]].scenes for i in shown], number, places)
    net = _network(_shapes([ovens[i] for i in shown]), _load_table(loads), scenes,
                   outdoor_k[shown], places)
    volume = np.array([np.pi * o.rise_m / 6 * (3 * (o.inside_m / 2)**2 + o.rise_m**2)
                       for o in ovens])
    lay, rake = (per_segment([[getattr(s, k) for s in t.segments] for t in lines])
                 for k in ("lay", "rake"))
    return Program(
        ovens, tuple(lines[i] for i in day), outdoor_k, places, per_step("dt"),
        per_step("segment", hold=True), per_step("first"),
        np.stack([per_step(name) for name in ("flame_w", "ember_w", "char_kg")])
        * np.array([oven.fire_share for oven in ovens]),
        _walls(ovens), AIR_J_M3K * volume, lay, rake, loads, kind,
        per_segment([t.scene for t in lines]), live=(scenes["piled"] + scenes["spread"]) > 0,
        load=scenes["laid"], count=scenes["count"] * scenes["inside"][..., None], **net)


def _scenes(rows, number, places):
    """Scenes of the kinds of day as arrays (P, C, ...), short rows filled up with their last."""
    length = max(len(row) for row in rows)
    rows = [[*row] + [row[-1]] * (length - len(row)) for row in rows]

    def pad(values):
        return values + [0] * (places - len(values))

    return {
        "laid": np.array([[pad([number[load] for load, _ in s.laid]) for s in r] for r in rows]),
        "count": np.array([[pad([n for _, n in s.laid]) for s in r] for r in rows], float),
        **{k: np.array([[getattr(s, k) for s in r] for r in rows], float)
           for k in ("inside", "piled", "spread", "gap_m")}}


def _shapes(ovens):
    """Geometry of ovens as arrays (P, ...)."""
    # six digits: the same proportions give the same factors, computed once
    rooms = [cavity(o.inside_m, round(o.rise_m / o.inside_m, 6) * o.inside_m,
                    round(o.mouth_area_m2 / o.inside_m**2, 6) * o.inside_m**2) for o in ovens]
    values = {
        "areas": [r.areas for r in rooms], "views": [r.view_factors for r in rooms],
        "flame": [r.flame for r in rooms], "mouth_w": [o.mouth_w_m for o in ovens],
        "mouth_h": [o.mouth_h_m for o in ovens], "crack": [o.crack_m for o in ovens]}
    return {k: np.array(v) for k, v in values.items()}


def _walls(ovens):
    """Slabs of hearth, dome and door (B, 3)."""
    unique = {oven: i for i, oven in enumerate(dict.fromkeys(ovens))}
    slab = wall_slabs(ovens[0]) if len(unique) == 1 else _build(list(unique))
    if len(unique) == len(ovens):
        return slab
    index = [unique[oven] for oven in ovens]
    return conduction.Slab(*(x[index] for x in slab[:4]),
                           conduction.Grid(*(x[index] for x in slab.grid)))


def bodies(places):
    """Which slab (hearth, dome, door) each body of masonry is: zones, then places."""
    return [0, 0, 1, 1, 2] + [0] * places


@lru_cache(maxsize=64)
def wall_slabs(oven):
    """Reduced Slab (1, 3) of an oven's hearth, dome and door."""
    return _build([oven])


def _build(ovens):
    rows = np.array([[_even(working_layers(part)) for part in (o.hearth, o.dome, o.door)]
                     for o in ovens])
    radius = np.array([[np.inf, o.sphere_radius_m, np.inf] for o in ovens])
    return conduction.reduced(conduction.grid(rows, FRACTIONS, radius), MASONRY_RATES,
                              OUTSIDE_W_M2K)


def _even(rows):
    """The same wall as LAYERS layers: the last is cut in equal parts."""
    more = LAYERS - len(rows) + 1
    thickness, *rest = rows[-1]
    return [*rows[:-1], *[(thickness / more, *rest)] * more]


@lru_cache(maxsize=256)
def load_slab(load):
    """Reduced Slab of one piece, per m2 of its conduction area V / L."""
    layer = (load.slab_m, load.conductivity_w_mk, 1.0, load.capacity_j_k / load.volume_m3)
    return conduction.reduced(conduction.grid([layer], LOAD_FRACTIONS), LOAD_RATES,
                              both_faces=True)


def _load_table(loads):
    """Numbers of the loads met, a row each; the first row is nothing."""
    def column(value, nothing=0.0):
        return np.array([nothing] + [value(load) for load in loads[1:]], float)
    return {
        "foot": column(lambda x: x.footprint_m2), "top": column(lambda x: x.top_m2),
        "contact": column(lambda x: x.contact_w_m2k * x.footprint_m2)}


def _network(shape, table, scenes, outdoor_k, places):
    """What surfaces exchange, for every kind of day and scene."""
    laid, count, inside, piled, spread, gap = (
        scenes[k] for k in ("laid", "count", "inside", "piled", "spread", "gap_m"))
    days, length = gap.shape
    n, nn = 5 + 3 * places + 2, 5 + 2 * places + 2
    zone, place = np.arange(5), 5 + np.arange(places)
    top, ember = place + places, n - 2
    areas, views = shape["areas"][:, None], shape["views"][:, None]
    foot = table["foot"][laid] * count                       # P, C, J
    cover = np.stack([piled, spread], axis=-1)               # share under embers
    room = areas[..., :2] * FILL * (1 - cover)
    upto = np.cumsum(foot, axis=-1)
    on_bake = np.diff(np.minimum(upto, room[..., 1:]), axis=-1, prepend=0.0)
    on_fire = np.diff(np.clip(upto - room[..., 1:], 0, room[..., :1]), axis=-1, prepend=0.0)
    ration = np.stack([on_fire, on_bake], axis=-1)
    covered = ration.sum(-1)                                 # hearth under each place
    opened = np.where(np.isinf(gap), 1.0,
                      np.minimum(np.where(np.isinf(gap), 0, gap) / shape["mouth_w"][:, None], 1))

    share = np.zeros((days, length, nn, 5))                  # node's share of each zone
    share[..., zone, zone] = 1.0
    share[..., [0, 1], [0, 1]] -= cover + ration.sum(-2) / areas[..., :2]
    share[..., 4, 4] -= opened
    share[..., nn - 1, 4] = opened
    share[..., nn - 2, :2] = cover
    on = inside[..., None, None]
    share[..., place, :2] = (1 - on) * ration / areas[..., None, :2]
    share[..., top, :2] = on * ration / areas[..., None, :2]
    share = np.maximum(share, 0.0)
    sight = share @ (areas[..., None] * views) @ np.swapaxes(share, -1, -2)
    area = (share * areas[..., None, :]).sum(-1)
    sides = np.maximum(table["top"][laid] * count - foot, 0) * inside[..., None]
    top_m2 = np.where(inside[..., None] > 0, covered + sides, 0.0)
    sight, area = _raise_tops(sight, area, sides, covered, areas, top)
    eps = np.array([HEARTH_EPS] * 2 + [DOME_EPS] * 2 + [DOOR_EPS] + [HEARTH_EPS] * places
                   + [LOAD_EPS] * places + [EMBER_EPS, 1.0])
    factor = np.divide(sight, area[..., None], out=np.zeros_like(sight),
                       where=area[..., None] > 0)
    af = exchange.exchange_areas(area, factor, np.broadcast_to(eps, area.shape))
    node = np.concatenate([zone, place, top, [ember]])
    glow = np.zeros((days, length, n, n))
    glow[..., node[:, None], node] = af[..., :-1, :-1]
    glow_out = np.zeros((days, length, n))
    glow_out[..., node] = af[..., :-1, -1]
    diagonal = np.arange(n)
    glow[..., diagonal, diagonal] -= glow.sum(-1) + glow_out

    first = (share * shape["flame"][:, None, None]).sum(-1)
    kept = exchange.absorbed(area, factor, np.broadcast_to(eps, area.shape), first)
    flame = np.zeros((days, length, n + 1))
    flame[..., node], flame[..., n] = kept[..., :-1], kept[..., -1]

    link, sink = np.zeros((days, length, n, n)), np.zeros((days, length, n))
    contact = table["contact"][laid] * count * inside[..., None]
    ash = burning.ASH_W_M2K * areas[..., :2] * cover
    for i, j, w in ([(5 + p, 5 + 2 * places + p, contact[..., p]) for p in range(places)]
                    + [(z, ember, ash[..., z]) for z in (0, 1)]):
        link[..., i, j] += w
        link[..., j, i] += w
        link[..., i, i] -= w
        link[..., j, j] -= w
    sink[..., 4] = np.where(np.isinf(gap), OFF_W_M2K * areas[..., 4], 0.0)
    link[..., 4, 4] -= sink[..., 4]

    warm, plume = np.zeros((days, length, n - 1)), np.zeros((days, length, n - 1))
    for where, c in (([0, 1], exchange.HOT_FACING_UP), ([2, 3], exchange.HOT_FACING_DOWN),
                     ([4], exchange.UPRIGHT), (place, exchange.HOT_FACING_UP)):
        warm[..., where] = c * area[..., where]
    warm[..., top] = exchange.UPRIGHT * top_m2
    warm[..., ember] = exchange.HOT_FACING_UP * area[..., nn - 2]
    plume[..., 2:4] = area[..., 2:4]

    body_m2 = np.empty((days, length, 5 + places))
    body_m2[..., :5] = areas
    body_m2[..., :2] -= ration.sum(-2)
    body_m2[..., 5:] = covered
    return {"body_m2": body_m2, "ration": ration, "glow": glow, "glow_out": glow_out,
            "link": link, "sink": sink, "warm": warm, "plume": plume, "flame": flame,
            "flow": door_flow(shape, gap, outdoor_k)}


def _raise_tops(sight, area, sides, covered, areas, top):
    """Loads stand above the hearth: their sides see half hearth, half dome, and each other.

    The free hearth loses to the sides what it sees of them, the sides see the dome in its
    place: areas times factors stay symmetric and rows still sum to their areas.
    """
    free = area[..., :2]
    spare = free.sum(-1)
    hearth = areas[..., :2].sum(-1)
    x = 0.5 * sides * (spare / hearth)[..., None]
    total = x.sum(-1)
    x = x * np.minimum(1.0, 0.9 * spare / np.maximum(total, 1e-12))[..., None]
    total = x.sum(-1)
    lost = (total / np.maximum(spare, 1e-12))[..., None, None]
    sight, rest = sight.copy(), [2, 3, 4, sight.shape[-1] - 1]
    taken = lost * sight[..., :2, :][..., rest]              # P, C, 2, 4
    for i in (0, 1):
        sight[..., i, rest] -= taken[..., i, :]
        sight[..., rest, i] -= taken[..., i, :]
    part = np.divide(x, total[..., None], out=np.zeros_like(x), where=total[..., None] > 0)
    for p, t in enumerate(top):
        up = part[..., p, None] * taken.sum(-2)
        sight[..., t, rest] += up
        sight[..., rest, t] += up
        down = x[..., p, None] * free / np.maximum(spare, 1e-12)[..., None]
        sight[..., t, :2] += down
        sight[..., :2, t] += down
        sight[..., t, t] += sides[..., p] - 2 * x[..., p]
    area = area.copy()
    area[..., top] += sides
    return sight, area
