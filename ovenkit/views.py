"""How the five surfaces of a domed oven see each other and the fire.

The inside is a spherical cap (rise h, sphere radius R) over a flat round hearth (radius a).
Three facts make the view factors nearly closed:

- patches of one sphere's inside see each other F_ij = A_j / (4 pi R^2), wherever they lie, and
  every point of the dome sees the whole hearth by the same factor 1 - 2 pi R h / (4 pi R^2)
  (Hottel & Sarofim, Radiative Transfer, 1967, from memory);
- a point of the dome sees a part of the hearth by the area of its shadow on the rest of the
  sphere; for a hearth cut by a straight line the shadow is where two spherical caps overlap;
- reciprocity and row sums give all that is left.

So one smooth integral over the back of the dome and one over the door are all that is numerical.
Axes: x towards the mouth, z up, both from the centre of the hearth; the unit is the diameter.
"""

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from ovenkit.files import number, refuse

SURFACES = ("hearth_fire", "hearth_bake", "dome_back", "dome_front", "door")
MOUTH_RISE = 0.63  # mouth height over rise; common practice, no source
_X, _W = np.polynomial.legendre.leggauss(40)
_X, _W = (_X + 1.0) / 2.0, _W / 2.0  # nodes and weights on 0 to 1


class Cavity(NamedTuple):
    """Areas [m2], view factors and share of a flame's light of the five surfaces."""

    areas: np.ndarray
    view_factors: np.ndarray
    flame: np.ndarray


def cavity(inside_m, rise_m, mouth_area_m2, fire_share=0.35, flame_height=0.4):
    """Return what the inside surfaces of a domed oven see of each other and of the flames.

    inside_m, rise_m : diameter of the hearth and height of the dome over it [m]
    mouth_area_m2 : area of the door, a patch at the front, low on the sphere [m2]
    fire_share : share of the hearth that lies under the fire, cut off the back by a line
    flame_height : height of the flame over the hearth, as a share of the rise
    Returns Cavity(areas[5] m2, view_factors[5, 5], flame[5]), in the order of SURFACES;
    flame is the share of the light of a small even source that strikes each first. The arrays
    are shared between calls and read-only.
    Raises InputError for a shape that is no dome, or a mouth or fire that does not fit in it.
    """
    inside = number(inside_m, "inside diameter of the oven", 0.2, 5.0, "m")
    rise = number(rise_m, "rise of the dome", 0.15 * inside, 0.6 * inside, "m")
    # a door no more than 1.4 rad to either side stays in the front half of the dome
    widest = 1.4 * MOUTH_RISE * (inside**2 / 4.0 + rise**2)
    mouth = number(mouth_area_m2, "area of the mouth", 1e-4 * inside**2, widest, "m2")
    share = number(fire_share, "share of the hearth under the fire", 0.05, 0.95)
    height = number(flame_height, "height of the flame as a share of the rise", 0.05, 0.9)
    areas, view_factors, flame = _unit_cavity(
        rise / inside, mouth / inside**2, share, height)
    areas = areas * inside**2
    areas.setflags(write=False)
    return Cavity(areas, view_factors, flame)


@lru_cache(maxsize=512)
def _unit_cavity(rise, mouth, share, height):
    a = 0.5
    radius = (a**2 + rise**2) / (2.0 * rise)
    half_width = mouth / (2.0 * radius * MOUTH_RISE * rise)  # azimuth of the door's edge
    chord = _chord_angle(share)
    x_chord = -a * np.cos(chord)
    x_flame = -2.0 / 3.0 * a * np.sin(chord) ** 3 / (chord - np.sin(chord) * np.cos(chord))
    z_flame = height * rise
    if np.hypot(x_flame, z_flame - (rise - radius)) > radius - 0.03:
        refuse(f"a flame at {height:g} of the rise over a fire on {share:g} of the hearth "
               "would stand in the dome: lower it or give the fire more of the hearth")

    dome = np.pi * radius * rise  # half of the dome
    areas = np.array([share * np.pi * a**2, (1.0 - share) * np.pi * a**2,
                      dome, dome - mouth, mouth])
    sphere = 4.0 * np.pi * radius**2
    turn = np.pi - chord  # azimuth of the end of the chord
    back = _patch(rise, radius, 1.0, np.pi / 2.0, np.pi, turn)
    door = _patch(rise, radius, MOUTH_RISE, 0.0, half_width, turn)
    see_back = _mean(_share_of_hearth(back, x_chord, rise, radius), back)
    see_door = _mean(_share_of_hearth(door, x_chord, rise, radius), door)

    f = np.zeros((5, 5))
    f[2:, 2:] = areas[2:] / sphere
    f[2, 0], f[4, 0] = see_back, see_door
    f[3, 0] = (areas[0] - dome * see_back - mouth * see_door) / areas[3]
    f[2:, 1] = 1.0 - 2.0 * dome / sphere - f[2:, 0]
    f[:2, 2:] = (areas[2:, None] * f[2:, :2] / areas[:2]).T

    flame = np.zeros(5)
    flame[:2] = _floor_shares(x_flame, z_flame, chord)
    flame[2] = dome * _mean(_light(back, x_flame, z_flame, rise, radius), back)
    flame[4] = mouth * _mean(_light(door, x_flame, z_flame, rise, radius), door)
    flame[3] = 1.0 - flame.sum()
    for array in (areas, f, flame):
        array.setflags(write=False)
    return areas, f, flame


def _chord_angle(share):
    """Half angle t of the segment with `share` of a disk: t - sin t cos t = pi share."""
    low, high = 0.0, np.pi
    for _ in range(60):
        t = (low + high) / 2.0
        low, high = (t, high) if t - np.sin(t) * np.cos(t) < np.pi * share else (low, t)
    return t


def _patch(rise, radius, top, start, stop, turn):
    """Nodes (x, y, z) and weights of a half patch of the dome, crowded where views jump.

    The patch reaches from the rim to `top` of the rise and over azimuths start to stop; the
    view of the fire's part of the hearth jumps at the rim, at azimuth `turn`.
    """
    centre = rise - radius
    rim = np.arccos(-centre / radius)  # angles from the crown
    crown = np.arccos(min((top * rise - centre) / radius, 1.0))
    polar = rim - (rim - crown) * _X**2
    w_polar = 2.0 * _X * _W * np.sin(polar)
    turn = min(max(turn, start), stop)
    azimuth = np.concatenate([turn - (turn - start) * _X**2, turn + (stop - turn) * _X**2])
    w_azimuth = 2.0 * np.concatenate([(turn - start) * _X * _W, (stop - turn) * _X * _W])
    ring = radius * np.sin(polar)[:, None]
    x, y = ring * np.cos(azimuth), ring * np.sin(azimuth)
    z = np.broadcast_to((centre + radius * np.cos(polar))[:, None], x.shape)
    return x, y, z, w_polar[:, None] * w_azimuth


def _mean(values, patch):
    weights = patch[3]
    return np.sum(values * weights) / np.sum(weights)


def _share_of_hearth(patch, x_chord, rise, radius):
    """View factor from points of the dome to the hearth behind the chord.

    Two caps of angular radii p, q, with d between their axes, overlap on a unit sphere in
    2 pi - 2 arccos[(cos d - cos p cos q) / (sin p sin q)]
         - 2 cos p arccos[(cos q - cos d cos p) / (sin d sin p)]
         - 2 cos q arccos[(cos p - cos d cos q) / (sin d sin q)]
    (Tovchigrechko & Vakser 2001, from memory; traced rays agree in the tests).
    """
    x, _, z, _ = patch
    slope = np.hypot(z, x - x_chord)
    nx, nz = -z / slope, (x - x_chord) / slope  # towards the fire's side of the cut
    cos_p = (rise - radius) / radius
    cos_q = (nx * x_chord + nz * (radius - rise)) / radius
    cos_d = -nz
    sin_p, sin_q, sin_d = np.sqrt(1.0 - cos_p**2), np.sqrt(1.0 - cos_q**2), -nx

    def turn(cosine):
        return np.arccos(np.clip(cosine, -1.0, 1.0))

    overlap = (2.0 * np.pi
               - 2.0 * turn((cos_d - cos_p * cos_q) / (sin_p * sin_q))
               - 2.0 * cos_p * turn((cos_q - cos_d * cos_p) / (sin_d * sin_p))
               - 2.0 * cos_q * turn((cos_p - cos_d * cos_q) / (sin_d * sin_q)))
    return overlap / (4.0 * np.pi)


def _light(patch, x_flame, z_flame, rise, radius):
    """Share of a point source's light per area at points of the dome: cos / (4 pi d^2)."""
    x, y, z, _ = patch
    dx, dz = x_flame - x, z_flame - z
    inward = (-x * dx + y * y + (rise - radius - z) * dz) / radius
    return inward / (4.0 * np.pi * (dx**2 + y**2 + dz**2) ** 1.5)


def _floor_shares(x_flame, z_flame, chord):
    """Shares of a point source's light on the hearth behind and before the chord.

    Across the hearth the light z / (4 pi r^3) is integrated exactly, along it by Gauss.
    """
    shares = []
    for start, stop in ((0.0, chord), (chord, np.pi)):
        t = start + (stop - start) * _X
        y = 0.5 * np.sin(t)
        b2 = (x_flame + 0.5 * np.cos(t)) ** 2 + z_flame**2
        strip = z_flame * y / (b2 * np.sqrt(b2 + y**2)) / (2.0 * np.pi)
        shares.append(np.sum(strip * 0.5 * np.sin(t) * _W) * (stop - start))
    return shares
