"""A day as curves: temperatures, loaves left in a strip below, a band for each load.

A DayFigure keeps one matplotlib figure and redraws only what changed, so that a picture follows a
slider.
"""

from dataclasses import replace

import numpy as np

from ovenkit.figures.ink import DIAMOND, FONT, GRID, INK, SIZE_IN, Chart, png_bytes
from ovenkit.figures.layout import rows_for, spread
from ovenkit.units import clock

AXES, STRIP = (0.082, 0.285, 0.695, 0.550), (0.082, 0.118, 0.695, 0.125)  # left bottom wide high
TOPS = (400, 450, 500, 600, 800, 1000, 1200, 1600, 2000, 2400)    # of the axis
TOPS_LOAVES = (10, 20, 30, 40, 60, 80, 100, 150, 200, 500, 1000)
LINES = {  # name: colour, dashes, width, label; safe for colour-blind eyes, and told by dashes
    "outer": ("#6b5300", (1, 2.2), 2.6, "outer face"),
    "deep": ("#a06a00", (9, 2), 2.6, "25 mm in"),
    "back": ("#0060a8", (), 2.6, "dome back"),
    "front": ("#0060a8", (2.5, 1.5), 2.6, "dome front"),
    "dome": ("#0060a8", (6, 1.5, 1, 1.5), 2.4, "dome"),
    "feels": ("#00704f", (7, 2.5), 2.6, "feels like"),
    "air": ("#8d4f9e", (), 1.4, "air"),
    "fire": ("#8a1c00", (4, 1, 1, 1, 1, 1), 2.8, "hearth, fire"),
    "under": ("#c04a00", (1, 1), 3.0, "under load"),
    "hearth": ("#c04a00", (), 3.2, "hearth"),
    "kept": ("#555555", (3, 2), 2.2, "kept"),
}


def _above(value, steps):
    return next((step for step in steps if step >= value), steps[-1])


class DayFigure(Chart):
    """One figure, drawn again and again: `png(picture)` gives its bytes.

    Axes, ticks and grid are drawn once per frame and kept; curves and bands are drawn by
    matplotlib over the kept frame, and the words that change by Pillow, which is faster at it.
    """

    def __init__(self):
        super().__init__()
        self.axes = self.figure.add_axes(AXES)
        self.strip = self.figure.add_axes(STRIP, sharex=self.axes)
        for axes in (self.axes, self.strip):
            axes.spines[["top", "right"]].set_visible(False)
            axes.tick_params(labelsize=FONT, length=4)
            axes.grid(axis="y", color=GRID, linewidth=1.0)
        self.axes.tick_params(labelbottom=False)
        self.unit = self.figure.text(0.004, 0.862, "", fontsize=FONT)
        self.words = self.figure.text(0.25, 0.012, "", fontsize=FONT)
        self.curves = {name: self._line(self.axes, colour, width, dashes)
                       for name, (colour, dashes, width, _) in LINES.items()}
        self.kept_left = self._line(self.strip, LINES["kept"][0], 1.8, LINES["kept"][1])
        self.left = self._line(self.strip, INK, 2.4)
        self.guesses = [axes.plot([], [], "D", color=INK, markersize=11, animated=True,
                                  clip_on=False)[0] for axes in (self.axes, self.strip)]
        self.moment = self._line(self.axes, INK, 2.4, (4, 2))
        self.bands = []
        self._frame = self._kept_frame = None

    @staticmethod
    def _line(axes, colour, width, dashes=()):
        return axes.plot([], [], color=colour, linewidth=width, dashes=dashes or (None, None),
                         solid_capstyle="butt", animated=True)[0]

    def png(self, picture):
        """Return the picture as PNG bytes."""
        picture = self._converted(picture)
        self._scale(picture)
        if picture.covered:
            untold = tuple(replace(band, verdict="", good=True) for band in picture.bands)
            picture = replace(picture, left=None, kept_left=None, bands=untold)
        bands = [b for b in picture.bands if b.from_h < picture.span_h[1]]
        names = self._names(picture, bands)
        self.canvas.restore_region(self._kept_frame)
        for artist in (*self._band_artists(bands, names), *self._curve_artists(picture)):
            artist.axes.draw_artist(artist)
        image = self.image()
        self.write(image, names, "white")
        self.write(image, (*self._ends(picture), *self._counts(picture, bands),
                           *self._guessed(picture)))
        return png_bytes(image)

    @staticmethod
    def _converted(picture):
        """The picture with its temperatures in its own scale."""
        to, guess = picture.scale.to, picture.guess
        curves = {name: (x, to(y, "temp")) for name, (x, y) in picture.curves.items()}
        if guess and guess.value is not None and not guess.strip:
            guess = replace(guess, value=to(guess.value, "temp"))
        return replace(picture, curves=curves, guess=guess)

    def _scale(self, picture):
        """Draw axes, ticks and grid, if they differ from the last time."""
        start, end = picture.span_h
        hottest = max([np.nanmax(y[(x >= start) & (x <= end)])
                       for x, y in picture.curves.values()], default=300.0)
        left = list(filter(None, (picture.left, picture.kept_left)))
        most = max([y[(x >= start) & (x <= end)].max() for x, y in left], default=10.0)
        frame = (picture.span_h, picture.lit_at, _above(hottest, TOPS),
                 _above(most, TOPS_LOAVES), picture.scale.unit("temp"), bool(left))
        if frame == self._frame:
            return
        self._frame = frame
        _, lit_at, top, top_loaves, unit, has_strip = frame
        self.unit.set_text(unit)
        each = next(step for step in (50, 100, 200, 400, 500) if top / step <= 6)
        self.axes.set(xlim=(start, end), ylim=(0, top), yticks=np.arange(0, top + 1, each))
        self.strip.set(ylim=(0, top_loaves), yticks=[0, top_loaves] if has_strip else [])
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
        return self.wide(band.label, not band.good)

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
        (start, end), _, top, *_ = self._frame
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
        return (*self.curves.values(), self.kept_left, self.left, *self._mark(picture.guess))

    def _mark(self, guess):
        """Artists of a guess: at its hour, but clear of the words at the right end."""
        start, end = self._frame[0]
        for marker in self.guesses:
            marker.set_data((), ())
        self.moment.set_data((), ())
        if guess and guess.value is None:
            self.moment.set_data([guess.hours] * 2, [0, self._frame[2]])
        elif guess:
            hours = min(max(guess.hours, start), end - 0.025 * (end - start))
            self.guesses[guess.strip].set_data([hours], [guess.value])
        return (*self.guesses, self.moment)

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
        if self._frame[5]:
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
            sign = "\u2506" if picture.guess.value is None else DIAMOND
            yield (AXES[0] + AXES[2] - 0.01, AXES[1] + AXES[3] - 0.045,
                   f"{sign} {picture.guess.words}", INK, True, "rm")
