"""Wood and its fire: what a kilogram is worth, how it burns away, what its embers hold.

Wood put on at a steady rate f [kg/s] gives off its gases and turns to charcoal, and the
charcoal glows away:
    dw/dt = f - w / WOOD_S          w: wood not yet burnt through [kg]
    dc/dt = y w / WOOD_S - c / s    c: charcoal [kg], s: EMBER_S, or SPREAD_S spread out
so the flames give E_gas w / WOOD_S and the embers E_char c / s. Both are solved exactly.
"""

import numpy as np

from ovenkit.files import number

WOOD_S = 480.0         # s, a split burns through (from memory; stoked every 20-30 min)
EMBER_S = 2400.0       # s, embers heaped at the back or side (from memory)
SPREAD_S = 1500.0      # s, embers spread thin over the hearth (from memory)
CHAR_YIELD = 0.18      # kg charcoal per kg dry wood (from memory: 0.15 to 0.20 in open fires)
CHAR_MJ_PER_KG = 32.0  # charcoal (from memory)
EMBER_CP = 1300.0      # J/kgK, hot charcoal and ash (from memory)
SMOKE = 0.08           # share of the gases' worth that leaves as smoke (from memory: 0.03 to 0.15)
RADIANT = 0.30         # share of the flames' heat that is light (from memory: 0.2 to 0.4)
AIR_KG_PER_MJ = 0.326  # 1 / 13.23 kJ per g oxygen / 0.232 (Dietenberger 2002)
PLUME = 4.5            # W/m2K per kW^(1/3): a ceiling over a fire, gas glow with it (from memory)
ASH_W_M2K = 12.0       # embers to the hearth through a finger of ash (from memory)

EVAPORATION_MJ_PER_KG = 2.443  # of water at 25 degC


def wood_mj_per_kg(moisture_pct, dry_mj_per_kg=19.0):
    """Return the net calorific value of wood as it is weighed [MJ/kg].

    moisture_pct : water, wet basis [% of the weighed mass], 0 to 65
    dry_mj_per_kg : net calorific value of the dry wood [MJ/kg], 10 to 25
    q = q_dry (100 - M)/100 - 0.02443 M (ISO 18125, from memory). Raises InputError.
    """
    moisture = number(moisture_pct, "wood moisture (wet basis)", 0.0, 65.0, "%")
    dry = number(dry_mj_per_kg, "calorific value of dry wood", 10.0, 25.0, "MJ/kg")
    return dry * (100.0 - moisture) / 100.0 - EVAPORATION_MJ_PER_KG * moisture / 100.0


def dry_basis_pct(moisture_pct):
    """Return wood moisture on dry basis [%], as pin meters show it: 100 M / (100 - M).

    moisture_pct : wet basis [%], 0 to 65. Raises InputError.
    """
    moisture = number(moisture_pct, "wood moisture (wet basis)", 0.0, 65.0, "%")
    return 100.0 * moisture / (100.0 - moisture)


def wet_basis_pct(meter_pct):
    """Return wood moisture on wet basis [%] from a pin meter's dry basis: 100 U / (100 + U).

    meter_pct : dry basis [%], 0 to 185. Raises InputError.
    """
    meter = number(meter_pct, "wood moisture on the meter (dry basis)", 0.0, 185.0, "%")
    return 100.0 * meter / (100.0 + meter)


def wood_shares_mj(moisture_pct):
    """Return (gas, charcoal) [MJ] in a kilogram of wood as weighed; they sum to its value.

    moisture_pct : wet basis [%], 0 to 65. Raises InputError.
    """
    char = CHAR_YIELD * (1.0 - moisture_pct / 100.0) * CHAR_MJ_PER_KG
    return wood_mj_per_kg(moisture_pct) - char, char


def burn_down(wood_kg, char_kg, feed_kg_s, char_yield, ember_s, t):
    """Return (wood [kg], charcoal [kg]) after `t` seconds of steady feeding, exactly.

    wood_kg, char_kg : at t = 0 [kg]; feed_kg_s : wood put on [kg/s]
    char_yield : kg charcoal per kg wood as weighed; ember_s : life of the embers [s]
    All broadcast. Equations: see the module.
    """
    a, b = 1.0 / WOOD_S, 1.0 / ember_s
    gone_a, gone_b = np.exp(-a * t), np.exp(-b * t)
    steady = feed_kg_s * WOOD_S
    wood = steady + (wood_kg - steady) * gone_a
    fed = char_yield * steady * a * ember_s * (1.0 - gone_b)
    late = char_yield * a * (wood_kg - steady) * (gone_a - gone_b) / (b - a)
    return wood, char_kg * gone_b + fed + late
