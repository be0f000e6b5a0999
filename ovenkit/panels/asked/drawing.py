"""Guesses and questions about the order of loads. No widgets here."""

from ovenkit.panels.drawing import MENU, SCENE, DrawDown, Turn, change, move
from ovenkit.panels.guesses import Guess
from ovenkit.questions import Question
from ovenkit.simulate import run_day, run_days
from ovenkit.steps import Bake, Settle, Wait


def bake_of(day, load):
    """The Baked of a load in a Run."""
    return next(row for row in day.baked if row.load == load)


ALONE = (Turn("hearth loaf", 1, 35, cool_minutes=15),)
GUESSES = (
    Guess("flatbread late",
          "The flatbread wants a hearth of [280 temp] or more. Somebody puts it in fourth, after "
          "the loaves and the cake. How hot is the hearth then?",
          "The hearth has fallen to {answer} by then, and nothing but a new fire brings it back: "
          "the load that wants the hottest hearth goes first.",
          SCENE, DrawDown(turns=move(MENU, "flatbread", 4)),
          lambda day: bake_of(day, "flatbread").hearth_in_c,
          lambda day: bake_of(day, "flatbread").in_h),
    Guess("one or seven",
          "One loaf goes in alone, into an oven so hot that 35 minutes are too long for it (its "
          "hearth is the dashed curve). Now seven go in at the same moment. What does the oven "
          "feel like as they come out?",
          "Seven cold loaves pull the whole oven down, and it feels like {answer} as they come "
          "out. One loaf pulls down only the spot it lies on: alone it burns, in company it "
          "is only dark.",
          SCENE, DrawDown(turns=change(ALONE, "hearth loaf", count=7)),
          lambda day: day.at("feels_c", day.baked[0].out_h),
          lambda day: day.baked[0].out_h, start=320, other=DrawDown(turns=ALONE),
          other_name="one loaf"),
    Guess("twice the bricks",
          "Same fire, same size inside, but twice the bricks: [640 mass] (the dashed curve is the "
          "hearth of the oven with [320 mass]). How hot is the hearth as the sponge cake goes in?",
          "The skins start nearly alike, but in the heavy oven the heat goes on into the cold "
          "bricks behind them, and the cake finds a hearth of {answer}. On the same wood a "
          "heavy oven is not hotter, it is half charged. Give it twice the wood and twice the "
          "time, and it lasts longer.",
          SCENE, DrawDown(masonry_kg=640),
          lambda day: bake_of(day, "sponge cake").hearth_in_c,
          lambda day: bake_of(day, "sponge cake").in_h, low=50,
          other=DrawDown(), other_name="lighter"),
)


def _soaked(oven, steps, start_c):
    """Run of an oven soaked through to a temperature, ten minutes shut before the steps."""
    return run_day(oven, [Settle(minutes=10), *steps], start=start_c)


def _pull(oven):
    """Hearth beside three loaves as they come out, below that of the same oven left shut [K]."""
    rest = Settle(minutes=60)
    baked, twin = run_days([(oven, [rest, Bake("hearth loaf", 3, minutes=30)]),
                            (oven, [rest, Wait(minutes=45)])], start=265)
    out_h = baked.baked[0].out_h
    return twin.at("hearth_bake_c", out_h) - baked.at("hearth_bake_c", out_h)


def _first_good(oven):
    """The load that comes out good of an oven soaked to 340, of three that might go first."""
    loads = {"flatbread": Bake("flatbread", 2, minutes=5),
             "sponge cake": Bake("sponge cake", 1, minutes=26),
             "bean pot": Bake("bean pot", 1, minutes=480)}
    return next(name for name, bake in loads.items()
                if _soaked(oven, [bake], 340).baked[0].verdict == "good")


QUESTIONS = (
    Question("first at 340",
             "The hearth reads [340 temp], and the bricks are hot through. Which of these goes in "
             "first?",
             _first_good, choices=("flatbread", "sponge cake", "bean pot"),
             hint="One of the three wants more heat than all the others, and can only lose by "
                  "waiting.",
             why="It wants the hottest hearth of the three, and the oven passes there only once. "
                 "The cake would be black on top, and a pot boils dry."),
    Question("three loaves pull",
             "The oven is hot through, its hearth reads about [260 temp], and three hearth loaves "
             "go in. How many degrees lower is the hearth beside them after half an hour than if "
             "the oven had stayed shut and empty?",
             _pull, of="rise", low=0, high=60, step=1, start=30, right_by=2, near_by=5,
             hint="One loaf takes what 4 kg of brick give when they fall by 100 degrees. Spread "
                  "three loaves over all the brick; the skin, where you read, falls "
                  "two to three times as far as the rest.",
             why="The skin gives first, and the depth makes good: an hour later less of it is "
                 "left."),
    Question("loaves at 300",
             "An oven is hot through and its hearth reads about [300 temp]. How many hearth "
             "loaves are left in it, above the [230 temp] that the last of them needs?",
             lambda oven: _soaked(oven, [], 305).loaves_left(1 / 6, above_c=230),
             of="", unit="loaves", low=0, high=200, step=1, start=10, right=0.2, near=0.5,
             hint="Kilograms of brick, times the share of 100 degrees it may fall, divided by 4; "
                  "and the deep bricks are cooler than the skin.",
             why="Not all at once, though: the heat has to come up through the brick first."),
)
