"""Run the lessons and store their outputs, the same bytes every time.

    python tests/refresh_lessons.py            all lessons
    python tests/refresh_lessons.py FILE ...   these
"""

import hashlib
import sys
from pathlib import Path

import nbformat
from nbclient import NotebookClient

LESSONS = Path(__file__).resolve().parent.parent / "notebooks"
KERNEL = {"kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
          "language_info": {"name": "python"}}
WIDGET = "application/vnd.jupyter.widget-view+json"


def normalised(notebook):
    """Return a notebook without what differs from run to run or machine to machine."""
    notebook.metadata = nbformat.from_dict(KERNEL)
    count = 0
    for cell in notebook.cells:
        for key in ("execution", "collapsed", "scrolled"):
            cell.metadata.pop(key, None)
        if cell.cell_type != "code":
            continue
        count += 1
        cell.execution_count = count
        for output in cell.outputs:
            if "execution_count" in output:
                output.execution_count = count
            view = output.get("data", {}).get(WIDGET)
            if view:
                view["model_id"] = hashlib.sha256(cell.id.encode()).hexdigest()[:32]
    return notebook


def refreshed(path):
    """Return the notebook at a path, run in a fresh kernel and normalised, as text."""
    notebook = nbformat.read(path, as_version=4)
    NotebookClient(notebook, timeout=300, record_timing=False,
                   resources={"metadata": {"path": str(path.parent)}}).execute()
    return nbformat.writes(normalised(notebook)) + "\n"


if __name__ == "__main__":
    for path in map(Path, sys.argv[1:] or sorted(LESSONS.glob("*.ipynb"))):
        path.write_text(refreshed(path), encoding="utf-8")
        print(f"{path.name}: refreshed")
