"""Below a log book: what the oven is by the tape, and what it is by the page."""

import datetime
from html import escape

import ipywidgets as widgets

from ovenkit.files import InputError
from ovenkit.panels import ownpage
from ovenkit.panels.controls import button, control
from ovenkit.panels.place import Notebook


class OwnOven(widgets.VBox):
    """Asks what a tape knows, fits the page, says what it found, and keeps it when asked.

    page : function without arguments that gives the logpage.Page as it stands
    folder : function without arguments that gives where files are put
    `fit` is the last Fit, or None.
    """

    def __init__(self, page, folder):
        self.page, self.folder, self.fit, self.scale = page, folder, None, Notebook.scale
        self.tape, self.kept, self.trouble = ownpage.Tape(), (), ""
        self.fields = [control(field, getattr(self.tape, field.name), self.scale)
                       for field in ownpage.FIELDS]
        self.words = widgets.HTML(layout={"margin": "0"})
        self.keep_button = button("Keep this oven", "Write an oven file, and its card to print",
                                  self.keep)
        self.keep_button.disabled = True
        super().__init__([
            widgets.HTML("<b>What oven is it?</b> First what a tape and a look can tell:"),
            *self.fields,
            widgets.HBox([button("Find my oven", "Fit an oven to the page above", self.find),
                          self.keep_button]),
            self.words])

    def find(self):
        """Fit the page as it stands, and say what came of it."""
        self.tape = ownpage.Tape(*(field.value for field in self.fields))
        self.kept, self.trouble = (), ""
        try:
            self.fit = ownpage.found(self.page(), self.tape)
        except InputError as error:
            self.fit, self.trouble = None, str(error)
        self.keep_button.disabled = self.fit is None
        self._show()

    def keep(self):
        """Write the oven that was found, and its card, beside the page."""
        try:
            self.kept = ownpage.keep(self.fit, self.folder(), datetime.date.today().isoformat())
        except InputError as error:
            self.trouble = str(error)
        self._show()

    def rescale(self, scale):
        """Speak in another units.Scale."""
        self.scale = scale
        for field in self.fields:
            field.rescale(scale)
        self._show()

    def _show(self):
        said = ownpage.sentences(self.fit, self.scale) if self.fit else ()
        self.words.value = found_html(said, self.kept, self.trouble)


def found_html(said, kept, trouble):
    """Return the HTML of what was found.

    said : (head, text) pairs; kept : Paths of files written; trouble : what is wrong, or ""
    """
    head = f'<div class="ovk-trouble" role="alert">{escape(trouble)}</div>' if trouble else ""
    rows = "".join(f"<li><b>{escape(what)}</b>: {escape(text)}</li>" for what, text in said)
    files = " and ".join(f"<b>{escape(path.name)}</b>" for path in kept)
    files = f"<div>Kept in {files}.</div>" if files else ""
    return f'<div class="ovk-words" role="status">{head}<ul>{rows}</ul>{files}</div>'
