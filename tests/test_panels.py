"""Panels without a browser: settings -> steps -> run -> picture, and the guesses."""

import asyncio
import base64
import io
import subprocess
import sys
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

import ovenkit as ok
from ovenkit import figures, panels
from ovenkit.figures.day import LINES, DayFigure, limits
from ovenkit.figures.layout import rows_for
from ovenkit.files import InputError
from ovenkit.panels import drawing as s
from ovenkit.panels import guesses, scenes
from ovenkit.panels.asked import dooring as door
from ovenkit.panels.asked import drawing as asked
from ovenkit.panels.place import Notebook
from ovenkit.units import METRIC, US

DAY = s.DrawDown()
RUN = s.run(DAY)
PICTURE = s.picture(DAY, RUN)
NAMES = [turn.load for turn in s.MENU]


@pytest.mark.parametrize("load", NAMES)
@pytest.mark.parametrize("place", range(1, len(NAMES) + 1))
def test_a_moved_load_stands_where_it_was_put_and_none_is_lost(load, place):
    moved = [turn.load for turn in s.move(s.MENU, load, place)]
    assert moved[place - 1] == load and sorted(moved) == sorted(NAMES)
    rest = [name for name in NAMES if name != load]
    assert [name for name in moved if name != load] == rest


def test_the_schools_order_comes_out_good_and_the_reverse_does_not():
    assert (RUN.bakes.verdict == "good").all()
    wrong = s.run(replace(DAY, turns=DAY.turns[:4][::-1] + DAY.turns[4:]))
    assert (wrong.bakes.verdict != "good").sum() >= 2
    cake = wrong.bakes[wrong.bakes.load == "sponge cake"].iloc[0]
    assert cake.verdict in ("burnt", "dark", "underdone") and "felt like" in cake.why


def test_a_run_of_the_panel_is_run_day():
    again = ok.run_day(s.oven(DAY), s.steps(DAY), outdoor_c=DAY.outdoor_c)
    assert np.array_equal(again.table.to_numpy(), RUN.table.to_numpy(), equal_nan=True)


def test_the_picture_tells_what_the_run_says():
    assert [band.name for band in PICTURE.bands] == list(RUN.bakes.load)
    assert len(PICTURE.lines) == len(RUN.bakes)
    assert all(row.why in line.text for row, line in zip(RUN.bakes.itertuples(), PICTURE.lines))
    hours, hearth = PICTURE.curves["hearth"]
    assert np.array_equal(hearth, RUN.table.hearth_bake_c) and (np.diff(hours) > 0).all()
    under = PICTURE.curves["under"][1]
    assert np.nanmax(under[hours > 2.6]) < np.nanmax(hearth[hours > 2.6])
    assert f"{RUN.bakes.hearth_in_c[0]:.0f}" in PICTURE.key and "330" in PICTURE.alt


def test_key_numbers_do_not_flip_on_a_breath():
    """A change of 1e-6 in what goes in changes none of the digits that are stored."""
    near = s.run(replace(DAY, wood_kg=DAY.wood_kg * (1 + 1e-6)))
    assert s.key_line(s.key_numbers(near)) == PICTURE.key


def test_a_loaf_takes_what_four_kilograms_of_brick_give_in_100_degrees():
    """The sum in lesson 04; fireclay at 400 degC holds 960 J/kgK (VDI Heat Atlas)."""
    assert 1e6 * ok.run.loaf_mj() / (960 * 100) == pytest.approx(4, rel=0.1)


def test_a_png_is_drawn_again_the_same_and_changes_with_the_day():
    figure = DayFigure()
    first = figure.png(PICTURE)
    other = s.picture(replace(DAY, masonry_kg=500), s.run(replace(DAY, masonry_kg=500)), RUN)
    assert figure.png(other) != first and figure.png(PICTURE) == first
    assert Image.open(io.BytesIO(first)).size == tuple(
        round(inch * figures.DPI) for inch in figures.SIZE_IN)


def test_curves_differ_by_more_than_colour():
    styles = [(dashes, width) for _, dashes, width, _ in LINES.values()]
    assert len(set(styles)) == len(styles)


def test_a_kept_day_is_drawn_under_its_own_name():
    kept = s.picture(replace(DAY, wood_kg=11), s.run(replace(DAY, wood_kg=11)), RUN)
    assert np.array_equal(kept.curves["kept"][1], RUN.table.hearth_bake_c)
    assert kept.kept_left is not None and PICTURE.kept_left is None


@pytest.mark.parametrize(("make", "message"), [
    (lambda: s.DrawDown(turns=("flatbred",)), "did you mean 'flatbread'"),
    (lambda: s.DrawDown(turns=("flatbread", "flatbread")), "stands on the menu twice"),
    (lambda: s.DrawDown(turns=()), "the menu is empty"),
    (lambda: s.run(replace(DAY, turns=s.change(s.MENU, "hearth loaf", count=40))), "fit at once"),
    (lambda: s.run(replace(DAY, wood_kg=60)), "more than this mouth gives air for"),
    (lambda: panels.guess("one or sevn"), "did you mean 'one or seven'")])
def test_what_cannot_be_is_said_in_a_sentence(make, message):
    with pytest.raises(InputError, match=message):
        make()


def test_a_panel_keeps_its_picture_when_a_day_is_refused():
    panel = panels.draw_down()
    png = panel.png
    panel.fields["wood_kg"].value = 30
    panel.fields["fire_hours"].value = 1
    assert panel.png == png and "gives air for" in panel.words.value
    assert "step 1" not in panel.words.value
    panel.reset()
    assert "gives air for" not in panel.words.value and panel.plain_text == PICTURE.key


def test_controls_and_settings_go_together():
    panel = panels.draw_down()
    panel.places["bean pot"].value = 1
    assert [turn.load for turn in panel.settings.turns][0] == "bean pot"
    assert sorted(place.value for place in panel.places.values()) == [1, 2, 3, 4, 5]
    panel.fields["masonry_kg"].value = 500
    assert panel.settings.masonry_kg == 500
    want = s.run(panel.settings)
    assert panel.plain_text == s.key_line(s.key_numbers(want))


def test_where_widgets_do_not_run_the_picture_and_the_numbers_show():
    data, metadata = panels.still("draw_down")._repr_mimebundle_()
    assert data["text/plain"] == PICTURE.key
    assert base64.b64decode(data["image/png"])[:4] == b"\x89PNG"
    assert metadata["image/png"]["alt"] == PICTURE.alt


@pytest.mark.parametrize("guess", asked.GUESSES, ids=lambda guess: guess.name)
def test_a_guess_hides_the_answer_then_tells_it(guess):
    day = s.run(guess.settings)
    other = s.run(guess.other) if guess.other else None
    before = guesses.covered(guess, day, other)
    answer = guess.answer(day)
    assert set(before.seen) <= {"kept"} and f"{answer:.0f}" not in before.key
    assert not before.lines
    after = guesses.revealed(guess, day, 200, other)
    assert after.guess.value == 200 and f"{answer:.0f} °C" in after.key and "200 °C" in after.alt
    in_f = guesses.revealed(guess, day, 200, other, US)
    assert f"{1.8 * answer + 32:.0f} °F" in in_f.key and "You said 392 °F" in in_f.key
    with pytest.raises(InputError, match="your guess"):
        guesses.revealed(guess, day, 5000)


def test_an_unsaid_answer_is_not_drawn():
    """Neither curves nor verdicts change one byte of the chart before the guess."""
    guess = scenes.named("guess", "flatbread late")
    before = guesses.covered(guess, s.run(guess.settings))
    hours, hearth = before.curves["hearth"]
    bands = tuple(replace(band, verdict="burnt", good=False) for band in before.bands)
    other = replace(before, curves={**before.curves, "hearth": (hours, hearth - 50)}, bands=bands)
    assert DayFigure().png(other) == DayFigure().png(before)


def test_what_the_guesses_say_is_so():
    """One loaf burns where seven are dark; on the same wood the heavy oven is behind all day.

    With twice the wood and the time it has more left at the last load, six hours after.
    """
    company, heavy = (scenes.named("guess", name) for name in ("one or seven", "twice the bricks"))
    assert s.run(company.other).baked[0].verdict == "burnt"
    assert s.run(company.settings).baked[0].verdict == "dark"
    on_same_wood = s.run(heavy.settings)
    assert all(row.hearth_in_c < light.hearth_in_c
               for row, light in zip(on_same_wood.baked, RUN.baked, strict=True))
    fed = s.run(replace(heavy.settings, wood_kg=2 * DAY.wood_kg, fire_hours=2 * DAY.fire_hours))
    assert fed.loaves_left(fed.baked[-1].in_h) > 1.3 * RUN.loaves_left(RUN.baked[-1].in_h)


def verdicts(**settings):
    """How the loads of a day come out, by name."""
    return {row.load: row.verdict for row in s.run(replace(DAY, **settings)).baked}


def test_what_lesson_04_says_to_try_is_so():
    first = s.run(replace(DAY, turns=s.move(s.MENU, "sponge cake", 1)))
    assert [first.baked[0].top, first.baked[0].bottom] == ["burnt", "dark"]
    assert first.baked[1].load == "flatbread" and first.baked[1].verdict == "pale"
    light = s.run(replace(DAY, masonry_kg=150))
    assert [row.verdict for row in light.baked[:4]] == ["burnt"] * 4
    assert all(light.at("hearth_bake_c", h) > RUN.at("hearth_bake_c", h) for h in (2.4, 4, 5.4))
    assert light.loaves_left(light.baked[-1].in_h) < RUN.loaves_left(RUN.baked[-1].in_h) - 20
    assert list(verdicts(masonry_kg=600).values())[1:4] == ["pale", "pale", "underdone"]
    fed = verdicts(masonry_kg=600, wood_kg=26, fire_hours=4)
    assert fed == {**dict.fromkeys(NAMES, "burnt"), "sponge cake": "dark"}
    alone = s.run(replace(DAY, turns=s.change(s.MENU, "hearth loaf", count=1)))
    assert [row.verdict for row in alone.baked[1:4]] == ["burnt", "dark", "dark"]
    assert alone.baked[1].top == "burnt"
    assert RUN.baked[3].feels_in_c == pytest.approx(212, abs=1)
    late = s.run(replace(DAY, turns=s.change(s.MENU, "sponge cake", minutes=28)))
    assert (RUN.baked[3].verdict, late.baked[3].top) == ("good", "dark")


def test_a_floor_on_a_bare_slab_leaves_bottoms_pale():
    """The class fire and three hours shut; Alder is Rowan but for what lies under its hearth."""
    steps = [ok.Fire(hours=2, wood_kg=13), ok.Settle(hours=3),
             ok.Bake("hearth loaf", 6, minutes=35)]
    rowan, alder = (ok.run_day(ok.read_oven(name), steps).baked[0] for name in ("rowan", "alder"))
    assert rowan.verdict == "good" and [alder.top, alder.bottom] == ["gold", "pale"]
    table = RUN.table[RUN.table.index > DAY.fire_hours]
    assert ((table.dome_back_c + table.dome_front_c) / 2 > table.hearth_bake_c).mean() > 0.95


def test_a_small_oven_is_drawn_down_by_what_lesson_04_says():
    menu = [ok.Bake("hearth loaf 400 g", count=3, minutes=24), ok.Bake("tray of roots", minutes=40)]
    for name, fall, left in (("hazel", 50, 4), ("rowan", 29, 26)):
        run = ok.run_day(ok.read_oven(name), menu, start=255)
        hearth = run.bakes.hearth_in_c[0] - run.table.hearth_bake_c.iloc[-1]
        assert hearth == pytest.approx(fall, abs=1)
        assert run.loaves_left(above_c=200).iloc[-1] == pytest.approx(left, abs=0.7)


def test_axes_show_all_there_is_and_not_much_more():
    for values in ([226, 255], [250, 251], [12, 655], [98, 1202], [0, 83], [240, 240]):
        bottom, top, step = limits(values)
        assert bottom <= min(values) and max(values) <= top
        assert bottom % step == 0 and top % step == 0 and (top - bottom) / step <= 6
        assert top - bottom <= max(10, max(values) - min(values)) + 2 * step


@pytest.mark.parametrize("masonry_kg", [120, 320, 600, 900])
def test_no_curve_leaves_its_axes(masonry_kg):
    """Loaves left and air have strips of their own, scaled to what they show."""
    day, figure = replace(DAY, masonry_kg=masonry_kg, wood_kg=20, fire_hours=4), DayFigure()
    picture = s.picture(day, s.run(day), RUN)
    figure.png(picture)
    start, end = picture.span_h
    for line in (*figure.curves.values(), figure.left, figure.kept_left):
        x, y = (np.asarray(data, float) for data in line.get_data())
        seen = y[(x >= start) & (x <= end) & ~np.isnan(y)]
        if seen.size:
            low, high = line.axes.get_ylim()
            assert low <= seen.min() and seen.max() <= high
    assert figure.curves["air"].axes is not figure.curves["hearth"].axes


@pytest.mark.parametrize("scale", [METRIC, US], ids=["metric", "us"])
@pytest.mark.parametrize("guess", (*asked.GUESSES, *door.GUESSES),
                         ids=lambda guess: guess.name)
def test_the_words_of_a_guess_lie_on_no_curve(guess, scale):
    result = guess.scene.run(guess.settings)
    other = guess.scene.run(guess.other) if guess.other is not None else None
    for said in (guess.low, guess.answer(result), guess.high):
        picture, figure = guesses.revealed(guess, result, said, other, scale), DayFigure()
        figure.png(picture)
        picture = figure._converted(picture)
        (x, y, words, *_), = figure._guessed(picture)
        wide = figure.wide(words, True) / figures.SIZE_IN[0]
        assert figure._clear(picture, x, y, wide) > 0.01, said
        assert x + wide < 0.78


def test_settings_and_pictures_need_no_widgets():
    code = "import sys, ovenkit.panels.drawing; print('ipywidgets' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"


def test_names_of_loads_stay_on_the_picture():
    """Late loads crowd the right end: their names are laid from there."""
    centres, widths = [2.0, 5.0, 5.2, 5.3, 5.4], [1.4, 1.6, 1.5, 1.3, 1.4]
    places = rows_for(centres, widths, 0.35, 7.0)
    spans = [(row, x, x + w) for (x, row), w in zip(places, widths)]
    assert all(0.35 <= left and right <= 7.0 + 1e-9 for _, left, right in spans)
    for i, (row, left, right) in enumerate(spans):
        assert all(row != r or right <= a or b <= left for r, a, b in spans[:i])


@pytest.fixture
def in_us():
    yield US
    Notebook.use(METRIC)


def test_one_switch_turns_every_panel_of_the_notebook(in_us):
    """Labels, words and the picture change; the day itself does not (1 lb is 0.45359237 kg)."""
    panel, guess = panels.draw_down(), panels.guess("flatbread late")
    png, stored = panel.png, panel.settings
    panels.units().choice.value = in_us
    mass = panel.fields["masonry_kg"]
    assert mass.slider.description == mass.box.description == "Masonry, lb"
    assert mass.value == 320 and mass.slider.value == pytest.approx(320 / 0.45359237, abs=10)
    assert panel.settings is stored and panel.png != png
    assert "626 °F" in panel.plain_text and "536 °F" in guess.question.value
    mass.slider.value = 1000
    assert panel.settings.masonry_kg == pytest.approx(453.592, abs=1e-3)
    Notebook.use(METRIC)
    assert mass.slider.description == "Masonry, kg" and "°C" in panel.plain_text


def test_no_answer_is_given_away_by_a_panel_that_changes_its_scale(in_us):
    guess = panels.guess("flatbread late")
    Notebook.use(in_us)
    assert guess.picture.covered


@pytest.mark.parametrize(("make", "message"), [
    (lambda: panels.still("draw_dwn"), "did you mean 'draw_down'"),
    (lambda: panels.draw_down(masonry=300), "did you mean 'masonry_kg'"),
    (lambda: panels.ask("no such thing"), "question")])
def test_a_misspelt_name_is_said(make, message):
    with pytest.raises(InputError, match=message):
        make()


def test_what_is_wrong_stays_said_until_there_is_a_new_picture(in_us):
    """A change of scale, or a kept curve, draws the settings that were run, still faded."""
    panel = panels.draw_down()
    shown = panel.plain_text
    panel.fields["wood_kg"].value = 30
    panel.fields["fire_hours"].value = 1
    ran = panel.ran
    assert ran.fire_hours == 2 and panel.settings.fire_hours == 1
    panel.keep()
    Notebook.use(in_us)
    assert "gives air for" in panel.words.value and "gives air for" in panel.image.value
    assert panel.picture.key == s.SCENE.picture(ran, panel.result, None, US).key
    Notebook.use(METRIC)
    panel.reset()
    assert panel.trouble == "" and panel.plain_text == shown


def test_a_curve_that_is_kept_is_of_the_full_march():
    async def drag():
        panel = panels.draw_down()
        panel.fields["masonry_kg"].value = 400
        quick = panel.result
        panel.keep()
        return panel, quick
    panel, quick = asyncio.run(drag())
    assert panel.kept is not quick and panel.settled
    full = s.run(replace(DAY, masonry_kg=400))
    assert np.array_equal(panel.kept.table.hearth_bake_c, full.table.hearth_bake_c)


def test_a_panel_draws_another_kind_of_picture_when_asked():
    panel = panels.charge()
    day = panel.png
    panel.set(replace(panel.settings, view="through the depth"))
    assert panel.png != day and len(panel.figures) == 2
