"""The correction on the day: readings that differ from the plan, and what to do about it.

What the oven is like is estimated anew as a small fit: the planned day in many ovens drawn from
what is not known tells how masonry and readings go together, and the masonry is moved by

    x = x_plan + C_xy (C_yy + R)^-1 (y - y_plan)

(the linear estimate of least variance; Kalman, J. Basic Eng. 82, 1960), R the noise of readings.
"""

from dataclasses import dataclass

import numpy as np
import pandas as pd

from ovenkit.files import choose, clock_hours, number, refuse
from ovenkit.fit import COUNT_NOISE, NOISE
from ovenkit.oven import Oven
from ovenkit.plan.chances import ensemble
from ovenkit.plan.doughs import soonest_h
from ovenkit.plan.planning import order_table
from ovenkit.plan.remarks import changed, door_words, six_words
from ovenkit.plan.search import GAPS_MM, OPEN, Cost, Node, cooling, expand, pause, search
from ovenkit.run import READINGS, State
from ovenkit.simulate import run_day
from ovenkit.steps import Bake
from ovenkit.traits import TRAITS, turned

MEMBERS = 48            # ovens drawn
OFFS_C = (-60, -30, 0, 30, 60)
CHECKS = 3
TABLE_GAPS_MM = (0, 20, OPEN)   # as few words as a wall can hold
TABLE_NEAR_K = 5.0      # so far outside its bands a load goes in, rather than wait for hours
LOOK_NODES = 60         # of a search on the day
WILD = 5.0              # standard deviations: a reading so far off is asked about


@dataclass(frozen=True, eq=False)
class Correction:
    """The rest of a day, planned again.

    hours : from when on, after lighting; oven, state : as they are estimated then
    off_c : hearth then, over what was planned [K]; order : of the loads to come, as Plan.order
    steps : from then on; cost : `search.Cost` of the rest; sentence : what changed, in one line
    notes : readings that are hard to believe
    """
    hours: float
    oven: Oven
    state: State
    off_c: float
    order: pd.DataFrame
    steps: tuple
    cost: Cost
    sentence: str
    notes: tuple


class Estimate:
    """How the masonry at the end of a step goes together with readings at a moment."""

    def __init__(self, plan, hours, fitted=None):
        self.plan, self.hours = plan, hours
        ends = np.cumsum([step.seconds for step in plan.steps]) / 3600
        self.step = int(np.searchsorted(ends, hours - 1e-6))
        inside = isinstance(plan.steps[self.step], Bake) or self.step == 0
        self.end_h = float(ends[self.step]) if inside else hours
        self.logs, self.runs = ensemble(plan, MEMBERS, fitted, upto=self.step + 1)
        states = np.array([run.state(self.end_h).zones_c for run in self.runs])
        self.planned = plan.run.state(self.end_h)
        self.shape = states.shape[1:]
        self.unknown = np.concatenate([states.reshape(MEMBERS, -1), self.logs], axis=1)
        self.spread = self.unknown - self.unknown.mean(0)

    def given(self, readings):
        """(oven, state, how many standard deviations off each reading is) after some readings.

        readings : dict of instrument -> degC, or seconds for "hand count"
        """
        names = list(readings)
        shown = np.array([[run.reading(name, self.hours) for name in names]
                          for run in self.runs])
        expected = np.array([self.plan.run.reading(name, self.hours) for name in names])
        noise = np.array([NOISE.get(name, COUNT_NOISE * value)
                          for name, value in zip(names, expected, strict=True)])
        gap = np.array([readings[name] for name in names]) - expected
        y = shown - shown.mean(0)
        total = y.T @ y / (MEMBERS - 1) + np.diag(noise**2)
        moved = (self.spread.T @ y / (MEMBERS - 1)) @ np.linalg.solve(total, gap)
        oven = turned(self.plan.oven, moved[-len(TRAITS):])
        cells = self.planned.zones_c + moved[:-len(TRAITS)].reshape(self.shape)
        cells = np.maximum(cells, min(self.plan.outdoor_c, cells.min()))
        return (oven, State(oven, cells, self.end_h, self.plan.outdoor_c),
                gap / np.sqrt(np.diag(total)))


def correct(plan, clock, readings, fitted=None, kitchen="warm"):
    """Return the Correction of a plan after readings on the day.

    plan : Plan; clock : time of day "HH:MM" of the readings, after lighting
    readings : dict of instrument (as of `Run.reading`) -> degC, or seconds for "hand count"
    fitted : covariance of a `fit.Fit` of this oven, or None
    kitchen : "warm" or "cool", which says how soon a dough can be proved
    What is in the oven stays in until its time; the rest is put in order again.
    Raises InputError for a time outside the day, or readings that are none.
    """
    hours = (clock_hours(clock, "clock") - clock_hours(plan.light_at)) % 24
    if hours > plan.run.hours[-1]:
        refuse(f"at {clock} nothing of this day is left: it runs from {plan.light_at} to "
               f"{plan.at(plan.run.hours[-1])}")
    readings = _checked(readings)
    estimate = Estimate(plan, hours, fitted)
    oven, state, off = estimate.given(readings)
    left, minutes = _left(plan, estimate)
    if not left:
        refuse(f"at {clock} the last load is in: there is nothing left to plan")
    node = Node(Cost(0, 0, 0, 0.0, 0.0), (), left, minutes, state, (), (), ())
    best = search(oven, _ready(plan, kitchen), [node], plan.outdoor_c, nodes=LOOK_NODES).node
    order = order_table(run_day(oven, best.steps, plan.outdoor_c, state),
                        [plan.batches[i] for i in best.order], from_h=estimate.end_h,
                        first_h=None if minutes is None else estimate.end_h - minutes / 60)
    off_c = float(state.zones_c[1, 0] - estimate.planned.zones_c[1, 0])
    notes = tuple(f"The {name} of {value:g} is far from what can be expected: read it again."
                  for (name, value), far in zip(readings.items(), off, strict=True)
                  if abs(far) > WILD)
    return Correction(estimate.end_h, oven, state, off_c, order, best.steps, best.cost,
                      changed(plan, order, off_c, best.order), notes)


def _checked(readings):
    if not isinstance(readings, dict) or not readings:
        refuse("give at least one reading, such as {'hearth spot': 245}")
    for name, value in readings.items():
        choose(name, READINGS, "instrument")
        limits = (0.1, 60, "s") if name == "hand count" else (-20, 700, "degC")
        number(value, name, *limits)
    return readings


def _left(plan, estimate):
    """(Indices of batches still to go in, minutes since the first went in or None)."""
    set_h = plan.order["set_h"].to_numpy()
    left = tuple(int(i) for i in np.flatnonzero(set_h >= estimate.end_h - 1e-6))
    first = set_h[0]
    return left, (None if len(left) == len(set_h) else 60 * (estimate.end_h - first))


def checks(plan):
    """Return [(hours, index in Plan.order)] of the check times of a plan: when what was in before
    comes out, at the first load and at two later ones."""
    n = len(plan.order)
    picked = sorted({0, n // 3, (2 * n) // 3}) if n >= CHECKS else range(n)
    out = []
    for k in picked:
        before = plan.order["set_h"].iloc[k] - plan.order["wait_min"].iloc[k] / 60
        out.append((float(before), k))
    return out


def correction_table(plan, fitted=None, kitchen="warm"):
    """Return the correction table of a plan as a DataFrame, for the sheet on the wall.

    plan : Plan; fitted, kitchen : as of `correct`
    A row per check and hearth reading: hours, load (the next one), planned_c and reading_c (hearth
    spot), off_c, words (at most six), and what they mean: batch, wait_min, gap_mm, minutes.
    """
    rows, todo = [], _ready(plan, kitchen)
    for hours, k in checks(plan):
        estimate = Estimate(plan, hours, fitted)
        planned_c = float(plan.run.reading("hearth spot", hours))
        left, minutes = _left(plan, estimate)
        nodes = []
        for off in OFFS_C:
            cells = estimate.given({"hearth spot": planned_c + off})[1].zones_c if off else (
                estimate.planned.zones_c)
            state = State(plan.oven, cells, estimate.end_h, plan.outdoor_c)
            nodes.append(Node(Cost(0, 0, 0, 0.0, 0.0), (), left, minutes, state, (), (), ()))
        for off, choice in zip(OFFS_C, _choices(plan, todo, nodes, k), strict=True):
            planned = plan.order.iloc[k]
            words = six_words(choice, planned, plan.batches) if off else "As planned"
            rows.append({"hours": hours, "load": planned["load"], "planned_c": planned_c,
                         "reading_c": planned_c + off, "off_c": off,
                         **(choice if off else _as_planned(plan, k)), "words": words})
    return pd.DataFrame(rows)


def _ready(plan, kitchen):
    """The batches of a plan, none of them to go in before its dough can be ready."""
    first = plan.order["set_h"].iloc[0]
    return tuple(batch._replace(ready_h=max(batch.ready_h, soonest - first)) for batch, soonest in
                 zip(plan.batches, soonest_h(plan, kitchen), strict=True))


def _choices(plan, todo, nodes, k):
    """What to do next at each of some nodes: the planned batch if it comes out, else another."""
    pairs = list(zip(nodes, cooling(plan.oven, nodes, plan.outdoor_c), strict=True))
    for mine in expand(plan.oven, todo, pairs, plan.outdoor_c, TABLE_GAPS_MM,
                       (-TABLE_NEAR_K,))[0]:
        best = min(mine, key=lambda c: (c.order[-1] != k, c.cost))
        if best.cost.spoilt:
            best = min(mine, key=lambda c: (c.cost, c.order))
        pause = best.steps[0] if not isinstance(best.steps[0], Bake) else None
        load, row = plan.batches[best.order[-1]].load, best.rows[-1]
        yield {"batch": best.order[-1], "wait_min": 0 if pause is None else int(pause.minutes),
               "gap_mm": 0 if pause is None else (OPEN if pause.door == "open"
                                                  else pause.gap_mm or 0),
               "minutes": int(best.steps[-1].minutes), "verdict": row.verdict,
               "cold": row.verdict in ("pale", "underdone", "cold")
               or row.feels_in_c < load.feels_low_c}


def _as_planned(plan, k):
    row = plan.order.iloc[k]
    gap = next((gap for gap in GAPS_MM if door_words(pause(5, gap)) == row["door"]), 0)
    return {"batch": k, "wait_min": int(row["wait_min"]), "gap_mm": gap,
            "minutes": int(row["minutes"]), "verdict": row["verdict"], "cold": False}
