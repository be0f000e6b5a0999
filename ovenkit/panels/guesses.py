"""The guesses of the lessons: a question, a day that answers it, and one sentence why.

No widgets here: question -> `covered` picture -> `answer` -> `revealed` picture.
"""

from dataclasses import dataclass, replace

import numpy as np

from ovenkit.files import choose, number
from ovenkit.panels.settings import MENU, DrawDown, Turn, change, move, picture

ALONE = (Turn("hearth loaf", 1, 35, cool_minutes=15),)


@dataclass(frozen=True)
class Guess:
    """A question with one temperature as its answer.

    question, why : sentences; why may hold {answer}
    day : DrawDown that answers it; other : DrawDown drawn beside it, dashed, or None
    other_name : what the dashed curve is called at its end
    load, moment : load at whose "in" or "out" it is asked; curve : "hearth" or "feels"
    low, high, start : of the slider [degC]
    """

    name: str
    question: str
    why: str
    day: DrawDown
    load: str
    curve: str = "hearth"
    moment: str = "in"
    other: DrawDown | None = None
    other_name: str = ""
    low: int = 100
    high: int = 400
    start: int = 250


GUESSES = {guess.name: guess for guess in (
    Guess("flatbread late",
          "The flatbread wants a hearth of 280 or more. Somebody puts it in fourth, after the "
          "loaves and the cake. How hot is the hearth then?",
          "The hearth has fallen to {answer} by then, and nothing but a new fire brings it back: "
          "the load that wants the hottest hearth goes first.",
          DrawDown(turns=move(MENU, "flatbread", 4)), "flatbread"),
    Guess("one or seven",
          "One loaf goes in alone, into an oven that is too hot for it (its hearth is the dashed "
          "curve). Now seven go in at the same moment. What does the oven feel like as they "
          "come out?",
          "Seven cold loaves pull the whole oven down, and it feels like {answer} as they come "
          "out. One loaf pulls down only the spot it lies on: alone it burns, in company it "
          "is only dark.",
          DrawDown(turns=change(ALONE, "hearth loaf", count=7)), "hearth loaf", "feels", "out",
          other=DrawDown(turns=ALONE), other_name="one loaf", start=320),
    Guess("twice the bricks",
          "Same fire, same size inside, but twice the bricks: 640 kg (the dashed curve is the "
          "hearth of the oven with 320). How hot is the hearth as the sponge cake goes in?",
          "The skins start nearly alike, but in the heavy oven the heat goes on into the cold "
          "bricks behind them, and the cake finds a hearth of {answer}. On the same wood a "
          "heavy oven is not hotter, it is half charged. Give it twice the wood and twice the "
          "time, and it lasts longer.",
          DrawDown(masonry_kg=640), "sponge cake", other=DrawDown(), other_name="320 kg",
          low=50),
)}


def get_guess(name):
    """Return the Guess of that name; InputError with the nearest name if there is none."""
    return GUESSES[choose(name, GUESSES, "guess")]


def when_h(guess, day):
    """Return the hour the guess is about, in the Run that answers it [h]."""
    row = day.bakes[day.bakes.load == guess.load].iloc[0]
    return float(row.in_h if guess.moment == "in" else row.out_h)


def answer(guess, day):
    """Return the temperature that is asked for [degC], before the door is opened."""
    bakes = day.bakes[day.bakes.load == guess.load].iloc[0]
    if guess.moment == "in":
        return float(bakes[f"{guess.curve}_in_c"])
    column = {"hearth": "hearth_bake_c", "feels": "feels_c"}[guess.curve]
    return float(np.interp(bakes.out_h, day.table.index, day.table[column]))


def key_line(guess, day):
    """Return the question's name and its answer as one line of text."""
    return f"{guess.name}: {answer(guess, day):.0f} degrees"


def covered(guess, day, other=None):
    """Return the Picture before the guess is made: times and names, and the other day."""
    full = replace(picture(guess.day, day, other), kept_name=guess.other_name)
    bands = tuple(replace(band, verdict="", good=True) for band in full.bands)
    alt = ("Empty chart of the day, with the times at which the loads go in; the curves appear "
           "after your guess.")
    return replace(full, bands=bands, covered=True, alt=alt, lines=(),
                   key="Say a number, or skip: the curves come after that.")


def revealed(guess, day, guessed_c=None, other=None):
    """Return the Picture with the answer, and the guess [degC] marked if one was made."""
    full = replace(picture(guess.day, day, other), kept_name=guess.other_name)
    why = guess.why.format(answer=f"{answer(guess, day):.0f}")
    if guessed_c is None:
        return replace(full, key=why, alt=f"{why} {full.alt}")
    guessed_c = number(guessed_c, "your guess", guess.low, guess.high, "degC")
    mark = (when_h(guess, day), guessed_c, f"your guess {guessed_c:.0f}")
    return replace(full, guess=mark, key=f"You said {guessed_c:.0f}. {why}",
                   alt=f"Your guess of {guessed_c:.0f} degrees is marked. {why} {full.alt}")
