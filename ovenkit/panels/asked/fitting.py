"""Guesses and questions about one's own oven. No widgets here."""

import numpy as np
import pandas as pd

from ovenkit.fit import fit_oven
from ovenkit.inverse import usual_fire
from ovenkit.mystery import OUTDOOR_C, STEPS
from ovenkit.panels.fitting import SCENE, TOMORROWS, KnowOven
from ovenkit.panels.guesses import Guess
from ovenkit.questions import Question
from ovenkit.simulate import run_day
from ovenkit.steps import Wait
from ovenkit.traits import turned

EARLY = KnowOven(until_hours=1.5, places="hearth only", view=TOMORROWS)


def widest_c(known):
    """Greatest width of the band on tomorrow's hearth [K]."""
    _, low, high = known.tomorrow
    after = low.index >= STEPS[0].hours
    return float((high["hearth_bake_c"] - low["hearth_bake_c"])[after].max())


def moved_kg(known):
    """How far blunders move the mass that is found [kg]."""
    clean = SCENE.run(KnowOven())
    return abs(known.fit.table.loc["mass", "estimate"] - clean.fit.table.loc["mass", "estimate"])


GUESSES = (
    Guess("how heavy is it",
          "These are 54 readings of an oven of which a tape says: 80 cm inside, about [300 mass] "
          "of brick. Hearth and depth are soon together, and then fall slowly, all day. How heavy "
          "is the masonry really?",
          "The readings say {answer}, likely between {low} and {high}. The fall after raking out "
          "tells how much brick shares the heat, the slow slope of the afternoon how well it is "
          "kept.",
          SCENE, KnowOven(number=3), lambda known: known.fit.table.loc["mass", "estimate"],
          of="mass", low=150, high=700, start=300, step=10,
          also=lambda known: {name: f"{known.fit.table.loc['mass', name]:.0f} kg"
                              for name in ("low", "high")}),
    Guess("three early readings",
          "Of the whole log only three readings of the hearth are kept, all within an hour and a "
          "half of raking out. The shaded band holds four of five ovens that fit them. How wide is "
          "the band on tomorrow's hearth, at its widest?",
          "It is {answer} wide: early readings say how hot the oven is, not how it runs down. Read "
          "on into the afternoon.",
          SCENE, EARLY, widest_c, of="rise", low=0, high=120, start=20, step=1),
    Guess("two slips of the pen",
          "Two of the 54 readings are written down more than a hundred degrees wrong. How far do "
          "they move the mass that is found?",
          "By {answer}. A fit that asks what most readings agree on leaves the two lonely ones "
          "aside, and says which they are. It still pays to look at what was written.",
          SCENE, KnowOven(blunders=2), moved_kg, of="mass", low=0, high=200, start=60, step=1),
)


def _shut_hours(oven):
    """Hours from a hearth of 300 to 150, soaked through, shut and idle."""
    hearth = run_day(oven, [Wait(hours=48)], start=300).table["hearth_bake_c"]
    return float(np.interp(-150.0, -hearth.to_numpy(), hearth.index.to_numpy()))


def _six(oven, first_h, last_h):
    """How well six readings of the hearth between two hours tell the insulation of an oven: the
    spread of its logarithm."""
    fire = usual_fire(oven, np.floor(44 * oven.hearth_area_m2) / 2)
    steps = (fire, Wait(hours=10))
    truth = run_day(turned(oven, [0.0, -0.3, 0.0, 0.0]), steps, OUTDOOR_C)
    hours = fire.hours + np.linspace(first_h, last_h, 6)
    log = pd.DataFrame({"hours": hours, "where": "hearth spot",
                        "reading_c": truth.reading("hearth spot", hours)})
    return float(fit_oven(oven, steps, log, OUTDOOR_C).covariance[1, 1])


def _which_six(oven):
    early, spread = _six(oven, 0.2, 1.2), _six(oven, 0.2, 9.0)
    return "6 spread over the day" if spread < early else "6 in the first hour"


QUESTIONS = (
    Question("hours from 300 to 150",
             "An oven is hot through, its hearth reads [300 temp]. It is shut and left alone. "
             "After how many hours does the hearth read [150 temp]?",
             _shut_hours, of="", unit="hours", low=1, high=48, step=1, start=6, right=0.15,
             near=0.4, hint="Half of what it is hotter than outdoors has to go, and a good "
                            "insulation lets little more than one of a hundred degrees go in "
                            "ten minutes.",
             why="This one number, measured on one night, says more of your oven than its weight: "
                 "it goes on your card."),
    Question("which six readings",
             "You may take only six readings of the hearth. Which six say more of how your oven "
             "keeps its heat?",
             _which_six, choices=("6 in the first hour", "6 spread over the day"),
             hint="What you want to know is how it runs down.",
             why="Two readings far apart tell a slope better than twenty close together."),
)
