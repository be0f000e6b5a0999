"""What ovens are made of, and how mass becomes thickness."""

import dataclasses
import math
import re

import numpy as np
import pytest

from ovenkit.files import InputError
from ovenkit.layers import Layer, Material, layer, materials, working_layers
from ovenkit.oven import LIMITS, Oven, domed_oven, four_questions
from ovenkit.ovenfile import oven_from_table, read_oven

OVENS = ("hazel", "rowan", "alder", "hornbeam")


@pytest.mark.parametrize("name, row", [("firebrick", "Fireclay"),
                                       ("insulating firebrick", "L1260")])
def test_bricks_agree_with_the_heat_atlas(name, row):
    """VDI Heat Atlas rows at 400 to 1200 degC, as shipped in the `ht` library."""
    insulation = pytest.importorskip("ht.insulation")
    density, k, cp = insulation.refractories[row]
    brick = materials()[name]
    assert brick.density == density
    for temp_c, k_vdi, cp_vdi in zip((400, 600, 800, 1000, 1200), k, cp, strict=True):
        assert brick.k_at(temp_c) == pytest.approx(k_vdi)
        assert brick.cp_at(temp_c) == pytest.approx(cp_vdi)


@pytest.mark.parametrize("name, row", [
    ("granite", "Stone, granite"), ("sandstone", "Stone, sandstone (silica)"),
    ("steel", "Metals, steel"), ("cast iron", "Metals, iron, cast"),
    ("lime-sand render", "Plasters and renders, lime sand"),
    ("softwood", "Timber, 500 kg/m^3")])
def test_building_materials_agree_with_iso_10456(name, row):
    """ISO 10456 rows, as shipped in the `ht` library."""
    insulation = pytest.importorskip("ht.insulation")
    here = materials()[name]
    assert (here.density, here.k_at(20), here.cp_at(20)) == insulation.building_materials[row]


def test_properties_are_held_outside_and_linear_between():
    stuff = Material("x", (0.0, 100.0), (1.0, 2.0), 1000.0, (800.0, 900.0))
    assert [stuff.k_at(t) for t in (-50, 25, 400)] == [1.0, 1.25, 2.0]


def test_mass_is_that_of_many_thin_shells():
    """The shell against a sum over 20 000 thin shells, the hearth against a plain disk."""
    oven = domed_oven(inside_cm=90, masonry_kg=400, rise_cm=36, hearth_mm=60)
    depth = (np.arange(20000) + 0.5) / 20000 * oven.dome_masonry_m
    area = oven.dome_area_m2 * (1.0 + depth / oven.sphere_radius_m) ** 2
    dome = area.mean() * oven.dome_masonry_m * 2150.0
    hearth = math.pi * 0.45**2 * 0.06 * 2150.0
    assert dome + hearth == pytest.approx(400.0, rel=1e-8)
    assert oven.hearth_masonry_m == 0.06


def test_cap_geometry_of_a_hemisphere():
    """A hemisphere of radius a has area 2 pi a^2 and lies on a sphere of radius a."""
    oven = domed_oven(inside_cm=80, rise_cm=40)
    assert oven.sphere_radius_m == pytest.approx(0.4)
    assert oven.dome_area_m2 + oven.mouth_area_m2 == pytest.approx(2.0 * math.pi * 0.16)


@pytest.mark.parametrize("kg", [120, 300, 900])
def test_with_mass_gives_that_mass_and_keeps_the_proportion(kg):
    first = domed_oven(masonry_kg=300, hearth_mm=60)
    other = first.with_mass(kg)
    assert other.masonry_kg == pytest.approx(kg, rel=1e-10)
    assert other.hearth_masonry_m / other.dome_masonry_m == pytest.approx(
        first.hearth_masonry_m / first.dome_masonry_m)
    assert first.masonry_kg == pytest.approx(300)


def test_more_mass_is_thicker_and_a_bigger_oven_thinner():
    t = [domed_oven(masonry_kg=kg).dome_masonry_m for kg in (150, 300, 600)]
    assert t == sorted(t)
    assert domed_oven(inside_cm=100).dome_masonry_m < domed_oven(inside_cm=80).dome_masonry_m


def test_working_layers_of_constant_materials_by_hand():
    """q = dT / (sum t/k + 1/h), Incropera & DeWitt section 3.1; k that rises by 0.001 per K."""
    rising = Material("x", (0.0, 1000.0), (1.0, 2.0), 1000.0, (900.0, 900.0))
    plain = Material("y", (0.0,), (0.5,), 500.0, (800.0,))
    (_, k, rho, cp), outer = working_layers((Layer(rising, 0.1), Layer(plain, 0.1)), 300.0, 0.0)
    flux = 300.0 / (0.1 / k + 0.1 / 0.5 + 0.1)
    mean_c = 300.0 - flux * 0.1 / k / 2.0
    assert k == pytest.approx(1.0 + mean_c / 1000.0, rel=1e-5)
    assert (rho, cp) == (1000.0, 900.0) and outer == (0.1, 0.5, 500.0, 800.0)


def test_insulation_works_cooler_than_the_masonry():
    brick, blanket, _ = working_layers(domed_oven().dome)
    assert blanket[1] < brick[1] / 15.0
    assert materials()["fibre blanket"].k_at(20) < blanket[1] < materials()[
        "fibre blanket"].k_at(250)


def test_four_questions_give_a_mass_with_its_range():
    oven, (low, high) = four_questions(80, 90, "brick", "sand")
    assert oven.dome_masonry_m == oven.hearth_masonry_m == pytest.approx(0.09)
    assert low < oven.masonry_kg < high
    assert oven.with_mass(low).dome_masonry_m == pytest.approx(0.85 * 0.09, rel=1e-6)
    assert oven.with_mass(high).dome_masonry_m == pytest.approx(1.15 * 0.09, rel=1e-6)
    cast, _ = four_questions(80, 90, "cast")
    assert cast.dome[0].material.name == "refractory castable"


def test_ovens_are_frozen_and_hashable():
    oven = domed_oven()
    with pytest.raises(dataclasses.FrozenInstanceError):
        oven.inside_m = 1.0
    assert hash(oven) == hash(domed_oven())


@pytest.mark.parametrize("keywords, message", [
    ({"masonry_kg": 20}, r"20 kg on this size would be 7 mm thick; give 46 to \d+ kg"),
    ({"masonry_kg": 9000}, r"mm thick; give 46 to"),
    ({"masonry_kg": 100, "hearth_mm": 200}, "less than the hearth alone weighs"),
    ({"masonry_kg": -5}, "masonry mass is -5 kg"),
    ({"masonry_kg": math.nan}, "masonry mass is nan kg"),
    ({"inside_cm": "80"}, "inside diameter is '80', which is not a number"),
    ({"inside_cm": True}, "not a number"),
    ({"inside_cm": [80, 90]}, "not one number"),
    ({"insulation_mm": -1}, "insulation thickness"),
    ({"rise_cm": 70}, r"height of the dome \(rise_cm\) is 70 cm"),
    ({"mouth_w_cm": 79}, "width of the mouth"),
    ({"mouth_h_cm": 37}, "height of the mouth"),
    ({"dome_material": "firebrik"}, "did you mean 'firebrick'"),
    ({"under_hearth": "insulating bord"}, "did you mean 'insulating board'"),
    ({"door": "glass"}, "give one of 'insulated steel', 'steel sheet', 'wood'"),
    ({"door": None}, "no door None"),
    ({"door_crack_mm": 100}, "crack round the door"),
])
def test_domed_oven_refuses(keywords, message):
    with pytest.raises(InputError, match=message):
        domed_oven(**keywords)


def test_an_oven_without_layers_or_too_thin_is_refused():
    oven = domed_oven()
    with pytest.raises(InputError, match="the door has no layers"):
        dataclasses.replace(oven, door=())
    with pytest.raises(InputError, match="masonry of the hearth is 5 mm thick"):
        oven.with_walls(0.08, 0.005)


@pytest.mark.parametrize("name", OVENS)
def test_the_schools_ovens(name):
    oven = read_oven(name)
    assert oven.name.lower() == name
    assert 0.03 < oven.dome_masonry_m < 0.25
    assert oven == read_oven(f"data/ovens/{name}.toml")


def test_hazel_is_under_100_kg_and_alder_is_rowans_twin():
    hazel, rowan, alder, hornbeam = (read_oven(name) for name in OVENS)
    assert hazel.masonry_kg < 100 < rowan.masonry_kg < hornbeam.masonry_kg
    assert rowan.dome == alder.dome and rowan.hearth[1:] != alder.hearth[1:]


def test_layers_listed_in_a_file(tmp_path):
    path = tmp_path / "own.toml"
    path.write_text('inside_cm = 80\n[[dome]]\nmaterial = "firebrick"\nmm = 65\n'
                    '[[hearth]]\nmaterial = "granite"\nmm = 50\n[[hearth]]\nmaterial = "sand"\n'
                    'mm = 40\n[[door]]\nmaterial = "steel"\nmm = 3\n')
    oven = read_oven(path)
    assert oven.name == "own"
    assert [y.material.name for y in oven.hearth] == ["granite", "sand"]
    assert oven.dome == (layer("firebrick", 65),)
    assert isinstance(oven, Oven)


LAYERS = '[[hearth]]\nmaterial = "sand"\nmm = 40\n[[door]]\nmaterial = "steel"\nmm = 3\n'


@pytest.mark.parametrize("text, message", [
    ("inside_cm = 80\nmasonry = 300\n", "o.toml line 2: there is no key 'masonry'; did you"),
    ("inside_cm = 80\nmasonry_kg = 3\n", r"o.toml line 2: masonry mass \(masonry_kg\) is 3 kg"),
    ("inside_cm = 80\nmasonry_kg = 20\n", "o.toml line 2: 20 kg on this size"),
    ("inside_cm = 80\n", "o.toml: the oven has no masonry_kg"),
    ('inside_cm = 80\nmasonry_kg = 300\ndoor = "tin"\n', "line 3: there is no door 'tin'"),
    ('inside_cm = 80\nmasonry_kg = 300\n\nname = 5\n', "line 4: name is 5"),
    ('inside_cm = "80"\nmasonry_kg = 300\n', "line 1: inside diameter"),
    ('inside_cm = 80\ndome = 3\nmasonry_kg = 300\n', "line 2: there is no key 'dome'"),
    ("inside_cm = 80\n" + LAYERS, "the oven has no dome"),
    ('inside_cm = 80\ndome = [3]\n' + LAYERS, "line 2: a layer of the dome is 3"),
    ('inside_cm = 80\n[[dome]]\nmaterial = "brik"\nmm = 60\n' + LAYERS,
     "line 3: there is no material 'brik'"),
    ('inside_cm = 80\n[[dome]]\nmaterial = "sand"\n' + LAYERS, "line 2: the layer has no mm"),
    ('inside_cm = 80\n[[dome]]\nmaterial = "sand"\nmm = "x"\n' + LAYERS, "line 4: layer thick"),
    ('inside_cm = 80\n[[dome]]\nmaterial = "sand"\nmm = 5\n' + LAYERS,
     "o.toml: masonry of the dome is 5 mm"),
    ("inside_cm = \n", "o.toml: this is not valid TOML.*line 1"),
])
def test_oven_files_with_errors(tmp_path, text, message):
    path = tmp_path / "o.toml"
    path.write_text(text)
    with pytest.raises(InputError, match=message):
        read_oven(path)


def test_every_limit_leads_to_a_sentence_with_its_key(tmp_path):
    path = tmp_path / "o.toml"
    for key in set(LIMITS) - {"wall_mm", "mm"}:
        path.write_text(f"{key} = 1e9\n")
        with pytest.raises(InputError, match=re.escape(f"({key}) is 1e+09")):
            oven_from_table({key: 1e9}, path)
