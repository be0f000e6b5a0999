"""The fires a plan may choose from: as much wood as it takes, fed as that mouth likes it."""

import numpy as np

from ovenkit.inverse import WOOD_GRID_KG, usual_fire
from ovenkit.steps import LIMITS, Settle

SETTLE_MIN = 20         # raking, brushing, swabbing, and the first rest
ONE_FIRING_KG_M2 = 45.0 # wood for one firing, per m2 of hearth: more leaves by the flue


def firings(oven, moisture_pct=18.0, outdoor_c=12.0, settle_minutes=SETTLE_MIN):
    """Return a list of (Fire, Settle), every amount of wood on the grid that is worth burning.

    oven : Oven; moisture_pct : wet basis [%]; outdoor_c : [degC]; settle_minutes : rest after it
    """
    most = ONE_FIRING_KG_M2 * oven.hearth_area_m2
    wood = np.arange(2 * WOOD_GRID_KG, most + 1e-9, WOOD_GRID_KG)
    return [(usual_fire(oven, kg, moisture_pct, outdoor_c), Settle(minutes=settle_minutes))
            for kg in wood[wood <= LIMITS["wood_kg"][2]]]
