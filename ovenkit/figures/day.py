"""A day as curves: temperatures, air and loaves left in strips below, a band for each load.

Air has a strip of its own: it moves by a hundred degrees where brick moves by a few. A DayFigure
keeps one matplotlib figure and redraws only what changed, so that a picture follows a slider.
"""

from dataclasses import replace

import numpy as np

from ovenkit.figures.ink import DIAMOND, FONT, GRID, INK, SIZE_IN, Chart, png_bytes
from ovenkit.figures.layout import rows_for, spread
from ovenkit.units import clock

LEFT, WIDE, TOP = 0.082, 0.695, 0.835                   # of all axes, shares of the figure
BOTTOM = {False: 0.285, True: 0.397}                    # of the temperatures: without air, with it
AIR, STRIP = (0.250, 0.125), (0.118, 0.110)             # bottom and height of the strips
BETWEEN_PT = 1.5                                        # between bands that touch
HIGH, LINE = 0.043, 0.052                               # of words, and from one line to the next
STEPS, MOST_STEPS = (10, 20, 50, 100, 200, 500, 1000, 2000), 5      # of the ticks
ROOM, CLEAR = 1.05, 0.06    # over the loaves left; round the words of a guess, a share
COVERED_C = np.array([0.0, 400.0])      # shown at least before the answer is told
LINES = {  # name: colour, dashes, width, label; safe for colour-blind eyes, and told by dashes
    "outer": ("#6b5300", (1, 2.2), 2.6, "outer face"),
    "deep": ("#a06a00", (9, 2), 2.6, "25 mm in"),
    "back": ("#0060a8", (), 2.6, "dome back"),
    "front": ("#0060a8", (2.5, 1.5), 2.6, "dome front"),
    "dome": ("#0060a8", (6, 1.5, 1, 1.5), 2.4, "dome"),
    "feels": ("#00704f", (7, 2.5), 2.6, "feels like"),
    "air": ("#8d4f9e", (), 2.0, "air"),
    "fire": ("#8a1c00", (4, 1, 1, 1, 1, 1), 2.8, "hearth, fire"),
    "under": ("#c04a00", (1, 1), 3.0, "under load"),
    "hearth": ("#c04a00", (), 3.2, "hearth"),
    "kept": ("#555555", (3, 2), 2.2, "kept"),
}


def limits(values):
    """Return (bottom, top, step) of an axis that shows all values, at whole steps."""
    low, high = min(values), max(values)
    step = next((s for s in STEPS if (high - low) / s <= MOST_STEPS), STEPS[-1])
    bottom = step * np.floor(low / step)
    return float(bottom), float(max(step * np.ceil(high / step), bottom + step)), step


class DayFigure(Chart):
    """One figure, drawn again and again: `png(picture)` gives its bytes.

    Axes, ticks and grid are drawn once per frame and kept; curves and bands are drawn by
    matplotlib over the kept frame, and the words that change by Pillow, which is faster at it.
    """

    def __init__(self):
        super().__init__()
        self.axes = self.figure.add_axes((LEFT, BOTTOM[False], WIDE, TOP - BOTTOM[False]))
        self.air, self.strip = (self.figure.add_axes((LEFT, bottom, WIDE, high), sharex=self.axes)
                                for bottom, high in (AIR, STRIP))
        self.all = self.axes, self.air, self.strip
        for axes in self.all:
            axes.spines[["top", "right"]].set_visible(False)
            axes.tick_params(labelsize=FONT, length=4, labelbottom=axes is self.strip)
            axes.grid(axis="y", color=GRID, linewidth=1.0)
        self.unit = self.figure.text(0.004, TOP + 0.027, "", fontsize=FONT)
        self.words = self.figure.text(0.25, 0.012, "", fontsize=FONT)
        self.curves = {
            name: self._line(self.air if name == "air" else self.axes, colour, width, dashes)
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
        picture, counted = self._converted(picture), picture.left is not None
        if picture.covered:
            untold = tuple(replace(band, verdict="", good=True) for band in picture.bands)
            picture = replace(picture, left=None, kept_left=None, bands=untold)
        self._scale(picture, counted)
        bands = [b for b in picture.bands if b.from_h < picture.span_h[1]]
        names = self._names(picture, bands)
        self.canvas.restore_region(self._kept_frame)
        for artist in (*self._band_artists(bands, names), *self._curve_artists(picture)):
            artist.axes.draw_artist(artist)
        image = self.image()
        self.write(image, (*names, *self._guessed(picture)), "white")
        self.write(image, (*self._ends(picture, counted), *self._counts(picture, bands)))
        return png_bytes(image)

    @staticmethod
    def _converted(picture):
        """The picture with its temperatures in its own scale."""
        to, guess = picture.scale.to, picture.guess
        curves = {name: (x, to(y, "temp")) for name, (x, y) in picture.curves.items()}
        if guess and guess.value is not None and not guess.strip:
            guess = replace(guess, value=to(guess.value, "temp"))
        return replace(picture, curves=curves, guess=guess)

    def _scale(self, picture, counted):
        """Draw axes, ticks and grid, if they differ from the last time.

        counted : whether there is a strip of loaves left
        """
        (start, end), guess = picture.span_h, picture.guess

        def shown(data):
            x, y = data
            return y[(x >= start) & (x <= end) & ~np.isnan(y)].tolist()

        least = picture.scale.to(COVERED_C, "temp").tolist() if picture.covered else []
        temps = least + [value for name, data in picture.seen.items() if name != "air"
                         for value in shown(data)]
        air = shown(picture.seen["air"]) if "air" in picture.seen else least
        left = [0.0, *(ROOM * value for data in (picture.left, picture.kept_left) if data
                       for value in shown(data))]
        if guess and guess.value is not None:
            (left if guess.strip else temps).append(guess.value)
        frame = (picture.span_h, (picture.lit_at, picture.lit), limits(temps), limits(left),
                 limits(air) if "air" in picture.curves else None, picture.scale.unit("temp"),
                 counted)
        if frame != self._frame:
            self._frame = frame
            self._draw_frame(*frame)

    def _draw_frame(self, span_h, lighting, temps, left, air, unit, counted):
        start, end = span_h
        self.unit.set_text(unit)
        self.air.set_visible(air is not None)
        self.axes.set_position((LEFT, self._bottom, WIDE, TOP - self._bottom))
        bottom, top, each = temps
        self.axes.set(xlim=span_h, ylim=(bottom, top), yticks=np.arange(bottom, top + 1, each))
        for axes, shown in ((self.air, air), (self.strip, left)):
            bottom, top, _ = shown or (0, 1, 1)
            axes.set(ylim=(bottom, top),
                     yticks=[bottom, top] if axes is self.air or counted else [])
            for label, side in zip(axes.get_yticklabels(), ("bottom", "top"), strict=False):
                label.set_va(side)
        lit_at, lit = lighting
        step = next(s for s in (0.5, 1, 2, 3, 6, 12) if (end - start) / s <= 8.5)
        offset = float(lit_at[:2]) + float(lit_at[3:]) / 60
        ticks = np.arange(np.ceil((start + offset) / step) * step, end + offset + 1e-9, step)
        self.strip.set_xticks(ticks - offset, [clock(t - offset, lit_at) for t in ticks])
        self.words.set_text(f"time of day; {lit or f'the fire was lit at {lit_at}'}")
        self.canvas.draw()
        self._kept_frame = self.canvas.copy_from_bbox(self.figure.bbox)

    @property
    def _bottom(self):
        """Share of the figure's height at which the temperatures end."""
        return BOTTOM[self._frame[4] is not None]

    def _x(self, hours):
        """Share of the figure's width at which an hour lies."""
        start, end = self._frame[0]
        return LEFT + WIDE * (hours - start) / (end - start)

    def _y(self, temp):
        """Share of the figure's height at which a temperature lies."""
        bottom, top, _ = self._frame[2]
        return self._bottom + (TOP - self._bottom) * (temp - bottom) / (top - bottom)

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
        return [(x / SIZE_IN[0], TOP + 0.036 + LINE * row, text, INK, not b.good, "lm")
                for (x, row), text, b in zip(places, texts, bands, strict=True)]

    def _band_artists(self, bands, names):
        while len(self.bands) < len(bands):
            self.bands.append([*(axes.axvspan(0, 1, animated=True, edgecolor="white",
                                              linewidth=BETWEEN_PT)
                                 for axes in self.all),
                               self.axes.plot([], [], color="#888888", linewidth=1.0,
                                              animated=True, clip_on=False)[0]])
        (start, end), _, (bottom, top, _), *_ = self._frame
        for band, name, (*patches, leader) in zip(bands, names, self.bands, strict=False):
            for patch in patches:
                patch.set(x=band.from_h, width=band.to_h - band.from_h, facecolor=band.shade)
            lift = top + (top - bottom) * (name[1] - 0.024 - TOP) / (TOP - self._bottom)
            middle = (band.from_h + min(band.to_h, end)) / 2
            left, right = name[0], name[0] + self._wide(band) / SIZE_IN[0]
            aim = np.clip(self._x(middle), left + 0.01, right - 0.01) - self._x(middle)
            leader.set_data([middle, middle + aim * (end - start) / WIDE], [top, lift])
            yield from (patch for patch in patches if patch.axes.get_visible())
            yield leader

    def _curve_artists(self, picture):
        for name, line in self.curves.items():
            line.set_data(*picture.seen.get(name, ((), ())))
        for line, data in ((self.kept_left, picture.kept_left), (self.left, picture.left)):
            line.set_data(*(data or ((), ())))
        return (*self.curves.values(), self.kept_left, self.left, *self._mark(picture.guess))

    def _mark(self, guess):
        """Artists of a guess: at its hour, but clear of the words at the right end."""
        for marker in self.guesses:
            marker.set_data((), ())
        self.moment.set_data((), ())
        if guess and guess.value is None:
            self.moment.set_data([guess.hours] * 2, self._frame[2][:2])
        elif guess:
            self.guesses[guess.strip].set_data([self._guess_h(guess)], [guess.value])
        return (*self.guesses, self.moment)

    def _guess_h(self, guess):
        start, end = self._frame[0]
        return min(max(guess.hours, start), end - 0.025 * (end - start))

    def _ends(self, picture, counted):
        """Words at the right end of every curve."""
        end, x = picture.span_h[1], LEFT + WIDE + 0.01
        values = {name: float(np.interp(end, x[~np.isnan(y)], y[~np.isnan(y)]))
                  for name, (x, y) in picture.seen.items()}
        air = values.pop("air", None)
        heights = spread([self._y(value) for value in values.values()], LINE,
                         self._bottom + 0.01, TOP)
        for (name, value), y in zip(values.items(), heights, strict=True):
            label = picture.kept_name if name == "kept" else LINES[name][3]
            yield x, y, f"{label} {value:.0f}", LINES[name][0], True, "lm"
        if air is not None:
            yield x, AIR[0] + AIR[1] / 2, f"air {air:.0f}", LINES["air"][0], True, "lm"
        if counted:
            left = f" {np.interp(end, *picture.left):.0f}" if picture.left else ""
            yield x, STRIP[0] + STRIP[1] / 2, f"loaves left{left}", INK, True, "lm"

    def _counts(self, picture, bands):
        """Loaves left as each load goes in, clear of the curves; left out where two would touch."""
        (start, end), top, last = self._frame[0], self._frame[3][1], -1.0
        curves = [data for data in (picture.left, picture.kept_left) if data]
        for band in bands if picture.left else ():
            x, left = self._x(band.from_h) + 0.005, np.interp(band.from_h, *picture.left)
            if x - last > 0.045:
                over = band.from_h + np.array([0.0, 0.045]) * (end - start) / WIDE
                shares = [share for curve in curves for share in np.interp(over, *curve) / top]
                low = min(shares) > 1 - max(shares)
                yield (x, STRIP[0] + (0.004 if low else STRIP[1]), f"{left:.0f}", INK, False,
                       "lb" if low else "lt")
                last = x

    def _guessed(self, picture):
        """Words of the guess, where no curve runs if there is such a place."""
        guess = picture.guess
        if not guess:
            return
        sign = "\u2506" if guess.value is None else DIAMOND
        words = f"{sign} {guess.words}"
        wide, room = self.wide(words, True) / SIZE_IN[0], HIGH / 2 + 0.012
        places = [(x, y) for x in (LEFT + WIDE - 0.01 - wide, LEFT + 0.01)
                  for y in np.linspace(TOP - room, self._bottom + room, 9)]
        x, y = max(places, key=lambda place: self._clear(picture, *place, wide))
        yield x, y, words, INK, True, "lm"

    def _clear(self, picture, x, y, wide):
        """How far words at (x, y) are from curves and mark, in shares; at most CLEAR."""
        (start, end), guess = self._frame[0], picture.guess
        hours = start + (end - start) * (np.linspace(x, x + wide, 60) - LEFT) / WIDE
        gaps = [np.abs(self._y(np.interp(hours, *data, np.nan, np.nan)) - y) - HIGH / 2
                for name, data in picture.seen.items() if name != "air"]
        if not guess.strip:
            at = self._x(guess.hours if guess.value is None else self._guess_h(guess))
            across = max(x - at, at - x - wide)
            up = 0.0 if guess.value is None else abs(self._y(guess.value) - y) - HIGH
            gaps.append(np.array([max(across, up)]))
        return min([CLEAR, *(gap[~np.isnan(gap)].min(initial=CLEAR) for gap in gaps)])
