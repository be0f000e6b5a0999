"""The order of a plan as a table: what each load meets, how it comes out, how sure that is."""

import pandas as pd

from ovenkit.plan.margins import EITHER_WAY_MIN, band_k, margins
from ovenkit.plan.rule import PLANNED, SLACK_H, SLACK_K, astray, fault
from ovenkit.plan.tries import gap_of
from ovenkit.steps import Bake, Wait


def order_table(run, taken, n_fire=0, from_h=0.0, first_h=None, rule=PLANNED,
                either_way=EITHER_WAY_MIN):
    """Return Plan.order of a run that begins `from_h` hours after lighting.

    taken : Batches in the order of its bakes; n_fire : steps before the first wait or bake
    rule : `rule.Rule` that says what is spoilt
    either_way : minutes tried for the margins, as of `margins.margins`
    first_h : when the first load of the day goes in, as planned; None for the first of these
    """
    at = from_h + run.step_h
    bakes = [i for i, step in enumerate(run.steps) if isinstance(step, Bake)]
    rows, first = [], at[bakes[0]] if first_h is None else first_h
    for k, (i, batch, row, spare) in enumerate(zip(
            bakes, taken, run.baked, margins(run, either_way), strict=True)):
        pause = run.steps[i - 1] if i > n_fire and isinstance(run.steps[i - 1], Wait) else None
        y = batch.load
        kelvin = float(band_k(y, spare.hearth_c, spare.feels_c))    # as the batch has its bands
        off_k, when = max(-kelvin, 0.0), (at[i] - first, at[i + 1] - first)
        why = fault(rule, taken[k:], batch, row.verdict, off_k, run.steps[i].minutes, *when,
                    SLACK_K)
        rows.append({
            "load": y.name, "count": batch.count,
            "wait_min": 0 if pause is None else int(pause.minutes),
            "gap_mm": 0 if pause is None else gap_of(pause),
            "minutes": int(run.steps[i].minutes), "set_h": at[i], "out_h": at[i + 1],
            "hearth_c": spare.hearth_c, "hearth_low_c": y.hearth_low_c,
            "hearth_high_c": y.hearth_high_c, "feels_c": spare.feels_c,
            "feels_low_c": y.feels_low_c, "feels_high_c": y.feels_high_c,
            "margin_k": kelvin, "margin_min": spare.minutes,
            "late": when[1] > batch.end_h + SLACK_H,
            "verdict": row.verdict, "spoilt": bool(why), "fault": why,
            "astray": astray(rule, batch, why, off_k, *when, SLACK_K)})
    return pd.DataFrame(rows)
