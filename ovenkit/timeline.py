"""A day's steps as a row of segments, and the moments at which each is computed.

A segment is a stretch in which nothing is put in, taken out, opened or shut. The oven does not
matter here: one timeline serves every oven that runs the same steps.
"""

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from ovenkit.burning import (
    CHAR_MJ_PER_KG,
    CHAR_YIELD,
    EMBER_S,
    SMOKE,
    SPREAD_S,
    WOOD_S,
    burn_down,
    wood_shares_mj,
)
from ovenkit.steps import Bake, Fire, RakeOut, door_gap

FIRST_S, GROWTH = 12.0, 1.6     # first time step after anything happens [s]; later ones grow
PATIENT_S = 900.0               # longest step that a share of the time gone by allows [s]
DYING_S = 1200.0    # flames need this to die down before embers are raked out or spread
UNLOAD = 0.5        # taking a piece out, as a share of the open seconds of putting it in
OPEN = np.inf       # gap of a mouth with the door off


class Pace(NamedTuple):
    """How time steps lengthen in a segment."""
    brisk_s: float      # they grow by GROWTH up to this,
    later: float        # then by this,
    longest_s: float    # up to this, or to
    share: float        # this share of the time since the segment began, if that is longer


PACES = {
    "fire": Pace(60.0, 1.25, 200.0, 0.0),
    "bake": Pace(60.0, 1.25, 240.0, 0.1),
    "idle": Pace(30.0, 1.2, 1800.0, 0.0)}    # brisk: a steel door just hung follows in minutes


class Segment(NamedTuple):
    """One stretch of a day."""
    step: int           # index of the step it belongs to
    seconds: float
    pace: str           # of PACES
    gap_m: float = 0.0  # slot at the door's edge; OPEN with the door off
    piled: bool = False     # embers lie under the fire
    spread: bool = False    # embers lie over the whole hearth
    feed_kg_s: float = 0.0
    rake: bool = False      # what is left of the fire is taken out as it begins
    laid: tuple = ()        # (Load, count) of each place on the hearth, warm or cold spot
    inside: bool = False    # those loads are in the oven
    lay: bool = False       # they go in now, each on hearth of its zone's mean heat


class Scene(NamedTuple):
    """What the surfaces of a segment are: all that their exchange depends on."""
    laid: tuple
    inside: bool
    piled: bool
    spread: bool
    gap_m: float


class Timeline(NamedTuple):
    """Segments of a day, and its fire and clock at the end of every time step."""
    steps: tuple            # as they were checked and timed
    segments: tuple
    scenes: tuple           # the different scenes of the day
    scene: np.ndarray       # index of each segment's scene
    dt: np.ndarray          # s, a value per time step
    segment: np.ndarray     # index of its segment
    first: np.ndarray       # True for the first step of a segment
    flame_w: np.ndarray     # W, heat of the flames
    smoke_w: np.ndarray     # W, worth of the gases that leave unburnt
    ember_w: np.ndarray     # W, heat of the embers
    char_kg: np.ndarray
    feed_w: np.ndarray      # W, worth of the wood being put on
    left_j: np.ndarray      # J still in wood and charcoal


def feeding_s(fire):
    """How long wood is put on a Fire [s]: it dies down over the spread, or 20 minutes at least."""
    spread = fire.spread_minutes * 60.0
    dying = min(max(spread, DYING_S), 0.4 * fire.seconds)
    return fire.seconds - max(dying, min(spread, 0.9 * fire.seconds))


def segments_of(steps):
    """The segments of checked steps; every Bake must say how long."""
    rows, laid, embers = [], (), False
    for i, step in enumerate(steps):
        total = step.seconds
        if isinstance(step, Fire):
            spread, feed = step.spread_minutes * 60.0, feeding_s(step)
            rows.append(Segment(i, feed, "fire", OPEN, piled=True,
                                feed_kg_s=step.wood_kg / feed, lay=bool(laid)))
            if total - feed - spread > 1.0:
                rows.append(Segment(i, total - feed - spread, "fire", OPEN, piled=True))
            if spread > 0.0:
                rows.append(Segment(i, min(spread, total - feed), "fire", OPEN, piled=True,
                                    spread=True))
            laid, embers = (), not step.rake_out
            if step.rake_out:
                rows.append(Segment(i, 0.0, "idle", OPEN, rake=True))
        elif isinstance(step, RakeOut):
            rows.append(Segment(i, total, "idle", OPEN, rake=True, laid=laid))
            embers = False
        elif isinstance(step, Bake):
            opened = sum(load.open_s * count for load, count in step.loads)
            opened = min(opened, total / (1.0 + UNLOAD) * 0.8)
            shut = total - opened * (1.0 + UNLOAD)
            gap = _gap(step)
            pace = "fire" if embers else "bake"
            old, laid = laid, step.loads
            half = opened / 2.0
            rows += [
                Segment(i, half, pace, OPEN, piled=embers, laid=old),
                Segment(i, half, pace, OPEN, piled=embers, laid=laid, inside=True, lay=True),
                Segment(i, shut, pace, gap, piled=embers, laid=laid, inside=True),
                Segment(i, opened * UNLOAD, pace, OPEN, piled=embers, laid=laid)]
        else:
            rows.append(Segment(i, total, "fire" if embers else "idle", _gap(step),
                                piled=embers, laid=laid))
    return tuple(row for row in rows if row.seconds > 0.0 or row.rake or row.lay)


def _gap(step):
    gap = door_gap(step)
    return {"shut": 0.0, "open": OPEN}.get(gap, gap) if isinstance(gap, str) else gap


@lru_cache(maxsize=4096)
def clock(seconds, pace, finer=1.0):
    """Time steps [s] that fill `seconds` at a Pace, each divided by `finer`."""
    steps, at, dt = [], 0.0, FIRST_S
    while at < seconds * finer:
        patient = min(pace.share * at / finer, PATIENT_S)
        steps.append(min(dt, max(pace.longest_s, patient)))
        at += steps[-1]
        dt = steps[-1] * (GROWTH if dt < pace.brisk_s else pace.later) ** (1.0 / finer)
    return np.array(steps) * (seconds / sum(steps)) if steps else np.zeros(1)


@lru_cache(maxsize=4096)
def timeline(steps, finer=1.0):
    """Return the Timeline of a tuple of checked steps; `finer` divides every time step."""
    rows = segments_of(steps)
    parts = [clock(row.seconds, PACES[row.pace], finer) for row in rows]
    lengths = [len(part) for part in parts]
    starts = np.cumsum([0, *lengths])
    fuel = np.zeros((6, starts[-1]))
    wood = char = 0.0
    gas_j = char_j = char_yield = 0.0
    for row, part, at in zip(rows, parts, starts):
        step = steps[row.step]
        if isinstance(step, Fire):
            gas_j, char_j = (1e6 * v for v in wood_shares_mj(step.moisture_pct))
            char_yield = CHAR_YIELD * (1.0 - step.moisture_pct / 100.0)
        if row.rake:
            wood = char = 0.0
        if not row.piled:
            continue
        life = SPREAD_S if row.spread else EMBER_S
        w, c = burn_down(wood, char, row.feed_kg_s, char_yield, life, np.cumsum(part))
        fuel[:, at:at + len(part)] = (
            (1 - SMOKE) * gas_j * w / WOOD_S, SMOKE * gas_j * w / WOOD_S,
            1e6 * CHAR_MJ_PER_KG * c / life, c,
            np.full_like(w, row.feed_kg_s * (gas_j + char_j)),
            (gas_j + char_j) * w + 1e6 * CHAR_MJ_PER_KG * c)
        wood, char = w[-1], c[-1]
    first = np.zeros(starts[-1], bool)
    first[starts[:-1]] = True
    kinds = [Scene(r.laid, r.inside, r.piled, r.spread, r.gap_m) for r in rows]
    scenes = {scene: i for i, scene in enumerate(dict.fromkeys(kinds))}
    return Timeline(steps, rows, tuple(scenes), np.array([scenes[k] for k in kinds]),
                    np.concatenate(parts), np.repeat(np.arange(len(rows)), lengths), first, *fuel)
