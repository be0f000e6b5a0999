"""Pictures: what to show as plain numbers and words, and figures that draw it.

The only place beside `sheets` that imports matplotlib.
"""

from importlib import import_module

from ovenkit.figures.ink import CROSS, DPI, SIZE_IN, TICK
from ovenkit.figures.pictures import Band, Line, Mark, Picture

__all__ = ["CROSS", "DPI", "SIZE_IN", "TICK", "Band", "Line", "Mark", "Picture", "figure_for"]


DRAWN_BY = {"Picture": ("day", "DayFigure"), "Profile": ("profile", "ProfileFigure"),
            "Dots": ("dots", "DotFigure"), "Section": ("section", "SectionFigure"),
            "Fitted": ("fitted", "FittedFigure")}


def figure_for(picture):
    """Return a new figure that draws pictures of this kind: `png(picture)` gives their bytes."""
    module, name = DRAWN_BY[type(picture).__name__]
    return getattr(import_module(f"ovenkit.figures.{module}"), name)()
