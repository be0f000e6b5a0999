"""Guesses and questions about the instruments. No widgets here."""

from dataclasses import replace

from ovenkit.panels.guesses import Guess
from ovenkit.panels.reading import LAST_MIN, SCENE, ReadOven, moment, spot
from ovenkit.panels.scene import AJAR_MM
from ovenkit.questions import Question
from ovenkit.simulate import run_day
from ovenkit.steps import Settle, Wait


def _soaked(oven, start_c, **door):
    """Moments of an oven soaked evenly to [degC]: shut for an hour, and ten minutes after that.
    """
    rows = [Settle(minutes=60), Wait(minutes=2 * LAST_MIN, **door)]
    day = run_day(oven, rows, start=start_c)
    return moment(day, 1.0), moment(day, 1.0 + LAST_MIN / 60)


def _off_at_80(oven):
    places = _soaked(oven, 250, door="shut")[0].places
    return spot(places, "hearth_bake_c", 0.80) - spot(places, "hearth_bake_c")


def _moves_least(oven):
    before, after = _soaked(oven, 250, door="open")
    moved = {words: abs(after.shown[kind] - before.shown[kind])
             for words, kind in WITNESSES.items()}
    return min(moved, key=moved.get)


WITNESSES = {"the air probe": "air", "the spot on the hearth": "hearth",
             "the spot at the back of the dome": "back", "the probe deep in the hearth": "deep"}
AJAR_DAY = ReadOven(minutes=80, door="ajar", wood_kg=9, fire_hours=1.5)
LATE_DAY = ReadOven(minutes=240)

GUESSES = (
    Guess("ten minutes open",
          "Hollow: the oven of the sum above, door shut. Now the door has been open for ten "
          "minutes, and the reader says [288 temp] at the back of the dome, where it said "
          "[306 temp]. The air probe said [273 temp]. What does it say now?",
          "The air probe says {answer}, and it is right; so is the reader. They look at different "
          "things. The air itself is only {itself}: the walls shine on the probe.",
          SCENE, ReadOven(door="open"), lambda result: result.shown["air"], other=ReadOven(),
          other_name="before, door shut",
          also=lambda result: {"itself": f"[{result.places['air_c']:.0f} temp]"}),
    Guess("a cake at 180",
          "A smaller fire, and the door ajar for ten minutes. The recipe says [180 temp], and the "
          "air probe says exactly [180 temp]. To a cake, what does the oven feel like?",
          "To a cake it feels like {answer}: the dome above it reads {back} and {front}, and most "
          "of its heat comes from there. Neither the air nor the wall is the recipe's number; it "
          "is about halfway between.",
          SCENE, AJAR_DAY, lambda result: result.shown["feels"],
          also=lambda result: {kind: f"[{result.shown[kind]:.0f} temp]"
                               for kind in ("back", "front")}),
    Guess("two probes",
          "Hollow: four hours after raking out, door shut. The air probe says [253 temp], and a "
          "second one, hung a hand's breadth from the wall, says [261 temp]. Then the door stands "
          "open for ten minutes, and the air probe says [155 temp]. What does the one near the "
          "wall say?",
          "The probe near the wall says {answer}, {apart} more than the air probe; with the door "
          "shut they were [8 rise] apart. The air beside it is warmed by brick, and it sees more "
          "of the brick. Both are right, about where they hang.",
          SCENE, replace(LATE_DAY, door="open"), lambda result: result.shown["wall"], start=150,
          other=LATE_DAY, other_name="before, door shut",
          also=lambda result: {
              "apart": f"[{result.shown['wall'] - result.shown['air']:.0f} rise]"}))

QUESTIONS = (
    Question("reader at 0.80",
             "An oven soaked to an even [250 temp] has stood shut for an hour. Somebody left the "
             "spot reader at 0.80. How much more does it show of the hearth than at 0.95?",
             _off_at_80, of="rise", low=0, high=100, start=50, right_by=6, near_by=15,
             hint="Give the panel above a hearth like that, and move the reader's setting.",
             why="All spots move by about as much, and the probes stay: that gives it away. Look "
                 "at the setting before you look at the oven."),
    Question("recipe's number",
             "An oven soaked to an even [200 temp] has stood shut for an hour, then ajar for ten "
             "minutes. A cake's kitchen oven at home would have to be set to what, for the same "
             "heat?",
             lambda oven: _soaked(oven, 200, gap_mm=AJAR_MM)[1].shown["feels"],
             low=100, high=300, start=250, right_by=8, near_by=20,
             hint="It lies between dome and air probe; walls lose a little in an hour, and a door "
                  "ajar lets the air go.",
             why="That is what to hold against the recipe."),
    Question("steady after 10 minutes",
             "The door has been off for ten minutes. Which of these has moved least, and so tells "
             "best what the oven still holds?",
             _moves_least, of="", choices=tuple(WITNESSES),
             hint="Heat has to come through brick before it can leave.",
             why="The skin and the air follow the door; the brick behind them hardly notices."))
