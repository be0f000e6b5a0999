"""The scene of one's own oven: fewer readings, wider bands; what is hidden stays hidden."""

from dataclasses import replace

import numpy as np
import pytest

from ovenkit.figures import figure_for
from ovenkit.files import InputError
from ovenkit.mystery import guess, hidden_oven, thermometers
from ovenkit.panels.asked.fitting import GUESSES, QUESTIONS, widest_c
from ovenkit.panels.fitting import MARKS, SCENE, TOMORROWS, TRUTH, VIEWS, KnowOven, key_numbers
from ovenkit.panels.guesses import covered, revealed


@pytest.fixture(scope="module")
def known():
    return SCENE.run(KnowOven())


def test_the_hidden_oven_is_found(known):
    numbers, true = key_numbers(known), hidden_oven(7).masonry_kg
    assert abs(numbers["mass_estimate"] / true - 1) < 0.10
    assert numbers["enough"]


def test_fewer_readings_leave_wider_bands(known):
    full = SCENE.run(KnowOven(view=TOMORROWS))
    few = SCENE.run(KnowOven(view=TOMORROWS, until_hours=1.5, places="hearth only"))
    assert widest_c(few) > 1.5 * widest_c(full)
    assert not few.fit.enough and any("too thin" in note for note in few.fit.notes)


def test_a_number_is_the_same_oven_every_time():
    assert hidden_oven(12).masonry_kg == hidden_oven(12).masonry_kg != hidden_oven(13).masonry_kg
    assert thermometers(12).equals(thermometers(12))
    assert abs(guess().masonry_kg - 300) < 1


@pytest.mark.parametrize("wrong", [{"number": 0}, {"places": "roof"}, {"view": "yesterday"},
                                   {"blunders": -1}])
def test_wrong_settings_are_refused(wrong):
    with pytest.raises(InputError):
        KnowOven(**wrong)


def test_blunders_are_crossed_out_and_named():
    result = SCENE.run(KnowOven(blunders=2))
    picture = SCENE.picture(result.settings, result)
    crossed = sum(int((counted < 0.3).sum()) for _, _, counted in picture.readings.values())
    assert crossed == 2 == sum("as good as left out" in line.text for line in picture.lines)
    assert "2 readings are crossed out" in picture.alt


@pytest.mark.parametrize("view", VIEWS)
def test_pictures_are_drawn_with_words(view):
    result = SCENE.run(KnowOven(view=view))
    picture = SCENE.picture(result.settings, result)
    assert figure_for(picture).png(picture)[:4] == b"\x89PNG"
    assert ("kg" in picture.key) == (view != MARKS) and len(picture.alt) > 80


@pytest.mark.parametrize("asked", GUESSES, ids=lambda g: g.name)
def test_guesses_hide_and_tell(asked):
    result = SCENE.run(asked.settings)
    other = SCENE.run(replace(asked.settings, number=5))
    before = covered(asked, result)
    assert f"{asked.answer(result):.0f}" not in before.key
    assert not set(before.alt.split()) & {asked.say(asked.answer(result))}
    after = revealed(asked, result, asked.start)
    assert asked.say(asked.answer(result)) in after.key
    assert np.isfinite(asked.answer(other))


def test_questions_have_answers_for_a_small_oven_too(known):
    from ovenkit.ovenfile import read_oven
    hours, which = (question.answer(read_oven("hazel")) for question in QUESTIONS)
    assert 3 < hours < 48 and which in QUESTIONS[1].choices


def test_readings_alone_give_nothing_away():
    one, other = (SCENE.run(KnowOven(number=3, view=MARKS, until_hours=h)) for h in (9, 8.9))
    picture = SCENE.picture(one.settings, one)
    assert picture.covered and not picture.lines and not any(
        f"{one.fit.table.loc['mass', name]:.0f}" in picture.key + picture.alt
        for name in ("estimate", "low", "high"))
    assert other.log.equals(one.log)


def test_the_truth_stands_beside_the_fit():
    result = SCENE.run(KnowOven(number=3, view=TRUTH))
    picture, true = SCENE.picture(result.settings, result), hidden_oven(3).masonry_kg
    assert f"{true:.0f} kg" in picture.key and f"{true:.0f} kg" in picture.lines[0].head
    assert f"{result.fit.table.loc['mass', 'estimate']:.0f} kg" in picture.lines[0].text
    low, high = result.fit.table.loc["mass", ["low", "high"]]
    assert picture.lines[0].good == (low <= true <= high)
