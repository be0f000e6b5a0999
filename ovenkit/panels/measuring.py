"""Four questions about one's own oven -> its masonry, with a range, and what that means.

settings -> `run` -> `picture`, each a pure function; no widgets here.
"""

import math
from dataclasses import dataclass

from ovenkit.figures import Line
from ovenkit.figures.section import Bar, Section, thickness, under_name
from ovenkit.layers import working_layers
from ovenkit.loads import load_catalogue
from ovenkit.oven import BUILDS, UNDER_HEARTH, Oven, four_questions
from ovenkit.panels.scene import Field, Scene
from ovenkit.simulate import run_days
from ovenkit.steps import Wait
from ovenkit.units import METRIC

FULL_C, NIGHT_H = 300, 12       # a full charge, soaked through; shut up for the night
HOW = {  # where to look at one's own oven (common practice, no source; sizes from memory)
    "brick": "a firebrick is about 230 x 114 x 64 mm (9 x 4 1/2 x 2 1/2 in), and the wall is "
             "one of these lengths, or a brick cut to 95 or 150 mm: look at the arch over the "
             "mouth, where their ends show",
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
        Line("The wall", f"{wall}. Heat takes about "
             f"{even_minutes(store.oven):.0f} minutes to get two thirds of the way through it; "
             "twice as thick, four times as long."),
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
