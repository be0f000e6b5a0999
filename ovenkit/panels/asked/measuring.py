"""Guesses and questions about the oven itself. No widgets here."""

from dataclasses import replace

from ovenkit.panels.guesses import Guess
from ovenkit.panels.measuring import FULL_C, NIGHT_H, SCENE, MyOven
from ovenkit.questions import Question
from ovenkit.simulate import run_day, run_days
from ovenkit.steps import Fire, Settle, Wait

WIDER, OUT = 1.25, 1.1          # a wider oven, a tape that is out, as shares (the kit's choice)
WOOD_SHARE = 0.04               # wood of a class fire, of the masonry's mass (the kit's choice)
TAPE = "the inside diameter", "the wall"
BIGGER = "your oven", "the wider one"

GUESSES = (
    Guess("how heavy",
          "This oven is [80 length] across inside. Its wall and its floor are brick, 95 mm "
          "(3 3/4 in) thick. How much do these bricks weigh together?",
          "They weigh {answer}, as much as four grown people. All of it has to be made hot, and "
          "all of it gives heat back: that is what you cook on.",
          SCENE, MyOven(), lambda store: store.oven.masonry_kg, of="mass", low=10, high=1000,
          start=100, step=10),
    Guess("twice the wall",
          "The same size inside, but wall and floor twice as thick: 190 mm (7 1/2 in). The oven "
          "before is dashed. How much do the bricks weigh now?",
          "They weigh {answer}: more than twice as much, for every layer of a dome is wider than "
          "the one inside it. A full charge holds {loaves} loaves, less than twice as many, "
          "because even soaked through there is a slope: heat always leaks outwards, and the "
          "outer bricks stay some [40 rise] cooler. And it takes the heat four times as long to "
          "get there.",
          SCENE, MyOven(wall_mm=190), lambda store: store.oven.masonry_kg, of="mass", low=200,
          high=2000, start=400, step=10, other=MyOven(), other_name="95 mm",
          also=lambda store: {"loaves": f"{store.loaves:.0f}"}),
    Guess("a full charge",
          "A small cast oven: [60 length] inside, its wall 50 mm (2 in). It is soaked through, "
          "[300 temp] on the skin. How many 800 g loaves could it bake before its bricks are "
          "below [230 temp], if nothing leaked away?",
          "It has heat for {answer}; the class oven has it for three times as many. Its hearth "
          "takes three or four at a time, and heat leaks away while they bake: a small light "
          "oven is for a short morning, and there is nothing wrong with that.",
          SCENE, MyOven(inside_cm=60, wall_mm=50, build="cast"), lambda store: store.loaves,
          when=lambda store: None, of="loaves", unit="loaves", low=0, high=100, start=40),
)


def _tape(oven):
    """Which error of the tape changes the mass of an Oven most."""
    shape = replace(oven, inside_m=OUT * oven.inside_m, rise_m=OUT * oven.rise_m,
                    mouth_w_m=OUT * oven.mouth_w_m, mouth_h_m=OUT * oven.mouth_h_m)
    wall = oven.with_walls(OUT * oven.dome_masonry_m, OUT * oven.hearth_masonry_m)
    return TAPE[0] if shape.masonry_kg > wall.masonry_kg else TAPE[1]


def _morning(oven):
    """Hearth of an Oven after a night shut up fully charged [degC]."""
    night = run_day(oven, [Wait(hours=NIGHT_H)], start=FULL_C)
    return float(night.table.hearth_bake_c.iloc[-1])


def _wider(oven):
    """Which hearth is hotter after the same fire: that of an Oven, or of one a quarter wider."""
    shape = replace(oven, inside_m=WIDER * oven.inside_m, rise_m=WIDER * oven.rise_m)
    day = [Fire(hours=2, wood_kg=WOOD_SHARE * oven.masonry_kg), Settle(minutes=20)]
    hearths = [day.table.hearth_bake_c.iloc[-1] for day in run_days([(oven, day), (shape, day)])]
    return BIGGER[0] if hearths[0] > hearths[1] else BIGGER[1]


QUESTIONS = (
    Question("a tape 10 % out", "Your tape is a tenth out. For which of the two does that "
             "spoil the mass of your oven more?", _tape, choices=TAPE,
             hint="Twice as wide is how much more to pave? Twice as thick is how much more?",
             why="Width counts twice, once along the floor and once across; thickness counts "
                 "once."),
    Question("an oven 25 % wider", "Beside your oven stands one a quarter wider inside, with walls "
             "as thick. Both burn the same wood for two hours, are raked out, and settle for 20 "
             "minutes. Which hearth is hotter?", _wider, choices=BIGGER,
             hint="The same heat goes into how many bricks?",
             why="The same wood is spread over more brick. A bigger oven is not a hotter one: it "
                 "bakes more at once, and it wants more wood."),
    Question("12 hours later", "Your oven is soaked through, with [300 temp] on its skin. You "
             "shut it with nothing in it and go to bed. What does its hearth read twelve hours "
             "later?", _morning, low=20, high=300, start=100, step=5, right_by=15, near_by=40,
             hint="Masonry with insulation round it and a shut door is slower than a kitchen "
                  "oven that is switched off, by far.",
             why="A well wrapped oven is still a warm oven the next day: for a pot, a tray of "
                 "fruit, or less wood."),
)
