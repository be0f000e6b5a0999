"""One batch more: when each that is left may go in, tried out on the engine, many at once."""

from typing import NamedTuple

import numpy as np

from ovenkit.oneday import feels_shut_c
from ovenkit.plan.rule import (
    GAPS_MM,
    GRID_MIN,
    LONGEST_MIN,
    OPEN,
    SLACK_H,
    Node,
    graced,
    miss,
    then,
)
from ovenkit.simulate import done_minutes, run_days
from ovenkit.steps import Bake, Wait
from ovenkit.units import ZERO_C

AS_GOOD_K = 3.0         # of moments that all miss the bands, the first that is as good as any
HOTTER_K, HOTTEST_C = 30.0, 400.0       # than its bands: no batch is done faster in a plan


class Try(NamedTuple):
    """A batch that may go in after a wait."""
    node: Node
    batch: int
    moments: tuple      # (minutes, gap_mm) to try, the soonest first
    price: int          # of Cost, what must not grow: compromises, or spoilt if some miss will do


def pause(minutes, gap_mm):
    """Return the Wait of some minutes, door shut (0), ajar by `gap_mm`, or OPEN."""
    if gap_mm == OPEN:
        return Wait(minutes=minutes, door="open")
    return Wait(minutes=minutes, gap_mm=gap_mm or None)


def gap_of(step):
    """Return how the door stands in a Wait or Settle, as `pause` takes it [mm]."""
    return OPEN if step.door == "open" else step.gap_mm or 0


IDLE = {gap: (pause(LONGEST_MIN, gap),) for gap in GAPS_MM}
GRID_H = np.arange(0, LONGEST_MIN + 1, GRID_MIN) / 60


def cooling(task, nodes):
    """Hearth and feels of an empty oven that waits [degC], (nodes, gaps of the rule, grid, 2)."""
    if not nodes:
        return []
    gaps = task.rule.gaps
    days = [(node, gap) for node in nodes for gap in gaps]
    runs = run_days([(task.oven, IDLE[gap]) for _, gap in days], task.outdoor_c,
                    [node.state for node, _ in days], task.finer)
    zones_k = np.array([[np.interp(GRID_H, run.hours, row) for row in run.of("temp_k")[:, :4].T]
                        for run in runs]).reshape(len(nodes), len(gaps), 4, -1).swapaxes(2, 3)
    return np.stack([zones_k[..., 1] - ZERO_C, feels_shut_c(task.oven, task.outdoor_c, zones_k)],
                    axis=-1)


def quickest(oven, batches):
    """Return the least minutes each batch stays in: those in an oven hotter than its bands (or at
    HOTTEST_C, where GRACE_MIN is more than it could be faster by)."""
    least = [batch.stay for batch in batches]
    open_ = [i for i, stay in enumerate(least) if stay is None]
    days = [(oven, (Bake(batches[i].load, batches[i].count,
                         minutes=batches[i].load.max_minutes),)) for i in open_]
    hot = [min(max(batches[i].load.hearth_high_c, batches[i].load.feels_high_c) + HOTTER_K,
               HOTTEST_C) for i in open_]
    for i, run in zip(open_, run_days(days, start=hot), strict=True):
        least[i] = done_minutes(run, 0, run.steps[0])
    return least


def expand(task, nodes):
    """Return (children of each of some (Node, cooling), bakes run): every batch left put in next.
    """
    tries = [attempt for node, curves in nodes for attempt in _tries(task, node, curves)]
    children, seen = [None] * len(tries), 0
    again = list(range(len(tries)))
    for round_ in range(task.rule.tries):
        again = [i for i in again if len(tries[i].moments) > round_]
        if not again:
            break
        baked = _bake(task, [(tries[i], *tries[i].moments[round_]) for i in again])
        seen += len(baked)
        good = {i for i, child in zip(again, baked, strict=True)
                if child.cost[tries[i].price] == tries[i].node.cost[tries[i].price]}
        for i, child in zip(again, baked, strict=True):
            if i in good or children[i] is None:
                children[i] = child
        again = [i for i in again if i not in good]
    return [[child for attempt, child in zip(tries, children, strict=True)
             if attempt.node is node] for node, _ in nodes], seen


def _tries(task, node, curves):
    """The Trys of a node, one or more for every batch that is left."""
    taken, batches, rule = set(), task.batches, task.rule
    for i in node.left:
        batch = batches[i]
        if batch[1:] in taken:          # one of several equal batches is enough
            continue
        taken.add(batch[1:])
        if node.minutes is None and batch.ready_h > 0 and any(
                batches[k].ready_h <= 0 for k in node.left):
            continue                    # not ready when the first load goes in
        ready_h = -1.0 if node.minutes is None else batch.ready_h - node.minutes / 60
        if ready_h > GRID_H[-1] + SLACK_H:      # a wait longer than any other
            wait = GRID_MIN * int(np.ceil(60 * ready_h / GRID_MIN - 1e-6))
            yield Try(node, i, tuple((wait, gap) for gap in rule.gaps[:rule.tries]), 1)
            continue
        late, tried = np.where(GRID_H < ready_h - SLACK_H, 1e6, 0.0), set()
        for inside in rule.inside_k:
            moments = _moments(miss(batch, *np.moveaxis(curves, -1, 0), inside) + late, rule)
            if moments not in tried:
                tried.add(moments)
                yield Try(node, i, moments, 1 if inside >= 0 else 0)


def _moments(off, rule):
    """The first (minutes, gap) at which nothing is off, as many as the rule tries, else the one
    that is least so.

    off : (gaps, grid) [K]
    """
    gaps = rule.gaps
    soonest = sorted((int(k), gap) for gap, k in np.argwhere(off == 0) if k or not gap)
    if not soonest:
        k = int(np.argmax(off.min(0) <= off.min() + AS_GOOD_K))
        soonest = [(k, int(off[:, k].argmin()) if k else 0)]
    return tuple((k * GRID_MIN, gaps[gap])
                 for k, gap in soonest[::rule.stride][:rule.tries])


def _bake(task, asked):
    """Children of (Try, wait, gap)s: waited, baked until done, taken out."""
    starts = [attempt.node.state for attempt, *_ in asked]
    before = [(pause(wait, gap),) if wait else () for _, wait, gap in asked]
    wanted = [task.batches[attempt.batch] for attempt, *_ in asked]
    bakes = [Bake(y.load, y.count, minutes=y.stay or y.load.max_minutes) for y in wanted]
    untimed = [k for k, y in enumerate(wanted) if y.stay is None]
    runs = run_days([(task.oven, before[k] + (bakes[k],)) for k in untimed], task.outdoor_c,
                    [starts[k] for k in untimed], task.finer)
    for k, run in zip(untimed, runs, strict=True):
        minutes = done_minutes(run, len(before[k]), bakes[k])
        bakes[k] = Bake(bakes[k].load, bakes[k].count,
                        minutes=min(graced(minutes), bakes[k].load.max_minutes))
    steps = [b + (bake,) for b, bake in zip(before, bakes, strict=True)]
    runs = run_days([(task.oven, s) for s in steps], task.outdoor_c, starts, task.finer)
    return [then(task, attempt.node, attempt.batch, wait, mine, run)
            for (attempt, wait, _), mine, run in zip(asked, steps, runs, strict=True)]
