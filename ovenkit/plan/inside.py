"""What is in the oven when it is read, and found to be off: when it is done now."""

from dataclasses import replace
from typing import NamedTuple

from ovenkit.plan.chances import begun
from ovenkit.plan.now import LONGER
from ovenkit.plan.remarks import RAW, finish
from ovenkit.plan.tries import taken_out
from ovenkit.simulate import dark_minutes, done_minutes, run_day
from ovenkit.steps import Bake

OUT_SOON_MIN = 3        # what is out by then anyway is not told of


class Inside(NamedTuple):
    """What is in the oven at a reading.

    longer_min : minutes by which it stays in longer than planned; cells_k : what that changes in
    the masonry, as `State.zones_c` [K]; verdict : how it comes out, "" if nothing is to be said
    """
    longer_min: float = 0.0
    cells_k: object = 0.0
    verdict: str = ""


def inside(plan, estimate, oven):
    """Return the Inside of a moment of a plan.

    plan : Plan; estimate : `estimate.Estimate` of the moment; oven : Oven as it is estimated then
    """
    bake, before = plan.steps[estimate.step], plan.steps[:estimate.step]
    left_min = 60 * (estimate.end_h - estimate.hours)
    if not isinstance(bake, Bake) or left_min < OUT_SOON_MIN:
        return Inside()

    def run(minutes):
        stay = replace(bake, minutes=minutes, hours=None)
        day = run_day(oven, (*before, stay), plan.outdoor_c, begun(plan, oven, 0.0))
        return day, estimate.step, stay

    planned, load = bake.seconds / 60, bake.load
    as_written, minutes = run(planned)[0], planned
    if not load.least_minutes:      # a core tells
        longest = run(load.max_minutes * (LONGER if load.crust else 1))
        raw = longest[0].baked[-1].verdict in RAW       # it is finished elsewhere
        if not (raw or done_minutes(*longest) <= planned < dark_minutes(*longest)):
            minutes = max(taken_out(*longest), planned - left_min)
    new = as_written if minutes == planned else run(minutes)[0]
    verdict = new.baked[-1].verdict
    spoils = verdict != "good" and verdict != plan.run.baked[len(as_written.baked) - 1].verdict
    if minutes == planned and not spoils:
        return Inside()
    return Inside(minutes - planned, new.state().zones_c - as_written.state().zones_c, verdict)


def take_out(load, verdict, clock):
    """Return a sentence on what is in the oven, and is to come out at other than its time.

    load : Load; verdict : how it comes out then; clock : "HH:MM"
    """
    bad = "" if verdict == "good" else f": it comes out {verdict}{finish(verdict, load)}"
    return f"Take the {load.name} that is in out by eye and probe, about {clock}{bad}."
