"""Guesses and questions about the rest. No widgets here."""

from ovenkit.panels.guesses import Guess
from ovenkit.panels.settling import (
    BACK,
    HEARTH,
    LEAST_H,
    LONG_FIRE,
    QUICK_FIRE,
    SCENE,
    Rest,
    Rested,
    apart,
    at,
    lost_pct,
    shut_in,
)
from ovenkit.questions import Question
from ovenkit.simulate import run_day
from ovenkit.steps import Fire, Settle

END_MIN = 240       # of the second guess


def _later(minutes):
    return lambda rested: rested.shut_h + minutes / 60


def _over(rested, minutes):
    return at(rested, BACK, minutes) - at(rested, HEARTH, minutes)


GUESSES = (
    Guess("forty minutes shut",
          "The embers are out. The door shuts at 08:30, and the hearth reads [377 temp]. Nobody "
          "opens it. What does the hearth read 40 minutes later?",
          "It reads {answer}, and yet only {lost} % of the oven's heat is gone. What the skin lost "
          "has sunk into the brick behind it: the outer face of the hearth rose from {before} to "
          "{after}.",
          SCENE, Rest(), lambda rested: at(rested, HEARTH, 40), _later(40), low=200, start=377,
          also=lambda rested: {
              "lost": f"{lost_pct(rested, 40):.1f}",
              "before": f"[{at(rested, 'hearth_outer_c', 0):.0f} temp]",
              "after": f"[{at(rested, 'hearth_outer_c', 40):.0f} temp]"}),
    Guess("four hours, a worn door",
          "The door has worn: a crack of 4 mm all round, where it had 1 (the dashed hearth is that "
          "of the good door). After four hours shut the hearth reads [246 temp]. What does the "
          "back of the dome read at that moment?",
          "{answer}: still {apart} over the hearth, after four hours in which nobody touched it. "
          "Settling makes places more alike, not alike, and a leaking door helps to keep them "
          "apart.",
          SCENE, Rest(door_crack_mm=4, settle_hours=4), lambda rested: at(rested, BACK, END_MIN),
          _later(END_MIN), low=150, high=350, start=246, other=Rest(settle_hours=4),
          other_name="good door",
          also=lambda rested: {"apart": f"[{_over(rested, END_MIN):.0f} rise]"}),
    Guess("quick fire, long fire",
          "Two fires. Ten minutes after raking out one hearth reads [246 temp], after four hours "
          "on [11 mass] of wood (dashed), the other [242 temp], after 45 minutes on [7 mass]: "
          "both are good for bread. What does the other read at 40 minutes?",
          "{answer}, and the long fire's hearth [232 temp]. Behind the quick fire's skin the brick "
          "is cold, and drinks. So read twice: minute 10 says how hot, the fall to minute 40 says "
          "how deep.",
          SCENE, QUICK_FIRE, lambda rested: at(rested, HEARTH, 40), _later(40), start=250,
          other=LONG_FIRE, other_name="long fire"),
)


def fired(oven, hours, spread_minutes=30):
    """The Rested of any Oven after so many hours [h] of a fire that suits its mass and its mouth.

    spread_minutes : of the embers [min]
    The wood is 13 kg for 320 kg of masonry, or less where the mouth, of area A and height H,
    gives no air for it: 300 A sqrt(H) kg.
    """
    wood_kg = max(0.5, min(13 / 320 * oven.masonry_kg,
                           300 * oven.mouth_area_m2 * oven.mouth_h_m**0.5))
    fire = Fire(hours=hours, wood_kg=wood_kg, spread_minutes=spread_minutes)
    return Rested(run_day(oven, [fire, Settle(hours=LEAST_H)]), hours)


LOST = {2: "less than 2 in a hundred", 7: "about 5 in a hundred", 17: "about 10 in a hundred",
        100: "25 in a hundred or more"}
NEARER, FURTHER, SAME = ("hearth and dome start nearer together",
                         "hearth and dome start further apart", "it makes no difference")


def _gone(oven):
    lost = lost_pct(fired(oven, 2), 20)
    return next(words for most, words in LOST.items() if lost < most)


def _spread(oven):
    none, long = (at(rested, apart(rested), 0)
                  for rested in (fired(oven, 2, 0), fired(oven, 2, 60)))
    return SAME if abs(none - long) < 3 else NEARER if long < none else FURTHER


QUESTIONS = (
    Question("gone in twenty minutes",
             "Two hours of fire, raked out, shut. In the next 20 minutes, how much of all the heat "
             "in this oven leaves it?",
             _gone, choices=tuple(LOST.values()),
             hint="The skin's heat mostly goes into the brick behind, and that is still the oven.",
             why="What the thermometer loses, the oven mostly keeps."),
    Question("60 minutes of spreading",
             "The same fire, but its embers lie spread over the whole hearth for the last hour, or "
             "are not spread at all. What does the long spread do?",
             _spread, choices=(NEARER, FURTHER, SAME),
             hint="Try it in the panel, under More: the line that begins with Places tells.",
             why="Part of the settling is done while the embers still lie there."),
    Question("three hours of fire",
             "Three hours of fire, raked out, shut. At minute 10 the hearth reads [300 temp]. If "
             "the fire went as it should, how many degrees lower is it at minute 40?",
             lambda oven: 3 * shut_in(fired(oven, 3), HEARTH),
             of="rise", low=-20, high=120, start=0, right_by=5, near_by=12,
             hint="In the class oven two hours of fire lose 13 of every hundred degrees, four "
                  "hours 6.",
             why="Write it on the oven's card: a day that falls much further was not charged."),
)
