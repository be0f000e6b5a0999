"""Questions the other way round: the answer is put in and gives what was asked for."""

import numpy as np
import pytest

import ovenkit as ok
from ovenkit.files import InputError
from ovenkit.inverse import THROUGH, fire_for, gap_for, wait_for, warm_start_saves

ROWAN = ok.read_oven("rowan")


@pytest.fixture(scope="module")
def warm():
    return ok.run_day(ROWAN, [ok.Wait(minutes=30)], start=260).state()


@pytest.mark.parametrize("name", ["hazel", "rowan", "alder", "hornbeam"])
def test_the_fire_does_what_was_asked(name):
    oven = ok.read_oven(name)
    fire = fire_for(oven, 250)
    run = ok.run_day(oven, fire.steps)
    assert run.table["hearth_bake_c"].iloc[-1] >= 249
    assert fire.lost_of_100 <= THROUGH
    less = ok.run_day(oven, [ok.Fire(hours=fire.hours, wood_kg=0.8 * fire.wood_kg),
                             ok.Settle(minutes=40)])
    assert less.table["hearth_bake_c"].iloc[-1] < run.table["hearth_bake_c"].iloc[-1]


def test_a_heavier_oven_and_a_hotter_hearth_want_more_wood():
    light, heavy = (fire_for(ok.domed_oven(80, kg), 260).wood_kg for kg in (250, 450))
    assert heavy > light
    assert fire_for(ROWAN, 300).wood_kg > fire_for(ROWAN, 240).wood_kg


def test_a_hearth_that_no_fire_reaches_is_said():
    with pytest.raises(InputError, match="is the most that .* kg of wood do"):
        fire_for(ok.domed_oven(80, 900), 420)


def test_the_gap_and_the_wait_do_what_was_asked(warm):
    for wanted in (150, 200, 240):
        gap = gap_for(warm, wanted, minutes=30)
        others = [ok.run_day(ROWAN, [ok.Wait(minutes=30, gap_mm=mm)], start=warm).at("feels_c", 0.5)
                  for mm in (10, 20, 40)]
        assert abs(gap.feels_c - wanted) <= min(abs(np.array(others) - wanted)) + 0.5
    minutes = wait_for(warm, hearth_c=230, gap_mm=40)
    run = ok.run_day(ROWAN, [ok.Wait(minutes=minutes, gap_mm=40)], start=warm)
    assert run.table["hearth_bake_c"].iloc[-1] <= 230.5
    assert wait_for(warm, hearth_c=230) > minutes


@pytest.mark.parametrize("call, message", [
    (lambda s: wait_for(s, hearth_c=300), "already, under 300"),
    (lambda s: wait_for(s), "one of the two"),
    (lambda s: wait_for(s, hearth_c=200, feels_c=200), "one of the two"),
    (lambda s: wait_for(200, hearth_c=100), "give a state of a run"),
    (lambda s: gap_for(s, float("nan")), "feels_c is nan"),
    (lambda s: fire_for(ROWAN, "hot"), "hearth_c is 'hot'"),
])
def test_bad_questions_are_refused(warm, call, message):
    with pytest.raises(InputError, match=message):
        call(warm)


def test_a_warm_start_saves_no_more_than_the_heat_it_holds():
    """The heat of the warm bricks, m c dT with c of fireclay at 100 degC (VDI Heat Atlas: 0.85 to
    0.9 kJ/kgK), bounds what their wood can be worth; a fire catches well under half of it."""
    saving = warm_start_saves(ROWAN, 260, 100)
    held_mj = ROWAN.masonry_kg * 0.95e-3 * (100 - 12)
    assert 0 < saving.wood_kg
    assert saving.wood_kg * ok.burning.wood_mj_per_kg(18) * 0.25 < 1.5 * held_mj
    assert saving.minutes >= 0
