"""The correction on the day: readings that differ from the plan, and what to do about it.

The oven is estimated anew (`estimate`), and the rest of the day put right in it (`rest`). What is
done so can be corrected in its turn.
"""

from dataclasses import dataclass, replace
from functools import partial

import numpy as np
import pandas as pd

from ovenkit.evidence import LIMITS
from ovenkit.files import choose, clock_hours, number, refuse
from ovenkit.plan.advice import doubts, fire_care, fire_saves, fire_words, helps
from ovenkit.plan.doughs import Made, made, made_anew
from ovenkit.plan.estimate import Estimate
from ovenkit.plan.inside import OUT_SOON_MIN, Inside, inside, take_out
from ovenkit.plan.now import moment, to_come, to_light
from ovenkit.plan.order import order_table
from ovenkit.plan.planning import Plan
from ovenkit.plan.remarks import (
    RELIT,
    at_words,
    changes,
    day_words,
    in_scale,
    not_overnight,
    off_words,
)
from ovenkit.plan.rest import as_written, fire_first, rests
from ovenkit.plan.rule import ON_THE_DAY
from ovenkit.plan.wants import today
from ovenkit.run import READINGS
from ovenkit.simulate import run_day
from ovenkit.steps import Fire
from ovenkit.units import METRIC


@dataclass(frozen=True, eq=False)
class Correction:
    """The rest of a day, planned again.

    plan : Plan that is corrected
    hours : from when on, after lighting, which is when what is in at the reading is out
    held : `inside.Inside` of what is in until then, or rests after the fire
    order, steps, taken : as of `rest.Rest`; with the fire if there is a `fire`, as written if
        `contrary`
    written : as `order`, of going on as written
    made : the `doughs.Made` of each load to come
    notes : readings that are hard to believe
    helps : what is in comes out otherwise, doughs that are begun at another time or wait too long
        now, what wants somebody in the night, a top-up fire that would save what is spoilt
    fire : "light a top-up fire ...", if the day goes on with it at once, or ""
    without : the Correction that lights none, if there is a `fire`, or None
    relit : "light the fire ... at 12:00, not 10:55", if one is to come, at another time, or ""
    declined : whether what a fire could save is given up
    contrary : whether nothing is known better: readings contradict each other, or the fire burns
    """
    plan: Plan
    hours: float
    held: Inside
    order: pd.DataFrame
    steps: tuple
    taken: tuple
    written: pd.DataFrame
    made: tuple
    notes: tuple = ()
    helps: tuple = ()
    fire: str = ""
    without: object = None
    relit: str = ""
    declined: bool = False
    contrary: bool = False

    @property
    def state(self):
        """The State of the oven at `hours`, as it is estimated."""
        return self.held.state

    @property
    def oven(self):
        """The Oven as it is estimated."""
        return self.held.state.oven

    @property
    def off_c(self):
        """Hearth at `hours` over what was planned, had what is in stayed as long as planned [K]."""
        return self.held.off_c

    @property
    def to_light(self):
        """(When it is lit, hours after lighting, its wood [kg]) of a fire to come, or None."""
        return to_light(self.steps, self.hours)

    @property
    def on_stove(self):
        """Whether each load to come is left out of the oven, and cooked on the stove."""
        return on_stove(self.plan, self)

    @property
    def sentence(self):
        """What changed, in one line."""
        return self.say()

    def say(self, scale=METRIC):
        """Return what changed, in one line, as it reads in a scale."""
        if self.contrary:
            return "Read again first, and go on as written until then."
        plain = self.without or self
        texts = changes(self.plan, plain.order, plain.taken)
        if not texts and plain.order is not self.written:       # some minutes matter
            texts = changes(self.plan, plain.order, plain.taken, least=(1, 1))
        text = "; ".join([*filter(None, [in_scale(plain.relit, scale)]), *texts]) or (
            "what is to come goes on as written" if self.held.told else "go on as written")
        text = f"{in_scale(self.fire, scale)}. Without it: {text}" if self.fire else text
        said = f"{off_words(self.off_c, scale)}: {text}."
        return f"Read again first; if it stays so, {said[0].lower()}{said[1:]}" if (
            self.notes) else said

    def onward(self):
        """Return the Plan of what is done now, to be corrected in its turn: with what is in, from
        where that went in. Its hours count from there."""
        if self.contrary:
            return self.plan
        plan, held, steps = self.plan, self.held, (*self.held.steps, *self.steps)
        order, taken, made = self.order, self.taken, self.made
        known = self.fire or self.declined      # and what no fire saves
        spoils = tuple(order["spoilt"] if known else plan.given_up[list(taken)])
        begun_h = self.hours - sum(step.seconds for step in held.steps) / 3600
        if held.batch is not None:
            order = pd.concat([self._held_row(begun_h), order], ignore_index=True)
            taken = (held.batch, *taken)
            made = (Made(order["set_h"].iloc[0], np.inf, True), *made)
            spoils = (order["spoilt"].iloc[0], *spoils)
        first = order["set_h"].iloc[0]
        return replace(
            plan, oven=self.oven, start=held.begun, steps=steps,
            run=run_day(self.oven, steps, plan.outdoor_c, held.begun),
            batches=tuple(plan.batches[k].moved(plan.order["set_h"].iloc[0] - first)
                          for k in taken),
            order=order.assign(set_h=order["set_h"] - begun_h, out_h=order["out_h"] - begun_h),
            made=tuple(one._replace(ready_h=one.ready_h - begun_h, until_h=one.until_h - begun_h)
                       for one in made),
            notes=(), helps=(), light_at=plan.at(begun_h), first_load=plan.at(first),
            midnight_h=plan.midnight_h - begun_h, spoils=spoils)

    def _held_row(self, begun_h):
        """What is in since some hour, as a row of Plan.order."""
        plan, held = self.plan, self.held
        run = run_day(self.oven, held.steps, plan.outdoor_c, held.begun)
        return order_table(run, [plan.batches[held.batch]], from_h=begun_h,
                           first_h=plan.order["set_h"].iloc[0], rule=ON_THE_DAY, either_way=())


def correct(plan, clock, readings, fitted=None, kitchen="warm", behind_min=0, scale=METRIC):
    """Return the Correction of a plan after readings on the day.

    plan : Plan, or the Correction that is followed since
    clock : time of day "HH:MM" of the readings, the first after lighting; "HH:MM next day" is on
        the day after the first load
    readings : dict of instrument (as of `Run.reading`) -> degC, or seconds for "hand count"
    fitted : covariance of a `fit.Fit` of this oven, or None
    kitchen : "warm" or "cool", which says how soon a dough can be proved
    behind_min : minutes by which the day runs late: what was to be out at 15:15 came out now, 20
        minutes later, is correct(plan, "15:35", ..., behind_min=20)
    scale : units.Scale in which `notes` and `helps` speak; readings are in degC all the same
    What is in the oven stays in until its time; or until it is done, if that is wrong, and is told.
    While a fire burns nothing is corrected. Raises InputError for a time outside the day, or
    readings that are none.
    """
    plan = plan.onward() if isinstance(plan, Correction) else plan
    if not isinstance(plan, Plan):
        refuse(f"the plan is a {type(plan).__name__}: give what plan_day returned, or "
               "read_wants(file).plan()")
    late_h = number(behind_min, "behind_min", 0, 720, "minutes") / 60
    hours, readings = _hours(plan, clock, late_h), _checked(readings)
    if late_h > hours:
        refuse(f"{clock} is only {60 * hours:.0f} minutes after {plan.light_at}, when this plan "
               f"begins, and that cannot be {behind_min:g} minutes late (behind_min): give how "
               "much later it is than this plan")
    estimate = Estimate(plan, hours - late_h, fitted)
    if not to_come(plan, estimate)[0]:
        refuse(_too_late(plan, clock, hours))
    burns = isinstance(estimate.now, Fire)
    seen = {} if burns else readings
    found = estimate.given(seen)
    held = inside(plan, estimate, found)
    free_h = estimate.end_h + (behind_min + held.longer_min) / 60
    notes = tuple(doubts(estimate, seen, found.far, found.apart, scale))
    was = to_light(plan.steps[estimate.step + 1:], float(plan.run.step_h[estimate.step + 1]))
    day = partial(_day, plan, was, hours, free_h, held, notes, kitchen, scale)
    if burns or found.apart:
        way = as_written(moment(plan, estimate, kitchen, behind_min, held.longer_min), held.state)
        return replace(day(way, way.order), helps=(), contrary=True)
    (rest,) = rests(plan, estimate, [held.state], kitchen, behind_min, held.longer_min,
                    [held.off_c])
    if not rest.top_up:
        return day(rest, rest.written)
    now = "now" if free_h - hours < OUT_SOON_MIN / 60 else f"at {at_words(plan, free_h)}"
    more, asked, saved = rest.top_up[1], fire_words(rest, now), fire_saves(plan, rest)
    if not fire_first(plan, rest):
        offer = in_scale(f"A {asked}, would save {saved}.", scale)
        return day(rest, rest.written, [f"{offer} {RELIT}"])
    alone = len(readings) == 1 and not notes
    second = "read a second place, and if it is as low, " if alone else ""
    lit = day(more, rest.written, [in_scale(fire_care(more), scale)])
    return replace(lit, fire=f"{second}light a {asked}: it would save {saved}",
                   without=replace(day(rest, rest.written), declined=True))


def on_stove(plan, way):
    """Return whether each load of a way to go on is left out of the oven, and cooked on the stove.

    way : has order and taken
    """
    return [bool(not_overnight(row, plan.batches[k].overnight))
            for row, k in zip(way.order.itertuples(), way.taken, strict=True)]


def _day(plan, was, hours, free_h, held, notes, kitchen, scale, way, written, more=()):
    """The Correction that goes on in some way from `free_h` on, after a reading at `hours`.

    was : `now.to_light` of the fire that was to come, or None; way : has order, steps and taken
    written, held, notes : of the Correction; more : sentences
    """
    told, lit, relit = take_out(held, plan, free_h), to_light(way.steps, free_h), ""
    if was and (lit is None or lit[1] != was[1]):
        more = (in_scale(f"The fire of {was[1]:g} kg that was to come is not lit" + (
            ", but this one." if lit else "."), scale), *more)
    elif was and round(60 * (lit[0] - was[0])):
        relit = (f"light the fire of {was[1]:g} kg at {at_words(plan, lit[0])}, not "
                 f"{plan.at(was[0])}")
    stove, doughs = on_stove(plan, way), (plan, way.order, way.taken, kitchen, hours)
    as_it_was = made(plan, kitchen, hours)
    return Correction(
        plan, free_h, held, way.order, way.steps, way.taken, written,
        tuple(as_it_was[k] if out else one for k, out, one in zip(
            way.taken, stove, made_anew(*doughs), strict=True)), notes,
        (*filter(None, [told]), *helps(*doughs, stove, scale), *more), relit=relit)


def _too_late(plan, clock, hours):
    """What to say of a time at which nothing is to come."""
    if day_words(plan, hours) and today(clock) == clock and hours > 12:
        return (f"{clock} is before {plan.light_at}, when this plan begins: there is nothing to "
                "correct yet. (On the next day the last load is in by then.)")
    return (f"at {clock} the last load is in: there is nothing left to plan. Probe it as it comes "
            "out")


def _hours(plan, clock, late_h):
    """Hours after lighting of a time of day, of the first load's day or of the next; late_h : by
    which the day is late [h]."""
    ends = float(plan.run.hours[-1])
    at = clock_hours(today(clock), "clock")
    hours = (at - clock_hours(plan.light_at)) % 24 if today(clock) == clock else (
        plan.midnight_h + at + 24)
    if hours - late_h > ends:
        refuse(f"at {clock} nothing of this plan is in the oven: it runs from {plan.light_at} to "
               f"{plan.at(ends)}{day_words(plan, ends)}")
    return hours


def _checked(readings):
    if not isinstance(readings, dict) or not readings:
        refuse("give at least one reading, each with its instrument, such as {'hearth spot': 245}")
    for name, value in readings.items():
        choose(name, READINGS, "instrument")
        limits = LIMITS[True] if name == "hand count" else (-20, 700, "degC")
        number(value, name, *limits)
    return readings
