"""Compute what README shows anew: its picture, the words for it, and the example's output.

    python tests/refresh_readme.py
"""

import re
import subprocess
import sys
from pathlib import Path
from textwrap import wrap

from ovenkit.figures.day import DayFigure
from ovenkit.panels.drawing import DrawDown, picture, run

ROOT = Path(__file__).resolve().parent.parent
README = ROOT / "README.md"


def refreshed(text, alt):
    """Return README's text with these words for its picture and what its example prints now."""
    file = re.search(r"!\[.*?\]\((.*?)\)", text, re.DOTALL)[1]
    image = "\n".join(wrap(f"![{alt}]({file})", 100, break_on_hyphens=False))
    code = re.search(r"```python\n(.*?)```", text, re.DOTALL)[1]
    printed = subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=True, text=True,
                             stdout=subprocess.PIPE).stdout
    text = re.sub(r"!\[.*?\]\(.*?\)", lambda _: image, text, count=1, flags=re.DOTALL)
    return re.sub(r"```text\n.*?```", lambda _: f"```text\n{printed}```", text, count=1,
                  flags=re.DOTALL)


if __name__ == "__main__":
    day = picture(DrawDown(), run(DrawDown()))
    (ROOT / "notebooks" / "pictures" / "draw_down.png").write_bytes(DayFigure().png(day))
    README.write_text(refreshed(README.read_text(encoding="utf-8"), day.alt), encoding="utf-8",
                      newline="\n")
