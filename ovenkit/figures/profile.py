"""Temperature through the depth of hearth and dome at a few moments: a curve for each moment."""

from dataclasses import dataclass

import numpy as np

from ovenkit.figures.ink import DIAMOND, FONT, GRID, INK, UNTOLD, Chart, png_bytes
from ovenkit.figures.layout import spread
from ovenkit.figures.pictures import Shown

LEFTS, LOW, WIDE, HIGH = (0.082, 0.545), 0.165, 0.335, 0.735    # the two axes, shares
BEYOND = 1.2            # what is shown, as a multiple of the masonry
COVERED_C = 600.0       # top of the axis before the answer is told
TOPS = (400, 500, 600, 800, 1000, 1200, 1600, 2000, 2400)
TICKS = {"cm": (10.0, (25, 50, 100)), "in": (1.0, (1, 2, 4))}     # shown per unit, and steps
STYLES = (  # colour, dashes, width, one for each moment; told by dashes as well as by colour
    ("#0060a8", (1, 1), 2.8), ("#00704f", (2.5, 1.5), 2.6), ("#8d4f9e", (6, 1.5, 1, 1.5), 2.6),
    ("#c04a00", (), 3.2), ("#111111", (7, 2.5), 2.6))
KEPT = ("#777777", (3, 2), 2.0)


@dataclass(frozen=True, eq=False)
class Wall:
    """What is known of one wall, from its inner face outwards.

    name : such as "hearth"; beyond : what lies outside its masonry, in a word
    masonry_mm : where the masonry ends [mm]
    depth_mm : depths of the temperatures, the inner face (0) first [mm]
    temps_c : (moments, depths) [degC]
    kept : (depths [mm], degC) of a wall kept for comparison, or None
    """

    name: str
    beyond: str
    masonry_mm: float
    depth_mm: np.ndarray
    temps_c: np.ndarray
    kept: tuple | None = None


@dataclass(frozen=True, eq=False)
class Profile(Shown):
    """What a picture of temperatures through the depth shows.

    walls : two Walls, drawn side by side; moments : words for each moment, up to five
    guess : Mark with a value [degC], a line across, or None
    """

    walls: tuple
    moments: tuple


class ProfileFigure(Chart):
    """One figure, drawn again each time: `png(picture)` gives its bytes."""

    def __init__(self):
        super().__init__()
        self.axes = [self.figure.add_axes((left, LOW, WIDE, HIGH)) for left in LEFTS]

    def png(self, picture):
        """Return the picture as PNG bytes."""
        to, top = picture.scale.to, self._top(picture)
        self.figure.texts.clear()
        self.figure.text(0.004, LOW + HIGH + 0.028, picture.scale.unit("temp"), fontsize=FONT)
        words = []
        for axes, left, wall in zip(self.axes, LEFTS, picture.walls, strict=True):
            seen = () if picture.covered else wall.temps_c
            curves = [(wall.depth_mm, to(temps, "temp"), style, name) for temps, style, name
                      in zip(seen, STYLES, picture.moments, strict=False)]
            if wall.kept is not None:
                curves.append((wall.kept[0], to(wall.kept[1], "temp"), KEPT, picture.kept_name))
            end = min(BEYOND * wall.masonry_mm, wall.depth_mm[-1])
            self._draw(axes, wall, curves, end, top, picture)
            words += self._names(left, curves, end, top)
            words.append((left + WIDE / 2, LOW + HIGH + 0.05, wall.name, INK, True, "mm"))
        unit = "mm" if picture.scale.unit("length") == "cm" else "inches"
        self.figure.text(0.5, 0.014, f"depth under the skin, {unit}", fontsize=FONT, ha="center")
        if picture.guess:
            words.append((LEFTS[0] + WIDE, LOW + HIGH - 0.04,
                          f"{DIAMOND} {picture.guess.words}", INK, True, "rm"))
        self.axes[1].tick_params(labelleft=False)       # as on the left
        self.canvas.draw()
        image = self.image()
        self.write(image, words)
        return png_bytes(image)

    @staticmethod
    def _top(picture):
        """Top of the axis, in the picture's scale."""
        hottest = COVERED_C if picture.covered else max(w.temps_c.max() for w in picture.walls)
        kept = [w.kept[1].max() for w in picture.walls if w.kept is not None]
        hottest = picture.scale.to(max([hottest, *kept]), "temp")
        return next((top for top in TOPS if top >= hottest), TOPS[-1])

    @staticmethod
    def _draw(axes, wall, curves, end, top, picture):
        """Curves, ground and ticks of one wall."""
        axes.clear()
        axes.spines[["top", "right"]].set_visible(False)
        axes.tick_params(labelsize=FONT, length=4)
        axes.grid(axis="y", color=GRID, linewidth=1.0)
        axes.axvspan(wall.masonry_mm, end, color=UNTOLD, linewidth=0, zorder=0)
        axes.axvline(wall.masonry_mm, color="#888888", linewidth=1.2, zorder=0)
        axes.text((wall.masonry_mm + end) / 2, 0.97 * top, wall.beyond, rotation=90, va="top",
                  ha="center", fontsize=FONT)
        for depth, temps, (colour, dashes, width), _ in curves:
            axes.plot(depth, temps, color=colour, dashes=dashes or (None, None), linewidth=width,
                      solid_capstyle="butt")
        if picture.guess and picture.guess.value is not None:
            axes.axhline(picture.scale.to(picture.guess.value, "temp"), color=INK, linewidth=1.8,
                         dashes=(4, 3))
        per, steps = TICKS[picture.scale.unit("length")]
        long = picture.scale.to(end / 10, "length") * per
        step = next((s for s in steps if long / s <= 6), steps[-1])
        at = np.arange(0, long + 1e-9, step)
        axes.set(xlim=(0, end), ylim=(0, top), xticks=at * end / long,
                 xticklabels=[f"{x:g}" for x in at],
                 yticks=np.arange(0, top + 1, next(s for s in (100, 200, 400) if top / s <= 6)))

    @staticmethod
    def _names(left, curves, end, top):
        """Words at the outer end of the curves."""
        ends = [LOW + HIGH * min(np.interp(end, x, y) / top, 1.0) for x, y, *_ in curves]
        places = spread(ends, 0.052, LOW, LOW + HIGH)
        return [(left + WIDE + 0.008, y, name, colour, True, "lm")
                for y, (_, _, (colour, *_), name) in zip(places, curves, strict=True)]


