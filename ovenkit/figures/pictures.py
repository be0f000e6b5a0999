"""What a picture of a day shows, as plain numbers and words."""

from dataclasses import dataclass

from ovenkit.figures.ink import CROSS, FINE, POOR, TICK, UNTOLD
from ovenkit.units import METRIC, Scale


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


@dataclass(frozen=True)
class Line:
    """A line below the picture: its head, what it says, and good (True, False, or None: neither).
    """

    head: str
    text: str
    good: bool | None = None


@dataclass(frozen=True)
class Mark:
    """Where a guess is marked, and its words.

    words : said beside the mark
    hours, value : of the point; an hour alone is a line across the chart, from top to bottom; a
        value alone is for pictures without time
    strip : True if value is of the strip (loaves left), False if it is a temperature [degC]
    """

    words: str
    hours: float | None = None
    value: float | None = None
    strip: bool = False


@dataclass(frozen=True, eq=False, kw_only=True)
class Shown:
    """What every kind of picture has.

    key, alt : the key numbers in a line; what the picture shows, for who cannot see it
    lines : tuple of Line, said below it
    guess : Mark of what was guessed, or None
    kept_name : what is kept for comparison is called
    covered : True draws axes and names, and what is kept, but nothing of what is asked
    scale : units.Scale in which it is read
    """

    key: str
    alt: str
    lines: tuple = ()
    guess: Mark | None = None
    kept_name: str = "kept"
    covered: bool = False
    scale: Scale = METRIC


@dataclass(frozen=True, eq=False)
class Picture(Shown):
    """What a picture of a day shows; covered, it draws no curve but the kept one.

    curves : dict, name of `day.LINES` -> (hours, degC), drawn in the order of LINES
    bands : tuple of Band
    left : (hours, loaves left), or None
    kept_left : the same of a day kept for comparison, or None
    span_h : first and last hour shown; lit_at : time of day of hour 0, "HH:MM"
    lit : what is said of the lighting, if that was not at hour 0
    """

    curves: dict
    bands: tuple
    span_h: tuple
    left: tuple | None = None
    kept_left: tuple | None = None
    lit_at: str = "06:00"
    lit: str = ""

    @property
    def seen(self):
        """The curves that are drawn."""
        return {name: y for name, y in self.curves.items() if name == "kept" or not self.covered}
