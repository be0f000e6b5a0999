"""Find the order: best-first over whole trees, on the engine that draws the curves.

A plan is a fire, then batches one after another. Each goes in at the first moment, on a grid of
5 minutes and with the door shut, ajar or open until then (the smallest gap of those that are as
soon), at which hearth and feels are well within its bands and it comes out good. Where there is
no such moment it goes in where it misses its bands least, and that is a compromise. Where something
must be out by a time, the first moment at which hearth and feels miss by no more than HURRY_K is
tried as well. A load counts as spoilt if it comes out other than good, later than it must, or
misses its bands by more than NEAR_K, on such a day HURRY_K.
Of all plans the best has

    fewest spoilt, then fewest compromises, then least waiting (minutes late counted with it),
    then least wood, then the shortest fire, then the batch of the hotter band first

Nodes are taken up in the order of what they cost so far and must still cost at least, so the first
whole plan that is taken up is the best there is. What they must still cost: masonry that only cools
is never again as hot as it would be shut and empty, which gives each batch a last moment, and none
bakes faster than in an oven hotter than its bands. How many must come too late then is Moore's
problem of one machine (J. M. Moore, Management Science 15, 1968).
"""

import heapq
from dataclasses import dataclass
from itertools import chain
from itertools import count as count_from
from time import perf_counter
from typing import NamedTuple

import numpy as np

from ovenkit.oneday import feels_shut_c
from ovenkit.run import State
from ovenkit.simulate import done_minutes, run_days
from ovenkit.steps import Bake, Wait
from ovenkit.units import ZERO_C

GRID_MIN = 5
OPEN = "open"
GAPS_MM = (0, 10, 20, 40, OPEN)
LONGEST_MIN = 360       # no single wait is longer
INSIDE_K = 2.0          # a batch goes in this far inside its bands: what is promised has to hold
GRACE_MIN, GRACE = 2, 0.05      # and stays in longer than it must, by so many minutes or that share
NEAR_K = 10.0           # outside its bands by more, hearth and feels together, a load is spoilt
HURRY_K = 30.0          # the same where something must be out by a time: better off its bands
AS_GOOD_K = 3.0         # of moments that all miss the bands, the first that is as good as any
TRIES = 4               # moments tried within the bands before a batch counts as a compromise
HOTTER_K = 30.0         # than its bands: no batch is done faster in a plan
BEAM = 6                # plans carried on where there are too many to try them all
WAVE = 24               # nodes taken up at once: the engine runs many days as fast as few


class Cost(NamedTuple):
    """What a plan costs, in the order in which it matters."""
    spoilt: int
    compromises: int    # the spoilt among them
    waiting_min: int    # and minutes late
    wood_kg: float
    fire_h: float


@dataclass(frozen=True, eq=False)
class Node:
    """A plan up to some batch.

    cost : so far; order : batches taken; left : indices of batches to come
    minutes : since the first batch went in, None before; state : of the oven
    steps, rows : steps after the fire, and what came out (`baked.Baked`, or None)
    fire : steps of the fire, its settling included
    """
    cost: Cost
    order: tuple
    left: tuple
    minutes: float | None
    state: State
    steps: tuple
    rows: tuple
    fire: tuple

    def key(self, spoilt=0, missed=0):
        """What the search sorts by; so many batches that are left are `spoilt` or `missed`."""
        cost = self.cost
        return (cost.spoilt + spoilt, cost.compromises + missed, *cost[2:], self.order)


class Try(NamedTuple):
    """A batch that may go in after a wait."""
    node: Node
    batch: int
    moments: tuple      # (minutes, gap_mm) to try, the soonest first
    price: int          # of Cost, what must not grow: compromises, or spoilt if some miss will do


class Found(NamedTuple):
    """The answer of a search.

    node : the best plan found; bound : the least that any other could cost (`Cost`)
    exact : whether nothing better exists; seen : batches baked in trial
    """
    node: Node
    bound: Cost
    exact: bool
    seen: int


def miss(batch, hearth_c, feels_c, inside_k=0.0):
    """Degrees by which hearth and feels lie outside a batch's bands [K]; arrays broadcast.

    inside_k : the bands narrowed by that much at each edge [K]
    """
    y = batch.load
    return sum(np.maximum(np.maximum(low - t, t - high) + inside_k, 0.0) for t, low, high in (
        (hearth_c, y.hearth_low_c, y.hearth_high_c), (feels_c, y.feels_low_c, y.feels_high_c)))


def search(oven, batches, roots, outdoor_c=12, seconds=None, nodes=None, first=None,
           most_spoilt=np.inf):
    """Return the Found of the best order of `batches` after one of some fires.

    roots : Nodes with no batch taken yet; seconds : give the best so far after that time, with a
    bound; nodes : the same after so many nodes; None for both waits for the exact answer
    first : name of the load that goes first whatever it costs, or None
    most_spoilt : plans that spoil more are not looked at; None is returned if none is left
    """
    started, count, seen, best = perf_counter(), 0, 0, None
    quick, inside = quickest(oven, batches), _inside(batches)
    heap = [(root.key(), i, root, None) for i, root in enumerate(roots)]
    heapq.heapify(heap)
    ticket = count_from(len(heap))
    while heap and (best is None or heap[0][0] < best[0]):
        late = (seconds is not None and perf_counter() - started > seconds
                or nodes is not None and count >= nodes)
        if late and best is None:
            best, more = _dive(oven, batches, roots, quick, outdoor_c, first, most_spoilt)
            seen += more
        if late:
            return best and Found(best[1], Cost(*min(best[0], heap[0][0])[:5]), False, seen)
        wave = [heapq.heappop(heap)[2:] for _ in range(min(WAVE, len(heap)))]
        ready = [pair for pair in wave if pair[1] is not None]
        for node, key, curves in _weighed(oven, batches, quick, [
                node for node, curves in wave if curves is None], outdoor_c):
            if key[0] > most_spoilt:
                continue
            if key > node.key():    # it costs more than it seemed: back in the queue
                heapq.heappush(heap, (key, next(ticket), node, curves))
            else:
                ready.append((node, curves))
        count += len(ready)
        children, baked = expand(oven, batches, ready, outdoor_c, inside_k=inside)
        seen += baked
        for child in _allowed(batches, chain.from_iterable(children), first, most_spoilt):
            key = child.key()
            if child.left:
                heapq.heappush(heap, (key, next(ticket), child, None))
            elif best is None or key < best[0]:
                best = key, child
    return best and Found(best[1], best[1].cost, True, seen)


def _dive(oven, batches, roots, quick, outdoor_c, first, most_spoilt):
    """((key, whole plan) or None, bakes run): the BEAM best of every length carried on, and where
    there are deadlines as many of the earliest; not always the best."""
    level, seen, inside = list(roots), 0, _inside(batches)
    while level and level[0].left:
        weighed = sorted((w for w in _weighed(oven, batches, quick, level, outdoor_c)
                          if w[1][0] <= most_spoilt), key=lambda w: w[1])
        chosen = weighed[:BEAM]
        if len(inside) > 1:
            chosen += sorted(weighed[BEAM:], key=lambda w: (w[1][0], w[0].minutes))[:BEAM]
        children, baked = expand(oven, batches, [(node, curves) for node, _, curves in chosen],
                                 outdoor_c, inside_k=inside)
        level = list(_allowed(batches, chain.from_iterable(children), first, most_spoilt))
        seen += baked
    best = min(level, key=Node.key, default=None)
    return best and (best.key(), best), seen


def _allowed(batches, children, first, most_spoilt):
    """Children that spoil no more than they may, and begin with the load that must go first."""
    return (child for child in children if child.cost.spoilt <= most_spoilt
            and (first is None or batches[child.order[0]].load.name == first))


def _weighed(oven, batches, quick, nodes, outdoor_c):
    """List of (node, key with what it must still cost, its cooling)."""
    return [(node, node.key(*(_too_late(batches, quick, node, curves, near)
                              for near in (near_k(batches), 0.0))), curves)
            for node, curves in zip(nodes, cooling(oven, nodes, outdoor_c), strict=True)]


def hurried(batches):
    """Whether any of some Batches must be out by a time."""
    return any(np.isfinite(batch.out_by_h) for batch in batches)


def near_k(batches):
    """How far outside its bands one of some Batches may go in and not count as spoilt [K]."""
    return HURRY_K if hurried(batches) else NEAR_K


def _inside(batches):
    """How far inside its bands each batch is tried; where there are deadlines, outside as well."""
    return (INSIDE_K, -HURRY_K) if hurried(batches) else (INSIDE_K,)


def expand(oven, batches, nodes, outdoor_c, gaps=GAPS_MM, inside_k=(INSIDE_K,)):
    """Return (children of each of some (Node, cooling), bakes run): every batch left put in next.

    gaps : of GAPS_MM, those that a wait may have
    inside_k : how far inside its bands a batch goes in, each tried; below 0 that far outside [K]
    """
    tries = [attempt for node, curves in nodes
             for attempt in _tries(batches, node, curves, gaps, inside_k)]
    children, seen = [None] * len(tries), 0
    again = list(range(len(tries)))
    for round_ in range(TRIES):
        again = [i for i in again if len(tries[i].moments) > round_]
        if not again:
            break
        baked = _bake(oven, batches, [(tries[i], tries[i].moments[round_]) for i in again],
                      outdoor_c)
        seen += len(baked)
        good = {i for i, child in zip(again, baked, strict=True)
                if child.cost[tries[i].price] == tries[i].node.cost[tries[i].price]}
        for i, child in zip(again, baked, strict=True):
            if i in good or children[i] is None:
                children[i] = child
        again = [i for i in again if i not in good]
    return [[child for attempt, child in zip(tries, children, strict=True)
             if attempt.node is node] for node, _ in nodes], seen


def cooling(oven, nodes, outdoor_c):
    """Hearth and feels of an empty oven that waits [degC], (nodes, gaps, grid, 2)."""
    if not nodes:
        return []
    days = [(node, gap) for node in nodes for gap in GAPS_MM]
    runs = run_days([(oven, IDLE[gap]) for _, gap in days], outdoor_c,
                    [node.state for node, _ in days])
    zones_k = np.array([[np.interp(GRID_H, run.hours, row) for row in run.of("temp_k")[:, :4].T]
                        for run in runs]).reshape(len(nodes), len(GAPS_MM), 4, -1).swapaxes(2, 3)
    return np.stack([zones_k[..., 1] - ZERO_C, feels_shut_c(oven, outdoor_c, zones_k)], axis=-1)


def pause(minutes, gap_mm):
    """Return the Wait of some minutes, door shut (0), ajar by `gap_mm`, or OPEN."""
    if gap_mm == OPEN:
        return Wait(minutes=minutes, door="open")
    return Wait(minutes=minutes, gap_mm=gap_mm or None)


IDLE = {gap: (pause(LONGEST_MIN, gap),) for gap in GAPS_MM}
GRID_H = np.arange(0, LONGEST_MIN + 1, GRID_MIN) / 60


def quickest(oven, batches):
    """Return the least minutes each batch stays in: those in an oven hotter than its bands."""
    least = [batch.stay for batch in batches]
    open_ = [i for i, stay in enumerate(least) if stay is None]
    days = [(oven, (Bake(batches[i].load, batches[i].count,
                         minutes=batches[i].load.max_minutes),)) for i in open_]
    hot = [min(max(batches[i].load.hearth_high_c, batches[i].load.feels_high_c) + HOTTER_K, 400.0)
           for i in open_]
    for i, run in zip(open_, run_days(days, start=hot), strict=True):
        least[i] = done_minutes(run, 0, run.steps[0])
    return least


def _too_late(batches, quick, node, curves, near):
    """How many batches that are left must find the oven too cold by over `near`, or come late
    (Moore 1968)."""
    shut, jobs = curves[0], []
    for i in node.left:
        y = batches[i].load
        warm = np.flatnonzero((shut[:, 0] >= y.hearth_low_c - near)
                              & (shut[:, 1] >= y.feels_low_c - near))
        last = -np.inf if not len(warm) else (
            np.inf if warm[-1] == len(GRID_H) - 1 else 60 * GRID_H[warm[-1]] + GRID_MIN)
        out_by = 60 * batches[i].out_by_h - (node.minutes or 0.0)
        jobs.append((min(last + quick[i], out_by), quick[i]))   # latest end, length
    late, done = 0, []
    for end, length in sorted(jobs):
        done.append(length)
        if sum(done) > end:
            done.remove(max(done))
            late += 1
    return late


def _tries(batches, node, curves, gaps, inside_k):
    """The Trys of a node, one or more for every batch that is left."""
    taken = set()
    for i in node.left:
        batch = batches[i]
        if batch[1:] in taken:          # one of several equal batches is enough
            continue
        taken.add(batch[1:])
        if node.minutes is None and batch.ready_h > 0 and any(
                batches[k].ready_h <= 0 for k in node.left):
            continue                    # not ready when the first load goes in
        here, late = curves[[GAPS_MM.index(gap) for gap in gaps]], 0.0
        if node.minutes is not None and np.isfinite(batch.ready_h):
            late = GRID_H < batch.ready_h - node.minutes / 60 - 1e-9
            late = np.where(late & (GRID_H < GRID_H[-1]), 1e6, 0.0)
        tried = set()
        for inside in inside_k:
            moments = _moments(miss(batch, *np.moveaxis(here, -1, 0), inside) + late, gaps)
            if moments not in tried:
                tried.add(moments)
                yield Try(node, i, moments, 1 if inside >= 0 else 0)


def _moments(off, gaps):
    """The first TRIES (minutes, gap) at which nothing is off, else the one that is least so.

    off : (gaps, grid) [K]
    """
    soonest = sorted((int(k), gap) for gap, k in np.argwhere(off == 0) if k or not gap)
    if not soonest:
        k = int(np.argmax(off.min(0) <= off.min() + AS_GOOD_K))
        soonest = [(k, int(off[:, k].argmin()) if k else 0)]
    return tuple((k * GRID_MIN, gaps[gap]) for k, gap in soonest[:TRIES])


def _bake(oven, batches, asked, outdoor_c):
    """Children of (Try, (wait, gap)) pairs: waited, baked until done, taken out."""
    starts = [attempt.node.state for attempt, _ in asked]
    before = [(pause(wait, gap),) if wait else ()
              for _, (wait, gap) in asked]
    bakes = [Bake(batches[a.batch].load, batches[a.batch].count,
                  minutes=batches[a.batch].stay or batches[a.batch].load.max_minutes)
             for a, _ in asked]
    untimed = [k for k, (a, _) in enumerate(asked) if batches[a.batch].stay is None]
    runs = run_days([(oven, before[k] + (bakes[k],)) for k in untimed], outdoor_c,
                    [starts[k] for k in untimed])
    for k, run in zip(untimed, runs, strict=True):
        minutes = done_minutes(run, len(before[k]), bakes[k])
        bakes[k] = Bake(bakes[k].load, bakes[k].count,
                        minutes=min(graced(minutes), bakes[k].load.max_minutes))
    steps = [b + (bake,) for b, bake in zip(before, bakes, strict=True)]
    runs = run_days([(oven, s) for s in steps], outdoor_c, starts)
    return [_child(batches, *one) for one in zip(asked, steps, runs, strict=True)]


def graced(minutes):
    """Return how long a batch stays in that is done after some minutes, in whole minutes."""
    return minutes + max(GRACE_MIN, round(GRACE * minutes))


def _child(batches, asked, steps, run):
    attempt, (wait, _) = asked
    node = attempt.node
    batch, row = batches[attempt.batch], run.baked[0]
    minutes = 0.0 if node.minutes is None else node.minutes + wait
    minutes += steps[-1].minutes
    off = miss(batch, row.hearth_in_c, row.feels_in_c)
    late = 0 if minutes / 60 <= batch.out_by_h + 1e-9 else round(minutes - 60 * batch.out_by_h)
    spoilt = (row.verdict != "good" or off > near_k(batches) or late > 0
              or batch.stay is None and steps[-1].minutes >= batch.load.max_minutes)
    cost = node.cost
    cost = Cost(cost.spoilt + int(spoilt), cost.compromises + int(spoilt or off > 0),
                cost.waiting_min + wait + late, cost.wood_kg, cost.fire_h)
    return Node(cost, (*node.order, attempt.batch),
                tuple(i for i in node.left if i != attempt.batch), minutes, run.state(),
                node.steps + steps, (*node.rows, row), node.fire)
