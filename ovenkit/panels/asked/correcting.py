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
          "it reads [199 temp]; where they lay, the hearth is down to [173 temp]. No fire, no "
          "wood: the door is shut for 70 minutes, nothing in, until the dough of the tin loaves "
          "is proved. What does the hearth read then, as they go in?",
          "It reads {answer}: shut, the skin is warmed again out of the depth. An oven that runs "
          "low is shut first. Then what wants the most heat goes in before its turn, as soon as "
          "its dough allows, here the tin loaves; the roots and the buns can wait.",
          SCENE, Surprise(), hearth_c, goes_in(NEXT), low=120, high=280, start=160),
)
QUESTIONS = ()
