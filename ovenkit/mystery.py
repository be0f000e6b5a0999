"""The mystery oven: a teacher gives a number, each table gets the thermometers of a hidden oven."""

from functools import lru_cache

import numpy as np
import pandas as pd

from ovenkit.files import number
from ovenkit.fit import NOISE
from ovenkit.oven import domed_oven
from ovenkit.simulate import run_day
from ovenkit.steps import Bake, Fire, Wait
from ovenkit.traits import SPREADS, turned

PLACES = ("hearth spot", "dome back spot", "deep hearth probe")
STEPS = (Fire(hours=2.25, wood_kg=12.0), Wait(minutes=40), Bake("hearth loaf", 5, minutes=30),
         Wait(minutes=45), Bake("tin loaf", 4, minutes=50), Wait(hours=8))
EVERY_H = 0.5           # between readings
OUTDOOR_C = 12.0


def guess():
    """Return the Oven that a tape and a look make of every mystery oven."""
    return domed_oven(80, 300, name="as a tape has it")


@lru_cache(maxsize=32)
def hidden_oven(number_):
    """Return the hidden Oven of a number: what the tape cannot see is its own.

    number_ : whole number from 1 to 9999; the same number is the same oven on every computer
    """
    value = number(number_, "number of the mystery oven", 1, 9999)
    rng = np.random.default_rng(int(value))
    return turned(guess(), rng.normal(0.0, 1.0, len(SPREADS)) * SPREADS)


@lru_cache(maxsize=32)
def thermometers(number_, noise_c=1.0):
    """Return the log of a hidden oven as a DataFrame hours, where, reading_c; see `fit_oven`.

    number_ : of the oven; noise_c : of the readings, as a share of what is usual
    Read every half hour from raking out, at three places, after STEPS at OUTDOOR_C.
    """
    run = run_day(hidden_oven(number_), STEPS, OUTDOOR_C)
    rng = np.random.default_rng([int(number_), 1])
    hours = np.arange(STEPS[0].hours + 0.1, run.hours[-1], EVERY_H)
    rows = [(round(float(hour), 2), where, float(np.round(
        run.reading(where, hour) + noise_c * NOISE[where] * rng.normal())))
        for hour in hours for where in PLACES]
    return pd.DataFrame(rows, columns=["hours", "where", "reading_c"])
