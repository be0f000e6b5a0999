"""What all instruments show at one moment: the lesson's facts, its guesses and its questions."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import ovenkit as ok
from ovenkit.figures import figure_for
from ovenkit.files import InputError
from ovenkit.panels import guesses
from ovenkit.panels import reading as r
from ovenkit.panels.asked import reading as asked
from ovenkit.questions import answer_for, mark, told
from ovenkit.units import METRIC, US

START = r.ReadOven()
LESSON = Path(__file__).resolve().parents[1] / "notebooks" / "03_read_the_oven.ipynb"
SPOTS, PROBES = ("back", "front", "hearth"), ("air", "wall", "deep")


def at(**fields):
    return r.run(replace(START, **fields))


def fallen(result, since=None):
    since = since or at()
    return {kind: since.shown[kind] - result.shown[kind] for kind in since.shown}


NOW, OPEN, FULL = at(), at(door="open"), at(loaves=6)


# what is shown is what the run shows

def test_every_reading_is_the_runs_own():
    names = {"back": "dome back spot", "front": "dome front spot", "hearth": "hearth spot",
             "wall": "air probe near wall", "air": "air probe", "deep": "deep hearth probe"}
    for now in (NOW, OPEN, FULL):
        for kind, name in names.items():
            assert now.shown[kind] == pytest.approx(now.day.reading(name, now.hours), abs=1e-9)
        assert now.hand_s == now.day.reading("hand count", now.hours)


def test_a_run_is_run_day():
    steps = [ok.Fire(hours=2, wood_kg=13), ok.Settle(minutes=70), ok.Wait(minutes=20, gap_mm=20)]
    day = ok.run_day(ok.domed_oven(80, 320), steps, outdoor_c=12)
    assert day.reading("air probe", 2 + 80 / 60) == pytest.approx(at(door="ajar").shown["air"],
                                                                 abs=1e-9)


def test_moving_the_moment_or_the_reader_computes_no_new_day():
    assert at(minutes=200, reader=0.8).day is at(minutes=30, door_face="dull steel").day
    assert at(loaves=6, reader=0.7).day is FULL.day
    assert at(loaves=5).day is not FULL.day


def test_a_long_quiet_day_reads_at_a_moment_as_a_short_one():
    short = ok.run_day(ok.domed_oven(80, 320), r.steps(START), outdoor_c=12)
    assert short.reading("hearth spot", NOW.hours) == pytest.approx(NOW.shown["hearth"], abs=0.3)


# what the lesson says

def test_instruments_at_one_moment_all_differ_and_the_wall_probe_lies_between():
    shown = [NOW.shown[kind] for kind in (*SPOTS, *PROBES)]
    assert min(np.diff(sorted(shown))) > 1.5
    assert [round(NOW.shown[kind]) for kind in ("back", "front", "hearth", "deep", "air", "feels")
            ] == [306, 294, 291, 275, 273, 283]
    for now in (NOW, OPEN, FULL, at(door="ajar"), at(minutes=240)):
        assert now.shown["air"] < now.shown["wall"] < now.shown["front"]
        assert now.places["air_c"] < now.shown["air"] - 10      # the walls shine on the probe
    assert NOW.places["air_c"] == pytest.approx(255, abs=0.5)


def test_how_far_air_and_brick_are_apart():
    for now, apart in ((NOW, 40), (OPEN, 190)):
        assert now.places["dome_back_c"] - now.places["air_c"] == pytest.approx(apart, abs=3)


def test_open_door_falls_by_what_the_lesson_says():
    fall = fallen(OPEN)
    assert round(fall["air"]) == 102 and round(fall["back"]) == 19
    assert fall["deep"] == min(fall.values())


def test_six_loaves_cool_air_and_skin_before_the_deep_brick():
    fall = fallen(FULL)
    assert round(fall["air"]) == 38 and round(fall["hearth"]) == 20
    assert fall["deep"] == min(fall.values())
    assert round(FULL.shown["feels"]) == 255


def test_a_wrong_setting_moves_spots_alone():
    wrong = fallen(at(reader=0.8))
    assert all(-wrong[kind] == pytest.approx(35, abs=2) for kind in SPOTS)
    assert all(wrong[kind] == 0 for kind in (*PROBES, "feels"))
    settings = replace(START, reader=0.8)
    line, = (y for y in r.sentences(settings, r.run(settings)) if y.head == "Reader")
    assert "34 degrees more" in line.text and line.good is False


@pytest.mark.parametrize("minutes", [20, 80, 240, 480])
@pytest.mark.parametrize("wood_kg", [8, 13])
def test_095_reads_a_little_too_much_in_a_shut_oven(minutes, wood_kg):
    """A closed isothermal cavity is black (Kirchhoff): set to 0.95, more is read than is there."""
    now = at(minutes=minutes, wood_kg=wood_kg)
    assert all(5 < now.shown[kind] - now.places[place] < 12 for kind, place in r.SPOTS.items())


def test_a_bright_door_lies_and_a_dull_one_nearly_tells():
    bright, dull = at(door_face="bright steel"), at(door_face="dull steel")
    assert round(bright.places["door_c"]) == 277 and round(bright.shown["door"]) == 116
    assert round(dull.shown["door"]) == 248


def test_past_the_range_is_a_lower_limit():
    settings = replace(START, reader_top_c=300)
    now = r.run(settings)
    assert now.over == {"back"} and now.shown["back"] == 300
    assert "dome over 300 at the back and 294" in r.key_line(settings, now)
    picture = r.picture(settings, now)
    assert [row.kind for row in picture.rows if row.over] == ["back"]
    assert any("lower limit, not an error" in line.text for line in picture.lines)


@pytest.mark.parametrize("masonry_kg", [200, 600])
@pytest.mark.parametrize("fields", [{}, {"door": "ajar"}, {"door": "open"}, {"loaves": 6},
                                    {"loaves": 3, "door": "ajar"}])
@pytest.mark.parametrize("minutes", [30, 300])
def test_feels_like_is_halfway_between_dome_and_air_probe(masonry_kg, fields, minutes):
    """The sum of the lesson, within about 6 degrees."""
    now = at(masonry_kg=masonry_kg, minutes=minutes, **fields)
    assert r.midway_c(now.shown) == pytest.approx(now.shown["feels"], abs=6)


def test_a_probe_near_the_wall_comes_close_to_feels_like_unless_the_door_is_open():
    for minutes in (80, 240):
        for door, more in (("shut", 0), ("ajar", 0), ("open", 11)):
            shown = at(minutes=minutes, door=door).shown
            assert shown["wall"] - shown["feels"] == pytest.approx(more, abs=3), (minutes, door)


def test_what_180_in_a_recipe_means_here():
    shut = at(minutes=100, wood_kg=8, fire_hours=1.5).shown
    ajar = at(minutes=120, wood_kg=8.5, fire_hours=1.5, door="ajar").shown
    dome = [(day["back"] + day["front"]) / 2 for day in (shut, ajar)]
    assert shut["feels"] == pytest.approx(180, abs=1.5) and ajar["feels"] == pytest.approx(
        180, abs=1.5)
    assert dome == pytest.approx([195, 200], abs=2.5)
    assert [shut["hearth"], shut["air"], ajar["air"]] == pytest.approx([185, 175, 165], abs=2.5)


@pytest.mark.parametrize(("hearth_c", "word", "good"), [
    (330, "Black at once", False), (300, "too hot", False), (260, "10 to 15 s", True),
    (200, "half a minute", None), (120, "slow things", None)])
def test_flour(hearth_c, word, good):
    """Common practice, no source: black at once too hot, brown in 10 to 15 s about right."""
    words, verdict = r.flour(hearth_c)
    assert word in words and verdict is good


def test_flour_is_right_just_where_a_hearth_loaf_may_go_in():
    band = ok.load_catalogue()["hearth loaf"]
    right = [t for t in range(100, 400) if r.flour(t)[1]]
    assert right == list(range(int(band.hearth_low_c), int(band.hearth_high_c)))


def test_flour_is_right_for_bread_from_an_hour_on():
    good = {minutes: r.flour(at(minutes=minutes).places["hearth_bake_c"])[1]
            for minutes in (15, 40, 55, 60, 120, 415)}
    assert [minutes for minutes in good if good[minutes]] == [60, 120, 415]


def test_no_hand_goes_where_it_would_hurt():
    """Never just after a batch, none above about 280 (common practice, no source)."""
    for fields in ({}, {"loaves": 1, "minutes": 400}, {"minutes": 235}, {"reader": 1.0}):
        settings = replace(START, **fields)
        words, good = r.hand(settings, r.run(settings))
        assert good is False and words.startswith("Not now")
    for fields in ({"minutes": 245}, {"minutes": 480}):
        settings = replace(START, **fields)
        now = r.run(settings)
        words, good = r.hand(settings, now)
        assert f"About {now.hand_s:.0f} s" in words and "minors" in words and good is None


# the picture

def test_the_picture_says_what_is_shown_in_both_scales():
    for scale in (METRIC, US):
        picture = r.picture(START, NOW, scale=scale)
        assert {row.kind: row.value for row in picture.rows} == NOW.shown
        for row in picture.rows:    # one word for each instrument, on the chart and below it
            if row.kind in r.PROBES:
                said = f"{row.name} {scale.say(row.value, 'temp', unit=False)}"
                assert said in picture.key, said
        assert picture.key in picture.alt and scale.say(NOW.shown["feels"], "temp") in picture.key
        assert "[" not in "".join(line.head + line.text for line in picture.lines)
    kept = r.picture(START, OPEN, NOW)
    assert {row.kind: row.kept for row in kept.rows} == NOW.shown


def test_a_field_for_every_setting_and_its_start_within_limits():
    assert {field.name for field in r.FIELDS} == set(START.__dataclass_fields__)
    assert [field.name for field in r.FIELDS if not field.more] == ["minutes", "door", "loaves",
                                                                    "reader"]
    for field in r.FIELDS:
        value = getattr(START, field.name)
        assert value in field.choices if field.choices else field.low <= value <= field.high


@pytest.mark.parametrize("name", [field.name for field in r.FIELDS])
def test_both_ends_of_every_control_can_be_drawn_or_say_why_not(name):
    field, = (field for field in r.FIELDS if field.name == name)
    for value in field.choices or (field.low, field.high):
        settings = replace(START, **{name: value})
        try:
            now = r.run(settings, 0.5)
        except InputError as error:
            assert name in ("wood_kg", "fire_hours") and "gives air for" in str(error)
        else:
            assert np.isfinite(list(now.shown.values())).all()
            assert len(r.sentences(settings, now)) >= 5


@pytest.mark.parametrize(("fields", "words"), [
    ({"door": "ajarr"}, "did you mean 'ajar'"), ({"minutes": 5}, "since raking out is 5"),
    ({"reader": 0.2}, "setting of the reader"), ({"door_face": "bright"}, "bright steel"),
    ({"loaves": "six"}, "number of loaves")])
def test_bad_settings_are_refused_in_a_sentence(fields, words):
    with pytest.raises(InputError, match=words):
        replace(START, **fields)


def test_more_loaves_than_fit_are_refused():
    with pytest.raises(InputError, match="fit at once"):
        at(loaves=30)


@pytest.mark.parametrize("fields", [{}, {"door": "open"}, {"loaves": 6},
                                    {"minutes": 100, "wood_kg": 8, "fire_hours": 1.5}])
def test_key_lines_do_not_flip_on_a_breath(fields):
    settings = replace(START, **fields)
    near = replace(settings, wood_kg=settings.wood_kg * (1 + 1e-6))
    assert r.key_line(near, r.run(near)) == r.key_line(settings, r.run(settings))


# guesses and questions

@pytest.mark.parametrize("guess", asked.GUESSES, ids=lambda guess: guess.name)
def test_guesses_hide_the_answer_and_tell_it(guess):
    result, other = r.run(guess.settings), guess.other and r.run(guess.other)
    elsewhere = r.run(replace(guess.settings, masonry_kg=250))
    figure = figure_for(guesses.covered(guess, result, other))
    hidden = figure.png(guesses.covered(guess, result, other))
    assert hidden == figure.png(guesses.covered(guess, elsewhere, other))
    assert guess.low <= guess.answer(result) <= guess.high
    said = f"{guess.answer(result):.0f} °C"
    assert said not in guess.question and said not in guesses.covered(guess, result, other).alt
    shown = guesses.revealed(guess, result, 200, other)
    assert said in shown.key and shown.guess.value == 200 and figure.png(shown) != hidden
    assert "°F" in guesses.revealed(guess, result, None, other, US).key


def test_guesses_state_what_the_oven_shows():
    one, two, three = (r.run(guess.settings).shown for guess in asked.GUESSES)
    before = r.run(asked.GUESSES[0].other).shown
    assert [round(before[kind]) for kind in ("back", "front", "air")] == [306, 294, 273]
    assert one["back"] == pytest.approx(287.5, abs=0.5) and round(one["air"]) == 171
    assert two["air"] == pytest.approx(180, abs=0.5) and round(two["feels"]) == 198
    assert two["air"] + 10 < two["feels"] < two["front"] - 10
    shut = r.run(asked.GUESSES[2].other).shown
    assert [round(shut[kind]) for kind in ("air", "wall")] == [253, 261]
    assert [round(three[kind]) for kind in ("air", "wall")] == [155, 221]
    assert round(shut["wall"] - shut["air"]) == 8 and round(three["wall"] - three["air"]) == 66


@pytest.mark.parametrize("name", ["rowan", "hazel", "alder", "hornbeam"])
@pytest.mark.parametrize("question", asked.QUESTIONS, ids=lambda question: question.name)
def test_questions_have_an_answer_in_every_oven(question, name):
    answer = answer_for(question, ok.read_oven(name))
    assert mark(question, answer, ok.read_oven(name)).verdict == "right"
    assert "{" not in told(question, name)
    if not question.choices:
        assert question.low < answer < question.high
        wrong = mark(question, question.high, name)
        assert wrong.verdict == "wrong" and question.hint in wrong.words


def test_what_the_class_oven_answers():
    off, feels, steady = (answer_for(question, "rowan") for question in asked.QUESTIONS)
    assert off == pytest.approx(28, abs=1)
    assert 150 < feels < 195            # under the walls' 200, over the air's
    assert asked.WITNESSES[steady] == "deep"


def test_the_lesson_uses_every_guess_and_question():
    source = LESSON.read_text(encoding="utf-8")
    cells = ["".join(cell["source"]) for cell in json.loads(source)["cells"]
             if cell["cell_type"] == "code"]
    for kind, items in (("guess", asked.GUESSES), ("ask", asked.QUESTIONS)):
        assert all(f'panels.{kind}("{item.name}")' in cells for item in items)
