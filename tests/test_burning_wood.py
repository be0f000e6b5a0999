"""The worth of wood, against a published row."""

import pytest

from ovenkit.burning import dry_basis_pct, wet_basis_pct, wood_mj_per_kg
from ovenkit.files import InputError


@pytest.mark.parametrize("moisture, mj", [(15, 15.79), (20, 14.72), (30, 12.58), (40, 10.44)])
def test_published_row(moisture, mj):
    # Fuel-wood tables by ISO 18125 for dry wood of 19.0 MJ/kg
    assert wood_mj_per_kg(moisture, 19.0) == pytest.approx(mj, abs=0.1)


def test_dry_wood_keeps_its_value_and_water_costs_its_evaporation():
    assert wood_mj_per_kg(0, 18.9) == pytest.approx(18.9, abs=1e-12)
    # a kilogram at 50 %: half the dry heat, less half a kilogram of steam (IAPWS: 2.4417 MJ/kg)
    assert 19.0 / 2 - wood_mj_per_kg(50) == pytest.approx(2.4417 / 2, rel=1e-3)


def test_meter_and_wet_basis():
    # common practice, no source: 20 on a pin meter is 16.7 % wet basis
    assert wet_basis_pct(20) == pytest.approx(16.7, abs=0.05)
    for moisture in (0, 18, 50):
        assert wet_basis_pct(dry_basis_pct(moisture)) == pytest.approx(moisture, abs=1e-12)


@pytest.mark.parametrize("moisture, dry, word", [
    (-1, 19, "moisture"), (66, 19, "moisture"), ("wet", 19, "moisture"),
    (float("nan"), 19, "moisture"), (20, 9, "dry wood"), (20, 26, "dry wood")])
def test_bad_wood_is_refused(moisture, dry, word):
    with pytest.raises(InputError, match=word):
        wood_mj_per_kg(moisture, dry)
