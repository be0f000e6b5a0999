"""The scene of a planned day: what is shown is the plan's, and a surprise changes the rest."""

from dataclasses import replace

import pytest

from ovenkit.figures import figure_for
from ovenkit.files import InputError
from ovenkit.panels.asked.planning import GUESSES
from ovenkit.panels.guesses import covered, revealed
from ovenkit.panels.planning import SCENE, VIEWS, PlanDay, key_line, second_check


def test_the_picture_is_the_plans():
    result = SCENE.run(PlanDay())
    picture = SCENE.picture(PlanDay(), result)
    assert [band.name for band in picture.bands] == result.plan.order["load"].tolist()
    assert picture.key == key_line(result) and figure_for(picture).png(picture)[:4] == b"\x89PNG"
    near = SCENE.run(PlanDay(wood_kg=11 * (1 + 1e-6)))
    assert key_line(near) == picture.key


def test_a_low_reading_brings_the_rest_forward_or_longer():
    low, high = (SCENE.run(PlanDay(view=VIEWS[1], off_c=off)) for off in (-30, 30))
    assert low.mended.off_c < 0 < high.mended.off_c
    assert low.mended.order["minutes"].sum() > high.mended.order["minutes"].sum()
    assert low.mended.hours == pytest.approx(second_check(low.plan), abs=0.02)


@pytest.mark.parametrize("settings", [
    PlanDay(loaves=0, tins=0, roots=0), PlanDay(tins=0, order="tins first"),
    PlanDay(tins=0, roots=0, view=VIEWS[1])])
def test_what_cannot_be_planned_is_said(settings):
    with pytest.raises(InputError, match="want"):
        SCENE.run(settings)


@pytest.mark.parametrize("guess", GUESSES, ids=lambda g: g.name)
def test_guesses_hide_and_tell(guess):
    result = SCENE.run(guess.settings)
    before = covered(guess, result)
    told = guess.say(guess.answer(result))
    assert told not in before.key and not before.lines
    assert told in revealed(guess, result, guess.start).key


def test_your_own_order_goes_first():
    mine = SCENE.run(replace(PlanDay(), order="roots first"))
    assert mine.plan.order["load"].iloc[0] == "tray of roots"
    assert mine.plan.cost > SCENE.run(PlanDay()).plan.cost
