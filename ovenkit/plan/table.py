"""The correction table of the sheet on the wall: readings that may come, and what to do then."""

import pandas as pd

from ovenkit.plan.doughs import load_doughs
from ovenkit.plan.estimate import Estimate
from ovenkit.plan.remarks import six_words
from ovenkit.plan.rest import rests
from ovenkit.plan.rule import SLACK_H
from ovenkit.plan.tries import COOL, gap_of
from ovenkit.steps import Bake

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
    top-up fire, top_up_kg and top_up_min, 0 for none; then batch, wait_min, gap_mm, minutes.
    """
    rows = []
    for hours, k in checks(plan) if check is None else checks(plan)[check:check + 1]:
        estimate, planned_c = Estimate(plan, hours, fitted), plan.run.reading("hearth spot", hours)
        off = [c for c in offs_c if c]
        some = rests(plan, estimate, [estimate.given({"hearth spot": planned_c + c})[1]
                                      for c in off], kitchen)
        choices = {c: _choice(plan, estimate, rest, kitchen)
                   for c, rest in zip(off, some, strict=True) if not rest.stands}
        for c in offs_c:
            choice = choices.get(c)
            rows.append({
                "hours": hours, "load": plan.order["load"].iloc[k], "planned_c": planned_c,
                "reading_c": planned_c + c, "off_c": c, **(choice or _as_planned(plan, k)),
                "words": six_words(choice, plan.order.iloc[k], plan.batches) if choice else
                "As planned"})
    return pd.DataFrame(rows)


def _choice(plan, estimate, rest, kitchen):
    """What to do next as the rest of a day has it: a top-up fire now if that saves what is next."""
    fire = rest.top_up[1] if rest.top_up and rest.top_up[0] == 0 else None
    row, taken, verdicts = rest.order.iloc[0], rest.taken, rest.order["verdict"].tolist()
    choice = {"top_up_kg": 0.0, "top_up_min": 0, "batch": taken[0],
              "wait_min": int(row["wait_min"]), "gap_mm": row["gap_mm"],
              "minutes": int(row["minutes"]), "verdict": row["verdict"], "why": _why(row)}
    if fire:
        steps, taken = fire.node.steps, fire.node.order
        verdicts = [one.verdict for one in fire.node.rows]
        choice |= {"top_up_kg": fire.wood_kg, "top_up_min": int(fire.minutes), "batch": taken[0],
                   "wait_min": int(fire.wait_min), "gap_mm": gap_of(steps[0]) if fire.wait_min
                   else 0, "verdict": verdicts[0], "why": "",
                   "minutes": int(next(step for step in steps if isinstance(step, Bake)).minutes)}
    in_h = estimate.end_h + (choice["top_up_min"] + choice["wait_min"]) / 60
    return choice | {"later": _later(plan, estimate.hours, taken, verdicts, in_h,
                                     choice["minutes"], kitchen)}


def _why(row):
    """Why a row of an order is not good, if it is the oven's heat: "Too hot", "Too cool" or ""."""
    if row["verdict"] in COOL:
        cold = row["hearth_c"] < row["hearth_low_c"] or row["feels_c"] < row["feels_low_c"]
        return "Too cool" if cold else ""
    hot = row["hearth_c"] > row["hearth_high_c"] or row["feels_c"] > row["feels_high_c"]
    return "Too hot" if hot else ""


def _later(plan, now_h, taken, verdicts, in_h, minutes, kitchen):
    """In a few words what else becomes of the day: what is spoilt at best, and what is late if the
    plan goes on as written after the first load.

    taken : indices of the batches to come, in order; verdicts : of each
    in_h, minutes : when the first goes in, for how long
    """
    first, out, end_h = taken[0], [], in_h + minutes / 60
    after, begin = sorted(taken[1:]), plan.order["set_h"].iloc[0]
    if after and first > after[0]:
        begin_it = _make(plan, first, now_h, in_h, kitchen)
        out += [f"{plan.order['load'].iloc[first]} first{begin_it}",
                f"then {plan.order['load'].iloc[after[0]]}"]
    verdict = dict(zip(taken, verdicts, strict=True))
    for i in (first, *after):
        batch = plan.batches[i]
        if i != first:
            end_h += plan.order[["wait_min", "minutes"]].iloc[i].sum() / 60
        late = not batch.overnight and end_h - begin > batch.out_by_h + SLACK_H
        said = [] if verdict[i] == "good" or i == first else [verdict[i]]
        said += [f"late, {plan.at(end_h)}"] if late else []
        if said:
            out.append(", ".join([f"{batch.load.name} {said[0]}", *said[1:]]))
    return "; ".join(dict.fromkeys(out))


def _make(plan, batch, now_h, in_h, kitchen):
    """When what goes in before its time is to be begun, in words; "" if it is begun already."""
    row = plan.order.iloc[batch]
    dough = load_doughs().get(row["load"])
    work_h = sum(dough.minutes(kitchen)) / 60 if dough else 0.0
    if row["set_h"] - work_h <= now_h:
        return ""
    return (": make it now" if in_h - work_h <= now_h + NOW_MIN / 60 else
            f": make it at {plan.at(in_h - work_h)}")


def _as_planned(plan, k):
    row = plan.order.iloc[k]
    return {"top_up_kg": 0.0, "top_up_min": 0, "batch": k, "wait_min": int(row["wait_min"]),
            "gap_mm": row["gap_mm"], "minutes": int(row["minutes"]), "verdict": row["verdict"],
            "why": "", "later": ""}
