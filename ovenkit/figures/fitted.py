"""Readings as marks, the fitted oven as curves, and how sure they are as shaded bands."""

from dataclasses import dataclass, field

import numpy as np

from ovenkit.figures.ink import DIAMOND, FONT, GRID, INK, SIZE_IN, Chart, png_bytes
from ovenkit.figures.layout import spread
from ovenkit.figures.pictures import Shown
from ovenkit.units import clock

LEFT, WIDE, TOP, BOTTOM = 0.082, 0.665, 0.90, 0.145     # of the axes, shares of the figure
LINE = 0.052            # from one line of words to the next
LOOKS = {  # instrument: colour, marker, dashes, hatching of its band, short name
    "hearth spot": ("#c04a00", "o", (), "", "hearth"),
    "dome back spot": ("#0060a8", "s", (6, 2), "///", "dome back"),
    "dome front spot": ("#0060a8", "D", (2.5, 1.5), "\\\\\\", "dome front"),
    "deep hearth probe": ("#7a5200", "^", (9, 2), "...", "25 mm in"),
    "air probe": ("#8d4f9e", "v", (1, 1), "", "air probe"),
    "air probe near wall": ("#8d4f9e", "P", (4, 1, 1, 1), "", "air, by the wall")}
UNSURE = "#555555"
COVERED_C = np.array([50.0, 400.0])     # shown before the answer is told, where nothing else is


@dataclass(frozen=True, eq=False, kw_only=True)
class Fitted(Shown):
    """What a picture of a fit shows, instruments as keys.

    readings : (hours, degC, counted) - how much each counts, 0 to 1
    curves : (hours, degC) of the fitted oven; bands : (hours, low, high) [degC]
    kept : (hours, degC) of something to hold it against, or None
    span_h : first and last hour; lit_at : time of day of hour 0, "HH:MM"
    """
    readings: dict = field(default_factory=dict)
    curves: dict
    bands: dict
    kept: tuple | None = None
    span_h: tuple
    lit_at: str = "06:00"


class FittedFigure(Chart):
    """Draws Fitted pictures: `png(picture)` gives their bytes."""

    def __init__(self):
        super().__init__()
        self.axes = self.figure.add_axes((LEFT, BOTTOM, WIDE, TOP - BOTTOM))
        self.unit = self.figure.text(0.004, TOP + 0.035, "", fontsize=FONT)
        self.words = self.figure.text(0.2, 0.012, "", fontsize=FONT)

    def png(self, picture):
        """Return the picture as PNG bytes."""
        axes, to = self.axes, picture.scale.to
        axes.clear()
        axes.spines[["top", "right"]].set_visible(False)
        axes.tick_params(labelsize=FONT, length=4)
        axes.grid(axis="y", color=GRID, linewidth=1.0)
        curves = {} if picture.covered else picture.curves
        for name, (hours, low, high) in ({} if picture.covered else picture.bands).items():
            colour, _, _, hatch, _ = LOOKS[name]
            axes.fill_between(hours, to(low, "temp"), to(high, "temp"), facecolor=colour,
                              alpha=0.22, edgecolor=colour, hatch=hatch, linewidth=0.8)
        for name, (hours, values) in curves.items():
            colour, _, dashes, _, _ = LOOKS[name]
            axes.plot(hours, to(values, "temp"), color=colour, linewidth=2.6,
                      dashes=dashes or (None, None))
        if picture.kept is not None:
            axes.plot(picture.kept[0], to(picture.kept[1], "temp"), color=UNSURE, linewidth=2.4,
                      dashes=(3, 2))
        for name, (hours, values, counted) in picture.readings.items():
            self._marks(axes, name, np.asarray(hours), to(np.asarray(values), "temp"),
                        np.ones(len(hours)) if picture.covered else np.asarray(counted))
        self._scale(picture)
        guess = picture.guess
        if guess and guess.hours is not None and guess.value is not None:
            axes.plot(guess.hours, to(guess.value, "temp"), "D", color=INK, markersize=11,
                      clip_on=False)
        self.canvas.draw()
        image = self.image()
        self.write(image, self._ends(picture, curves))
        if guess:
            x = LEFT + WIDE - 0.01 - self.wide(f"{DIAMOND} {guess.words}", True) / SIZE_IN[0]
            self.write(image, [(x, TOP + 0.04, f"{DIAMOND} {guess.words}", INK, True, "lm")],
                       "white")
        return png_bytes(image)

    @staticmethod
    def _marks(axes, name, hours, values, counted):
        colour, marker, *_ = LOOKS[name]
        good = counted >= 0.3
        axes.plot(hours[good], values[good], marker, color=colour, markersize=7.5,
                  markeredgecolor="white", markeredgewidth=0.8, linestyle="none")
        axes.plot(hours[~good], values[~good], marker, color="none", markersize=9,
                  markeredgecolor=colour, markeredgewidth=1.6, linestyle="none")
        axes.plot(hours[~good], values[~good], "x", color=INK, markersize=8, markeredgewidth=1.8,
                  linestyle="none")

    def _scale(self, picture):
        start, end = picture.span_h
        step = next(s for s in (0.5, 1, 2, 3, 6, 12) if (end - start) / s <= 8.5)
        offset = float(picture.lit_at[:2]) + float(picture.lit_at[3:]) / 60
        ticks = np.arange(np.ceil((start + offset) / step) * step, end + offset + 1e-9, step)
        self.axes.set_xlim(start, end)
        self.axes.set_xticks(ticks - offset, [clock(t - offset, picture.lit_at) for t in ticks])
        self.axes.margins(y=0.05)
        if not (picture.readings or picture.kept) and picture.covered:
            self.axes.set_ylim(*picture.scale.to(COVERED_C, "temp"))
        self.unit.set_text(picture.scale.unit("temp"))
        self.words.set_text(f"time of day; the fire was lit at {picture.lit_at}")

    def _ends(self, picture, curves):
        """Words at the right end of every curve, or beside the last mark where none is drawn."""
        bottom, top = self.axes.get_ylim()
        values = {name: float(np.interp(picture.span_h[1], hours, y))
                  for name, (hours, y) in curves.items()}
        for name, (_, y, _) in picture.readings.items():
            if len(y):
                values.setdefault(name, float(y[-1]))
        if picture.kept is not None:
            values["kept"] = float(np.interp(picture.span_h[1], *picture.kept))
        shown = {name: picture.scale.to(value, "temp") for name, value in values.items()}
        high = [BOTTOM + (TOP - BOTTOM) * (value - bottom) / (top - bottom)
                for value in shown.values()]
        for (name, value), y in zip(shown.items(), spread(high, LINE, BOTTOM + 0.02, TOP),
                                    strict=True):
            label = picture.kept_name if name == "kept" else LOOKS[name][4]
            colour = UNSURE if name == "kept" else LOOKS[name][0]
            number = f" {value:.0f}" if name in curves or name == "kept" else ""
            yield LEFT + WIDE + 0.012, y, f"{label}{number}", colour, True, "lm"
