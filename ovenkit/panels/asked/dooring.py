"""Guesses and questions about the door. No widgets here."""

from ovenkit.panels.dooring import SCENE, Door, key_numbers, stand
from ovenkit.panels.guesses import Guess
from ovenkit.questions import Question

NOVICES = Door()
AJAR = Door(door="ajar", minutes=30, hearth_c=220)
WIDER = Door(door="ajar", minutes=30, gap_mm=70)
COOLED = Door(minutes=30)
PEEPS = Door(minutes=1, times=6, hearth_c=190)


def _half_open(stood):
    """Hour in the middle of the first opening."""
    return sum(stood.spans[0]) / 2


def _told(stood):
    """What the guesses tell besides their answers."""
    n = stood.numbers
    return {"left": f"[{n['hearth_left']:.0f} rise]", "lost": f"{n['lost']:.0f}"}


GUESSES = (
    Guess("eight minutes open",
          "The hearth reads [250 temp] and learners load one by one: the door stands open for "
          "eight minutes. The air falls to [82 temp], the hearth to [225 temp]. (Dashed: the "
          "hearth, had nobody opened.) What does the hearth read half an hour after the door is "
          "shut again?",
          "The hearth is back at {answer}, {left} below the oven left shut. What fell was the "
          "skin, and the heat behind it has come forward. What is gone for good is the heat of "
          "about {lost} loaves.",
          SCENE, NOVICES,
          lambda stood: stood.run.at("hearth_bake_c", stood.numbers["later_h"]),
          lambda stood: stood.since_h + stood.numbers["later_h"], start=200, also=_told),
    Guess("air and cake",
          "The hearth reads [220 temp], too hot for a cake, so the door is set ajar by a "
          "finger, 20 mm. The air comes down to [170 temp], a cake's oven. What even kitchen "
          "oven would a cake feel as it goes in?",
          "It feels like {answer}. The walls still shine at [216 temp], whatever the air does, and "
          "a cake takes most of its heat from them: its top browns while the air reads "
          "[170 temp].",
          SCENE, AJAR, lambda stood: stood.run.at("feels_c", _half_open(stood)),
          lambda stood: stood.since_h + _half_open(stood), start=150),
    Guess("cooled on purpose",
          "The oven feels like [249 temp] and a cake wants [180 temp] at most. The door is "
          "opened for half an hour, and as it is shut again it feels like [185 temp]. What will "
          "it feel like after another half hour?",
          "It is back at {answer}. Most of what came back was the air, within a minute or two; "
          "the rest is the skin, warmed again from the depth. The half hour cost the heat of "
          "{lost} loaves. Judge a cooled oven with its door shut, and not before 20 minutes are "
          "over.",
          SCENE, COOLED, lambda stood: stood.run.at("feels_c", stood.numbers["later_h"]),
          lambda stood: stood.since_h + stood.numbers["later_h"], start=180, also=_told),
)


def _cost(settings, soaked_c, numbers):
    """A question's answer: an Oven, soaked at soaked_c [degC] -> `numbers` of its key numbers."""
    return lambda oven: float(numbers(key_numbers(stand(settings, oven, soaked_c))))


QUESTIONS = (
    Question("loaves out of the door",
             "This oven is soaked with heat, [250 temp] all through. Novices load, and the door "
             "stands open for eight minutes. How many loaves' heat goes out?",
             _cost(NOVICES, 250.0, lambda n: n["lost"]), of="", unit="loaves", high=20, start=10,
             step=0.5, digits=1, right=0.30, near=0.80,
             hint="The class oven loses two loaves through a mouth [40 length] wide. A mouth twice "
                  "as large lets in about twice the cold air, and out twice the shine.",
             why="A wider mouth loses more; a heavier oven misses it less."),
    Question("hotter than the air",
             "This oven is soaked at [220 temp]; the door stands ajar by 70 mm, a hand's width, "
             "for half an hour. By how much is what a cake feels above what the air is at?",
             _cost(WIDER, 220.0, lambda n: n["feels_c"] - n["air_c"]), of="rise", high=120,
             right=0.20, near=0.50,
             hint="At one finger it was under 40 degrees. A wider gap lets out much more air, and "
                  "does little to the shine of the walls.",
             why="So believe the walls, not the thermometer in the air."),
    Question("six peeps",
             "This oven is soaked at [190 temp], and empty. Somebody opens the door for a minute "
             "every five minutes, six times in half an hour. By how much does the oven feel "
             "cooler, on average over that half hour?",
             _cost(PEEPS, 190.0, lambda n: n["twin_feels_c"] - n["feels_c"]), of="rise", high=80,
             right=0.25, near=0.60,
             hint="The air is back within minutes each time, and the walls hardly fall: it is less "
                  "than the fall you see, and more than nothing.",
             why="A cake would come out late and pale. A single peep of a minute costs about a "
                 "fifth of that."),
)
