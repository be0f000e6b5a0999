"""Many days at once: each comes out as if it were alone."""

import dataclasses

import numpy as np
import pytest

import ovenkit as ok
from ovenkit.files import InputError

FIRE = ok.Fire(hours=2, wood_kg=9)
BREAD = (FIRE, ok.Settle(minutes=30), ok.Bake("hearth loaf", 3, minutes=30), ok.Wait(hours=3))
BUSY = (ok.Fire(hours=1.5, wood_kg=7, rake_out=False),
        ok.Bake("flatbread", 1, minutes=3, door="open"), ok.RakeOut(minutes=5),
        ok.Bake("tin loaf", 2, minutes=40, beside={"steam tray": 1}, gap_mm=10),
        ok.Wait(minutes=20, door="open"), ok.Bake("apple rings", 1, hours=3))
SHORT = (ok.Fire(minutes=50, wood_kg=5, spread_minutes=0), ok.Settle(minutes=10))
OVENS = (ok.domed_oven(), ok.domed_oven(inside_cm=70, masonry_kg=180, door="steel sheet"),
         ok.domed_oven(inside_cm=100, masonry_kg=900, under_hearth="sand", door_crack_mm=3))
DAYS = [(OVENS[0], BREAD), (OVENS[1], BUSY), (OVENS[2], SHORT), (OVENS[2], BREAD),
        (OVENS[1], BREAD)]
WEATHER = [12.0, -20.0, 25.0, 3.0, 12.0]


@pytest.fixture(scope="module")
def together():
    return ok.run_days(DAYS, outdoor_c=WEATHER)


def same(one, other, kelvin=1e-6):
    """Assert that two runs are one and the same day."""
    assert len(one.table) == len(other.table)
    assert np.nanmax(np.abs(one.table.to_numpy() - other.table.to_numpy())) < kelvin
    assert one.energy.to_numpy() == pytest.approx(other.energy.to_numpy(), abs=1e-7)
    assert list(one.bakes["verdict"]) == list(other.bakes["verdict"])
    for column in ("core_out_c", "loss_pct", "heat_mj", "feels_in_c"):
        assert one.bakes[column].to_numpy() == pytest.approx(other.bakes[column].to_numpy(),
                                                             abs=1e-6)


@pytest.mark.parametrize("i", range(len(DAYS)))
def test_a_day_in_a_batch_is_the_day_alone(together, i):
    """Other ovens, other steps, more kinds of load beside it: nothing of that is felt."""
    same(together[i], ok.run_day(*DAYS[i], outdoor_c=WEATHER[i]))


def test_order_does_not_matter(together):
    order = [3, 0, 4, 2, 1]
    again = ok.run_days([DAYS[i] for i in order], outdoor_c=[WEATHER[i] for i in order])
    for i, run in zip(order, again):
        same(run, together[i])
        assert run.oven == DAYS[i][0] and run.outdoor_c == pytest.approx(WEATHER[i])


def test_the_days_differ_among_themselves(together):
    """Else the tests above would compare nothing."""
    ends = [run.table["dome_back_c"].iloc[-1] for run in together]
    assert np.diff(np.sort(ends)).min() > 1.0


def test_starts_of_every_kind_in_one_batch():
    state = ok.run_day(OVENS[0], SHORT).state()
    rest = [ok.Wait(hours=2)]
    runs = ok.run_days([(OVENS[0], rest)] * 3, start=[None, 200.0, state])
    for run, start in zip(runs, (None, 200.0, state)):
        same(run, ok.run_day(OVENS[0], rest, start=start))
    assert runs[0].table["dome_back_c"].iloc[-1] == pytest.approx(12.0, abs=1e-9)


def test_bakes_until_done_in_a_batch():
    days = [(oven, (FIRE, ok.Settle(minutes=20), ok.Bake("roll", 6), ok.Bake("tin loaf", 1)))
            for oven in OVENS[::2]]
    for day, run in zip(days, ok.run_days(days)):
        same(run, ok.run_day(*day))


def test_wet_loads_dry_alike_beside_fronts_that_come_to_the_boil():
    """A front that boils unforeseen has its step done again: no other day's water may notice."""
    days = [(OVENS[0], (ok.Bake(name, 1, minutes=31), ok.Wait(minutes=10),
                        ok.Bake("hearth loaf", 3, minutes=30)))
            for name in ("steam tray", "apple rings", "custard tart", "roll", "tin loaf")]
    starts = [240.0, 260.0, 280.0, 300.0, 270.0]
    for day, start, run in zip(days, starts, ok.run_days(days, start=starts)):
        same(run, ok.run_day(*day, start=start))


def test_a_run_changes_no_input():
    oven, before = OVENS[0], dataclasses.replace(OVENS[0])
    ok.run_day(oven, BREAD)
    assert oven == before
    state = ok.run_day(oven, SHORT).state()
    kept = state.zones_c.copy()
    ok.run_day(oven, [ok.Wait(hours=1)], start=state)
    assert (state.zones_c == kept).all()


def test_no_days_are_no_runs():
    assert ok.run_days([]) == []


@pytest.mark.parametrize("days, more, message", [
    ([OVENS[0]], {}, "day 1 is .*: give a pair"),
    ([DAYS[0], (OVENS[0],)], {}, "day 2 is"),
    ([DAYS[0], ("rowan", SHORT)], {}, "give an Oven"),
    ([(OVENS[0], [ok.Bake("roll")])], {}, "bake in a cold oven"),
    ([DAYS[0], DAYS[1]], {"outdoor_c": [12]}, "outdoor_c has 1 values for 2 days"),
    ([DAYS[0]], {"start": [200, 200]}, "start has 2 values for 1 days"),
    ([DAYS[0]], {"outdoor_c": 80}, "outdoor_c is 80 degC: give a number from -40 to 50"),
    ([DAYS[0]], {"outdoor_c": float("nan")}, "outdoor_c is nan"),
    ([DAYS[0], (OVENS[1], SHORT)], {"start": [None, "warm"]}, "start is 'warm'"),
    ([DAYS[0]], {"start": 900}, "start is 900 degC"),
    ([(OVENS[1], (FIRE, ok.Bake("hearth loaf", 12)))], {}, "12 of hearth loaf do not fit"),
])
def test_bad_batches_are_refused(days, more, message):
    with pytest.raises(InputError, match=message):
        ok.run_days(days, **more)
