"""Air through the door, in a form that is quick at every time step."""

from functools import lru_cache

import numpy as np

from ovenkit import exchange

AIR_CP, AIR_CP_SLOPE = 1005.0, 0.075   # J/kgK, mean from outdoors, and per K of rise (CoolProp)
FLOW_AT = np.array([0.1, 0.8, 2.2])    # oven over outdoors, as a share of outdoor temperature [K]
SEALED = 1e15                          # s K/J: no air to speak of


def door_flow(shape, gap, outdoor_k):
    """Return the coefficients of `draught_w_k` (P, C, 3), by the exact flow at three temperatures.

    shape : dict of mouth_w, mouth_h, crack [m], (P,) each; gap : (P, C), of the door [m], inf if it
    is off; outdoor_k : (P,) [K]
    """
    off = np.isinf(gap)
    slot = np.where(off, 0.0, gap)
    width, height = shape["mouth_w"][:, None], shape["mouth_h"][:, None]
    crack = np.where(off, 0.0, shape["crack"][:, None])
    upright = np.where(off, width, 2 * crack + np.minimum(slot, width))
    outside = outdoor_k[:, None, None]
    exact = exchange.opening_flow(
        upright[..., None], (crack * width)[..., None], height[..., None],
        (1 + FLOW_AT) * outside, outside).kg_s * (AIR_CP + AIR_CP_SLOPE * FLOW_AT * outside)
    slow = np.divide(np.sqrt(FLOW_AT), exact, out=np.full_like(exact, SEALED), where=exact > 1e-9)
    return slow @ np.linalg.inv(FLOW_AT ** np.arange(3)[:, None])


@lru_cache(maxsize=2048)
def shut_flow(mouth_w_m, mouth_h_m, crack_m, outdoor_k):
    """Return the coefficients of `draught_w_k` of a shut door, (3,); lengths [m], outdoors [K]."""
    shape = {"mouth_w": np.array([mouth_w_m]), "mouth_h": np.array([mouth_h_m]),
             "crack": np.array([crack_m])}
    return door_flow(shape, np.zeros((1, 1)), np.array([outdoor_k]))[0, 0]


def draught_w_k(flow, share):
    """Return air through the door times its heat capacity [W/K]: sqrt(x) / (c0 + c1 x + c2 x^2).

    flow : [..., 3]; share : x, oven air over outdoors by outdoor temperature [K/K]. Within 0.4 %
    of `exchange.opening_flow` from 20 to 700 degC.
    """
    x = np.maximum(share, 0.0)
    return np.sqrt(x) / (flow[..., 0] + x * (flow[..., 1] + x * flow[..., 2]))
