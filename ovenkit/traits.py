"""The few things of an oven that its readings can tell, and how little is known of each before.

Each is a positive number that is turned by a factor; spreads are of the logarithm of that factor:
0.2 means that two ovens of three lie within 20 % of what a tape and a look said.
"""

from collections.abc import Callable
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from ovenkit.layers import LAYER_MM
from ovenkit.oven import LIMITS, THICKEST_M, THINNEST_M, Oven
from ovenkit.units import METRIC

LEAST_CRACK_M = 2e-4    # a door drawn tight still leaks


class Trait(NamedTuple):
    """One thing that a log can tell.

    name, words, unit : of it, as it is printed; digits : that are worth printing
    spread : of its logarithm before any reading (from memory)
    value : Oven -> number in `unit`; turned : (Oven, factor) -> Oven
    reach : Oven -> (lowest, highest) factor that still makes an oven
    """
    name: str
    words: str
    unit: str
    digits: int
    spread: float
    value: Callable
    turned: Callable
    reach: Callable


def said(trait, value, scale=METRIC):
    """Return a value of a Trait in words, in a units.Scale."""
    if trait.unit == "kg":
        return scale.say(value, "mass")
    return f"{value:.{trait.digits}f} {trait.unit}".strip()


def _walls(oven, factor):
    return oven.with_walls(oven.dome_masonry_m * factor, oven.hearth_masonry_m * factor)


def _walls_reach(oven):
    walls = oven.dome_masonry_m, oven.hearth_masonry_m
    return THINNEST_M / min(walls), THICKEST_M / max(walls)


def _behind(layers, factor):
    """Layers with the one behind the masonry turned, if there is one."""
    if len(layers) < 2:
        return layers
    return (layers[0], replace(layers[1], thickness_m=layers[1].thickness_m * factor), *layers[2:])


def _insulation_reach(oven):
    mm = [1000.0 * part[1].thickness_m for part in (oven.dome, oven.hearth) if len(part) > 1]
    low, high = LAYER_MM[1:3]
    return (low / min(mm), high / max(mm)) if mm else (0.99, 1.01)


def _insulation_mm(oven):
    return 1000.0 * oven.dome[1].thickness_m if len(oven.dome) > 1 else 0.0


def _crack_m(oven):
    return max(oven.crack_m, LEAST_CRACK_M)


TRAITS = (
    Trait("mass", "masonry that stores", "kg", 0, 0.20, lambda oven: oven.masonry_kg, _walls,
          _walls_reach),
    Trait("insulation", "insulation, as thick as it works", "mm", 0, 0.40, _insulation_mm,
          lambda oven, factor: replace(oven, dome=_behind(oven.dome, factor),
                                       hearth=_behind(oven.hearth, factor)), _insulation_reach),
    Trait("leak", "crack round the door", "mm", 1, 0.60, lambda oven: 1000.0 * _crack_m(oven),
          lambda oven, factor: replace(oven, crack_m=_crack_m(oven) * factor),
          lambda oven: (0.1, 1e-3 * LIMITS["door_crack_mm"][2] / _crack_m(oven))),
    Trait("fire", "heat caught from a kilogram of wood, the kit's fire being 1", "", 2, 0.15,
          lambda oven: oven.fire_share,
          lambda oven, factor: replace(oven, fire_share=oven.fire_share * factor),
          lambda oven: tuple(limit / oven.fire_share for limit in LIMITS["fire_share"][1:3])),
)
SPREADS = np.array([trait.spread for trait in TRAITS])
FURTHEST = 4.0          # spreads that a trait is looked for from where it was thought to be


def reach(oven):
    """Return (low, high), the logarithms of the factors by which each trait may be turned.

    oven : Oven. Arrays, one value per trait.
    """
    low, high = np.log(np.array([trait.reach(oven) for trait in TRAITS]).T)
    return np.maximum(low + 1e-6, -FURTHEST * SPREADS), np.minimum(high - 1e-6, FURTHEST * SPREADS)


def turned(oven, logs):
    """Return the Oven with each trait turned by exp(log).

    oven : Oven; logs : one logarithm per trait, held within `reach`.
    """
    if not isinstance(oven, Oven):
        raise TypeError(f"expected an Oven, not {oven!r}")
    for trait, factor in zip(TRAITS, np.exp(np.clip(logs, *reach(oven))), strict=True):
        oven = trait.turned(oven, float(factor))
    return oven


def drawn(oven, covariance, n, seed=0):
    """Return a list of n Ovens drawn from what is not known of one.

    oven : Oven in the middle; covariance : of the logarithms of its traits, [trait, trait]
    n, seed : how many, and the seed of the draw
    """
    rng = np.random.default_rng(seed)
    logs = rng.multivariate_normal(np.zeros(len(TRAITS)), covariance, n, method="eigh")
    return [turned(oven, row) for row in logs]
