"""Guesses and questions about a planned day. No widgets here."""

from ovenkit.inverse import usual_fire, warm_start_saves
from ovenkit.panels.guesses import Guess
from ovenkit.panels.planning import SCENE, VIEWS, PlanDay, first_of
from ovenkit.plan import plan_day
from ovenkit.questions import Question

TWO_BATCHES = PlanDay(loaves=12, tins=0, roots=0)
GUESSES = (
    Guess("when the loaves go in",
          "The fire is lit at 06:30, 11 kg of wood; six hearth loaves, four tin loaves and two "
          "trays of roots are wanted. At what time do the hearth loaves go in?",
          "At {answer}: raked out the oven is too hot for them, and they wait until it feels like "
          "their band. Doughs are made to be ready then, and not when the fire is out.",
          SCENE, PlanDay(), first_of("hearth loaf"), first_of("hearth loaf"), of="hour", low=7,
          high=16, start=9, step=0.25),
    Guess("the second dozen",
          "Twelve hearth loaves are wanted, and the hearth holds seven: two batches of six. How "
          "hot is the hearth as the second batch goes in?",
          "It finds {answer}. The first batch has cooled what lies on top; the planner lets the "
          "depth bring the hearth back before the second, if there is enough of it.",
          SCENE, TWO_BATCHES, lambda result: float(result.plan.order["hearth_c"].iloc[1]),
          lambda result: float(result.plan.order["set_h"].iloc[1]), low=150, high=300, start=240),
    Guess("thirty degrees low",
          "The loaves are out, and the hearth reads [30 rise] less than the plan says (dashed). "
          "When do the trays of roots go in now?",
          "At {answer}. An oven that runs low is not waited for: what comes next goes in sooner "
          "and stays longer, or another load goes first.",
          SCENE, PlanDay(view=VIEWS[1], off_c=-30), first_of("tray of roots"),
          first_of("tray of roots"), of="hour", low=7, high=18, start=12, step=0.25),
)


def _first(oven):
    """The load that goes first of three, by the planner."""
    menu = {"tray of roots": 1, "hearth loaf 400 g": 3, "sponge cake": 2}
    fire = usual_fire(oven, round(44 * oven.hearth_area_m2) / 2)
    return plan_day(oven, menu, fire=fire).order["load"].iloc[0]


QUESTIONS = (
    Question("first of three",
             "One firing, three loads: a tray of roots, three small hearth loaves, two sponge "
             "cakes. Which does the planner put in first?",
             _first, choices=("tray of roots", "hearth loaf 400 g", "sponge cake"),
             hint="Heat only goes down: which of them can least wait?",
             why="What wants the hottest hearth goes in while there is one."),
    Question("a warm start",
             "The oven is still at [100 temp] all through from yesterday. How much wood does that "
             "save, for a settled hearth of [260 temp]?",
             lambda oven: warm_start_saves(oven, 260, 100).wood_kg, of="mass", low=0, high=15,
             start=1, step=0.5, digits=1, right_by=0.75, near_by=2,
             hint="It is less than the heat that is still in the brick would suggest twice over; "
                  "think of a fifth of the wood or so.",
             why="Bake two days running, and the second is the cheaper one."),
)
