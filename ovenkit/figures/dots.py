"""Instruments at one moment: a row each, with a dot where it points on the temperature axis."""

from dataclasses import dataclass

import numpy as np

from ovenkit.figures.ink import DIAMOND, FONT, GRID, INK, Chart, png_bytes
from ovenkit.figures.pictures import Shown

AXES = (0.262, 0.125, 0.553, 0.770)     # left bottom wide high
BASE_C = (50.0, 400.0)                  # shown at least, so that moving a control moves dots only
REACH_C = 100.0                         # and as many of these more as are needed
TICKS = (20, 50, 100, 200, 500, 1000)
KINDS = {  # what an instrument looks at: colour, shape; told by shape as well as by colour
    "back": ("#0060a8", "^"),
    "front": ("#0060a8", "v"),
    "wall": ("#8d4f9e", "p"),
    "air": ("#8d4f9e", "o"),
    "hearth": ("#c04a00", "s"),
    "deep": ("#a06a00", "P"),
    "door": ("#444444", "X"),
    "feels": ("#00704f", "*"),
}
SIZE = {"*": 17, "P": 12, "X": 12}
OVER = ">"                              # shape of a dot that is only a lower limit


@dataclass(frozen=True)
class Dot:
    """One row: an instrument and what it shows.

    kind : of KINDS; name : said at the left
    value : what it shows [degC]; over : True where that is only a lower limit
    place : temperature of the very place it looks at [degC], or None
    kept : what it showed in a picture kept for comparison [degC], or None
    """

    kind: str
    name: str
    value: float
    over: bool = False
    place: float | None = None
    kept: float | None = None


@dataclass(frozen=True, eq=False)
class Dots(Shown):
    """What a picture of instruments at one moment shows.

    rows : tuple of Dot, from above; what is kept is drawn hollow
    guess : Mark with a value [degC], or None
    """

    rows: tuple

    @property
    def span_c(self):
        """Lowest and highest temperature of the axis [degC], from what is drawn."""
        drawn = [row.kept for row in self.rows]
        if not self.covered:
            drawn += [x for row in self.rows for x in (row.value, row.place)]
            drawn.append(self.guess.value if self.guess else None)
        drawn = [x for x in (*drawn, *BASE_C) if x is not None]
        low, high = min(drawn), max(drawn)
        return (low if low in BASE_C else REACH_C * np.floor(low / REACH_C),
                high if high in BASE_C else REACH_C * np.ceil(high / REACH_C))


class DotFigure(Chart):
    """One figure, drawn again and again: `png(picture)` gives its bytes.

    Rows, axis and grid are drawn once per frame and kept; dots are drawn over them, and words
    that change by Pillow.
    """

    def __init__(self):
        super().__init__()
        self.axes = self.figure.add_axes(AXES)
        self.axes.spines[["top", "right", "left"]].set_visible(False)
        self.axes.tick_params(labelsize=FONT, length=4)
        self.axes.set(yticks=[])
        self.axes.set_axisbelow(True)
        self.axes.grid(axis="x", color=GRID, linewidth=1.0)
        self.dot = self._artist(linestyle="none", markersize=11)
        self.hollow = self._artist(linestyle="none", markersize=11, markerfacecolor="none",
                                   markeredgecolor="#555555", markeredgewidth=2.0)
        self.tick = self._artist(linestyle="none", marker="|", markersize=19, color=INK,
                                 markeredgewidth=2.6)
        self.guess = self._artist(color=INK, linewidth=1.6, dashes=(4, 3), marker="D",
                                  markersize=11, markevery=[0])
        self._frame = self._kept_frame = None

    def _artist(self, **style):
        return self.axes.plot([], [], animated=True, clip_on=False, **style)[0]

    def png(self, picture):
        """Return the picture as PNG bytes."""
        self._scale(picture)
        self.canvas.restore_region(self._kept_frame)
        count = len(picture.rows)
        if picture.guess and not picture.covered:
            self.guess.set_data([picture.guess.value] * 2, [-0.5, count - 0.5])
            self.axes.draw_artist(self.guess)
        for i, row in enumerate(picture.rows):
            self._draw(row, count - 1 - i, picture.covered)
        image = self.image()
        self.write(image, (*self._names(picture), *self._head(picture)))
        return png_bytes(image)

    def _scale(self, picture):
        """Draw axis, grid and the line over 'feels like', if they differ from the last time."""
        frame = (picture.span_c, picture.scale.name, tuple(row.kind for row in picture.rows))
        if frame == self._frame:
            return
        self._frame = frame
        (low, high), _, kinds = frame
        scale, count = picture.scale, len(kinds)
        ends = scale.to(low, "temp"), scale.to(high, "temp")
        step = next(s for s in TICKS if (ends[1] - ends[0]) / s <= 7)
        shown = np.arange(np.ceil(ends[0] / step) * step, ends[1] + 1e-9, step)
        self.axes.set(xlim=(low, high), ylim=(-0.5, count - 0.5))
        self.axes.set_xticks([scale.back(x, "temp") for x in shown], [f"{x:.0f}" for x in shown])
        for line in [*self.axes.collections]:
            line.remove()
        self.axes.hlines(np.arange(count), low, high, color=GRID, linewidth=1.0)
        for i, kind in enumerate(kinds):
            if kind == "feels" and i:
                self.axes.hlines(count - i - 0.5, low, high, color="#777777", linewidth=1.2)
        self.canvas.draw()
        self._kept_frame = self.canvas.copy_from_bbox(self.figure.bbox)

    def _draw(self, row, height, covered):
        colour, shape = KINDS[row.kind]
        size = SIZE.get(shape, 11)
        if row.kept is not None:
            self.hollow.set(xdata=[row.kept], ydata=[height], marker=shape, markersize=size)
            self.axes.draw_artist(self.hollow)
        if covered:
            return
        if row.place is not None:
            self.tick.set_data([row.place], [height])
            self.axes.draw_artist(self.tick)
        self.dot.set(xdata=[row.value], ydata=[height], color=colour, markersize=size,
                     marker=OVER if row.over else shape)
        self.axes.draw_artist(self.dot)

    def _names(self, picture):
        """Words at both ends of every row: (x, y, text, colour, bold, anchor)."""
        right = AXES[0] + AXES[2] + 0.022
        for i, row in enumerate(picture.rows):
            y = AXES[1] + AXES[3] * (1 - (i + 0.5) / len(picture.rows))
            colour = KINDS[row.kind][0]
            yield AXES[0] - 0.022, y, row.name, colour, True, "rm"
            if not picture.covered:
                text = picture.scale.say(row.value, "temp", unit=False)
                yield right, y, f"over {text}" if row.over else text, colour, True, "lm"
        yield right + 0.012, AXES[1] - 0.047, picture.scale.unit("temp"), INK, False, "lm"

    def _head(self, picture):
        """Words over the rows: what hollow dots and ticks are, and the guess."""
        words = []
        if not picture.covered and any(row.place is not None for row in picture.rows):
            words.append("| brick or air itself")
        if any(row.kept is not None for row in picture.rows):
            words.append(f"hollow: {picture.kept_name}")
        yield 0.012, 0.955, "     ".join(words), INK, False, "lm"
        if picture.guess and not picture.covered:
            yield 0.988, 0.955, f"{DIAMOND} {picture.guess.words}", INK, True, "rm"
