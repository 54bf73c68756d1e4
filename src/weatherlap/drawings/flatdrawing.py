"""The flat pattern of a bent piece: cut line, bend lines, sizes."""

from __future__ import annotations

from collections.abc import Sequence

from weatherlap.drawings.bending import shop_length, spread
from weatherlap.drawings.look import LOOK
from weatherlap.drawings.svg import Drawing, Point
from weatherlap.metal.flat import FlatPattern
from weatherlap.metal.model import Toward
from weatherlap.units import tape

ENDS_APART = 130.0
WIDE = LOOK.width
LEFT, RIGHT, TOP = 84.0, 18.0, 30.0
TALLEST, LEAST_TALL = 250.0, 70.0
LABEL_GAP = 14.0
SAME_PLACE_IN = 0.02


def flat_drawing(
    pattern: FlatPattern, *, name: str, title: str, ends: tuple[str, str] = ("left", "right")
) -> str:
    """The flat pattern, painted side up, start edge below; long ones drawn shorter than they are.

    Parameters
    ----------
    ends : (str, str)
        What its left and right ends are called on the building.
    """
    x0, y0, x1, y1 = _bounds(pattern.outline)
    long, across = x1 - x0, y1 - y0
    sx = (WIDE - LEFT - RIGHT) / long
    sy = sx
    if sx * across < LEAST_TALL:
        sy = LEAST_TALL / across
    elif sx * across > TALLEST:
        sx = sy = TALLEST / across
    tall = sy * across
    xs = _breaks([p[0] for p in pattern.outline])
    drawing = Drawing(
        WIDE, TOP + tall + 84, title=title, name=name,
        about=f"Flat pattern {tape(long)} by {tape(across)}, {len(pattern.bend_lines)} bend lines",
    )  # fmt: skip

    def at(p: Point) -> Point:
        return LEFT + sx * (p[0] - x0), TOP + sy * (y1 - p[1])

    drawing.polygon(
        [at(p) for p in pattern.outline], fill="#f1f1ef", stroke=LOOK.ink,
        stroke_width=LOOK.outline.weight,
    )  # fmt: skip
    for line in pattern.bend_lines:
        dashes = None if line.toward is Toward.FINISH else "6 4"
        drawing.line(at(line.start), at(line.end), stroke=LOOK.ink, stroke_width=1.1,
                     stroke_dasharray=dashes)  # fmt: skip
    _sizes_across(drawing, [at((x0, y))[1] for y in _marks(pattern)],
                  [y - y0 for y in _marks(pattern)])  # fmt: skip
    foot = TOP + tall
    _sizes_along(drawing, [at((x, y0))[0] for x in xs], [x - x0 for x in xs], foot)
    _words(drawing, ends, (LEFT + sx * long, foot), is_true=abs(sx - sy) < 1e-9)
    return drawing.svg()


def _bounds(points: Sequence[Point]) -> tuple[float, float, float, float]:
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)


def _breaks(values: Sequence[float]) -> list[float]:
    """Places in order, those within 1/50 in of one another once."""
    found: list[float] = []
    for value in sorted(values):
        if not found or value - found[-1] > SAME_PLACE_IN:
            found.append(value)
    return found


def _marks(pattern: FlatPattern) -> list[float]:
    """Places across, from the start edge: corners of the outline and bend lines along the run."""
    lines = [n.start[1] for n in pattern.bend_lines if n.bend]
    return _breaks([*(y for _, y in pattern.outline), *lines])


def _sizes_across(drawing: Drawing, ys: Sequence[float], sizes: Sequence[float]) -> None:
    """Running sizes from the start edge, at the left."""
    order = sorted(zip(ys, sizes, strict=True))
    places = spread([y for y, _ in order], gap=LABEL_GAP, low=8.0, high=drawing.height - 66)
    for place, (y, size) in zip(places, order, strict=True):
        drawing.line((LEFT - 14, place), (LEFT - 2, y), **LOOK.leader.attributes())
        drawing.text((LEFT - 16, place + 4), shop_length(size), LOOK.small, text_anchor="end",
                     fill=LOOK.ink)  # fmt: skip


def _sizes_along(
    drawing: Drawing, xs: Sequence[float], sizes: Sequence[float], foot: float
) -> None:
    """Running sizes from the left end, below, in two rows by turns."""
    places = spread(xs, gap=34.0, low=LEFT - 8, high=WIDE - RIGHT - 8)
    for k, (x, place, size) in enumerate(zip(xs, places, sizes, strict=True)):
        y = foot + 24 + 13 * (k % 2)
        drawing.line((x, foot + 2), (place, y - 10), **LOOK.leader.attributes())
        drawing.text((place, y), shop_length(size), LOOK.small, text_anchor="middle",
                     fill=LOOK.ink)  # fmt: skip


def _words(drawing: Drawing, ends: tuple[str, str], corner: Point, *, is_true: bool) -> None:
    right, foot = corner
    drawing.text((LEFT, 14), f"{ends[0]} end", LOOK.small, fill=LOOK.ink)
    drawing.text((max(right, LEFT + ENDS_APART), 14), f"{ends[1]} end", LOOK.small,
                 text_anchor="end", fill=LOOK.ink)  # fmt: skip
    key = "outline: cut; full: bend up; broken: bend down; painted side up, start edge below"
    drawing.text((8, foot + 58), key, LOOK.small, fill=LOOK.ink)
    if not is_true:
        words = "Drawn shorter along its length than across."
        drawing.text((8, foot + 74), words, LOOK.small, fill=LOOK.ink)
