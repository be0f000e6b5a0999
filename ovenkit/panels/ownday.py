"""The panel of a day of one's own: written, planned, printed, and put right as it goes."""

from html import escape

import ipywidgets as widgets

from ovenkit.files import InputError, refuse
from ovenkit.panels import daypage
from ovenkit.panels.beside import beside
from ovenkit.panels.controls import LABEL, button
from ovenkit.panels.place import STYLE, Notebook, bundle, lines_html

MINE = "my_day"
PLACES = (("Hearth", "hearth spot"), ("Dome back", "dome back spot"),
          ("Dome front", "dome front spot"), ("Air", "air probe"),
          ("Deep", "deep hearth probe"), ("Hand count", "hand count"))
REPLACED = "This was the plan. The day was put right since: it goes on as it stands at the bottom."
AS_PLANNED = "Readings are held against the plan, as if all had gone in as the plan has it."
CHANGED = ("The box has changed since this was planned: press Plan it again, or put it back as it "
           "was.")
NOWHERE = "what is typed is kept nowhere (Plan it keeps it)"
MONO = """<style>.ovk-typed textarea {font-family: monospace; font-size: 14px; line-height: 1.4;}
</style>"""
PLANNING = "Planning: orders are tried on the oven. It takes some seconds, or two minutes ..."
WRITING = "Writing the sheet, with its corrections. It takes half a minute or so ..."
MENDING = "Planning the rest again ..."


class OwnDay(widgets.VBox):
    """A want file to type, buttons that plan it and write its sheet, and readings on the day.

    name : of the file; one that is there is shown
    `day` is the last daypage.Planned, `new` the last Correction, or None; `done` are those that are
    followed, one after another, and `shown` what was shown before each.
    """

    made = {}

    @classmethod
    def of(cls, name=MINE):
        """Return the panel of a file; the one there is, if it was asked for before."""
        path = daypage.path_of(name).resolve()
        if path not in cls.made:
            cls.made[path] = cls(name)
        return cls.made[path]

    def __init__(self, name=MINE):
        super().__init__()
        self.add_class("ovk-panel")
        self.scale, self.revision, self.asked = Notebook.scale, 0, ""
        self.day = self.new = self.planned_text = None
        self.done, self.shown = [], []
        path = daypage.path_of(name)
        self.kept = daypage.opened(path) if path.exists() else daypage.Kept(path)
        self.name = self._text("Kept in", "Name of the file", str(path), "300px")
        self.typed = widgets.Textarea(
            daypage.EXAMPLE if self.kept.text is None else self.kept.text,
            description="What is wanted", tooltip="What is wanted",
            layout={"width": "auto", "height": "400px"})
        self.typed.add_class("ovk-typed")
        self.plan_button = button("Plan it", "Keep what is typed, and plan it", self.plan)
        self.sheet_button = button("Write the sheet", "A PDF to print, and a table", self.write)
        self.at = self._text("Read at", "Time of day, such as 12:10", "", "170px")
        self.late = self._text("Late, min", "How much later than the plan it is, if it is", "",
                               "170px")
        self.read = {where: self._text(label, f"What is read: {where}", "", "215px")
                     for label, where in PLACES}
        self.open_button = button("Open", "Show the file of that name", self.show_file)
        self.mend_button = button("Put the day right", "Plan the rest of the day again", self.mend)
        self.do_button = button("I do so", "Hold the next readings against this", self.follow)
        self.plain_button = button("I light no fire", "Go on without the fire it asks for",
                                   lambda: self.follow(lit=False))
        self.back_button = button("One step back", "It was not done so: show it again",
                                  self.go_back)
        self.said, self.mended = (widgets.HTML(layout={"margin": "0"}) for _ in range(2))
        self.children = [
            widgets.HBox([self.name, self.open_button]), self.typed,
            widgets.HBox([self.plan_button, self.sheet_button]), self.said,
            widgets.HTML("<b>On the day,</b> what is read, of the hearth where nothing lay; leave "
                         "empty what is not:"),
            widgets.HBox([self.at, self.late], layout={"flex_flow": "row wrap"}),
            widgets.HBox(list(self.read.values()), layout={"flex_flow": "row wrap"}),
            widgets.HBox([self.mend_button, self.do_button, self.plain_button, self.back_button],
                         layout={"flex_flow": "row wrap"}), self.mended,
            widgets.HTML(STYLE + MONO, layout={"display": "none"})]
        for box in (self.typed, self.name):
            box.observe(lambda _: self._touched(), "value")
        Notebook.shown.add(self)
        self._label()
        self._say(self.said, "Change what is wanted above, then press <b>Plan it</b>.")
        self._allow()

    @staticmethod
    def _text(label, tip, value, width):
        return widgets.Text(value, description=label, tooltip=tip, style=LABEL,
                            layout={"width": width})

    def show_file(self):
        """Show the file of the name; what is typed and kept nowhere is dropped at a second press.
        """
        def act():
            found = daypage.opened(daypage.path_of(self.name.value))
            if self._planned and found.text == self.planned_text:
                self._plan_said(f"{found.path.name} is open already.")
                return
            kept = self.typed.value in (self.kept.text, found.text, daypage.EXAMPLE)
            self._ask_first("Open", *([] if kept else [NOWHERE]))
            self.kept, self.day = found, None
            self.typed.value, self.name.value = found.text, str(found.path)
            self._drop()
            self._say(self.said, f"{escape(found.path.name)} is open: press <b>Plan it</b>.")
        self._try(self.said, act)
        self._allow()

    def plan(self):
        """Keep what is typed, and plan it; what is planned so already stays, and what was done."""
        def act():
            self._ask_first("Plan it")
            text = self.typed.value
            self.kept = daypage.keep(self.name.value, text, self.kept)
            if self._planned:
                self._drop()
                self._plan_said("It is planned so already.")
                self._allow()
                return
            self.name.value = str(self.kept.path)
            self._beside(self.said, PLANNING, lambda: daypage.planned(self.kept.path),
                         lambda day: then(day, text))

        def then(day, text):
            self._drop()
            self.day, self.planned_text = day, text
            self._plan_said()
        self._try(self.said, act)

    def _ask_first(self, what, *lost):
        """Refuse once what would make it forget what was done so far, or lose something else."""
        lost = [*(["what was done so far is forgotten then"] if self.done else []), *lost]
        if lost and self.asked != what:
            self.asked = what
            refuse(f"{', and '.join(lost)}: press {what} once more if you mean it")

    def write(self):
        """Write the sheet and the table beside the day's file; what is there at a second press."""
        def then(paths):
            self._plan_said("Written: " + " and ".join(path.name for path in paths)
                            + ", beside the file of the day. Print the sheet on A4.")
        again, self.asked = self.asked == "Write the sheet", ""
        there = [path.name for path in self.day.wants.papers() if path.exists()]
        if there and not again:
            self.asked = "Write the sheet"
            self._plan_said(f"{' and '.join(there)} from before: press Write the sheet once more "
                            "to replace it.")
        else:
            self._beside(self.said, WRITING, lambda: daypage.printed(self.day, again), then)

    def mend(self):
        """Plan the rest of the day again, after what is read."""
        typed = {where: box.value for where, box in self.read.items()}

        def then(new):
            self.new = new
            self._mended_said()
        self.asked = ""
        since = self.done[-1] if self.done else self.day and self.day.plan
        self._beside(self.mended, MENDING, lambda: daypage.corrected(
            self.day, since, self.at.value, typed, self.late.value, self.scale), then)

    def follow(self, lit=True):
        """Hold the next readings against the last correction: it is done so.

        lit : whether the fire is lit that it asks for
        """
        self.shown.append(self.new)
        self.done.append(self.new if lit else self.new.without)
        self._since(None)

    def go_back(self):
        """Show what was followed last, as if it were not yet."""
        if self.done:
            self.done.pop()
            self._since(self.shown.pop())

    def _since(self, new):
        self.new, self.asked = new, ""
        for box in (self.late, *self.read.values()):    # read anew
            box.value = ""
        self._plan_said()
        self._mended_said()
        self._allow()

    def _drop(self):
        """Forget a plan, and what came of it."""
        self.new, self.done, self.shown = None, [], []
        self.asked = ""
        self._say(self.mended, "")

    @property
    def _planned(self):
        """Whether what stands in the box is what is planned."""
        if self.day is None:
            return False
        path = self.day.wants.path
        return self.typed.value == self.planned_text and self.name.value.strip() in (
            str(path), str(path.with_suffix("")))

    def _touched(self):
        """Say so where the box is no longer what is planned."""
        self.asked = ""
        if self.day is not None and self.sheet_button.disabled == self._planned:
            self._plan_said("" if self._planned else CHANGED)
        self._allow(not self.plan_button.disabled)

    def rescale(self, scale):
        """Speak in another units.Scale; readings that are typed already keep their own."""
        for where, box in self.read.items():
            box.value = daypage.with_unit(where, box.value, self.scale)
        self.scale, self.asked = scale, ""
        self._label()
        if self.day is not None:
            self._plan_said()
        if self.new or self.done:
            self._mended_said()

    def _label(self):
        """Put the unit beside every reading."""
        for label, where in PLACES:
            unit = "s" if where == "hand count" else self.scale.unit("temp")
            self.read[where].description = f"{label}, {unit}"

    def _plan_said(self, news=""):
        self._say(self.said, lines_html(daypage.head(self.day, self.scale),
                                        daypage.lines(self.day, self.scale)),
                  news or (REPLACED if self.done else ""))

    def _mended_said(self):
        """Say what is to be done, or is done since."""
        self._say(self.mended, self._advice() or AS_PLANNED)

    def _advice(self):
        """HTML of what is to be done, or is done since; "" of neither."""
        kitchen, scale = self.day.wants.kitchen, self.scale
        if self.new:
            return lines_html(daypage.corrected_head(self.new, scale),
                              daypage.corrected_lines(self.new, kitchen, scale))
        done = self.done[-1] if self.done else None
        return done and lines_html(daypage.since(done, scale), daypage.followed_lines(
            done, kitchen, scale))

    def _try(self, where, act):
        """Do something, or say what is wrong."""
        try:
            act()
        except InputError as error:
            self._refuse(where, str(error))
        except OSError as error:        # a file that is open elsewhere, a full disk
            self._refuse(where, f"{error.filename or 'a file'}: {error.strerror or error}: close "
                         "it where it is open, or give the day another name")

    def _beside(self, where, words, act, then):
        """Do something beside the page, saying some words meanwhile; then(what it returned)."""
        self._say(where, "", words, settled=False)
        self._allow(False)

        def done(answer):
            try:
                self._try(where, lambda: then(answer()))
            finally:
                self._allow()
        beside(act, done)

    def _allow(self, free=True):
        """Let buttons be pressed, those that want a plan if there is one."""
        self.plan_button.disabled = self.open_button.disabled = not free
        self.sheet_button.disabled = self.mend_button.disabled = not (free and self._planned)
        may = free and self._planned and self.new is not None and not self.new.contrary
        self.do_button.disabled = not may
        self.plain_button.disabled = not (may and self.new.without)
        self.back_button.disabled = not (free and self._planned and self.done)

    def _refuse(self, where, error):
        rows = "<br>".join(escape(row) for row in error.split("\n"))
        advice = where is self.mended and self.day and self._advice() or ""     # it stays to read
        self._say(where, f'<div class="ovk-trouble" role="alert">{rows}</div>{advice}')

    def _say(self, where, html, news="", settled=True):
        self.revision += 1
        news = f'<div role="status"><b>{escape(news)}</b></div>' if news else ""
        where.value = (f'<div class="ovk-words" data-revision="{self.revision}" '
                       f'data-settled="{str(settled).lower()}">{news}{html}</div>')

    @property
    def plain_text(self):
        """The panel in one line of plain text."""
        lines = len(self.typed.value.splitlines())
        return f"a day of your own in {lines} lines, kept in {self.kept.path.name}"

    def _repr_mimebundle_(self, include=None, exclude=None):
        return bundle(super()._repr_mimebundle_(include=include, exclude=exclude),
                      self.plain_text)
