"""Panels that plan: cards in an order of one's own with a button for the planner's, and one that
plans again when its reading rests. Planning takes seconds: it goes on beside the page."""

import asyncio
from dataclasses import replace
from html import escape

import ipywidgets as widgets

from ovenkit.files import InputError
from ovenkit.panels.beside import beside
from ovenkit.panels.board import REST_S, Board
from ovenkit.panels.cards import DOORS, MOST_WAIT_MIN, PLANNERS, WOOD_TOO, change, sooner
from ovenkit.panels.controls import LABEL, MORE_PX, Choice, button
from ovenkit.panels.planning import SCENE

WAIT_STEP_MIN = 5
BUSY = "border: 2px solid #555; background: #f4f4f4; padding: 4px 8px; font-size: 15px;"


class BusyBoard(Board):
    """A panel whose answer may take seconds: it says so, and the page goes on meanwhile.

    What is asked last counts: an answer to something older is dropped.
    """

    def __init__(self, scene, settings):
        self.asked, self.busy = 0, False
        super().__init__(scene, settings)

    def compute(self):
        self.asked, self.busy = self.asked + 1, False
        super().compute()

    def keep(self):
        """Hold what is shown as a dashed curve; a second press drops it."""
        if not self.busy:
            super().keep()
        else:                   # what is on its way comes all the same
            self._hold(self.result if self.kept is None else None)
            self.redraw()

    def ask(self, settings, words, then):
        """Run settings beside the page, saying some words meanwhile; then(settings, result)."""
        self.asked += 1
        ticket = self.asked
        if self._later is not None:
            self._later.cancel()
        self._say(words)
        beside(lambda: self.scene.run(settings),
               lambda result: self._answer(ticket, settings, then, result))

    def _answer(self, ticket, settings, then, result):
        if ticket != self.asked:
            return
        self.settled, self.busy = True, False
        try:
            then(settings, result())
        except InputError as error:
            self.refuse(str(error))

    def _say(self, words):
        """Say that something is on its way, under the picture as it stands."""
        self.revision, self.settled, self.busy = self.revision + 1, False, True
        self.words.value = (
            f'<div class="ovk-words" data-revision="{self.revision}" data-settled="false">'
            f'<div role="status" style="{BUSY}">{escape(words)}</div></div>')


class RestingBoard(BusyBoard):
    """A panel that answers once its controls rest."""

    saying = "Planning the rest again ..."

    def compute(self):
        self.asked += 1
        if self._later is not None:
            self._later.cancel()
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            self._look(1.0)
        else:
            self._say(self.saying)
            self._later = loop.call_later(
                REST_S, lambda: self.ask(self.settings, self.saying, self._take))

    def _take(self, settings, result):
        self.ran, self.result, self.trouble = settings, result, ""
        self.redraw()


class Row(widgets.HBox):
    """A place in the order: what stands there, the minutes before it, and a step up."""

    def __init__(self, place, panel):
        self.place = place
        self.up = button("up", f"Put sooner: what stands at {place}",
                         lambda: panel.sooner(self.place))
        self.up.layout.width = "44px"
        self.up.layout.visibility = "hidden" if place == 1 else "visible"
        self.wait = widgets.BoundedIntText(
            0, min=0, max=MOST_WAIT_MIN, step=WAIT_STEP_MIN, style=LABEL,
            layout={"width": "212px"}, tooltip="Minutes the oven waits before it, nothing in")
        self.wait.observe(lambda event: panel.turn(self.place, wait_min=event["new"]), "value")
        self.door = Choice(f"Door before {place}", "How the door stands while the oven waits",
                           tuple(DOORS), "two fingers", MORE_PX)
        self.door.observe(lambda event: panel.turn(self.place, door=event["new"]), "value")
        super().__init__([self.up, self.wait], layout={"width": "100%"})

    def show(self, card):
        """Put the card that stands here on the row."""
        self.wait.description = f"{self.place} {card.load}, min"
        self.wait.style = {"description_width": "146px"}
        self.wait.value = int(card.wait_min)
        self.door.description = f"Door before {card.load}"
        self.door.value = card.door


class PlannerPanel(BusyBoard):
    """Put the loads in order by hand, or press 'Plan it'."""

    more_title = "More: how many of each, the door while the oven waits, oven, weather"

    def __init__(self, settings):
        self.rows, self.list, self.whose = [], widgets.VBox(), PLANNERS
        self.doors = widgets.VBox()
        super().__init__(SCENE, settings)
        self.start = self.settings = self.ran = self.result.settings

    def first_extras(self):
        head = widgets.HTML("<b>In order; wait before each</b>", layout={"margin": "0"})
        plans = widgets.HBox([
            button("Plan it", "Let the planner find order and waits, on your wood",
                   lambda: self.plan(PLANNERS)),
            button("Plan it, wood too", "Let the planner find the wood as well",
                   lambda: self.plan(WOOD_TOO))])
        return [head, self.list, plans]

    def more_extras(self):
        return [self.doors]

    def extras_show(self):
        cards = self.cards
        while len(self.rows) < len(cards):
            self.rows.append(Row(len(self.rows) + 1, self))
        with self.silent():
            for row, card in zip(self.rows, cards, strict=False):
                row.show(card)
        shown = self.rows[:len(cards)]
        if len(self.list.children) != len(shown):
            self.list.children, self.doors.children = shown, [row.door for row in shown]

    @property
    def cards(self):
        """The cards as they stand, one for each batch."""
        return self.result.settings.cards

    def plan(self, whose):
        """Let the planner find the order, and perhaps the wood, of what is wanted."""
        self.whose = whose
        words = "Planning: orders are tried on the oven. It takes some seconds ..."
        self.ask(replace(self.settings, whose=whose), words, self._planned)

    def compute(self):
        """Draw; or, with a plan on its way, plan what is wanted now."""
        if self.busy:
            self.plan(self.whose)
        else:
            super().compute()

    def reset(self):
        """Go back to the settings at the start; a plan on its way is dropped."""
        self.busy = False
        super().reset()

    def sooner(self, place):
        """Put the card at a place one place sooner; a plan on its way is dropped."""
        self.busy = False
        self.change(cards=sooner(self.cards, place))

    def turn(self, place, **fields):
        """Change the wait before a place, or the door meanwhile; a plan on its way is dropped."""
        self.busy = False
        self.change(cards=change(self.cards, place, **fields))

    def redraw(self):
        super().redraw()
        self.extras_show()

    def _planned(self, settings, day):
        self.settings, self.ran, self.result, self.trouble = day.settings, settings, day, ""
        with self.silent():
            for name, field in self.fields.items():
                field.value = getattr(self.settings, name)
        self.redraw()

