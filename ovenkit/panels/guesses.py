"""A guess before the curve: a question, settings that answer it, and one sentence why.

No widgets here: question -> `covered` picture -> `answer` -> `revealed` picture.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from ovenkit.figures import Mark
from ovenkit.files import number
from ovenkit.panels.scene import Scene
from ovenkit.units import METRIC, clock

LIT_AT = "06:30"


@dataclass(frozen=True)
class Guess:
    """A question with one number as its answer.

    question, why : sentences; why may hold {answer}, and what `also` names in braces; numbers
        such as "[230 temp]" are said in the learner's scale
    scene, settings : what answers it; other : settings drawn beside it, dashed, or None
    other_name : what the dashed curve is called at its end
    answer : result -> number; when : result -> hour [h] at which it is marked, or None
    of : what is measured: "temp", "rise", "mass" or "length" as in `units.Scale`; "hour" is a
        time of day, a line across the chart; "loaves" is marked in the strip; else "", and
    unit : what follows the number, such as "minutes"
    low, high, start, step, digits : of the slider, in the kit's units
    also : result -> dict of texts for `why`, or None
    """

    name: str
    question: str
    why: str
    scene: Scene
    settings: object
    answer: Callable
    when: Callable | None = None
    of: str = "temp"
    unit: str = ""
    low: float = 100
    high: float = 400
    start: float = 250
    step: float = 1
    digits: int = 0
    other: object | None = None
    other_name: str = ""
    also: Callable | None = None

    def say(self, value, scale=METRIC):
        """A number of this kind in words."""
        if self.of == "hour":
            return clock(value, LIT_AT)
        return f"{scale.say(value, self.of, self.digits)} {self.unit}".strip()


def key_line(guess, result):
    """Return the question's name and its answer as one line of text."""
    return f"{guess.name}: {guess.say(guess.answer(result))}"


def _full(guess, result, other, scale):
    picture = guess.scene.picture(guess.settings, result, other, scale)
    return replace(picture, kept_name=guess.other_name) if guess.other_name else picture


def covered(guess, result, other=None, scale=METRIC):
    """Return the picture before the guess is made: axes and names, and what it is held against."""
    return replace(_full(guess, result, other, scale), covered=True, lines=(),
                   alt=f"Chart for the question: {guess.name}. What happens is drawn in after your "
                       "guess.",
                   key="Say a number, or skip: the rest comes after that.")


def revealed(guess, result, said=None, other=None, scale=METRIC):
    """Return the picture with the answer, and what was said marked on it, if anything was.

    said : number in the kit's units, or None; InputError beyond the guess's limits
    """
    full, answer = _full(guess, result, other, scale), guess.answer(result)
    also = guess.also(result) if guess.also else {}
    why = scale.words(guess.why.format(answer=guess.say(answer, scale), **also))
    if said is None:
        return replace(full, key=why, alt=f"{why} {full.alt}")
    said = number(said, "your guess", guess.low, guess.high)
    words = guess.say(said, scale)
    return replace(full, guess=mark(guess, result, said, f"your guess {words}"),
                   key=f"You said {words}. {why}",
                   alt=f"Your guess of {words} is marked. {why} {full.alt}")


def mark(guess, result, said, words):
    """Return the Mark of what was said: on the curves, in the strip, or across the chart."""
    if guess.of == "hour":
        return Mark(words, said)
    if guess.when is None:
        return Mark(words, None, said)
    return Mark(words, guess.when(result), said, strip=guess.of == "loaves")
