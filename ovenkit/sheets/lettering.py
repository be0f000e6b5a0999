"""Type to set, measured before it is set: how wide a text is, and where its lines end."""

import re
from functools import lru_cache

from matplotlib.font_manager import FontProperties, findfont
from PIL import ImageFont

PT_MM = 25.4 / 72.0
GAP = re.compile(r"[ \n]+(?!(?:\u00b0[CF]|kg|lb|mm|cm|degrees?|minutes?)\b)")
# between two words; a number keeps its unit, and words with a no-break space stay together


@lru_cache
def _font(bold):
    """The type that matplotlib sets, at 100 points."""
    return ImageFont.truetype(findfont(FontProperties(weight="bold" if bold else "normal")), 100)


def width_mm(text, size_pt, bold=False):
    """Return how wide a text is set [mm]."""
    return _font(bool(bold)).getlength(text) * size_pt / 100 * PT_MM


def wrapped(text, size_pt, wide_mm, bold=False):
    """Return the lines of a text that is no wider than `wide_mm`; long words are cut."""
    lines, line = [], ""
    for word in filter(None, GAP.split(text.strip())):
        while width_mm(word, size_pt, bold) > wide_mm and len(word) > 1:
            n = next(i for i in range(len(word) - 1, 0, -1)
                     if width_mm(word[:i], size_pt, bold) <= wide_mm or i == 1)
            lines += [line] if line else []
            lines.append(word[:n])
            line, word = "", word[n:]
        longer = f"{line} {word}".strip()
        if width_mm(longer, size_pt, bold) > wide_mm and line:
            lines.append(line)
            longer = word
        line = longer
    return [*lines, line] if line or not lines else lines
