"""The correction table of the sheet on the wall: readings that may come, and what to do then."""

import pandas as pd

from ovenkit.plan.correct import (
    QUICK,
    as_written,
    ready,
    rest_order,
    saving,
    to_come,
    will_do,
)
from ovenkit.plan.doughs import load_doughs
from ovenkit.plan.estimate import Estimate
from ovenkit.plan.remarks import six_words
from ovenkit.plan.rule import ON_THE_DAY, SLACK_H, Task, root
from ovenkit.plan.search import NARROW, dive
from ovenkit.plan.tries import gap_of
from ovenkit.run import State
from ovenkit.steps import Bake

OFFS_C = (-60, -30, 0, 30, 60)
AGAIN_MIN = 10          # more of the same that goes in so soon has no check of its own


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
        estimate, planned = Estimate(plan, hours, fitted), plan.order.iloc[k]
        planned_c = float(plan.run.reading("hearth spot", hours))
        task = Task(plan.oven, ready(plan, kitchen, hours), plan.outdoor_c, ON_THE_DAY, QUICK,
                    planned["load"])
        other = _choices(plan, task, estimate, [(off, planned_c + off) for off in offs_c if off])
        for off in offs_c:
            choice = other.get(off)
            rows.append({
                "hours": hours, "load": planned["load"], "planned_c": planned_c,
                "reading_c": planned_c + off, "off_c": off, **(choice or _as_planned(plan, k)),
                "words": six_words(choice, planned, plan.batches) if choice else "As planned"})
    return pd.DataFrame(rows)


def _choices(plan, task, estimate, read):
    """Dict of off -> what to do, of the (off [K], hearth spot [degC]) where the plan will not do;
    computed together."""
    left, minutes = to_come(plan, estimate)
    roots = {}
    for off, reading_c in read:
        cells = estimate.given({"hearth spot": reading_c})[1].zones_c
        state = State(plan.oven, cells, estimate.end_h, plan.outdoor_c)
        written = as_written(plan, estimate, plan.oven, state, task.rule)
        if not will_do(plan, *written[1:], task.rule):
            roots[off] = root(left, state, minutes)
    best, _ = dive(task, [[now] for now in roots.values()], beam=NARROW)
    return {off: _choice(plan, task, estimate, now, node, off)
            for (off, now), node in zip(roots.items(), best, strict=True)}


def _choice(plan, task, estimate, now, best, off_c):
    """What to do next: as the best rest of the day has it, or a top-up fire if only that saves it.
    """
    def told(node):
        return rest_order(plan, estimate, plan.oven, now.state, (*node.fire, *node.steps),
                          node.order, task.rule, either_way=())

    order = told(best)
    more = best.cost.spoilt and saving(plan, task, now, order, off_c)
    if more:
        best, order = more.node, told(more.node)
    before = None if isinstance(best.steps[0], Bake) else best.steps[0]
    bake = next(step for step in best.steps if isinstance(step, Bake))
    load, row = task.batches[best.order[0]].load, best.rows[0]
    return {"top_up_kg": more.wood_kg if more else 0.0,
            "top_up_min": int(more.minutes) if more else 0,
            "batch": best.order[0], "wait_min": 0 if before is None else int(before.minutes),
            "gap_mm": 0 if before is None else gap_of(before),
            "minutes": int(bake.minutes), "verdict": row.verdict,
            "cold": row.verdict in ("pale", "underdone", "cold")
            or row.feels_in_c < load.feels_low_c,
            "later": _later(plan, estimate, now.left, best, order)}


def _later(plan, estimate, left, best, order):
    """In a few words what else becomes of the day: what is spoilt at best, and what is late if the
    plan goes on as written after the first load.

    left : indices of the batches to come; best : Node of the best rest; order : its Plan.order
    """
    first, out = best.order[0], []
    name = order["load"].iloc[0]
    after = [i for i in left if i != first]
    if first != min(left):
        dough = load_doughs().get(name)
        work_h = sum(dough.minutes("warm")) / 60 if dough else 0.0
        begun = plan.order["set_h"].iloc[first] - work_h <= estimate.hours
        out += [f"{name} first" + ("" if begun else ": make it now"),
                f"then {plan.order['load'].iloc[after[0]]}"]
    n = next(i for i, step in enumerate(best.steps) if isinstance(step, Bake))
    ends = [estimate.end_h + sum(step.seconds for step in (*best.fire, *best.steps[:n + 1])) / 3600]
    for i in after:
        ends.append(ends[-1] + plan.order[["wait_min", "minutes"]].iloc[i].sum() / 60)
    verdicts = dict(zip(best.order, order["verdict"], strict=True))
    begin = plan.order["set_h"].iloc[0]
    for i, end_h in zip((first, *after), ends, strict=True):
        batch = plan.batches[i]
        late = not batch.overnight and end_h - begin > batch.out_by_h + SLACK_H
        said = [] if verdicts[i] == "good" or i == first else [verdicts[i]]
        said += [f"late, {plan.at(end_h)}"] if late else []
        if said:
            out.append(", ".join([f"{batch.load.name} {said[0]}", *said[1:]]))
    return "; ".join(out)


def _as_planned(plan, k):
    row = plan.order.iloc[k]
    return {"top_up_kg": 0.0, "top_up_min": 0, "batch": k, "wait_min": int(row["wait_min"]),
            "gap_mm": row["gap_mm"], "minutes": int(row["minutes"]), "verdict": row["verdict"],
            "cold": False, "later": ""}
