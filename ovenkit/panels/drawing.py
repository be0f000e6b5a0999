"""From settings to picture: one oven, one fire, a menu in some order. No widgets here.

settings -> `steps` and `oven` -> `run` -> `picture`, each a pure function.
"""

from dataclasses import dataclass, replace

import numpy as np

from ovenkit.figures import Band, Line, Picture
from ovenkit.files import choose, number, refuse
from ovenkit.oven import domed_oven
from ovenkit.panels.guesses import LIT_AT, Guess
from ovenkit.panels.scene import (
    DOORS,
    FIRE,
    INSIDE,
    MASONRY,
    WEATHER,
    WOOD,
    Field,
    Scene,
    drawn,
    held,
    more,
)
from ovenkit.questions import Question
from ovenkit.simulate import run_day, run_days
from ovenkit.steps import Bake, Fire, Settle, Wait
from ovenkit.units import METRIC, clock

AFTER_H = 1.5           # shown after the last load goes in


@dataclass(frozen=True)
class Turn:
    """One load of the menu and how it is handled.

    load : name in the catalogue; count : pieces; minutes : in the oven [min]
    door : "shut", "ajar" (a gap of 20 mm) or "open" while it is in
    cool_minutes : door open and nothing in, before it goes in [min]
    """

    load: str
    count: int = 1
    minutes: float = 35
    door: str = "shut"
    cool_minutes: float = 0


MENU = (  # Larch Yard's, invented
    Turn("flatbread", 4, 7),
    Turn("hearth loaf", 6, 32, cool_minutes=20),
    Turn("tin loaf", 6, 47),
    Turn("sponge cake", 3, 38, "ajar", cool_minutes=25),
    Turn("bean pot", 3, 480, cool_minutes=90),
)


@dataclass(frozen=True)
class DrawDown:
    """What the panel can set: oven, fire, weather, and the turns in the order they go in.

    masonry_kg [kg], inside_cm [cm], wood_kg [kg], fire_hours [h], settle_minutes [min],
    outdoor_c [degC]; turns : tuple of Turn, or of names of MENU
    Raises InputError for a name that is not on the menu, or that stands there twice.
    """

    masonry_kg: float = 320
    inside_cm: float = 80
    wood_kg: float = 13
    fire_hours: float = 2
    settle_minutes: float = 20
    outdoor_c: float = 12
    turns: tuple = MENU

    def __post_init__(self):
        menu = {turn.load: turn for turn in MENU}
        turns = tuple(
            turn if isinstance(turn, Turn) else menu[choose(turn, menu, "load on the menu")]
            for turn in self.turns)
        if not turns:
            refuse("the menu is empty: give at least one load")
        names = [turn.load for turn in turns]
        for name in names:
            if names.count(name) > 1:
                refuse(f"the load {name!r} stands on the menu twice: raise its count instead")
        for turn in turns:
            choose(turn.door, DOORS, "way of leaving the door", turn.load)
            number(turn.cool_minutes, "cooling before a load", 0, 600, "minutes", turn.load)
        object.__setattr__(self, "turns", turns)


def move(turns, load, place):
    """Return the turns with one load at a place, 1 for the first; the others close up."""
    turn = next(t for t in turns if t.load == load)
    rest = [t for t in turns if t.load != load]
    rest.insert(int(place) - 1, turn)
    return tuple(rest)


def change(turns, load, **fields):
    """Return the turns with some fields of one load changed."""
    return tuple(replace(t, **fields) if t.load == load else t for t in turns)


def oven(settings):
    """Return the Oven of the settings."""
    return domed_oven(settings.inside_cm, settings.masonry_kg, name="oven on the page")


def steps(settings):
    """Return the steps of the day: fire, settle, then cool and bake, turn by turn."""
    rows = [Fire(hours=settings.fire_hours, wood_kg=settings.wood_kg),
            Settle(minutes=settings.settle_minutes)]
    for turn in settings.turns:
        if turn.cool_minutes:
            rows.append(Wait(minutes=turn.cool_minutes, door="open"))
        rows.append(Bake(turn.load, turn.count, minutes=turn.minutes, **held(turn.door)))
    return rows


def run(settings, finer=1.0):
    """Return the Run of the settings; InputError where it cannot be done, or not safely.

    finer : as of `run_day`
    """
    return run_day(oven(settings), steps(settings), outdoor_c=settings.outdoor_c, finer=finer)


def key_numbers(day):
    """Return the dict of a Run's key numbers.

    hearth_first_c, hearth_last_c : hearth as the first and the last load go in [degC]
    left_first, left_last : loaves left then, for that load; good, of : loads that came out good
    """
    first, last = day.baked[0], day.baked[-1]
    return {"hearth_first_c": float(first.hearth_in_c), "hearth_last_c": float(last.hearth_in_c),
            "left_first": day.loaves_left(first.in_h), "left_last": day.loaves_left(last.in_h),
            "good": sum(row.verdict == "good" for row in day.baked), "of": len(day.baked)}


def key_line(numbers, scale=METRIC):
    """Return the key numbers as one line of text."""
    first, last = (scale.say(numbers[name], "temp") for name in ("hearth_first_c", "hearth_last_c"))
    return ("{good} of {of} came out good. Hearth {first} as the first load goes in, {last} as the "
            "last; loaves left {left_first:.0f} and {left_last:.0f}.").format(
                first=first, last=last, **numbers)


def lines(day, scale=METRIC):
    """Return a Line per load: when, how it came out, and why."""
    return tuple(
        Line(f"{row.load}: {row.verdict}", f"In {clock(row.in_h, LIT_AT)}, out "
             f"{clock(row.out_h, LIT_AT)}; {row.why}.", row.verdict == "good")
        for row in day.baked_in(scale))


def alt_text(day, numbers, scale=METRIC):
    """Return what the picture shows, in words."""
    loads = ", ".join(f"{row.load} {row.verdict}" for row in day.baked)
    first, last = (scale.say(numbers[name], "temp") for name in ("hearth_first_c", "hearth_last_c"))
    return (f"Chart of the oven running down after the fire is raked out. The hearth is at {first} "
            f"as the first load goes in and at {last} as the last one does. Dome, air, the hearth "
            "under a load, what it feels like, and the loaves left are drawn beside it. "
            f"In order: {loads}.")


def picture(settings, day, kept=None, scale=METRIC):
    """Return the Picture of a Run; `kept` is a Run to compare it with, or None."""
    table, numbers = day.table, key_numbers(day)
    hours = table.index.to_numpy()
    span = (settings.fire_hours, min(day.baked[-1].in_h + AFTER_H, day.baked[-1].out_h))
    inside = np.zeros(len(hours), bool)
    for row in day.baked:
        inside |= (hours >= row.in_h) & (hours <= row.out_h)
    curves = {
        "dome": (table.dome_back_c + table.dome_front_c) / 2, "feels": table.feels_c,
        "air": table.air_c, "under": table.hearth_under_load_c.where(inside),
        "hearth": table.hearth_bake_c}
    if kept is not None:
        curves["kept"] = kept.table.hearth_bake_c
    bands = tuple(Band(row.in_h, row.out_h, row.load, row.verdict, row.verdict == "good")
                  for row in day.baked)
    return Picture({name: drawn(y) for name, y in curves.items()}, bands, span,
                   drawn(day.loaves_left()), drawn(kept.loaves_left()) if kept else None, LIT_AT,
                   key=key_line(numbers, scale), alt=alt_text(day, numbers, scale),
                   lines=lines(day, scale), scale=scale)


SCENE = Scene("draw_down", DrawDown(), (
    MASONRY, INSIDE, WOOD, *more(
        FIRE, Field("settle_minutes", "Settle", "Door shut after raking out", 5, 120, 5,
                    unit="minutes"), WEATHER),
), run, picture)


def bake_of(day, load):
    """The Baked of a load in a Run."""
    return next(row for row in day.baked if row.load == load)


ALONE = (Turn("hearth loaf", 1, 35, cool_minutes=15),)
GUESSES = (
    Guess("flatbread late",
          "The flatbread wants a hearth of [280 temp] or more. Somebody puts it in fourth, after "
          "the loaves and the cake. How hot is the hearth then?",
          "The hearth has fallen to {answer} by then, and nothing but a new fire brings it back: "
          "the load that wants the hottest hearth goes first.",
          SCENE, DrawDown(turns=move(MENU, "flatbread", 4)),
          lambda day: bake_of(day, "flatbread").hearth_in_c,
          lambda day: bake_of(day, "flatbread").in_h),
    Guess("one or seven",
          "One loaf goes in alone, into an oven that is too hot for it (its hearth is the dashed "
          "curve). Now seven go in at the same moment. What does the oven feel like as they "
          "come out?",
          "Seven cold loaves pull the whole oven down, and it feels like {answer} as they come "
          "out. One loaf pulls down only the spot it lies on: alone it burns, in company it "
          "is only dark.",
          SCENE, DrawDown(turns=change(ALONE, "hearth loaf", count=7)),
          lambda day: day.at("feels_c", day.baked[0].out_h),
          lambda day: day.baked[0].out_h, start=320, other=DrawDown(turns=ALONE),
          other_name="one loaf"),
    Guess("twice the bricks",
          "Same fire, same size inside, but twice the bricks: [640 mass] (the dashed curve is the "
          "hearth of the oven with [320 mass]). How hot is the hearth as the sponge cake goes in?",
          "The skins start nearly alike, but in the heavy oven the heat goes on into the cold "
          "bricks behind them, and the cake finds a hearth of {answer}. On the same wood a "
          "heavy oven is not hotter, it is half charged. Give it twice the wood and twice the "
          "time, and it lasts longer.",
          SCENE, DrawDown(masonry_kg=640),
          lambda day: bake_of(day, "sponge cake").hearth_in_c,
          lambda day: bake_of(day, "sponge cake").in_h, low=50,
          other=DrawDown(), other_name="lighter"),
)


def _soaked(oven, steps, start_c):
    """Run of an oven soaked through to a temperature, ten minutes shut before the steps."""
    return run_day(oven, [Settle(minutes=10), *steps], start=start_c)


def _pull(oven):
    """Hearth beside three loaves as they come out, below that of the same oven left shut [K]."""
    rest = Settle(minutes=60)
    baked, twin = run_days([(oven, [rest, Bake("hearth loaf", 3, minutes=30)]),
                            (oven, [rest, Wait(minutes=45)])], start=265)
    out_h = baked.baked[0].out_h
    return twin.at("hearth_bake_c", out_h) - baked.at("hearth_bake_c", out_h)


def _first_good(oven):
    """The load that comes out good of an oven soaked to 340, of three that might go first."""
    loads = {"flatbread": Bake("flatbread", 2, minutes=5),
             "sponge cake": Bake("sponge cake", 1, minutes=38),
             "bean pot": Bake("bean pot", 1, minutes=480)}
    return next(name for name, bake in loads.items()
                if _soaked(oven, [bake], 340).baked[0].verdict == "good")


QUESTIONS = (
    Question("first at 340",
             "The hearth reads [340 temp], and the bricks are hot through. Which of these goes in "
             "first?",
             _first_good, choices=("flatbread", "sponge cake", "bean pot"),
             hint="One of the three wants more heat than all the others, and can only lose by "
                  "waiting.",
             why="It wants the hottest hearth of the three, and the oven passes there only once. "
                 "The cake would be black on top, and a pot boils dry."),
    Question("three loaves pull",
             "The oven is hot through, its hearth reads about [260 temp], and three hearth loaves "
             "go in. How many degrees lower is the hearth beside them after half an hour than if "
             "the oven had stayed shut and empty?",
             _pull, of="rise", low=0, high=60, step=1, start=30, right_by=2, near_by=5,
             hint="One loaf takes what 4 kg of brick give when they fall by 100 degrees. Spread "
                  "three loaves over all the brick; the skin falls somewhat more than the depth.",
             why="The skin gives first, and the depth makes good: an hour later less of it is "
                 "left."),
    Question("loaves at 300",
             "An oven is hot through and its hearth reads about [300 temp]. How many hearth "
             "loaves are left in it, above the [230 temp] that the last of them needs?",
             lambda oven: _soaked(oven, [], 305).loaves_left(1 / 6, above_c=230),
             of="", unit="loaves", low=0, high=200, step=1, start=10, right=0.2, near=0.5,
             hint="Kilograms of brick, times the share of 100 degrees it may fall, divided by 4; "
                  "and the deep bricks are cooler than the skin.",
             why="Not all at once, though: the heat has to come up through the brick first."),
)
