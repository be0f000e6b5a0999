"""Plan a day: a menu and a fire -> the best order, and what becomes of it after a surprise.

No widgets here: settings -> `run` -> `picture`. The page's clock begins at lighting.
"""

from dataclasses import dataclass, replace
from functools import lru_cache

from ovenkit.figures import Band, Line, Picture
from ovenkit.files import choose, number, refuse
from ovenkit.inverse import usual_fire
from ovenkit.oven import domed_oven
from ovenkit.panels.guesses import LIT_AT
from ovenkit.panels.scene import INSIDE, MASONRY, WEATHER, Field, Scene, drawn, more
from ovenkit.plan import Plan, plan_day
from ovenkit.plan.correct import Correction, checks, correct
from ovenkit.simulate import run_day
from ovenkit.units import METRIC, clock

FIRES = ("as I say", "chosen for me")
VIEWS = ("the plan", "a surprise at noon")
FIRST = {"planner's": None, "tins first": "tin loaf", "roots first": "tray of roots"}
NAMES = {"loaves": "hearth loaf", "tins": "tin loaf", "buns": "enriched bun",
         "roots": "tray of roots", "cakes": "fruit cake"}
AFTER_H = 1.0           # shown after the last load goes in


@dataclass(frozen=True)
class PlanDay:
    """What the panel can set.

    loaves, tins, buns, roots, cakes : pieces of hearth loaf, tin loaf, enriched bun, trays of
        roots and fruit cakes that are wanted
    order : of FIRST, whose order it is; fire : of FIRES; wood_kg : if as I say [kg]
    off_c : at the second check the hearth reads so much over the plan [K]
    view : of VIEWS; masonry_kg [kg], inside_cm [cm], outdoor_c [degC]
    """
    loaves: int = 6
    tins: int = 4
    buns: int = 0
    roots: int = 2
    cakes: int = 0
    order: str = "planner's"
    fire: str = FIRES[0]
    wood_kg: float = 11
    off_c: float = -30
    view: str = VIEWS[0]
    masonry_kg: float = 320
    inside_cm: float = 80
    outdoor_c: float = 12

    def __post_init__(self):
        choose(self.order, FIRST, "order")
        choose(self.fire, FIRES, "way to choose the fire")
        choose(self.view, VIEWS, "view")
        for key in NAMES:
            number(getattr(self, key), key, 0, 60, "pieces")

    @property
    def wants(self):
        """Dict of load -> count of what is wanted."""
        return {load: int(getattr(self, key)) for key, load in NAMES.items() if getattr(self, key)}


@dataclass(frozen=True, eq=False)
class Planned:
    """A Plan, and a Correction where the view asks for it and there is one to make."""
    plan: Plan
    mended: Correction | None


@lru_cache(maxsize=16)
def _plan(settings):
    if not settings.wants:
        refuse("nothing is wanted: give at least one of the loads a number")
    oven = domed_oven(settings.inside_cm, settings.masonry_kg, name="oven on the page")
    fire = None if settings.fire == FIRES[1] else usual_fire(
        oven, settings.wood_kg, outdoor_c=settings.outdoor_c)
    first = FIRST[settings.order]
    if first is not None and first not in settings.wants:
        refuse(f"{first} goes first, and none is wanted: want some, or leave the order to the "
               "planner")
    return plan_day(oven, settings.wants, fire=fire, outdoor_c=settings.outdoor_c,
                    goes_first=first)


def run(settings, finer=1.0):
    """Return the Planned of the settings; InputError for wants that cannot be met at all.

    finer : of no account; a plan takes its time
    """
    plan = _plan(replace(settings, view=VIEWS[0], off_c=0.0))
    if settings.view == VIEWS[0]:
        return Planned(plan, None)
    if len(plan.order) < 2:
        refuse("a surprise needs a load to come: want two things at least")
    hours = second_check(plan)
    shown = plan.run.reading("hearth spot", hours)
    return Planned(plan, correct(plan, plan.at(hours), {"hearth spot": shown + settings.off_c}))


def second_check(plan):
    """Hours after lighting of the second check of a plan [h], to the minute."""
    return round(60 * checks(plan)[1][0]) / 60 + 1e-9


def key_numbers(result):
    """Return the dict of key numbers: loads, good, waiting_min, wood_kg, last_c."""
    order = result.plan.order if result.mended is None else result.mended.order
    return {"loads": len(order), "good": int((~order["spoilt"]).sum()),
            "waiting_min": int(order["wait_min"].sum()), "wood_kg": result.plan.wood_kg,
            "last_c": float(order["hearth_c"].iloc[-1])}


def key_line(result, scale=METRIC):
    """Return the key numbers as one line of text."""
    n = key_numbers(result)
    order = result.plan.order if result.mended is None else result.mended.order
    first = " then ".join(order["load"])
    head = "" if result.mended is None else f"{_sentence(result)} "
    return (f"{head}{first}: {n['good']} of {n['loads']} come out good, {n['waiting_min']} minutes "
            f"of waiting, {scale.say(n['wood_kg'], 'mass', 1)} of wood; hearth "
            f"{scale.say(n['last_c'], 'temp')} as the last load goes in.")


def _sentence(result):
    """What changed, by the page's clock."""
    plan, text = result.plan, result.mended.sentence
    for hours in {*plan.order["set_h"], *result.mended.order["set_h"]}:
        text = text.replace(plan.at(hours), clock(hours, LIT_AT))
    return text


def picture(settings, result, kept=None, scale=METRIC):
    """Return the Picture of a Planned; `kept` is another to compare it with, or None."""
    plan, mended = result.plan, result.mended
    order, day, from_h = plan.order, plan.run, plan.steps[0].seconds / 3600
    table = day.table
    if mended is not None:
        order, from_h = mended.order, mended.hours
        rest = run_day(mended.oven, mended.steps, plan.outdoor_c, mended.state)
        table = rest.table.set_axis(rest.table.index + from_h)
    end = min(order["set_h"].iloc[-1] + AFTER_H, order["out_h"].iloc[-1])
    curves = {name: drawn(table[column]) for name, column in (
        ("dome", "dome_back_c"), ("feels", "feels_c"), ("hearth", "hearth_bake_c"))}
    other = day if mended is not None else None if kept is None else kept.plan.run
    if other is not None:
        curves["kept"] = drawn(other.table["hearth_bake_c"])
    bands = tuple(Band(row.set_h, row.out_h, row.load, row.verdict, not row.spoilt)
                  for row in order.itertuples())
    key = key_line(result, scale)
    alt = (f"Chart of a planned day: hearth, dome and what the oven feels like, with a band for "
           f"each load. {key}")
    return Picture(curves, bands, (from_h, end), None, None, LIT_AT, key=key, alt=alt,
                   lines=lines(result, order, scale), scale=scale,
                   kept_name="as planned" if mended is not None else "kept")


def lines(result, order, scale=METRIC):
    """Return a Line per load: when, after what wait, into what; then what there is to say."""
    out = []
    for row in order.itertuples():
        wait = f"after {row.wait_min} minutes, {row.door}" if row.wait_min else "at once"
        out.append(Line(
            f"{clock(row.set_h, LIT_AT)} {row.load}: {row.verdict}",
            f"{row.count} in {wait}; hearth {scale.say(row.hearth_c, 'temp')}, feels like "
            f"{scale.say(row.feels_c, 'temp')}; out {clock(row.out_h, LIT_AT)}.", not row.spoilt))
    if result.mended is None:
        out += [Line("To say", note) for note in result.plan.notes]
    return tuple(out)


def first_of(name):
    """Function of a Planned: hours at which a load goes in [h]."""
    def hours(result):
        order = result.plan.order if result.mended is None else result.mended.order
        return float(order.loc[order["load"] == name, "set_h"].iloc[0])
    return hours


SCENE = Scene("plan_day", PlanDay(), (
    Field("loaves", "Hearth loaves", "800 g each", 0, 21, 1),
    Field("tins", "Tin loaves", "Bread in tins", 0, 16, 1),
    Field("roots", "Trays of roots", "Roast vegetables", 0, 4, 1),
    Field("order", "Order", "Whose order it is: the planner's, or yours by what goes first",
          choices=tuple(FIRST)),
    Field("fire", "Fire", "Whether you say how much wood, or the planner", choices=FIRES,
          group="fire"),
    Field("view", "Show", "The plan, or what becomes of it at noon", choices=VIEWS, group="view"),
    *more(Field("wood_kg", "Wood", "If you say", 5, 16, 0.5, of="mass", group="fire"),
          Field("buns", "Buns", "Enriched buns", 0, 40, 1),
          Field("cakes", "Fruit cakes", "In tins", 0, 8, 1),
          Field("off_c", "Hearth off by", "What the hearth reads over the plan, at noon", -60, 60,
                10, of="rise", group="view"),
          replace(MASONRY, low=200, high=500), INSIDE, WEATHER),
), run, picture)
