"""The panel of one guess: a number is said before the curve is shown, and stays on the chart."""

from html import escape

import ipywidgets as widgets

from ovenkit.panels.controls import Quantity, button
from ovenkit.panels.guesses import covered, key_line, revealed
from ovenkit.panels.place import Still
from ovenkit.panels.settings import run


class GuessPanel(Still):
    """A question, a slider for the guess, and the answer when it is asked for."""

    def __init__(self, guess):
        self.guess, self.run = guess, run(guess.day)
        self.other = run(guess.other) if guess.other else None
        super().__init__(covered(guess, self.run, self.other))
        self.said = Quantity("Your guess, °C", "Say a number before you look", guess.low,
                             guess.high, guess.start)
        self.said.layout.max_width = "520px"
        buttons = widgets.HBox([
            button("That is my guess", "Mark it on the chart and show the curves", self.commit),
            button("Show me without guessing", "Show the curves", self.skip)])
        question = widgets.HTML(f'<div class="ovk-words"><b>{escape(guess.question)}</b></div>')
        self.children = [question, self.said, buttons, self.image, self.words, self.style_sheet]

    @property
    def plain_text(self):
        return key_line(self.guess, self.run)

    def commit(self):
        """Mark the guess and show what happened."""
        self.show(revealed(self.guess, self.run, self.said.value, self.other))

    def skip(self):
        """Show what happened, without a guess."""
        self.show(revealed(self.guess, self.run, None, self.other))
