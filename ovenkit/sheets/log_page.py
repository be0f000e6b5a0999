"""A page for the log: where to point, numbered on a map of the oven, and lines to write on."""

import numpy as np

POINTS = (  # number, words, where on the plan (x, y of the radius) or on the cut (x, share of rise)
    (1, "hearth, middle", (0.0, 0.0), None), (2, "hearth, back left", (-0.5, 0.5), None),
    (3, "hearth, front right", (0.5, -0.5), None), (4, "dome, back", None, (-0.62, 0.66)),
    (5, "dome, front", None, (0.55, 0.70)), (6, "air probe, middle", None, (0.0, 0.5)),
    (7, "deep probe, 25 mm in the hearth", None, (-0.2, -0.14)))
LINES = 13


def log_page(paper, oven):
    """Add the page to a Paper.

    oven : Oven, drawn from its own sizes
    """
    paper.page()
    paper.heading("The log", 24)
    paper.paragraph("Same place, same hour, spot square to the wall, not through flame, steam or "
                    "glass; the hearth where nothing lay. Past the range: write HI. Write what "
                    "you see.", 14)
    top = paper.y
    scale = 62.0 / oven.inside_m                        # mm of paper per m
    _plan(paper, oven, paper.left + 36, top + 36, scale)
    _cut(paper, oven, paper.left + 118, top + 62, scale)
    paper.y = top + 76
    half = (len(POINTS) + 1) // 2
    for k, (number, words, *_) in enumerate(POINTS):
        paper.text(paper.left + (k // half) * 92, paper.y + (k % half) * 7,
                   f"{number}  {words}", 14)
    paper.y += half * 7 + 3
    head = ("clock", *(f"{n}" for n, *_ in POINTS), "what was done")
    paper.table([head, *[("",) * len(head)] * LINES], [22, *[15] * len(POINTS), 59], 14,
                pad_mm=1.2)


def _plan(paper, oven, x, y, scale):
    """The hearth from above, the mouth below."""
    r = oven.inside_m / 2 * scale
    _arc(paper, x, y, r, 0, 360)
    half = oven.mouth_w_m / 2 * scale
    for side in (-half, half):
        paper.line(x + side, y + np.sqrt(max(r**2 - half**2, 0)), x + side, y + r + 4, 1.2)
    for number, _, on_plan, _ in POINTS:
        if on_plan:
            _point(paper, x + on_plan[0] * r, y - on_plan[1] * r, number)


def _cut(paper, oven, x, y, scale):
    """The oven cut from back (left) to mouth (right)."""
    r, rise = oven.inside_m / 2 * scale, oven.rise_m * scale
    sphere = oven.sphere_radius_m * scale
    angle = np.degrees(np.arcsin(min(r / sphere, 1.0)))
    if rise > sphere:
        angle = 180 - angle
    _arc(paper, x, y - rise + sphere, sphere, 90 - angle, 90 + angle)
    paper.line(x - r - 4, y, x + r + 8, y, 1.6)
    paper.line(x - r - 4, y + 8, x + r + 8, y + 8, 0.8)
    high = oven.mouth_h_m * scale
    paper.line(x + r, y, x + r, y - high, 1.6, dashes="--")
    paper.text(x + r + 2, y - high, "mouth", 11)
    for number, _, _, on_cut in POINTS:
        if on_cut:
            _point(paper, x + on_cut[0] * r, y - on_cut[1] * rise, number)


def _arc(paper, x, y, radius, begin, end):
    turn = np.radians(np.linspace(begin, end, 61))
    xs, ys = x + radius * np.cos(turn), y - radius * np.sin(turn)
    for a, b, c, d in zip(xs[:-1], ys[:-1], xs[1:], ys[1:], strict=True):
        paper.line(a, b, c, d, 1.4)


def _point(paper, x, y, number):
    paper.text(x - 1.4, y - 2.6, f"{number}", 14, bold=True)
    _arc(paper, x, y, 3.6, 0, 360)
