"""Pictures of a day: a `Picture` says what to draw, a `DayFigure` draws it.

A Picture is plain numbers and words. A DayFigure keeps one matplotlib figure and redraws only
what changed, so that a picture follows a slider.
"""

import io
from dataclasses import dataclass, replace

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties, findfont
from PIL import Image, ImageDraw, ImageFont

from ovenkit.units import clock

DPI, FONT = 92, 12
SIZE_IN = 644 / DPI, 360 / DPI     # whole pixels, or the browser blurs the picture
AXES, STRIP = (0.082, 0.285, 0.695, 0.550), (0.082, 0.118, 0.695, 0.125)  # left bottom wide high
TOPS_C = (400, 450, 500, 600, 800, 1200)
TOPS_LOAVES = (20, 50, 100, 150, 200, 500, 1000)
LINES = {  # name: colour, dashes, width, label; safe for colour-blind eyes, and told by dashes
    "dome": ("#0060a8", (6, 1.5, 1, 1.5), 2.4, "dome"),
    "feels": ("#00704f", (7, 2.5), 2.6, "feels like"),
    "air": ("#8d4f9e", (), 1.4, "air"),
    "under": ("#c04a00", (1, 1), 3.0, "under load"),
    "hearth": ("#c04a00", (), 3.2, "hearth"),
    "kept": ("#555555", (3, 2), 2.2, "kept"),
}
FINE, POOR, UNTOLD, INK = "#dcebdc", "#f6dcc4", "#e6e6e6", "#111111"
TICK, CROSS, DIAMOND = "\u2713", "\u2717", "\u25c6"


@dataclass(frozen=True)
class Band:
    """A load in the oven: from and to [h], its name, its verdict, and whether that is good."""

    from_h: float
    to_h: float
    name: str
    verdict: str
    good: bool

    @property
    def label(self):
        """Its name and how it came out, if that is told."""
        if not self.verdict:
            return self.name
        return f"{self.name} {TICK}" if self.good else f"{self.name} {CROSS} {self.verdict}"

    @property
    def shade(self):
        """Its colour: green for good, orange for not, grey if that is not told."""
        return (FINE if self.good else POOR) if self.verdict else UNTOLD


@dataclass(frozen=True, eq=False)
class Picture:
    """What a picture of a day shows.

    curves : dict, name of LINES -> (hours, degC), drawn in the order of LINES
    bands : tuple of Band
    left : (hours, loaves left), or None
    kept_left : the same of a day kept for comparison, or None
    span_h : first and last hour shown; lit_at : time of day of hour 0, "HH:MM"
    key, alt : the key numbers in a line; what the picture shows, for who cannot see it
    lines : tuple of sentences, one per load
    guess : (hours, degC, words) marked on the chart, or None
    kept_name : what the curve kept for comparison is called at its end
    covered : True draws no curve but the kept one, on the axes of them all
    """

    curves: dict
    bands: tuple
    span_h: tuple
    key: str
    alt: str
    left: tuple | None = None
    kept_left: tuple | None = None
    lit_at: str = "06:00"
    lines: tuple = ()
    guess: tuple | None = None
    kept_name: str = LINES["kept"][3]
    covered: bool = False

    @property
    def seen(self):
        """The curves that are drawn."""
        return {name: y for name, y in self.curves.items() if name == "kept" or not self.covered}


def spread(values, least, low, high):
    """Return positions near `values`, at least `least` apart, within low and high if they fit.

    values : sorted or not, 1-d. Groups that touch are centred on their mean, as in isotonic
    regression.
    """
    if not len(values):
        return np.empty(0)
    order = np.argsort(values, kind="stable")
    wanted = np.asarray(values, float)[order] - least * np.arange(len(values))
    blocks = []
    for value in wanted:
        blocks.append([value, 1])
        while len(blocks) > 1 and blocks[-2][0] > blocks[-1][0]:
            (a, n), (b, m) = blocks[-2:]
            blocks[-2:] = [[(a * n + b * m) / (n + m), n + m]]
    top = high - least * (len(values) - 1)
    level = np.concatenate([np.full(n, np.clip(v, low, max(top, low))) for v, n in blocks])
    out = np.empty(len(values))
    out[order] = level + least * np.arange(len(values))
    return out


def rows_for(centres, widths, low, high, rows=3, gap=0.16):
    """Return (left edge, row) for labels over their centres; no two overlap if there is room.

    centres, widths : [in], from left to right; low, high : ends of the room [in]. They are laid
    from the left, or from the right where that would push the last ones out.
    """
    places = _rows_from_left(centres, widths, low, high, rows, gap)
    if any(x + w > high + 1e-9 for (x, _), w in zip(places, widths, strict=True)):
        mirrored = _rows_from_left([-c for c in centres[::-1]], widths[::-1], -high, -low, rows,
                                   gap)
        places = [(-x - w, row) for (x, row), w in zip(mirrored, widths[::-1], strict=True)][::-1]
    return places


def _rows_from_left(centres, widths, low, high, rows, gap):
    ends, places = [-np.inf] * rows, []
    for centre, width in zip(centres, widths, strict=True):
        want = min(max(centre - width / 2, low), high - width)
        shift = [max(end + gap - want, 0.0) for end in ends]
        row = int(np.argmin(shift))
        places.append((want + shift[row], row))
        ends[row] = want + shift[row] + width
    return places


def _above(value, steps):
    return next((step for step in steps if step >= value), steps[-1])


class DayFigure:
    """One figure, drawn again and again: `png(picture)` gives its bytes.

    Axes, ticks and grid are drawn once per frame and kept; curves and bands are drawn by
    matplotlib over the kept frame, and the words that change by Pillow, which is faster at it.
    """

    def __init__(self):
        self.figure = Figure(figsize=SIZE_IN, dpi=DPI, layout="none", facecolor="white")
        self.canvas = FigureCanvasAgg(self.figure)
        self.axes = self.figure.add_axes(AXES)
        self.strip = self.figure.add_axes(STRIP, sharex=self.axes)
        for axes in (self.axes, self.strip):
            axes.spines[["top", "right"]].set_visible(False)
            axes.tick_params(labelsize=FONT, length=4)
            axes.grid(axis="y", color="#e4e4e4", linewidth=1.0)
        self.axes.tick_params(labelbottom=False)
        self.figure.text(0.004, 0.862, "°C", fontsize=FONT)
        self.words = self.figure.text(0.25, 0.012, "", fontsize=FONT)
        self.curves = {name: self._line(self.axes, colour, width, dashes)
                       for name, (colour, dashes, width, _) in LINES.items()}
        self.kept_left = self._line(self.strip, LINES["kept"][0], 1.8, LINES["kept"][1])
        self.left = self._line(self.strip, INK, 2.4)
        self.guess = self.axes.plot([], [], "D", color=INK, markersize=11, animated=True,
                                    clip_on=False)[0]
        self.bands = []
        self._frame = self._kept_frame = None
        self._fonts = {bold: ImageFont.truetype(
            findfont(FontProperties(weight="bold" if bold else "normal")), FONT * DPI / 72)
            for bold in (False, True)}

    @staticmethod
    def _line(axes, colour, width, dashes=()):
        return axes.plot([], [], color=colour, linewidth=width, dashes=dashes or (None, None),
                         solid_capstyle="butt", animated=True)[0]

    def png(self, picture):
        """Return the picture as PNG bytes."""
        self._scale(picture)
        if picture.covered:
            picture = replace(picture, left=None, kept_left=None)
        bands = [b for b in picture.bands if b.from_h < picture.span_h[1]]
        names = self._names(picture, bands)
        self.canvas.restore_region(self._kept_frame)
        for artist in (*self._band_artists(bands, names), *self._curve_artists(picture)):
            artist.axes.draw_artist(artist)
        image = Image.fromarray(np.asarray(self.canvas.buffer_rgba())).convert("RGB")
        self._write(image, names, "white")
        self._write(image, (*self._ends(picture), *self._counts(picture, bands),
                            *self._guessed(picture)))
        out = io.BytesIO()
        image.save(out, "png", compress_level=1)
        return out.getvalue()

    def _scale(self, picture):
        """Draw axes, ticks and grid, if they differ from the last time."""
        start, end = picture.span_h
        hottest = max([np.nanmax(y[(x >= start) & (x <= end)])
                       for x, y in picture.curves.values()], default=300.0)
        left = filter(None, (picture.left, picture.kept_left))
        most = max([y[x >= start].max() for x, y in left], default=10.0)
        frame = (picture.span_h, picture.lit_at, _above(hottest, TOPS_C),
                 _above(most, TOPS_LOAVES))
        if frame == self._frame:
            return
        self._frame = frame
        _, lit_at, top_c, top_loaves = frame
        self.axes.set(xlim=(start, end), ylim=(0, top_c),
                      yticks=np.arange(0, top_c + 1, 100 if top_c <= 500 else 200))
        self.strip.set(ylim=(0, top_loaves), yticks=[0, top_loaves])
        step = next(s for s in (0.5, 1, 2, 3, 6, 12) if (end - start) / s <= 8.5)
        offset = float(lit_at[:2]) + float(lit_at[3:]) / 60
        ticks = np.arange(np.ceil((start + offset) / step) * step, end + offset + 1e-9, step)
        self.strip.set_xticks(ticks - offset, [clock(t - offset, lit_at) for t in ticks])
        self.words.set_text(f"time of day; the fire was lit at {lit_at}")
        self.canvas.draw()
        self._kept_frame = self.canvas.copy_from_bbox(self.figure.bbox)

    def _x(self, hours):
        """Share of the figure's width at which an hour lies."""
        start, end = self._frame[0]
        return AXES[0] + AXES[2] * (hours - start) / (end - start)

    def _y(self, temp_c):
        return AXES[1] + AXES[3] * temp_c / self._frame[2]

    def _wide(self, band):
        """Width of a band's words [in]."""
        return self._fonts[not band.good].getlength(band.label) / DPI

    def _names(self, picture, bands):
        """Words over the bands: (x, y, text, colour, bold, anchor), x and y shares."""
        end = picture.span_h[1]
        texts = [b.label for b in bands]
        wide = [self._wide(band) for band in bands]
        centres = [SIZE_IN[0] * self._x((b.from_h + min(b.to_h, end)) / 2) for b in bands]
        places = rows_for(centres, wide, 0.35, SIZE_IN[0])
        return [(x / SIZE_IN[0], AXES[1] + AXES[3] + 0.036 + 0.052 * row, text, INK,
                 not b.good, "lm") for (x, row), text, b in zip(places, texts, bands, strict=True)]

    def _band_artists(self, bands, names):
        while len(self.bands) < len(bands):
            self.bands.append([*(axes.axvspan(0, 1, animated=True, linewidth=0)
                                 for axes in (self.axes, self.strip)),
                               self.axes.plot([], [], color="#888888", linewidth=1.0,
                                              animated=True, clip_on=False)[0]])
        (start, end), _, top, _ = self._frame
        for band, name, (*patches, leader) in zip(bands, names, self.bands, strict=False):
            for patch in patches:
                patch.set(x=band.from_h, width=band.to_h - band.from_h, facecolor=band.shade)
            lift = (name[1] - 0.024 - AXES[1]) / AXES[3] * top
            middle = (band.from_h + min(band.to_h, end)) / 2
            left, right = name[0], name[0] + self._wide(band) / SIZE_IN[0]
            aim = np.clip(self._x(middle), left + 0.01, right - 0.01) - self._x(middle)
            leader.set_data([middle, middle + aim * (end - start) / AXES[2]], [top, lift])
            yield from (*patches, leader)

    def _curve_artists(self, picture):
        for name, line in self.curves.items():
            line.set_data(*picture.seen.get(name, ((), ())))
        for line, data in ((self.kept_left, picture.kept_left), (self.left, picture.left)):
            line.set_data(*(data or ((), ())))
        self.guess.set_data(*(self._mark(*picture.guess[:2]) if picture.guess else ((), ())))
        return (*self.curves.values(), self.kept_left, self.left, self.guess)

    def _mark(self, hours, temp_c):
        """Where the guess is marked: at its hour, but clear of the words at the right end."""
        start, end = self._frame[0]
        return [min(hours, end - 0.025 * (end - start))], [temp_c]

    def _ends(self, picture):
        """Words at the right end of every curve."""
        end = picture.span_h[1]
        values = {name: float(np.interp(end, x[~np.isnan(y)], y[~np.isnan(y)]))
                  for name, (x, y) in picture.seen.items()}
        heights = spread([self._y(min(v, self._frame[2])) for v in values.values()], 0.052,
                         AXES[1] + 0.01, AXES[1] + AXES[3])
        x = AXES[0] + AXES[2] + 0.01
        for (name, value), y in zip(values.items(), heights, strict=True):
            label = picture.kept_name if name == "kept" else LINES[name][3]
            yield x, y, f"{label} {value:.0f}", LINES[name][0], True, "lm"
        left = f" {np.interp(end, *picture.left):.0f}" if picture.left else ""
        yield x, STRIP[1] + STRIP[3] / 2, f"loaves left{left}", INK, True, "lm"

    def _counts(self, picture, bands):
        """Loaves left as each load goes in, clear of the curve; left out where two would touch."""
        last = -1.0
        for band in bands if picture.left else ():
            x, left = self._x(band.from_h) + 0.005, np.interp(band.from_h, *picture.left)
            if x - last > 0.045:
                low = left > self._frame[3] / 2
                yield (x, STRIP[1] + (0.004 if low else STRIP[3]), f"{left:.0f}", INK, False,
                       "lb" if low else "lt")
                last = x

    def _guessed(self, picture):
        """Words of the guess, in the corner that falling curves leave free."""
        if picture.guess:
            yield (AXES[0] + AXES[2] - 0.01, AXES[1] + AXES[3] - 0.045,
                   f"{DIAMOND} {picture.guess[2]}", INK, True, "rm")

    def _write(self, image, words, ground=None):
        draw = ImageDraw.Draw(image)
        for x, y, text, colour, bold, anchor in words:
            at = (x * image.width, (1 - y) * image.height)
            if ground:
                draw.rectangle(draw.textbbox(at, text, self._fonts[bold], anchor), ground)
            draw.text(at, text, colour, self._fonts[bold], anchor)
