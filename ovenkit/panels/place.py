"""The place of a picture on the page: an image with alt text, and its words below."""

import base64
from html import escape

import ipywidgets as widgets

from ovenkit.figures import CROSS, DPI, SIZE_IN, TICK, DayFigure

WIDTH, HEIGHT = round(SIZE_IN[0] * DPI), round(SIZE_IN[1] * DPI)
STYLE = """<style>
.ovk-panel {--jp-widgets-font-size: 14px;}
.ovk-number .widget-label {position: absolute; width: 1px; height: 1px; overflow: hidden;
  clip-path: inset(50%);}
.ovk-words {font-size: 14px; line-height: 1.35; color: #111;}
.ovk-words ol {margin: 2px 0 2px 1.6em; padding: 0;}
.ovk-trouble {font-size: 15px; padding: 4px 8px; border: 2px solid #a33000; background: #fff2ea;}
</style>"""


def image_html(picture, png):
    """Return the HTML of a picture's image, of fixed size, with its alt text."""
    data = base64.b64encode(png).decode()
    return (f'<img alt="{escape(picture.alt)}" width="{WIDTH}" height="{HEIGHT}" '
            f'decoding="sync" style="display:block; max-width:none" '
            f'src="data:image/png;base64,{data}">')


def words_html(picture, revision, trouble=""):
    """Return the HTML of a picture's words: key line, or what is wrong; a line per load.

    revision : count of what has been shown, for who waits for a change
    trouble : sentence that says why there is no new picture, or ""
    """
    if trouble:
        head = (f'<div class="ovk-trouble" role="alert">{escape(trouble)}. The picture still '
                "shows the last day that could be run.</div>")
    else:
        head = f'<div class="ovk-key"><b>{escape(picture.key)}</b></div>'
    rows = "".join(f"<li>{_marked(line, band)}</li>"
                   for line, band in zip(picture.lines, picture.bands, strict=False))
    return f'<div class="ovk-words" data-revision="{revision}">{head}<ol>{rows}</ol></div>'


def _marked(line, band):
    name, rest = line.split(".", 1)
    return f"<b>{escape(name)} {TICK if band.good else CROSS}</b>.{escape(rest)}"


class Still(widgets.VBox):
    """A picture with its words; panels are made of it.

    It shows itself as a widget; where widgets do not run, as its PNG; in plain text as its key
    line.
    """

    def __init__(self, picture, **options):
        super().__init__(**options)
        self.add_class("ovk-panel")
        self.figure = DayFigure()
        self.image = widgets.HTML(layout={"width": f"{WIDTH}px", "height": f"{HEIGHT}px",
                                          "flex": "0 0 auto", "margin": "0", "overflow": "hidden"})
        self.words = widgets.HTML(layout={"margin": "0"})
        self.style_sheet = widgets.HTML(STYLE, layout={"display": "none"})
        self.revision = 0
        self.show(picture)
        self.children = [self.image, self.words, self.style_sheet]

    def show(self, picture):
        """Draw a picture in place of the last one."""
        self.picture = picture
        self.png = self.figure.png(picture)
        self.image.value = image_html(picture, self.png)
        self._say()

    def refuse(self, trouble):
        """Say what is wrong; the last picture stays."""
        self._say(trouble)

    def _say(self, trouble=""):
        self.revision += 1
        self.words.value = words_html(self.picture, self.revision, trouble)

    @property
    def plain_text(self):
        """The panel in one line of plain text."""
        return self.picture.key

    def _repr_mimebundle_(self, include=None, exclude=None):
        bundle = super()._repr_mimebundle_(include=include, exclude=exclude)
        data, metadata = bundle if isinstance(bundle, tuple) else (bundle, {})
        data = {**data, "text/plain": self.plain_text,
                "image/png": base64.b64encode(self.png).decode()}
        return data, {**metadata, "image/png": {"alt": self.picture.alt, "width": WIDTH}}
