"""Whole days against what bakers know of real ovens.

All of it common practice, no source; each test says what its numbers stand for.
"""

import dataclasses

import numpy as np
import pytest
from test_day import CLASS_OVEN, EMPTIED, LOADED, MINUTE, ZONES, at, bread_steps, fall, wall

import ovenkit as ok

SMALL_OVEN = ok.domed_oven(60, 120, 50)


def spread(run):
    return run.table[ZONES].max(axis=1) - run.table[ZONES].min(axis=1)


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


def test_cold_dough_chills_the_air_and_a_probe_reads_between():
    """Common practice, no source: far more below the walls with cold dough in; a probe near the
    wall reads between air and wall."""
    bread_day = ok.run_day(CLASS_OVEN, bread_steps())

    def below(hours):
        return 1 - at(bread_day, "air_c", hours) / at(bread_day, wall(bread_day), hours)
    assert below(LOADED + 10 * MINUTE) > 1.5 * below(LOADED - 2 * MINUTE)
    for hours in (LOADED - 2 * MINUTE, LOADED + 10 * MINUTE, EMPTIED + 2):
        near = bread_day.reading("air probe near wall", hours)
        assert at(bread_day, "air_c", hours) < near < at(bread_day, wall(bread_day), hours)


@pytest.mark.parametrize("walls_c, low, high", [
    (300, 2, 3), (275, 2, 3), (220, 5.5, 8),
    pytest.param(250, 4, 5, marks=pytest.mark.xfail(
        strict=True, reason="3.94 s in a shut oven; 4.7 s in one that has just been opened"))])
def test_hand_count(walls_c, low, high):
    """Common practice, no source: 2-3 s at 275-300, 4-5 s at 250, 5.5-8 s at 220. The cavity is
    shut and settled, its air a tenth below the walls."""
    run = ok.run_day(CLASS_OVEN, [ok.Settle(hours=3)], start=walls_c + 15)
    hours = np.interp(-walls_c, -wall(run), run.table.index)
    assert low <= run.reading("hand count", float(hours)) <= high


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


@pytest.mark.parametrize("kilos", [150, pytest.param(300, marks=pytest.mark.xfail(
    strict=True, reason="1.69: what lies under the hearth does not double, the outside grows"))])
def test_twice_the_masonry_twice_the_time(kilos):
    """Common practice, no source: idle and shut, doubling the masonry on one floor and
    insulation stretches 250 to 120 degC about twofold (1.7 to 2.3)."""
    times = []
    for masonry_kg in (kilos, 2 * kilos):
        run = ok.run_day(ok.domed_oven(80, masonry_kg, 75), [ok.Wait(hours=48)] * 2, start=252)
        begin, end = np.interp([-250, -120], -wall(run), run.table.index)
        assert end < 95
        times.append(end - begin)
    assert 1.7 < times[1] / times[0] < 2.3
