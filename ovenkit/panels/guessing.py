"""The panel of one guess: a number is said before the curve is shown, and stays on the chart."""

from html import escape

import ipywidgets as widgets

from ovenkit.panels.controls import Clock, Quantity, button
from ovenkit.panels.guesses import LIT_AT, covered, key_line, revealed
from ovenkit.panels.place import Still


class GuessPanel(Still):
    """A question, a slider for the guess, and the answer when it is asked for."""

    def __init__(self, guess):
        self.guess, self.result = guess, guess.scene.run(guess.settings)
        self.other = guess.scene.run(guess.other) if guess.other is not None else None
        self.told, self.committed = False, None
        super().__init__(self._picture)
        tip = "Say a number before you look"
        if guess.of == "hour":
            self.said = Clock("Your guess", tip, guess.low, guess.high, guess.start, guess.step,
                              LIT_AT)
        else:
            self.said = Quantity("Your guess", tip, guess.low, guess.high, guess.start, guess.step,
                                 guess.of, guess.unit, self.scale, label_px=None)
        self.said.layout.max_width = "520px"
        buttons = widgets.HBox([
            button("That is my guess", "Mark it on the chart and show what happens", self.commit),
            button("Show me without guessing", "Show what happens", self.skip)])
        self.question = widgets.HTML()
        self._ask()
        self.children = [self.question, self.said, buttons, self.image, self.words,
                         self.style_sheet]

    @property
    def plain_text(self):
        return key_line(self.guess, self.result)

    def commit(self):
        """Mark the guess and show what happened."""
        self.told, self.committed = True, self.said.value
        self.redraw()

    def skip(self):
        """Show what happened, without a guess."""
        self.told, self.committed = True, None
        self.redraw()

    def rescale(self, scale):
        """Ask and show in another units.Scale."""
        super().rescale(scale)
        self.said.rescale(scale)
        self._ask()

    def _ask(self):
        text = escape(self.scale.words(self.guess.question))
        self.question.value = f'<div class="ovk-words"><b>{text}</b></div>'

    def _picture(self, scale):
        if not self.told:
            return covered(self.guess, self.result, self.other, scale)
        return revealed(self.guess, self.result, self.committed, self.other, scale)
