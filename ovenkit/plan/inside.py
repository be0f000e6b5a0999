"""What is in the oven when it is read, and found to be off: when it is done now."""

from dataclasses import replace
from typing import NamedTuple

from ovenkit.plan.now import AS_PLANNED_K, longest_min, off_of
from ovenkit.plan.remarks import RAW, at_words, finish
from ovenkit.plan.rule import SLACK_H
from ovenkit.plan.tries import COOL, taken_out
from ovenkit.plan.wants import untold
from ovenkit.run import State
from ovenkit.simulate import run_day
from ovenkit.steps import Bake

OUT_SOON_MIN = 3        # what is out by then anyway is not told of


class Inside(NamedTuple):
    """What is in the oven at a reading, or rests after the fire, from where that began.

    steps : of it, () if nothing is to be waited for; batch : of it, or None
    begun, state : of the oven when that began, and when it is out
    off_c : hearth then over the plan, had it stayed as long as planned [K]
    longer_min : by which it stays in longer than planned; verdict : how it comes out
    told : whether that, or when, is other than planned
    """
    steps: tuple
    batch: int | None
    begun: State
    state: State
    off_c: float
    longer_min: float = 0.0
    verdict: str = ""
    told: bool = False


def inside(plan, estimate, found):
    """Return the Inside of a moment of a plan.

    plan : Plan; estimate : `estimate.Estimate` of the moment; found : its Estimated
    """
    def run(minutes=None):
        steps = estimate.held if minutes is None else (
            replace(estimate.held[0], minutes=minutes, hours=None),)
        return run_day(found.oven, steps, plan.outdoor_c, found.state)

    if not estimate.held:
        return Inside((), None, found.state, found.state, off_of(estimate, found.state))
    (held,), as_written = estimate.held, run()
    off_c = off_of(estimate, as_written.state())
    if not isinstance(held, Bake):
        return Inside(estimate.held, None, found.state, as_written.state(), off_c)
    batch = sum(isinstance(step, Bake) for step in plan.steps[:estimate.step])
    as_planned = abs(off_c) < AS_PLANNED_K and (
        as_written.baked[0].verdict == plan.run.baked[batch].verdict)
    minutes = as_written.steps[0].minutes if as_planned else _minutes(
        plan.batches[batch], as_written, run, 60 * (estimate.end_h - estimate.hours))
    new = as_written if minutes == as_written.steps[0].minutes else run(minutes)
    longer_min, verdict = 60 * (new.step_h[-1] - as_written.step_h[-1]), new.baked[0].verdict
    return Inside(new.steps, batch, found.state, new.state(), off_c, longer_min, verdict, bool(
        longer_min or verdict not in ("good", plan.run.baked[batch].verdict)))


def _minutes(batch, as_written, run, left_min):
    """How long a batch stays in that is to be out after `left_min` by the plan."""
    load, planned = batch.load, as_written.steps[0].seconds / 60
    if (left_min < OUT_SOON_MIN or load.least_minutes or untold(load)
            or as_written.baked[0].verdict == "good"):
        return as_written.steps[0].minutes          # no core tells, or it is as wanted
    longest = run(max(longest_min(load), planned))
    bake = longest.steps[0]
    verdict = longest.baked[0].verdict              # or it is finished elsewhere, or gains nothing
    poor = verdict in RAW or verdict in COOL and verdict == as_written.baked[0].verdict
    if poor:
        return as_written.steps[0].minutes
    return max(taken_out(longest, 0, bake, batch.stay or planned), planned - left_min)


def take_out(what, plan, at_h):
    """Return a sentence on what is in the oven, if it is to come out at other than its time, or
    late; else "".

    what : Inside; plan : Plan; at_h : when it is out [h after lighting]
    """
    if what.batch is None:
        return ""
    batch = plan.batches[what.batch]
    late = at_h - plan.order["set_h"].iloc[0] > batch.end_h + SLACK_H
    if not what.told and (not late or plan.order["late"].iloc[what.batch]):
        return ""
    bad = "" if what.verdict == "good" else (
        f": it comes out {what.verdict}{finish(what.verdict, batch.load)}")
    return (f"Take the {batch.load.name} that is in out by eye and probe, about "
            f"{at_words(plan, at_h)}{', later than wanted' if late else ''}{bad}.")
