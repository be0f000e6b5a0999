"""The order of the house: imports go one way, heavy libraries stay out, lessons stay thin."""

import ast
import json
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "ovenkit"
# each line imports only from lines above it, and within itself only from its left
HOUSE = [
    "units", "files",
    "layers", "oven", "ovenfile", "loads", "steps", "dayfile",
    "conduction", "views", "exchange", "draught", "burning", "baking", "instruments", "exact", "verdicts",
    "timeline", "program", "moment", "march",
    "oneday", "ledger", "baked", "run", "simulate",
    "logs", "traits", "evidence", "fit", "keeping", "mystery", "inverse", "card", "plan",
    "figures", "sheets",
    "questions", "panels",
    "__init__", "__main__",
]


def modules():
    return sorted(path for path in PACKAGE.rglob("*.py"))


def place(path):
    """Name by which the house knows a file: panels/x.py is panels."""
    return path.relative_to(PACKAGE).with_suffix("").parts[0]


def imported(tree):
    """Full names of all modules a parsed file imports, wherever in it."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = "ovenkit" if node.level else ""
            base = ".".join(part for part in (base, node.module) if part)
            yield base
            yield from (f"{base}.{alias.name}" for alias in node.names)


def upward(name, tree):
    """Modules of the house that file `name` imports and may not."""
    inside = {full.split(".")[1] for full in imported(tree)
              if full.startswith("ovenkit.") and full.split(".")[1] in HOUSE}
    return {m for m in inside - {name} if HOUSE.index(m) > HOUSE.index(name)}


@pytest.mark.parametrize("path", modules(), ids=lambda p: str(p.relative_to(PACKAGE)))
def test_imports_go_one_way(path):
    name = place(path)
    assert name in HOUSE, f"{name} has no place in the house: give it one here"
    assert not upward(name, ast.parse(path.read_text(encoding="utf-8")))


@pytest.mark.parametrize("name, line, found", [
    ("units", "from ovenkit.files import number", {"files"}),
    ("files", "from .units import clock", set()),
    ("conduction", "from ovenkit import march, files", {"march"}),
    ("run", "def f():\n    import ovenkit.figures", {"figures"}),
    ("run", "import numpy", set())])
def test_an_upward_import_would_be_seen(name, line, found):
    assert upward(name, ast.parse(line)) == found


@pytest.mark.parametrize("library, allowed", [
    ("matplotlib", {"figures", "sheets"}), ("ipywidgets", {"questions", "panels"}),
    ("IPython", {"questions", "panels"})])
def test_who_imports_what(library, allowed):
    found = {place(path) for path in modules()
             if library in {full.split(".")[0] for full in imported(
                 ast.parse(path.read_text(encoding="utf-8")))}}
    assert found <= allowed


def test_the_package_loads_without_drawing_or_fitting():
    """A fresh interpreter; the second run shows that the check can fail."""
    heavy = ("matplotlib", "ipywidgets", "IPython", "scipy.optimize")

    def loaded(line):
        code = f"import sys, {line}\nprint([m for m in {heavy!r} if m in sys.modules])"
        return subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=True,
                              capture_output=True, text=True).stdout.strip()
    assert loaded("ovenkit") == "[]"
    assert "scipy.optimize" in loaded("ovenkit, scipy.optimize")


def functions(notebook):
    """Names of what the code cells of a notebook define."""
    found = []
    for cell in notebook["cells"]:
        if cell["cell_type"] == "code":
            text = "".join(cell["source"])
            plain = "\n".join("" if row.lstrip().startswith(("%", "!")) else row
                              for row in text.splitlines())
            found += [node.name if not isinstance(node, ast.Lambda) else "lambda"
                      for node in ast.walk(ast.parse(plain))
                      if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef,
                                           ast.Lambda))]
    return found


def test_no_lesson_defines_functions():
    lessons = sorted((ROOT / "notebooks").rglob("*.ipynb"))
    assert lessons
    for path in lessons:
        assert not functions(json.loads(path.read_text(encoding="utf-8"))), path.name
    bad = {"cells": [{"cell_type": "code", "source": ["%time 1\n", "def f():\n", "    pass\n"]}]}
    assert functions(bad) == ["f"]
