"""Questions marked against the engine: the answer is worked out for the oven at hand."""

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from numbers import Real
from pathlib import Path

from ovenkit.files import choose, number, refuse
from ovenkit.oven import Oven
from ovenkit.ovenfile import read_oven
from ovenkit.units import METRIC


@dataclass(frozen=True)
class Question:
    """A question whose answer is a number, or one of a few choices.

    text : the question; in it, choices, hint and why "[230 temp]" is said in the scale
    answer : Oven -> number in the kit's units, or one of choices
    of : what is measured, see `units.Scale`, or "" and perhaps another unit, such as "minutes"
    low, high, start, step, digits : of the slider, in the kit's units; start None is low
    choices : texts to choose from, instead of a number
    right, near : how far off is still right, still near, as shares of the answer's size;
        right_by, near_by : the same in the kit's units, in place of the shares
    hint : sentence for who is wrong; why : sentence after the answer, may hold {answer}
    """

    name: str
    text: str
    answer: Callable
    of: str = "temp"
    unit: str = ""
    low: float = 0
    high: float = 100
    start: float | None = None
    step: float = 1
    digits: int = 0
    choices: tuple = ()
    right: float = 0.10
    near: float = 0.30
    right_by: float | None = None
    near_by: float | None = None
    hint: str = ""
    why: str = ""

    def __post_init__(self):
        given, start = self.choices, self.low if self.start is None else self.start
        plain = (self.low, self.high, self.start) == (0, 100, None)
        limits = self.low < self.high and self.low <= start <= self.high
        for sane, part in (
                ("{" not in self.why.format(answer=""), "braces in why"),
                (not given or plain and len(set(given)) == len(given) > 1, "choices or limits"),
                (limits and self.step > 0 and self.digits >= 0, "limits, step or digits"),
                (not self.of or METRIC.unit(self.of) and (given or not self.unit), "of or unit"),
                (0 <= self.right <= self.near, "right or near"),
                (0 <= (self.right_by or 0) <= (self.near_by or math.inf), "right_by, near_by")):
            assert sane, f"question {self.name!r}: {part}"

    def say(self, value, scale=METRIC, of=None):
        """An answer in words; of="rise" for a difference of temperatures."""
        if self.choices:
            return scale.words(value)
        return _one(f"{scale.say(value, of or self.of, self.digits)} {self.unit}".strip())


@dataclass(frozen=True)
class Marked:
    """A verdict "right", "near" or "wrong", and words for it.

    off : how far over the oven's answer, in the kit's units; None for a choice
    """

    verdict: str
    off: float | None
    words: str


def answer_for(question, oven):
    """Return the answer of an Oven, given itself or by name; InputError if it has none."""
    oven = read_oven(oven) if isinstance(oven, (str, Path)) else oven
    if not isinstance(oven, Oven):
        refuse(f"the oven is {oven!r}: give an Oven, or the name of an oven file such as 'rowan'")
    answer = question.answer(oven)
    if question.choices:
        return choose(answer, question.choices, f"answer to {question.name!r}", oven.name)
    if not isinstance(answer, Real) or not math.isfinite(answer):
        refuse(f"this oven has no answer to {question.name!r} ({answer})", oven.name)
    return float(answer)


def limits(question, answer):
    """Return lowest and highest number that can be said, by whole widths out to the answer."""
    low, high, wide = question.low, question.high, question.high - question.low
    return (low - wide * max(0, math.ceil((low - answer) / wide)),
            high + wide * max(0, math.ceil((answer - high) / wide)))


def told(question, oven, scale=METRIC):
    """Return the sentence that tells the oven's answer, and the one that says why."""
    return _tell("The", question, answer_for(question, oven), scale)


def mark(question, said, oven, scale=METRIC):
    """Return what `said` is worth, as Marked; the oven's answer is worked out at this moment.

    said : number in the kit's units, or one of the choices; oven : Oven, or name of its file
    Raises InputError for what is no number, beyond the limits, or none of the choices.
    """
    answer, hint = answer_for(question, oven), f" {scale.words(question.hint)}".rstrip()
    right = _tell("Right: the", question, answer, scale)
    if question.choices:
        if said is None:
            refuse("nothing is chosen yet: choose one of the answers")
        if choose(said, question.choices, "answer") == answer:
            return Marked("right", None, right)
        return Marked("wrong", None, f"Not yet: it is another one.{hint}")
    unit = question.unit or METRIC.unit(question.of)
    said = number(said, "your answer", *limits(question, answer), unit)
    off, side = said - answer, "over" if said > answer else "under"
    right_by, near_by = (abs(answer) * share if by is None else by for share, by in (
        (question.right, question.right_by), (question.near, question.near_by)))
    if abs(off) <= right_by or question.say(said, scale) == question.say(answer, scale):
        return Marked("right", off, right)
    kind = "rise" if question.of == "temp" else question.of
    if abs(off) <= near_by:
        more = f", you are {question.say(abs(off), scale, kind)} {side}"
        return Marked("near", off, _tell("Near: the", question, answer, scale, more))
    by = f"{_coarse(scale.to(abs(off), kind))} {question.unit or scale.unit(kind)}".strip()
    return Marked("wrong", off, f"Not yet: you are {_one(by)} or more {side}.{hint}")


def _tell(head, question, answer, scale, more=""):
    said = question.say(answer, scale)
    why = scale.words(question.why.format(answer=said))
    return f"{head} oven says {said}{more}. {why}".strip()


def _one(words):
    return re.sub(r"^(1 \w+)s\b", r"\1", re.sub(r"^1 loaves\b", "1 loaf", words))


def _coarse(size):
    """The 1, 2 or 5 of its power of ten that `size` is at least: it does not tell the answer."""
    power = 10.0 ** math.floor(math.log10(size))
    return f"{power * max(n for n in (1, 2, 5) if n * power <= size):g}"
