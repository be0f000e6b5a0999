"""The panel of a log book: readings typed in beside the oven, and kept in a file as they come."""

import datetime
from html import escape
from pathlib import Path

import ipywidgets as widgets

from ovenkit.files import InputError, refuse
from ovenkit.logs.saving import put
from ovenkit.panels import logpage
from ovenkit.panels.controls import LABEL, Choice, button
from ovenkit.panels.owning import OwnOven
from ovenkit.panels.place import STYLE, Notebook, bundle

DONE = "something done"
PLACES = (("hearth", "hearth spot"), ("dome back", "dome back spot"),
          ("dome front", "dome front spot"), ("air", "air probe"),
          ("near wall", "air probe near wall"), ("deep", "deep hearth probe"),
          ("hand count", "hand count"), (DONE, ""))
TIPS = {"": "lit, wood 3.5, spread, raked out, in 6 hearth loaf, out, door open 5 min, shut",
        "hand count": "12"}


class LogbookPanel(widgets.VBox):
    """A row to type in, the page below it, and what oven it tells of.

    `log` is what `fit_oven` takes.

    path : of the file, or None for log_ and the day; a file that is there is read, and what is
        added goes on in a fresh one beside it
    """

    def __init__(self, path=None):
        super().__init__()
        self.add_class("ovk-panel")
        self.wanted, self.path, self.revision = self._wanted(path), None, 0
        self.page = logpage.read_page(self.wanted) if path and self.wanted.exists() else (
            logpage.Page())
        self.lit = self._text("Lit at", "Time of lighting", "6:30", "130px", self.page.lit_at)
        self.lit.observe(lambda event: self._change(logpage.lit, event["new"]), "value")
        self.time = self._text("Time", "7:30, 19:30 or 7:30 pm", "7:30", "130px")
        self.where = Choice("Where", "What was read, or something done", PLACES, PLACES[0][1],
                            label_px=None)
        self.where.watch(lambda _: self._label())
        self.said = self._text("Reading", "", "", "330px")
        self.note = self._text("Note", "Flame, steam or glass keeps a spot reading out", "",
                               "330px")
        self.rows, self.state = widgets.VBox(), widgets.HTML(layout={"margin": "0"})
        self.trouble = ""
        self.own = OwnOven(lambda: self.page, lambda: (self.path or self.wanted).parent)
        self.children = [
            widgets.HBox([self.lit, self.time, button("Now", "Take the time of this computer",
                                                      self.now)]),
            self.where,
            widgets.HBox([self.said, self.note], layout={"flex_flow": "row wrap"}),
            widgets.HBox([button("Add", "Add this to the page, and keep it", self.add)]),
            self.state, self.rows, self.own, widgets.HTML(STYLE, layout={"display": "none"})]
        Notebook.shown.add(self)
        self.rescale(Notebook.scale)

    @staticmethod
    def _wanted(path):
        if path is None:
            return Path(f"log_{datetime.date.today().isoformat()}.csv")
        if not isinstance(path, (str, Path)) or not str(path).strip():
            refuse(f"the path is {path!r}: give the name of a file")
        path = Path(path)
        return path if path.suffix else path.with_suffix(".csv")

    @staticmethod
    def _text(label, tip, hint, width, value=""):
        return widgets.Text(value, description=label, tooltip=tip, placeholder=hint, style=LABEL,
                            continuous_update=False, layout={"width": width})

    @property
    def log(self):
        """The Log of the page; InputError where it is not a whole day yet."""
        if not self.page.entries:
            refuse("the page is empty: add a reading")
        return logpage.log(self.page)

    def now(self):
        """Take the time of the computer."""
        self.time.value = datetime.datetime.now().strftime("%H:%M")

    def add(self):
        """Add what is typed to the page and to its file."""
        def grown(page):
            return logpage.added(page, logpage.entry(
                self.time.value, self.where.value, self.said.value, self.note.value, self.scale))
        if self._change(grown):
            self.said.value = self.note.value = ""
            self.said.focus()

    def remove(self, place):
        """Take an entry off the page, from 0."""
        self._change(logpage.removed, place)
        self.time.focus()

    def rescale(self, scale):
        """Take readings in another units.Scale."""
        self.scale = scale
        self._label()
        self.own.rescale(scale)
        self._show()

    def _label(self):
        where = self.where.value
        unit = {"hand count": "seconds", "": ""}.get(where, self.scale.unit("temp"))
        self.said.description = "What was done" if not where else f"Reading, {unit}"
        self.said.placeholder = TIPS.get(where, self.scale.say(310, "temp", unit=False))
        self.said.tooltip = self.said.placeholder

    def _change(self, act, *values):
        """Whether the page could be changed so; it is kept and shown, or what is wrong is said."""
        before = self.page
        try:
            self.page = act(self.page, *values)
            self.trouble = ""
            if self.page.entries or self.path:
                self._keep()
        except InputError as error:
            self.page, self.trouble = before, str(error)
        self._show()
        return not self.trouble

    def _keep(self):
        if self.path is None:
            path = logpage.fresh(self.wanted)
            try:
                path.open("x").close()
            except OSError as error:
                refuse(f"it cannot be kept ({error.__class__.__name__}): give a folder that is "
                       "there", path.name)
            self.path = path
        put(self.path, logpage.csv_text(self.page))

    def _show(self):
        self.revision += 1
        doubts, whole = logpage.doubts(self.page)
        self.rows.children = [self._row(i, row, doubts[i])
                              for i, row in enumerate(self.page.entries)]
        self.state.value = state_html(self.plain_text, whole, self.trouble, self.revision)

    def _row(self, place, row, doubts):
        words = widgets.HTML(row_html(row, doubts), layout={"width": "640px", "margin": "0"})
        return widgets.HBox([words, button("Remove", f"Remove: {row.words}",
                                           lambda: self.remove(place))])

    @property
    def plain_text(self):
        """The page in one line of plain text."""
        kept = f"kept in {self.path.name}" if self.path else "kept in a file from the first on"
        n = len(self.page.entries)
        return f"{n} {'entry' if n == 1 else 'entries'}, {kept}"

    def _repr_mimebundle_(self, include=None, exclude=None):
        return bundle(super()._repr_mimebundle_(include=include, exclude=exclude),
                      self.plain_text)


def row_html(row, doubts):
    """Return the HTML of an entry, its doubts below it."""
    below = "".join(f"<br><b>?</b> {escape(text)}" for text in doubts)
    return f'<div class="ovk-words">{escape(row.words)}{below}</div>'


def state_html(text, whole, trouble, revision):
    """Return the HTML of what stands between the row to type in and the page.

    text : how many entries, and where; whole : sentences of the page; trouble : what is wrong
    """
    head = f'<div class="ovk-trouble" role="alert">{escape(trouble)}</div>' if trouble else ""
    rest = "".join(f"<br>{escape(line)}" for line in whole)
    return (f'<div class="ovk-words" data-revision="{revision}">{head}'
            f'<div class="ovk-key" role="status"><b>{escape(text)}</b>{rest}</div></div>')
