"""Logs of firings that never were: another solver's temperatures, read by the kit's instruments.

The masonry is solved by `oracle.run` (other mesh, other solver, no modes); only the formulas of
`ovenkit.instruments` turn its zones into what a thermometer shows. Noise, what an instrument
shows too much, and blunders come on top.
"""

from dataclasses import replace

import numpy as np
import oracle
import pandas as pd

from ovenkit import instruments
from ovenkit.run import NEAR_H, PROBE_EPS, PROBE_H
from ovenkit.steps import Bake, Fire, Settle, Wait, check_steps
from ovenkit.traits import SPREADS, TRAITS, turned

MESH = oracle.Mesh(24, 1.15, 6, 1.5, 16, 1.25)  # within 0.3 K (rms) of the finest, 0.6 s a day
HIGHEST_C = 1000.0
FIRING = (Fire(hours=2.5, wood_kg=12), Settle(minutes=40), Bake("hearth loaf", 6, minutes=30),
          Wait(hours=8))
THREE = ("hearth spot", "dome back spot", "air probe")


def day(oven, steps, hours, outdoor_c=12.0, start_c=None):
    """Return the oracle's Answer at rising `hours`; a share of the fire is as much less wood."""
    steps = [replace(step, wood_kg=step.wood_kg * oven.fire_share) if isinstance(step, Fire)
             else step for step in check_steps(oven, steps, start_c)]
    return oracle.run(oven, tuple(steps), outdoor_c, start_c, hours, MESH, 1e-4, 1e-2)


def shown(answer, where):
    """What an instrument shows of an Answer: degC, or seconds for a hand count."""
    _, hearth, back, front, _ = answer.zones_c.T
    wall, air = (hearth + back + front) / 3, answer.air_c
    if where == "hand count":
        return instruments.hand_count_s(wall, air)
    if where == "air probe":
        return instruments.probe_c(air, wall, PROBE_H, PROBE_EPS)
    if where == "air probe near wall":
        return instruments.probe_c((air + front) / 2, front, NEAR_H, PROBE_EPS)
    surface = {"hearth spot": hearth, "dome back spot": back, "dome front spot": front}[where]
    return instruments.spot_c(surface, wall)


def true_log(oven, steps=FIRING, where=THREE, n=60, outdoor_c=12.0, start_c=None, hours=None):
    """Return a DataFrame hours, where, reading_c of n readings without any error.

    All instruments are read at each of the moments, from a third of an hour on.
    """
    if hours is None:
        end = sum(step.seconds for step in steps) / 3600
        hours = np.linspace(0.35, end - 0.05, n // len(where))
    answer = day(oven, steps, hours, outdoor_c, start_c)
    rows = pd.concat([pd.DataFrame({"hours": hours, "where": name,
                                    "reading_c": shown(answer, name)}) for name in where])
    return rows.sort_values("hours", kind="stable", ignore_index=True)


def spoilt(log, rng, noise_c=8.0, offset_c=4.0, blunders=2):
    """Return (log with errors, rows that are blunders).

    noise_c, offset_c : of each reading and of each instrument, standard deviations [degC]
    blunders : readings that are 60 to 150 degC off; hand counts get a third of noise instead
    """
    log = log.copy()
    value = log["reading_c"].to_numpy(float).copy()
    hand = (log["where"] == "hand count").to_numpy()
    noise = rng.normal(0, noise_c, len(log))
    noise += log["where"].map({w: rng.normal(0, offset_c) for w in log["where"].unique()})
    value += np.where(hand, 0.0, noise)
    value[hand] *= np.exp(rng.normal(0, 0.3, hand.sum()))
    odd = rng.choice(np.flatnonzero(~hand), blunders, replace=False)
    value[odd] += rng.choice([-1, 1], blunders) * rng.uniform(60, 150, blunders)
    log["reading_c"] = np.clip(value.round(1), np.where(hand, 0.5, -20.0),
                               np.where(hand, 60.0, 1200.0))
    return log, sorted(odd.tolist())


def truths(oven, n, seed):
    """Return n Ovens and the logarithms of their traits, drawn about a guess by its spreads."""
    logs = np.random.default_rng(seed).normal(0, SPREADS, (n, len(TRAITS)))
    return [(turned(oven, row), row) for row in logs]
