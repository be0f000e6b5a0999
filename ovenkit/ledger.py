"""Where a day's heat went: flows at every moment, and their sums.

    wood = flue + mouth + embers + unburnt + outer + food + steam + stored + residual
Each term is integrated from its own flow, `stored` is taken from temperatures before and after;
what is left over is the error of the march.
"""

import numpy as np
import pandas as pd

from ovenkit import baking, burning
from ovenkit.march import LEAST_EMBER_KG
from ovenkit.units import SIGMA

TERMS = ("flue", "mouth", "embers", "unburnt", "outer", "food", "steam", "stored")


def rates(view):
    """Return the DataFrame of heat flows [W] of a OneDay, a row per moment, index hours.

    flue and mouth : warm air that leaves while there is a fire, and without; mouth also light
    outer : from the outer skin, and from a door that stands off
    food, steam : into loads less what boils off; latent heat and warming of the steam
    """
    outdoor = view.program.outdoor_k[view.day]
    t = view.of("temp_k")

    def padded(values):
        return np.concatenate([values[:1], values])

    boiled = view.of("boiled_w").sum((1, 2))
    glow = (view.during("glow_out") * SIGMA * (t**4 - outdoor**4)).sum(-1)
    light = view.during("flame")[:, -1] * burning.RADIANT * np.append(0.0, view.fuel("flame_w"))
    gas = view.of("draught_w_k") * (t[:, -1] - outdoor)
    live = view.during("live")
    masonry = 5 + view.program.places
    area = view.during("body_m2")
    outer = sum(area[:, i] * view.outer_w_m2(i) for i in range(masonry))
    off = (view.during("sink") * (t - outdoor)).sum(-1)
    into = view.of("heat_w")[:, masonry:-2].sum(-1)
    return pd.DataFrame({
        "wood": padded(view.fuel("feed_w")), "flue": np.where(live, gas, 0.0),
        "mouth": np.where(live, 0.0, gas) + glow + light, "unburnt": padded(view.fuel("smoke_w")),
        "outer": outer + off, "food": into - boiled,
        "steam": boiled + view.of("steam_w_k") * (t[:, -1] - baking.BOIL_K)},
        index=pd.Index(view.hours, name="hours"))


def energy(view, flows):
    """Return the Series of a day's heat [MJ] from a OneDay and its `rates`.

    embers and unburnt count what is raked out, and what is still in the oven at the end.
    """
    line, outdoor = view.timeline, view.program.outdoor_k[view.day]
    sums = {k: view.integral(v.to_numpy())[-1] / 1e6 for k, v in flows.items()}
    ember_j = np.append(0.0, burning.EMBER_CP * (view.fuel("char_kg") + LEAST_EMBER_KG) * (
        view.during("live") * (view.of("temp_k")[:, -2] - outdoor))[1:])
    left_j = np.append(0.0, view.fuel("left_j"))
    rake = np.array([s.rake for s in line.segments])
    ends = np.append(np.flatnonzero(rake[line.segment] & line.first), len(line.dt))
    sums["embers"] = sum(ember_j[i] for i in ends) / 1e6
    sums["unburnt"] += sum(left_j[i] for i in ends) / 1e6
    sums["stored"] = (view.stored_j[-1] - view.stored_j[0]) / 1e6
    sums["residual"] = sums["wood"] - sum(sums[k] for k in TERMS)
    return pd.Series({k: sums[k] for k in ("wood", *TERMS, "residual")}, name="MJ")
