"""The panel of a scene: controls left, picture right, words below, the rest under 'more'."""

import asyncio
import re
from contextlib import contextmanager
from dataclasses import replace

import ipywidgets as widgets

from ovenkit.files import InputError
from ovenkit.panels.controls import button, control
from ovenkit.panels.place import HEIGHT, Notebook, Still
from ovenkit.panels.scene import GROUPS

QUICK, REST_S = 0.4, 0.7    # time steps 2.5 times as long while a control moves; its rest [s]


class Board(Still):
    """A scene with its controls, in the order and look that all panels share.

    settings : what the controls say; ran, result : the settings last run, and what came of them
    """

    more_title = ""

    def __init__(self, scene, settings):
        self.scene, self.start, self.settings = scene, settings, settings
        self._quiet, self._later, self.kept = False, None, None
        self.ran, self.result = settings, scene.run(settings)
        super().__init__(self._picture)
        self.fields = {field.name: self._control(field) for field in scene.fields}
        self.keep_button = button("Keep this", "Hold what is shown for comparison, dashed",
                                  self.keep)
        buttons = widgets.HBox([self.keep_button, button(
            "Reset", "Back to the settings at the start; drops what is kept", self.reset)])
        controls = widgets.VBox(
            [*self._group(more=False), *self.first_extras(), buttons],
            layout={"flex": "1 1 270px", "max_width": "520px", "min_height": f"{HEIGHT}px",
                    "overflow": "hidden"})
        self.children = [
            widgets.HBox([controls, self.image], layout={"flex_flow": "row wrap"}), self.words,
            *self._more(), self.style_sheet]

    def first_extras(self):
        """Controls of this panel alone that stand below the first ones."""
        return ()

    def more_extras(self):
        """Controls of this panel alone that stand under 'more'."""
        return ()

    def extras_show(self):
        """Put the controls of this panel alone where the settings are."""

    def keep(self):
        """Hold what is shown as a dashed curve; a second press drops it."""
        if not self.settled:        # a quick look is not worth keeping
            self._later.cancel()
            self._look(1.0)
        self._hold(self.result if self.kept is None else None)
        self.redraw()

    def reset(self):
        """Go back to the settings at the start."""
        self._hold(None)
        self.set(self.start)

    def set(self, settings):
        """Take settings, put every control in its place, and draw once."""
        self.settings = settings
        with self.silent():
            for name, field in self.fields.items():
                field.value = getattr(settings, name)
            self.extras_show()
        self.compute()

    def rescale(self, scale):
        """Show controls and picture in another units.Scale."""
        super().rescale(scale)
        for field in self.fields.values():
            field.rescale(scale)

    def change(self, **fields):
        """Take some fields of the settings and draw, unless controls are being put in place."""
        if self._quiet:
            return
        try:
            self.settings = replace(self.settings, **fields)
        except InputError as error:
            self.refuse(str(error))
        else:
            self.compute()

    @contextmanager
    def silent(self):
        """Let controls move without a new picture for each."""
        self._quiet = True
        try:
            yield
        finally:
            self._quiet = False

    def compute(self):
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
        """Compute and draw, or say what is wrong; whether there was something to draw."""
        try:
            result = self.scene.run(self.settings, finer)
            self.ran, self.result = self.settings, result
            self.trouble, self.settled = "", finer >= 1.0
            self.redraw()
        except InputError as error:
            self.settled = True
            self.refuse(re.sub(r"^step \d+: ", "", str(error)))  # the page has no steps
            return False
        return True

    def _picture(self, scale):
        return self.scene.picture(self.ran, self.result, self.kept, scale)

    def _hold(self, result):
        self.kept = result
        self.keep_button.description = ("Keep this" if result is None
                                        else "Drop what is kept")

    def _control(self, field):
        made = control(field, getattr(self.settings, field.name), Notebook.scale)
        made.watch(lambda value: self.change(**{field.name: value}))
        return made

    def _group(self, more):
        order = list(GROUPS)
        fields = [field for field in self.scene.fields if field.more == more]
        return [self.fields[field.name]
                for field in sorted(fields, key=lambda field: order.index(field.group))]

    def _more(self):
        rows = [*self._group(more=True), *self.more_extras()]
        if not rows:
            return []
        words = sorted({GROUPS[f.group].split()[-1] for f in self.scene.fields if f.more})
        return [widgets.Accordion([widgets.VBox(rows)], selected_index=None,
                                  titles=[self.more_title or "More: " + ", ".join(words)])]
