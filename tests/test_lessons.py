"""Lessons as files: thin, described, with numbers stored that notice a changed oven."""

import re
from pathlib import Path

import nbformat
import pytest
from nbclient import NotebookClient
from refresh_lessons import KERNEL, WIDGET, normalised

LESSONS = sorted((Path(__file__).resolve().parent.parent / "notebooks").glob("*.ipynb"))
HEAVIER = """
import dataclasses
from ovenkit import layers
for name in ("firebrick", "refractory castable"):
    brick = layers._materials()[name]
    layers._materials()[name] = dataclasses.replace(brick, cp=tuple(1.2 * c for c in brick.cp))
"""


def read(path):
    return nbformat.read(path, as_version=4)


def stored(notebook):
    """Text that nbval compares, by cell."""
    texts = {}
    for cell in notebook.cells:
        for output in cell.get("outputs", ()):
            texts[cell.id] = output.get("text") or output.get("data", {}).get("text/plain")
    return texts


def test_there_is_a_lesson():
    assert LESSONS


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
class TestLesson:
    def test_is_thin(self, path):
        for cell in read(path).cells:
            lines = cell.source.splitlines()
            if cell.cell_type == "code":
                assert len(lines) <= 5, cell.source
                assert not re.search(r"^\s*(def|class|%)", cell.source, re.M), cell.source

    def test_has_one_title_first(self, path):
        cells = read(path).cells
        prose = "\n".join(cell.source for cell in cells if cell.cell_type == "markdown")
        titles = re.findall(r"^# .+", prose, re.M)
        assert len(titles) == 1 and cells[0].source.startswith(titles[0])

    def test_says_what_every_lesson_says(self, path):
        prose = " ".join(" ".join(c.source for c in read(path).cells).split())
        for words in ("Run All Cells", "believe the oven and write it down", "carbon monoxide",
                      "Local codes", "Something to do alone"):
            assert words in prose

    def test_every_picture_is_described(self, path):
        for cell in read(path).cells:
            for output in cell.get("outputs", ()):
                if "image/png" in output.get("data", {}):
                    assert len(output.metadata["image/png"]["alt"]) > 60, cell.id
            assert "![](" not in cell.source
            assert all("alt=" in tag for tag in re.findall(r"<img[^>]*>", cell.source))

    def test_is_stored_as_the_refresher_leaves_it(self, path):
        notebook = read(path)
        assert notebook.metadata == KERNEL and "widgets" not in notebook.metadata
        again = nbformat.writes(normalised(read(path))) + "\n"
        assert again == path.read_text(encoding="utf-8")
        for cell in notebook.cells:
            for output in cell.get("outputs", ()):
                assert output.output_type != "error" and output.get("name") != "stderr"
                assert set(output.get("data", {})) <= {
                    "text/plain", "text/html", "image/png", WIDGET}

    def test_stores_numbers_in_every_cell_that_shows_something(self, path):
        texts = stored(read(path))
        assert len(texts) >= 5
        assert all(re.search(r"\d", text) for text in texts.values()), texts

    def test_other_bricks_change_the_stored_numbers(self, path):
        """A heat capacity 20 % higher must make stored numbers fail."""
        notebook, before = read(path), stored(read(path))
        notebook.cells.insert(0, nbformat.v4.new_code_cell(HEAVIER))
        NotebookClient(notebook, timeout=300, record_timing=False).execute()
        after = stored(notebook)
        changed = [i for i in before if before[i] != after[i]]
        assert len(changed) >= 3, after
