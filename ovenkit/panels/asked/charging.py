"""Guesses and questions about the fire. No widgets here."""

from ovenkit.burning import wet_basis_pct
from ovenkit.panels.charging import (
    CHARGED,
    FIRST_MIN,
    LAST_MIN,
    SCENE,
    SKIN_HOT,
    Charge,
    hearth_after,
    lost_of_100,
    out_h,
)
from ovenkit.panels.guesses import Guess
from ovenkit.questions import Question
from ovenkit.simulate import run_day
from ovenkit.steps import Fire, Wait

QUICK_FIRE = Charge(wood_kg=5.5, fire_hours=0.5, spread_minutes=0, loaves=4)
LONG_FIRE = Charge(wood_kg=10, fire_hours=2.5, loaves=4)
LIT_LATER_H = LONG_FIRE.fire_hours - QUICK_FIRE.fire_hours
GUESSES = (
    Guess("clear dome",
          "The class oven is lit at 06:30. At seven the back of its dome has burnt clear, at "
          "about [400 temp] (its front is still cooler; the chart draws the middle of the two). "
          "How hot is the brick of the hearth then, an inch (25 mm) under its skin?",
          "{answer}: half an hour of flame is a hot skin and cold bricks. A clear dome says that "
          "the fire burns well. It says nothing of depth.",
          SCENE, Charge(), lambda result: result.at("hearth_deep_c", 0.5), lambda result: 0.5,
          low=20, high=400, start=200),
    Guess("hot or charged",
          "Two fires in the same oven, raked out at the same moment with the same [279 temp] on "
          "the hearth: one had burnt for two and a half hours (its hearth is the dashed curve), "
          "the other for half an hour. Four loaves go into each. What does the hearth of the "
          "half-hour fire read beside the loaves as they come out?",
          "{answer}, and the loaves are {verdict}: the skin gave what it had, and nothing came up "
          "from below. The long fire's hearth stayed above [200 temp], and its loaves are good. "
          "Same reading, not the same oven.",
          SCENE, QUICK_FIRE, hearth_after, lambda result: out_h(result) + LIT_LATER_H, low=50,
          high=350, start=200, other=LONG_FIRE, other_name="long fire",
          also=lambda result: {"verdict": result.run.baked[0].verdict}),
    Guess("wet wood",
          "The same [13 mass] of wood, but freshly cut: 40 of every 100 parts of its weight are "
          "water (the dashed curve is the hearth with dry wood). How hot is the hearth at raking "
          "out?",
          "{answer}. Of what was carried to the oven two parts in five are water, and what burns "
          "must first boil it away. A real wet fire is worse: it smokes, and smoke is wood that "
          "was not burnt.",
          SCENE, Charge(moisture_pct=40), lambda result: result.at("hearth_bake_c", 2.0),
          lambda result: 2.0, high=450, start=350, other=Charge(), other_name="dry wood"),
)

CLASS_KG_M2, QUICK_KG_M2 = 26.0, 7.0    # wood per hearth in two and a half hours, in half an hour
READ_C = 300, 210


def shut_in_of(oven, kg_m2, hours, spread_minutes):
    """Hearth of an Oven at 10 and at 40 minutes of the shut-in test [degC].

    kg_m2 : wood per m2 of hearth [kg/m2]; hours, spread_minutes : of the fire
    """
    fire = Fire(hours=hours, wood_kg=kg_m2 * oven.hearth_area_m2, spread_minutes=spread_minutes)
    day = run_day(oven, [fire, Wait(hours=1)])
    return tuple(day.at("hearth_bake_c", hours + minutes / 60)
                 for minutes in (FIRST_MIN, LAST_MIN))


def _fall(oven):
    first, last = shut_in_of(oven, CLASS_KG_M2, 2.5, 30)
    return first - last


def _what_it_says(oven):
    """Which of a long and a quick fire of this Oven loses more nearly what READ_C lost."""
    read, long, quick = (lost_of_100(*pair) for pair in (
        READ_C, shut_in_of(oven, CLASS_KG_M2, 2.5, 30), shut_in_of(oven, QUICK_KG_M2, 0.5, 0)))
    return CHARGED if abs(read - long) < abs(read - quick) else SKIN_HOT


QUESTIONS = (
    Question("pin meter",
             "The pin meter shows 25 on a split of your wood. How much of what you weigh is water?",
             lambda oven: float(wet_basis_pct(25)), of="", unit="%", high=60, start=25,
             right_by=1, near_by=3,
             hint="Pin meters count the water against the dry wood: 25 parts of water to 100 of "
                  "wood. How many parts is that in all?",
             why="25 parts of water to 100 of dry wood make 125 to weigh, and 25 in 125 is one in "
                 "five. 20 on the meter is 16.7 by weight."),
    Question("shut-in fall",
             "The oven is fired for two and a half hours ([13 mass] of wood on a hearth of [80 "
             "length]; so much for each bit of floor: [7.5 mass] on one of [60 length]), raked "
             "out and shut. How many degrees does its hearth lose between the tenth and the "
             "fortieth minute?",
             _fall, of="rise", high=150, start=60, right_by=6, near_by=15,
             hint="After so long a fire the brick behind is nearly as hot as the skin, and takes "
                  "little more. After such a fire a thin oven loses some 3 to 5 of every hundred "
                  "degrees it read at minute 10; a thick one 10 or more.",
             why="Write this number on the oven's card: much more than that, on another day, means "
                 "that the heat had not gone deep."),
    Question("300 then 210",
             "A class rakes out and shuts. Ten minutes later the hearth reads [300 temp], at forty "
             "minutes [210 temp]. What is the oven?",
             _what_it_says, choices=(CHARGED, SKIN_HOT),
             hint="It lost nearly a third of what it read. Where did that heat go?",
             why="In this oven a fire of half an hour loses nearly that share, and one of two and "
                 "a half hours far less. Light it again, longer."),
)
