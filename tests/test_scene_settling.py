"""Lesson 02: settings -> run -> picture, its guesses and questions, and what its prose says."""

from dataclasses import replace
from pathlib import Path

import nbformat
import numpy as np
import pytest

import ovenkit as ok
from ovenkit import questions
from ovenkit.figures import figure_for
from ovenkit.files import InputError
from ovenkit.panels import guesses
from ovenkit.panels import settling as s
from ovenkit.panels.asked import settling as asked
from ovenkit.panels.settling import BACK, FRONT, HEARTH, Rest, at, fall
from ovenkit.units import METRIC, US

LESSON = Path(__file__).resolve().parent.parent / "notebooks" / "02_let_it_settle.ipynb"
CLASS = s.run(Rest(settle_hours=4))
GUESSES = {guess.name: guess for guess in asked.GUESSES}
QUESTIONS = {question.name: question for question in asked.QUESTIONS}


def rest(**settings):
    return s.run(replace(Rest(settle_hours=4), **settings))


def gap(rested):
    """Hearth over its own brick 25 mm in."""
    return rested.day.table[HEARTH] - rested.day.table.hearth_deep_c


@pytest.fixture(scope="module")
def prose():
    cells = nbformat.read(LESSON, as_version=4).cells
    return " ".join(" ".join(cell.source for cell in cells).split())


class TestPhysics:
    """What settling is; where no source is named, common practice, no source."""

    def test_the_skin_falls_and_the_store_does_not(self):
        """The hearth falls 20-60 K in 20 minutes while the store loses under 2 %."""
        assert 20 < fall(CLASS, HEARTH, 0, 20) < 60
        assert 0 < s.lost_pct(CLASS, 20) < 2
        assert fall(CLASS, s.skin(CLASS), 0, 20) > 5 * fall(CLASS, s.skin(CLASS), 60, 80) > 0

    def test_heat_goes_from_skin_to_outer_face(self):
        outer = CLASS.day.table.hearth_outer_c
        minutes = np.arange(0, 61, 5)
        assert (np.diff([at(CLASS, outer, m) for m in minutes]) > 0).all()
        assert (np.diff([at(CLASS, HEARTH, m) for m in minutes]) < 0).all()

    def test_skin_and_depth_come_together_before_places_do(self):
        """In 15-60 minutes the one; the other not in twelve hours."""
        assert 15 < s.settled_min(CLASS, gap(CLASS), s.NEAR_K) < 60
        night = rest(settle_hours=12)
        far = s.apart(night)
        shares = [at(night, far, 60 * h) / at(night, far, 0) for h in (0.5, 1, 2, 4, 12)]
        assert (np.diff(shares) < 0).all() and shares[0] < 0.5 and shares[-1] > 0.03
        assert at(night, BACK, 720) > at(night, FRONT, 720) > at(night, "air_c", 720)

    def test_a_rest_leaves_at_two_speeds(self):
        """One exponential with the early fall does not reach the late one: the slope of the log
        of the fall rate changes more than threefold."""
        rates = [fall(CLASS, HEARTH, m, m + 20) for m in (0, 20, 60, 80, 200, 220)]
        early, late = np.log(rates[0] / rates[1]), np.log(rates[4] / rates[5])
        assert rates[0] > rates[1] > rates[2] > rates[3] and early > 3 * late > 0

    @pytest.mark.parametrize("hours, low, high", [(2, 11, 27), (4, 11, 14)])
    def test_the_share_of_the_shut_in_test_goes_with_hours_not_with_heat(self, hours, low, high):
        """Conduction is linear: twice the wood, the same share within a twelfth."""
        ovens = [s.run(Rest(fire_hours=hours, wood_kg=wood)) for wood in (low, (low + high) / 2)]
        cool, hot = (at(rested, HEARTH, 10) for rested in ovens)
        shares = [s.shut_in(rested, HEARTH) for rested in ovens]
        assert hot > cool + 30 and shares[0] == pytest.approx(shares[1], rel=1 / 12)

    def test_a_longer_fire_and_a_lighter_oven_lose_less(self):
        by_hours = [s.shut_in(s.run(Rest(fire_hours=h, wood_kg=9)), HEARTH)
                    for h in (1.25, 2, 3, 4, 5)]
        by_mass = [s.shut_in(s.run(Rest(masonry_kg=kg)), BACK) for kg in (150, 320, 600)]
        assert (np.diff(by_hours) < 0).all() and (np.diff(by_mass) > 0).all()

    def test_a_tighter_door_holds_heat_and_brings_places_together(self):
        tight, leaking = rest(door_crack_mm=0.5), rest(door_crack_mm=4)
        hearth, far = ([at(r, c(r), 239) for r in (tight, CLASS, leaking)]
                       for c in (lambda r: r.day.table[HEARTH], s.apart))
        assert (np.diff(hearth) < 0).all() and (np.diff(far) > 0).all()


class TestSettledMin:
    SERIES = CLASS.day.table[HEARTH]

    def test_is_when_the_curve_crosses(self):
        minutes = s.settled_min(CLASS, self.SERIES, 300)
        assert at(CLASS, HEARTH, minutes) == pytest.approx(300, abs=1e-6)

    def test_none_if_it_never_does_and_nothing_if_it_always_has(self):
        assert s.settled_min(CLASS, self.SERIES, 100) is None
        assert s.settled_min(CLASS, self.SERIES, 1000) == 0


class TestPicture:
    def test_begins_at_raking_out_and_tells_what_the_run_says(self):
        shown = s.picture(Rest(), CLASS)
        assert set(shown.curves) == {"hearth", "deep", "outer", "back", "front"}
        assert np.array_equal(shown.curves["hearth"][1], CLASS.day.table[HEARTH])
        assert shown.span_h == (2, 4) and shown.bands == () and shown.left is not None
        assert f"{at(CLASS, HEARTH, 40):.0f} °C" in shown.key and shown.key in shown.alt

    def test_a_run_is_run_day(self):
        again = ok.run_day(s.oven(Rest()), s.steps(Rest(settle_hours=4)), outdoor_c=12)
        assert np.array_equal(again.table.to_numpy(), CLASS.day.table.to_numpy(), equal_nan=True)

    def test_lines_hold_however_short_the_rest(self):
        short = s.run(Rest(settle_hours=0.5))
        told = " ".join(line.text for line in s.lines(short))
        assert "nan" not in told and s.picture(Rest(settle_hours=0.5), short).span_h == (2, 2.5)
        assert short.day.hours[-1] >= 2 + 80 / 60

    def test_a_kept_oven_is_raked_out_at_the_same_moment(self):
        brief, lengthy = Rest(fire_hours=1, wood_kg=7), Rest(fire_hours=4, wood_kg=11)
        quick, long = s.run(brief), s.run(lengthy)
        for settings, result, kept in ((brief, quick, long), (lengthy, long, quick)):
            shown = s.picture(settings, result, kept)
            hours, hearth = shown.curves["kept"]
            assert np.interp(result.shut_h + 0.5, hours, hearth) == pytest.approx(
                at(kept, HEARTH, 30), abs=1e-6)
            assert shown.kept_left[0][-1] == pytest.approx(hours[-1])

    def test_speaks_both_scales(self):
        shown = s.picture(Rest(), CLASS, None, US)
        told = shown.key + shown.alt + " ".join(line.text for line in shown.lines)
        assert f"{US.say(at(CLASS, HEARTH, 40), 'temp')}" in told and "°C" not in told

    def test_key_numbers_do_not_flip_on_a_breath(self):
        near = Rest(settle_hours=4, wood_kg=13 * (1 + 1e-6), masonry_kg=320 * (1 + 1e-6))
        assert s.key_line(s.key_numbers(s.run(near))) == s.key_line(s.key_numbers(CLASS))

    def test_the_shut_in_test_speaks_the_learners_degrees(self):
        ten, forty = (1.8 * at(CLASS, HEARTH, m) + 32 for m in (10, 40))
        assert s.shut_in(CLASS, HEARTH, US) == pytest.approx(100 * (ten - forty) / ten)
        assert f"{ten:.0f} °F at 10 minutes" in s.lines(CLASS, US)[0].text

    @pytest.mark.parametrize("settings, words", [
        ({"wood_kg": 6}, "too cool for hearth loaves"), ({"wood_kg": 20}, "still over 290 °C"),
        ({"fire_hours": 4, "wood_kg": 11}, "under 290 °C from the start"), ({}, "at 09:29")])
    def test_bread_line(self, settings, words):
        assert words in s.lines(s.run(Rest(**settings)))[-1].text

    def test_a_thin_hearth_that_rises_is_said_so(self):
        thin = s.run(Rest(masonry_kg=150, wood_kg=7))
        assert fall(thin, HEARTH, 0, 20) < -1 and "the hearth rose" in s.lines(thin)[1].text

    def test_what_cannot_be_is_said(self):
        with pytest.raises(InputError, match="more than this mouth gives air for"):
            s.run(Rest(wood_kg=30))
        with pytest.raises(InputError, match="longer than the fire of 30 minutes"):
            s.run(Rest(fire_hours=0.5, wood_kg=4, spread_minutes=40))


@pytest.mark.parametrize("field", s.SCENE.fields, ids=lambda field: field.name)
@pytest.mark.parametrize("end", ["low", "high"])
def test_the_ends_of_the_controls_give_a_picture_or_a_sentence(field, end):
    settings = replace(Rest(), **{field.name: getattr(field, end)})
    try:
        shown = s.picture(settings, s.run(settings, 0.5))
    except InputError as error:
        assert "gives air for" in str(error)
    else:
        assert "nan" not in shown.key + " ".join(line.text for line in shown.lines)


@pytest.mark.parametrize("guess", asked.GUESSES, ids=lambda guess: guess.name)
class TestGuesses:
    def test_hides_the_answer_then_tells_it(self, guess):
        result = s.run(guess.settings)
        other = s.run(guess.other) if guess.other else None
        before, answer = guesses.covered(guess, result, other), guess.answer(result)
        assert set(before.seen) <= {"kept"} and not before.lines
        for scale in (METRIC, US):
            words = guess.say(answer, scale)
            assert words not in scale.words(guess.question) + before.key + before.alt
            after = guesses.revealed(guess, result, guess.start, other, scale)
            assert words in after.key and after.guess.value == guess.start
            assert "{" not in after.key and "[" not in after.key
        assert guess.low < answer < guess.high and abs(answer - guess.start) > 10

    def test_before_it_not_one_byte_tells(self, guess):
        result = s.run(guess.settings)
        other = s.run(guess.other) if guess.other else None
        before = guesses.covered(guess, result, other)
        moved = replace(before, left=(before.left[0], 0.98 * before.left[1]), curves={
            name: (x, y if name == "kept" else y - 5) for name, (x, y) in before.curves.items()})
        assert figure_for(before).png(before) == figure_for(moved).png(moved)


def test_numbers_in_the_guesses_are_the_engines():
    heavy = rest(masonry_kg=600)
    said = {
        "forty minutes shut": [600, at(heavy, HEARTH, 0)],
        "four hours, a worn door": [at(rest(door_crack_mm=4), HEARTH, 240)],
        "ten hours shut": [at(CLASS, HEARTH, 0)]}
    for name, numbers in said.items():
        found = guesses_numbers(GUESSES[name].question)
        assert found == [round(number) for number in numbers], name
    lost = round(at(CLASS, HEARTH, 0)) - round(at(CLASS, HEARTH, 40))
    assert f"it has lost {lost} of those degrees" in GUESSES["ten hours shut"].question
    assert "08:30" in GUESSES["forty minutes shut"].question and CLASS.shut_h == 2


def guesses_numbers(text):
    """Numbers in square brackets, as they are said in a scale."""
    return [float(part.split()[0]) for part in text.split("[")[1:]]


class TestQuestions:
    @pytest.mark.parametrize("oven", ["rowan", "alder", "hazel", "hornbeam"])
    @pytest.mark.parametrize("question", asked.QUESTIONS, ids=lambda question: question.name)
    def test_every_oven_has_an_answer(self, question, oven):
        answer = questions.answer_for(question, ok.read_oven(oven))
        assert answer in question.choices if question.choices else -20 < answer < 120

    @pytest.mark.parametrize("oven", [
        ok.domed_oven(60, 60, 0, door_crack_mm=8), ok.domed_oven(120, 3000, mouth_h_cm=10)])
    def test_odd_ovens_too(self, oven):
        for question in asked.QUESTIONS:
            questions.answer_for(question, oven)

    def test_an_uninsulated_oven_has_another_answer(self):
        """Bare brick loses several in a hundred in the first 20 minutes; insulated less than 2."""
        gone, bare = QUESTIONS["gone in twenty minutes"], ok.domed_oven(80, 320, 0)
        assert questions.answer_for(gone, bare) == "about 5 in a hundred"
        assert questions.answer_for(gone, ok.read_oven("rowan")) == "less than 2 in a hundred"

    def test_the_answers_are_those_of_the_panel(self):
        """Rowan is the oven of the page."""
        near = questions.answer_for(QUESTIONS["near its depth"], ok.read_oven("rowan"))
        assert near == pytest.approx(s.settled_min(CLASS, gap(CLASS), s.NEAR_K), abs=0.5)
        assert questions.answer_for(QUESTIONS["near its depth"], ok.domed_oven(80, 150)) < near


class TestProse:
    """Every number that the lesson says is the engine's."""

    def says(self, prose, *texts):
        for text in texts:
            assert text in prose, text

    def test_hand_sum(self, prose):
        assert at(CLASS, HEARTH, 0) == pytest.approx(375, abs=5)
        assert at(CLASS, "hearth_outer_c", 0) == pytest.approx(175, abs=5)
        assert at(CLASS, HEARTH, 120) == pytest.approx(275, abs=4)
        assert at(CLASS, HEARTH, 240) < 275 - 8
        self.says(prose, "**375**", "**175**")

    def test_fast_then_slow(self, prose):
        early, late = fall(CLASS, HEARTH, 0, 20), fall(CLASS, HEARTH, 60, 80)
        self.says(prose, f"falls {early:.0f} degrees", f"minute 80 only {late:.0f}.")
        assert s.settled_min(CLASS, gap(CLASS), 15) == pytest.approx(40, abs=1)
        left = [CLASS.day.loaves_left(2 + m / 60) for m in (0, 40)]
        self.says(prose, "from {:.0f} to {:.0f} in those 40".format(*left))
        assert s.lost_pct(CLASS, 40) < 1

    def test_raking_takes_time(self):
        """Five minutes of raking with the door open: 10 K at minute 40."""
        slow = ok.run_day(s.oven(Rest()), [
            ok.Fire(hours=2, wood_kg=13, rake_out=False), ok.RakeOut(minutes=5),
            ok.Settle(hours=1)])
        later = float(np.interp(2 + 45 / 60, slow.table.index, slow.table[HEARTH]))
        assert at(CLASS, HEARTH, 40) - later == pytest.approx(10, abs=2)

    def test_the_long_fire_overtakes(self, prose):
        mild = rest(fire_hours=4, wood_kg=14)
        assert at(CLASS, HEARTH, 0) - at(mild, HEARTH, 0) == pytest.approx(51, abs=1)
        assert at(CLASS, HEARTH, 70) > at(mild, HEARTH, 70)
        assert at(CLASS, HEARTH, 80) < at(mild, HEARTH, 80)
        self.says(prose, "starts 51 degrees lower", "after an hour and a quarter")

    def test_the_door(self, prose):
        leaking, tight = rest(door_crack_mm=4), rest(door_crack_mm=0.5)
        end = 239.9
        lower = at(CLASS, HEARTH, end) - at(leaking, HEARTH, end)
        far = [at(r, s.apart(r), end) for r in (leaking, CLASS)]
        self.says(prose, f"hearth is {lower:.0f} degrees lower",
                  "{:.0f} degrees apart where the good door leaves {:.0f}".format(*far))
        assert 1 < at(tight, HEARTH, end) - at(CLASS, HEARTH, end) < 6

    def test_the_spread(self, prose):
        long = rest(spread_minutes=60)
        far = [at(r, s.apart(r), 0) for r in (long, CLASS)]
        bread = [s.settled_min(r, r.day.table[HEARTH], 290) for r in (CLASS, long)]
        self.says(prose, "start {:.0f} degrees apart in place of {:.0f}".format(*far),
                  f"{bread[0] - bread[1]:.0f} minutes sooner")

    def test_a_heavy_oven(self, prose):
        heavy = rest(masonry_kg=600)
        near = [s.settled_min(r, gap(r), 15) for r in (heavy, CLASS)]
        self.says(prose, "after {:.0f} minutes, not {:.0f}".format(*near),
                  "still some 20 degrees between minute 60 and 80, "
                  f"where the class oven falls {fall(CLASS, HEARTH, 60, 80):.0f}")
        assert fall(heavy, HEARTH, 60, 80) == pytest.approx(20, abs=1.5)

    def test_the_shut_in_test(self, prose):
        quick, long = Rest(fire_hours=0.75, wood_kg=7, spread_minutes=0), Rest(fire_hours=4, wood_kg=11)
        lines = [s.lines(s.run(settings))[0] for settings in (quick, long)]
        assert [line.good for line in lines] == [False, True]
        thin = s.run(Rest(masonry_kg=150, wood_kg=7))
        assert s.shut_in(thin, HEARTH) < 0 < s.shut_in(thin, BACK)
        self.says(prose, "the hearth does not fall at all: read the back of the dome")

    def test_bread_and_cake(self, prose):
        oven, fire = ok.read_oven("rowan"), ok.Fire(hours=2, wood_kg=13)
        loaves = [ok.run_day(oven, [fire, ok.Settle(minutes=m), ok.Bake("hearth loaf", 6)]).baked[0]
                  for m in (5, 40)]
        assert [loaf.verdict for loaf in loaves] == ["burnt", "good"]
        cake = ok.run_day(oven, [fire, ok.Settle(hours=4), ok.Bake(
            "sponge cake", 3, minutes=38, gap_mm=20)]).baked[0]
        assert cake.top == "burnt" and round(cake.hearth_in_c) == 262
        loaf = ok.load_catalogue()["hearth loaf"]
        assert (loaf.hearth_low_c, loaf.hearth_high_c) == (230, 290)
        assert 50 < s.settled_min(CLASS, CLASS.day.table[HEARTH], 290) < 65
        self.says(prose, "an hour here", "still reads 262")

    def test_two_parts_leave_the_bricks_and_not_one_the_oven(self, prose):
        """Above the weather; the difference is in insulation and door."""
        day, shut, later = CLASS.day, CLASS.shut_h, CLASS.shut_h + 2 / 3
        bricks = [day.usable_mj(12, h) for h in (shut, later)]
        oven = [float(np.interp(h, day.table.index, day.table.stored_mj)) for h in (shut, later)]
        assert 0.015 < 1 - bricks[1] / bricks[0] < 0.025 and 1 - oven[1] / oven[0] < 0.01
        self.says(prose, "Two parts have left the bricks")

    def test_what_is_slow(self, prose):
        night = s.run(Rest(settle_hours=4))
        outer = [at(night, "hearth_outer_c", 60 * h) for h in (1, 1.5, 2, 2.5, 3)]
        assert 2 <= np.argmax(outer) <= 3 and outer[0] < outer[2]
        assert 4.5 < at(night, HEARTH, 180) - at(night, HEARTH, 240) < 6.5
        self.says(prose, "five or six degrees an hour")

    def test_cautions(self, prose):
        self.says(prose, "carbon monoxide", "lid", "3 m from", "20 minutes under cool running",
                  "swings two metres")
