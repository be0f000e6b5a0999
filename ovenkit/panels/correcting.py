"""A surprise on the day: the hearth reads other than planned, and the rest is planned again.

No widgets here: settings -> `run` -> `picture`. The day is the planner's, of `cards`.
"""

from dataclasses import dataclass
from functools import lru_cache

import pandas as pd

from ovenkit.figures import Line, Picture
from ovenkit.files import choose, clock_hours, number, refuse
from ovenkit.panels.cards import PLANNERS, PlanDay, planned
from ovenkit.panels.planning import CURVES, bands, last_h, load_line
from ovenkit.panels.scene import WEATHER, Field, Scene, drawn, more
from ovenkit.plan.correct import Correction, correct
from ovenkit.plan.planning import Plan
from ovenkit.plan.remarks import comes_out, in_scale
from ovenkit.plan.table import OFFS_C, checks, correction_table
from ovenkit.run import Run
from ovenkit.simulate import run_day
from ovenkit.units import METRIC

CHECKS = ("first", "second", "third")
READ = {"hearth": ("hearth spot",), "hearth, dome": ("hearth spot", "dome back spot")}
BEFORE_H = 0.75         # shown before the check


@dataclass(frozen=True)
class Surprise:
    """What the panel can set.

    off_c : what is read is so much over the plan [K]; check : of CHECKS, when; read : of READ
    wood_kg [kg], first_load "HH:MM", outdoor_c [degC] : of the planned day, as of `PlanDay`
    """

    off_c: float = -30
    check: str = "second"
    read: str = "hearth"
    wood_kg: float = 11
    first_load: str = "11:30"
    outdoor_c: float = 12

    def __post_init__(self):
        choose(self.check, CHECKS, "check")
        choose(self.read, READ, "choice of what is read")
        number(self.off_c, "off_c", -100, 100, "degC")
        clock_hours(self.first_load, "first_load")


@dataclass(frozen=True, eq=False)
class Mended:
    """A day planned again.

    plan : the Plan; check_h : of the check, after lighting [h]; shown_c : what the hearth reads
        then [degC]
    new : the Correction; rest : Run of what is to be done now
    paper : words of the correction table, for the reading of the hearth nearest to that, which is
        over the plan by paper_off_c [K]
    """

    plan: Plan
    check_h: float
    shown_c: float
    new: Correction
    rest: Run
    paper: str
    paper_off_c: float


def run(settings, finer=1.0):
    """Return the Mended of the settings; InputError where there is nothing to plan again.

    finer : of no account; a plan takes its time
    """
    day = settings.wood_kg, settings.first_load, settings.outdoor_c
    plan = _planned(*day)
    check = CHECKS.index(settings.check)
    if check >= len(checks(plan)):
        refuse(f"this day has {len(checks(plan))} checks: choose another")
    hours = round(60 * checks(plan)[check][0]) / 60 + 1e-9      # to the minute, nothing left in
    read = {name: plan.run.reading(name, hours) + settings.off_c
            for name in READ[settings.read]}
    new = correct(plan, plan.at(hours), read)
    rest = run_day(new.oven, new.steps, plan.outdoor_c, new.state)
    nearest = min(OFFS_C, key=lambda off: abs(off - settings.off_c))
    return Mended(plan, hours, read["hearth spot"], new, rest, _paper(*day, check, nearest),
                  nearest)


@lru_cache(maxsize=8)
def _planned(wood_kg, first_load, outdoor_c):
    """The Plan of the usual menu."""
    return planned(PlanDay(wood_kg=wood_kg, first_load=first_load, outdoor_c=outdoor_c,
                           whose=PLANNERS))


@lru_cache(maxsize=32)
def _paper(wood_kg, first_load, outdoor_c, check, off_c):
    """Words of the correction table of that plan."""
    plan = _planned(wood_kg, first_load, outdoor_c)
    return correction_table(plan, check=check, offs_c=(off_c,))["words"].iloc[0]


def key_numbers(result):
    """Return the dict of key numbers: shown_c, hearth as read [degC]; off_c, what it is taken to
    be over the plan [K]; left, good and blind_good of the loads to come; waiting_min."""
    order = result.new.order
    return {"shown_c": result.shown_c, "off_c": result.new.off_c, "left": len(order),
            "good": int((~order["spoilt"]).sum()),
            "blind_good": int((~result.new.written["spoilt"]).sum()),
            "waiting_min": int(order["wait_min"].sum())}


def key_line(result, scale=METRIC):
    """Return the key numbers as one line of text."""
    n = key_numbers(result)
    fire = ", with a second fire" if result.new.fire else ""
    return (f"At {result.plan.at(result.check_h)} the hearth, where nothing lay, reads "
            f"{scale.say(n['shown_c'], 'temp')}: taken to be {_off(n['off_c'], scale)}. Planned "
            f"again{fire}, {n['good']} of {n['left']} come out good, with {n['waiting_min']} "
            f"minutes of waiting; gone on by the clock alone, {n['blind_good']}.")


def lines(result, scale=METRIC):
    """Return what changed, a Line per load to come, what came of going on, and the paper's words.
    """
    plan, order = result.plan, result.new.order
    blind = ", ".join(f"{row.load} {comes_out(row)}" for row in result.new.written.itertuples())
    return (
        Line("What changes", result.new.say(scale)),
        *(load_line(row, plan.at, scale) for row in order.itertuples()),
        *(Line("Hard to believe", note) for note in result.new.notes),
        *(Line("Mind", in_scale(words, scale)) for words in result.new.helps),
        Line("Gone on by the clock alone", f"{blind}."),
        Line(f"The paper on the wall, before the {result.new.written['load'].iloc[0]}",
             f"{result.paper}. That is its line for a hearth {_off(result.paper_off_c, scale)}; "
             "what is not done then stays in."))


def _off(off_c, scale):
    """How far over the plan, in words."""
    return ("as planned" if abs(off_c) < 0.5 else
            f"{scale.say(abs(off_c), 'rise')} {'over' if off_c > 0 else 'under'} the plan")


def _left(result):
    """Series of the loaves left: as planned up to the check, and as it is from then on."""
    planned, rest = result.plan.run.loaves_left(), result.rest.loaves_left()
    return pd.concat([planned[:result.new.hours - 1e-6],
                      rest.set_axis(rest.index + result.new.hours)])


def picture(settings, result, kept=None, scale=METRIC):
    """Return the Picture of a Mended; dashed is the hearth as planned, or what is kept."""
    plan, new, key = result.plan, result.new, key_line(result, scale)
    curves = {name: drawn(result.rest.table[column], new.hours)
              for name, column in CURVES.items()}
    curves["kept"] = drawn(plan.run.table["hearth_bake_c"])
    if kept is not None:
        curves["kept"] = drawn(kept.rest.table["hearth_bake_c"], kept.new.hours)
    done, order = plan.order[plan.order["set_h"] < new.hours - 1e-6], new.order
    done = done[done["out_h"] > result.check_h - BEFORE_H]
    return Picture(
        curves, bands(done) + bands(order), (result.check_h - BEFORE_H, last_h(order)),
        drawn(_left(result)), None, plan.light_at, key=key, scale=scale,
        lines=lines(result, scale),
        kept_name="planned" if kept is None else "kept",
        alt=(f"Chart of the rest of a day, planned again after a check: hearth, dome and what the "
             f"oven feels like, the hearth as planned dashed, a band for each load. {key}"))


def goes_in(name):
    """Return the function of a Mended that says when a load goes in now [h]."""
    return lambda result: float(
        result.new.order.loc[result.new.order["load"] == name, "set_h"].iloc[0])


SCENE = Scene("correct_day", Surprise(), (
    Field("off_c", "Off by", "What is read, over the plan; below zero: under it", -60, 60,
          5, of="rise", group="oven"),
    Field("check", "Before load", "When it is read: before the first load, or a later one",
          choices=CHECKS),
    Field("read", "Read", "What is read: the hearth, or hearth and dome", choices=tuple(READ),
          group="oven"),
    *more(Field("wood_kg", "Wood", "Of the planned day", 10.5, 14, 0.5, of="mass", group="fire"),
          WEATHER),
), run, picture)
