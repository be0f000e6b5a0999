"""What came out of the oven: a row for each kind of load in a Bake."""

from typing import NamedTuple

import numpy as np

from ovenkit import baking
from ovenkit.timeline import OPEN
from ovenkit.units import METRIC
from ovenkit.verdicts import colour, judge

SHORT_S = 240.0     # the mouth open for less is taking something out


class Baked(NamedTuple):
    """What came out, and what it went into; one kind of load in a Bake.

    in_h, out_h : when half of the pieces are in, and when the first is taken out [h]
    hearth_in_c ... feels_in_c : the oven before its mouth is opened for them, or for what comes
        out just before [degC]; feels_in_c with the mouth shut, even if it stands open then
    core_out_c, top_c, bottom_c : the load as it is taken out [degC]
    loss_pct : water lost [% of mass]; heat_mj : heat into all pieces [MJ]
    radiation_share : of that heat; top, bottom, verdict, why : see `verdicts`
    """
    load: str
    count: int
    in_h: float
    out_h: float
    hearth_in_c: float
    dome_in_c: float
    air_in_c: float
    feels_in_c: float
    core_out_c: float
    top_c: float
    bottom_c: float
    top: str
    bottom: str
    loss_pct: float
    heat_mj: float
    radiation_share: float
    verdict: str
    why: str


def baked(view, scale=METRIC):
    """Return the list of Baked of a OneDay, in the order they went in.

    scale : units.Scale of the temperatures in `why`
    """
    segments = view.timeline.segments
    laid = [(segment, place) for segment, row in enumerate(segments) if row.lay and row.inside
            for place in range(len(row.laid))]
    before = np.array([_before(view, segments[segment].step) for segment, _ in laid], int)
    taken, feels = _taken(view), view.feels_shut_c(before)
    return [_row(view, taken, *where, b, float(f), scale)
            for where, b, f in zip(laid, before, feels)]


def _taken(view):
    """Heat through tops and bottoms, by air, and boiled off, up to every moment [J]."""
    j, n = view.program.places, 5 + view.program.places
    heat = view.of("heat_w")
    return view.integral(np.stack([heat[:, n:n + j], heat[:, n + j:n + 2 * j],
                                   view.of("by_air_w"), view.of("boiled_w").sum(1)], axis=1))


def _before(view, step):
    """The moment before a step at which the oven is read: before a short opening ahead of it."""
    segments, at = view.timeline.segments, view.segment
    moment = np.flatnonzero(np.array([row.step for row in segments])[at] == step)[0] - 1
    if moment > 0 and segments[at[moment]].gap_m == OPEN and segments[at[moment]].seconds < SHORT_S:
        moment = np.flatnonzero(at == at[moment])[0] - 1
    return max(moment, 0)


def _row(view, taken, segment, place, before, feels, scale):
    segments, places = view.timeline.segments, view.program.places
    load, count = segments[segment].laid[place]
    start, end = view.span(segment)
    t = view.temp_c
    browned = view.browned[end, :, place] - view.browned[start, :, place]
    top_j, bottom_j, by_air_j, boiled_j = taken[end, :, place] - taken[start, :, place]
    top = bottom = "pale"
    if load.crust:
        top = colour(browned[0], load.top_gold, load.top_dark, load.top_burnt)
        bottom = colour(browned[1], load.bottom_gold, load.bottom_dark, load.bottom_burnt)
    core = view.core_c(place)[end]
    heat, loss = top_j + bottom_j, boiled_j / baking.LATENT / (count * load.mass_g / 1000)
    hearth = t[before, 1]
    in_h, out_h = view.hours[start], view.hours[end]
    stay_s = sum(row.seconds for row in segments if row.step == segments[segment].step)
    verdict, why = judge(load, core, top, bottom, hearth, feels, stay_s / 60, 100 * loss,
                         scale)
    n = 5 + places + place
    return Baked(
        load.name, count, in_h, out_h, hearth, (t[before, 2] + t[before, 3]) / 2, t[before, -1],
        feels, core, t[end, n], t[end, n + places], top, bottom, 100 * loss, heat / 1e6,
        (top_j - by_air_j) / heat if heat else 0.0, verdict, why)
