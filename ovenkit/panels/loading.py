"""The panel of a day's order: beside oven and fire, the loads in the order they go in."""

import ipywidgets as widgets

from ovenkit.panels.board import Board
from ovenkit.panels.controls import Choice, Quantity
from ovenkit.panels.drawing import SCENE, change, move
from ovenkit.panels.scene import DOORS

TURN = (  # field of Turn, label, tip, lowest, highest, width of label and of all
    ("count", "pieces", "Pieces that go in together", 1, 40, "150px", "208px"),
    ("minutes", "minutes", "Minutes it stays in", 1, 720, "162px", "226px"),
    ("cool_minutes", "cool, min", "Minutes with the door open and nothing in, before it goes in",
     0, 300, "166px", "230px"),
)


class LoadingPanel(Board):
    """Bake a menu in any order and see the oven run down."""

    more_title = "More: fire, weather, each load"

    def __init__(self, settings):
        self.places = {turn.load: self._place(settings.turns, turn.load)
                       for turn in settings.turns}
        self.turn_fields = {turn.load: self._turn(turn) for turn in settings.turns}
        super().__init__(SCENE, settings)

    def first_extras(self):
        head = widgets.HTML("<b>Order: 1 goes in first</b>", layout={"margin": "0"})
        return [head, *self.places.values()]

    def more_extras(self):
        rows = [widgets.HBox(list(fields.values()), layout={"flex_flow": "row wrap"})
                for fields in self.turn_fields.values()]
        note = widgets.HTML("Cool: minutes with the door open and nothing in, before the "
                            "load goes in. Ajar: a gap of a finger, 20 mm.")
        return [*rows, note]

    def extras_show(self):
        for place, turn in enumerate(self.settings.turns, start=1):
            self.places[turn.load].value = place
            for name, field in self.turn_fields[turn.load].items():
                field.value = getattr(turn, name)

    def _place(self, turns, load):
        place = 1 + [turn.load for turn in turns].index(load)
        made = Quantity(load, f"When the {load} goes in; the others close up", 1, len(turns), place)
        made.watch(lambda value: self._moved(load, value))
        return made

    def _moved(self, load, place):
        if self._quiet:
            return
        turns = move(self.settings.turns, load, place)
        with self.silent():
            for i, turn in enumerate(turns, start=1):
                self.places[turn.load].value = i
        self.change(turns=turns)

    def _turn(self, turn):
        """Fields of one load under 'more'."""
        made = {name: widgets.BoundedIntText(
            getattr(turn, name), min=low, max=high, description=f"{turn.load}: {label}",
            tooltip=tip, style={"description_width": label_px}, layout={"width": wide_px})
            for name, label, tip, low, high, label_px, wide_px in TURN}
        made["door"] = Choice(f"{turn.load}: door", "Door while it is in; ajar is a gap of two "
                              "fingers", DOORS, turn.door)
        for name, field in made.items():
            field.observe(lambda event, name=name: self.change(turns=change(
                self.settings.turns, turn.load, **{name: event["new"]})), "value")
        return made
