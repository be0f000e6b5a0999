"""The panel of one marked question: say an answer, have it marked, or be told."""

from html import escape

import ipywidgets as widgets

from ovenkit.files import InputError
from ovenkit.oven import Oven
from ovenkit.ovenfile import read_oven
from ovenkit.panels.controls import LABEL, Quantity, button
from ovenkit.panels.place import STYLE, Notebook, bundle
from ovenkit.questions import answer_for, limits, mark, told

SIGNS = {"right": "\u2713", "near": "\u2248", "wrong": "\u2717", "told": ""}
COLOURS = """<style>
.ovk-right, .ovk-near, .ovk-wrong, .ovk-told {font-size: 15px; padding: 4px 8px; color: #111;
  border-left: 6px solid #555555;}
.ovk-right {border-color: #1b6e2d; background: #dcebdc;}
.ovk-near {border-color: #7a5c00; background: #fbf0cc;}
.ovk-wrong {border-color: #a33000; background: #fff2ea;}
</style>"""
CLASS_OVEN = "rowan"
TIP = "What you think the oven will do"


class Pick(widgets.RadioButtons):
    """Choices in words, one under the other, none of them chosen at first."""

    def __init__(self, label, choices, scale):
        self.choices = choices
        super().__init__(options=self._worded(scale), value=None, description=label, tooltip=TIP,
                         style=LABEL, layout={"width": "auto", "height": "auto"})

    def rescale(self, scale):
        """Word the choices in another units.Scale; what is chosen stays."""
        chosen = self.index
        self.options = self._worded(scale)
        self.index = chosen

    def _worded(self, scale):
        return [(scale.words(choice), choice) for choice in self.choices]


class AskPanel(widgets.VBox):
    """A question, a place for the answer, and what the oven says to it.

    question : Question; oven : Oven that answers it, or the name of an oven file
    """

    def __init__(self, question, oven):
        super().__init__()
        self.add_class("ovk-panel")
        self.question, self.oven, self.scale = question, oven, Notebook.scale
        self.revision, self.result = 0, lambda: ""
        if question.choices:
            self.said = Pick("Your answer", question.choices, self.scale)
        else:
            low, high = limits(question, answer_for(question, oven))
            start = low if question.start is None else question.start
            self.said = Quantity("Your answer", TIP, low, high, start, question.step, question.of,
                                 question.unit, self.scale, label_px=None)
            self.said.layout.max_width = "520px"
        buttons = widgets.HBox([
            button("Check my answer", "Hold it against the oven", self.check),
            button("Tell me", "Show what the oven says, and why", self.tell)])
        self.text, self.words = widgets.HTML(), widgets.HTML(layout={"margin": "0"})
        style_sheet = widgets.HTML(STYLE + COLOURS, layout={"display": "none"})
        self.rescale(self.scale)
        self.children = [self.text, self.said, buttons, self.words, style_sheet]
        Notebook.shown.add(self)

    def check(self):
        """Mark the answer that stands there now."""
        said = self.said.value
        self.result = lambda: self._marked(said)
        self._show()

    def tell(self):
        """Tell the answer."""
        self.result = lambda: _line("told", told(self.question, self.oven, self.scale))
        self._show()

    def rescale(self, scale):
        """Ask and answer in another units.Scale; what was entered stays."""
        self.scale = scale
        self.said.rescale(scale)
        self.text.value = f'<div class="ovk-words">{self._asked(scale)}</div>'
        self._show()

    @property
    def plain_text(self):
        """The question's name and the oven's answer in one line."""
        return f"{self.question.name}: {self.question.say(answer_for(self.question, self.oven))}"

    def _asked(self, scale):
        return f"<b>{escape(self._whose(scale) + scale.words(self.question.text))}</b>"

    def _whose(self, scale):
        """Which oven it is, if not the class oven."""
        if self.oven == CLASS_OVEN:
            return ""
        oven = self.oven if isinstance(self.oven, Oven) else read_oven(self.oven)
        name = f"{oven.name[0].upper()}{oven.name[1:]}"
        return (f"{name}, {scale.say(100 * oven.inside_m, 'length')} inside, "
                f"{scale.say(oven.masonry_kg, 'mass')} of masonry: ")

    def _marked(self, said):
        try:
            marked = mark(self.question, said, self.oven, self.scale)
        except InputError as trouble:
            said = f"{str(trouble)[0].upper()}{str(trouble)[1:]}."
            return f'<div class="ovk-trouble">{escape(said)}</div>'
        return _line(marked.verdict, marked.words)

    def _show(self):
        self.revision += 1
        self.words.value = (f'<div class="ovk-words" data-revision="{self.revision}" '
                            f'role="status" aria-live="polite">{self.result()}</div>')

    def _repr_mimebundle_(self, include=None, exclude=None):
        line = self.plain_text
        return bundle(super()._repr_mimebundle_(include=include, exclude=exclude), line, {
            "text/html": f"<p>{self._asked(Notebook.scale)}</p><details><summary>The oven's answer"
                         f"</summary>{escape(line)}</details>"})


def _line(verdict, words):
    return f'<div class="ovk-{verdict}">{f"{SIGNS[verdict]} {escape(words)}".strip()}</div>'
