"""Steps, the checks a day must pass, and days read from files."""

import dataclasses
import math

import pytest

from ovenkit.dayfile import read_day
from ovenkit.files import InputError, data_dir
from ovenkit.loads import get_load
from ovenkit.oven import domed_oven
from ovenkit.ovenfile import read_oven
from ovenkit.steps import Bake, Day, Fire, RakeOut, Settle, Wait, check_steps, door_gap

OVEN = domed_oven(inside_cm=80, masonry_kg=300)
FIRE = Fire(hours=2.5, wood_kg=14)
DAYS = ("class_day", "morning_after", "small_oven_evening")


def test_time_in_seconds():
    assert FIRE.seconds == 9000.0
    assert Settle(minutes=40).seconds == 2400.0
    assert RakeOut().seconds == 300.0 and RakeOut(hours=0.2).seconds == 720.0
    assert Bake("roll").seconds is None and Bake("roll", hours=1).seconds == 3600.0


def test_door_of_each_step():
    assert door_gap(FIRE) == door_gap(RakeOut()) == "open"
    assert door_gap(Settle(minutes=1)) == door_gap(Bake("roll")) == "shut"
    assert door_gap(Wait(minutes=1, door="open")) == "open"
    assert door_gap(Bake("roll", gap_mm=20)) == 0.02


def test_bake_keeps_loads_and_is_hashable():
    bake = Bake("hearth loaf", count=6, minutes=35, beside={"steam tray": 1})
    assert bake.load == get_load("hearth loaf")
    assert bake.loads == ((get_load("hearth loaf"), 6), (get_load("steam tray"), 1))
    assert hash(bake) == hash(dataclasses.replace(bake))
    assert Bake(get_load("roll")).load is get_load("roll")


@pytest.mark.parametrize("make, message", [
    (lambda: Fire(hours=1, minutes=60, wood_kg=5), "give one of the two"),
    (lambda: Fire(wood_kg=5), "a fire step needs its time"),
    (lambda: Fire(hours=1, wood_kg=0), "wood is 0 kg: give a number from 0.5 to 200 kg"),
    (lambda: Fire(hours=1, wood_kg="5"), "wood is '5'"),
    (lambda: Fire(hours=1, wood_kg=5, moisture_pct=80), "write 44"),
    (lambda: Fire(hours=1, wood_kg=5, moisture_pct=math.nan), "wood moisture is nan %"),
    (lambda: Fire(hours=1, wood_kg=5, spread_minutes=90), "longer than the fire of 60 minutes"),
    (lambda: Fire(hours=1, wood_kg=5, rake_out="no"), "rake_out is 'no'"),
    (lambda: Fire(hours=49, wood_kg=5), "the time is 49 hours"),
    (lambda: Settle(), "a settle step needs its time"),
    (lambda: Settle(minutes=-5), "the time is -5 minutes"),
    (lambda: Wait(minutes=5, door="ajar"), "way of leaving the door 'ajar'"),
    (lambda: Wait(minutes=5, gap_mm=0), "the gap of the door is 0 mm"),
    (lambda: Wait(minutes=5, gap_mm=20, door="open"), "leave one of the two out"),
    (lambda: Bake("herth loaf"), "did you mean 'hearth loaf'"),
    (lambda: Bake("roll", count=0), "count is 0 pieces"),
    (lambda: Bake("roll", count=2.5), "count is 2.5: give a whole number"),
    (lambda: Bake("roll", count=True), "count is True"),
    (lambda: Bake("roll", minutes=math.inf), "the time is inf minutes"),
    (lambda: Bake("roll", beside={"steem tray": 1}), "did you mean 'steam tray'"),
    (lambda: Bake("roll", beside="steam tray"), "beside is 'steam tray'"),
])
def test_steps_refuse(make, message):
    with pytest.raises(InputError, match=message):
        make()


@pytest.mark.parametrize("steps, start, message", [
    ([], None, "no steps"),
    (["fire"], None, "step 1: 'fire' is not a step"),
    ([Bake("roll")], None, "step 1: bake in a cold oven"),
    ([Wait(minutes=5), Settle(minutes=5)], None, "step 2: settle in a cold oven"),
    ([FIRE, RakeOut()], None, "step 2: there are no embers"),
    ([FIRE, Bake("hearth loaf", 14)], None,
     "step 2: 14 of hearth loaf do not fit the hearth of 80 cm; 7 fit at once: bake in batches"),
    ([FIRE, Bake("hearth loaf", 6, beside={"tin loaf": 2})], None, "together need 1"),
    ([FIRE, Bake("roll")], "hot", "start is 'hot'"),
    ([FIRE, Bake("roll")], math.nan, "temperature of the oven at the start is nan"),
    ([FIRE, Bake("roll")], 900, "start is 900 degC"),
])
def test_days_that_cannot_be_done_are_refused(steps, start, message):
    with pytest.raises(InputError, match=message):
        check_steps(OVEN, steps, start)


@pytest.mark.parametrize("after", [
    Settle(minutes=30), Wait(minutes=30), Wait(minutes=30, gap_mm=20), Bake("roll"),
    Bake("flatbread", gap_mm=100)])
def test_a_door_on_live_embers_is_refused(after):
    embers = Fire(hours=2, wood_kg=10, rake_out=False)
    with pytest.raises(InputError, match="step 2: .*carbon monoxide: rake out first"):
        check_steps(OVEN, [embers, after])
    assert check_steps(OVEN, [embers, RakeOut(), after])
    assert check_steps(OVEN, [embers, Bake("flatbread", door="open"), FIRE, after])


def test_a_warm_start_needs_no_fire():
    assert check_steps(OVEN, [Bake("roll", minutes=20)], 220.0)
    assert check_steps(OVEN, [Settle(minutes=20)], object())


def test_a_pot_too_tall_for_the_mouth_is_refused():
    with pytest.raises(InputError, match="stock pot .*17 cm high. does not go through the mouth"):
        check_steps(domed_oven(mouth_h_cm=16), [FIRE, Bake("stock pot")])


def test_more_cold_stock_than_the_store_can_warm_is_refused():
    """40 kg of cold stock want 13 MJ; 50 kg of masonry hold 12 MJ between 350 and 95 degC."""
    vat = dataclasses.replace(get_load("stock pot"), name="vat", mass_g=40000)
    small = domed_oven(inside_cm=60, masonry_kg=50, mouth_h_cm=18)
    with pytest.raises(InputError, match="no order of loads helps"):
        check_steps(small, [FIRE, Bake(vat)])
    assert check_steps(small.with_mass(200), [FIRE, Bake(vat)])


def test_day_checks_itself():
    day = Day(OVEN, [FIRE, Bake("roll", 12)], 10.0)
    assert isinstance(day.steps, tuple) and day.lit_at == "06:00"
    with pytest.raises(InputError, match="lit_at is '6 am'"):
        Day(OVEN, [FIRE], 10.0, lit_at="6 am")
    with pytest.raises(InputError, match="outdoor temperature is 99"):
        Day(OVEN, [FIRE], 99)
    with pytest.raises(InputError, match="give an Oven"):
        Day("rowan", [FIRE], 10.0)
    with pytest.raises(InputError, match="one oven to another"):
        Day(OVEN.with_mass(400), [FIRE], 10.0, before=day)


@pytest.mark.parametrize("name", DAYS)
def test_the_schools_days(name):
    day = read_day(f"data/days/{name}.toml")
    assert day == read_day(name)
    assert len(day.lines) == len(day.steps)


def test_class_day_is_long_and_the_morning_after_starts_from_it():
    class_day, after = read_day("class_day"), read_day("morning_after")
    assert sum(isinstance(step, Bake) for step in class_day.steps) >= 6
    assert sum(step.seconds for step in class_day.steps) > 14 * 3600
    assert after.start is None and after.before.steps[:-1] == class_day.steps
    assert after.before.steps[-1] == Wait(hours=5)


GOOD = ('oven = "rowan"\noutdoor_c = 12\n[[step]]\ndo = "fire"\nhours = 2\nwood_kg = 12\n'
        '[[step]]\ndo = "bake"\nload = "roll"\ncount = 12\n')


def test_a_day_with_its_own_oven(tmp_path):
    path = tmp_path / "d.toml"
    path.write_text(GOOD.replace('oven = "rowan"\n', "") +
                    '[oven]\nname = "own"\ninside_cm = 70\nmasonry_kg = 200\n')
    assert read_day(path).oven.masonry_kg == pytest.approx(200)
    path.write_text(GOOD.replace('"rowan"', '"near.toml"') + "beside = {\"steam tray\" = 1}\n")
    (tmp_path / "near.toml").write_text((data_dir() / "ovens" / "alder.toml").read_text())
    day = read_day(path)
    assert day.oven == read_oven("alder") and day.name == "d"
    assert day.steps[1].beside == ((get_load("steam tray"), 1),)


@pytest.mark.parametrize("old, new, message", [
    ('"rowan"', '"rowen"', "d.toml: there is no file 'rowen'; did you mean 'rowan'"),
    ('"rowan"', "3", "d.toml: a file name was expected, not 3"),
    ("outdoor_c = 12", "outdoor_c = 99", "d.toml line 2: outdoor temperature is 99"),
    ("outdoor_c = 12", "", "the day has no outdoor_c"),
    ("outdoor_c = 12", 'outdoor_c = 12\nlit_at = "25:00"', "line 3: lit_at is '25:00'"),
    ("outdoor_c", "outdor_c", "line 2: there is no key of a day 'outdor_c'; did you mean 'outd"),
    ("outdoor_c = 12", 'outdoor_c = 12\nstart_from = "class_day"', "belong together"),
    ("outdoor_c = 12", "outdoor_c = 12\nstart_c = 900", "line 3: temperature of the oven at"),
    ('do = "fire"', 'do = "fyre"', "line 4, step 1, do: there is no kind of step 'fyre'; did"),
    ('do = "fire"\n', "", "line 3, step 1: the step does not say what to do"),
    ("wood_kg = 12", "wood_kg = 900", "line 6, step 1, wood_kg: wood is 900 kg"),
    ("wood_kg = 12", "moisture_pct = 15", "line 4, step 1: a fire step needs wood_kg"),
    ("hours = 2", "hours = 2\nminutes = 5", "line 4, step 1: a fire step has minutes 5"),
    ('load = "roll"', 'load = "rool"', "line 9, step 2: there is no load 'rool'; did you mean"),
    ('load = "roll"', "minutes = 5", "line 8, step 2: a bake step needs load"),
    ("count = 12", 'cuont = 12', "line 10, step 2: there is no key of a bake step 'cuont'"),
    ("count = 12", 'count = "12"', "line 10, step 2, count: count is '12'"),
    ("count = 12", "count = 150", "line 9, step 2: 150 of roll do not fit"),
    ("count = 12", "beside = 3", "line 9, step 2: beside is 3"),
    ("wood_kg = 12", "wood_kg = 12\nrake_out = false", "line 10, step 2: the door is shut on"),
    ("wood_kg = 12", "wood_kg = ", "d.toml: this is not valid TOML"),
])
def test_day_files_with_errors(tmp_path, old, new, message):
    path = tmp_path / "d.toml"
    assert old in GOOD
    path.write_text(GOOD.replace(old, new, 1))
    with pytest.raises(InputError, match=message):
        read_day(path)


@pytest.mark.parametrize("text", ["step = []\n", "step = 3\n", "step = [3]\n"])
def test_steps_must_be_tables(tmp_path, text):
    path = tmp_path / "d.toml"
    path.write_text('oven = "rowan"\noutdoor_c = 12\n' + text)
    with pytest.raises(InputError, match="line 3: the steps are not tables"):
        read_day(path)


def test_days_that_start_from_each_other_are_refused(tmp_path):
    for name, other in (("a", "b"), ("b", "a")):
        (tmp_path / f"{name}.toml").write_text(
            f'start_from = "{other}.toml"\nhours_shut = 8\n' + GOOD)
    with pytest.raises(InputError, match="start_from leads back"):
        read_day(tmp_path / "a.toml")
