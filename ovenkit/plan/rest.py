"""The rest of a day in an oven that is not as planned: what to do now.

If all that is to come is good as written, it stays so. Else it is tried as written up to the first
load that is not, and from there on each as soon as the oven suits it; in the planned order and
after the planned waits, each until it is done; each as soon as the oven suits it; then in any
order, by the rule of the day (`rule.ON_THE_DAY`). The first of these will do after which nothing is
spoilt and little astray, else the best is taken; another order must be better by SWAP, and an oven
that is well under the plan waits as planned only where nothing else is as good. What the plan as
written would spoil less of stays as written. Where a fire is to come by the plan, all else is tried
without it, and another fire for it; it is lit if it saves something.
"""

from functools import partial
from typing import NamedTuple

import numpy as np
import pandas as pd

from ovenkit.plan.now import AS_PLANNED_K, SURE_MIN, moment, off_of
from ovenkit.plan.rule import NEAR_K, miss, root
from ovenkit.plan.search import NARROW, dive
from ovenkit.plan.topup import before_cold
from ovenkit.plan.tries import as_ordered, gap_of, next_one
from ovenkit.run import Run
from ovenkit.steps import Bake, Fire, Wait

QUICK = 0.5             # steps twice as long while orders and fires are tried
CHILLED_K = 10.0        # an oven that is so far under the plan is not cooled further for nothing
SWAP = 4                # astray, for which another order is not looked for
SEVERAL = 2             # loads saved, for which a fire is lit before one that would do without


class Rest(NamedTuple):
    """The rest of a day.

    off_c : hearth now, over what was planned [K]; stands : whether it goes on as written
    steps : from now on; taken : the place in the plan of each load to come; run : Run of them
    order : of the loads to come, as Plan.order, its margin_min no more than SURE_MIN
    written : the same if the plan went on as written
    top_up : (place in `order`, or 0 for now, `topup.TopUp`) of a fire that saves what is too cold,
        or None
    """
    off_c: float
    stands: bool
    steps: tuple
    taken: tuple
    run: Run
    order: pd.DataFrame
    written: pd.DataFrame
    top_up: tuple | None


def rests(plan, estimate, states, kitchen="warm", behind_min=0.0, longer_min=0.0, off_c=None):
    """Return a Rest of a plan for each of some states of the oven; they are tried together.

    plan : Plan; estimate : `estimate.Estimate` of the moment; states : `run.State`
    kitchen : "warm" or "cool", which says how soon a dough can be proved
    behind_min : minutes by which the day is later than that moment of the plan
    longer_min : minutes by which what is in the oven stays in longer than planned
    off_c : Rest.off_c of each state; of the states, if left out
    """
    now = moment(plan, estimate, kitchen, behind_min, longer_min)
    off = off_c or [off_of(estimate, state) for state in states]
    written = [as_written(now, state) for state in states]
    doubted = [n for n, way in enumerate(written) if not _stands(now, way.order, off[n])]
    found = _best(now, [states[n] for n in doubted], [off[n] < -CHILLED_K for n in doubted],
                  [written[n] for n in doubted])
    found, out = dict(zip(doubted, found, strict=True)), []
    for n, as_was in enumerate(written):
        way, fire = _chosen(now, states[n], off[n], found[n], as_was) if n in found else (
            as_was, _offered(now, as_was))
        out.append(Rest(off[n], way is as_was, *way, as_was.order, fire))
    return out


def as_written(now, state):
    """Return the `now.Way` of going on as the plan is written, from a State on."""
    return now.way(state, now.steps, now.left)


def fire_first(plan, rest):
    """Return whether a day goes on with the top-up fire of a Rest at once: what is next is spoilt
    without it, or waits as long as it takes, and no stove would save it; or it saves several."""
    place, more = rest.top_up or (None, None)
    pot, row = plan.batches[rest.taken[0]].load.kind == "pot", rest.order.iloc[0]
    return bool(place == 0 and not pot and (
        row["spoilt"] or row["wait_min"] >= more.minutes or more.saves >= SEVERAL))


def _offered(now, written):
    """Rest.top_up of a day that goes on as written: for what is spoilt so, and is not given up."""
    return _fire(now, written, written) if now.unmet and not now.fire_to_come else None


def _chosen(now, state, off_c, way, written):
    """(the best Way, Rest.top_up of it) of a day that does not go on as written.

    way : the best found, that has no fire; a fire that is to come is lit if it saves something
    """
    def rank(one):
        return one.cost[0], off_c < -CHILLED_K and _cools(one), one.cost[1]

    low = off_c < 0 or now.unmet
    if not now.fire_to_come:
        best = min(way, written, key=rank)
        return best, _fire(now, best, written) if low else None
    lit = min(written, _relit(now, state, written), key=rank)
    best = lit if lit.cost[0] < way.cost[0] else way
    more = _fire(now, way, written) if low else None
    return (way, more) if more and way.cost[0] - more[1].saves < best.cost[0] else (best, None)


def _fire(now, best, written):
    """Rest.top_up: of a fire in the best Way, or now and in the planned order, whichever leaves
    less spoilt; None where no more is spoilt than is given up, and before the last load of the day.
    """
    if best.cost[0] <= now.given_up:
        return None
    with_fire = partial(before_cold, now.task._replace(finer=QUICK), begin_h=now.begin_h,
                        first_h=now.first_h, moisture_pct=now.plan.moisture_pct)
    found, other = [], best.taken != written.taken and not now.fire_to_come
    for way in (best, written) if other else (best,):
        more = with_fire(way.order, way.taken, way.run)
        if more and (way is best or more[0] == 0) and sum(
                not now.task.batches[i].overnight for i in more[1].taken) > 1:
            found.append((way.cost[0] - more[1].saves, len(found), more))
    spoilt, _, more = min(found, default=(best.cost[0], 0, None))
    return more if spoilt < best.cost[0] else None


def _stands(now, order, off_c):
    """Whether the plan stands as written: the oven is as it has it, or all is good."""
    chilled = now.pauses[0][0] > 0 and now.pauses[0][1] != 0 and off_c < -CHILLED_K   # door ajar
    return _as_planned(now, order, off_c) or _will_do(now, order) and not chilled


def _as_planned(now, order, off_c):
    """Whether the oven is as the plan has it, and spoils no more than it does."""
    spoils = now.plan.order["spoilt"].to_numpy()[list(now.left)]
    return abs(off_c) < AS_PLANNED_K and not (order["spoilt"].to_numpy() & ~spoils).any()


def _will_do(now, order):
    """Whether there is no compromise to come, every load good SURE_MIN sooner or later."""
    return bool(_sound(now, order).all())


def _sound(now, order):
    """Which rows of a Plan.order are no compromise, and good SURE_MIN sooner or later, in the
    planned order."""
    margins = now.plan.order["margin_min"].iloc[list(now.left)]
    sure = np.minimum(margins, SURE_MIN).to_numpy()
    return (order["astray"] == 0).to_numpy() & (order["margin_min"].to_numpy() >= sure)


def _best(now, states, chilled, written):
    """The best Way after each of some states: as written where it is sound, as planned until done,
    then each load as soon as it suits it, then in any order; what will do is not looked further
    for.

    chilled : of each state, whether it is well under the plan; written : Way as the plan is written
    """
    best, waiting = [None] * len(states), () if now.fire_to_come else (_kept, _until_done)
    for ways in (*waiting, _soonest, _searched):
        poor = [n for n, one in enumerate(best)
                if one is None or one[0][:3] > (0, False, SWAP) or one[0][3]]
        for n, way in zip(poor, ways(now, [states[n] for n in poor], [written[n] for n in poor]),
                          strict=True):
            spoilt, astray = way.cost
            astray += SWAP * (tuple(way.taken) != tuple(sorted(way.taken)))
            if ways is _until_done and _missed(now, way):
                astray = max(astray, SWAP + 1)      # it is waited for until it is out of its bands
            ranked = (spoilt, chilled[n] and _cools(way), astray,
                      ways in waiting and chilled[n]), way
            best[n] = ranked if best[n] is None else min(best[n], ranked, key=lambda one: one[0])
    return [way for _, way in best]


def _kept(now, states, written):
    """Ways as written up to the first load that is not sound, from there each as soon as it suits
    it; as written, if that is the first of all."""
    return [_from(now, state, way, int(np.argmin(_sound(now, way.order))))
            for state, way in zip(states, written, strict=True)]


def _relit(now, state, written):
    """The Way with the fire that is to come, then each load as soon as it suits it."""
    burns = next(i for i, step in enumerate(written.steps) if isinstance(step, Fire))
    return _go_on(now, state, written, 0, burns + 2)            # and its rest


def _from(now, state, way, k):
    """A Way up to its load k, from there on each as soon as it suits it."""
    bakes = [i for i, step in enumerate(way.steps) if isinstance(step, Bake)]
    return _go_on(now, state, way, k, bakes[k - 1] + 1) if k else way


def _go_on(now, state, way, k, end):
    """A Way up to its step `end`, then its loads from k on, each as soon as it suits it."""
    at_h = float(way.run.step_h[end])
    nodes = [root(now.left[k:], way.run.state(at_h), now.minutes + 60 * at_h)]
    while nodes[0].left:
        nodes = next_one(now.task, nodes)
    return now.way(state, (*way.steps[:end], *nodes[0].steps), now.left)


def _until_done(now, states, _):
    """Ways in the planned order, after the planned waits, each load until it is done."""
    nodes = as_ordered(now.task, [root(now.left, state, now.minutes) for state in states],
                       now.pauses)
    return [now.way(state, node.steps, node.order)
            for state, node in zip(states, nodes, strict=True)]


def _soonest(now, states, _):
    """Ways in the planned order, each load in as soon as it suits it."""
    nodes = [root(now.left, state, now.minutes) for state in states]
    while nodes and nodes[0].left:
        nodes = next_one(now.task, nodes)
    return [now.way(state, node.steps, node.order)
            for state, node in zip(states, nodes, strict=True)]


def _searched(now, states, _):
    """Ways in any order, the best found; looked for at full steps where the quick search was
    wrong."""
    def found(states, finer):
        nodes = dive(now.task._replace(finer=finer),
                     [[root(now.left, state, now.minutes)] for state in states],
                     beam=NARROW) if states else []
        return [(now.way(state, node.steps, node.order), node.cost[:2])
                for state, node in zip(states, nodes, strict=True)]

    ways = found(states, QUICK)
    wrong = [n for n, (way, thought) in enumerate(ways) if way.cost > thought]
    for n, again in zip(wrong, found([states[n] for n in wrong], 1.0), strict=True):
        ways[n] = min(again, ways[n], key=lambda one: one[0].cost)
    return [way for way, _ in ways]


def _cools(way):
    """Whether the oven stands open, or ajar, before the next load."""
    return isinstance(way.steps[0], Wait) and gap_of(way.steps[0]) != 0


def _missed(now, way):
    """Whether the oven waits for the next load until it is out of its bands."""
    row = way.run.baked[0]
    return isinstance(way.steps[0], Wait) and miss(
        now.task.batches[way.taken[0]], row.hearth_in_c, row.feels_in_c) > NEAR_K
