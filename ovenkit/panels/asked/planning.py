"""Guesses and questions about a planned day. No widgets here."""

from ovenkit.inverse import warm_start_saves
from ovenkit.panels.cards import PLANNERS, Card, PlanDay
from ovenkit.panels.guesses import Guess
from ovenkit.panels.planning import SCENE
from ovenkit.plan import plan_day
from ovenkit.questions import Question

ROOTS_FIRST = PlanDay(tins=0, buns=0, wood_kg=11,
                      cards=(Card("tray of roots", 40, "open"), Card("hearth loaf")))
TWO_BATCHES = PlanDay(loaves=12, tins=0, roots=0, buns=0, wood_kg=12, whose=PLANNERS)


def last_c(day):
    """Hearth as the last load goes in [degC]."""
    return float(day.order["hearth_c"].iloc[-1])


def last_h(day):
    """When the last load goes in [h]."""
    return float(day.order["set_h"].iloc[-1])


GUESSES = (
    Guess("roots first",
          "Somebody is hungry: the roots go in first. They want no more than [250 temp], so the "
          "door stands open for 40 minutes until the oven suits them. The loaves go in straight "
          "after the roots. They want a hearth of [230 temp]; what do they find?",
          "They find {answer}, and no waiting brings it back. Loaves first, and the roots half an "
          "hour after them: then both have what they want. A load that likes it hot cannot wait, "
          "one that likes it mild can.",
          SCENE, ROOTS_FIRST, last_c, last_h, low=120, high=300),
    Guess("the second dozen",
          "Twelve loaves are wanted and the hearth holds seven, so they go in six and six. The "
          "first six find a hearth of [239 temp]. The planner then lets the oven stand shut for "
          "35 minutes before the second six. What do those find?",
          "They find {answer}: shut, the skin comes up again out of the depth, but not to where "
          "it was. They stay in five minutes longer, and come out good, just outside their band.",
          SCENE, TWO_BATCHES, last_c, last_h, low=150, high=300, start=260),
)


def _before_h(oven):
    """Hours from lighting until three hearth loaves go in, on the fire that suits them best."""
    return float(plan_day(oven, {"hearth loaf": 3}).order["set_h"].iloc[0])


QUESTIONS = (
    Question("light it when",
             "Three hearth loaves, nothing else, as soon as may be. How many hours before they go "
             "in is the fire lit?",
             _before_h, of="", unit="hours", low=0.5, high=6, start=1, step=0.25, digits=2,
             right_by=0.3, near_by=0.75,
             hint="Count: the fire, the raking out and twenty minutes shut, and a wait if it is "
                  "too hot then.",
             why="Count back from the loaves, and add the time it takes you to find dry kindling."),
    Question("a warm start",
             "The oven is still at [100 temp] all through from yesterday. How much wood does that "
             "save, for a settled hearth of [260 temp], hot through?",
             lambda oven: warm_start_saves(oven, 260, 100).wood_kg, of="mass", low=0, high=15,
             start=0, step=0.5, digits=1, right_by=0.75, near_by=1.5,
             hint="Of the way from cold to [260 temp] it has gone about a third; but the last "
                  "third costs the most wood, so take less.",
             why="Bake two days running, and the second is the cheaper one."),
)
