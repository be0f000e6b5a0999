"""What makes one plan better than another, and how far from its bands a batch may go in.

A plan is a fire, then batches one after another. Each goes in at a moment, on a grid of 5 minutes
and with the door shut, ajar or open until then (the smallest gap of those that are as soon), at
which hearth and feels are INSIDE_K inside its bands. If there is none within LONGEST_MIN, or it is
sooner by SOONER_MIN, it may go in where they are just inside; and if that is sooner by EDGE_MIN,
outside by no more than EASY_K, which no thermometer tells. Of such moments the first is tried,
then later and later ones (LATER), and the first at which the batch comes out good is taken; if
there is none, it is tried outside by EASY_K. Where there is none either it goes in where it misses
its bands least, and that is a compromise. As long as something is still to come that must be out by
a time, a batch may also go in sooner, where it misses them by no more than HURRY_K. A load counts
as spoilt if it comes out other than good, later than it must, only after its longest time, misses
its bands by more than NEAR_K, in such a hurry HURRY_K, or goes in when its dough is lost.
Of all plans the best has

    fewest spoilt, then least astray (a compromise counts the square of its degrees outside its
    bands, in ASTRAY_K, and of its minutes late, in ASTRAY_MIN, and what comes out other than good,
    or of a lost dough, RUINED), then least waiting (minutes late counted with it, and for a load
    outside its bands OUTSIDE_MIN, and PATIENCE_MIN for each degree), then least wood, then the
    shortest fire, then the hotter band

On the day itself, when the oven is off, near enough is good: what is up to
GRACED_MIN late is a compromise and not spoilt; every load may go in sooner, within NEAR_K of its
bands it is no compromise, within HURRY_K it is not spoilt if it comes out good; the first EASY_K
cost nothing, and all degrees of a load PATIENT_MIN at most, for nobody waits longer for a band;
later moments are tried with the widest gap too (of what is in overnight, with all); and
another load first than the one planned counts SWAP_MIN. What is in overnight goes in last, and not
so soon that it would be in for too long.
"""

from dataclasses import dataclass
from math import ceil
from typing import NamedTuple

import numpy as np

from ovenkit.oven import Oven
from ovenkit.plan.margins import band_k
from ovenkit.run import State
from ovenkit.steps import Fire

GRID_MIN = 5
OPEN = "open"
GAPS_MM = (0, 10, 20, 40, OPEN)
LONGEST_MIN = 360       # no single wait is longer, once what is waited for is ready
INSIDE_K = 2.0          # a batch goes in this far inside its bands, if it can
SOONER_MIN = 30         # gained, for which it goes in nearer their edge
EDGE_MIN = 150          # gained, for which it goes in outside, where no thermometer tells
LATER = (0, 1, 2, 3, 7, 15)     # steps of the grid after the first moment, at which it is tried
GRACE_MIN, GRACE = 2, 0.05      # it stays in longer than it must, by so many minutes or that share,
GRACE_SHORT = 0.25      # and by no more than that share of a short bake
SLACK_H = 1e-6          # what sums of minutes are out by
SLACK_K = 0.5           # and what a day run piece by piece meets, of the same run in one
NEAR_K = 10.0           # outside its bands by more, hearth or feels, a load is spoilt
HURRIES_K = 10.0, 20.0, 30.0    # in a hurry it is tried sooner too, so far outside
HURRY_K = HURRIES_K[-1]         # it is not spoilt by then, if it comes out good
ASTRAY_K, ASTRAY_MIN = 10, 30   # so far outside its bands, or so late, is one compromise
RUINED = 100            # compromises: late is better than burnt
EASY_K = 5.0            # outside its bands by less, nobody minds
OUTSIDE_MIN = 60        # of waiting that it is worth to be inside the bands,
PATIENCE_MIN = 10.0     # and for each degree outside [min/K],
PATIENT_MIN = 60        # and so many for a load at most, on the day
GRACED_MIN = 10         # late, for which nothing is spoilt on the day
SWAP_MIN = 45           # of waiting saved, for which another load goes first than the planned one


@dataclass(frozen=True)
class Rule:
    """How far from its bands a batch may go in.

    gaps : of GAPS_MM, those that a wait may have
    inside_k : how far inside its bands a batch goes in, the first of these first; below 0 that
        far outside [K]; later : steps of the grid after the first moment, at which it is tried
    widest : whether at the later moments the widest gap is tried too, for what found too much heat
    thorough : whether a load that found too little heat is tried later as well
    hurries_k : so far outside its bands a batch is tried sooner as well, as long as it or another
        that is still to come must be out by a time; always : whether any batch is [K]
    free_k : outside by more it is a compromise [K]
    easy_k, outside_min, patient_min : a load outside by more than `easy_k`, and not spoilt, counts
        as so many minutes of waiting, and PATIENCE_MIN for each degree more, so many at most
        [K, min, min]
    late_min : what is out no later after its time is a compromise, and not spoilt, but for what is
        in overnight [min]
    strict : whether what takes its longest time counts as spoilt even if it comes out good
    """
    gaps: tuple = GAPS_MM
    inside_k: tuple = (INSIDE_K, 0.0)
    later: tuple = LATER
    widest: bool = False
    thorough: bool = True
    hurries_k: tuple = HURRIES_K
    always: bool = False
    free_k: float = EASY_K
    easy_k: float = 0.0
    outside_min: float = OUTSIDE_MIN
    patient_min: float = np.inf
    late_min: float = 0.0
    strict: bool = True

    def may_hurry(self, left):
        """Whether the next of the Batches that are left may go in sooner, outside its bands."""
        return self.always or hurried(left)

    def near_k(self, left):
        """How far outside its bands the next of the Batches left may be and is not spoilt [K]."""
        return HURRY_K if self.may_hurry(left) else NEAR_K


RUINS = ("proof", "verdict")     # of the load itself
FAULTS = (*RUINS, "late", "early", "longest", "off")
PLANNED = Rule()
CALM, HASTY = Rule(hurries_k=()), Rule(hurries_k=(HURRY_K,))
ON_THE_DAY = Rule(gaps=(0, 20, 40, OPEN), inside_k=(-EASY_K,), later=(0, 3, 12, 20, 30),
                  widest=True, thorough=False, always=True, free_k=NEAR_K, easy_k=EASY_K,
                  outside_min=0, patient_min=PATIENT_MIN, late_min=GRACED_MIN, strict=False)


class Task(NamedTuple):
    """What is to be put in order: batches, the oven for them, weather [degC], the rule, how fine
    the engine's steps are in trying (`simulate.run_days`), and the name of the load that is next by
    the plan, if there is one."""
    oven: Oven
    batches: tuple
    outdoor_c: float
    rule: Rule
    finer: float = 1.0
    planned: str | None = None


class Cost(NamedTuple):
    """What a plan costs, in the order in which it matters."""
    spoilt: int
    astray: int         # how far from what is wanted, 0 for no compromise at all; see `astray`
    waiting_min: int    # and minutes late, degrees outside the bands as minutes, and SWAP_MIN
    wood_kg: float
    fire_h: float


@dataclass(frozen=True, eq=False)
class Node:
    """A plan up to some batch.

    cost : so far; order : batches taken; left : indices of batches to come
    minutes : since the first batch went in, None before; on the day since it was to go in, below 0
        before; state : of the oven
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
        """What a search sorts by; so many batches that are left are `spoilt` or `missed`."""
        cost = self.cost
        return (cost.spoilt + spoilt, cost.astray + missed, *cost[2:], self.order)


def root(left, state, minutes=None, fire=()):
    """Return the Node of an oven in some state, with nothing baked yet that counts.

    left : indices of the batches to come; fire : steps up to then
    """
    fires = [step for step in fire if isinstance(step, Fire)]
    cost = Cost(0, 0, 0, float(sum(step.wood_kg for step in fires)),
                sum(step.seconds for step in fires) / 3600)
    return Node(cost, (), tuple(left), minutes, state, (), (), tuple(fire))


def hurried(batches):
    """Whether any of some Batches must be out by a time."""
    return any(np.isfinite(batch.out_by_h) for batch in batches)


def miss(batch, hearth_c, feels_c):
    """Degrees by which hearth or feels, the worse of the two, lies outside a batch's bands [K].

    hearth_c, feels_c : [degC]
    """
    return max(-float(band_k(batch.load, hearth_c, feels_c)), 0.0)


def fault(rule, left, batch, verdict, off_k, minutes, set_h, out_h, slack_k=0.0):
    """Return why a batch counts as spoilt, a word of FAULTS, or "" if it does not.

    left : Batches to come, it among them; verdict : of what came out
    off_k : outside its bands as it went in [K]; minutes : in the oven
    set_h, out_h : hours after the first load; slack_k : so much further off is not further [K]
    """
    end_h = batch.end_h + (0.0 if batch.overnight else rule.late_min / 60)
    return next((word for word, so in zip(FAULTS, (
        set_h > batch.lost_h + SLACK_H, verdict != "good", out_h > end_h + SLACK_H,
        set_h < batch.ready_h - SLACK_H,
        rule.strict and batch.stay is None and minutes >= batch.load.max_minutes,
        off_k > rule.near_k(left) + slack_k), strict=True) if so), "")


def astray(rule, batch, why, off_k, set_h, out_h, slack_k=0.0):
    """Return how far from what is wanted a batch is, 0 if it is no compromise.

    why : it is spoilt, as `fault` says; off_k, set_h, out_h, slack_k : as of that
    """
    late = set_h > batch.in_by_h + SLACK_H or out_h > batch.end_h + SLACK_H
    if not (why or late or off_k > rule.free_k + slack_k):
        return 0
    late_min = max(60 * (out_h - batch.end_h - SLACK_H), 60 * (set_h - batch.in_by_h), 0.0)
    return RUINED * (why in RUINS) + max(1, round(
        (off_k / ASTRAY_K)**2 + (late_min / ASTRAY_MIN)**2))


def graced(done, dark):
    """Return how long a batch stays in that is done after some minutes and dark after others, in
    whole minutes; half way between, if its grace makes it dark; until done, if it is dark before.
    """
    stay = done + max(min(GRACE_MIN, ceil(GRACE_SHORT * done)), round(GRACE * done))
    return stay if stay < dark else max(done, (done + dark) // 2)


def then(task, node, batch, wait_min, steps, run):
    """Return the Node after a batch went in and came out.

    batch : its index; wait_min : minutes waited before; steps : the wait and the bake; run : theirs
    """
    rule, y, row = task.rule, task.batches[batch], run.baked[0]
    set_min = 0.0 if node.minutes is None else node.minutes + wait_min
    minutes = set_min + steps[-1].minutes
    off = miss(y, row.hearth_in_c, row.feels_in_c)
    late = 0 if minutes / 60 <= y.end_h + SLACK_H else round(minutes - 60 * y.end_h)
    why = fault(rule, [task.batches[i] for i in node.left], y, row.verdict, off,
                steps[-1].minutes, set_min / 60, minutes / 60)
    price = 0 if why or off <= rule.easy_k else round(min(
        rule.patient_min, rule.outside_min + PATIENCE_MIN * (off - rule.easy_k)))
    swapped = not node.order and task.planned not in (None, y.load.name)
    cost = node.cost
    cost = cost._replace(
        spoilt=cost.spoilt + bool(why),
        astray=cost.astray + astray(rule, y, why, off, set_min / 60, minutes / 60),
        waiting_min=cost.waiting_min + wait_min + late + price + SWAP_MIN * swapped)
    return Node(cost, (*node.order, batch), tuple(i for i in node.left if i != batch), minutes,
                run.state(), node.steps + steps, (*node.rows, row), node.fire)
