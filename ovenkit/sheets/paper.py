"""Pages to print: text measured before it is set, so that nothing leaves the page or overlaps.

Lengths in mm from the upper left corner, type in points. A Paper is filled from top to bottom; what
does not fit goes on the next page.
"""

import warnings
from pathlib import Path

from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle

from ovenkit.files import refuse
from ovenkit.sheets.lettering import PT_MM, width_mm, wrapped

SIZES_MM = {"A4": (210.0, 297.0), "A5": (148.0, 210.0), "A4 landscape": (297.0, 210.0)}
MARGIN_MM = 12.0
LEADING = 1.22          # from one line of type to the next, in its size
INK = "black"


def free_path(path, overwrite=False, instead=""):
    """Return `path` if it may be written; InputError if a file is there.

    instead : what can be done about that; overwrite=True or a free name, if left out
    """
    path = Path(path)
    if not path.parent.is_dir():
        refuse(f"there is no folder {str(path.parent)!r} to write into: make it first")
    if path.exists() and not overwrite:
        other = next(name for name in (path.with_stem(f"{path.stem}_{i}") for i in range(2, 1000))
                     if not name.exists())
        instead = instead or ("say overwrite=True to replace it, or take another name, such as "
                              f"{other.name!r}")
        refuse(f"{str(path)!r} is there already and is not overwritten: {instead}")
    return path


class Paper:
    """Pages of one size, filled from top to bottom; `placed` lists every text with its box."""

    def __init__(self, size="A4", title="", left_mm=MARGIN_MM, right_mm=None):
        self.wide, self.high = SIZES_MM[size]
        self.left, self.title = left_mm, title
        self.right = self.wide - MARGIN_MM if right_mm is None else right_mm
        self.figures, self.placed, self.foot = [], [], ""
        self.page()

    def page(self):
        """Begin a page."""
        figure = Figure(figsize=(self.wide / 25.4, self.high / 25.4), facecolor="white")
        FigureCanvasAgg(figure)
        self.figures.append(figure)
        self.y = MARGIN_MM

    def footer(self, text, size_pt=11):
        """Set words at the foot of every page there is."""
        for i, figure in enumerate(self.figures):
            at = self.high - MARGIN_MM + 1.0
            self._put(figure, i, self.left, at, text, size_pt)
            number = f"{i + 1} / {len(self.figures)}"
            self._put(figure, i, self.right - width_mm(number, size_pt), at, number, size_pt)

    @property
    def bottom(self):
        """The lowest that text may stand [mm]."""
        return self.high - MARGIN_MM - 7.0

    def room(self, high_mm):
        """Turn the page unless so much is left on it."""
        if self.y + high_mm > self.bottom:
            self.page()

    def high_mm(self, text, size_pt=14, bold=False, after_mm=2.0):
        """Return how much of a page a paragraph takes [mm]."""
        lines = wrapped(text, size_pt, self.right - self.left, bold)
        return len(lines) * size_pt * PT_MM * LEADING + after_mm

    def heading(self, text, size_pt=26):
        """A heading with a rule under it."""
        self.room(size_pt * PT_MM * 3)
        self.paragraph(text, size_pt, bold=True, after_mm=1.0)
        self.rule()

    def rule(self, width=1.2):
        """A line across the page."""
        self.line(self.left, self.y, self.right, self.y, width)
        self.y += 2.5

    def paragraph(self, text, size_pt=14, bold=False, after_mm=2.0):
        """A text, wrapped, on one page if it is no longer than one."""
        step = size_pt * PT_MM * LEADING
        self.room(min(self.high_mm(text, size_pt, bold, 0.0), self.bottom - MARGIN_MM))
        for line in wrapped(text, size_pt, self.right - self.left, bold):
            self.room(step)
            self.text(self.left, self.y, line, size_pt, bold)
            self.y += step
        self.y += after_mm

    def table(self, rows, widths_mm, size_pt=14, head=True, sizes_pt=None, bold=(), pad_mm=1.5,
              bold_rows=(), together=1):
        """Rows of texts in columns; a row is never split, and the head is set again on a new page.

        rows : of texts, one for each column; a row of one text goes across all
        widths_mm : of the columns; sizes_pt : of each column, or None; bold, bold_rows : columns
        and rows set bold, of a row only what stands before a line's end in a text
        together : so many rows, after the head, are kept on a page
        a text of "[]" is an empty box for a pencil
        """
        sizes = sizes_pt or [size_pt] * len(widths_mm)
        cut = [[(_lines(text, size, wide - 2, head and n == 0 or i in bold, n in bold_rows), size,
                 wide) for i, (text, size, wide) in enumerate(zip(row, sizes, (
                     widths_mm if len(row) > 1 else [sum(widths_mm)]), strict=len(row) > 1))]
               for n, row in enumerate(rows)]
        highs = [2 * pad_mm + max(len(cell) * size * PT_MM * LEADING for cell, size, _ in row)
                 for row in cut]
        for n, (row, high) in enumerate(zip(cut, highs, strict=True)):
            top, pages = head and n == 0, len(self.figures)
            if (n - head) % together == 0 or top:
                self.room(sum(highs[n:n + together + top]))
            if head and not top and len(self.figures) > pages:
                self.table(rows[:1], widths_mm, size_pt, True, sizes_pt, bold, pad_mm)
                self.y -= 3.0
            x = self.left
            for cell, size, wide in row:
                if cell[0][0] == "[]":
                    side = min(high - 2, wide - 2)
                    self.box(x + 1, self.y + (high - side) / 2, side, side)
                else:
                    for k, (line, strong) in enumerate(cell):
                        self.text(x + 1, self.y + pad_mm + k * size * PT_MM * LEADING, line, size,
                                  strong)
                x += wide
            self.y += high
            last = together > 1 and (n + 1 - head) % together == 0
            self.line(self.left, self.y, x, self.y, 1.4 if top or last else 0.5)
        self.y += 3.0

    def text(self, x, y, text, size_pt=14, bold=False, colour=INK):
        """A line of text with its upper left corner at (x, y) on this page."""
        self._put(self.figures[-1], len(self.figures) - 1, x, y, text, size_pt, bold, colour)

    def _put(self, figure, page, x, y, text, size_pt, bold=False, colour=INK):
        figure.text(x / self.wide, 1 - (y + size_pt * PT_MM) / self.high, text, fontsize=size_pt,
                    weight="bold" if bold else "normal", color=colour, va="baseline",
                    parse_math=False)
        self.placed.append((page, text, x, y, x + width_mm(text, size_pt, bold),
                            y + size_pt * PT_MM * 1.15, size_pt))

    def line(self, x0, y0, x1, y1, width=0.8, colour=INK, dashes="-"):
        """A line on this page."""
        self.figures[-1].add_artist(Line2D(
            [x0 / self.wide, x1 / self.wide], [1 - y0 / self.high, 1 - y1 / self.high],
            linewidth=width, color=colour, linestyle=dashes))

    def box(self, x, y, wide, high, width=1.0):
        """An empty box on this page."""
        self.figures[-1].add_artist(Rectangle(
            (x / self.wide, 1 - (y + high) / self.high), wide / self.wide, high / self.high,
            fill=False, linewidth=width, edgecolor=INK))

    def fits(self):
        """Return sentences on texts that leave the page or lie on another; none is right."""
        wrong = []
        for page, text, x0, y0, x1, y1, _ in self.placed:
            if x0 < 3 or y0 < 3 or x1 > self.wide - 3 or y1 > self.high - 3:
                wrong.append(f"page {page + 1}: {text!r} leaves the page")
        for i, (page, text, x0, y0, x1, y1, _) in enumerate(self.placed):
            for other, words, a0, b0, a1, b1, _ in self.placed[i + 1:]:
                if page == other and min(x1, a1) - max(x0, a0) > 0.5 and min(y1, b1) - max(
                        y0, b0) > 1.0:
                    wrong.append(f"page {page + 1}: {text!r} lies on {words!r}")
        return wrong

    def save(self, path, overwrite=False):
        """Write a PDF; the same pages give the same bytes. Returns the Path."""
        path = free_path(path, overwrite)
        fixed = {"Title": self.title, "CreationDate": None, "ModDate": None, "Producer": None,
                 "Creator": None}
        half = path.with_name(f".{path.stem[:80]}.half")    # whole, or not there
        try:
            with PdfPages(half, metadata=fixed) as pdf, warnings.catch_warnings():
                warnings.filterwarnings("ignore", "Glyph")      # of a name in signs we do not have
                for figure in self.figures:
                    pdf.savefig(figure)
            half.replace(path)
        finally:
            half.unlink(missing_ok=True)
        return path

    def png(self, page=0, dpi=100):
        """Return one page as PNG bytes, to look at."""
        import io
        out = io.BytesIO()
        self.figures[page].savefig(out, format="png", dpi=dpi)
        return out.getvalue()


def _lines(text, size_pt, wide_mm, bold, bold_row):
    """[(line, whether it is bold)] of a text in a table; in a bold row its first paragraph is."""
    return [(line, bold or bold_row and k == 0) for k, part in enumerate(str(text).split("\n"))
            for line in wrapped(part, size_pt, wide_mm, bold or bold_row and k == 0)]
