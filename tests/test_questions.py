"""Questions marked against the engine, with several ovens, and their panel without a browser."""

import math
import re
import subprocess
import sys
from dataclasses import replace
from functools import lru_cache

import pytest

import ovenkit as ok
from ovenkit.files import InputError
from ovenkit.panels.asking import AskPanel
from ovenkit.panels.place import Notebook
from ovenkit.questions import Question, answer_for, limits, mark, told
from ovenkit.units import METRIC, US


@lru_cache
def fired(oven, wood_kg):
    return ok.run_day(oven, [ok.Fire(hours=2, wood_kg=wood_kg), ok.Settle(minutes=20)])


def hearth_c(oven):
    return fired(oven, 8).table.hearth_bake_c.iloc[-1]


def loaves(oven):
    day = fired(oven, 10)
    return day.loaves_left(day.table.index[-1])


HEARTH = Question(
    "hearth after 8 kg", "After 2 hours and [8 mass] of wood, how hot is the hearth?", hearth_c,
    low=50, high=400, start=300, step=5, hint="A loaf wants about [230 temp].",
    why="At {answer} flour browns slowly.")
LOAVES = Question("loaves after 10 kg", "How many loaves are left?", loaves, of="", unit="loaves",
                  high=40, right=0.1, near=0.5, hint="Count the weight of the brick.")
ENOUGH = Question(
    "six loaves after 10 kg", "Is it enough for six loaves above [190 temp]?",
    lambda oven: "yes, for six" if loaves(oven) >= 6 else "no, not yet",
    choices=("yes, for six", "no, not yet"), hint="Think of [500 mass] of brick.",
    why="Heavy masonry stays cool.")


@pytest.fixture(autouse=True)
def metric():
    Notebook.use(METRIC)
    yield
    Notebook.use(METRIC)


@pytest.mark.parametrize(("oven", "said", "verdict"), [
    ("rowan", 200, "right"), ("rowan", 250, "near"), ("rowan", 170, "near"),
    ("rowan", 120, "wrong"), ("rowan", 380, "wrong"), ("alder", 200, "right"),
    ("hornbeam", 200, "wrong"), ("hornbeam", 120, "right"), ("hazel", 200, "wrong")])
def test_a_number_is_marked_by_the_oven_at_hand(oven, said, verdict):
    marked = mark(HEARTH, said, oven)
    assert marked.verdict == verdict
    assert marked.off == pytest.approx(said - hearth_c(ok.read_oven(oven)), abs=1e-9)
    share = abs(marked.off) / hearth_c(ok.read_oven(oven))
    assert verdict == ("right" if share <= 0.1 else "near" if share <= 0.3 else "wrong")


def test_the_same_wood_leaves_a_heavier_oven_cooler():
    """Balance of heat: more masonry, less rise; so what was right of one is too high of it."""
    light, heavy = ok.read_oven("rowan"), ok.read_oven("hornbeam")
    assert heavy.dome[0].thickness_m > light.dome[0].thickness_m
    said = round(answer_for(HEARTH, light))
    assert mark(HEARTH, said, light).verdict == "right"
    assert mark(HEARTH, said, heavy).verdict == "wrong" and mark(HEARTH, said, heavy).off > 0


@pytest.mark.parametrize("oven", ["rowan", "hornbeam"])
def test_a_choice_is_marked_by_the_oven_at_hand(oven):
    good = {"rowan": "yes, for six", "hornbeam": "no, not yet"}[oven]
    for said in ENOUGH.choices:
        marked = mark(ENOUGH, said, oven)
        assert marked.off is None and (marked.verdict == "right") == (said == good)
    assert mark(ENOUGH, good, oven).words == (
        f"Right: the oven says {good}. Heavy masonry stays cool.")


def test_words_tell_the_answer_when_it_is_near_and_not_when_it_is_wrong():
    answer = hearth_c(ok.read_oven("rowan"))
    assert mark(HEARTH, 200, "rowan").words == (
        f"Right: the oven says {answer:.0f} °C. At {answer:.0f} °C flour browns slowly.")
    near = mark(HEARTH, 250, "rowan").words
    assert near.startswith(
        f"Near: the oven says {answer:.0f} °C, you are {250 - answer:.0f} degrees over.")
    assert "under" in mark(HEARTH, 170, "rowan").words
    assert f"{answer:.0f}" not in mark(HEARTH, 120, "rowan").words
    assert told(HEARTH, "rowan").startswith(f"The oven says {answer:.0f} °C.")
    wrong = mark(ENOUGH, "no, not yet", "rowan").words
    assert "yes" not in wrong and "500 kg of brick" in wrong
    assert mark(replace(HEARTH, hint=""), 120, "rowan").words.endswith("under.")


@pytest.mark.parametrize("said", [50, 80, 110, 140, 280, 310, 400])
def test_how_far_off_a_wrong_answer_is_stays_coarse_and_true(said):
    marked = mark(HEARTH, said, "rowan")
    by, side = re.search(r"you are (\d+) degrees or more (\w+)\. A loaf", marked.words).groups()
    assert marked.verdict == "wrong" and side == ("over" if marked.off > 0 else "under")
    assert int(by) <= abs(marked.off) < 2.5 * int(by) and by.strip("0") in "125"


def test_tolerances_can_be_absolute():
    close = replace(HEARTH, right_by=5, near_by=10)
    answer = answer_for(close, "rowan")
    for off, verdict in ((4, "right"), (-4, "right"), (-8, "near"), (12, "wrong")):
        assert mark(close, answer + off, "rowan").verdict == verdict


def test_what_is_shown_as_the_answer_is_right_and_one_is_said_as_one():
    one = replace(LOAVES, answer=lambda oven: loaves(oven) / loaves(oven) - 0.4, near=3)
    assert mark(one, 1, "rowan").verdict == "right" and "says 1 loaf." in told(one, "rowan")
    assert "you are 1 loaf over" in mark(one, 2, "rowan").words
    none = mark(LOAVES, 0, "hornbeam")
    assert none.verdict == "right" and none.off == 0 and "0 loaves" in none.words
    assert mark(HEARTH, answer_for(HEARTH, "rowan") * 0.8995, "rowan").verdict == "near"


def test_an_unusual_ovens_answer_can_be_said():
    for question, oven in ((HEARTH, "hazel"), (LOAVES, "hazel"), (HEARTH, "rowan")):
        answer = answer_for(question, oven)
        low, high = limits(question, answer)
        assert low <= answer <= high and (high - low) % (question.high - question.low) == 0
        assert mark(question, answer, oven).verdict == "right"
    assert limits(HEARTH, answer_for(HEARTH, "hazel")) == (50, 750)
    assert limits(HEARTH, answer_for(HEARTH, "rowan")) == (50, 400)


def test_another_scale_changes_words_and_not_verdicts():
    answer = hearth_c(ok.read_oven("rowan"))
    for said in (120, 170, 200, 250, 380):
        metric, us = mark(HEARTH, said, "rowan"), mark(HEARTH, said, "rowan", US)
        assert (us.verdict, us.off) == (metric.verdict, metric.off) and "°C" not in us.words
    assert (f"says {1.8 * answer + 32:.0f} °F, you are {1.8 * (250 - answer):.0f} degrees F over"
            in mark(HEARTH, 250, "rowan", US).words)
    assert "446 °F" in mark(HEARTH, 120, "rowan", US).words
    assert "1102 lb of brick" in mark(ENOUGH, "no, not yet", "rowan", US).words


@pytest.mark.parametrize(("question", "said", "message"), [
    (HEARTH, "hot", r"your answer is 'hot', which is not a number: give a number from 50 to 400"),
    (HEARTH, math.nan, r"your answer is nan °C: give a number from 50 to 400 °C"),
    (HEARTH, 5000, r"your answer is 5000 °C: give a number from 50 to 400 °C"),
    (LOAVES, -1, r"your answer is -1 loaves: give a number from 0 to 40 loaves"),
    (HEARTH, None, r"not a number"), (HEARTH, True, r"not a number"), (HEARTH, [1, 2], "not one"),
    (ENOUGH, "yes for six", r"no answer 'yes for six'; did you mean 'yes, for six'\?"),
    (ENOUGH, 7, r"there is no answer 7"), (ENOUGH, None, r"nothing is chosen yet")])
def test_what_cannot_be_marked_is_said_in_a_sentence(question, said, message):
    with pytest.raises(InputError, match=message):
        mark(question, said, "rowan")


@pytest.mark.parametrize(("oven", "answer", "message"), [
    ("rowen", hearth_c, "did you mean 'rowan'"), (320, hearth_c, "the oven is 320: give an Oven"),
    ("rowan", lambda oven: math.nan, "Rowan: this oven has no answer to 'hearth after 8 kg'"),
    ("hazel", lambda oven: fired(oven, 30).loaves_left(2), "gives air for")])
def test_an_oven_without_an_answer_is_said_in_a_sentence(oven, answer, message):
    with pytest.raises(InputError, match=message):
        mark(replace(HEARTH, answer=answer), 200, oven)


@pytest.mark.parametrize("wrong", [
    {"low": 400}, {"start": 20}, {"of": "heat"}, {"unit": "minutes"}, {"right": 0.5}, {"step": 0},
    {"right_by": 9, "near_by": 3}, {"choices": ("a", "b")}, {"why": "so {answr}"}])
def test_a_question_that_contradicts_itself_is_not_made(wrong):
    with pytest.raises((AssertionError, KeyError)):
        replace(HEARTH, **wrong)
    with pytest.raises(AssertionError):
        replace(ENOUGH, choices=("one", "one"))


def test_questions_need_neither_widgets_nor_matplotlib():
    code = ("import sys, ovenkit.questions; "
            "sys.exit(any(m in sys.modules for m in ('ipywidgets', 'matplotlib')))")
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


@pytest.mark.parametrize("oven", ["rowan", "hornbeam"])
def test_the_panels_plain_line_is_the_engines_answer(oven):
    oven = ok.read_oven(oven)
    data, _ = AskPanel(HEARTH, oven)._repr_mimebundle_()
    assert data["text/plain"] == f"hearth after 8 kg: {hearth_c(oven):.0f} °C"
    assert "how hot is the hearth?" in data["text/html"] and data["text/plain"] in data["text/html"]
    Notebook.use(US)
    panel = AskPanel(HEARTH, oven)
    assert panel._repr_mimebundle_()[0]["text/plain"] == data["text/plain"]
    choice = AskPanel(ENOUGH, oven).plain_text
    assert choice == f"six loaves after 10 kg: {ENOUGH.answer(oven)}"


def test_the_plain_line_does_not_flip_on_a_breath():
    near = replace(HEARTH, answer=lambda oven: fired(oven, 8 * (1 + 1e-6)).table
                   .hearth_bake_c.iloc[-1])
    oven = ok.read_oven("rowan")
    assert AskPanel(near, oven).plain_text == AskPanel(HEARTH, oven).plain_text


def test_a_panel_marks_and_tells_with_a_sign_beside_the_colour():
    panel = AskPanel(HEARTH, ok.read_oven("rowan"))
    revision = panel.revision
    assert "The oven" not in panel.words.value and 'aria-live="polite"' in panel.words.value
    for said, sign, kind in ((200, "✓", "right"), (250, "≈", "near"), (120, "✗", "wrong")):
        panel.said.slider.value = said
        panel.check()
        assert f'class="ovk-{kind}">{sign} ' in panel.words.value
    panel.tell()
    assert told(HEARTH, "rowan") in panel.words.value and panel.revision == revision + 4
    assert f'data-revision="{panel.revision}"' in panel.words.value


def test_a_panel_in_another_scale_keeps_what_was_entered():
    panel = AskPanel(HEARTH, ok.read_oven("rowan"))
    panel.said.slider.value = 250
    panel.check()
    Notebook.use(US)
    assert panel.said.value == 250 and panel.said.box.value == pytest.approx(482, abs=5)
    assert panel.said.box.description == "Your answer, °F" and "18 lb" in panel.text.value
    assert mark(HEARTH, 250, "rowan", US).words in panel.words.value
    Notebook.use(METRIC)
    assert panel.said.box.value == 250
    assert mark(HEARTH, 250, "rowan").words in panel.words.value


def test_a_panel_of_choices_starts_with_none_chosen():
    question = replace(ENOUGH, choices=("yes, for six", "no, not yet", "at [230 temp]"))
    panel = AskPanel(question, ok.read_oven("hornbeam"))
    assert panel.said.value is None
    panel.check()
    assert "Nothing is chosen yet" in panel.words.value and "ovk-trouble" in panel.words.value
    Notebook.use(US)
    assert panel.said.value is None and panel.said.options[2][0] == "at 446 °F"
    panel.said.value = "no, not yet"
    panel.check()
    Notebook.use(METRIC)
    assert panel.said.value == "no, not yet" and "ovk-right" in panel.words.value
    panel.said.value = "at [230 temp]"
    panel.check()
    assert "✗ Not yet" in panel.words.value and "no, not yet" not in panel.words.value
