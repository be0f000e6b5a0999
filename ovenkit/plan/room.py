"""Where pieces lie on a round hearth, whole and apart, and so how many of a load make a batch."""

from functools import lru_cache
from math import asin, ceil, cos, floor, hypot, pi, sin, sqrt

import numpy as np

from ovenkit.loads import fits

SHIFTS = 9              # places tried for a lattice under the hearth, each way
CLEAR = 1e-9


def most(load, oven):
    """Return how many of a load make one batch; 0 if it does not pass the mouth.

    load : Load; oven : Oven
    The most that have a place on the hearth (`layout`), and no more than `loads.fits` allows.
    """
    by_area = fits(load, oven.inside_m, oven.mouth_w_m, oven.mouth_h_m)
    return next((n for n in range(by_area, 0, -1) if layout(load, n, oven.inside_m) is not None), 0)


def layout(load, count, inside_m):
    """Return places (x, y) [m] of the middles of `count` pieces, (count, 2), or None.

    load : Load; inside_m : diameter of the hearth [m]; x to the right, y to the back
    Each piece has half its spacing round it: to the wall, and to the next piece's half.
    """
    places = _places(load.shape == "box", round((load.length_cm + load.spacing_cm) / 100, 4),
                     round((load.width_cm + load.spacing_cm) / 100, 4), round(inside_m / 2, 4))
    if count == 1 and not len(places):      # a piece that fills the hearth needs no room round it
        across = hypot(load.length_cm, load.width_cm) if load.shape == "box" else load.length_cm
        return np.zeros((1, 2)) if across / 100 <= inside_m else None
    if count > len(places):
        return None
    back = np.lexsort((places[:, 0], -places[:, 1]))
    return places[back[:count]]


@lru_cache(maxsize=512)
def _places(box, length, width, radius):
    """Places of as many pieces as are found to fit, (n, 2)."""
    found = (_rows(length, width, radius), _rows(width, length, radius)) if box else (
        _lattice(length / 2, radius), _rings(length / 2, radius))
    return max(found, key=len)


def _rings(r, radius):
    """Circles of radius r in rings from the wall inwards."""
    places, out = [], radius - r
    while out > -CLEAR:
        if out < r - CLEAR:                 # room for one in the middle, or for none
            places.append((0.0, 0.0))
            break
        n = floor(pi / asin(min(r / out, 1.0)) + CLEAR)
        places += [(out * sin(2 * pi * k / n), out * cos(2 * pi * k / n)) for k in range(n)]
        out -= 2 * r
    return np.array(places).reshape(-1, 2)


def _lattice(r, radius):
    """Circles of radius r on a lattice of triangles, shifted to where most are whole."""
    n = ceil(radius / r) + 1
    i, j = np.meshgrid(np.arange(-n, n + 1), np.arange(-n, n + 1))
    grid = np.stack([(2 * i + j % 2).ravel() * r, (sqrt(3) * j).ravel() * r], axis=-1)
    best = np.empty((0, 2))
    for dx in np.linspace(0, r, SHIFTS):
        for dy in np.linspace(0, r * sqrt(3), SHIFTS):
            moved = grid + (dx, dy)
            inside = moved[np.hypot(*moved.T) + r <= radius + CLEAR]
            best = inside if len(inside) > len(best) else best
    return best


def _rows(length, width, radius):
    """Boxes in rows, length across, the rows shifted to where most are whole."""
    best = []
    n = ceil(radius / width) + 1
    for shift in np.linspace(0, width, SHIFTS):
        places = []
        for k in range(-n, n):
            y = shift + k * width
            edge = max(abs(y), abs(y + width))
            if edge < radius:
                across = floor(2 * sqrt(radius**2 - edge**2) / length + CLEAR)
                places += [((i - (across - 1) / 2) * length, y + width / 2) for i in range(across)]
        best = places if len(places) > len(best) else best
    return np.array(best).reshape(-1, 2)
