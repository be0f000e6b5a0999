"""What the oven is like after readings on the day, estimated anew as a small fit.

The planned day in many ovens drawn from what is not known tells how masonry and readings go
together, and the masonry is moved by

    x = x_plan + C_xy (C_yy + R)^-1 (y - y_plan)

(the linear estimate of least variance; Kalman, J. Basic Eng. 82, 1960), R the noise of readings.
"""

import numpy as np

from ovenkit.fit import COUNT_NOISE, NOISE
from ovenkit.plan.chances import ensemble
from ovenkit.run import State
from ovenkit.steps import Bake
from ovenkit.traits import TRAITS, turned

MEMBERS = 48            # ovens drawn


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
