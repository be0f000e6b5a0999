"""What the oven is like after readings on the day, estimated anew as a small fit.

The planned day, run with a little more and a little less of each thing that is not known, tells
how masonry and readings go together, and the masonry is moved by

    x = x_plan + C_xy (C_yy + R)^-1 (y - y_plan)

(the linear estimate of least variance; Kalman, J. Basic Eng. 82, 1960), R the noise of readings,
C_xy = D_x' D_y, and a row of D half the difference of one spread more and one less of a thing.

Where readings are off by more than DOUBTED spreads, the plan was less sure than was thought: C is
grown as a whole until they are just that (as covariances are inflated in weather forecasts:
Anderson, Tellus 59A, 210, 2007; from memory), but to no larger sum of variances than a tape's
measure leaves open (after a correction, by MOST_GROWN). Several readings that do not go together
even then contradict each other; they are weighed with C as it was. A hand count is taken by its
logarithm, for it errs by a share.
"""

from dataclasses import replace
from typing import NamedTuple

import numpy as np
from scipy.optimize import brentq

from ovenkit.fit import COUNT_NOISE, NOISE
from ovenkit.plan.chances import START_K, begun, covariance_of
from ovenkit.run import State
from ovenkit.simulate import run_days
from ovenkit.steps import Fire, Wait
from ovenkit.traits import SPREADS, turned

LEAST_K = 10.0          # a plan errs by that much at least, whatever is thought to be known
WILD = 5.0              # standard deviations: a reading so far off is asked about
DOUBTED, CONTRARY = 2.0, 3.0    # of them, root mean square: the plan is doubted, the readings are
MOST_GROWN = 16.0       # a variance, of an oven that was estimated before: it was made small
SAME_H = 0.5 / 60       # a clock tells minutes: so near the end of a step is its end


class Estimated(NamedTuple):
    """What readings tell.

    oven, state : Oven as it is estimated, and its State at `Estimate.begin_h`; far : of each
        reading, how many standard deviations off it is; apart : the two readings that contradict
        each other most, the higher first, or () if all go together
    """
    oven: object
    state: State
    far: np.ndarray
    apart: tuple


class Estimate:
    """How the masonry goes together with readings at a moment of a plan.

    hours : of the readings; end_h : when something may go in: at once in a wait, else at the end of
        the bake, or of the rest after the fire; begin_h : when that bake or rest began, or `end_h`
    step : index of it; held : it, as planned, or () in a wait; planned : State at `end_h`
    """

    def __init__(self, plan, hours, fitted=None):
        ends = plan.run.step_h[1:]
        near = ends[np.abs(ends - hours).argmin()]
        hours = float(near) if abs(near - hours) < SAME_H else hours
        self.plan, self.hours = plan, hours
        self.step = int(np.searchsorted(ends, hours - 1e-6))
        self.now = plan.steps[self.step]
        burns = isinstance(self.now, Fire)
        self.step += burns                              # raked out, and rested
        waits = isinstance(plan.steps[self.step], Wait)
        self.end_h = hours if waits else float(ends[self.step])
        self.planned = plan.run.state(self.end_h)
        self.held = () if burns or self.end_h - hours < 1e-6 else (plan.steps[self.step],)
        self.begin_h = float(plan.run.step_h[self.step]) if self.held else self.end_h
        covariance = covariance_of(fitted)
        self.most = MOST_GROWN if isinstance(plan.start, State) else max(
            1.0, np.trace(covariance_of(np.diag(SPREADS**2))) / np.trace(covariance))
        logs, warmer = _things(covariance)
        both = [(turned(plan.oven, sign * row), sign * more)
                for row, more in zip(logs, warmer, strict=True) for sign in (1, -1)]
        self.runs = run_days([(oven, plan.steps[:self.step + 1]) for oven, _ in both],
                             plan.outdoor_c, [begun(plan, *one) for one in both])
        cells = _halves([run.state(self.begin_h).zones_c for run in self.runs])
        self.begun = plan.run.state(self.begin_h)
        self.least = np.sqrt(max(LEAST_K**2 - np.sum(cells[:, 1, 0]**2), 0.0))
        self.cells = np.concatenate([cells, np.full_like(cells[:1], self.least)])
        self.logs = np.concatenate([logs, np.zeros_like(logs[:1])])
        self.more = [] if not self.held else run_days(
            [(plan.oven, self.held)] * 2, plan.outdoor_c, [
                begun(replace(plan, start=self.begun), plan.oven, more)
                for more in (self.least, -self.least)])
        self.kept = {}

    def given(self, readings):
        """The Estimated after some readings.

        readings : dict of instrument -> degC, or seconds for "hand count"; {} leaves it as planned
        """
        if not readings:
            return Estimated(self.plan.oven, self.begun, np.zeros(0), ())
        names = list(readings)
        y = np.column_stack([self.shown(name) for name in names])
        expected = np.array([_seen(self.plan.run, name, self.hours) for name in names])
        noise = np.array([NOISE.get(name, COUNT_NOISE) for name in names])
        gap = np.array([_even(name, readings[name]) for name in names]) - expected
        spread = np.sqrt(np.sum(y**2, axis=0) + noise**2)
        far = gap / spread
        gap = np.clip(far, -WILD, WILD) * spread            # no more is believed
        grown, apart = _grown(y, gap, noise, self.most)
        weights = np.linalg.solve(grown * y.T @ y + np.diag(noise**2), gap)
        left, things = noise * weights, grown * y @ weights
        oven = turned(self.plan.oven, things @ self.logs)
        cells = self.begun.zones_c + np.tensordot(things, self.cells, 1)
        cells = np.maximum(cells, self.plan.outdoor_c)
        return Estimated(oven, State(oven, cells, self.begin_h, self.plan.outdoor_c), far,
                         (names[left.argmax()], names[left.argmin()]) if apart else ())

    def shown(self, name):
        """What one spread of each thing changes in what an instrument shows (of a hand count, in
        its logarithm), [thing]; kept."""
        if name not in self.kept:
            shown = _halves([_seen(run, name, self.hours) for run in self.runs])
            least = self.least * (name != "hand count")
            if self.more:
                (least,) = _halves([_seen(run, name, self.hours - self.begin_h)
                                    for run in self.more])
            self.kept[name] = np.append(shown, least)
        return self.kept[name]


def _even(name, value):
    """A reading whose noise is the same everywhere: of a hand count, a share of it, the logarithm.
    """
    return np.log(value) if name == "hand count" else value


def _seen(run, name, hours):
    return _even(name, run.reading(name, hours))


def _grown(y, gap, noise, most):
    """(by how much the variances of the plan are grown, whether the readings contradict each
    other); y : [thing, reading]; gap, noise : of each reading; most : by how much at most."""
    def off(grown):
        return np.sqrt(gap @ np.linalg.solve(grown * y.T @ y + np.diag(noise**2), gap) / len(gap))

    if off(1.0) <= DOUBTED:
        return 1.0, False
    if off(most) > CONTRARY and len(gap) > 1:
        return 1.0, True
    if off(most) > DOUBTED:
        return most, False
    return brentq(lambda grown: off(grown) - DOUBTED, 1.0, most), False


def _things(covariance):
    """One spread of each thing that is not known: (logs of the traits [thing, trait], how much
    warmer a warm start is [thing] [K])."""
    spreads, along = np.linalg.eigh(covariance)
    logs = (np.sqrt(np.maximum(spreads, 0.0)) * along).T
    return (np.concatenate([logs, np.zeros_like(logs[:1])]),
            np.append(np.zeros(len(logs)), START_K))


def _halves(rows):
    """Half of every other row less the one after it."""
    rows = np.asarray(rows, float)
    return (rows[::2] - rows[1::2]) / 2
