"""Lesson 04 in real JupyterLab: every control moves the numbers as `run_day` says it should."""

import os
import secrets
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import ovenkit as ok
from ovenkit.panels import drawing as s

NOTEBOOKS = Path(__file__).resolve().parent.parent / "notebooks"
LESSON = "04_draw_it_down.ipynb"
BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))),
               None)
if os.environ.get("OVENKIT_BROWSER") == "required":
    assert BROWSER, "OVENKIT_BROWSER=required, and no chromium or chrome is on the path"
pytestmark = [pytest.mark.browser, pytest.mark.skipif(
    BROWSER is None, reason="no chromium or chrome found: the lesson was not tried in a browser")]
PANEL = ".ovk-panel:has-text('Order: 1 goes in first')"


@pytest.fixture(scope="module")
def page(tmp_path_factory):
    """Lesson 04, open in JupyterLab and run from its menu."""
    playwright = pytest.importorskip("playwright.sync_api")
    home = tmp_path_factory.mktemp("lab")
    shutil.copy(NOTEBOOKS / LESSON, home / LESSON)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    token = secrets.token_hex(16)
    env = os.environ | {name: str(home / name.lower()) for name in (
        "JUPYTER_CONFIG_DIR", "JUPYTER_RUNTIME_DIR", "JUPYTERLAB_SETTINGS_DIR",
        "JUPYTERLAB_WORKSPACES_DIR", "IPYTHONDIR")}
    every_cell = home / "jupyterlab_settings_dir/@jupyterlab/notebook-extension"
    every_cell.mkdir(parents=True)    # cells out of sight are drawn too
    (every_cell / "tracker.jupyterlab-settings").write_text('{"windowingMode": "none"}')
    log = open(home / "server.log", "w")
    server = subprocess.Popen(
        [sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root",
         "--ip=127.0.0.1", f"--port={port}", f"--IdentityProvider.token={token}",
         f"--ServerApp.root_dir={home}", "--LabApp.news_url="],
        env=env, cwd=home, stdout=log, stderr=subprocess.STDOUT)
    try:
        _wait_for(f"http://127.0.0.1:{port}/api/status?token={token}", server, home / "server.log")
        with playwright.sync_playwright() as p:
            browser = p.chromium.launch(executable_path=BROWSER, args=[
                "--no-sandbox", "--disable-gpu", "--disable-background-networking"])
            tab = browser.new_page(viewport={"width": 1366, "height": 768})
            tab.set_default_timeout(90_000)
            tab.errors = []
            tab.on("pageerror", lambda error: tab.errors.append(str(error)))
            tab.goto(f"http://127.0.0.1:{port}/lab/tree/{LESSON}?token={token}")
            tab.locator(".jp-NotebookPanel").wait_for()
            tab.get_by_text("| Idle").first.wait_for()   # the kernel; before, widgets stay pictures
            tab.wait_for_timeout(1000)
            tab.locator(".lm-MenuBar-item:has-text('Run')").click()
            tab.locator(".lm-Menu-item:has-text('Run All Cells')").first.click()
            tab.locator(f"{PANEL} .ovk-words").first.wait_for()
            yield tab
            browser.close()
    finally:
        server.terminate()
        server.wait(20)
        log.close()


def _wait_for(url, server, log):
    for _ in range(600):
        assert server.poll() is None, log.read_text()[-2000:]
        try:
            urllib.request.urlopen(url, timeout=2).read()
            return
        except OSError:
            time.sleep(0.1)
    raise AssertionError("JupyterLab did not start")


class Panel:
    """The panel on the page, by its labels and its words."""

    def __init__(self, page):
        self.page = page
        self.root = page.locator(PANEL).first
        self.words = self.root.locator(".ovk-words").first

    @property
    def revision(self):
        return int(self.words.get_attribute("data-revision"))

    @property
    def key(self):
        return self.words.locator(".ovk-key").inner_text()

    def after(self, act):
        """Do something, and wait until the words that follow it are there."""
        before = self.revision
        act()
        for _ in range(600):
            if self.revision > before:
                seen = self.revision
                self.page.wait_for_timeout(1500)    # a quick look first, then the full march
                if self.revision == seen:
                    return self.key if self.words.locator(".ovk-key").count() else None
            self.page.wait_for_timeout(50)
        raise AssertionError("the panel did not answer")

    def type(self, label, value):
        """Type a number into the box with that label, and press Enter."""
        box = self.root.locator("input[type=number]").and_(
            self.page.get_by_label(label, exact=True)).first
        box.scroll_into_view_if_needed()

        def act():
            box.fill(str(value))
            box.press("Enter")
        return self.after(act)


def expected(settings):
    """Key numbers and line straight from run_day."""
    day = ok.run_day(s.oven(settings), s.steps(settings), outdoor_c=settings.outdoor_c)
    numbers = s.key_numbers(day)
    return numbers, s.key_line(numbers)


@pytest.fixture
def panel(page):
    panel = Panel(page)
    panel.after(panel.root.get_by_role("button", name="Reset").click)
    return panel


def test_it_opens_with_the_stored_numbers_and_no_error(page, panel):
    assert panel.key == expected(s.DrawDown())[1]
    assert page.locator(".jp-OutputArea-output[data-mime-type*='error']").count() == 0
    assert page.errors == []
    assert "hearth" in panel.root.locator("img").first.get_attribute("alt")


@pytest.mark.parametrize(("label", "field", "value", "number", "sign"), [
    ("Masonry, kg", "masonry_kg", 500, "hearth_first_c", -1),
    ("Oven inside, cm", "inside_cm", 95, "hearth_first_c", -1),
    ("Wood, kg", "wood_kg", 9, "hearth_first_c", -1),
    ("Fire, hours", "fire_hours", 3, "hearth_first_c", -1),
    ("Settle, minutes", "settle_minutes", 60, "hearth_first_c", -1),
    ("Weather, °C", "outdoor_c", -10, "hearth_last_c", -1)])
def test_a_quantity_moves_the_numbers_the_right_way(panel, label, field, value, number, sign):
    if field in ("fire_hours", "settle_minutes", "outdoor_c"):
        _open_more(panel)
    before, _ = expected(s.DrawDown())
    after, line = expected(replace(s.DrawDown(), **{field: value}))
    assert panel.type(label, value) == line
    assert np.sign(after[number] - before[number]) == sign


@pytest.mark.parametrize("turn", s.MENU, ids=lambda turn: turn.load)
def test_every_load_can_go_first_or_last_and_none_is_lost(panel, turn):
    place = len(s.MENU) if s.MENU[0].load == turn.load else 1
    turns = s.move(s.MENU, turn.load, place)
    assert panel.type(turn.load, place) == expected(replace(s.DrawDown(), turns=turns))[1]
    shown = panel.words.locator("li b").all_inner_texts()
    assert [text.split(":")[0] for text in shown] == [t.load for t in turns]


def _open_more(panel):
    more = panel.root.get_by_text("More: fire, weather, each load")
    if not panel.root.get_by_label("Fire, hours", exact=True).last.is_visible():
        more.click()
    panel.root.get_by_label("Fire, hours", exact=True).last.wait_for()


def test_count_minutes_cooling_and_door_of_a_load(panel):
    _open_more(panel)
    turns = s.MENU
    for label, field, value in (("pieces", "count", 2), ("minutes", "minutes", 30),
                                ("cool, min", "cool_minutes", 45)):
        turns = s.change(turns, "hearth loaf", **{field: value})
        line = expected(replace(s.DrawDown(), turns=turns))[1]
        assert panel.type(f"hearth loaf: {label}", value) == line
    turns = s.change(turns, "hearth loaf", door="ajar")
    box = panel.root.get_by_label("hearth loaf: door", exact=True)
    line = panel.after(lambda: box.select_option("ajar"))
    assert line == expected(replace(s.DrawDown(), turns=turns))[1]


def test_keys_and_mouse_move_a_slider(panel):
    handle = panel.root.locator(".noUi-handle").first

    def keys():
        handle.focus()
        panel.page.keyboard.press("ArrowLeft")
    line = panel.after(keys)
    assert line == expected(replace(s.DrawDown(), masonry_kg=310))[1]

    def drag():
        handle.scroll_into_view_if_needed()
        at = handle.bounding_box()
        x, y = at["x"] + at["width"] / 2, at["y"] + at["height"] / 2
        panel.page.mouse.move(x, y)
        panel.page.mouse.down()
        for step in range(1, 6):
            panel.page.mouse.move(x + 8 * step, y)
        panel.page.mouse.up()
    line = panel.after(drag)
    panel.page.wait_for_timeout(500)
    mass = float(panel.root.locator("input[type=number]").first.input_value())
    assert mass > 310
    assert panel.key == expected(replace(s.DrawDown(), masonry_kg=mass))[1]


def test_a_day_that_cannot_be_run_says_why_and_keeps_the_picture(panel):
    _open_more(panel)
    picture = panel.root.locator("img").first.get_attribute("src")
    assert panel.type("hearth loaf: pieces", 40) is None
    assert "fit at once" in panel.words.inner_text()
    assert panel.root.locator("img").first.get_attribute("src") == picture


def test_a_kept_curve_stays_and_is_dropped(panel):
    image = panel.root.locator("img").first
    plain = image.get_attribute("src")
    panel.after(panel.root.get_by_role("button", name="Keep this curve").click)
    assert image.get_attribute("src") != plain
    panel.after(panel.root.get_by_role("button", name="Drop the kept curve").click)
    assert image.get_attribute("src") == plain


def test_a_guess_stays_on_the_chart(page):
    first = page.locator(".ovk-panel:has-text('That is my guess')").first
    first.get_by_role("button", name="That is my guess").click()
    first.locator(".ovk-key:has-text('You said 250')").wait_for()
    assert "Your guess of 250" in first.locator("img").first.get_attribute("alt")
