"""The oven cut open: its shape is that of the oven, to scale; covered, it tells nothing."""

import io
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

import ovenkit as ok
from ovenkit.figures import DPI, SIZE_IN, Mark, figure_for
from ovenkit.figures import section as s
from ovenkit.oven import UNDER_HEARTH, four_questions
from ovenkit.units import METRIC, US

OVEN, RANGE_KG = four_questions(80, 95)
BARS = s.Bar("masonry", OVEN.masonry_kg, *RANGE_KG, "mass"), s.Bar("loaves", 46, 39, 52)
PICTURE = s.Section(OVEN, BARS, key="key", alt="alt")


def png(picture):
    return s.SectionFigure().png(picture)


def pixels(picture):
    return np.asarray(Image.open(io.BytesIO(png(picture))), int)


def test_its_figure_is_found_and_has_the_size_of_all_pictures():
    figure = figure_for(PICTURE)
    assert isinstance(figure, s.SectionFigure)
    size = Image.open(io.BytesIO(figure.png(PICTURE))).size
    assert size == tuple(round(inch * DPI) for inch in SIZE_IN)


@pytest.mark.parametrize("name", ("rowan", "hazel", "hornbeam"))
def test_the_dome_runs_from_the_hearths_edge_over_its_crown_to_the_mouth(name):
    oven = ok.read_oven(name)
    arc = s.dome_arc(oven, 0, points=2001)
    assert arc[0] == pytest.approx([oven.inside_m / 2, 0], abs=1e-9)
    assert arc[:, 1].max() == pytest.approx(oven.rise_m, rel=1e-5)
    assert arc[-1, 1] == pytest.approx(oven.mouth_h_m) and arc[-1, 0] < 0


def test_the_drawn_masonry_turned_about_its_axis_weighs_what_the_oven_says():
    """Pappus: volume = area times the way of its middle, here ring by ring of the back half.

    The oven's own sum takes the mouth out of the dome; so does this one, by its share of area.
    """
    def turned_m3(depth):
        x, z = s.dome_arc(OVEN, depth, points=20001).T
        half = (x >= 0) & (z >= 0)
        return np.pi * np.abs(np.trapezoid(x[half] ** 2, z[half]))

    wall = OVEN.dome_masonry_m
    whole = OVEN.dome_area_m2 + OVEN.mouth_area_m2
    shell_m3 = (turned_m3(wall) - turned_m3(0)) * OVEN.dome_area_m2 / whole
    hearth_m3 = OVEN.hearth_area_m2 * OVEN.hearth_masonry_m
    density = OVEN.dome[0].material.density
    assert density * (shell_m3 + hearth_m3) == pytest.approx(OVEN.masonry_kg, rel=0.02)


def test_a_picture_is_to_scale():
    """A wall twice as thick takes twice the pixels; a wider oven is wider on the picture."""
    figure, spans = s.SectionFigure(), {}
    for inside, wall in ((70, 50), (70, 100), (80, 50)):
        oven, _ = four_questions(inside, wall)
        figure.png(replace(PICTURE, oven=oven))
        faces = figure._at(s.dome_arc(oven, 0)[0], s.dome_arc(oven, wall / 1000)[0])[:, 0]
        spans[inside, wall] = figure.px, faces[1] - faces[0], 2 * (faces[0] - figure.origin[0])
    assert len({px for px, *_ in spans.values()}) == 1
    assert spans[70, 100][1] / spans[70, 50][1] == pytest.approx(2, rel=0.1)
    assert spans[80, 50][2] / spans[70, 50][2] == pytest.approx(80 / 70)


@pytest.mark.parametrize(("inside", "wall"), [(50, 30), (50, 200), (160, 30), (160, 200)])
def test_every_oven_finds_room(inside, wall):
    oven, _ = four_questions(inside, wall, "cast", "perlite concrete")
    figure = s.SectionFigure()
    figure.png(replace(PICTURE, oven=oven, kept=OVEN))
    front, back, low, high = s.extent(oven)
    (left, bottom), (right, top) = figure._at((front, low), (back, high))
    assert s.ROOM[0] <= left < right <= s.ROOM[1]
    assert s.ROOM[2] <= bottom < top <= s.ROOM[3]


def test_a_png_is_drawn_again_the_same():
    figure = s.SectionFigure()
    first = figure.png(PICTURE)
    other = four_questions(60, 50, "cast", "sand")[0]
    assert figure.png(replace(PICTURE, oven=other)) != first
    assert figure.png(PICTURE) == first


def test_a_covered_picture_has_the_same_bytes_whatever_the_answer_is():
    other = tuple(replace(bar, value=9 * bar.value, low=1, high=20 * bar.value) for bar in BARS)
    covered = replace(PICTURE, covered=True)
    assert png(covered) == png(replace(covered, bars=other)) != png(PICTURE)
    kept = tuple(replace(bar, kept=30.0) for bar in BARS), tuple(
        replace(bar, kept=30.0) for bar in other)
    assert png(replace(covered, bars=kept[0])) == png(replace(covered, bars=kept[1]))


def test_a_guess_stands_at_its_bar():
    plain = pixels(PICTURE)
    for strip, row in ((False, s.BAR_ROWS[0]), (True, s.BAR_ROWS[1])):
        marked = pixels(replace(PICTURE, guess=Mark("your guess", None, 45, strip)))
        changed = np.flatnonzero((marked != plain).any(axis=(1, 2)))
        low_half = round(s.HIGH) - changed[changed > s.HIGH / 2]
        assert np.median(low_half) == pytest.approx(row + s.BAR_HIGH / 2 + 5, abs=4)


def test_masonry_insulation_and_slab_differ_by_more_than_colour():
    hatches = [s.STYLES[name][1] for name in ("brick", "cast", "insulation", "sand", "slab")]
    assert all(hatches) and len(set(hatches)) == len(hatches)
    cast = four_questions(80, 95, "cast")[0]
    assert s.style(OVEN.dome[0], True) == "brick" and s.style(cast.dome[0], True) == "cast"
    assert s.style(OVEN.dome[1], False) == "insulation"
    assert s.style(OVEN.hearth[1], False) == "insulation"
    assert s.style(OVEN.hearth[2], False) == "slab"


@pytest.mark.parametrize("under", UNDER_HEARTH)
def test_what_is_under_the_hearth_is_named_as_the_cook_named_it(under):
    assert s.under_name(ok.domed_oven(under_hearth=under)) == under


def test_lengths_and_masses_are_said_in_the_scale():
    assert s.thickness(0.095) == "95 mm" and s.thickness(0.0635, US) == "2.5 in"
    bar = s.Bar("masonry", 326, 271, 383, "mass")
    assert bar.words(METRIC) == "326 kg (271 to 383)"
    assert bar.words(US) == "719 lb (597 to 844)"
    assert png(replace(PICTURE, scale=US)) != png(PICTURE)
