"""The questions the other way round: how much fire for that, which gap, how long to wait.

Each is answered by running days, many at once, and taking the first on a grid that does it.
"""

from typing import NamedTuple

import numpy as np

from ovenkit.files import number, refuse
from ovenkit.run import State
from ovenkit.simulate import fed_kg_s, run_day, run_days
from ovenkit.steps import Fire, Settle, Wait

WOOD_GRID_KG, HOURS_GRID = 0.5, 0.25
SPREAD_MIN = 30
EASY = 0.45             # of the wood that a mouth gives air for: a fire that keeps bright, and
#                         leaves its cook time for the dough (common practice, no source)
SLOWEST = 0.12          # of it: fed less, a fire smoulders (common practice, no source)
MOST_KG_M2 = 60.0       # of hearth: more wood than any one firing takes
FIRST_MIN, LAST_MIN = 10, 40    # the shut-in test reads the hearth so long after raking out
THROUGH = 15.0          # of every 100 degrees lost between: charged, if no more (our own)
GAPS_MM = (0, 10, 20, 40)
WAIT_GRID_MIN, LONGEST_H = 5, 24


class Firing(NamedTuple):
    """A fire that does it: hours, wood_kg; hearth_c after settling; lost_of_100 in the shut-in
    test; steps for `run_day`."""
    hours: float
    wood_kg: float
    hearth_c: float
    lost_of_100: float
    steps: tuple


class Gap(NamedTuple):
    """A door gap [mm], 0 for shut, inf for open, and what the oven then feels like [degC]."""
    gap_mm: float
    feels_c: float


class Saving(NamedTuple):
    """What a warm start saves: wood [kg] and time of the fire [min]."""
    wood_kg: float
    minutes: float


def usual_fire(oven, wood_kg, moisture_pct=18.0, outdoor_c=12.0):
    """Return the Fire of `wood_kg` fed at an easy pace, on a grid of a quarter of an hour.

    oven : Oven; wood_kg : as weighed [kg]; moisture_pct : wet basis [%]; outdoor_c : [degC]
    """
    easy_kg_h = 3600 * EASY * fed_kg_s(oven, moisture_pct, outdoor_c)
    hours = wood_kg / easy_kg_h + SPREAD_MIN / 60
    return Fire(hours=max(1.0, HOURS_GRID * float(np.ceil(hours / HOURS_GRID - 1e-9))),
                wood_kg=float(wood_kg), moisture_pct=moisture_pct, spread_minutes=SPREAD_MIN)


def lost_of_100(first_c, last_c):
    """Return the degrees lost of every 100, between two readings of the shut-in test [degC]."""
    return 100 * (first_c - last_c) / first_c


def fire_for(oven, hearth_c, settle_minutes=40, outdoor_c=12, start=None, moisture_pct=18,
             charged=True):
    """Return the Firing of least wood after which the settled hearth is at `hearth_c` or over.

    oven : Oven; hearth_c : hearth after settling [degC]; settle_minutes : door shut [min]
    outdoor_c, start : as of `run_day`; moisture_pct : of the wood, wet basis [%]
    charged : True asks for an oven hot through too: of every 100 degrees no more than THROUGH lost
        between 10 and 40 minutes after raking out
    Of fires of the same wood the shortest. Raises InputError where no fire does it.
    """
    hearth_c = number(hearth_c, "hearth_c", 60, 450, "degC")
    settle = number(settle_minutes, "settle_minutes", LAST_MIN / 4, 240, "minutes")
    fires = _fires(oven, moisture_pct, outdoor_c)
    rest = Settle(minutes=max(settle, LAST_MIN))
    runs = run_days([(oven, (fire, rest)) for fire in fires], outdoor_c, start)
    best, hottest = None, 0.0
    for fire, run in zip(fires, runs, strict=True):
        at = fire.hours + np.array([FIRST_MIN, LAST_MIN, settle]) / 60
        first, last, settled = run.at("hearth_bake_c", at)
        lost = lost_of_100(first, last)
        through = lost <= THROUGH or not charged
        hottest = max(hottest, settled if through else 0.0)
        key = fire.wood_kg, fire.hours
        if settled >= hearth_c and through and (best is None or key < best[0]):
            best = key, Firing(fire.hours, fire.wood_kg, float(settled), float(lost),
                               (fire, Settle(minutes=settle)))
    if best is None:
        refuse(f"no one firing brings the hearth of {oven.name} to {hearth_c:.0f} degC hot "
               f"through: {hottest:.0f} is the most that {max(f.wood_kg for f in fires):g} kg of "
               "wood do. Ask for less, or fire twice with an hour shut between")
    return best[1]


def _fires(oven, moisture_pct, outdoor_c):
    """Fires on the grid, every amount of wood at every pace from easy to slow."""
    most = MOST_KG_M2 * oven.hearth_area_m2
    step = max(WOOD_GRID_KG, WOOD_GRID_KG * round(most / 40 / WOOD_GRID_KG))
    fed_kg_h = 3600 * fed_kg_s(oven, moisture_pct, outdoor_c)
    fires = []
    for wood in np.arange(2 * WOOD_GRID_KG, most + 1e-9, step):
        quick = usual_fire(oven, wood, moisture_pct, outdoor_c)
        for hours in np.arange(quick.hours, 6.01, 0.5):
            if hours == quick.hours or wood / (hours - SPREAD_MIN / 60) >= SLOWEST * fed_kg_h:
                fires.append(Fire(hours=float(hours), wood_kg=float(wood),
                                  moisture_pct=moisture_pct, spread_minutes=SPREAD_MIN))
    return fires


def gap_for(state, feels_c, minutes=30):
    """Return the Gap that brings what an empty oven feels like nearest to a temperature.

    state : State; feels_c : wanted [degC]; minutes : how long the door stands so [min]
    Gaps are 0, 10, 20, 40 mm or the mouth open.
    """
    feels_c = number(feels_c, "feels_c", 20, 450, "degC")
    minutes = number(minutes, "minutes", 1, 600, "minutes")
    waits = [Wait(minutes=minutes, gap_mm=gap or None) for gap in GAPS_MM]
    waits.append(Wait(minutes=minutes, door="open"))
    runs = run_days([(state.oven, (wait,)) for wait in waits], state.outdoor_c, state)
    felt = [run.at("feels_c", minutes / 60) for run in runs]
    i = int(np.argmin(np.abs(np.array(felt) - feels_c)))
    return Gap((*GAPS_MM, np.inf)[i], float(felt[i]))


def wait_for(state, hearth_c=None, feels_c=None, gap_mm=0):
    """Return the minutes, on a grid of 5, until hearth or feels of an empty oven is down to that.

    state : State; hearth_c or feels_c : wanted, one of the two [degC]
    gap_mm : of the door meanwhile [mm], 0 for shut
    Raises InputError if it is cooler already, or not so cool within a day.
    """
    if not isinstance(state, State):
        refuse(f"state is {state!r}: give a state of a run, such as run.state(5)")
    if (hearth_c is None) == (feels_c is None):
        refuse("give hearth_c or feels_c: one of the two")
    what, goal = ("hearth", hearth_c) if feels_c is None else ("oven feels like", feels_c)
    goal = number(goal, "hearth_c" if feels_c is None else "feels_c", 20, 450, "degC")
    run = run_day(state.oven, [Wait(hours=LONGEST_H, gap_mm=gap_mm or None)], state.outdoor_c,
                  state)
    minutes = np.arange(0, 60 * LONGEST_H + 1, WAIT_GRID_MIN)
    met = run.met_c(minutes / 60)[0 if feels_c is None else 1]
    if met[0] < goal:
        refuse(f"the {what} is {met[0]:.0f} degC already, under {goal:.0f}: waiting cools it more")
    if met[-1] > goal:
        refuse(f"the {what} is still {met[-1]:.0f} degC after {LONGEST_H} h so: leave the door "
               "further open")
    return int(minutes[np.argmax(met <= goal)])


def warm_start_saves(oven, hearth_c, start, settle_minutes=40, outdoor_c=12, moisture_pct=18):
    """Return the Saving of an oven that is still warm, against a cold one.

    oven, hearth_c, settle_minutes, outdoor_c, moisture_pct : as of `fire_for`
    start : temperature of the soaked masonry [degC], or a State
    """
    cold, warm = (fire_for(oven, hearth_c, settle_minutes, outdoor_c, begin, moisture_pct)
                  for begin in (None, start))
    return Saving(cold.wood_kg - warm.wood_kg, 60 * (cold.hours - warm.hours))
