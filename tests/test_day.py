"""Whole days against what is known of real ovens.

Trade facts are common practice, without a source; each test says what its numbers stand for.
"""

import dataclasses

import numpy as np
import pytest
from scipy.optimize import curve_fit

import ovenkit as ok
from ovenkit.views import cavity

MINUTE = 1 / 60
ZONES = ["hearth_fire_c", "hearth_bake_c", "dome_back_c", "dome_front_c"]
CLASS_OVEN = ok.domed_oven(80, 320, 75)
SMALL_OVEN = ok.domed_oven(60, 120, 50)


def at(run, column, hours):
    """Column of the table, or any Series over its index, at `hours`."""
    series = run.table[column] if isinstance(column, str) else column
    return float(np.interp(hours, series.index, series))


def wall(run):
    """Mean inside surface of hearth and dome by area [degC]."""
    areas = cavity(run.oven.inside_m, run.oven.rise_m, run.oven.mouth_area_m2).areas[:4]
    return run.table[ZONES] @ areas / areas.sum()


def spread(run):
    return run.table[ZONES].max(axis=1) - run.table[ZONES].min(axis=1)


def fall(run, begin, end):
    return at(run, wall(run), begin) - at(run, wall(run), end)


def raked_at(target_c, oven, hours, then, spread_minutes=30, rake_minutes=0.0):
    """(run, hour of shutting) of a fire with just the wood that leaves the walls at a target."""
    low, high = 2.0, oven.masonry_kg / 16
    shut = hours + rake_minutes * MINUTE
    for _ in range(12):
        wood = (low + high) / 2
        fire = ok.Fire(hours=hours, wood_kg=wood, spread_minutes=spread_minutes,
                       rake_out=not rake_minutes)
        rake = [ok.RakeOut(minutes=rake_minutes)] if rake_minutes else []
        run = ok.run_day(oven, [fire, *rake, *then])
        low, high = (low, wood) if at(run, wall(run), shut) > target_c else (wood, high)
    assert at(run, wall(run), shut) == pytest.approx(target_c, abs=5)
    return run, shut


# ---- fingerprints of stored heat -----------------------------------------------------------

@pytest.fixture(scope="module")
def bread_day():
    """A firing, an hour's rest, six loaves from 3.58 to 4.08 h, three hours shut."""
    return ok.run_day(CLASS_OVEN, bread_steps())


def bread_steps():
    return [ok.Fire(hours=2.5, wood_kg=11, rake_out=False), ok.RakeOut(minutes=5),
            ok.Settle(hours=1), ok.Bake("hearth loaf", 6, minutes=30), ok.Wait(hours=3)]


LOADED, EMPTIED = 2.5 + 65 * MINUTE, 2.5 + 95 * MINUTE


def test_hearth_under_a_load_is_colder_than_beside_it(bread_day):
    for minute in (2, 10, 29):
        hours = LOADED + minute * MINUTE
        beside, under = (at(bread_day, c, hours) for c in ("hearth_bake_c", "hearth_under_load_c"))
        assert beside - under > 30


def test_hearth_regains_heat_while_the_store_still_falls(bread_day):
    """From below: an hour after, the cold spot is up by more than 25 K and the oven emptier."""
    at_once = at(bread_day, "hearth_under_load_c", EMPTIED)
    later = [at(bread_day, "hearth_under_load_c", EMPTIED + m * MINUTE) for m in (5, 15, 30, 60)]
    assert np.all(np.diff([at_once, *later]) > 0) and later[-1] - at_once > 25
    stored = bread_day.table["stored_mj"].loc[EMPTIED:EMPTIED + 1]
    assert (stored.diff().dropna() < 0).all()
    hearth = at(bread_day, "hearth_bake_c", EMPTIED + 1)
    assert later[-1] < hearth       # and it has not caught up


def test_first_touch_stays_under_its_bound():
    """The hearth's skin under dough is above the two-body bound only by what dries in between.

    T = (e1 T1 + e2 T2) / (e1 + e2), about 200 degC for brick at 330 and dough
    (Varlamov, Glatz & Grasso 2018): the underside of the load can be no hotter in its first
    moments, and the skin of the hearth falls towards it.
    """
    run = ok.run_day(CLASS_OVEN, [ok.Bake("flatbread", 1, minutes=3)], start=330)
    bottom = run.temp_c[:, 5 + 2 * run.program.places]
    inside = (run.hours > run.bakes["in_h"][0]) & (run.hours < run.bakes["in_h"][0] + 0.25 * MINUTE)
    assert 60 < bottom[inside].max() < 205
    assert at(run, "hearth_under_load_c", run.bakes["in_h"][0] + MINUTE) < 310


def test_surface_depth_and_outer_face_lag_in_order(bread_day):
    for skin, deep, outer in (("hearth_bake_c", "hearth_deep_c", "hearth_outer_c"),
                              ("dome_back_c", "dome_deep_c", "dome_outer_c")):
        table = bread_day.table
        peaks = [table[c].idxmax() for c in (skin, deep, outer)]
        assert peaks[0] + 5 * MINUTE < peaks[1] < peaks[2] - 30 * MINUTE
        heights = [table[c].max() for c in (skin, deep, outer)]
        assert heights[0] > heights[1] + 30 > heights[2] + 60


def test_settling_has_more_than_one_time_constant():
    """One exponential misses the fall of the skin by over 10 K; two halve what is missed."""
    run = ok.run_day(CLASS_OVEN, [ok.Fire(hours=2.5, wood_kg=10), ok.Settle(hours=4)])
    x = np.linspace(0, 4, 241)
    y = np.interp(x + 2.5, run.table.index, wall(run))

    def one(t, end, a, tau):
        return end + a * np.exp(-t / tau)

    def two(t, end, a, tau, b, slow):
        return one(t, end, a, tau) + b * np.exp(-t / slow)
    errors = []
    for law, guess in ((one, (y[-1], 60, 0.5)), (two, (y[-1], 40, 0.1, 50, 1.5))):
        fitted = curve_fit(law, x, y, guess, maxfev=50000)[0]
        errors.append(np.abs(law(x, *fitted) - y).max())
    assert errors[0] > 10.0
    assert errors[1] < errors[0] / 2


def with_half_conductivity(oven):
    def halved(layers):
        brick = layers[0].material
        brick = dataclasses.replace(brick, k=tuple(k / 2 for k in brick.k))
        return (dataclasses.replace(layers[0], material=brick), *layers[1:])
    return dataclasses.replace(oven, dome=halved(oven.dome), hearth=halved(oven.hearth))


def test_masonry_that_conducts_half_as_well(bread_day):
    """Effusivity sqrt(k rho c) falls by 0.71: the fire drives the skin hotter and less of it in.

    Settling falls further, the dip under a load is deeper, less of it is back after an hour.
    """
    half = ok.run_day(with_half_conductivity(CLASS_OVEN), bread_steps())

    def figures(run):
        before = at(run, "hearth_bake_c", LOADED - 0.001)
        under = at(run, "hearth_under_load_c", EMPTIED - MINUTE)
        back = at(run, "hearth_under_load_c", EMPTIED + 1)
        shut = 2.5 + 5 * MINUTE
        return (run.table["dome_back_c"].max(), at(run, "stored_mj", shut),
                fall(run, shut, shut + 1), before - under, (back - under) / (before - under))
    peak, stored, settling, dip, recovery = figures(bread_day)
    half_peak, half_stored, half_settling, half_dip, half_recovery = figures(half)
    assert half_peak > peak + 30 and half_stored < 0.93 * stored
    assert half_settling > 1.3 * settling
    assert half_dip > 1.15 * dip
    assert half_recovery < 0.8 * recovery


def test_soaked_masonry_dips_by_its_effusivity():
    """Contact with a cold load: the dip grows as conductivity falls, at one start temperature."""
    dips = []
    for oven in (CLASS_OVEN, with_half_conductivity(CLASS_OVEN)):
        run = ok.run_day(oven, [ok.Bake("hearth loaf", 6, minutes=30)], start=260)
        dips.append(at(run, "hearth_bake_c", 29 * MINUTE) - at(run, "hearth_under_load_c",
                                                               29 * MINUTE))
    assert 1.1 < dips[1] / dips[0] < 1.42


def test_air_is_no_fixed_share_of_the_walls():
    """Over a class day air over wall [degC] runs from a third to more than one."""
    run = ok.run_day(ok.read_day("class_day"))
    ratio = (run.table["air_c"] / wall(run)).loc[0.5:]
    low, high = ratio.quantile([0.02, 0.98])
    assert low < 0.5 and high > 1.05


def test_insulation_is_seen_next_morning_not_at_the_first_loaves():
    """Half the insulation: the first loaves differ by under 2 K, the morning by 10 to 40 K."""
    steps = [ok.Fire(hours=2.5, wood_kg=11), ok.Settle(minutes=40),
             ok.Bake("hearth loaf", 6, minutes=30), ok.Wait(hours=16)]
    thick, thin = ok.run_days([(ok.domed_oven(80, 320, mm), steps) for mm in (75, 37.5)])
    for column in ("hearth_in_c", "dome_in_c", "feels_in_c"):
        assert thick.bakes[column][0] - thin.bakes[column][0] < 2.0
    assert thick.bakes["core_out_c"][0] == pytest.approx(thin.bakes["core_out_c"][0], abs=0.1)
    end = thick.hours[-1]
    assert 10 < at(thick, wall(thick), end) - at(thin, wall(thin), end) < 40


# ---- the time steps --------------------------------------------------------------------------

def test_shorter_steps_change_no_zone_by_a_kelvin(monkeypatch):
    """Four times finer, with door open, ajar and shut, fire, loads: the same within 1 K.

    As the goals of the march: within 1 K from five minutes after an event, 99 % of the time.
    """
    steps = (ok.Fire(hours=2, wood_kg=9), ok.Settle(minutes=30), ok.Wait(minutes=15, door="open"),
             ok.Wait(minutes=30), ok.Bake("hearth loaf", 5, minutes=30),
             ok.Wait(minutes=20, gap_mm=30), ok.Bake("tin loaf", 2, minutes=40), ok.Wait(hours=2))
    day = [(CLASS_OVEN, steps, 12.0)]
    coarse, fine = (ok.simulate._march(day, [None], finer)[0] for finer in (1.0, 4.0))
    events = np.cumsum([0.0] + [step.seconds / 3600 for step in steps])
    bake = [i for i, step in enumerate(steps) if step.title == "bake"]
    events = np.concatenate([events, coarse.bakes["in_h"], coarse.bakes["out_h"]])
    hours = np.linspace(0, coarse.hours[-1], 2001)
    since = np.array([(h - events[events <= h]).min() for h in hours])
    late = (since >= 5 * MINUTE) & (hours > 2.0)
    assert len(bake) == 2 and late.sum() > 500
    for column in ZONES + ["hearth_deep_c", "dome_deep_c"]:
        got, true = (np.interp(hours[late], run.table.index, run.table[column])
                     for run in (coarse, fine))
        error = np.abs(got - true)
        assert np.quantile(error, 0.99) < 1.0 and error.max() < 2.0, column


def test_air_of_an_open_oven_falls_and_does_not_swing():
    """With the door off the air follows walls that cool: from five minutes on it only falls."""
    run = ok.run_day(CLASS_OVEN, [ok.Settle(minutes=20), ok.Wait(minutes=15, door="open")],
                     start=250)
    air = run.table["air_c"].loc[25 * MINUTE:]
    assert len(air) > 2 and (air.diff().dropna() < 0).all()


# ---- trade facts: common practice, no source ------------------------------------------------

@pytest.fixture(scope="module")
def settled():
    """Shut with the walls at 300: at once, the embers long spread, or after 5 min of raking."""
    return [raked_at(300.0, CLASS_OVEN, 2.5, [ok.Settle(hours=5)], spread_minutes=40),
            raked_at(300.0, CLASS_OVEN, 2.5, [ok.Settle(hours=5)], rake_minutes=5.0)]


@pytest.mark.parametrize("i", [0, 1])
def test_settling(settled, i):
    """Common practice, no source: shut at about 300, the skin falls 20-60 K in 20 minutes while
    the store loses under 2 %, and 3 to 9 times more than in minutes 60-80."""
    run, shut = settled[i]
    early, late = fall(run, shut, shut + 1 / 3), fall(run, shut + 1, shut + 4 / 3)
    assert 20 < early < 60
    assert 3 < early / late < 9
    lost = 1 - at(run, "stored_mj", shut + 1 / 3) / at(run, "stored_mj", shut)
    assert 0 < lost < 0.02


@pytest.mark.parametrize("i", [0, 1])
def test_zones_come_together_slowly(settled, i):
    """Common practice, no source: the spread between zones halves within 25-65 minutes, and the
    back stays warmer than a leaking front for hours."""
    run, shut = settled[i]
    even = spread(run).loc[shut:]
    half = even.index[(even <= even.iloc[0] / 2).to_numpy()][0] - shut
    assert 25 < half / MINUTE < 65
    for hours in (1, 2, 4, 5):
        gap = at(run, "dome_back_c", shut + hours) - at(run, "dome_front_c", shut + hours)
        assert gap > 3.0


@pytest.mark.parametrize("start", [180, 250, 300])
@pytest.mark.parametrize("crack, low, high", [(0.0, 0.0, 0.02), (0.3, 0.04, 0.17),
                                              (1.0, 0.04, 0.17), (1.7, 0.04, 0.17)])
def test_air_below_the_walls(start, crack, low, high):
    """Common practice, no source: shut and settled, the air is 4-17 % (of degC) below the mean
    wall at a crack of 0.3-1.7 mm, under 2 % with a sealed door."""
    run = ok.run_day(ok.domed_oven(80, 300, 75, door_crack_mm=crack), [ok.Settle(hours=3)],
                     start=start)
    for hours in (1.0, 2.0, 3.0):
        assert low < 1 - at(run, "air_c", hours) / at(run, wall(run), hours) < high


def test_cold_dough_chills_the_air_and_a_probe_reads_between(bread_day):
    """Common practice, no source: far more below the walls with cold dough in; a probe near the
    wall reads between air and wall."""
    def below(hours):
        return 1 - at(bread_day, "air_c", hours) / at(bread_day, wall(bread_day), hours)
    assert below(LOADED + 10 * MINUTE) > 1.5 * below(LOADED - 2 * MINUTE)
    for hours in (LOADED - 2 * MINUTE, LOADED + 10 * MINUTE, EMPTIED + 2):
        near = bread_day.reading("air probe near wall", hours)
        assert at(bread_day, "air_c", hours) < near < at(bread_day, wall(bread_day), hours)


@pytest.mark.parametrize("walls_c, low, high", [(300, 2, 3), (275, 2, 3), (250, 4, 5),
                                                (220, 5.5, 8)])
def test_hand_count(walls_c, low, high):
    """Common practice, no source: 2-3 s at 275-300, 4-5 s at 250, 5.5-8 s at 220, counted to
    half a second (nobody counts finer). The cavity is shut and settled, its air below it."""
    run = ok.run_day(CLASS_OVEN, [ok.Settle(hours=3)], start=walls_c + 15)
    hours = np.interp(-walls_c, -wall(run), run.table.index)
    assert low <= round(2 * run.reading("hand count", float(hours))) / 2 <= high


@pytest.mark.parametrize("oven", [CLASS_OVEN, SMALL_OVEN], ids=["class", "small"])
def test_opening_the_door_for_five_minutes(oven):
    """Common practice, no source: at 250 the air is under 120 within a minute; after five
    minutes the skin is down 8-17 K, of which 2-3 K are left 30 minutes after shutting; the air
    is back to 90 % within five."""
    rest = ok.Settle(minutes=30)
    opened, idle = ok.run_days([
        (oven, [rest, ok.Wait(minutes=5, door="open"), ok.Wait(hours=1)]),
        (oven, [rest, ok.Wait(minutes=5), ok.Wait(hours=1)])], start=256)
    assert at(idle, wall(idle), 0.5) == pytest.approx(250, abs=8)
    assert at(opened, "air_c", 31 * MINUTE) < 120

    def down(minutes):
        hours = (30 + minutes) * MINUTE - 1e-6
        return at(idle, wall(idle), hours) - at(opened, wall(opened), hours)
    assert 8 < down(5) < 17
    assert 2 < down(35) < 3
    back = at(opened, "air_c", 40 * MINUTE) / at(opened, "air_c", 30 * MINUTE - 1e-6)
    assert back > 0.90


@pytest.mark.parametrize("gap_mm", [15, 20])
def test_door_ajar(gap_mm):
    """Common practice, no source: after a firing and 40 minutes of settling, a gap of 15-20 mm
    holds the air 20-45 K lower while the walls fall only 1.1 to 1.4 times as fast."""
    before = bread_steps()[:2] + [ok.Settle(minutes=40)]
    ajar, shut = ok.run_days([(CLASS_OVEN, before + [ok.Wait(hours=1, gap_mm=gap_mm)]),
                              (CLASS_OVEN, before + [ok.Wait(hours=1)])])
    begin = 2.5 + 45 * MINUTE
    for minutes in (15, 30, 60):
        hours = begin + minutes * MINUTE
        assert 20 < at(shut, "air_c", hours) - at(ajar, "air_c", hours) < 45
    assert 1.1 < fall(ajar, begin, begin + 1) / fall(shut, begin, begin + 1) < 1.4


def test_one_roll_and_sixteen():
    """Common practice, no source: 12 minutes at 320 in a small oven, the top of one roll alone
    is 30-55 K hotter than those of a full hearth, the undersides are within 2 K."""
    roll = ok.load_catalogue()["roll"]
    ends = []
    for count in (1, 16):
        loading = 0.5 * count * roll.open_s / 60     # each way: all are in for 12 minutes
        run = ok.run_day(SMALL_OVEN, [ok.Bake("roll", count, minutes=12 + 2 * loading)], start=320)
        assert run.bakes["out_h"][0] - run.bakes["in_h"][0] == pytest.approx(0.2, abs=1e-6)
        ends.append(run.bakes.iloc[0])
    assert 30 < ends[0]["top_c"] - ends[1]["top_c"] < 55
    assert abs(ends[0]["bottom_c"] - ends[1]["bottom_c"]) < 2
    assert ok.verdicts.COLOURS.index(ends[0]["top"]) > ok.verdicts.COLOURS.index(ends[1]["top"])


def water_pot():
    stock = ok.load_catalogue()["stock pot"]
    return dataclasses.replace(
        stock, name="pot of water", mass_g=8000, water=1.0, protein=0.0, fat=0.0, carbohydrate=0.0,
        fibre=0.0, ash=0.0, length_cm=28, width_cm=28, height_mm=140, start_c=12)


def pot_and_twin(inside_cm):
    oven = ok.domed_oven(inside_cm, 120, 75, mouth_w_cm=30, mouth_h_cm=18)
    return ok.run_days([(oven, [ok.Bake(water_pot(), 1, minutes=90)]),
                        (oven, [ok.Wait(minutes=90)])], start=205)


@pytest.mark.parametrize("inside_cm", [50, 60])
def test_a_cold_pot_takes_the_air_out_of_the_cake_band(inside_cm):
    """Common practice, no source: 8 l of cold water into 120 kg of masonry at 205, and within
    15 minutes the air has left the cake band (below 160)."""
    with_pot, idle = pot_and_twin(inside_cm)
    for minutes in (15, 30, 60):
        assert at(with_pot, "air_c", minutes * MINUTE) < 160 < at(idle, "air_c", minutes * MINUTE)


@pytest.mark.parametrize("inside_cm", [50, pytest.param(60, marks=pytest.mark.xfail(
    strict=True, reason="18 K: 470 W into one pot of 28 cm, as a kitchen oven gives"))])
def test_a_cold_pot_pulls_the_walls_down(inside_cm):
    """Common practice, no source: and after an hour the walls are about 25 K under an idle twin
    (20 to 30)."""
    with_pot, idle = pot_and_twin(inside_cm)
    assert 20 < at(idle, wall(idle), 1.0) - at(with_pot, wall(with_pot), 1.0) < 30


def test_twice_the_masonry_twice_the_time():
    """Common practice, no source: idle and shut, doubling the masonry on one floor and
    insulation stretches 250 to 120 degC about twofold (1.7 to 2.3)."""
    times = []
    for kilos in (150, 300):
        run = ok.run_day(ok.domed_oven(80, kilos, 75), [ok.Wait(hours=48)], start=252)
        begin, end = np.interp([-250, -120], -wall(run), run.table.index)
        assert end < 47
        times.append(end - begin)
    assert 1.7 < times[1] / times[0] < 2.3


# ---- bread: published bands -----------------------------------------------------------------

def baked(load, count, start_c, minutes=None, oven=CLASS_OVEN):
    """Row of one bake in soaked masonry after ten minutes shut."""
    run = ok.run_day(oven, [ok.Settle(minutes=10), ok.Bake(load, count, minutes=minutes)],
                     start=start_c)
    return run.bakes.iloc[0]


def in_oven(bake):
    return (bake["out_h"] - bake["in_h"]) * 60


@pytest.mark.parametrize("start_c", [240, 260, 280])
def test_hearth_loaves_come_out_good_in_their_band(start_c):
    """800 g at a hearth of 230-290 (trade band, no source): good in 20 to 45 minutes."""
    bake = baked("hearth loaf", 6, start_c)
    assert 230 < bake["hearth_in_c"] < 290
    assert bake["verdict"] == "good", bake["why"]
    assert 20 < in_oven(bake) < 45
    assert 95 <= bake["core_out_c"] <= 100.1     # lean bread is done at 93-99 (trade)


@pytest.mark.parametrize("load, count, start_c, low, high", [
    ("hearth loaf", 6, 250, 8, 15), ("hearth loaf 400 g", 8, 255, 12, 15),
    ("roll", 12, 260, 16, 22)])
def test_bake_loss(load, count, start_c, low, high):
    """Water lost, of dough: 800 g 8-12 % in bakers' books, to 15 free-standing; 400 g 12-15 %;
    rolls 16-22 % (from memory)."""
    bake = baked(load, count, start_c)
    assert bake["verdict"] == "good", bake["why"]
    assert low <= bake["loss_pct"] <= high


def test_tin_loaves():
    """Trade, no source: 850 g in a tin, in an oven that feels like 190-220, 35 to 55 minutes."""
    bake = baked("tin loaf", 3, 225)
    assert 190 < bake["feels_in_c"] < 220
    assert bake["verdict"] == "good" and 35 < in_oven(bake) < 55


@pytest.mark.xfail(strict=True, reason="91 degC: the crumb of the 850 g loaf conducts 0.7 W/mK")
def test_pan_sandwich_bread():
    """Therdthai, Zhou & Adamczak 2002: 27.4 minutes at 115/130/156/176 degC, crumb 99.

    Its crumb cannot pass 100 degC, so a slab that starts at 30 and has both faces held at 100
    is warmed faster than any such loaf. The mass of the published loaf is not known here.
    """
    tin = ok.load_catalogue()["tin loaf"]
    layer = (tin.slab_m, tin.conductivity_w_mk, 1000.0, tin.capacity_j_k / tin.volume_m3 / 1000)
    _, depths, temps = ok.conduction.heat_slab(
        [layer], ok.conduction.Fixed(100.0), ok.conduction.Fixed(100.0), 27.4 * MINUTE, 30.0)
    assert np.interp(tin.slab_m / 2, depths, temps[-1]) > 96


@pytest.mark.parametrize("count", [1, 2, 4])
def test_small_loaves(count):
    """Skjoldebrand & Andersson 1989: small loaves at 230 degC, 17 minutes (within 3)."""
    bake = baked("roll", count, 239)
    assert bake["feels_in_c"] == pytest.approx(230, abs=3)
    assert bake["verdict"] == "good"
    assert in_oven(bake) == pytest.approx(17, abs=3)


def test_sponge():
    """Watanabe et al. 1992: sponge is best near 160 degC, pound cake near 180. Here it comes out
    good between 160 and 185 in less than an hour, pale below and dark in a bread oven."""
    for start_c in (170, 180, 190):
        bake = baked("sponge cake", 2, start_c)
        assert 158 < bake["feels_in_c"] < 186
        assert bake["verdict"] == "good" and 25 < in_oven(bake) <= 60
    assert baked("sponge cake", 2, 150)["verdict"] == "pale"
    assert baked("sponge cake", 2, 270, minutes=30)["verdict"] in ("dark", "burnt")


@pytest.mark.parametrize("count", [1, 6])
def test_too_hot_a_hearth_burns_the_bottom(count):
    """Trade, no source: at 340 the loaf is black outside; the reason names the hearth."""
    bake = baked("hearth loaf", count, 350)
    assert bake["bottom"] == "burnt" and bake["verdict"] == "burnt"
    assert f"hearth was {bake['hearth_in_c']:.0f}" in bake["why"]


def test_hotter_is_not_better():
    """One loaf for 12 minutes at 360: burnt outside while the core is far from done."""
    bake = baked("hearth loaf", 1, 370, minutes=12)
    assert bake["core_out_c"] < 90 and "burnt" in (bake["top"], bake["bottom"])


def test_too_cool_an_oven_leaves_it_pale_or_cold():
    assert baked("hearth loaf", 6, 130, minutes=30)["verdict"] in ("cold", "underdone")
    assert baked("hearth loaf", 6, 175, minutes=45)["verdict"] in ("pale", "underdone")


def test_a_covered_pot_simmers_and_an_empty_tray_dries():
    """Water cannot pass 100 degC while there is any (Clausius-Clapeyron at 1 atm)."""
    pot = baked("bean pot", 1, 140, minutes=300)
    assert 85 < pot["core_out_c"] < 100.5
    tray = baked("steam tray", 1, 280, minutes=40)
    assert tray["core_out_c"] < 101 and 20 < tray["loss_pct"] <= 101
