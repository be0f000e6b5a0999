"""A picture on the page: an image with alt text, and its words below."""

import base64
from html import escape
from weakref import WeakSet

import ipywidgets as widgets

from ovenkit.figures import CROSS, DPI, SIZE_IN, TICK, figure_for
from ovenkit.panels.controls import FIRST_PX, MORE_PX, Choice
from ovenkit.units import METRIC, US

WIDTH, HEIGHT = round(SIZE_IN[0] * DPI), round(SIZE_IN[1] * DPI)
STYLE = """<style>
.ovk-panel {--jp-widgets-font-size: 14px;}
.ovk-number .widget-label, .ovk-typed .widget-label {position: absolute; width: 1px !important;
  min-width: 0; height: 1px; overflow: hidden; clip-path: inset(50%);}
.ovk-choice {display: flex; align-items: center;}
.ovk-choice .widget-label {flex: 0 0 auto; margin-right: 8px;}
.ovk-words {font-size: 14px; line-height: 1.35; color: #111;}
.ovk-words ol, .ovk-words ul {margin: 2px 0 2px 1.6em; padding: 0;}
.ovk-trouble {font-size: 15px; line-height: 1.35; padding: 4px 8px; border: 2px solid #a33000;
  background: #fff2ea; color: #111;}
.ovk-image {position: relative;}
.ovk-image .ovk-trouble {position: absolute; left: 60px; top: 70px; width: 500px;}
""" + "".join(
    f".ovk-label-{px} .widget-label {{width: auto; min-width: {px}px; text-align: right;}}\n"
    for px in (FIRST_PX, MORE_PX)) + "</style>"


class Notebook:
    """What all panels of one notebook share: the scale they are read in."""

    scale = METRIC
    shown = WeakSet()

    @classmethod
    def use(cls, scale):
        """Show everything in another units.Scale, from now on."""
        cls.scale = scale
        for panel in list(cls.shown):
            panel.rescale(scale)


def image_html(picture, png, trouble=""):
    """Return the HTML of a picture's image, of fixed size, with its alt text.

    trouble : what is written over a faded picture that is not of these settings, or ""
    """
    data = base64.b64encode(png).decode()
    over = (f'<div class="ovk-trouble" aria-hidden="true">{escape(trouble)}</div>' if trouble
            else "")
    return (f'<div class="ovk-image"><img alt="{escape(picture.alt)}" width="{WIDTH}" '
            f'height="{HEIGHT}" decoding="sync" '
            f'style="display:block; max-width:none; opacity:{0.3 if trouble else 1}" '
            f'src="data:image/png;base64,{data}">{over}</div>')


def words_html(picture, revision, trouble="", settled=True):
    """Return the HTML of a picture's words: key line, or what is wrong; and its lines.

    revision : count of what has been shown, and settled : no finer look will follow; both for
        who waits for a change
    trouble : sentence that says why there is no new picture, or ""
    """
    said = (f'<div class="ovk-trouble" role="alert">{escape(trouble)}</div>' if trouble else
            lines_html(picture.key, picture.lines))
    return (f'<div class="ovk-words" data-revision="{revision}" '
            f'data-settled="{str(settled).lower()}">{said}</div>')


def lines_html(key, lines):
    """Return the HTML of a key line and of Lines below it; numbered where all are marked."""
    rows = "".join(f"<li>{_marked(line)}</li>" for line in lines)
    kind = "ol" if all(line.good is not None for line in lines) else "ul"
    return f'<div class="ovk-key"><b>{escape(key)}</b></div><{kind}>{rows}</{kind}>'


def bundle(view, text, more=(), metadata=()):
    """Return the MIME bundle of a widget's view with a line of plain text and more beside it."""
    data, known = view if isinstance(view, tuple) else (view, {})
    return {**data, "text/plain": text, **dict(more)}, {**known, **dict(metadata)}


def _marked(line):
    sign = {True: f" {TICK}", False: f" {CROSS}", None: ""}[line.good]
    return f"<b>{escape(line.head)}{sign}</b>. {escape(line.text)}"


class Still(widgets.VBox):
    """A picture with its words; panels are made of it.

    draw : units.Scale -> picture
    It shows itself as a widget; where widgets do not run, as its PNG; in plain text as its key
    line.
    """

    def __init__(self, draw, **options):
        super().__init__(**options)
        self.add_class("ovk-panel")
        self.draw, self.scale, self.settled = draw, Notebook.scale, True
        self.image = widgets.HTML(layout={"width": f"{WIDTH}px", "height": f"{HEIGHT}px",
                                          "flex": "0 0 auto", "margin": "0", "overflow": "hidden"})
        self.words = widgets.HTML(layout={"margin": "0"})
        self.style_sheet = widgets.HTML(STYLE, layout={"display": "none"})
        self.revision, self.trouble, self.figures = 0, "", {}
        self.redraw()
        self.children = [self.image, self.words, self.style_sheet]
        Notebook.shown.add(self)

    def redraw(self):
        """Draw the picture as things stand now, in place of the last one."""
        self.picture = self.draw(self.scale)
        kind = type(self.picture)
        if kind not in self.figures:
            self.figures[kind] = figure_for(self.picture)
        self.png = self.figures[kind].png(self.picture)
        self._show()

    def rescale(self, scale):
        """Show the picture in another units.Scale."""
        self.scale = scale
        self.redraw()

    def refuse(self, trouble):
        """Say what is wrong, over the last picture, until there is a new one."""
        self.trouble = f"{trouble.rstrip('.')}. The faded chart is of the settings before."
        self._show()

    def _show(self):
        self.revision += 1
        self.image.value = image_html(self.picture, self.png, self.trouble)
        self.words.value = words_html(self.picture, self.revision, self.trouble, self.settled)

    @property
    def plain_text(self):
        """The panel in one line of plain text."""
        return self.picture.key

    def _repr_mimebundle_(self, include=None, exclude=None):
        return bundle(super()._repr_mimebundle_(include=include, exclude=exclude),
                      self.plain_text, {"image/png": base64.b64encode(self.png).decode()},
                      {"image/png": {"alt": self.picture.alt, "width": WIDTH}})


class UnitsPanel(widgets.VBox):
    """The switch of the notebook: degrees, kilograms and centimetres, or the other ones."""

    CHOICES = (("°C, kg, cm", METRIC), ("°F, lb, in", US))

    def __init__(self):
        self.choice = Choice("Charts speak in", "For all charts and sliders of this page",
                             self.CHOICES, Notebook.scale, label_px=None)
        self.choice.observe(lambda event: Notebook.use(event["new"]), "value")
        super().__init__([self.choice, widgets.HTML(STYLE, layout={"display": "none"})])
        self.add_class("ovk-panel")

    def _repr_mimebundle_(self, include=None, exclude=None):
        line = "230 °C is {0}, 10 kg are {1}, 80 cm are {2}".format(
            US.say(230, "temp"), US.say(10, "mass"), US.say(80, "length"))
        return bundle(super()._repr_mimebundle_(include=include, exclude=exclude), line)
