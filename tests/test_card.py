"""The card of an oven: its numbers are the engine's, and go the way they must."""

import numpy as np
import pytest

import ovenkit as ok
from ovenkit.card import FALLS_C, compare, oven_card
from ovenkit.units import US


@pytest.fixture(scope="module")
def cards():
    return {name: oven_card(ok.read_oven(name)) for name in ("hazel", "rowan", "alder", "hornbeam")}


def test_numbers_are_those_of_a_run(cards):
    hearth = ok.run_day(ok.read_oven("rowan"), [ok.Wait(hours=48)], start=300).table[
        "hearth_bake_c"]
    hours = float(np.interp(-200, -hearth.to_numpy(), hearth.index.to_numpy()))
    assert cards["rowan"].falls_h[200] == pytest.approx(hours, rel=0.01)


def test_a_lighter_oven_takes_less_wood_and_runs_down_sooner(cards):
    light, heavy = cards["hazel"], cards["rowan"]
    assert light.charges[300].wood_kg < heavy.charges[300].wood_kg
    assert all(light.falls_h[c] < heavy.falls_h[c] for c in FALLS_C)
    assert light.k_per_kg > heavy.k_per_kg


def test_what_is_not_insulated_below_runs_down_sooner(cards):
    assert cards["alder"].falls_h[150] < 0.75 * cards["rowan"].falls_h[150]


def test_the_shut_in_test_tells_skin_hot_from_charged(cards):
    for card in cards.values():
        assert card.skin_lost > 1.4 * card.charged_lost > 0


def test_an_opening_costs_the_air_much_and_the_brick_little(cards):
    for card in cards.values():
        air, hearth, later = card.opening_k
        assert air > 80 and hearth < 12 and later < 2


def test_run_down_is_of_the_size_of_a_lump_of_brick():
    """A lump of heat capacity m c loses by UA: t = m c / UA ln(dT1 / dT2) (Incropera & DeWitt,
    eq. 5.5); UA from an hour's loss of the oven itself, so within a third."""
    oven = ok.domed_oven(80, 320)
    card = oven_card(oven)
    run = ok.run_day(oven, [ok.Wait(hours=20)], start=300)
    stored = run.table["stored_mj"]
    a, b = (float(np.interp(h, stored.index, stored)) for h in (2.0, 12.0))
    rate = np.log(a / b) / 10
    hours = np.log((300 - 12) / (150 - 12)) / rate
    assert 0.67 < card.falls_h[150] / hours < 1.5


def test_cards_side_by_side_in_words(cards):
    table = compare([cards["hazel"], cards["rowan"]])
    assert list(table.columns) == ["Hazel", "Rowan"] and not table.isna().any().any()
    us = dict(cards["rowan"].lines(US))
    assert "lb" in us["masonry that stores"] and any("572 °F" in what for what in us)
