"""How far each load of a run is from going wrong: what it meets, minutes either way."""

from dataclasses import replace
from typing import NamedTuple

import numpy as np

from ovenkit.simulate import run_days
from ovenkit.steps import Bake

EITHER_WAY_MIN = (1, 2, 3, 5, 8)
MOMENT_H = 1e-6         # before its mouth is opened for a load
SURE_CORE_K = 0.5       # a core that is so little above done hangs by a hair, however slow it is


class Margin(NamedTuple):
    """hearth_c, feels_c : what a load meets [degC]; minutes : earlier and later by so many it comes
    out as well, 0 if its core is no more than SURE_CORE_K above done [min]"""
    hearth_c: float
    feels_c: float
    minutes: int


def band_k(load, hearth_c, feels_c):
    """Return how far inside a load's bands hearth and feels are, the nearer edge [K].

    hearth_c, feels_c : [degC], arrays broadcast
    """
    return np.minimum(
        np.minimum(hearth_c - load.hearth_low_c, load.hearth_high_c - hearth_c),
        np.minimum(feels_c - load.feels_low_c, load.feels_high_c - feels_c))


def margins(run, either_way=EITHER_WAY_MIN):
    """Return a list of Margin, one for each Bake of a Run (its first load).

    either_way : minutes that are tried out, each bake once more from where it began, shorter and
        longer; () for none, and 0
    """
    at = run.step_h
    bakes = [i for i, step in enumerate(run.steps) if isinstance(step, Bake)]
    spans = [sign * m for m in either_way for sign in (-1, 1)]
    trials = [(i, m) for i in bakes for m in spans if run.steps[i].seconds / 60 + m >= 1]
    states = {i: run.state(at[i]) for i in bakes}
    runs = run_days([(run.oven, (replace(
        run.steps[i], minutes=run.steps[i].seconds / 60 + m, hours=None),)) for i, m in trials],
        run.outdoor_c, [states[i] for i, _ in trials])
    verdicts = {trial: one.baked[0].verdict for trial, one in zip(trials, runs, strict=True)}
    rows = run.baked
    firsts = np.cumsum([0] + [len(run.steps[i].loads) for i in bakes])
    out = []
    for i, k in zip(bakes, firsts, strict=False):
        met = [float(value) for value in run.met_c(at[i] - MOMENT_H)]
        hair = rows[k].core_out_c - run.steps[i].load.core_c
        minutes = 0 if 0 <= hair < SURE_CORE_K else _minutes(verdicts, i, rows[k].verdict,
                                                             either_way)
        out.append(Margin(*met, minutes))
    return out


def _minutes(verdicts, i, verdict, either_way):
    kept = 0
    for m in either_way:
        if any(verdicts.get((i, sign * m), verdict) != verdict for sign in (-1, 1)):
            break
        kept = m
    return kept
