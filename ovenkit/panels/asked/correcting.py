"""A guess about a day that is planned again. No widgets here."""

from ovenkit.panels.correcting import SCENE, Surprise, goes_in
from ovenkit.panels.guesses import Guess

NEXT = "tin loaf"


def hearth_c(result):
    """Hearth as the tin loaves go in now [degC]."""
    order = result.new.order
    return float(order.loc[order["load"] == NEXT, "hearth_c"].iloc[0])


GUESSES = (
    Guess("low at noon",
          "Noon: six loaves are just out, and the oven runs low (dashed is the plan). Beside them "
          "it reads [180 temp]; where they lay, the hearth is down to [151 temp]. No fire, no "
          "wood: the door is shut for 35 minutes, with nothing in. What is the hearth then, where "
          "the loaves lay and the tin loaves go in?",
          "It is {answer}: shut, the skin is warmed again out of the depth. An oven that runs low "
          "is kept shut, and given time: no wait longer than it must be, and every load stays in "
          "until it is done, not until the clock says so.",
          SCENE, Surprise(off_c=-40), hearth_c, goes_in(NEXT), low=120, high=280, start=160),
)
QUESTIONS = ()
