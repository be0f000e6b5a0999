"""Places for words that would lie on each other."""

import numpy as np


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
