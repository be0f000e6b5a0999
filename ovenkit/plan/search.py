"""Find the order: best-first over whole trees, on the engine that draws the curves.

Nodes are taken up in the order of what they cost so far and must still cost at least, so the first
whole plan that is taken up is the best there is (what "best" is, see `rule`). What they must still
cost: masonry that only cools is never again as hot as it would be shut and empty (what goes in is
colder than the oven; a pot of 95 degC in a hearth below is spoilt anyway), which gives each batch a
last moment, and none bakes faster than in an oven hotter than its bands. How many must come
too late then is Moore's problem of one machine (J. M. Moore, Management Science 15, 1968).
"""

import heapq
from itertools import chain, islice
from itertools import count as count_from
from typing import NamedTuple

import numpy as np

from ovenkit.plan.rule import GRID_MIN, SLACK_H, Cost, Node, hurried
from ovenkit.plan.tries import cooling, expand, grid_h, quickest

BEAM = 6                # plans carried on where there are too many to try them all
NARROW = 3              # the same where many such searches are made
NO_END = np.inf, np.inf
WAVE = 12               # nodes taken up at once: the engine runs many days as fast as few


class Found(NamedTuple):
    """The answer of a search.

    node : the best plan found; bound : the least that any other could cost (`Cost`)
    exact : whether nothing better exists
    """
    node: Node
    bound: Cost
    exact: bool


def search(task, roots, nodes=None, first=None, most=NO_END):
    """Return the Found of the best order of a Task's batches after one of some fires.

    roots : Nodes with no batch taken yet; nodes : give the best so far after so many nodes, with a
        bound, 0 for a quick one; None waits for the exact answer
    first : name of the load that goes first whatever it costs, or None
    most : (spoilt, astray) of a Cost; plans that come to more are not looked at; None is returned
        if none is left, or, with `nodes`, none was found
    """
    count, best = 0, None
    quick = quickest(task.oven, task.batches)
    heap = [(root.key(), i, root, None) for i, root in enumerate(roots)]
    heapq.heapify(heap)
    ticket = count_from(len(heap))
    while heap and (best is None or heap[0][0] < best[0]):
        late = nodes is not None and count >= nodes
        if late and (best is None or hurried(task.batches)):
            (node,) = dive(task, [roots], first, most, BEAM if nodes else NARROW)
            if node and (best is None or node.key() < best[0]):
                best = node.key(), node
        if late:
            return best and Found(best[1], Cost(*min(best[0], heap[0][0])[:-1]),
                                  best[0] <= heap[0][0])
        wave = [heapq.heappop(heap)[2:] for _ in range(min(WAVE, len(heap)))]
        ready = [pair for pair in wave if pair[1] is not None]
        for node, key, curves in _weighed(task, quick, [node for node, curves in wave
                                                        if curves is None]):
            if key[:2] > most:
                continue
            if key > node.key():    # it costs more than it seemed: back in the queue
                heapq.heappush(heap, (key, next(ticket), node, curves))
            else:
                ready.append((node, curves))
        count += len(ready)
        children = expand(task, ready)
        for child in _allowed(task, chain.from_iterable(children), first, most):
            key = child.key()
            if child.left:
                heapq.heappush(heap, (key, next(ticket), child, None))
            elif best is None or key < best[0]:
                best = key, child
    return best and Found(best[1], best[1].cost, True)


def dive(task, groups, first=None, most=NO_END, beam=BEAM):
    """Return a list: a good plan, or None, after each of some groups of roots.

    The `beam` best of every length are carried on, and where there are deadlines as many of the
    earliest; that does not always find the best. Each group is searched by itself, though all are
    computed together: as many batches must be left in one as in another.
    task, first, most : as of `search`; groups : lists of Nodes with no batch taken yet
    """
    quick = quickest(task.oven, task.batches)
    levels = [list(roots) for roots in groups]
    while any(level and level[0].left for level in levels):
        weighed = iter(_weighed(task, quick, list(chain.from_iterable(levels))))
        chosen = [_few(task, islice(weighed, len(level)), most, beam) for level in levels]
        children = expand(task, [pair for few in chosen for pair in few])
        mine = iter(children)
        levels = [list(_allowed(task, chain.from_iterable(islice(mine, len(few))), first, most))
                  for few in chosen]
    return [min(level, key=Node.key, default=None) for level in levels]


def _few(task, weighed, most, beam):
    """[(Node, cooling)] to be carried on, of some that are weighed."""
    weighed = sorted((w for w in weighed if w[1][:2] <= most), key=lambda w: w[1])
    few = weighed[:beam]
    if hurried(task.batches):
        few += sorted(weighed[beam:], key=lambda w: (w[1][0], w[0].minutes))[:beam]
    return [(node, curves) for node, _, curves in few]


def _allowed(task, children, first, most):
    """Children that come to no more than they may, and begin with the load that must go first."""
    return (child for child in children if child.cost[:2] <= most
            and (first is None or task.batches[child.order[0]].load.name == first))


def _weighed(task, quick, nodes):
    """List of (node, key with what it must still cost, its cooling)."""
    batches, rule = task.batches, task.rule
    return [(node, node.key(*(_too_late(batches, quick, node, curves, near) for near in (
        rule.near_k([batches[i] for i in node.left]), rule.free_k))), curves)
            for node, curves in zip(nodes, cooling(task, nodes), strict=True)]


def _too_late(batches, quick, node, curves, near):
    """How many batches that are left must find the oven too cold by over `near`, or come late
    (Moore 1968)."""
    shut, hours, jobs = curves[0], grid_h(curves), []
    for i in node.left:
        y = batches[i].load
        warm = np.flatnonzero((shut[:, 0] >= y.hearth_low_c - near)
                              & (shut[:, 1] >= y.feels_low_c - near))
        last = -np.inf if not len(warm) else (
            np.inf if warm[-1] == len(hours) - 1 else 60 * hours[warm[-1]] + GRID_MIN)
        out_by = 60 * batches[i].end_h - (node.minutes or 0.0)
        jobs.append((min(last + quick[i], out_by), quick[i]))   # latest end, length
    late, done = 0, []
    for end, length in sorted(jobs):
        done.append(length)
        if sum(done) > end + 60 * SLACK_H:
            done.remove(max(done))
            late += 1
    return late
