"""The correction on the day: readings that differ from the plan, and what to do about it.

The oven is estimated anew (`estimate`), and the rest of the day put right in it (`rest`). What is
done so can be corrected in its turn.
"""

from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from ovenkit.files import choose, clock_hours, number, refuse
from ovenkit.oven import Oven
from ovenkit.plan.advice import doubts, fire_care, fire_saves, fire_words, helps
from ovenkit.plan.agenda import day_words
from ovenkit.plan.doughs import made_anew
from ovenkit.plan.estimate import SAME_H, Estimate
from ovenkit.plan.inside import OUT_SOON_MIN, inside, take_out
from ovenkit.plan.now import moment, off_of, to_come
from ovenkit.plan.planning import Plan
from ovenkit.plan.remarks import changes, in_scale, off_words
from ovenkit.plan.rest import as_written, fire_first, rests
from ovenkit.plan.wants import today
from ovenkit.run import READINGS, State
from ovenkit.simulate import run_day
from ovenkit.units import METRIC


@dataclass(frozen=True, eq=False)
class Correction:
    """The rest of a day, planned again.

    plan : Plan that is corrected
    hours : from when on, after lighting; oven, state : as they are estimated then, what is in at
        the reading taken out when it is done
    off_c : as of `rest.Rest`; order, steps, taken : the same, with the fire if there is a `fire`,
        as written if readings contradict each other
    written : as `order`, of going on as written; without : (order, taken) without the fire
    notes : readings that are hard to believe; helps : what is in comes out otherwise, doughs that
        are begun at another time or wait too long now, what wants somebody in the night, a top-up
        fire that would save what is spoilt
    fire : "light a top-up fire ...", if the day goes on with it at once, or ""
    made : the `doughs.Made` of each load to come
    contrary : whether readings contradict each other; inside : whether `helps` tell of what is in
    """
    plan: Plan
    hours: float
    oven: Oven
    state: State
    off_c: float
    order: pd.DataFrame
    steps: tuple
    taken: tuple
    written: pd.DataFrame
    without: tuple
    notes: tuple
    helps: tuple
    fire: str
    made: tuple
    contrary: bool
    inside: bool

    @property
    def sentence(self):
        """What changed, in one line."""
        return self.say()

    def say(self, scale=METRIC):
        """Return what changed, in one line, as it reads in a scale."""
        if self.contrary:
            return "Read again first, and go on as written until then."
        order, taken = self.without
        texts = changes(self.plan, order, taken)
        if not texts and order is not self.written:         # some minutes matter
            texts = changes(self.plan, order, taken, least=(1, 1))
        text = "; ".join(texts) or ("what is to come goes on as written" if self.inside else
                                    "go on as written")
        text = f"{in_scale(self.fire, scale)}. Without it: {text}" if self.fire else text
        said = f"{off_words(self.off_c, scale)}: {text}."
        return f"Read again first; if it stays so, {said[0].lower()}{said[1:]}" if (
            self.notes) else said

    def onward(self):
        """Return the Plan of what is done now, to be corrected in its turn; its hours count from
        `hours`."""
        plan, first = self.plan, self.order["set_h"].iloc[0]
        later_h = plan.order["set_h"].iloc[0] - first
        batches = tuple(plan.batches[k].moved(later_h) for k in self.taken)
        return replace(
            plan, oven=self.oven, start=self.state, batches=batches, steps=tuple(self.steps),
            order=self.order.assign(set_h=self.order["set_h"] - self.hours,
                                    out_h=self.order["out_h"] - self.hours),
            run=run_day(self.oven, self.steps, plan.outdoor_c, self.state), notes=(), helps=(),
            light_at=plan.at(self.hours), first_load=plan.at(first),
            made=tuple(one._replace(ready_h=one.ready_h - self.hours,
                                    until_h=one.until_h - self.hours) for one in self.made))


def correct(plan, clock, readings, fitted=None, kitchen="warm", behind_min=0, scale=METRIC):
    """Return the Correction of a plan after readings on the day.

    plan : Plan, or the Correction that is followed since; until that begins, and what was in is
        out, readings are held against what it corrects
    clock : time of day "HH:MM" of the readings, the first after lighting; "HH:MM next day" is on
        the day after the first load
    readings : dict of instrument (as of `Run.reading`) -> degC, or seconds for "hand count"
    fitted : covariance of a `fit.Fit` of this oven, or None
    kitchen : "warm" or "cool", which says how soon a dough can be proved
    behind_min : minutes by which the day runs late: what was to be out at 15:15 came out now, 20
        minutes later, is correct(plan, "15:35", ..., behind_min=20)
    scale : units.Scale in which `notes` and `helps` speak; readings are in degC all the same
    What is in the oven stays in until its time; or until it is done, if that is wrong, and is told.
    Raises InputError for a time outside the day, or readings that are none.
    """
    if isinstance(plan, Correction):
        plan = plan.plan if _is_before(plan, clock) else plan.onward()
    if not isinstance(plan, Plan):
        refuse(f"the plan is {plan!r}: give what plan_day returned, or read_wants(file).plan()")
    hours, readings = _hours(plan, clock), _checked(readings)
    late_h = number(behind_min, "behind_min", 0, 720, "minutes") / 60
    if late_h > hours:
        refuse(f"at {clock} the day is only {60 * hours:.0f} minutes old, and cannot run "
               f"{behind_min:g} minutes late (behind_min): give how much later it is than the plan")
    estimate = Estimate(plan, hours - late_h, fitted)
    if not to_come(plan, estimate)[0]:
        day = day_words(plan, hours)
        refuse((f"{clock} is before {plan.light_at}, when this plan begins, and the next day" if day
                and today(clock) == clock else f"at {clock}")
               + " the last load is in: there is nothing left to plan. Probe it as it comes out")
    oven, state, far, apart = estimate.given(readings)
    notes = tuple(doubts(estimate, readings, far, apart, scale))
    off_c, end_h = off_of(estimate, state), estimate.end_h + late_h
    if apart:
        way = as_written(moment(plan, estimate, kitchen, behind_min), state)
        return Correction(
            plan, end_h, oven, state, off_c, way.order, way.steps, way.taken, written=way.order,
            without=(way.order, way.taken), notes=notes, helps=(), fire="",
            made=made_anew(plan, way.order, way.taken, kitchen, hours), contrary=True,
            inside=False)
    what = inside(plan, estimate, oven)
    state = replace(state, zones_c=np.maximum(state.zones_c + what.cells_k, plan.outdoor_c))
    (rest,) = rests(plan, estimate, [state], kitchen, behind_min, what.longer_min, [off_c])
    begin_h = end_h + what.longer_min / 60
    told = [take_out(plan.steps[estimate.step].load, what.verdict, plan.at(begin_h))
            ] if what.verdict else []
    free = "now" if begin_h - hours < OUT_SOON_MIN / 60 else f"at {plan.at(begin_h)}"
    alone = len(readings) == 1 and not notes
    order, steps, taken, fire, offered = _fired(plan, rest, free, alone, scale)
    return Correction(
        plan, begin_h, oven, state, off_c, order, steps, taken, written=rest.written,
        without=(rest.order, rest.taken), notes=notes,
        helps=(*told, *helps(plan, order, taken, hours, kitchen), *offered), fire=fire,
        made=made_anew(plan, order, taken, kitchen, hours), contrary=False, inside=bool(told))


def _fired(plan, rest, now, alone, scale):
    """(order, steps, taken, Correction.fire, sentences on a fire) of a Rest, with its top-up fire
    if the day goes on with it.

    now : when that is lit, in words; alone : whether one reading alone asks for it
    """
    if not rest.top_up:
        return rest.order, rest.steps, rest.taken, "", []
    more, asked, saved = rest.top_up[1], fire_words(rest, now), fire_saves(plan, rest)
    if not fire_first(plan, rest):
        offer = in_scale(f"A {asked}, would save {saved}.", scale)
        return rest.order, rest.steps, rest.taken, "", [offer]
    second = "read a second place, and if it is as low, " if alone else ""
    return (more.order, more.steps, more.taken,
            f"{second}light a {asked}: it would save {saved}", [fire_care(more)])


def _is_before(since, clock):
    """Whether a time of day is before a Correction begins: what is in then is as the plan that was
    corrected has it."""
    at = clock_hours(today(clock), "clock")
    return today(clock) == clock and (
        at - clock_hours(since.plan.light_at)) % 24 < since.hours - SAME_H


def _hours(plan, clock):
    """Hours after lighting of a time of day, of the first load's day or of the next."""
    ends = float(plan.run.hours[-1])
    at = clock_hours(today(clock), "clock")
    if today(clock) == clock:
        hours = (at - clock_hours(plan.light_at)) % 24
    else:
        hours = at - clock_hours(plan.first_load) + float(plan.order["set_h"].iloc[0]) + 24
    if hours > ends:
        refuse(f"at {clock} nothing of this plan is in the oven: it runs from {plan.light_at} to "
               f"{plan.at(ends)}{day_words(plan, ends)}")
    return hours


def _checked(readings):
    if not isinstance(readings, dict) or not readings:
        refuse("give at least one reading, each with its instrument, such as {'hearth spot': 245}")
    for name, value in readings.items():
        choose(name, READINGS, "instrument")
        limits = (0.1, 60, "s") if name == "hand count" else (-20, 700, "degC")
        number(value, name, *limits)
    return readings
