"""Loads on cards, in an order of your own or the planner's: from settings to a day. No widgets.

What is not timed stays in until it is done, as a planned load does. The clock is set by the first
load; all else is counted back.
"""

from dataclasses import dataclass, replace
from functools import lru_cache

import pandas as pd

from ovenkit.files import choose, clock_hours, number, refuse
from ovenkit.inverse import usual_fire
from ovenkit.oven import domed_oven
from ovenkit.plan import Plan, plan_day
from ovenkit.plan.firing import SETTLE_MIN
from ovenkit.plan.order import order_table
from ovenkit.plan.remarks import FINGERS
from ovenkit.plan.tries import pause, taken_out
from ovenkit.plan.wants import Want, batches
from ovenkit.run import Run
from ovenkit.simulate import run_day
from ovenkit.steps import Bake, Settle
from ovenkit.units import clock

MINE, PLANNERS, WOOD_TOO = WHOSE = ("mine", "the planner's", "the planner's, wood too")
DOORS = {word: gap for gap, word in FINGERS.items()}
LOADS = {"flatbreads": "flatbread", "loaves": "hearth loaf", "tins": "tin loaf",
         "roots": "tray of roots", "buns": "enriched bun", "cakes": "fruit cake"}
MOST_WAIT_MIN = 600


@dataclass(frozen=True)
class Card:
    """A load as it stands in the order: its name, minutes that the oven waits before it with
    nothing in [min], and how the door stands meanwhile, a word of DOORS."""

    load: str
    wait_min: float = 0
    door: str = "two fingers"


BOARD = tuple(map(Card, ("tray of roots", "enriched bun", "hearth loaf", "tin loaf")))
# as it stands on the order board (invented)


@dataclass(frozen=True)
class PlanDay:
    """What the panel can set.

    flatbreads, loaves, tins, roots, buns, cakes : pieces of the LOADS that are wanted
    wood_kg : of a fire fed at an easy pace [kg]; first_load : "HH:MM", when the first one goes in
    cards : tuple of Card, in order; what is wanted and has none comes last
    whose : of WHOSE, whose order it is: by the planner's, cards and perhaps wood are chosen anew
    masonry_kg [kg], inside_cm [cm], outdoor_c [degC]
    """

    flatbreads: int = 0
    loaves: int = 6
    tins: int = 4
    roots: int = 1
    buns: int = 12
    cakes: int = 0
    wood_kg: float = 13
    first_load: str = "11:30"
    cards: tuple = BOARD
    whose: str = MINE
    masonry_kg: float = 320
    inside_cm: float = 80
    outdoor_c: float = 12

    def __post_init__(self):
        choose(self.whose, WHOSE, "way to find an order")
        clock_hours(self.first_load, "first_load")
        for key in LOADS:
            number(getattr(self, key), key, 0, 60, "pieces")
        for card in self.cards:
            choose(card.load, LOADS.values(), "load")
            choose(card.door, DOORS, "way of leaving the door", card.load)
            number(card.wait_min, "wait before a load", 0, MOST_WAIT_MIN, "minutes", card.load)


@dataclass(frozen=True, eq=False)
class Day:
    """A day in some order.

    settings : its own, cards and wood as they were done; run : its Run; order : as `Plan.order`
    plan : the Plan if the order is the planner's, and other : the Plan with its second load first,
    if there is one to compare
    """

    settings: PlanDay
    run: Run
    order: pd.DataFrame
    plan: Plan | None = None
    other: Plan | None = None

    @property
    def lit_at(self):
        """When the fire is lit, "HH:MM"."""
        return clock(24 - self.order["set_h"].iloc[0], self.settings.first_load)


def oven(settings):
    """Return the Oven of the settings."""
    return domed_oven(settings.inside_cm, settings.masonry_kg, name="oven on the page")


def fire(settings):
    """Return the steps of the fire: burnt, raked out, shut for the first rest."""
    return (usual_fire(oven(settings), settings.wood_kg, outdoor_c=settings.outdoor_c),
            Settle(minutes=SETTLE_MIN))


def wanted(settings):
    """Return a tuple of Want, one for each load that has a number."""
    counts = {load: int(getattr(settings, key)) for key, load in LOADS.items()}
    wants = tuple(Want(load, count) for load, count in counts.items() if count)
    return wants or refuse("nothing is wanted: give at least one of the loads a number")


def dealt(settings):
    """Return the (Card, Batch) pairs of the day: a card for each batch, in their order."""
    todo, pairs = list(batches(oven(settings), wanted(settings), settings.first_load)), []
    for card in (*settings.cards, *(Card(batch.load.name) for batch in todo)):
        batch = next((batch for batch in todo if batch.load.name == card.load), None)
        if batch is not None:
            todo.remove(batch)
            pairs.append((card, batch))
    return pairs


def sooner(cards, place):
    """Return the cards with the one at a place, 1 for the first, one place sooner."""
    i = int(place) - 1
    return (*cards[:i - 1], cards[i], cards[i - 1], *cards[i + 1:]) if i else tuple(cards)


def change(cards, place, **fields):
    """Return the cards with some fields of the one at a place changed."""
    return tuple(replace(card, **fields) if i == place else card
                 for i, card in enumerate(cards, 1))


def run(settings, finer=1.0):
    """Return the Day of the settings; InputError where it cannot be done, or not safely.

    finer : as of `run_day`; of no account to the planner, who takes his time
    """
    return _by_hand(settings, finer) if settings.whose == MINE else _by_planner(settings)


def _by_hand(settings, finer):
    """The Day of the cards: each load stays in until it is done, as a planned one does."""
    pairs, where, steps = dealt(settings), oven(settings), fire(settings)
    state = _fired(where, steps, settings.outdoor_c, finer)
    for card, batch in pairs:
        before = (pause(card.wait_min, DOORS[card.door]),) if card.wait_min else ()
        bake = Bake(batch.load, batch.count, minutes=batch.stay or batch.load.max_minutes)
        if batch.stay is None:
            trial = run_day(where, (*before, bake), settings.outdoor_c, state, finer=finer)
            bake = replace(bake, minutes=taken_out(trial, len(before), bake))
        state = run_day(where, (*before, bake), settings.outdoor_c, state, finer=finer).state()
        steps += (*before, bake)
    day = run_day(where, steps, settings.outdoor_c, finer=finer)
    order = order_table(day, [batch for _, batch in pairs], 2)
    return Day(replace(settings, cards=tuple(card for card, _ in pairs)), day, order)


@lru_cache(maxsize=8)
def _fired(where, steps, outdoor_c, finer):
    """State of an oven that has been fired and shut, nothing baked yet."""
    return run_day(where, steps, outdoor_c, finer=finer).state()


@lru_cache(maxsize=16)
def planned(settings, goes_first=None):
    """Return the Plan of the settings, whatever their cards say.

    goes_first : name of the load that goes first whatever it costs, or None
    """
    return plan_day(oven(settings), wanted(settings), settings.first_load,
                    None if settings.whose == WOOD_TOO else fire(settings)[0],
                    settings.outdoor_c, goes_first=goes_first)


def _by_planner(settings):
    """The Day of the best order, with the Plan that has its second load first."""
    plan = planned(replace(settings, cards=()))
    order = plan.order
    cards = tuple(Card(row.load, row.wait_min, FINGERS[row.gap_mm] if row.wait_min else Card.door)
                  for row in order.itertuples())
    second = next((name for name in order["load"] if name != order["load"].iloc[0]), None)
    mine = replace(settings, cards=cards, wood_kg=plan.wood_kg, whose=MINE)
    other = second and planned(replace(mine, cards=()), second)
    return Day(mine, plan.run, order, plan, other)
