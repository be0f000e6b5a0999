"""The correction table of the sheet on the wall: readings that may come, and what to do then."""

from itertools import groupby

import pandas as pd

from ovenkit.plan.advice import fire_saves
from ovenkit.plan.doughs import begun_anew, over_proved, prover
from ovenkit.plan.estimate import Estimate
from ovenkit.plan.remarks import doubtful, elsewhere, past_it, six_words
from ovenkit.plan.rest import fire_first, rests
from ovenkit.plan.rule import EASY_K
from ovenkit.plan.tries import COOL

OFFS_C = (-60, -30, 0, 30, 60)
AGAIN_MIN = 10          # more of the same that goes in so soon has no check of its own
NOW_MIN = 5             # what is to be begun within it is begun now


def checks(plan):
    """Return [(hours, index in Plan.order)] of the check times of a plan: before each load, as soon
    as what was in is out."""
    rows = list(plan.order.itertuples())
    return [(float(row.set_h - row.wait_min / 60), k) for k, row in enumerate(rows)
            if not (k and row.load == rows[k - 1].load and row.wait_min <= AGAIN_MIN)]


def correction_table(plan, fitted=None, kitchen="warm", check=None, offs_c=OFFS_C):
    """Return the correction table of a plan as a DataFrame, for the sheet on the wall.

    plan : Plan; fitted, kitchen : as of `correct`
    check : number of one check alone, from 0, or None for all; offs_c : reading over the plan [K]
    A row per check and hearth reading: hours, load (the next one), planned_c and reading_c (hearth
    spot), off_c, words (at most six), later (what else becomes of that day), and what they mean: a
    top-up fire, top_up_kg and top_up_min until the next load goes in, 0 for none; batch, wait_min,
    gap_mm, minutes.
    """
    rows = []
    for hours, k in checks(plan) if check is None else checks(plan)[check:check + 1]:
        estimate = Estimate(plan, hours, fitted)
        planned_c = round(plan.run.reading("hearth spot", hours))       # as it is printed
        off = [c for c in offs_c if c]
        some = rests(plan, estimate, [estimate.given({"hearth spot": planned_c + c})[1]
                                      for c in off], kitchen)
        choices = {c: _choice(plan, estimate, rest, kitchen) for c, rest in zip(
            off, some, strict=True) if not rest.stands or _poor(plan, rest)}
        for c in offs_c:
            choice = choices.get(c)
            choice = None if choice == _as_planned(plan, k) else choice
            rows.append({
                "hours": hours, "load": plan.order["load"].iloc[k], "planned_c": planned_c,
                "reading_c": planned_c + c, "off_c": c, **(choice or _as_planned(plan, k)),
                "words": six_words(choice, plan.order.iloc[k], plan.batches) if choice else
                "As planned"})
    return pd.DataFrame(rows)


def _poor(plan, rest):
    """Whether going on as written spoils what the plan does not, or leaves what is next in doubt.
    """
    planned = plan.order["spoilt"].to_numpy()[list(rest.taken)]
    doubt = doubtful(rest.order.iloc[0], plan.batches[rest.taken[0]].overnight)
    return bool(doubt or (rest.order["spoilt"].to_numpy() & ~planned).any())


def _choice(plan, estimate, rest, kitchen):
    """What to do next as the rest of a day has it."""
    k, more = rest.top_up or (None, None)
    fire = more if fire_first(plan, rest) else None
    order, taken = (fire.order, fire.taken) if fire else (rest.order, rest.taken)
    row, later = order.iloc[0], _later(plan, estimate.hours, taken, order, kitchen)
    if more and not fire:
        later.append(f"a {more.lit(k)}, {more.minutes:.0f} min, would save "
                     f"{fire_saves(plan, rest)}")
    return {"top_up_kg": fire.wood_kg if fire else 0.0, "top_up_min": fire.minutes if fire else 0,
            "batch": taken[0], "wait_min": 0 if fire else int(row["wait_min"]),
            "gap_mm": 0 if fire else row["gap_mm"],
            "minutes": int(row["minutes"]), "verdict": row["verdict"], "why": _why(row),
            "later": "; ".join(dict.fromkeys(later))}


def _why(row):
    """Why a row of an order is not good, if it is the oven's heat: "Too hot", "Too cool" or ""."""
    below = max(row["hearth_low_c"] - row["hearth_c"], row["feels_low_c"] - row["feels_c"])
    above = max(row["hearth_c"] - row["hearth_high_c"], row["feels_c"] - row["feels_high_c"])
    cool = row["verdict"] in COOL
    return ("Too cool" if below > EASY_K else "") if cool else "Too hot" if above > EASY_K else ""


def _later(plan, now_h, taken, order, kitchen):
    """List of what else becomes of the day, in a few words each.

    taken : indices of the batches to come, in order; order : Plan.order of them
    """
    out, rows = [], list(order.itertuples())
    names, planned = _names(plan, list(taken)), _names(plan, sorted(taken))
    if names[0] != planned[0]:
        out.append(f"{names[0]} first")
    if names != planned:
        out.append(f"then {', '.join(names[1:])}")
    makes = [(plan.order["load"].iloc[k], new_h) for k, new_h, planned_h in begun_anew(
        plan, order, taken, kitchen, now_h)
        if k == taken[0] or min(new_h, planned_h) <= rows[0].out_h]     # else the next check tells
    out += [f"begin the {name} {_when(now_h, new_h)}" for name, new_h in makes]
    late = [plan.order["load"].iloc[k] for k, *_ in over_proved(plan, order, taken, kitchen, now_h)]
    cold = [name for name in late if prover(name)]
    out += [f"into the cold: {', '.join(dict.fromkeys(cold))}"] if cold else []
    for n, row in enumerate(rows):
        night = plan.batches[taken[n]].overnight
        if n and night:         # its own check tells
            continue
        said = [] if row.verdict == "good" or not n else [
            elsewhere(row.verdict, plan.batches[taken[n]].load) or row.verdict]
        even_so = " even so" if row.load in cold else ""
        said += [past_it(row.load) + even_so] if row.fault == "proof" else []
        said += ["off its bands, watch it"] if row.fault == "off" else []
        said += [doubtful(row, night)] if doubtful(row, night) else []
        said += [f"late, {plan.at(row.out_h)}"] if row.late else []
        if said:
            out.append(", ".join([f"{row.load} {said[0]}", *said[1:]]))
    return out


def _names(plan, taken):
    """Names of some loads of a plan, several batches of the same after each other as one."""
    return [name for name, _ in groupby(plan.order["load"].iloc[taken])]


def _when(now_h, hours):
    """When something is begun, in words; as waits are, from now on."""
    minutes = 60 * (hours - now_h)
    return "now" if minutes <= NOW_MIN else f"in {minutes:.0f} min"


def _as_planned(plan, k):
    row = plan.order.iloc[k]
    return {"top_up_kg": 0.0, "top_up_min": 0, "batch": k, "wait_min": int(row["wait_min"]),
            "gap_mm": row["gap_mm"], "minutes": int(row["minutes"]), "verdict": row["verdict"],
            "why": "", "later": ""}
