"""The picture through the depth: drawn the same again, in both scales, silent when covered."""

import io
from dataclasses import replace

import numpy as np
from PIL import Image

from ovenkit import figures
from ovenkit.figures import Mark
from ovenkit.figures.profile import STYLES, Profile, ProfileFigure, Wall
from ovenkit.panels import charging as c
from ovenkit.units import US

SETTINGS = c.Charge(view="through the depth")
RESULT = c.run(SETTINGS)
PICTURE = c.picture(SETTINGS, RESULT)
DRAW = ProfileFigure().png


def ink(png, colour):
    """How many pixels of a PNG have just this colour."""
    pixels = np.asarray(Image.open(io.BytesIO(png)).convert("RGB"))
    rgb = [int(colour[i:i + 2], 16) for i in (1, 3, 5)]
    return int((pixels == rgb).all(-1).sum())


def test_is_drawn_by_its_own_figure_and_the_same_again():
    assert isinstance(figures.figure_for(PICTURE), ProfileFigure)
    first = DRAW(PICTURE)
    other = c.Charge(masonry_kg=600, view=SETTINGS.view)
    assert DRAW(c.picture(other, c.run(other))) != first and DRAW(PICTURE) == first
    assert Image.open(io.BytesIO(first)).size == tuple(
        round(inch * figures.DPI) for inch in figures.SIZE_IN)


def test_shows_hearth_and_dome_at_five_moments():
    assert PICTURE.moments == ("30 min", "1 h", "1 h 30", "2 h", "2 h 40")
    assert [wall.name for wall in PICTURE.walls] == ["hearth", "dome, back"]
    for wall in PICTURE.walls:
        assert wall.temps_c.shape == (5, len(wall.depth_mm)) and wall.depth_mm[0] == 0
        assert 80 < wall.masonry_mm < 100
    assert "after 2 h 377 °C on the hearth's skin" in PICTURE.alt
    assert all(ink(DRAW(PICTURE), colour) > 50 for colour, *_ in STYLES)


def test_curves_differ_by_more_than_colour():
    assert len({(dashes, width) for _, dashes, width in STYLES}) == len(STYLES)


def test_covered_shows_nothing_of_the_answer():
    covered = replace(PICTURE, covered=True)
    hotter = replace(covered, walls=tuple(
        replace(wall, temps_c=1.5 * wall.temps_c) for wall in covered.walls))
    assert DRAW(covered) == DRAW(hotter) != DRAW(PICTURE)
    assert ink(DRAW(covered), STYLES[3][0]) == 0


def test_both_scales_have_the_same_curves_on_other_axes():
    assert DRAW(replace(PICTURE, scale=US)) != DRAW(PICTURE)
    told = c.picture(SETTINGS, RESULT, None, US)
    assert "°F" in told.alt and "°C" not in told.alt + told.key


def test_a_guess_and_a_kept_fire_are_drawn():
    guessed = replace(PICTURE, guess=Mark("your guess 300 °C", None, 300.0))
    assert ink(DRAW(guessed), "#111111") > ink(DRAW(PICTURE), "#111111") + 200
    kept = c.picture(SETTINGS, RESULT, c.run(c.Charge(wood_kg=8)))
    assert ink(DRAW(kept), "#777777") > 10 * ink(DRAW(PICTURE), "#777777")


def test_a_wall_without_insulation_ends_at_its_render():
    bare = c.Charge(insulation_mm=0, view=SETTINGS.view)
    dome = c.picture(bare, c.run(bare)).walls[1]
    assert dome.beyond == "lime-sand render"
    assert dome.depth_mm[-1] - dome.masonry_mm < 10


def test_any_two_walls_can_be_shown():
    wall = Wall("wall", "air", 50.0, np.array([0.0, 50.0, 60.0]), np.array([[300.0, 200.0, 190.0]]))
    png = DRAW(Profile((wall, wall), ("now",), key="key", alt="alt"))
    assert ink(png, STYLES[0][0]) > 100 and ink(png, STYLES[1][0]) == 0
