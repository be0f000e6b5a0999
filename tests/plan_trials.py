"""Trials of the planner, as many as asked for: few in the tests, many in the benchmark."""

from contextlib import contextmanager
from itertools import permutations

import numpy as np

import ovenkit as ok
from ovenkit import conduction, oneday, program
from ovenkit.inverse import usual_fire
from ovenkit.plan.margins import MOMENT_H, band_k
from ovenkit.plan.rule import (
    ASTRAY_K,
    EASY_K,
    EDGE_MIN,
    GAPS_MM,
    GRID_MIN,
    INSIDE_K,
    LATER,
    LONGEST_MIN,
    NEAR_K,
    OUTSIDE_MIN,
    PATIENCE_MIN,
    RUINED,
    SOONER_MIN,
    graced,
    miss,
)
from ovenkit.plan.table import checks, correction_table
from ovenkit.plan.tries import AS_GOOD_K, pause
from ovenkit.plan.wants import as_wants, batches
from ovenkit.simulate import dark_minutes, done_minutes
from ovenkit.traits import SPREADS, turned

COUNTS = {"flatbread": 2, "roll": 10, "seeded roll": 12, "hearth loaf": 5, "hearth loaf 400 g": 6,
          "tin loaf": 4, "enriched bun": 16, "sponge cake": 2, "fruit cake": 2, "custard tart": 2,
          "tray of roots": 1, "braise pot": 1, "bean pot": 1}


HURRIES = 0.3           # of the menus have a load that must be out by a time


def random_menu(rng, n):
    """A dict of n different loads and counts."""
    return {name: int(rng.integers(1, COUNTS[name] + 1))
            for name in rng.choice(list(COUNTS), n, replace=False)}


def by_hand(oven, menu, fire, outdoor_c=12):
    """The best order by trying them all, one day after another: (cost, names in order).

    The rule of `ovenkit.plan.rule` in its plainest form: no queue, no bound, no batches of days.
    """
    todo = batches(oven, as_wants(menu))
    begun = ok.run_day(oven, fire, outdoor_c).state()
    best = None
    for order in permutations(range(len(todo))):
        days = [((0, 0, 0), begun)]          # (cost, state) after so many of the order
        for i in order:
            days = [(_more(cost, one), one[1]) for cost, state in days
                    for one in _put_in(oven, todo[i], state, outdoor_c)]
        cost = min(cost for cost, _ in days)
        if best is None or (*cost, order) < best[0]:
            best = (*cost, order), [todo[i].load.name for i in order]
    return best[0][:3], best[1]


def _more(cost, one):
    """What a plan costs after one batch more, of `_put_in`."""
    wait, _, spoilt, astray, off_k = one
    return (cost[0] + spoilt, cost[1] + astray, cost[2] + wait + (0 if spoilt or not off_k else
                              round(OUTSIDE_MIN + PATIENCE_MIN * off_k)))


def _to_try(batch, met):
    """Lists of (grid step, gap's index) at which a batch may be tried, of a dict of them -> what it
    meets: near the edge of its bands too, if that is half an hour sooner."""
    off = {at: -float(band_k(batch.load, *felt)) for at, felt in met.items()}
    rungs = []
    for inside in (INSIDE_K, 0.0, -EASY_K):
        within = sorted(at for at, out_k in off.items() if out_k <= -inside)
        rung = []
        for later in LATER:
            at = next((at for at in within if at[0] >= within[0][0] + later), None)
            rung += [at] if at and at not in rung else []
        rungs.append(rung)
    *within, edge = rungs
    first, ways = np.inf, []
    for n, rung in enumerate(within):
        if rung and rung[0][0] <= first - SOONER_MIN / GRID_MIN:
            first = rung[0][0]
            ways.append([at for more in rungs[n:] for at in more])
    if ways and edge[0][0] <= first - EDGE_MIN / GRID_MIN:
        ways.append(edge)
    if ways or edge:
        return ways or [edge]
    least = min(off.values()) + AS_GOOD_K
    k = min(at[0] for at, m in off.items() if m <= least)
    return [[min((at for at in off if at[0] == k), key=lambda at: off[at])]]


def _put_in(oven, batch, state, outdoor_c):
    """[(wait, state after, spoilt, astray, degrees off)] of a batch in at its first good moment, of
    each way of `_to_try`."""
    met = {}
    for g, gap in enumerate(GAPS_MM):
        run = ok.run_day(oven, [pause(LONGEST_MIN, gap)], outdoor_c, state)
        met |= {(k, g): run.met_c(k * GRID_MIN / 60)
                for k in range(LONGEST_MIN // GRID_MIN + 1) if k or not g}
    return [_first_good(oven, batch, state, outdoor_c, way) for way in _to_try(batch, met)]


def _first_good(oven, batch, state, outdoor_c, moments):
    best = None
    for k, g in moments:
        before = [pause(k * GRID_MIN, GAPS_MM[g])] if k else []
        minutes = batch.stay
        if minutes is None:
            bake = ok.Bake(batch.load, batch.count, minutes=batch.load.max_minutes)
            run = ok.run_day(oven, [*before, bake], outdoor_c, state)
            minutes = graced(*(until(run, len(before), bake)
                               for until in (done_minutes, dark_minutes)))
            minutes = min(minutes, batch.load.max_minutes)
        run = ok.run_day(oven, [*before, ok.Bake(batch.load, batch.count, minutes=minutes)],
                         outdoor_c, state)
        row = run.baked[0]
        off_k = miss(batch, row.hearth_in_c, row.feels_in_c)
        spoilt = bool(row.verdict != "good" or off_k > NEAR_K
                      or batch.stay is None and minutes >= batch.load.max_minutes)
        astray = 0 if not spoilt and off_k <= EASY_K else (
            RUINED * (row.verdict != "good") + max(1, round((off_k / ASTRAY_K)**2)))
        one = k * GRID_MIN, run.state(), spoilt, astray, off_k
        if not one[3]:
            return one
        if best is None or _more((0, 0, 0), one) < _more((0, 0, 0), best):
            best = one
    return best


@contextmanager
def three_times_the_cells():
    """Walls and loads cut three times as fine, while it lasts."""
    kept = program.FRACTIONS, program.LOAD_FRACTIONS
    cached = (program.wall_slabs, program.load_slab, oneday._middle)
    program.FRACTIONS = (conduction.graded(108, 1.033),
                         *[conduction.graded(24, 1.145)] * (program.LAYERS - 1))
    program.LOAD_FRACTIONS = (np.full(72, 1 / 72),)
    for one in cached:
        one.cache_clear()
    try:
        yield
    finally:
        program.FRACTIONS, program.LOAD_FRACTIONS = kept
        for one in cached:
            one.cache_clear()


def kept_promises(n, seed, oven="rowan"):
    """(loads with margins above 5 K or 2 min, those of them that come out otherwise, plans)."""
    rng, oven = np.random.default_rng(seed), ok.read_oven(oven)
    promised, broken, plans = 0, [], 0
    while plans < n:
        menu = list(random_menu(rng, int(rng.integers(2, 5))).items())
        if rng.random() < HURRIES:      # one of them must be out by a time
            k = rng.integers(len(menu))
            menu[k] = ok.plan.Want(*menu[k], out_by=f"{rng.integers(12, 20)}:00")
        try:
            plan = ok.plan_day(oven, menu)
        except ok.InputError:           # nothing bakes so fast
            continue
        if not plan.good:
            continue
        plans += 1
        with three_times_the_cells():
            verdicts = ok.run_day(oven, plan.steps, plan.outdoor_c, finer=4).bakes["verdict"]
        for row, verdict in zip(plan.order.itertuples(), verdicts, strict=True):
            if row.margin_k > 5 or row.margin_min > 2:
                promised += 1
                if verdict != row.verdict:
                    broken.append((menu, row.load, row.verdict, verdict))
    return promised, broken, plans


def corrected(n, seed, oven="rowan"):
    """An array, a row per check of n plans in an oven that is not quite as planned: hearth over
    plan, then blind and by the table: degrees outside the bands of the next load, whether it comes
    out good, and which share of all loads to come does."""
    rng, oven, rows = np.random.default_rng(seed), ok.read_oven(oven), []
    for _ in range(n):
        plan = ok.plan_day(oven, random_menu(rng, 3))
        table = correction_table(plan)
        ends = np.cumsum([step.seconds for step in plan.steps]) / 3600
        for hours, k in checks(plan):
            truth = turned(oven, rng.normal(0, 1, 4) * SPREADS * [0.3, 0.3, 0.5, 1.0])
            done = int(np.searchsorted(ends, hours - 1e-6)) + 1
            run = ok.run_day(truth, plan.steps[:done], plan.outdoor_c)
            off = run.reading("hearth spot", hours) - plan.run.reading("hearth spot", hours)
            if abs(off) > 75:
                continue
            mine = table[table["hours"] == hours]
            choice = mine.loc[(mine["off_c"] - off).abs().idxmin()]
            planned = mine[mine["off_c"] == 0].iloc[0]
            pairs = [_followed(truth, run.state(hours), plan, k, c) for c in (planned, choice)]
            rows.append((off, *np.ravel(np.transpose(pairs))))
    return np.array(rows, float)


def _followed(truth, state, plan, k, choice):
    """(degrees outside the bands of the load that goes in next, whether it is good, share of all
    loads to come that are): a choice is followed, then the rest of the plan as written."""
    steps = [pause(choice["wait_min"], choice["gap_mm"])] if choice["wait_min"] else []
    if choice["top_up_kg"]:
        fire = usual_fire(truth, choice["top_up_kg"], plan.steps[0].moisture_pct, plan.outdoor_c)
        steps = [fire, ok.Settle(minutes=choice["top_up_min"] - fire.seconds / 60), *steps]
    in_h = sum(step.seconds for step in steps) / 3600
    first = plan.batches[choice["batch"]]
    steps.append(ok.Bake(first.load, first.count, minutes=choice["minutes"]))
    for i in range(k, len(plan.order)):
        if i == choice["batch"]:
            continue
        row, batch = plan.order.iloc[i], plan.batches[i]
        steps += [pause(row["wait_min"], row["gap_mm"])] if row["wait_min"] else []
        steps.append(ok.Bake(batch.load, batch.count, minutes=row["minutes"]))
    run = ok.run_day(truth, steps, plan.outdoor_c, state)
    good = [row.verdict == "good" for row in run.baked]
    off = max(0.0, -band_k(first.load, *run.met_c(max(in_h - MOMENT_H, 0.0))))
    return off, good[0], np.mean(good)
