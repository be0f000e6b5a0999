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
from ovenkit.steps import Fire, Wait
from ovenkit.traits import TRAITS, turned

MEMBERS = 48            # ovens drawn
LEAST_K = 10.0          # a plan errs by that much at least, whatever is thought to be known
WILD = 5.0              # standard deviations: a reading so far off is asked about
SAME_H = 0.5 / 60       # a clock tells minutes: so near the end of a step is its end


class Estimate:
    """How the masonry, as soon as something may go in, goes together with readings at a moment.

    That is at once in a wait, else at the end of the bake, or of the rest after the fire.
    """

    def __init__(self, plan, hours, fitted=None):
        ends = np.cumsum([step.seconds for step in plan.steps]) / 3600
        near = ends[np.abs(ends - hours).argmin()]
        hours = float(near) if abs(near - hours) < SAME_H else hours
        self.plan, self.hours = plan, hours
        self.step = int(np.searchsorted(ends, hours - 1e-6))
        if isinstance(plan.steps[self.step], Fire):     # raked out, and rested
            self.step += 1
        waits = isinstance(plan.steps[self.step], Wait)
        self.end_h = hours if waits else float(ends[self.step])
        self.logs, self.runs = ensemble(plan, MEMBERS, fitted, upto=self.step + 1)
        states = np.array([run.state(self.end_h).zones_c for run in self.runs])
        self.planned = plan.run.state(self.end_h)
        self.shape = states.shape[1:]
        least = np.sqrt(max(LEAST_K**2 - np.var(states[:, 1, 0], ddof=1), 0.0))
        self.warmer = np.random.default_rng(0).normal(0.0, least, MEMBERS)
        states = states + self.warmer[:, None, None]
        self.kept = {}
        self.unknown = np.concatenate([states.reshape(MEMBERS, -1), self.logs], axis=1)
        self.spread = self.unknown - self.unknown.mean(0)

    def given(self, readings):
        """(oven, state, how many standard deviations off each reading is) after some readings.

        readings : dict of instrument -> degC, or seconds for "hand count"
        """
        names = list(readings)
        shown = np.column_stack([self._shown(name) for name in names])
        expected = np.array([self.plan.run.reading(name, self.hours) for name in names])
        noise = np.array([NOISE.get(name, COUNT_NOISE * value)
                          for name, value in zip(names, expected, strict=True)])
        gap = np.array([readings[name] for name in names]) - expected
        y = shown - shown.mean(0)
        total = y.T @ y / (MEMBERS - 1) + np.diag(noise**2)
        far = gap / np.sqrt(np.diag(total))
        gap = np.clip(far, -WILD, WILD) * np.sqrt(np.diag(total))   # no more is believed
        moved = (self.spread.T @ y / (MEMBERS - 1)) @ np.linalg.solve(total, gap)
        oven = turned(self.plan.oven, moved[-len(TRAITS):])
        cells = self.planned.zones_c + moved[:-len(TRAITS)].reshape(self.shape)
        cells = np.maximum(cells, self.plan.outdoor_c)
        return oven, State(oven, cells, self.end_h, self.plan.outdoor_c), far

    def _shown(self, name):
        """What an instrument shows in each of the ovens drawn, kept for the next reading."""
        if name not in self.kept:
            shown = np.array([run.reading(name, self.hours) for run in self.runs])
            self.kept[name] = shown + (self.warmer if name != "hand count" else 0.0)
        return self.kept[name]
