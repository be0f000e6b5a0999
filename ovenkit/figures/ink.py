"""What all pictures share: size, ink, signs, and a figure that is drawn again and again."""

import io

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties, findfont
from PIL import Image, ImageDraw, ImageFont

DPI, FONT = 92, 12
SIZE_IN = 644 / DPI, 360 / DPI     # whole pixels, or the browser blurs the picture
FINE, POOR, UNTOLD, INK, GRID = "#dcebdc", "#f6dcc4", "#e6e6e6", "#111111", "#e4e4e4"
TICK, CROSS, DIAMOND = "\u2713", "\u2717", "\u25c6"


class Chart:
    """A figure of the size of all pictures; subclasses have `png(picture)`."""

    def __init__(self):
        self.figure = Figure(figsize=SIZE_IN, dpi=DPI, layout="none", facecolor="white")
        self.canvas = FigureCanvasAgg(self.figure)
        self.fonts = {bold: ImageFont.truetype(
            findfont(FontProperties(weight="bold" if bold else "normal")), FONT * DPI / 72)
            for bold in (False, True)}

    def image(self):
        """The canvas as it is drawn now, as a Pillow image."""
        return Image.fromarray(np.asarray(self.canvas.buffer_rgba())).convert("RGB")

    def wide(self, text, bold=False):
        """Width of a text [in]."""
        return self.fonts[bold].getlength(text) / DPI

    def write(self, image, words, ground=None):
        """Write (x, y, text, colour, bold, anchor) on an image, x and y as shares from below."""
        draw = ImageDraw.Draw(image)
        for x, y, text, colour, bold, anchor in words:
            at = (x * image.width, (1 - y) * image.height)
            if ground:
                draw.rectangle(draw.textbbox(at, text, self.fonts[bold], anchor), ground)
            draw.text(at, text, colour, self.fonts[bold], anchor)


def png_bytes(image):
    """A Pillow image as PNG bytes, packed quickly."""
    out = io.BytesIO()
    image.save(out, "png", compress_level=1)
    return out.getvalue()
