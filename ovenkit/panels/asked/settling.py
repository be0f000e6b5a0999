"""Guesses and questions about the rest. No widgets here."""

from ovenkit.panels.guesses import Guess
from ovenkit.panels.settling import (
    BACK,
    HEARTH,
    LEAST_H,
    NEAR_K,
    SCENE,
    Rest,
    Rested,
    apart,
    at,
    lost_pct,
    settled_min,
)
from ovenkit.questions import Question
from ovenkit.simulate import run_day
from ovenkit.steps import Fire, Settle

END_MIN = 240       # of the second guess
HEAVY = Rest(masonry_kg=600)


def _later(minutes):
    return lambda rested: rested.shut_h + minutes / 60


def _over(rested, minutes):
    return at(rested, BACK, minutes) - at(rested, HEARTH, minutes)


GUESSES = (
    Guess("forty minutes shut",
          "A heavy oven, [600 mass] of brick. The embers are out. The door shuts at 08:30, and the "
          "hearth reads [368 temp]. Nobody opens it. What does the hearth read 40 minutes later?",
          "It reads {answer}, and yet only {lost} % of the oven's heat is gone. What the skin lost "
          "has sunk into the brick behind it: the outer face of the hearth rose from {before} to "
          "{after}.",
          SCENE, HEAVY, lambda rested: at(rested, HEARTH, 40), _later(40), low=200, start=368,
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
    Guess("ten hours shut",
          "The class oven is shut at 08:30 with the hearth at [377 temp], and by 09:10 it has lost "
          "73 of those degrees. Nobody touches it all day. What does the hearth read at 18:30, ten "
          "hours after it was shut?",
          "{answer}: what looked like a fast loss in the morning was the skin and the depth "
          "sharing. In all ten hours the oven has lost {lost} of every hundred parts of its heat, "
          "and bread could still go in.",
          SCENE, Rest(settle_hours=10), lambda rested: at(rested, HEARTH, 600), _later(600), low=50,
          start=200, also=lambda rested: {"lost": f"{lost_pct(rested, 600):.0f}"}),
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


def _near_depth(oven):
    """Minutes until skin and depth of the hearth count as one; those of the rest, if never."""
    rested = fired(oven, 2)
    over = rested.day.table[HEARTH] - rested.day.table["hearth_deep_c"]
    minutes = settled_min(rested, over, NEAR_K)
    return 60 * LEAST_H if minutes is None else minutes


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
    Question("near its depth",
             "Two hours of fire, raked out, shut. After how many minutes is the hearth's skin "
             "within [15 rise] of the brick an inch under it?",
             _near_depth,
             of="", unit="minutes", low=0, high=90, start=10, right_by=5, near_by=12,
             hint="In the class oven, of 95 mm of brick, it takes about 40 minutes. Thinner brick "
                  "has less depth to fill.",
             why="Sooner, and you bake on a skin that is still sinking."),
)
