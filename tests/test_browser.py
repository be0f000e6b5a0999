"""Every lesson in real JupyterLab: each control, guess and question, as the pure functions say."""

import os
import re
import shutil
from dataclasses import replace

import nbformat
import pytest
from lab import BROWSER, NOTEBOOKS, Lesson, Panel, serve

import ovenkit as ok
from ovenkit.files import InputError
from ovenkit.panels import drawing, scenes
from ovenkit.units import METRIC, US

if os.environ.get("OVENKIT_BROWSER") == "required":
    assert BROWSER, "OVENKIT_BROWSER=required, and no chromium or chrome is on the path"
pytestmark = [pytest.mark.browser, pytest.mark.skipif(
    BROWSER is None, reason="no chromium or chrome found: the lessons were not tried in a browser")]
LESSONS = sorted(path.name for path in NOTEBOOKS.glob("*.ipynb"))
CALL = re.compile(rf"panels\.({'|'.join(scenes.MODULES)})\(")
PANEL = re.compile(r"panels\.(?!units\b)\w+\(")     # what counts what it has shown


def code(lesson):
    cells = nbformat.read(NOTEBOOKS / lesson, as_version=4).cells
    return "\n".join(cell.source for cell in cells if cell.cell_type == "code")


def calls(lesson, call):
    """The names with which a lesson calls panels.guess or panels.ask."""
    return re.findall(rf'panels\.{call}\("([^"]+)"', code(lesson))


@pytest.fixture(scope="module")
def lab(tmp_path_factory):
    """A browser tab, and the address of a JupyterLab with all lessons."""
    playwright = pytest.importorskip("playwright.sync_api")
    home = tmp_path_factory.mktemp("lab")
    for name in LESSONS:
        shutil.copy(NOTEBOOKS / name, home / name)
    with serve(home) as (address, token), playwright.sync_playwright() as p:
        browser = p.chromium.launch(executable_path=BROWSER, args=[
            "--no-sandbox", "--disable-gpu", "--disable-background-networking"])
        yield browser, address, token
        browser.close()


@pytest.fixture(scope="module")
def opened(lab):
    """Lessons that are open, by name; one at a time, for memory's sake."""
    browser, *where = lab
    now = {}

    def open_lesson(name):
        if name not in now:
            for lesson in now.values():
                lesson.close()
            now.clear()
            tab = browser.new_page(viewport={"width": 1366, "height": 768})
            tab.set_default_timeout(90_000)
            now[name] = Lesson(tab, *where, name, len(PANEL.findall(code(name))))
        return now[name]
    return open_lesson


@pytest.fixture
def lesson(opened, request):
    return opened(request.param)


@pytest.fixture
def board(lesson):
    panel = lesson.board()
    panel.press("Reset")
    return panel


def expected(scene, settings):
    """Key line straight from the pure functions, or None where they refuse."""
    try:
        return scene.picture(settings, scene.run(settings)).key
    except InputError:
        return None


def scenes_of(lesson):
    """The scenes of a lesson's panels with controls, in their order."""
    return [scenes.module(name).SCENE for name in CALL.findall(code(lesson))]


def scene_of(lesson):
    return scenes_of(lesson)[0]


FIELDS = [pytest.param(lesson, i, field, id=f"{lesson[:2]} {scene.name} {field.name}")
          for lesson in LESSONS for i, scene in enumerate(scenes_of(lesson))
          for field in scene.fields]


@pytest.mark.parametrize("lesson", LESSONS, indirect=True)
def test_it_runs_without_an_error(lesson, request):
    name = request.node.callspec.params["lesson"]
    assert lesson.board().key == expected(scene_of(name), scene_of(name).start)
    assert lesson.page.locator(".jp-OutputArea-output[data-mime-type*='error']").count() == 0
    assert lesson.errors == []
    for panel in lesson.panels():
        for image in panel.root.locator("img").all():
            assert len(image.get_attribute("alt")) > 40


@pytest.mark.parametrize(("lesson", "i", "field"), FIELDS, indirect=["lesson"])
def test_every_control_shows_what_is_computed(lesson, i, field, request):
    scene = scenes_of(request.node.callspec.params["lesson"])[i]
    board = Panel(lesson.page, lesson.page.locator(
        ".ovk-panel:has(button:text-is('Reset'))").nth(i))
    board.press("Reset")
    now = getattr(scene.start, field.name)
    if field.choices:
        value = next(choice for choice in field.choices[::-1] if choice != now)
    else:
        value = now + 4 * field.step if now + 4 * field.step <= field.high else now - field.step
    if field.more:
        board.open_more()
    assert board.type(field.words(), value) == expected(
        scene, replace(scene.start, **{field.name: value}))


@pytest.mark.parametrize(("lesson", "name"), [
    (lesson, name) for lesson in LESSONS for name in calls(lesson, "guess")], indirect=["lesson"])
def test_a_guess_stays_on_the_chart(lesson, name):
    guess = scenes.named("guess", name)
    panel = lesson.panels(METRIC.words(guess.question))[0]
    assert "Say a number" in panel.key
    hidden = panel.image.get_attribute("src")
    line = panel.press("That is my guess")
    assert line.startswith("You said") and panel.image.get_attribute("src") != hidden
    answer = guess.say(guess.answer(guess.scene.run(guess.settings)))
    if "{answer}" in guess.why:
        assert answer in line
    assert "Your guess of" in panel.image.get_attribute("alt")
    assert "You said" not in panel.press("Show me without guessing")


@pytest.mark.parametrize(("lesson", "name", "oven"), [
    (lesson, name, oven or "rowan") for lesson in LESSONS for name, oven in re.findall(
        r'panels\.ask\("([^"]+)"(?:, oven="([^"]+)")?', code(lesson))], indirect=["lesson"])
def test_a_question_is_marked(lesson, name, oven):
    question = scenes.named("question", name)
    panel = lesson.panels(METRIC.words(question.text))[0]
    answer = question.answer(ok.read_oven(oven))
    if question.choices:
        panel.root.get_by_label(str(answer), exact=True).check()
    else:
        box = panel.root.locator("input[type=number]").first
        box.fill(f"{answer:.{question.digits}f}")
        box.press("Enter")
    panel.page.wait_for_timeout(200)
    panel.press("Check my answer")
    assert "Right" in panel.words.inner_text()


@pytest.mark.parametrize("lesson", LESSONS, indirect=True)
def test_kept_and_dropped_and_reset(board):
    image = board.image
    plain, key = image.get_attribute("src"), board.key
    board.press("Keep this")
    board.press("Drop what is kept")
    assert image.get_attribute("src") == plain and board.key == key


@pytest.mark.parametrize("lesson", LESSONS, indirect=True)
def test_one_switch_turns_the_whole_page(board, lesson, request):
    scene = scene_of(request.node.callspec.params["lesson"])
    def switch(name):
        lesson.page.locator(f'button[title="Charts speak in: {name}"]').click()
    board.after(lambda: switch("°F, lb, in"))
    assert board.key == scene.picture(scene.start, scene.run(scene.start), None, US).key
    board.after(lambda: switch("°C, kg, cm"))
    assert board.key == expected(scene, scene.start)


@pytest.mark.parametrize("lesson", LESSONS, indirect=True)
def test_every_control_is_reached_and_moved_by_keys_alone(board, lesson, request):
    """Tab from the top of the page to its end, and move whatever stands there by a key."""
    moved, answered = lesson.tab_through()
    for scene in scenes_of(request.node.callspec.params["lesson"]):
        for field in scene.fields:
            for name in () if field.more else field.choices or ("",):
                label = f"{field.label}: {name}" if name else field.words()
                assert label in moved, "; ".join(moved)
                assert label in answered or name == getattr(scene.start, field.name), answered
    assert {"Reset", "Keep this"} <= set(answered)
    name = request.node.callspec.params["lesson"]
    assert moved.count("That is my guess") == len(calls(name, "guess"))
    assert moved.count("Check my answer") == len(calls(name, "ask"))


@pytest.mark.parametrize("lesson", LESSONS, indirect=True)
def test_nothing_serious_is_found_by_axe(lesson):
    """axe-core over what we draw; slider handles have no name in ipywidgets, their boxes have."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    found = axe.Axe().run(lesson.page, context={"include": [[".ovk-panel"]],
                                                "exclude": [[".noUi-handle"]]}).response
    bad = [(row["id"], node["html"][:200]) for row in found["violations"]
           for node in row["nodes"] if row["impact"] in ("serious", "critical")]
    assert not bad
    assert found["passes"]


@pytest.mark.parametrize("lesson", LESSONS, indirect=True)
def test_no_label_is_cut_off(board, lesson):
    board.open_more()
    board.page.wait_for_timeout(500)
    cut = lesson.page.evaluate("""() => [...document.querySelectorAll('.ovk-panel label')]
        .filter(e => e.offsetParent && !e.closest('.ovk-number, .ovk-typed') && e.scrollWidth > e.clientWidth)
        .map(e => e.textContent)""")
    assert not cut


DRAW_DOWN = [name for name in LESSONS if "panels.draw_down(" in code(name)]


@pytest.mark.parametrize("turn", drawing.MENU, ids=lambda turn: turn.load)
@pytest.mark.parametrize("lesson", DRAW_DOWN, indirect=True)
def test_every_load_can_go_first_or_last_and_none_is_lost(board, turn):
    place = len(drawing.MENU) if drawing.MENU[0].load == turn.load else 1
    turns = drawing.move(drawing.MENU, turn.load, place)
    assert board.type(turn.load, place) == expected(
        drawing.SCENE, replace(drawing.DrawDown(), turns=turns))
    shown = board.words.locator("li b").all_inner_texts()
    assert [text.split(":")[0] for text in shown] == [t.load for t in turns]


@pytest.mark.parametrize("lesson", DRAW_DOWN, indirect=True)
def test_count_minutes_cooling_and_door_of_a_load(board):
    board.open_more()
    turns = drawing.MENU
    for label, field, value in (("pieces", "count", 2), ("minutes", "minutes", 30),
                                ("cool, min", "cool_minutes", 45), ("door", "door", "ajar")):
        turns = drawing.change(turns, "hearth loaf", **{field: value})
        assert board.type(f"hearth loaf: {label}", value) == expected(
            drawing.SCENE, replace(drawing.DrawDown(), turns=turns))


@pytest.mark.parametrize("lesson", DRAW_DOWN, indirect=True)
def test_a_slider_is_dragged(board):
    handle = board.root.locator(".noUi-handle").first

    def drag():
        handle.scroll_into_view_if_needed()
        at = handle.bounding_box()
        x, y = at["x"] + at["width"] / 2, at["y"] + at["height"] / 2
        board.page.mouse.move(x, y)
        board.page.mouse.down()
        for step in range(1, 6):
            board.page.mouse.move(x + 8 * step, y)
        board.page.mouse.up()
    board.after(drag)
    mass = float(board.box("Masonry, kg").input_value())
    assert mass > 320
    board.settle()
    assert board.key == expected(drawing.SCENE, replace(drawing.DrawDown(), masonry_kg=mass))


@pytest.mark.parametrize("lesson", DRAW_DOWN, indirect=True)
def test_a_day_that_cannot_be_run_says_why_over_the_picture(board):
    board.open_more()
    picture = board.image.get_attribute("src")
    assert board.type("hearth loaf: pieces", 40) is None
    assert "fit at once" in board.words.inner_text()
    assert "fit at once" in board.root.locator(".ovk-image").inner_text()
    assert board.image.get_attribute("src") == picture


SCROLLED = """() => [...document.querySelectorAll('.ovk-panel, .ovk-panel *')].filter(e =>
    ['auto', 'scroll'].includes(getComputedStyle(e).overflowX) && e.tagName != 'TEXTAREA'
    && e.scrollWidth > e.clientWidth + 1).map(e => e.textContent.slice(0, 60))"""


@pytest.mark.parametrize("lesson", LESSONS, indirect=True)
def test_no_bar_to_scroll_with_looks_like_a_slider(lesson):
    for panel in lesson.panels():
        if panel.root.locator(".jupyter-widget-Collapse-header, .jp-Collapse-header").count():
            panel.open_more()
    assert lesson.page.evaluate(SCROLLED) == []


OWN_DAY = [name for name in LESSONS if "panels.own_day(" in code(name)]


@pytest.mark.parametrize("lesson", OWN_DAY, indirect=True)
def test_a_day_of_ones_own_is_typed_planned_printed_and_put_right(lesson):
    panel = lesson.panels("On the day,")[0]
    words = panel.root.locator("textarea")
    example = words.input_value()
    words.fill(example.replace("hearth loaf", "hearth loag"))
    name = panel.root.get_by_label("Kept in", exact=True)
    name.fill("by_keys")
    plan = panel.root.get_by_role("button", name="Plan it", exact=True)
    plan.click()
    panel.words.get_by_text("by_keys.toml line 6").wait_for()
    assert "did you mean 'hearth loaf'" in panel.words.inner_text()
    words.fill(example)
    plan.click()
    panel.words.get_by_text("4 of 4 come out good").wait_for()
    panel.root.get_by_role("button", name="Write the sheet").click()
    panel.words.get_by_text("Written: by_keys_sheet.pdf and by_keys_plan.csv").wait_for()
    panel.root.get_by_label("Read at", exact=True).fill("11:05")
    panel.root.get_by_label("Hearth, °C", exact=True).fill("190")
    mended = panel.root.locator("[data-revision]").last
    panel.root.get_by_role("button", name="Put the day right").click()
    mended.get_by_text("under the plan").first.wait_for()
    panel.root.get_by_role("button", name="I do so").click()
    mended.get_by_text("held against this").first.wait_for()
    words.fill(example + "# changed\n")
    panel.words.get_by_text("press Plan it again").wait_for()
    panel.root.locator("button:disabled").get_by_text("Write the sheet").wait_for()
    assert lesson.errors == []


LOGBOOK = [name for name in LESSONS if "panels.logbook(" in code(name)]


@pytest.mark.parametrize("lesson", LOGBOOK, indirect=True)
def test_a_page_of_the_log_book_is_typed_by_keys_and_kept(lesson):
    panel = lesson.panels("What oven is it?")[0]
    keys, page = lesson.page.keyboard, lesson.page
    panel.root.get_by_label("Lit at", exact=True).focus()
    panel.after(lambda: (keys.type("6:30"), keys.press("Tab")))

    def typed(time, place, words):
        page.get_by_label("Time", exact=True).focus()
        keys.type(time)
        keys.press("Tab")
        choice = panel.root.locator(f'button[title="Where: {place}"]')
        choice.focus()
        keys.press("Space")
        page.wait_for_timeout(400)
        said = panel.root.get_by_label("What was done" if place == "something done"
                                       else "Reading, °C", exact=True)
        said.focus()
        keys.type(words)
        keys.press("Tab")
        add = panel.root.get_by_role("button", name="Add", exact=True)
        add.focus()
        panel.after(lambda: keys.press("Space"))
        panel.root.get_by_label("Time", exact=True).fill("")
    typed("9:00", "something done", "raked out")
    typed("9:10", "hearth", "325")
    assert "2 entries, kept in log_" in panel.key
    typed("9:20", "hearth", "3Z5")
    assert "'3Z5'" in panel.words.inner_text() and "2 entries" in panel.key
    found = panel.root.locator("[role=status]").last
    assert "the fire has no wood" not in found.inner_text()     # whatever was pressed before
    panel.root.get_by_role("button", name="Find my oven").click()
    page.wait_for_timeout(1500)
    assert "the fire has no wood" in found.inner_text()
    assert lesson.errors == []
