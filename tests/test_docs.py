"""What README and DEVELOPERS say is so: examples, commands, pictures, files, the lock."""

import io
import os
import re
import shutil
import subprocess
import sys
import tomllib
from importlib.metadata import distribution
from pathlib import Path

import numpy as np
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

import ovenkit as ok
from ovenkit.__main__ import main
from ovenkit.keeping import read_fit
from ovenkit.loads import load_catalogue

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
NUMBER = r"-?\d+(?:\.\d+)?"


def blocks(language):
    """The fenced blocks of README in a language."""
    return re.findall(rf"```{language}\n(.*?)```", README, re.S)


def requirements(file):
    """The lines of a requirements file that name a package."""
    lines = (line.split("#")[0].strip() for line in (ROOT / file).read_text().splitlines())
    return [Requirement(line) for line in lines if line and not line.startswith("-")]


def same(text, other, within):
    """Whether two texts have the same words, and numbers that differ by `within` at most."""
    numbers = [[float(n) for n in re.findall(NUMBER, t)] for t in (text, other)]
    words = [re.sub(NUMBER, "#", t).split() for t in (text, other)]
    return words[0] == words[1] and np.allclose(*numbers, rtol=0, atol=within)


def test_same_tells_texts_apart():
    assert same("hearth 269 good", "hearth  270 good", 1)
    assert not same("hearth 269 good", "hearth 271 good", 1)
    assert not same("hearth 269 good", "hearth 269 dark", 1)


def test_the_example_prints_what_readme_says():
    code, = blocks("python")
    stated, = blocks("text")
    assert len(code.splitlines()) == 5
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert same(done.stdout, stated, within=2), done.stdout  # degC; verdicts as stated


def test_each_load_of_the_example_takes_longer():
    oven = ok.domed_oven(inside_cm=80, masonry_kg=320)
    loads = [ok.Bake("hearth loaf", 6), ok.Bake("tin loaf", 5), ok.Bake("tray of roots")]
    bakes = ok.run_day(oven, [ok.Fire(hours=2, wood_kg=11), ok.Settle(minutes=30), *loads]).bakes
    assert (np.diff(bakes.hearth_in_c) < 0).all() and (np.diff(bakes.out_h - bakes.in_h) > 0).all()


def test_the_picture_and_its_words_are_of_the_lesson_as_it_opens():
    from PIL import Image

    from ovenkit.figures.day import DayFigure
    from ovenkit.panels.drawing import DrawDown, picture, run

    (alt, file), = re.findall(r"!\[(.*?)\]\((.*?)\)", README, re.S)
    now = picture(DrawDown(), run(DrawDown()))
    assert same(alt, now.alt, within=3), now.alt
    stored, drawn = (np.asarray(Image.open(data).convert("RGB"), int)
                     for data in (ROOT / file, io.BytesIO(DayFigure().png(now))))
    assert stored.shape == drawn.shape
    differs = (abs(stored - drawn).max(-1) > 10).mean()
    assert differs < 0.02  # a curve that moved or a band that changed; fonts differ by less


def test_links_lead_somewhere():
    for page in ("README.md", "DEVELOPERS.md", "data/README.md"):
        text = (ROOT / page).read_text(encoding="utf-8")
        for link in re.findall(r"\]\(([^)#]+)\)", text):
            assert (ROOT / page).parent.joinpath(link).exists(), f"{page}: {link}"
        for link in re.findall(r"`((?:notebooks|ovenkit|data|tests|binder)/[\w./-]*)`", text):
            assert (ROOT / link).exists(), f"{page}: {link}"


def test_commands_name_files_and_programs_that_exist():
    assert len(blocks("bash")) == 3
    for command in blocks("bash"):
        for file in re.findall(r"\S*\w\.(?:ipynb|txt|toml)\b", command):
            assert (ROOT / file).is_file() or file == "my_day.toml", file
        for program in re.findall(r"\.venv/bin/(\w+)", command):
            owner = {"jupyter": "jupyter_core", "pytest": "pytest", "pip": "pip"}.get(program)
            assert program == "python" or any(
                e.name == program for e in distribution(owner).entry_points), program


def test_windows_lines_are_the_same_commands():
    linux, windows = blocks("bash")[:2], blocks("powershell")
    for line, lines in zip(linux, windows, strict=True):
        line = line.strip().replace(".venv/bin/", ".venv/Scripts/").replace("python3 -m", "py -m")
        assert lines.strip().replace("\\", "/").splitlines() == line.split(" && ")


def test_ci_runs_the_very_test_command():
    script = ROOT / ".ci" / "run"
    text = script.read_text()
    assert blocks("bash")[1].strip() in text.splitlines()
    assert "OVENKIT_BROWSER=required" in text and "http" not in text
    assert os.name == "nt" or os.access(script, os.X_OK)


def test_the_package_asks_for_no_more_than_requirements():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    asked = {str(r) for r in requirements("requirements.txt")}
    assert {str(Requirement(line)) for line in project["dependencies"]} <= asked
    assert len(asked) == 8 and "-e ." in (ROOT / "requirements.txt").read_text().splitlines()
    assert project["requires-python"] == ">=3.11"


def test_the_lock_is_whole_and_within_the_ranges():
    lines = (ROOT / "binder" / "requirements.txt").read_text().splitlines()
    assert not [line for line in lines if line.startswith("-")]
    lock = {canonicalize_name(r.name): r for r in requirements("binder/requirements.txt")}
    assert all(re.fullmatch(r"==[\w.]+", str(r.specifier)) for r in lock.values())
    needed = [r for r in requirements("requirements.txt") if r.name not in ("nbval", "pytest")]
    seen = set()
    while needed:  # and all that those need in turn, where the locked release is at hand
        need = needed.pop()
        name = canonicalize_name(need.name)
        if name in seen or (need.marker and not need.marker.evaluate({"extra": ""})):
            continue
        seen.add(name)
        if name not in lock:
            assert sys.version_info[:2] != (3, 11) or sys.platform != "linux", f"{name}: no lock"
            continue
        locked = str(lock[name].specifier)[2:]
        assert need.specifier.contains(locked), f"{need}, but {locked} is locked"
        if distribution(need.name).version == locked:
            needed += [Requirement(line) for line in distribution(need.name).requires or ()]
    assert len(seen) >= 6


def test_binder_installs_the_package_on_a_python_it_runs_on():
    folder = ROOT / "binder"
    assert (folder / "runtime.txt").read_text().strip() in (
        "python-3.11", "python-3.12", "python-3.13", "python-3.14")
    assert "pip install --no-deps ." in (folder / "postBuild").read_text().splitlines()
    assert os.name == "nt" or os.access(folder / "postBuild", os.X_OK)


def test_the_house_in_the_developers_page_is_the_one_that_stands():
    page = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    house = re.search(r"```\n(.*?)```", page, re.S)[1]
    for module in (ROOT / "ovenkit").glob("*.py"):
        if module.stem != "__init__":
            assert len(re.findall(rf"\b{module.stem}\b", house)) >= 1, module.stem


def test_the_day_file_is_planned_as_it_stands(tmp_path, capsys, monkeypatch):
    part = README[README.index("## Plan a day"):README.index("## Know your own oven")]
    monkeypatch.chdir(tmp_path)
    Path("my_day.toml").write_text(re.search(r"```toml\n(.*?)```", part, re.S)[1], encoding="utf-8")
    assert main(["plan", "my_day.toml"]) == 0
    assert "6 x hearth loaf" in capsys.readouterr().out
    assert {path.name for path in tmp_path.iterdir()} == {
        "my_day.toml", "my_day_sheet.pdf", "my_day_plan.csv"}
    names = re.search(r"What it knows: (.*?);", part, re.S)[1].split(",")
    assert [" ".join(name.split()) for name in names] == list(load_catalogue())


def test_the_lines_on_ones_own_oven_run_as_they_stand(tmp_path):
    part = README[README.index("## Know your own oven"):README.index("## For those who write Python")]
    code = "\n".join(line[4:] for line in part.splitlines() if line.startswith("    "))
    for name in ("my_firing.csv", "second_firing.csv"):
        shutil.copy(ROOT / "data" / "logs" / "rowan_first_firing.csv", tmp_path / name)
    done = subprocess.run([sys.executable, "-c", code], cwd=tmp_path, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert "masonry that stores" in done.stdout and "hearth loaf" in done.stdout
    assert {path.name for path in tmp_path.iterdir()} >= {
        "my_oven.toml", "my_oven_card.pdf", "my_oven_2.toml"}
    first, second = (read_fit(tmp_path / name) for name in ("my_oven.toml",
                                                                       "my_oven_2.toml"))
    assert len(second.firings) == 2 and second.covariance[0, 0] < first.covariance[0, 0]
