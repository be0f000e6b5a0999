"""A real JupyterLab with a real browser on it, for the tests that need one."""

import os
import secrets
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from contextlib import contextmanager
from pathlib import Path

NOTEBOOKS = Path(__file__).resolve().parent.parent / "notebooks"
BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))),
               None)


@contextmanager
def serve(home):
    """Serve the folder `home` by JupyterLab; gives (address, token)."""
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
    with open(home / "server.log", "w") as log:
        server = subprocess.Popen(
            [sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root",
             "--ip=127.0.0.1", f"--port={port}", f"--IdentityProvider.token={token}",
             f"--ServerApp.root_dir={home}", "--LabApp.news_url="],
            env=env, cwd=home, stdout=log, stderr=subprocess.STDOUT)
        try:
            _wait_for(f"http://127.0.0.1:{port}/api/status?token={token}", server,
                      home / "server.log")
            yield f"http://127.0.0.1:{port}", token
        finally:
            server.terminate()
            server.wait(20)


def _wait_for(url, server, log):
    for _ in range(600):
        assert server.poll() is None, log.read_text()[-2000:]
        try:
            urllib.request.urlopen(url, timeout=2).read()
            return
        except OSError:
            time.sleep(0.1)
    raise AssertionError("JupyterLab did not start")


KEYS = {"slider": ["ArrowRight"], "number": ["ArrowUp", "Enter"], "radio": ["Space"],
        "button": ["Space"]}
WHERE = """() => {
    const e = document.activeElement, panel = e && e.closest('.ovk-panel');
    if (!panel) return null;
    const kind = e.classList.contains('noUi-handle') ? 'slider'
        : e.tagName == 'BUTTON' ? 'button' : e.type || e.tagName.toLowerCase();
    const box = e.closest('.widget-inline-hbox, .jupyter-widgets');
    const words = panel.querySelector('[data-revision]');
    const label = kind == 'button' ? e.title.includes(': ') ? e.title : e.textContent
        : e.labels && e.labels.length ? e.labels[0].textContent
        : box && box.querySelector('label') ? box.querySelector('label').textContent : '';
    return {kind, label: label.trim(), board: panel.textContent.includes('Reset'),
            revision: words ? +words.dataset.revision : 0};
}"""
PANELS_BELOW = """() => {
    const all = [...document.querySelectorAll('.ovk-panel input, .ovk-panel button')];
    const here = document.activeElement;
    return all.some(e => e.offsetParent
        && here.compareDocumentPosition(e) & Node.DOCUMENT_POSITION_FOLLOWING);
}"""


class Lesson:
    """A lesson open in JupyterLab and run from its menu, until so many panels are there."""

    def __init__(self, tab, address, token, name, panels):
        self.page = tab
        self.errors = []
        tab.on("pageerror", lambda error: self.errors.append(str(error)))
        tab.goto(f"{address}/lab/tree/{name}?token={token}&reset")
        tab.locator(".jp-NotebookPanel").wait_for()
        tab.get_by_text("| Idle").first.wait_for()   # the kernel; before, widgets stay pictures
        tab.wait_for_timeout(1000)
        tab.locator(".lm-MenuBar-item:has-text('Run')").click()
        tab.locator(".lm-Menu-item:has-text('Run All Cells')").first.click()
        tab.wait_for_function(
            f"() => document.querySelectorAll('[data-revision]').length >= {panels}")
        tab.wait_for_timeout(500)

    def close(self):
        """Shut the kernel down and close the tab."""
        self.page.evaluate("""async () => {
            const root = JSON.parse(document.getElementById('jupyter-config-data').textContent);
            const head = {headers: {Authorization: `token ${root.token}`}};
            const api = root.baseUrl + 'api/kernels';
            for (const kernel of await (await fetch(api, head)).json())
                await fetch(`${api}/${kernel.id}`, {method: 'DELETE', ...head});
        }""")
        self.page.close()

    def tab_through(self, most=600):
        """Press Tab from the first panel to the last, and move what is there by a key; gives the
        labels of what was moved, in their order, and of those to which the board answered."""
        moved, answered = [], []
        self.page.locator(".ovk-panel:has([data-revision])").first.locator(
            "input, button").first.focus()
        for _ in range(most):
            here = self.page.evaluate(WHERE)
            if here is None and moved and not self.page.evaluate(PANELS_BELOW):
                break
            if here:
                for key in KEYS.get(here["kind"], ()):
                    self.page.keyboard.press(key)
                    self.page.wait_for_timeout(60)
                for _ in range(90 if here["board"] and here["kind"] in KEYS else 0):
                    now = self.page.evaluate(WHERE)
                    if now and now["revision"] > here["revision"]:
                        answered.append(here["label"])
                        break
                    self.page.wait_for_timeout(50)
                moved.append(here["label"])
            self.page.keyboard.press("Tab")
        return moved, answered

    def panels(self, words=""):
        """The panels that hold some words, in their order."""
        found = self.page.locator(".ovk-panel").filter(has_text=words)
        return [Panel(self.page, found.nth(i)) for i in range(found.count())]

    def board(self):
        """The panel with the controls."""
        return Panel(self.page, self.page.locator(".ovk-panel:has(button:text-is('Reset'))").first)


class Panel:
    """A panel on the page, by its labels and its words."""

    def __init__(self, page, root):
        self.page, self.root = page, root
        self.words = root.locator("[data-revision]").first
        self.image = root.locator("img").first

    @property
    def revision(self):
        return int(self.words.get_attribute("data-revision"))

    @property
    def key(self):
        """The key line, or None where the panel says what is wrong."""
        line = self.words.locator(".ovk-key")
        return line.inner_text() if line.count() else None

    def after(self, act):
        """Do something, and wait until all that follows from it is shown; gives the key line."""
        before = self.revision
        act()
        for _ in range(600):
            if self.revision > before and self.words.get_attribute("data-settled") != "false":
                return self.key
            self.page.wait_for_timeout(50)
        raise AssertionError("the panel did not answer")

    def settle(self):
        """Wait until no finer look follows."""
        self.page.wait_for_timeout(300)
        for _ in range(600):
            if self.words.get_attribute("data-settled") != "false":
                return
            self.page.wait_for_timeout(50)

    def box(self, label):
        """The number box with that label."""
        return self.root.locator("input[type=number]").and_(
            self.page.get_by_label(label, exact=True)).first

    def type(self, label, value):
        """Type a number into the box with that label and press Enter, or choose a word."""
        if isinstance(value, str):
            return self.after(self.root.locator(f'button[title="{label}: {value}"]').click)
        box = self.box(label)
        box.scroll_into_view_if_needed()

        def act():
            box.fill(f"{value:g}")
            box.press("Enter")
        return self.after(act)

    def press(self, button):
        """Press a button, and wait for what follows."""
        return self.after(self.root.get_by_role("button", name=button).click)

    def open_more(self):
        """Open what stands under 'more', if anything does and it is closed."""
        more = self.root.locator(".jupyter-widget-Collapse-header").first
        if more.count() and "open" not in (self.root.get_attribute("data-more") or ""):
            more.click()
            self.root.evaluate("panel => panel.dataset.more = 'open'")
