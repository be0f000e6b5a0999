"""How sure a plan is: the same day in many ovens, drawn from what is not known."""

from dataclasses import replace

import numpy as np
import pandas as pd

from ovenkit.evidence import check_covariance
from ovenkit.files import number
from ovenkit.plan.margins import MOMENT_H, band_k
from ovenkit.plan.rule import EASY_K
from ovenkit.run import State
from ovenkit.simulate import run_days
from ovenkit.steps import Bake
from ovenkit.traits import drawn

DAY_SPREADS = np.array([0.02, 0.08, 0.25, 0.06])
# of the logarithms of the traits, from one day to the next in an oven that is known: the mass that
# takes part, insulation (damp, wind), how the door is hung, the wood's moisture and its tending
# (from memory)
FINER = 0.75            # of `run_days`: moves a chance by less than another draw of 300 ovens does
START_K = 10.0          # how badly a warm start is known (from memory)


def covariance_of(fitted=None):
    """Return what is not known of tomorrow: a Fit's covariance, if given, and the day's own."""
    return np.diag(DAY_SPREADS**2) + (0.0 if fitted is None else check_covariance(fitted))


def begun(plan, oven, warmer_k):
    """Return the start of a plan in another oven, warmer by some kelvin than it was thought."""
    start = plan.start
    if isinstance(start, State):
        zones_c = np.maximum(start.zones_c + warmer_k, plan.outdoor_c)
        return replace(start, oven=oven, zones_c=zones_c)
    return None if start is None else float(np.clip(start + warmer_k, plan.outdoor_c, 400.0))


def chances(plan, n=300, fitted=None, seed=0):
    """Return a DataFrame, a row per load as in Plan.order: how likely it is to go well.

    plan : Plan; n, seed : ovens drawn, and the seed
    fitted : covariance of a `fit.Fit` of this oven, or None for an oven that is known
    Columns: load; in_band, the chance that hearth and feels are within its bands, but for
    `rule.EASY_K`, as it goes in;
    good, the chance that it comes out good after the planned minutes, with no eye on it;
    hearth_low_c, hearth_high_c: what four ovens of five are between.
    """
    number(n, "n", 10, 5000)
    ovens = drawn(plan.oven, covariance_of(fitted), n, seed)
    warmer = np.random.default_rng(seed + 1).normal(0.0, START_K, n)
    starts = [begun(plan, oven, more) for oven, more in zip(ovens, warmer.tolist(), strict=True)]
    runs = run_days([(oven, plan.steps) for oven in ovens], plan.outdoor_c, starts, FINER)
    bakes = [step for step in plan.steps if isinstance(step, Bake)]
    firsts = np.cumsum([0] + [len(step.loads) for step in bakes])[:-1]
    rows = []
    before = plan.order["set_h"].to_numpy() - MOMENT_H
    met = np.array([np.stack(run.met_c(before), axis=-1) for run in runs])
    for k, (step, first) in enumerate(zip(bakes, firsts, strict=True)):
        baked = [run.baked[first] for run in runs]
        inside = [band_k(step.load, *one) >= -EASY_K for one in met[:, k]]
        low, high = np.quantile(met[:, k, 0], [0.1, 0.9])
        rows.append((step.load.name, np.mean(inside),
                     np.mean([row.verdict == "good" for row in baked]), low, high))
    return pd.DataFrame(rows, columns=["load", "in_band", "good", "hearth_low_c",
                                       "hearth_high_c"])
