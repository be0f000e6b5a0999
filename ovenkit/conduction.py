"""Heat conduction through layered slabs and spherical shells.

Every slab of the kit - hearth, dome, door, the inside of a loaf, and the textbook
walls of the tests - goes through the same three moves:

1. `grid` cuts the layers into cells (finite volumes), per square metre of inner face:
       C_i dT_i/dt = G_(i-1) (T_(i-1) - T_i) + G_i (T_(i+1) - T_i) + port fluxes
2. `modes` or `reduced` turns the cells into independent modes, T = V z, scaled so that
   V' C V = 1. Heat comes and goes through the two faces, the ports:
       dz/dt = -decay z + port0 q0 + port1 q1,   face temperature = port . z + resistance q
   `modes` keeps every mode. `reduced` keeps a few (a Galerkin projection on the slab's
   answers to slow and fast heating, the constant among them, so that heat is conserved
   exactly whatever is left out).
3. `holds` integrates the modes exactly over a step while the flux runs straight from its
   value at the start to its value at the end.

Arrays: the last axis is cells or modes; leading axes broadcast.
"""
from typing import NamedTuple

import numpy as np

from .files import InputError, number


class Grid(NamedTuple):
    """Cells of a slab, per m2 of its inner face; the last axis is cells unless said."""
    depth: np.ndarray       # m, of cell centres
    width: np.ndarray       # m
    capacity: np.ndarray    # J/m2K
    link: np.ndarray        # W/m2K between neighbouring centres, one fewer than cells
    face: np.ndarray        # m2K/W from the (inner, outer) face to the next centre
    outer_area: np.ndarray  # outer face per inner face


class Slab(NamedTuple):
    """A slab as independent modes, per m2 of its inner face; the last axis is modes."""
    decay: np.ndarray       # 1/s
    port: np.ndarray        # (..., 2, modes): inner and outer face
    face: np.ndarray        # (..., 2) m2K/W between face and first cell
    basis: np.ndarray       # (..., cells, modes): cell temperature = basis @ z
    grid: Grid


def grid(layers, fractions, inner_radius_m=np.inf):
    """Cut layers into cells.

    layers: (..., layer, 4) thickness [m], conductivity [W/mK], density [kg/m3], heat
    capacity [J/kgK], from the inner face outwards. fractions: one array per layer, shares
    of its thickness that add up to 1. inner_radius_m: (...) radius of the inner face [m],
    inf for a flat slab. A shell's cells grow as (1 + x/R)^2.
    """
    layers = np.asarray(layers, float)
    curve = 1.0 / np.asarray(inner_radius_m, float)[..., None]
    which = np.repeat(np.arange(len(fractions)), [len(f) for f in fractions])
    thickness, k, rho, cp = np.moveaxis(layers[..., which, :], -1, 0)
    width = thickness * np.concatenate(fractions)
    right = np.cumsum(width, axis=-1)
    left = right - width
    mid = (left + right) / 2
    capacity = rho * cp * width * (
        1 + (left + right) * curve + (left**2 + left * right + right**2) * curve**2 / 3)
    inner_half = width / 2 / (k * (1 + left * curve) * (1 + mid * curve))
    outer_half = width / 2 / (k * (1 + mid * curve) * (1 + right * curve))
    link = 1 / (outer_half[..., :-1] + inner_half[..., 1:])
    face = np.stack([inner_half[..., 0], outer_half[..., -1]], axis=-1)
    return Grid(mid, width, capacity, link, face, (1 + right[..., -1:] * curve)[..., 0]**2)


def graded(cells, growth):
    """Shares of a layer's thickness for cells that widen by `growth` from the inner face."""
    share = growth ** np.arange(cells)
    return share / share.sum()


def _stiffness(g, outer_w_m2k):
    """Diagonal of the conductance matrix [W/m2K], with an outer face tied to outside air."""
    zero = np.zeros_like(g.capacity[..., :1])
    diagonal = np.concatenate([g.link, zero], -1) + np.concatenate([zero, g.link], -1)
    diagonal[..., -1] += outer_conductance(g, outer_w_m2k)
    return diagonal


def outer_conductance(g, outer_w_m2k):
    """W/m2K from the outermost cell to outside air, per m2 of inner face; h [W/m2K]."""
    h = np.asarray(outer_w_m2k, float) * g.outer_area
    return h / (1 + h * g.face[..., 1])


def _product(diagonal, link, vectors):
    """Conductance matrix times vectors (..., cells, n)."""
    out = diagonal[..., None] * vectors
    out[..., 1:, :] -= link[..., None] * vectors[..., :-1, :]
    out[..., :-1, :] -= link[..., None] * vectors[..., 1:, :]
    return out


def _slab(g, diagonal, scaled):
    """Modes in the span of `scaled`, orthonormal columns (..., cells, n) in sqrt(C) T."""
    root = np.sqrt(g.capacity)[..., None]
    vectors = scaled / root
    small = np.swapaxes(vectors, -1, -2) @ _product(diagonal, g.link, vectors)
    decay, turn = np.linalg.eigh((small + np.swapaxes(small, -1, -2)) / 2)
    basis = vectors @ turn
    return Slab(np.maximum(decay, 1e-9), basis[..., [0, -1], :], g.face, basis, g)


def modes(g, outer_w_m2k=0.0):
    """All modes of a grid; outer_w_m2k [W/m2K] ties its outer face to air at zero."""
    cells = g.capacity.shape[-1]
    eye = np.broadcast_to(np.eye(cells), g.capacity.shape + (cells,))
    return _slab(g, _stiffness(g, outer_w_m2k), eye)


def reduced(g, rates, outer_w_m2k=0.0, both_faces=False):
    """A few modes that answer heating of the inner face (or both) as all of them would.

    rates: 1/s, the speeds at which the answer is to be exact; the modes kept are one for
    the constant and one for each rate (and face). Rate 0 needs a tied outer face.
    The span is that of x_s = (K + s C)^-1 e, e the heated cell: a rational Krylov space.
    """
    diagonal = _stiffness(g, outer_w_m2k)
    ends = [0, -1] if both_faces else [0]
    answers = _solve(diagonal, g.link, g.capacity, np.asarray(rates, float), ends)
    columns = np.concatenate([np.ones_like(g.capacity)[..., None], answers], -1)
    columns = columns * np.sqrt(g.capacity)[..., None]
    columns = columns / np.linalg.norm(columns, axis=-2, keepdims=True)
    return _slab(g, diagonal, np.linalg.qr(columns)[0])


def _solve(diagonal, link, capacity, rates, ends):
    """(K + s C)^-1 e for every rate and heated end: (..., cells, rates * ends)."""
    shape = capacity.shape[:-1] + (len(rates), len(ends))
    cells = capacity.shape[-1]
    d = np.moveaxis(diagonal[..., None] + capacity[..., None] * rates, -2, 0)[..., None]
    off = np.moveaxis(link, -1, 0)[..., None, None]
    ratio, x = [None] * cells, [None] * cells
    load = np.zeros((cells, len(ends)))
    load[ends, np.arange(len(ends))] = 1.0
    pivot = d[0]
    x[0] = np.broadcast_to(load[0] / pivot, shape)
    for i in range(1, cells):
        ratio[i] = off[i - 1] / pivot
        pivot = d[i] - off[i - 1] * ratio[i]
        x[i] = (load[i] + off[i - 1] * x[i - 1]) / pivot
    for i in range(cells - 2, -1, -1):
        x[i] = x[i] + ratio[i + 1] * x[i + 1]
    out = np.stack(x, axis=-3)
    return out.reshape(out.shape[:-2] + (-1,))


def holds(decay, dt):
    """(kept, from_start, from_end): z1 = kept z0 + port (from_start q0 + from_end q1).

    decay [1/s] and dt [s] broadcast. Exact for a flux that runs straight from q0 to q1.
    """
    x = decay * dt
    lost = np.expm1(-x)
    mean = np.divide(-lost, x, out=np.ones_like(x), where=x > 0)
    return 1 + lost, (mean - 1 - lost) / decay, (1 - mean) / decay


class Flux(NamedTuple):
    """A heat flux into the face [W/m2], a number or f(t_s)."""
    w_m2: object


class Convection(NamedTuple):
    """Convection to a fluid: coefficient [W/m2K] and temperature [degC], numbers or f(t_s)."""
    h: object
    ambient_c: object


class Fixed(NamedTuple):
    """A face held at a temperature [degC], a number or f(t_s)."""
    temp_c: object


class Insulated(NamedTuple):
    """A face that lets no heat through."""


def _face_law(side, what):
    """Functions of t: (known, stiffness) with  known_flux + given * flux = target form."""
    def value(v):
        return v if callable(v) else (lambda t, v=number(v, what, -1e9, 1e9): v)
    if isinstance(side, Insulated):
        return True, value(0.0), None
    if isinstance(side, Flux):
        return True, value(side.w_m2), None
    if isinstance(side, Fixed):
        return False, value(side.temp_c), lambda t: 0.0
    if isinstance(side, Convection):
        h = value(side.h)
        return False, value(side.ambient_c), lambda t: 1.0 / max(h(t), 1e-12)
    raise InputError(f"{what} is {side!r}: give Flux, Convection, Fixed or Insulated")


def heat_slab(layers, inner, outer, hours, start_c, inner_radius_m=None, cells=60, step_s=10):
    """Temperatures in a slab or spherical shell heated or cooled at its two faces.

    layers: (thickness [m], conductivity [W/mK], density [kg/m3], heat capacity [J/kgK]), ...
    from the inner face; inner, outer: Flux, Convection, Fixed or Insulated; hours: how long
    [h]; start_c: one temperature [degC]; inner_radius_m makes it a shell; cells: in all;
    step_s: longest time step [s] (never fewer than 200 steps).
    Returns hours[t], depths_m[x] with both faces, temps_c[t, x].
    Raises InputError for a layer, time or face that cannot be.
    """
    rows = [tuple(row) for row in layers]
    for i, row in enumerate(rows, 1):
        if len(row) != 4:
            raise InputError(f"layer {i} has {len(row)} numbers: give thickness, "
                             "conductivity, density and heat capacity")
        for v, name in zip(row, ("thickness [m]", "conductivity [W/mK]", "density [kg/m3]",
                                 "heat capacity [J/kgK]")):
            number(v, f"layer {i}: {name}", 1e-6, 1e6)
    if not rows:
        raise InputError("layers is empty: give at least one layer")
    total = number(hours, "hours", 1e-6, 1e6, "h") * 3600
    step_s = number(step_s, "step_s", 1e-3, 1e6, "s")
    cells = int(number(cells, "cells", len(rows), 2000))
    start_c = number(start_c, "start_c", -273.15, 5000, "degC")
    if inner_radius_m is not None:
        number(inner_radius_m, "inner_radius_m", 1e-3, 1e6, "m")
    thick = np.array([row[0] for row in rows])
    each = np.maximum(1, np.round(cells * thick / thick.sum()).astype(int))
    g = grid(rows, [np.full(n, 1.0 / n) for n in each],
             np.inf if inner_radius_m is None else inner_radius_m)
    slab = modes(g)
    steps = max(200, int(np.ceil(total / step_s)))
    t = np.linspace(0.0, total, steps + 1)
    t = np.concatenate([[0.0], t[1] * np.geomspace(1e-3, 1, 12), t[2:]])
    temps = _march_slab(slab, _face_law(inner, "inner"), _face_law(outer, "outer"), t, start_c)
    depths = np.concatenate([[0.0], g.depth, [thick.sum()]])
    return t / 3600, depths, temps


def _march_slab(slab, inner, outer, t, start_c):
    """March one slab through the times t [s]; temperatures [t, faces and cells]."""
    per_area = np.array([1.0, slab.grid.outer_area.item()])
    port, face = slab.port, slab.face
    z = slab.basis.T @ (slab.grid.capacity * start_c)
    out = np.empty((len(t), len(slab.grid.depth) + 2))
    given = np.zeros(2)
    for i, now in enumerate(t):
        dt = now - t[i - 1] if i else 0.0
        kept, first, last = holds(slab.decay, dt)
        if i == 1:                       # a jump at the start: hold the flux it ends with
            first, last = 0.0 * first, first + last
        z = kept * z + first * (given @ port)
        a = port @ z
        b = (port * last) @ port.T + np.diag(face)
        matrix, target = np.empty((2, 2)), np.empty(2)
        for j, (known, value, resistance) in enumerate((inner, outer)):
            if known:
                matrix[j], target[j] = np.eye(2)[j], value(now) * per_area[j]
            else:
                matrix[j] = b[j]
                matrix[j, j] += resistance(now) / per_area[j]
                target[j] = value(now) - a[j]
        given = np.linalg.solve(matrix, target)
        z = z + last * (given @ port)
        out[i, 1:-1] = slab.basis @ z
        out[i, [0, -1]] = a + b @ given
    return out
