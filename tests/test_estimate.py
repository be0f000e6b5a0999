"""What readings tell of the oven, and what they cannot."""

import numpy as np
import pytest

import ovenkit as ok
from ovenkit.fit import COUNT_NOISE, NOISE
from ovenkit.plan.correct import correct
from ovenkit.plan.estimate import CONTRARY, DOUBTED, Estimate
from ovenkit.plan.table import checks
from ovenkit.traits import SPREADS, turned

ROWAN = ok.read_oven("rowan")
HEARTH, DOME = "hearth spot", "dome back spot"
TAPE = np.diag(SPREADS**2)


@pytest.fixture(scope="module")
def plan():
    return ok.plan_day(ROWAN, {"hearth loaf": 5, "tin loaf": 4, "tray of roots": 1},
                       fire=ok.Fire(hours=2.5, wood_kg=12))


def read(plan, **off_c):
    """(hours, readings) at the second check, each so much over the plan."""
    hours = checks(plan)[1][0]
    return hours, {name.replace("_", " "): plan.run.reading(name.replace("_", " "), hours) + more
                   for name, more in off_c.items()}


def moved(plan, readings, hours, fitted=None):
    estimate = Estimate(plan, hours, fitted)
    found = estimate.given(readings)
    return float(found.state.zones_c[1, 0] - estimate.planned.zones_c[1, 0]), found


def test_a_reading_within_what_was_thought_is_weighed_with_the_plan(plan):
    hours, readings = read(plan, hearth_spot=15)
    y = Estimate(plan, hours).shown(HEARTH)
    share = (y @ y) / (y @ y + NOISE[HEARTH]**2)
    assert moved(plan, readings, hours)[0] == pytest.approx(15 * share, abs=2)


def test_the_further_off_the_more_a_reading_is_believed_than_the_plan(plan):
    """Its spread is grown until the readings are DOUBTED spreads off (covariance inflation:
    Anderson, Tellus 59A, 210, 2007; from memory)."""
    offs = np.array([10, 20, 30, 40, 50, 60])
    to = np.array([moved(plan, *reversed(read(plan, hearth_spot=off)))[0] for off in offs])
    shares = to / offs
    assert (np.diff(to) > 0).all() and (np.diff(shares) > -0.01).all() and shares[-1] > 0.8
    low = [moved(plan, *reversed(read(plan, hearth_spot=-off)))[0] for off in offs]
    assert np.allclose(low, -to, atol=0.5)
    hours, readings = read(plan, hearth_spot=60)
    y = Estimate(plan, hours).shown(HEARTH)
    spread = np.sqrt(60**2 / DOUBTED**2 - NOISE[HEARTH]**2)     # that just fits
    shown, few = spread**2 / (spread**2 + NOISE[HEARTH]**2), y @ y / (y @ y + NOISE[HEARTH]**2)
    assert shares[-1] / shares[0] == pytest.approx(shown / few, rel=0.05)
    assert spread > 1.5 * np.sqrt(y @ y)


@pytest.mark.parametrize("fitted", [None, TAPE])
def test_readings_that_contradict_each_other_are_said_to(plan, fitted):
    for off in (60, -60):
        hours, readings = read(plan, hearth_spot=off, dome_back_spot=-off)
        far, found = moved(plan, readings, hours, fitted)
        assert set(found.apart) == {HEARTH, DOME} and found.apart[0] == (
            HEARTH if off > 0 else DOME)
        assert abs(far) < 15
        new = correct(plan, plan.at(hours), readings, fitted)
        assert any("contradict each other" in note for note in new.notes)
        assert new.sentence == "Read again first, and go on as written until then."
        assert new.order.equals(new.written) and not new.fire and not new.helps
    for pair in ((50, 50), (15, -5), (-40, -25), (0, 0)):
        hours, readings = read(plan, hearth_spot=pair[0], dome_back_spot=pair[1])
        new = correct(plan, plan.at(hours), readings, fitted)
        assert not new.notes and not new.sentence.startswith("Read")
    hours, readings = read(plan, hearth_spot=60)
    assert not moved(plan, readings, hours)[1].apart and CONTRARY > DOUBTED


@pytest.mark.parametrize("fitted", [None, TAPE])
def test_fahrenheit_taken_for_celsius_is_asked_about_in_any_oven(plan, fitted):
    hours, readings = read(plan, hearth_spot=0)
    in_f = 1.8 * readings[HEARTH] + 32
    new = correct(plan, plan.at(hours), {HEARTH: in_f}, fitted)
    said = f"{in_f:.4g} \u00b0F are {readings[HEARTH]:.0f} \u00b0C"
    assert any(said in note for note in new.notes)
    assert not correct(plan, plan.at(hours), readings, fitted).notes


def test_one_reading_far_off_wants_another_and_two_that_agree_do_not(plan):
    for off, alone in ((60, True), (25, False)):
        hours, readings = read(plan, hearth_spot=-off)
        new = correct(plan, plan.at(hours), readings)
        assert bool(new.notes) == alone
        assert new.sentence.startswith("Read again first; if it stays so, the hearth is") == alone
        hours, readings = read(plan, hearth_spot=-off, dome_back_spot=-off)
        assert not correct(plan, plan.at(hours), readings).notes


def test_belief_in_one_reading_does_not_jump(plan):
    hours = checks(plan)[1][0]
    estimate, reads = Estimate(plan, hours), plan.run.reading(HEARTH, hours)
    offs = np.arange(-95.0, 96.0, 5.0)
    hearths = [estimate.given({HEARTH: reads + off}).state.zones_c[1, 0] for off in offs]
    steps = np.diff(hearths)
    assert (steps > -1e-9).all() and steps.max() < 10
    counts = np.geomspace(0.3, 3.0, 40) * plan.run.reading("hand count", hours)
    hearths = [estimate.given({"hand count": count}).state.zones_c[1, 0] for count in counts]
    assert (np.diff(hearths) < 1e-9).all() and -np.diff(hearths).min() < 10


def test_a_hand_count_tells_as_much_of_a_hot_oven_as_of_a_cold_one(plan):
    """It errs by a share of it (a hand held in the mouth: common practice, no source), so a half
    and the double are as far from the plan."""
    hours = checks(plan)[1][0]
    estimate, count = Estimate(plan, hours, TAPE), plan.run.reading("hand count", hours)
    far = [estimate.given({"hand count": share * count}).far[0] for share in (0.5, 1.0, 2.0)]
    assert far[0] == pytest.approx(-far[2]) and far[1] == pytest.approx(0, abs=1e-9)
    rng, errors = np.random.default_rng(3), []
    for row in rng.normal(0, 0.4, (40, 4)) * SPREADS:
        true = ok.run_day(turned(ROWAN, row), plan.steps, plan.outdoor_c)
        found = estimate.given({"hand count": true.reading("hand count", hours) * np.exp(
            rng.normal(0, COUNT_NOISE))})
        errors.append(found.state.zones_c[1, 0] - true.state(estimate.end_h).zones_c[1, 0])
    assert abs(np.mean(errors)) < np.std(errors) / 2
