"""Air, openings, radiation and view factors, against published values and traced rays."""

import ht
import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from ovenkit import exchange
from ovenkit.exchange import (
    HOT_FACING_DOWN,
    HOT_FACING_UP,
    UPRIGHT,
    absorbed,
    air,
    buoyancy,
    buoyancy_fit,
    cavity,
    crack_flow,
    exchange_areas,
    mouth_flow,
    natural_h,
    net_radiation,
    opening_flow,
)
from ovenkit.files import InputError
from ovenkit.units import GRAVITY, SIGMA

PLATES = [[0.0, 1.0], [1.0, 0.0]]


# air and natural convection

def test_air_against_coolprop():
    temps = np.linspace(0, 900, 37)
    mine = air(temps)
    for value, name in zip(mine, ("D", "C", "V", "L", "PRANDTL")):
        theirs = [PropsSI(name, "T", t + 273.15, "P", 101325, "Air") for t in temps]
        assert value == pytest.approx(theirs, rel=0.01), name


@pytest.mark.parametrize("temp, row", [(20, (1.2046, 1006, 1.821e-5, 0.02587, 0.708)),
                                       (250, (0.6745, 1034, 2.797e-5, 0.04138, 0.699)),
                                       (500, (0.4564, 1092, 3.653e-5, 0.05580, 0.715))])
def test_air_rows(temp, row):
    assert air(temp) == pytest.approx(row, rel=0.01)  # CoolProp, dry air at 1 atm


def test_buoyancy_and_its_fit():
    temps = np.linspace(268.15, 1180, 60)
    assert buoyancy_fit(temps) == pytest.approx(buoyancy(temps), rel=0.01)
    gas = air(20.0)
    nu, alpha = gas.mu / gas.rho, gas.k / (gas.rho * gas.cp)
    rayleigh = GRAVITY / 293.15 * 50 * 0.3**3 / (nu * alpha)
    assert buoyancy(293.15) * 50 ** (1 / 3) == pytest.approx(
        gas.k / 0.3 * rayleigh ** (1 / 3), rel=1e-9)


def test_vertical_plate():
    # Incropera & DeWitt, Ex. 9.2: 0.71 m high, 1.02 m wide, 232/23 degC -> Nu 147, 1060 W
    gas, dt, height = air((232 + 23) / 2), 209.0, 0.71
    grashof = GRAVITY / (127.5 + 273.15) * dt * height**3 * (gas.rho / gas.mu) ** 2
    nusselt = ht.Nu_vertical_plate_Churchill(gas.pr, grashof)
    assert nusselt == pytest.approx(147, rel=0.02)
    assert nusselt * gas.k / height * height * 1.02 * dt == pytest.approx(1060, rel=0.02)
    # the cube-root law of eq. 9.24 reads lower, as its note in the module says
    law = natural_h(UPRIGHT, 232, 23) * height / gas.k
    assert 0.75 * nusselt < law < 0.95 * nusselt


def test_duct_losing_heat_on_all_sides():
    # Incropera & DeWitt, Ex. 9.3: 0.75 m wide, 0.3 m high, 45/15 degC -> 246 W/m
    sides = 2 * 0.3 * natural_h(UPRIGHT, 45, 15)
    flat = 0.75 * (natural_h(HOT_FACING_UP, 45, 15) + natural_h(HOT_FACING_DOWN, 45, 15))
    assert (sides + flat) * 30 == pytest.approx(246, rel=0.1)


# openings

def test_small_differences_follow_the_standard():
    # BS 5925: Q = (Cd A/3) sqrt(g H dT/T); 1 m x 2 m, 22/20 degC, Cd 0.6: 0.146 m3/s, 353 W
    flow = mouth_flow(1, 2, 22, 20)
    assert flow.kg_s / air(21).rho == pytest.approx(0.146, rel=0.01)
    assert flow.kg_s * 1006 * 2 == pytest.approx(353, rel=0.01)
    # Brown & Solvason 1962, Nu = (C/3) sqrt(Gr) Pr: H 2 m, 30/20 degC -> 193.3 W/m2K
    h = mouth_flow(1, 2, 30, 20).kg_s * air(25).cp / 2
    assert h == pytest.approx(193.3, rel=0.01)
    gas = air(25)
    grashof = GRAVITY / 298.15 * 10 * 2**3 * (gas.rho / gas.mu) ** 2
    assert h == pytest.approx(0.6 / 3 * grashof**0.5 * gas.pr * gas.k / 2, rel=0.01)


def _streams(upright, level, height, inside, outside, cd, plane):
    """kg/s in and out, Bernoulli's law summed over slices of the height."""
    rho_in, rho_out = (101325 / (287.05 * (t + 273.15)) for t in (inside, outside))
    z = (np.arange(40000) + 0.5) / 40000 * height
    dp = GRAVITY * (rho_out - rho_in) * (plane - np.append(z, [0.0, height]))
    area = np.append(np.full(40000, upright * height / 40000), [level, level])
    enters = area * cd * np.sqrt(2 * rho_out * np.maximum(dp, 0))
    leaves = area * cd * np.sqrt(2 * rho_in * np.maximum(-dp, 0))
    return enters.sum(), leaves.sum()


@pytest.mark.parametrize("inside, outside", [(600, 10), (80, 20), (10, 35)])
def test_what_enters_leaves(inside, outside):
    flow = mouth_flow(0.4, 0.25, inside, outside)
    streams = _streams(0.4, 0, 0.25, inside, outside, 0.6, flow.neutral * 0.25)
    assert streams == pytest.approx((flow.kg_s, flow.kg_s), rel=1e-4)
    flow = crack_flow(0.4, 0.25, 0.001, inside, outside)
    streams = _streams(0.002, 0.0004, 0.25, inside, outside, 0.6, flow.neutral * 0.25)
    assert streams == pytest.approx((flow.kg_s, flow.kg_s), rel=1e-4)


def test_limits_of_a_crack():
    # no width: two upright slots; no upright slots: two holes, sqrt(s/(1-s)) = sqrt(rho ratio)
    crack, slot = crack_flow(0, 0.25, 0.002, 300, 20), mouth_flow(0.002, 0.25, 300, 20)
    assert crack.kg_s == pytest.approx(2 * slot.kg_s, rel=1e-12)
    assert crack.neutral == pytest.approx(slot.neutral, rel=1e-12)
    holes = opening_flow(0.0, 0.001, 0.25, 573.15, 293.15)
    assert holes.neutral / (1 - holes.neutral) == pytest.approx(293.15 / 573.15, rel=1e-9)


def test_neutral_plane_is_solved_for_any_shape_and_heat():
    width = np.array([0.01, 0.3, 2.0, 10.0])[:, None]
    inside = np.array([-20.0, 21.0, 250.0, 900.0, 1400.0])
    flow = crack_flow(width, 0.2, 0.001, inside, 20)
    s = flow.neutral
    ratio = np.minimum(inside + 273.15, 293.15) / np.maximum(inside + 273.15, 293.15)
    low = width * s**0.5 + 4 / 3 * 0.2 * s**1.5
    high = width * (1 - s) ** 0.5 + 4 / 3 * 0.2 * (1 - s) ** 1.5
    assert low == pytest.approx(np.sqrt(ratio) * high, rel=1e-10)


def test_no_difference_no_flow_and_symmetry():
    for flow in (mouth_flow(0.4, 0.25, 20, 20), crack_flow(0.4, 0.25, 0.001, 20, 20)):
        assert flow.kg_s == 0 and flow.neutral == pytest.approx(0.5, abs=1e-12)
    assert mouth_flow(0.4, 0.25, 20, 90) == pytest.approx(mouth_flow(0.4, 0.25, 90, 20))
    assert mouth_flow(0.4, 0.25, 400, 10).neutral < 0.5
    assert crack_flow(0.4, 0.25, 0, 400, 10).kg_s == 0  # a sealed door


def test_one_answer_for_one_and_for_many():
    many = crack_flow(0.4, 0.25, 0.001, np.array([100.0, 300.0]), 20)
    for i, temp in enumerate((100.0, 300.0)):
        one = crack_flow(0.4, 0.25, 0.001, temp, 20)
        assert (many.kg_s[i], many.neutral[i]) == pytest.approx(one, rel=1e-14)


# radiation

def test_two_plates_and_a_shield():
    # Cengel, Ex. 13.7: plates 800/500 K, emissivities 0.2/0.7 -> 3625 W/m2
    net = net_radiation([1, 1], PLATES, [0.2, 0.7], [800, 500])
    assert net == pytest.approx([3625, -3625], rel=1e-3)
    # Cengel, Ex. 13.11: with a shield of emissivity 0.1 -> 806 W/m2
    first, second = (exchange_areas([1, 1], PLATES, eps)[0, 1]
                     for eps in ([0.2, 0.1], [0.1, 0.7]))
    in_series = 1 / (1 / first + 1 / second)
    assert in_series * SIGMA * (800**4 - 500**4) == pytest.approx(806, rel=1e-3)


def test_duct_with_a_wall_that_gives_back_what_it_gets():
    # Incropera & DeWitt, Ex. 13.6: 1200 K/0.8, 500 K/0.4, reradiating -> 36.98 kW/m, 1102 K
    triangle = (1 - np.eye(3)) / 2
    net = net_radiation(np.ones(3), triangle, [0.8, 0.4, 0.5], [1200, 500, np.nan])
    assert net == pytest.approx([36980, -36980, 0], rel=1e-3, abs=1e-6)
    # the printed 1102 K, put in as a temperature, leaves that wall without net radiation
    net = net_radiation(np.ones(3), triangle, [0.8, 0.4, 0.5], [1200, 500, 1102])
    assert abs(net[2]) < 0.005 * net[0]


def test_dome_over_floor():
    # two-surface formula, hemisphere 300 degC over floor 250 degC, 0.9 each: 1604 W/m2
    a = 0.5
    areas = np.pi * a**2 * np.array([1, 2])
    net = net_radiation(areas, [[0, 1], [0.5, 0.5]], [0.9, 0.9], [523.15, 573.15])
    assert -net[0] / areas[0] == pytest.approx(1604, rel=1e-3)


def _oven(eps=(0.9, 0.85, 0.8, 0.9, 0.5)):
    room = cavity(0.8, 0.384, 0.0968)
    return room.areas, room.view_factors, np.array(eps)


def test_exchange_is_symmetric_closed_and_black_when_black():
    areas, f, eps = _oven()
    af = exchange_areas(areas, f, eps)
    assert af == pytest.approx(af.T, abs=1e-15) and np.all(af >= 0)
    assert af.sum(axis=-1) == pytest.approx(areas * eps, rel=1e-12)
    assert exchange_areas(areas, f, np.ones(5)) == pytest.approx(areas[:, None] * f, abs=1e-15)


def test_exchange_against_light_bounced_by_hand():
    areas, f, eps = _oven()
    kept, light = np.zeros((5, 5)), np.diag(areas * eps)
    for _ in range(400):  # emitted, struck, part kept, the rest thrown on
        struck = light @ f
        kept, light = kept + struck * eps, struck * (1 - eps)
    assert exchange_areas(areas, f, eps) == pytest.approx(kept, abs=1e-12)


def test_net_radiation_sums_to_nothing_and_stops_at_one_temperature():
    areas, f, eps = _oven()
    temps = np.array([700.0, 500, 650, 480, 350])
    net = net_radiation(areas, f, eps, temps)
    assert net.sum() == pytest.approx(0, abs=1e-9 * np.abs(net).max())
    assert net_radiation(areas, f, eps, np.full(5, 600.0)) == pytest.approx(0, abs=1e-9)
    assert net[0] > 0 > net[4]


def test_a_surface_without_area_takes_no_part():
    areas, f, eps = _oven()
    wide, more = np.append(areas, 0.0), np.zeros((6, 6))
    more[:5, :5], more[5, 2] = f, 1.0
    af = exchange_areas(wide, more, np.append(eps, 0.9))
    assert np.all(af[5] == 0) and np.all(af[:, 5] == 0)
    assert af[:5, :5] == pytest.approx(exchange_areas(areas, f, eps), abs=1e-15)
    temps = np.array([700.0, 500, 650, 480, 350, np.nan])
    net = net_radiation(wide, more, np.append(eps, 0.9), temps)
    assert net == pytest.approx(np.append(net_radiation(areas, f, eps, temps[:5]), 0))


def test_many_ovens_at_once():
    rooms = [cavity(d, 0.48 * d, 0.09) for d in (0.7, 0.8, 1.1)]
    areas, f = np.stack([r.areas for r in rooms]), np.stack([r.view_factors for r in rooms])
    eps, temps = np.full(5, 0.9), np.array([700.0, 500, np.nan, 480, 350])
    many = net_radiation(areas, f, eps, temps)
    some = absorbed(areas, f, eps, [100.0, 0, 0, 50, 0])
    for i, room in enumerate(rooms):
        assert many[i] == pytest.approx(net_radiation(room.areas, room.view_factors, eps, temps))
        assert some[i] == pytest.approx(
            absorbed(room.areas, room.view_factors, eps, [100.0, 0, 0, 50, 0]))
    each = net_radiation(rooms[0].areas, rooms[0].view_factors, eps,
                         np.where([[1], [0]], temps, 600.0))
    assert each[0] == pytest.approx(many[0]) and each[1] == pytest.approx(0, abs=1e-9)


def test_light_from_outside_is_kept_somewhere():
    areas, f, eps = _oven()
    light = np.array([500.0, 20, 900, 100, 0])
    kept = absorbed(areas, f, eps, light)
    assert kept.sum() == pytest.approx(light.sum(), rel=1e-12)
    assert absorbed(areas, f, np.ones(5), light) == pytest.approx(light)
    struck, total = light.copy(), np.zeros(5)
    for _ in range(400):
        total, struck = total + eps * struck, ((1 - eps) * struck) @ f
    assert kept == pytest.approx(total, rel=1e-10)


@pytest.mark.parametrize("call, word", [
    (lambda: net_radiation([1, 1], [[0, 0.9], [1, 0]], [0.9, 0.9], [300, 400]), "surface 0"),
    (lambda: net_radiation([1, 2], PLATES, [0.9, 0.9], [300, 400]), "reciprocity"),
    (lambda: net_radiation([1, 1], PLATES, [0.9, 0], [300, 400]), "emissivity"),
    (lambda: net_radiation([1, 1], PLATES, [0.9, 1.1], [300, 400]), "emissivity"),
    (lambda: net_radiation([1, -1], PLATES, [0.9, 0.9], [300, 400]), "area"),
    (lambda: net_radiation([1, 1], PLATES, [0.9, 0.9], [300, -1]), "temperature"),
    (lambda: net_radiation([1, 1], PLATES, [0.9, 0.9], [np.nan] * 2), "no surface of known"),
    (lambda: net_radiation([1, 1], PLATES, [0.9, 0.9], [300, 400, 500]), "give 2 numbers"),
    (lambda: net_radiation([1, 1], PLATES, [0.9, 0.9], "hot"), "give 2 numbers"),
    (lambda: net_radiation([1, 1], [[0, 1]], [0.9, 0.9], [300, 400]), "square"),
    (lambda: net_radiation([1, 1], [[0, 1], [1]], [0.9, 0.9], [300, 400]), "unequal"),
    (lambda: absorbed([1, 1], PLATES, [0.9, 0.9], [-5, 0]), "incident"),
    (lambda: mouth_flow(0.4, 0, 300, 20), "height"),
    (lambda: mouth_flow(0.4, 0.2, np.nan, 20), "inside"),
    (lambda: mouth_flow(0.4, 0.2, 300, 20, cd=2), "discharge"),
    (lambda: crack_flow(0.4, 0.2, "wide", 300, 20), "crack"),
    (lambda: air(True), "air"),
    (lambda: air([20, 5000]), "place"),
    (lambda: cavity(0.8, 0.7, 0.1), "rise"),
    (lambda: cavity(0.8, 0.384, 0.6), "mouth"),
    (lambda: cavity(0.8, 0.384, 0.1, fire_share=1.0), "under the fire"),
    (lambda: cavity(0.8, 0.13, 0.02, fire_share=0.06, flame_height=0.9), "stand in the dome")])
def test_bad_input_is_refused(call, word):
    with pytest.raises(InputError, match=word):
        call()


# view factors

@pytest.mark.parametrize("inside, rise", [(1.0, 0.5), (1.1, 0.40), (0.8, 0.384), (1.0, 0.55)])
def test_cap_over_floor(inside, rise):
    # spherical cap of floor radius a and rise h sees its floor by a^2/(a^2 + h^2) (Hottel)
    room = cavity(inside, rise, 0.05)
    to_floor = room.view_factors[2:, :2].sum(axis=1)
    a = inside / 2
    assert to_floor == pytest.approx(a**2 / (a**2 + rise**2), abs=1e-12)
    assert room.areas.sum() == pytest.approx(np.pi * a**2 + np.pi * (a**2 + rise**2))
    assert room.areas[4] == pytest.approx(0.05)
    if (inside, rise) == (1.1, 0.40):
        assert to_floor[0] == pytest.approx(0.654, abs=5e-4)
    if (inside, rise) == (1.0, 0.5):
        assert to_floor[0] == pytest.approx(0.5, abs=1e-12)


@pytest.mark.parametrize("gap, expected", [(3.0, 0.09167), (2.0, 0.1716)])
def test_disks_by_the_sphere_rule(gap, expected):
    # Incropera & DeWitt, fig. 13.5: equal coaxial disks of radius 1. On a sphere through both
    # rims, what a disk sends to the other's cap must pass the other disk.
    radius2 = 1 + (gap / 2) ** 2
    cap = 2 * np.pi * np.sqrt(radius2) * (np.sqrt(radius2) - gap / 2)
    assert cap**2 / (4 * np.pi * radius2) / np.pi == pytest.approx(expected, rel=1e-3)


@pytest.mark.parametrize("shape", [(0.8, 0.384, 0.0968, 0.35, 0.4), (1.0, 0.5, 0.15, 0.5, 0.4),
                                   (1.2, 0.3, 0.08, 0.2, 0.4), (1.0, 0.55, 0.2, 0.8, 0.3)])
def test_closure_and_reciprocity(shape):
    room = cavity(*shape)
    sent = room.areas[:, None] * room.view_factors
    assert room.view_factors.sum(axis=1) == pytest.approx(np.ones(5), abs=1e-12)
    assert sent == pytest.approx(sent.T, abs=1e-12)
    assert np.all(room.view_factors >= 0)
    assert room.flame.sum() == pytest.approx(1, abs=1e-12) and np.all(room.flame > 0)
    assert room.areas[0] == pytest.approx(shape[3] * np.pi * shape[0] ** 2 / 4)
    assert not room.view_factors.flags.writeable and not room.areas.flags.writeable


def _strike(start, way, inside, rise, mouth, x_chord):
    """Index of the surface that rays first strike: floor plane, then sphere."""
    centre = np.array([0, 0, rise - (radius := (inside**2 / 4 + rise**2) / (2 * rise))])
    off = start - centre
    along = np.sum(off * way, axis=-1)
    reach = -along + np.sqrt(np.maximum(along**2 - np.sum(off**2, axis=-1) + radius**2, 0))
    with np.errstate(divide="ignore", invalid="ignore"):
        down = np.where(way[:, 2] < 0, -start[:, 2] / way[:, 2], np.inf)
    on_floor = (down > 1e-12) & (down < reach)
    hit = start + np.where(on_floor, down, reach)[:, None] * way
    top = 0.63 * rise  # height of the door; common practice, no source
    in_door = (hit[:, 2] < top) & (np.abs(np.arctan2(hit[:, 1], hit[:, 0]))
                                   < mouth / (2 * radius * top))
    dome = np.where(hit[:, 0] < 0, 2, np.where(in_door, 4, 3))
    return np.where(on_floor, np.where(hit[:, 0] < x_chord, 0, 1), dome)


def _chord(share, a):
    """x of the line with `share` of a disk behind it, and centroid of that, by strips."""
    x = (np.arange(200000) + 0.5) / 200000 * 2 * a - a
    area = np.cumsum(np.sqrt(a**2 - x**2))
    cut = np.searchsorted(area / area[-1], share)
    return x[cut], np.average(x[:cut], weights=np.diff(area[:cut], prepend=0))


@pytest.mark.parametrize("shape", [(0.8, 0.384, 0.0968, 0.35, 0.4), (1.2, 0.3, 0.08, 0.3, 0.4),
                                   (1.0, 0.5, 0.25, 0.7, 0.3)])
def test_view_factors_and_flame_against_traced_rays(shape):
    inside, rise, mouth, share, height = shape
    a, n, rng = inside / 2, 200_000, np.random.default_rng(5)
    room, (x_chord, x_flame) = cavity(*shape), _chord(share, a)
    r, turn = a * np.sqrt(rng.random(n)), 2 * np.pi * rng.random(n)
    start = np.stack([r * np.cos(turn), r * np.sin(turn), 0 * r], axis=-1)
    up, turn = np.sqrt(rng.random(n)), 2 * np.pi * rng.random(n)
    side = np.sqrt(1 - up**2)
    way = np.stack([side * np.cos(turn), side * np.sin(turn), up], axis=-1)
    hit = _strike(start, way, inside, rise, mouth, x_chord)
    for row, of in ((0, start[:, 0] < x_chord), (1, start[:, 0] >= x_chord)):
        share_hit = np.bincount(hit[of], minlength=5) / of.sum()
        f = room.view_factors[row]
        assert np.all(np.abs(share_hit - f) <= 3 * np.sqrt(f * (1 - f) / of.sum()) + 1e-5)

    source = np.array([x_flame, 0, height * rise])
    up = 2 * rng.random(n) - 1
    side = np.sqrt(1 - up**2)
    way = np.stack([side * np.cos(turn), side * np.sin(turn), up], axis=-1)
    hit = _strike(np.broadcast_to(source, way.shape), way, inside, rise, mouth, x_chord)
    share_hit, f = np.bincount(hit, minlength=5) / n, room.flame
    assert np.all(np.abs(share_hit - f) <= 3 * np.sqrt(f * (1 - f) / n) + 1e-5)


def test_size_scales_out_and_small_changes_stay_small():
    small, large = cavity(0.8, 0.384, 0.0968), cavity(1.6, 0.768, 0.3872)
    assert large.areas == pytest.approx(4 * small.areas)
    assert large.view_factors == pytest.approx(small.view_factors, abs=1e-12)
    steps = [cavity(d, 0.384, 0.0968, share).view_factors
             for d, share in zip(np.linspace(0.79, 0.81, 41), np.linspace(0.34, 0.36, 41))]
    bend = np.diff(np.array(steps), n=2, axis=0)
    assert np.abs(bend).max() < 0.02 * np.abs(np.diff(steps, axis=0)).max()


def test_the_flame_shines_most_where_it_stands():
    room = cavity(0.8, 0.384, 0.0968)
    assert room.flame[2] > room.flame[3] + room.flame[4]
    assert room.flame[0] / room.areas[0] > 3 * room.flame[1] / room.areas[1]
    # nearly on the hearth, a little under half of the light strikes it
    low = cavity(0.8, 0.384, 0.0968, 0.35, 0.05).flame
    assert 0.4 < low[0] + low[1] < 0.5
    assert exchange.SURFACES[int(np.argmax(room.flame))] == "dome_back"
