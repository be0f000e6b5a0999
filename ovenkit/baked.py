"""What came out of the oven: a row for each kind of load in a Bake."""

import numpy as np
import pandas as pd

from ovenkit import baking
from ovenkit.timeline import OPEN
from ovenkit.verdicts import colour, judge

SHORT_S = 240.0     # the mouth open for less is taking something out
COLUMNS = ("load", "count", "in_h", "out_h", "hearth_in_c", "dome_in_c", "air_in_c", "feels_in_c",
           "core_out_c", "top_c", "bottom_c", "top", "bottom", "loss_pct", "heat_mj",
           "radiation_share", "verdict", "why")


def bakes(view):
    """Return the DataFrame of what came out of a day.

    in_h, out_h : when half of the pieces are in, and when the first is taken out [h]
    hearth_in_c ... feels_in_c : the oven before its mouth is opened for them, or for what comes
        out just before [degC]
    core_out_c, top_c, bottom_c : the load as it is taken out [degC]
    loss_pct : water lost [% of mass]; heat_mj : heat into all pieces [MJ]
    radiation_share : of that heat; top, bottom, verdict, why : see `verdicts`
    """
    taken = _taken(view)
    rows = [_row(view, taken, segment, place)
            for segment, row in enumerate(view.timeline.segments) if row.lay and row.inside
            for place in range(len(row.laid))]
    return pd.DataFrame(rows, columns=list(COLUMNS))


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


def _row(view, taken, segment, place):
    segments, places = view.timeline.segments, view.program.places
    load, count = segments[segment].laid[place]
    start, end = view.span(segment)
    before = _before(view, segments[segment].step)
    t = view.temp_c
    browned = view.browned[end, :, place] - view.browned[start, :, place]
    top_j, bottom_j, by_air_j, boiled_j = taken[end, :, place] - taken[start, :, place]
    top = bottom = "pale"
    if load.crust:
        top = colour(browned[0], load.top_gold, load.top_dark, load.top_burnt)
        bottom = colour(browned[1], load.bottom_gold, load.bottom_dark, load.bottom_burnt)
    core = view.core_c(place)[end]
    heat, loss = top_j + bottom_j, boiled_j / baking.LATENT / (count * load.mass_g / 1000)
    hearth, feels = t[before, 1], view.feels_c[before]
    in_h, out_h = view.hours[start], view.hours[end]
    verdict, why = judge(load, core, top, bottom, hearth, feels, (out_h - in_h) * 60, 100 * loss)
    n = 5 + places + place
    return (load.name, count, in_h, out_h, hearth, (t[before, 2] + t[before, 3]) / 2,
            t[before, -1], feels, core, t[end, n], t[end, n + places], top, bottom, 100 * loss,
            heat / 1e6, (top_j - by_air_j) / heat if heat else 0.0, verdict, why)
