"""The fires a plan may choose from: as much wood as it takes, fed as that mouth likes it."""

import numpy as np

from ovenkit.simulate import fed_kg_s
from ovenkit.steps import Fire, Settle

WOOD_GRID_KG = 0.5
HOURS_GRID = 0.25
EASY = 0.45             # of the wood that a mouth gives air for: a fire that keeps bright, and
#                         leaves its cook time for the dough (common practice, no source)
SPREAD_MIN = 30
SETTLE_MIN = 20         # raking, brushing, swabbing, and the first rest
MOST_KG_M2 = 45.0       # wood for one firing, per m2 of hearth: more leaves by the flue


def usual_fire(oven, wood_kg, moisture_pct=18.0, outdoor_c=12.0):
    """Return the Fire of `wood_kg` fed at an easy pace, on a grid of a quarter of an hour.

    oven : Oven; wood_kg : as weighed [kg]; moisture_pct : wet basis [%]; outdoor_c : [degC]
    """
    easy_kg_h = 3600 * EASY * fed_kg_s(oven, moisture_pct, outdoor_c)
    hours = wood_kg / easy_kg_h + SPREAD_MIN / 60
    return Fire(hours=max(1.0, HOURS_GRID * np.ceil(hours / HOURS_GRID - 1e-9)),
                wood_kg=float(wood_kg), moisture_pct=moisture_pct, spread_minutes=SPREAD_MIN)


def firings(oven, moisture_pct=18.0, outdoor_c=12.0):
    """Return a list of (Fire, Settle), every amount of wood on the grid that is worth burning."""
    most = MOST_KG_M2 * oven.hearth_area_m2
    wood = np.arange(1.0, most + 1e-9, WOOD_GRID_KG)
    return [(usual_fire(oven, kg, moisture_pct, outdoor_c), Settle(minutes=SETTLE_MIN))
            for kg in wood]

