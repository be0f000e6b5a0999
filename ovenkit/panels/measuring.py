"""Four questions about one's own oven -> its masonry, with a range, and what that means.

settings -> `run` -> `picture`, each a pure function; no widgets here.
"""

import math
from dataclasses import dataclass, replace

from ovenkit.figures import Line
from ovenkit.figures.section import Bar, Section, thickness, under_name
from ovenkit.loads import load_catalogue
from ovenkit.oven import BUILDS, UNDER_HEARTH, Oven, four_questions, working_layers
from ovenkit.panels.guesses import Guess
from ovenkit.panels.scene import Field, Scene
from ovenkit.questions import Question
from ovenkit.simulate import run_day, run_days
from ovenkit.steps import Fire, Settle, Wait
from ovenkit.units import METRIC

FULL_C, NIGHT_H = 300, 12       # a full charge, soaked through; shut up for the night
WIDER, OUT = 1.25, 1.1          # a wider oven, a tape that is out, as shares (the kit's choice)
WOOD_SHARE = 0.04               # wood of a class fire, of the masonry's mass (the kit's choice)
TAPE = "the inside diameter", "the wall"
BIGGER = "your oven", "the wider one"
HOW = {  # where to look at one's own oven (common practice, no source; sizes from memory)
    "brick": "a firebrick is about 230 x 114 x 64 mm (9 x 4 1/2 x 2 1/2 in), and the wall is "
             "one of these lengths: look at the arch over the mouth, where their ends show",
    "cast": "measure the casting at the rim of the mouth, or ask who made it"}


@dataclass(frozen=True)
class MyOven:
    """What a tape and a look can tell: the four questions.

    inside_cm : inside diameter [cm]; wall_mm : brick or casting without insulation [mm]
    build : "brick" or "cast"; under : what is under the hearth, as in `domed_oven`
    """

    inside_cm: float = 80
    wall_mm: float = 95
    build: str = "brick"
    under: str = "insulating board"


@dataclass(frozen=True, eq=False)
class Store:
    """What the four answers come to.

    oven : Oven; masses_kg : lowest and highest mass [kg]
    loaves, few, many : what a full charge holds, and its range, in 800 g loaves
    morning_c : hearth after a night shut up fully charged [degC]
    """

    oven: Oven
    masses_kg: tuple
    loaves: float
    few: float
    many: float
    morning_c: float


def bread_c():
    """Hearth below which a hearth loaf does not go in [degC]."""
    return load_catalogue()["hearth loaf"].hearth_low_c


def run(settings, finer=1.0):
    """Return the Store of the settings; InputError for an answer no oven gives.

    finer : taken like that of other scenes; a shut empty oven needs no finer steps
    """
    oven, masses_kg = four_questions(settings.inside_cm, settings.wall_mm, settings.build,
                                     settings.under)
    ovens = (oven, *(oven.with_mass(kg) for kg in masses_kg))
    nights = run_days([(each, [Wait(hours=NIGHT_H)]) for each in ovens], start=FULL_C)
    held = [night.loaves_left(hours=0, above_c=bread_c()) for night in nights]
    return Store(oven, masses_kg, held[0], min(held), max(held),
                 float(nights[0].table.hearth_bake_c.iloc[-1]))


def even_minutes(oven):
    """Minutes in which skin and depth of the dome's masonry come two thirds of the way together.

    oven : Oven. The slowest time constant of a slab insulated on both faces,
    tau = L^2 / (pi^2 alpha) (Incropera & DeWitt, section 5.5).
    """
    thick, k, density, cp = working_layers(oven.dome)[0]
    return thick**2 * density * cp / (math.pi**2 * k) / 60


def key_line(store, scale=METRIC):
    """Return mass and loaves, with their ranges, as one line of text."""
    low, high = (scale.say(kg, "mass") for kg in store.masses_kg)
    return (f"Masonry {scale.say(store.oven.masonry_kg, 'mass')}, between {low} and {high}. A full "
            f"charge holds {store.loaves:.0f} loaves, between {store.few:.0f} and "
            f"{store.many:.0f}.")


def lines(settings, store, scale=METRIC):
    """Return a Line for the mass, the thickness, a full charge, the next morning, and the tape."""
    low, high = (scale.say(kg, "mass") for kg in store.masses_kg)
    full, least = scale.say(FULL_C, "temp"), scale.say(bread_c(), "temp")
    wall = thickness(store.oven.dome_masonry_m, scale)
    return (
        Line("The masonry", f"{scale.say(store.oven.masonry_kg, 'mass')} of "
             f"{settings.build} in dome and hearth. If the wall is 15 % thinner or thicker than "
             f"you think: {low} to {high}."),
        Line("The wall", f"{wall}. With a hot skin over a cold depth it takes about "
             f"{even_minutes(store.oven):.0f} minutes until the two are two thirds of the way "
             "together; twice as thick, four times as long."),
        Line("A full charge", f"Soaked through, with {full} on the skin, it holds the heat of "
             f"{store.loaves:.0f} loaves ({store.few:.0f} to {store.many:.0f}) above {least}, "
             "where bread turns pale. What leaks away while you bake comes off that."),
        Line("The next morning", f"Shut like that, with nothing in it, its hearth reads "
             f"{scale.say(store.morning_c, 'temp')} twelve hours later. Try what is under it."),
        Line("At your own oven", f"Lay a tape across the cold hearth, where it is widest. For the "
             f"wall, {HOW[settings.build]}. Insulation and plaster do not count."))


def picture(settings, store, kept=None, scale=METRIC):
    """Return the Section of a Store; `kept` is a Store to compare it with, or None."""
    oven, key = store.oven, key_line(store, scale)
    bars = (Bar("masonry", oven.masonry_kg, *store.masses_kg, "mass",
                kept and kept.oven.masonry_kg),
            Bar("loaves, full charge", store.loaves, store.few, store.many, "",
                kept and kept.loaves))
    inside, rise, wide, high = (
        scale.say(100 * x, "length")
        for x in (oven.inside_m, oven.rise_m, oven.mouth_w_m, oven.mouth_h_m))
    alt = (f"Cross-section of a {settings.build} oven, to scale: {inside} inside, {rise} high "
           f"under the dome, its wall {thickness(oven.dome_masonry_m, scale)}, insulation outside "
           f"it, under the hearth {under_name(oven)}. A door stands in the mouth ({wide} wide, "
           f"{high} high), a flue goes up in front of it, and one loaf lies on the hearth. Two "
           f"bars below. {key}")
    return Section(oven, bars, kept and kept.oven, key=key, alt=alt,
                   lines=lines(settings, store, scale), scale=scale)


SCENE = Scene("my_oven", MyOven(), (
    Field("inside_cm", "Inside", "Tape across the cold hearth, where it is widest", 50, 160,
          1, of="length", group="oven"),
    Field("wall_mm", "Wall", "Brick or casting only, no insulation; one inch is 25 mm", 30, 200, 5,
          unit="mm", group="oven"),
    Field("build", "Made of", "Laid of bricks, or cast", choices=tuple(BUILDS), group="oven"),
    Field("under", "Under the hearth", "What the floor lies on", choices=tuple(UNDER_HEARTH),
          group="oven"),
), run, picture)


GUESSES = (
    Guess("how heavy",
          "This oven is [80 length] across inside. Its wall and its floor are brick, 95 mm "
          "(3 3/4 in) thick. How much do these bricks weigh together?",
          "They weigh {answer}, as much as four grown people. All of it has to be made hot, and "
          "all of it gives heat back: that is what you cook on.",
          SCENE, MyOven(), lambda store: store.oven.masonry_kg, of="mass", low=10, high=1000,
          start=100, step=10),
    Guess("twice the wall",
          "The same size inside, but wall and floor twice as thick: 190 mm (7 1/2 in). The oven "
          "before is dashed. How much do the bricks weigh now?",
          "They weigh {answer}: more than twice as much, for every layer of a dome is wider than "
          "the one inside it. A full charge holds {loaves} loaves, less than twice as many, "
          "because even soaked through there is a slope: heat always leaks outwards, and the "
          "outer bricks stay some [40 rise] cooler. And it takes the heat four times as long to "
          "get there.",
          SCENE, MyOven(wall_mm=190), lambda store: store.oven.masonry_kg, of="mass", low=200,
          high=2000, start=400, step=10, other=MyOven(), other_name="95 mm",
          also=lambda store: {"loaves": f"{store.loaves:.0f}"}),
    Guess("a full charge",
          "A small cast oven: [60 length] inside, its wall 50 mm (2 in). It is soaked through, "
          "[300 temp] on the skin. How many 800 g loaves could it bake before its bricks are "
          "below [230 temp], if nothing leaked away?",
          "It has heat for {answer}; the class oven has it for three times as many. Its hearth "
          "takes three or four at a time, and heat leaks away while they bake: a small light "
          "oven is for a short morning, and there is nothing wrong with that.",
          SCENE, MyOven(inside_cm=60, wall_mm=50, build="cast"), lambda store: store.loaves,
          when=lambda store: None, of="loaves", unit="loaves", low=0, high=100, start=40),
)


def _tape(oven):
    """Which error of the tape changes the mass of an Oven most."""
    shape = replace(oven, inside_m=OUT * oven.inside_m, rise_m=OUT * oven.rise_m,
                    mouth_w_m=OUT * oven.mouth_w_m, mouth_h_m=OUT * oven.mouth_h_m)
    wall = oven.with_walls(OUT * oven.dome_masonry_m, OUT * oven.hearth_masonry_m)
    return TAPE[0] if shape.masonry_kg > wall.masonry_kg else TAPE[1]


def _morning(oven):
    """Hearth of an Oven after a night shut up fully charged [degC]."""
    night = run_day(oven, [Wait(hours=NIGHT_H)], start=FULL_C)
    return float(night.table.hearth_bake_c.iloc[-1])


def _wider(oven):
    """Which hearth is hotter after the same fire: that of an Oven, or of one a quarter wider."""
    shape = replace(oven, inside_m=WIDER * oven.inside_m, rise_m=WIDER * oven.rise_m)
    day = [Fire(hours=2, wood_kg=WOOD_SHARE * oven.masonry_kg), Settle(minutes=20)]
    hearths = [day.table.hearth_bake_c.iloc[-1] for day in run_days([(oven, day), (shape, day)])]
    return BIGGER[0] if hearths[0] > hearths[1] else BIGGER[1]


QUESTIONS = (
    Question("a tape 10 % out", "Your tape is a tenth out. For which of the two does that "
             "spoil the mass of your oven more?", _tape, choices=TAPE,
             hint="Twice as wide is how much more to pave? Twice as thick is how much more?",
             why="Width counts twice, once along the floor and once across; thickness counts "
                 "once."),
    Question("an oven 25 % wider", "Beside your oven stands one a quarter wider inside, with walls "
             "as thick. Both burn the same wood for two hours, are raked out, and settle for 20 "
             "minutes. Which hearth is hotter?", _wider, choices=BIGGER,
             hint="The same heat goes into how many bricks?",
             why="The same wood is spread over more brick. A bigger oven is not a hotter one: it "
                 "bakes more at once, and it wants more wood."),
    Question("12 hours later", "Your oven is soaked through, with [300 temp] on its skin. You "
             "shut it with nothing in it and go to bed. What does its hearth read twelve hours "
             "later?", _morning, low=20, high=300, start=100, step=5, right_by=15, near_by=40,
             hint="Masonry with insulation round it and a shut door is slower than a kitchen "
                  "oven that is switched off, by far.",
             why="A well wrapped oven is still a warm oven the next day: for a pot, a tray of "
                 "fruit, or less wood."),
)
