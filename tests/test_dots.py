"""Pictures of instruments as dots: what is drawn where, and what stays hidden."""

import io
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from ovenkit import figures
from ovenkit.figures.day import LINES
from ovenkit.figures.dots import AXES, BASE_C, KINDS, Dot, DotFigure, Dots
from ovenkit.units import US

ROWS = (Dot("back", "dome, back", 303.0, place=297.0),
        Dot("air", "air, middle", 200.0, place=150.0),
        Dot("deep", "deep", 275.0), Dot("feels", "feels like", 250.0))
PICTURE = Dots(ROWS, key="key", alt="alt")
FIGURE = DotFigure()


def pixels(picture):
    return np.asarray(Image.open(io.BytesIO(FIGURE.png(picture))).convert("RGB")).astype(int)


def other(values):
    return replace(PICTURE, rows=tuple(
        replace(row, value=value, place=None) for row, value in zip(ROWS, values, strict=True)))


def column(picture, temp_c, shape):
    """Pixel column of a temperature."""
    low, high = picture.span_c
    return round((AXES[0] + AXES[2] * (temp_c - low) / (high - low)) * shape[1])


def line(picture, row, shape):
    """Pixel row of a row of the picture."""
    share = AXES[1] + AXES[3] * (1 - (row + 0.5) / len(picture.rows))
    return round((1 - share) * shape[0])


def test_it_is_drawn_by_its_own_figure_in_the_size_of_all_pictures():
    assert isinstance(figures.figure_for(PICTURE), DotFigure)
    height, width, _ = pixels(PICTURE).shape
    assert (width, height) == tuple(round(inch * figures.DPI) for inch in figures.SIZE_IN)


def test_a_dot_lies_at_its_temperature_on_its_row_in_its_colour():
    image = pixels(PICTURE)
    for i, row in enumerate(ROWS):
        colour = [int(KINDS[row.kind][0][k:k + 2], 16) for k in (1, 3, 5)]
        at = image[line(PICTURE, i, image.shape), column(PICTURE, row.value, image.shape)]
        assert np.abs(at - colour).max() < 12, row.name


def test_a_stroke_lies_at_the_place_itself():
    image = pixels(PICTURE)
    y, x = line(PICTURE, 1, image.shape), column(PICTURE, 150.0, image.shape)
    assert image[y, x - 1:x + 2].min() < 60
    bare = pixels(replace(PICTURE, rows=tuple(replace(row, place=None) for row in ROWS)))
    assert bare[y, x - 1:x + 2].min() > 200


def test_drawn_again_it_is_the_same():
    first = FIGURE.png(PICTURE)
    assert FIGURE.png(other([100, 120, 140, 160])) != first
    assert FIGURE.png(PICTURE) == first == DotFigure().png(PICTURE)


def test_kinds_differ_by_shape_as_well_as_by_colour_and_share_colours_with_curves():
    shapes = [shape for _, shape in KINDS.values()]
    assert len(set(shapes)) == len(shapes) and "D" not in shapes and ">" not in shapes
    shared = set(KINDS) & set(LINES)
    assert len(shared) >= 5
    assert all(KINDS[kind][0] == LINES[kind][0] for kind in shared)


def test_covered_shows_nothing_of_the_answer_but_what_it_is_held_against():
    hidden = FIGURE.png(replace(PICTURE, covered=True))
    assert hidden == FIGURE.png(replace(other([90, 700, 20, 1000]), covered=True))
    assert hidden != FIGURE.png(PICTURE)
    marked = replace(PICTURE, covered=True, guess=figures.Mark("a guess", None, 111.0))
    assert FIGURE.png(marked) == hidden
    kept = replace(PICTURE, covered=True, kept_name="before",
                   rows=(replace(ROWS[0], kept=250.0), *ROWS[1:]))
    assert FIGURE.png(kept) != hidden


def test_a_guess_is_a_diamond_on_the_axis():
    marked = replace(PICTURE, guess=figures.Mark("your guess 360", None, 360.0))
    image, plain = pixels(marked), pixels(PICTURE)
    y = round((1 - AXES[1]) * image.shape[0]) - 3
    x = column(marked, 360.0, image.shape)
    assert image[y, x].max() < 60 < plain[y, x].min()
    assert (image[:40] != plain[:40]).any()     # and its words are in the head


def test_only_a_lower_limit_looks_and_reads_otherwise():
    over = replace(PICTURE, rows=(replace(ROWS[0], over=True), *ROWS[1:]))
    words = [text for _, _, text, *_ in FIGURE._names(over)]
    assert "over 303" in words
    assert [text for _, _, text, *_ in FIGURE._names(PICTURE)].count("303") == 1
    assert FIGURE.png(over) != FIGURE.png(PICTURE)


@pytest.mark.parametrize(("values", "low", "high"), [
    ([303, 200, 275, 250], *BASE_C), ([399.9, 50.1, 60, 70], *BASE_C),
    ([403, 200, 275, 250], 50, 500), ([303, 20, 275, 250], 0, 400), ([910, 5, 80, 90], 0, 1000)])
def test_the_axis_holds_still_while_it_can_and_shows_every_dot(values, low, high):
    picture = other(values)
    assert picture.span_c == (low, high)
    assert pixels(picture).shape == pixels(PICTURE).shape


def test_degrees_fahrenheit_change_the_words_and_move_no_dot():
    inches = replace(PICTURE, scale=US)
    assert "577" in [text for _, _, text, *_ in FIGURE._names(inches)][1:2]   # 302.8 is 577
    a, b = pixels(PICTURE), pixels(inches)
    y, x = line(PICTURE, 0, a.shape), column(PICTURE, 303.0, a.shape)
    assert np.array_equal(a[y, x - 5:x + 6], b[y, x - 5:x + 6]) and (a != b).any()
