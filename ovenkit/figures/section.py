"""An oven cut through the middle of its mouth, to scale, with what it holds in bars below."""

from dataclasses import dataclass

import numpy as np
from matplotlib.lines import Line2D
from matplotlib.patches import FancyArrowPatch, Polygon

from ovenkit.figures.ink import DIAMOND, DPI, GRID, INK, SIZE_IN, Chart, png_bytes
from ovenkit.figures.layout import spread
from ovenkit.figures.pictures import Shown
from ovenkit.oven import UNDER_HEARTH, Oven
from ovenkit.units import METRIC

WIDE, HIGH = SIZE_IN[0] * DPI, SIZE_IN[1] * DPI     # [px]
SCALES = (240, 190, 145, 110, 80, 60, 45)   # px for a metre: the first that fits
ROOM = (112, 452, 88, 352)                          # of the drawing: left, right, low, high [px]
BARS, BAR_ROWS, BAR_HIGH = (172, 420), (62, 26), 16     # ends, middles and height of the bars [px]
TOPS = tuple(step * 10**power for power in range(1, 6) for step in (1, 2, 5))
KEPT = "#555555"
STYLES = {  # what it is made of: colour, hatching
    "brick": ("#e39a74", "//"), "cast": ("#e39a74", ".."), "insulation": ("#f6e7ae", "xxx"),
    "sand": ("#e8d3a2", "..."), "slab": ("#d3d3d3", "\\\\"), "plain": ("#ececec", ""),
    "crust": ("#8f5f2c", "")}
LIGHT_W_MK, THIN_M = 0.2, 0.02      # below it a layer is insulation; a thinner one has no hatching
FLUE_M, GAP_M = 0.15, 0.03          # the duct as it is drawn (common practice, no source)
LOAF_M = (0.23, 0.09)               # the 800 g hearth loaf of the catalogue, wide and high
CROWN, SIDE = np.radians((62, 28))  # where the dome's names point, over the horizontal


@dataclass(frozen=True)
class Bar:
    """A bar below the oven: its name, value, range, and the value it is compared with, or None.

    of : what is measured, as in `units.Scale`
    """

    name: str
    value: float
    low: float
    high: float
    of: str = ""
    kept: float | None = None

    def words(self, scale=METRIC):
        """Its value and range in words: "326 kg (271 to 384)"."""
        low, high = (scale.say(x, self.of, unit=False) for x in (self.low, self.high))
        return f"{scale.say(self.value, self.of)} ({low} to {high})"


@dataclass(frozen=True, eq=False)
class Section(Shown):
    """What a picture of an oven shows.

    oven : Oven; bars : two Bars; kept : Oven drawn dashed for comparison, or None
    guess : Mark on the first bar, or with `strip` on the second, or None
    covered : True shows the shape of the oven and the names of the bars, no bar but the kept one
    """

    oven: Oven
    bars: tuple
    kept: Oven | None = None


def thickness(metres, scale=METRIC):
    """A thickness [m] in words: millimetres, or inches with a digit."""
    if scale == METRIC:
        return f"{1000 * metres:.0f} mm"
    return scale.say(100 * metres, "length", 1)


def under_name(oven):
    """What is under the hearth, in the words of `domed_oven` if it has them."""
    layers = tuple((layer.material.name, 1000 * layer.thickness_m) for layer in oven.hearth[1:])
    known = {tuple((name, float(mm)) for name, mm in rows): key
             for key, rows in UNDER_HEARTH.items()}
    return known.get(layers) or (layers[0][0] if layers else "nothing")


def style(layer, first):
    """Name in STYLES of a Layer; first : it is the masonry that stores."""
    material = layer.material
    if first:
        return "cast" if "castable" in material.name else "brick"
    if material.k_at(20) < LIGHT_W_MK:
        return "insulation"
    return "sand" if material.name == "sand" else "slab"


def dome_arc(oven, depth_m, points=73):
    """Points of the dome `depth_m` [m] outside its inner face, from the back to over the mouth.

    Returns an array (points, 2) of [m]: forward of the middle, negative, and over the hearth.
    """
    radius = oven.sphere_radius_m + depth_m
    middle = oven.rise_m - oven.sphere_radius_m
    back = np.arcsin(np.clip(-middle / radius, -1, 1))
    front = np.pi - np.arcsin(np.clip((oven.mouth_h_m - middle) / radius, -1, 1))
    turn = np.linspace(back, front, points)
    return np.column_stack([radius * np.cos(turn), middle + radius * np.sin(turn)])


def depths(layers):
    """Depths [m] of the faces of layers, from the inner face outwards."""
    return np.append(0.0, np.cumsum([layer.thickness_m for layer in layers]))


def extent(oven):
    """Return (front, back, low, high) of an oven with its flue [m], from the middle of the hearth.
    """
    shell = depths(oven.dome)[-1]
    outer = dome_arc(oven, shell)
    front = outer[:, 0].min() - GAP_M
    return front - FLUE_M, outer[:, 0].max(), -depths(oven.hearth)[-1], oven.rise_m + shell


class SectionFigure(Chart):
    """One figure, drawn again and again: `png(picture)` gives its bytes."""

    def __init__(self):
        super().__init__()
        self.axes = self.figure.add_axes((0, 0, 1, 1), xlim=(0, WIDE), ylim=(0, HIGH))
        self.axes.set_axis_off()

    def png(self, picture):
        """Return the picture as PNG bytes."""
        for artist in (*self.axes.patches, *self.axes.lines):
            artist.remove()
        self._place([oven for oven in (picture.oven, picture.kept) if oven])
        self._draw_oven(picture.oven)
        words = [*self._names(picture), *self._bars(picture)]
        if picture.kept:
            words += self._kept(picture)
        self.canvas.draw()
        image = self.image()
        self.write(image, [(x / WIDE, y / HIGH, *rest) for x, y, *rest in words])
        return png_bytes(image)

    def _place(self, ovens):
        """Choose the scale, and where the middle of the hearth stands [px]."""
        front, back, low, high = np.array([extent(oven) for oven in ovens]).T
        front, back, low, high = front.min(), back.max(), low.min(), high.max()
        left, right, bottom, top = ROOM
        self.px = next((s for s in SCALES if (back - front) * s <= right - left
                        and (high - low) * s <= top - bottom), SCALES[-1])
        self.origin = np.array([(left + right - (front + back) * self.px) / 2,
                                (bottom + top - (low + high) * self.px) / 2])

    def _at(self, *points):
        return self.origin + self.px * np.array(points, float).reshape(-1, 2)

    def _area(self, points, kind, hatched=True):
        colour, hatch = STYLES[kind]
        self.axes.add_artist(Polygon(self._at(*points), facecolor=colour, edgecolor="#6b4a3a",
                                    hatch=hatch if hatched else "", linewidth=0.8))

    def _line(self, points, colour=INK, width=1.0, dashes=()):
        self.axes.add_artist(Line2D(*np.array(points).T, color=colour, linewidth=width,
                                    dashes=dashes or (None, None)))

    def _dot(self, x, y, marker="o", size=4):
        self.axes.add_artist(Line2D([x], [y], color=INK, marker=marker, markersize=size))

    def _block(self, left, right, low, high, kind, hatched=True):
        self._area([(left, low), (right, low), (right, high), (left, high)], kind, hatched)

    def _draw_oven(self, oven):
        front, back, _, high = extent(oven)
        half = oven.inside_m / 2
        for i, (layer, near, far) in enumerate(zip(oven.dome, depths(oven.dome)[:-1],
                                                   depths(oven.dome)[1:], strict=True)):
            shell = np.vstack([dome_arc(oven, far), dome_arc(oven, near)[::-1]])
            self._area(shell, style(layer, i == 0), far - near >= THIN_M)
        self._block(front, -half, -oven.hearth_masonry_m, 0, "plain")
        self._block(half, back, -oven.hearth_masonry_m, 0, "plain")
        for i, (layer, near, far) in enumerate(zip(oven.hearth, depths(oven.hearth)[:-1],
                                                   depths(oven.hearth)[1:], strict=True)):
            left, right = (-half, half) if i == 0 else (front, back)
            self._block(left, right, -far, -near, style(layer, i == 0), far - near >= THIN_M)
        self._draw_mouth(oven, front, high)
        turn = np.linspace(0, np.pi, 25)
        self._area(np.column_stack([LOAF_M[0] / 2 * np.cos(turn), LOAF_M[1] * np.sin(turn)]),
                   "crust", False)
        tape = self._at((-half, 0.012), (half, 0.012))
        self.axes.add_artist(FancyArrowPatch(*tape, arrowstyle="<|-|>", mutation_scale=11,
                                            shrinkA=0, shrinkB=0, color=INK, linewidth=1.4))

    def _draw_mouth(self, oven, front, high):
        """The door where it stands, and the duct in front of it."""
        door, door_m = self._door(oven), depths(oven.door)[-1]
        self.axes.add_artist(Polygon(
            self._at((door, 0), (door - door_m, 0), (door - door_m, oven.mouth_h_m),
                     (door, oven.mouth_h_m)), facecolor="#7d8b99", edgecolor=INK, linewidth=0.8))
        foot, head = oven.mouth_h_m + GAP_M, max(high, oven.mouth_h_m + 0.25)
        duct = self._at((front, foot), (front, head), (front + FLUE_M, head),
                        (front + FLUE_M, foot))
        self.axes.add_artist(Polygon(duct, facecolor="#f5f5f5", edgecolor="none"))
        for side in (duct[:2], duct[2:]):
            self._line(side, "#6b6b6b", 2.2)
        middle = front + FLUE_M / 2
        self.axes.add_artist(FancyArrowPatch(
            *self._at((middle, foot + 0.02), (middle, head - 0.01)), arrowstyle="-|>",
            mutation_scale=14, shrinkA=0, shrinkB=0, color="#6b6b6b", linewidth=2.0))

    @staticmethod
    def _door(oven):
        """Inner face of the door [m]: in the middle of the passage under the front of the dome."""
        return (dome_arc(oven, 0)[-1, 0] + dome_arc(oven, depths(oven.dome)[-1])[-1, 0]) / 2

    def _names(self, picture):
        """Names beside the oven, each with a line to its part; and its size inside."""
        oven, scale = picture.oven, picture.scale
        front, back, *_ = extent(oven)
        wall, faces, floor = oven.dome_masonry_m, depths(oven.dome), depths(oven.hearth)
        kind = "cast" if style(oven.dome[0], True) == "cast" else "brick"
        right = [(f"dome, {kind} {thickness(wall, scale)}", self._on_dome(oven, wall / 2, CROWN))]
        if len(faces) > 2:
            right.append((f"insulation {thickness(faces[2] - faces[1], scale)}",
                          self._on_dome(oven, (faces[1] + faces[2]) / 2, SIDE)))
        right.append((f"hearth {thickness(floor[1], scale)}",
                      (0.42 * oven.inside_m, -floor[1] / 2)))
        if len(floor) > 2:
            right.append((under_name(oven), (back - 0.02, -(floor[1] + floor[2]) / 2)))
        passage = dome_arc(oven, faces[-1])[-1, 0]
        width = scale.say(100 * oven.mouth_w_m, "length", unit=False)
        height = scale.say(100 * oven.mouth_h_m, "length")
        left = [("flue", (front, oven.rise_m)),
                (f"mouth {width} × {height}", (passage, 0.62 * oven.mouth_h_m)),
                ("door", (self._door(oven) - depths(oven.door)[-1] / 2, 0.2 * oven.mouth_h_m))]
        yield from self._column(left, False)
        yield from self._column(right, True)
        x, y = self._at((0, max(0.5 * oven.rise_m, LOAF_M[1] + 0.03)))[0]
        inside = scale.say(100 * oven.inside_m, "length")
        roomy = self.px * oven.inside_m > 150
        yield x, y, f"{inside} inside" if roomy else inside, INK, True, "mm"

    @staticmethod
    def _on_dome(oven, depth, angle):
        radius = oven.sphere_radius_m + depth
        return (radius * np.cos(angle),
                oven.rise_m - oven.sphere_radius_m + radius * np.sin(angle))

    def _column(self, names, at_right):
        """Words of one side, apart from each other, and their lines."""
        aims = self._at(*(aim for _, aim in names))
        rows = spread(aims[:, 1], 22, ROOM[2] + 4, ROOM[3] - 6)
        for (text, _), aim, y in zip(names, aims, rows, strict=True):
            x = ROOM[1] + 12 if at_right else 6
            end = x - 4 if at_right else x + self.wide(text) * DPI + 4
            self._line([(end, y), aim], "#444444")
            self._dot(*aim)
            yield x, y, text, INK, False, "lm"

    def _kept(self, picture):
        """The faces of the kept oven's masonry, dashed, and the name it goes by."""
        for depth in (0.0, picture.kept.dome_masonry_m):
            self._line(self._at(*dome_arc(picture.kept, depth)), KEPT, 2.2, (3, 2))
        yield WIDE - 6, HIGH - 12, f"dashed: {picture.kept_name}", KEPT, True, "rm"

    def _bars(self, picture):
        """Bars with their range, what they are compared with, and the guess."""
        for i, (bar, y) in enumerate(zip(picture.bars, BAR_ROWS, strict=True)):
            guess = picture.guess if picture.guess and picture.guess.strip == (i == 1) else None
            seen = [] if picture.covered else [bar.value, bar.high]
            seen += [x for x in (bar.kept, guess and guess.value) if x is not None]
            most = picture.scale.to(max(seen, default=1), bar.of)
            top = next((step for step in TOPS if step >= most), TOPS[-1])
            yield 6, y, bar.name, INK, True, "lm"
            yield from self._bar(bar, y, picture.scale.back(top, bar.of), guess, picture)

    def _bar(self, bar, y, top, guess, picture):
        def x(value):
            return BARS[0] + (BARS[1] - BARS[0]) * min(value / top, 1.0)

        def box(end, **looks):
            low, high = y - BAR_HIGH / 2, y + BAR_HIGH / 2
            self.axes.add_artist(Polygon([(BARS[0], low), (end, low), (end, high),
                                         (BARS[0], high)], **looks))

        box(BARS[1], facecolor="white", edgecolor=GRID, linewidth=1.0)
        yield BARS[0], y - BAR_HIGH, "0", KEPT, False, "mm"
        yield BARS[1], y - BAR_HIGH, f"{picture.scale.to(top, bar.of):.0f}", KEPT, False, "mm"
        if not picture.covered:
            box(x(bar.value), facecolor=STYLES["brick"][0], edgecolor="#6b4a3a", hatch="//",
                linewidth=0.8)
            self._line([(x(bar.low), y), (x(bar.high), y)], INK, 3.0)
            for end in (bar.low, bar.high):
                self._line([(x(end), y - 6), (x(end), y + 6)], INK, 2.0)
            yield BARS[1] + 8, y, bar.words(picture.scale), INK, True, "lm"
        if bar.kept is not None:
            self._line([(x(bar.kept), y - 12), (x(bar.kept), y + 12)], KEPT, 2.2, (3, 2))
        if guess:
            self._dot(x(guess.value), y + BAR_HIGH / 2 + 5, "D", 9)
            yield WIDE - 6, HIGH - 34, f"{DIAMOND} {guess.words}", INK, True, "rm"
