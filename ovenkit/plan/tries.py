"""One batch more: when each that is left may go in, tried out on the engine, many at once."""

from dataclasses import replace
from functools import lru_cache
from itertools import chain
from typing import NamedTuple

import numpy as np

from ovenkit.oneday import feels_shut_c
from ovenkit.plan.margins import band_k
from ovenkit.plan.rule import (
    EASY_K,
    EDGE_MIN,
    GRID_MIN,
    LONGEST_MIN,
    OPEN,
    SLACK_H,
    SOONER_MIN,
    Node,
    graced,
    then,
)
from ovenkit.simulate import dark_minutes, done_minutes, run_days
from ovenkit.steps import Bake, Wait
from ovenkit.units import ZERO_C

AT_ONCE = 64            # bakes tried together, after the first: many take little longer than few
AS_GOOD_K = 3.0         # of moments that all miss the bands, the first that is as good as any
HOTTER_K, HOTTEST_C = 30.0, 400.0       # than its bands: no batch is done faster in a plan
COOL = ("pale", "underdone", "cold")    # verdicts of a load that found too little heat
QUEUE_H = 0.5           # what is ready by then is as good as ready
NEVER_K = 1e6           # a moment at which a batch may not go in is off by that, and more


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


@lru_cache(maxsize=64)
def _idle(minutes, gap_mm):
    """Steps of an empty oven that waits; the same object for the same wait."""
    return (pause(minutes, gap_mm),)


def grid_h(curves):
    """Return the hours of the moments of some curves of `cooling` (..., grid, 2)."""
    return np.arange(curves.shape[-2]) * GRID_MIN / 60


def cooling(task, nodes):
    """Hearth and feels of an empty oven that waits [degC], (nodes, gaps of the rule, grid, 2): for
    LONGEST_MIN, and so long after the last batch that is left is ready."""
    if not nodes:
        return []
    gaps = task.rule.gaps
    soonest = max([0.0, *(_ready_h(task.batches[i], node) for node in nodes for i in node.left)])
    grid = np.arange(0, np.ceil(60 * soonest / GRID_MIN) * GRID_MIN + LONGEST_MIN + 1, GRID_MIN)
    days = [(node.state, gap) for node in nodes for gap in gaps]
    runs = run_days([(state.oven, _idle(float(grid[-1]), gap)) for state, gap in days],
                    task.outdoor_c, [state for state, _ in days], task.finer)
    zones_k = np.array([[np.interp(grid / 60, run.hours, row)
                         for row in run.of("temp_k")[:, :4].T] for run in runs])
    zones_k = zones_k.reshape(len(nodes), len(gaps), 4, -1).swapaxes(2, 3)
    feels = [feels_shut_c(node.state.oven, task.outdoor_c, zones)
             for node, zones in zip(nodes, zones_k, strict=True)]
    return np.stack([zones_k[..., 1] - ZERO_C, feels], axis=-1)


def _ready_h(batch, node):
    """Hours from a node until a batch may go in, below 0 long ago; what is in overnight not so
    soon that it would be in for too long."""
    soonest = batch.ready_h
    if batch.overnight:
        soonest = max(soonest, batch.until_h - batch.load.max_minutes / 60)
    return -1.0 if node.minutes is None else soonest - node.minutes / 60


@lru_cache(maxsize=64)
def quickest(oven, batches):
    """Return the least minutes each of a tuple of Batches stays in: those in an oven hotter than
    its bands (or at HOTTEST_C, where GRACE_MIN is more than it could be faster by)."""
    least = [batch.stay for batch in batches]
    open_ = [i for i, stay in enumerate(least) if stay is None]
    days = [(oven, (Bake(batches[i].load, batches[i].count,
                         minutes=batches[i].load.max_minutes),)) for i in open_]
    hot = [min(max(batches[i].load.hearth_high_c, batches[i].load.feels_high_c) + HOTTER_K,
               HOTTEST_C) for i in open_]
    for i, run in zip(open_, run_days(days, start=hot), strict=True):
        least[i] = done_minutes(run, 0, run.steps[0])
    return tuple(least)


def expand(task, nodes):
    """Return the children of each of some (Node, cooling): every batch left put in next.

    Of the moments of a Try the first at which its price does not grow, else the one that costs
    least.
    """
    tries = [attempt for node, curves in nodes for attempt in _tries(task, node, curves)]
    best, some = [None] * len(tries), 1
    moments = [list(attempt.moments) for attempt in tries]
    again = range(len(tries))
    while again:
        asked = [(i, moment) for i in again for moment in moments[i][:some]]
        baked = _bake(task, [(tries[i], *moment) for i, moment in asked])
        for (i, moment), (steps, run) in zip(asked, baked, strict=True):
            node, batch, _, price = tries[i]
            if moment not in moments[i]:        # settled
                continue
            child = then(task, node, batch, moment[0], steps, run)
            if best[i] is None or child.cost < best[i].cost:
                best[i] = child
            if child.cost[price] == node.cost[price]:
                moments[i] = []
            elif not task.rule.thorough and _too_cool(task.batches[batch], child):
                moments[i] = [sooner for sooner in moments[i] if sooner[0] < moment[0]]
            else:
                moments[i].remove(moment)
        again = [i for i in again if moments[i]]
        some = max(1, AT_ONCE // max(1, len(again)))
    children = {id(node): [] for node, _ in nodes}
    for attempt, child in zip(tries, best, strict=True):
        children[id(attempt.node)].append(child)
    return [children[id(node)] for node, _ in nodes]


def _too_cool(batch, child):
    """Whether a batch that has just come out wanted more heat."""
    return child.rows[-1].verdict in COOL or (
        batch.stay is None and child.steps[-1].minutes >= batch.load.max_minutes)


def _tries(task, node, curves):
    """The Trys of a node, one or more for every batch that is left."""
    taken, batches, rule, hours = set(), task.batches, task.rule, grid_h(curves)
    night = all(batches[i].overnight for i in node.left)
    hurry = rule.may_hurry([batches[i] for i in node.left])
    for i in node.left:
        batch = batches[i]
        if batch[1:] in taken or batch.overnight and not night:
            continue            # one of several equal batches is enough; the night comes last
        taken.add(batch[1:])
        if node.minutes is None and batch.ready_h > 0 and any(
                batches[k].ready_h <= 0 for k in node.left):
            continue            # not ready when the first load goes in
        ready_h = max(_ready_h(batch, node), 0.0)
        if rule.always and i != node.left[0] and ready_h > QUEUE_H and any(
                _ready_h(batches[k], node) <= QUEUE_H for k in node.left if k != i):
            continue            # on the day nothing jumps the queue that must be waited for
        never = (hours < ready_h - SLACK_H) | (hours > ready_h + LONGEST_MIN / 60 + SLACK_H)
        if batch.overnight and node.minutes is not None:
            never |= hours > batch.until_h - (node.minutes + batch.stay) / 60 + SLACK_H
        barred = np.repeat(never[None], len(rule.gaps), axis=0)
        barred[1:, 0] = True    # without a wait the door stays shut
        off = NEVER_K * barred - band_k(batch.load, *np.moveaxis(curves, -1, 0))
        *within, edge = (_moments(rule, off + inside_k <= 0, batch.overnight)
                         for inside_k in (*rule.inside_k, -EASY_K))
        within, first = [rung for rung in within if rung], np.inf
        for k, rung in enumerate(within):
            if rung[0][0] <= first - SOONER_MIN:
                first = rung[0][0]
                yield Try(node, i, _chained(*within[k:], edge), 1)
        if within and edge[0][0] <= first - EDGE_MIN:
            first = edge[0][0]
            yield Try(node, i, edge, 1)
        if not within:
            yield Try(node, i, edge or _nearest(rule.gaps, off), 1)
        for far_k in rule.hurries_k if hurry else ():
            far = _moments(rule, off <= far_k, batch.overnight)
            if far and far[0][0] < first:
                first = far[0][0]
                yield Try(node, i, far[:1], 0)


def _chained(*moments):
    """Moments one after another, each once."""
    return tuple(dict.fromkeys(chain.from_iterable(moments)))


def _moments(rule, fine, night):
    """The first (minutes, gap) that will do, and later ones; () if there is none.

    fine : (gaps, grid) bool; night : of what is in overnight, and must be neither too hot nor too
        cool for it: where later moments are tried with the widest gap too, it is with all
    """
    soonest = np.flatnonzero(fine.any(0))
    if not len(soonest):
        return ()
    at = np.searchsorted(soonest, soonest[0] + np.array(rule.later))
    tried = soonest[np.unique(at[at < len(soonest)])]
    more = [0] if not rule.widest else slice(None) if night else [0, -1]
    return _chained(*(
        [(int(k) * GRID_MIN, rule.gaps[gap])
         for gap in np.flatnonzero(fine[:, k])[more if k > tried[0] else [0]]] for k in tried))


def _nearest(gaps, off):
    """The (minutes, gap) at which least is off, alone."""
    k = int(np.argmax(off.min(0) <= off.min() + AS_GOOD_K))
    return ((k * GRID_MIN, gaps[int(off[:, k].argmin())]),)


def taken_out(run, step, bake, asked=0.0):
    """Return the minutes after which a batch is taken out, of a Run in which it stays its longest.

    step : place of the Bake `bake` in the run; asked : minutes for which it is in, if it is done by
    then and not dark
    """
    done, dark = done_minutes(run, step, bake), dark_minutes(run, step, bake)
    return asked if done <= asked < dark else min(graced(done, dark), bake.minutes)


def _stay(batch, node, wait_min):
    """Minutes that a batch is tried for: its own, until the morning, or the most there are."""
    if batch.overnight:
        set_min = 0 if node.minutes is None else node.minutes + wait_min
        stay = max(int(60 * batch.until_h - set_min + 1e-6), batch.stay)
        return min(stay, batch.load.max_minutes)
    return batch.stay or batch.load.max_minutes


def next_one(task, nodes):
    """Return Nodes after the first of the batches that are left, in as soon as it suits it."""
    alone = [replace(node, left=node.left[:1]) for node in nodes]
    children = expand(task, list(zip(alone, cooling(task, alone), strict=True)))
    return [replace(min(some, key=lambda child: child.cost), left=node.left[1:])
            for node, some in zip(nodes, children, strict=True)]


def as_ordered(task, nodes, pauses):
    """Return Nodes after the batches that are left, in their order, each until done.

    nodes : with the same batches left; pauses : (minutes, gap_mm) before each, as of `pause`
    """
    for batch, before in zip(nodes[0].left, pauses, strict=True) if nodes else ():
        baked = _bake(task, [(Try(node, batch, (before,), 0), *before) for node in nodes])
        nodes = [then(task, node, batch, before[0], *one)
                 for node, one in zip(nodes, baked, strict=True)]
    return nodes


def _bake(task, asked):
    """(steps, Run) of each of some (Try, wait, gap): waited, baked until done or morning."""
    starts = [attempt.node.state for attempt, *_ in asked]
    before = [(pause(wait, gap),) if wait else () for _, wait, gap in asked]
    wanted = [task.batches[attempt.batch] for attempt, *_ in asked]
    bakes = [Bake(y.load, y.count, minutes=_stay(y, attempt.node, wait))
             for y, (attempt, wait, _) in zip(wanted, asked, strict=True)]

    def run(steps, some):
        return run_days([(starts[k].oven, steps[k]) for k in some], task.outdoor_c,
                        [starts[k] for k in some], task.finer)

    untimed = [k for k, y in enumerate(wanted) if y.stay is None]
    for k, one in zip(untimed, run([b + (bake,) for b, bake in zip(before, bakes, strict=True)],
                                   untimed), strict=True):
        bakes[k] = replace(bakes[k], minutes=taken_out(one, len(before[k]), bakes[k],
                                                       wanted[k].asked))
    steps = [b + (bake,) for b, bake in zip(before, bakes, strict=True)]
    return list(zip(steps, run(steps, range(len(steps))), strict=True))
