"""The panel of a day's order: an oven, a fire, and the loads in the order they go in."""

import asyncio
import re
from contextlib import contextmanager
from dataclasses import replace

import ipywidgets as widgets

from ovenkit.files import InputError
from ovenkit.panels.controls import Quantity, button
from ovenkit.panels.place import HEIGHT, Still
from ovenkit.panels.settings import DOORS, change, move, picture, run

FIRST = (  # field of DrawDown, label, tip, lowest, highest, step
    ("masonry_kg", "Masonry, kg", "How heavy the bricks inside the insulation are", 120, 900, 10),
    ("inside_cm", "Oven inside, cm", "Inside diameter of the hearth", 74, 120, 1),
    ("wood_kg", "Wood, kg", "Wood on the fire, 18 % water", 4, 30, 0.5),
)
MORE = (
    ("fire_hours", "Fire, hours", "From lighting to raking out", 1, 5, 0.25),
    ("settle_minutes", "Settle, minutes", "Door shut after raking out", 5, 120, 5),
    ("outdoor_c", "Weather, °C", "Temperature outdoors", -15, 35, 1),
)
TURN = (  # field of Turn, label, tip, lowest, highest, width of label and of all
    ("count", "pieces", "Pieces that go in together", 1, 40, "150px", "208px"),
    ("minutes", "minutes", "Minutes it stays in", 1, 720, "162px", "226px"),
    ("cool_minutes", "cool, min", "Minutes with the door open and nothing in, before it goes in",
     0, 300, "166px", "230px"),
)
QUICK, REST_S = 0.5, 0.7    # time steps twice as long while a control moves; how long it rests [s]


class LoadingPanel(Still):
    """Bake a menu in any order and see the oven run down; controls left, picture right."""

    def __init__(self, settings):
        self.start = self.settings = settings
        self._quiet, self._later = False, None
        self.kept = None
        self.run = run(settings)
        super().__init__(picture(settings, self.run))
        self.fields = {name: self._quantity(name, *rest) for name, *rest in FIRST + MORE}
        self.places = {turn.load: self._place(turn.load) for turn in settings.turns}
        self.turn_fields = {turn.load: self._turn(turn) for turn in settings.turns}
        self.keep_button = button("Keep this curve", "Hold this day for comparison, dashed",
                                  self.keep)
        buttons = widgets.HBox([self.keep_button, button(
            "Reset", "Back to the settings at the start; drops a kept curve", self.reset)])
        head = widgets.HTML("<b>Order: 1 goes in first</b>", layout={"margin": "0"})
        controls = widgets.VBox(
            [*(self.fields[name] for name, *_ in FIRST), head, *self.places.values(), buttons],
            layout={"flex": "1 1 270px", "max_width": "520px", "min_height": f"{HEIGHT}px",
                    "overflow": "hidden"})
        more = widgets.Accordion([self._more()], titles=["More: fire, weather, each load"],
                                 selected_index=None)
        self.children = [
            widgets.HBox([controls, self.image], layout={"flex_flow": "row wrap"}),
            self.words, more, self.style_sheet]

    def keep(self):
        """Hold the day on the page as a dashed curve; a second press drops it."""
        if self.kept is None:
            self.kept = self.run
            self.keep_button.description = "Drop the kept curve"
        else:
            self.kept = None
            self.keep_button.description = "Keep this curve"
        self._draw()

    def reset(self):
        """Go back to the settings at the start."""
        self.kept = None
        self.keep_button.description = "Keep this curve"
        self.set(self.start)

    def set(self, settings):
        """Take settings, put every control in its place, and draw once."""
        self.settings = settings
        with self._silent():
            for name, field in self.fields.items():
                field.value = getattr(settings, name)
            for place, turn in enumerate(settings.turns, start=1):
                self.places[turn.load].value = place
                for name, field in self.turn_fields[turn.load].items():
                    field.value = getattr(turn, name)
        self._compute()

    @contextmanager
    def _silent(self):
        self._quiet = True
        try:
            yield
        finally:
            self._quiet = False

    def _compute(self):
        """Show a quick look while a control moves, and the full march once it rests."""
        if self._later is not None:
            self._later.cancel()
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:                # no front end to wait for
            self._look(1.0)
        else:
            if self._look(QUICK):
                self._later = loop.call_later(REST_S, self._look, 1.0)

    def _look(self, finer):
        """Compute and draw, or say what is wrong; whether there was a day to draw."""
        try:
            self.run = run(self.settings, finer)
        except InputError as error:
            self.refuse(re.sub(r"^step \d+: ", "", str(error)))  # the page has no steps
            return False
        self._draw()
        return True

    def _draw(self):
        self.show(picture(self.settings, self.run, self.kept))

    def _changed(self, **fields):
        if not self._quiet:
            self.settings = replace(self.settings, **fields)
            self._compute()

    def _quantity(self, name, label, tip, low, high, step):
        made = Quantity(label, tip, low, high, getattr(self.settings, name), step)
        made.watch(lambda value: self._changed(**{name: value}))
        return made

    def _place(self, load):
        turns = self.settings.turns
        place = 1 + [turn.load for turn in turns].index(load)
        made = Quantity(load, f"When the {load} goes in; the others close up", 1, len(turns), place)
        made.watch(lambda value: self._moved(load, value))
        return made

    def _moved(self, load, place):
        if self._quiet:
            return
        turns = move(self.settings.turns, load, place)
        with self._silent():
            for i, turn in enumerate(turns, start=1):
                self.places[turn.load].value = i
        self._changed(turns=turns)

    def _turn(self, turn):
        """Fields of one load under 'more'."""
        made = {name: widgets.BoundedIntText(
            getattr(turn, name), min=low, max=high, description=f"{turn.load}: {label}",
            tooltip=tip, style={"description_width": label_px}, layout={"width": wide_px})
            for name, label, tip, low, high, label_px, wide_px in TURN}
        made["door"] = widgets.Dropdown(
            options=DOORS, value=turn.door, description=f"{turn.load}: door",
            tooltip="Door while it is in; ajar is a gap of two fingers",
            style={"description_width": "132px"}, layout={"width": "208px"})
        for name, field in made.items():
            field.observe(lambda event, name=name: self._changed(turns=change(
                self.settings.turns, turn.load, **{name: event["new"]})), "value")
        return made

    def _more(self):
        rows = [self.fields[name] for name, *_ in MORE]
        for fields in self.turn_fields.values():
            rows.append(widgets.HBox(list(fields.values()), layout={"flex_flow": "row wrap"}))
        rows.append(widgets.HTML("Cool: minutes with the door open and nothing in, before the "
                                 "load goes in. Ajar: a gap of two fingers."))
        return widgets.VBox(rows)
