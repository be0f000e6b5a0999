"""Wants: what may be asked of a load, and what is in overnight."""

import dataclasses
import re

import pytest

import ovenkit as ok
from ovenkit.files import InputError
from ovenkit.plan.room import most
from ovenkit.plan.wants import OVERNIGHT_MIN, Want, batches

ROWAN = ok.read_oven("rowan")


def refused(make, *arguments, **fields):
    with pytest.raises(InputError) as error:
        make(*arguments, **fields)
    return error.value


@pytest.mark.parametrize("what, fields", [
    ("load", {"load": "rol"}), ("count", {"count": 0}), ("count", {"count": 2.5}),
    ("people", {"people": 4}), ("portion_g", {"portion_g": 90}), ("start_c", {"start_c": 200}),
    ("minutes", {"minutes": 4000}), ("minutes", {"minutes": 90}), ("out_by", {"out_by": "noon"}),
    ("ready_at", {"ready_at": 9}), ("overnight", {"overnight": True})])
def test_a_refusal_says_which_argument_is_at_fault(what, fields):
    assert refused(Want, **{"load": "roll", "count": 3} | fields).what == what


@pytest.mark.parametrize("ready_at, out_by, fields", [
    ("12:00", "12:00", {"load": "roll"}), ("14:00", "12:00", {"load": "roll"}),
    ("01:00 next day", "20:00", {"load": "roll"}),
    ("12:00", "13:00", {"load": "tray of roots", "minutes": 61}),
    ("06:00 next day", None, {"load": "bean pot", "overnight": True}),
    ("04:00 next day", "07:59 next day", {"load": "bean pot", "overnight": True})])
def test_a_want_ready_too_late_to_be_out_is_refused(ready_at, out_by, fields):
    error = refused(Want, count=1, ready_at=ready_at, out_by=out_by, **fields)
    assert error.what == "ready_at" and f"from ready_at {ready_at} to out_by" in str(error)


def test_a_want_with_just_the_time_is_not_refused():
    least = ok.load_catalogue()["bean pot"].least_minutes
    assert least == 240
    Want("bean pot", 1, ready_at="03:00 next day", overnight=True)
    Want("bean pot", 1, ready_at="12:00", out_by="16:00")
    Want("roll", 1, ready_at="23:30", out_by="00:30 next day")


def test_a_night_shorter_than_a_pot_wants_is_refused():
    wants = Want("roll", 6), Want("bean pot", 1, overnight=True, out_by="03:00 next day")
    assert len(batches(ROWAN, wants, "23:00")) == 2
    error = refused(batches, ROWAN, wants, "23:30")
    assert (error.want, error.what) == (1, "out_by") and "210 minutes" in str(error)


@pytest.mark.parametrize("oven", ["hazel", "rowan"])
def test_so_many_pots_as_the_hearth_holds_stay_in_overnight(oven):
    oven = ok.read_oven(oven)
    fit = most(ok.load_catalogue()["bean pot"], oven)
    assert len(batches(oven, [Want("bean pot", fit, overnight=True)])) == 1
    error = refused(batches, oven, [Want("roll", 2), Want("bean pot", 30, overnight=True)])
    assert f"the hearth holds {fit} of them: ask for {fit} at most" in str(error)
    assert str(error).count("bean pot") == 1 and (error.want, error.what) == (1, "count")


def test_two_wants_of_one_load_overnight_are_named_once():
    pot = Want("bean pot", 1, overnight=True)
    text = str(refused(batches, ROWAN, [pot, pot, Want("roll", 3)]))
    assert text.count("bean pot") == 1 and "only one batch can be: leave 1 of them out" in text
    rings = str(refused(batches, ROWAN, [pot, pot, Want("apple rings", 1, overnight=True)]))
    assert re.search("bean pot and apple rings are to be in .* leave 2 of them out", rings)


def test_what_a_count_came_from_is_no_argument_and_goes_with_its_people():
    fed = Want("hearth loaf", people=12, portion_g=150)
    assert fed.counted == "12 people at 150 g" and fed.people is None
    with pytest.raises(TypeError):
        Want("hearth loaf", 3, counted="300 people")
    assert dataclasses.replace(fed, count=1).counted == ""


def test_what_may_be_in_overnight_may_be_in_so_long():
    for name, load in ok.load_catalogue().items():
        if load.max_minutes < OVERNIGHT_MIN:
            assert refused(Want, name, 1, overnight=True).what == "overnight"
        else:
            Want(dataclasses.replace(load, start_c=max(load.start_c, 18)), 1, overnight=True)
