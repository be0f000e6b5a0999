"""What a fit is given, checked: a log of readings, and what was known before."""

import numpy as np
import pandas as pd

from ovenkit.files import choose, number, refuse
from ovenkit.run import READINGS
from ovenkit.traits import TRAITS

COLUMNS = ("hours", "where", "reading_c")
LIMITS = {False: (-40, 1300, "degC"), True: (0.1, 60, "s")}     # of a reading; of a hand count


def checked_log(log, steps):
    """Return a log as a DataFrame of hours, where, reading_c, at_least; InputError naming a row.

    log : as of `fit.fit_oven`; steps : of the day it is of, each with its time
    """
    log = getattr(log, "good", log)
    if not isinstance(log, pd.DataFrame):
        refuse(f"the log is {type(log).__name__}: give a DataFrame with columns "
               f"{', '.join(COLUMNS)}, or a log read by logs.read_log")
    for column in COLUMNS:
        if column not in log.columns:
            refuse(f"the log has no column {column!r}: it has {', '.join(map(str, log.columns))}")
    if not len(log):
        refuse("the log has no readings: write down at least a dozen, over some hours")
    end, rows = sum(step.seconds for step in steps) / 3600, []
    at_least = log["at_least"] if "at_least" in log.columns else [False] * len(log)
    for i, hours, where, value, least in zip(log.index, log["hours"], log["where"],
                                             log["reading_c"], at_least, strict=True):
        place = f"reading {i}"
        choose(where, READINGS, "instrument", place)
        hours = number(_plain(hours), "hours", 0.0, end + 1e-6,
                       "h (the steps of the day end there)", place)
        limits = LIMITS[where == "hand count"]
        rows.append((hours, where, number(_plain(value), "the reading", *limits, place),
                     bool(least)))
    return pd.DataFrame(rows, columns=[*COLUMNS, "at_least"])


def _plain(value):
    return value.item() if isinstance(value, np.generic) else value


def check_covariance(covariance, where=""):
    """Return the covariance of an earlier Fit as an array, if it is one; InputError if not."""
    try:
        c = np.asarray(covariance, float)
    except (TypeError, ValueError):
        refuse("covariance holds something that is no number", where)
    if c.shape != (len(TRAITS),) * 2 or not np.isfinite(c).all():
        refuse(f"covariance is of shape {c.shape}: give that of an earlier Fit, "
               f"{len(TRAITS)} by {len(TRAITS)} numbers", where)
    try:
        np.linalg.cholesky(c)
    except np.linalg.LinAlgError:
        refuse("covariance is not one: give that of an earlier Fit", where)
    return c
