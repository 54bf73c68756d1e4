"""Shapes that pieces are cut to: corners by running sizes, sloped edges by their angle."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from weatherlap.drawings.bending import spread
from weatherlap.drawings.lettering import text_width
from weatherlap.drawings.look import LOOK
from weatherlap.drawings.svg import Drawing, Point
from weatherlap.takeoff.cutshapes import CutShape
from weatherlap.units import tape

WIDE = LOOK.width
A_ROW = 2
A_DRAWING = 8
LEFT, RIGHT, TOP, FOOT = 64.0, 12.0, 24.0, 42.0
LOW, HIGH = 34.0, 116.0
"""How tall a shape is drawn, at least and at most. [drawing units]"""
LABEL_GAP = 13.0
SAME_PLACE_IN = 1 / 16
SQUARE_DEG = 0.25
FLAT, ABOVE = 0.3, 7.0
KEY_HIGH = 36.0


def shape_drawings(shapes: Sequence[CutShape], *, good: str) -> Iterator[str]:
    """The shapes of a cut list, some to a drawing, as SVG."""
    for k in range(0, len(shapes), A_DRAWING):
        yield _drawing(shapes[k : k + A_DRAWING], good)


def _drawing(shapes: Sequence[CutShape], good: str) -> str:
    cells = [_Cell.of(shape, WIDE if len(shapes) == 1 else WIDE / A_ROW) for shape in shapes]
    rows = [cells[k : k + A_ROW] for k in range(0, len(cells), A_ROW)]
    drawing = Drawing(
        WIDE, sum(_tall(row) for row in rows) + KEY_HIGH, title=f"Shapes cut from {good}",
        about="; ".join(_about(shape) for shape in shapes), name="cut-shapes",
    )  # fmt: skip
    top = 0.0
    for row in rows:
        for k, cell in enumerate(row):
            cell.draw(drawing, left=k * WIDE / A_ROW, top=top)
        top += _tall(row)
    words = "Seen from outside. Sizes run from the lower left corner of the rectangle."
    drawing.text((6, drawing.height - 21), words, LOOK.small, fill=LOOK.ink)
    slopes = "Angles: from the length, or off a square cut."
    short = " Long ones are drawn shorter." if any(c.sx < c.sy for c in cells) else ""
    drawing.text((6, drawing.height - 7), slopes + short, LOOK.small, fill=LOOK.ink)
    return drawing.svg()


def _about(shape: CutShape) -> str:
    corners = ", ".join(f"{tape(x)} along {tape(y)} up" for x, y in shape.outline)
    return f"Shape {shape.number}, {shape.count} of {shape.title}: corners at {corners}"


def _tall(row: Sequence[_Cell]) -> float:
    return max(cell.sy * cell.shape.size_in[1] for cell in row) + TOP + FOOT


@dataclass(frozen=True, slots=True)
class _Cell:
    """One shape with its scales along and across. [drawing units per in]"""

    shape: CutShape
    wide: float
    sx: float
    sy: float

    @classmethod
    def of(cls, shape: CutShape, wide: float) -> _Cell:
        long, across = shape.size_in
        scale = min((wide - LEFT - RIGHT) / long, HIGH / across)
        return cls(shape, wide, scale, max(scale, LOW / across))

    def draw(self, drawing: Drawing, *, left: float, top: float) -> None:
        x0, y1 = left + LEFT, top + TOP + self.sy * self.shape.size_in[1]

        def at(p: Point) -> Point:
            return x0 + self.sx * p[0], y1 - self.sy * p[1]

        many = f"{self.shape.count} x " if self.shape.count > 1 else ""
        head = _shortened(f"{self.shape.number}: {many}{self.shape.title}", self.wide - 8)
        drawing.text((left + 4, top + 12), head, LOOK.small, font_weight="bold", fill=LOOK.ink)
        ring = [at(p) for p in self.shape.outline]
        drawing.polygon(ring, fill="#f1f1ef", stroke=LOOK.ink, stroke_width=LOOK.outline.weight)
        self._sizes_up(drawing, left, y1)
        self._sizes_along(drawing, x0, y1)
        for words, middle, normal in _angles(self.shape.outline):
            x, y = at(middle)
            wide = text_width(words, LOOK.small) / 2
            low, high = left + LEFT + wide, left + self.wide - RIGHT - wide
            slope = self.sy * abs(normal[0]) / max(self.sx * abs(normal[1]), 1e-9)
            over = y - math.copysign(ABOVE + wide * slope, normal[1])
            aside = math.copysign(wide + 6 + 5 / max(slope, FLAT), normal[0])
            is_crowded = abs(x - aside - (low + high) / 2) < wide
            if slope > FLAT and low <= x + aside <= high:
                place = x + aside, y
            elif slope > FLAT and not is_crowded:
                place = x - aside, y
            else:
                place = x, over
            drawing.text((place[0], place[1] + 4), words, LOOK.small, text_anchor="middle",
                         fill=LOOK.ink)  # fmt: skip

    def _sizes_up(self, drawing: Drawing, left: float, y1: float) -> None:
        sizes = _places(y for _, y in self.shape.outline)[::-1]
        ys = [y1 - self.sy * size for size in sizes]
        top = ys[0] - LABEL_GAP / 2
        places = spread(ys, gap=LABEL_GAP, low=top, high=y1 + FOOT / 2)
        for size, y, place in zip(sizes, ys, places, strict=True):
            drawing.line((left + LEFT - 12, place), (left + LEFT - 2, y),
                         **LOOK.leader.attributes())  # fmt: skip
            drawing.text((left + LEFT - 14, place + 4), tape(size), LOOK.small,
                         text_anchor="end", fill=LOOK.ink)  # fmt: skip

    def _sizes_along(self, drawing: Drawing, x0: float, y1: float) -> None:
        """Running sizes below, in two rows by turns."""
        sizes = [size for size in _places(x for x, _ in self.shape.outline) if size > 0]
        xs = [x0 + self.sx * size for size in sizes]
        half = text_width(tape(sizes[-1]), LOOK.small) / 2
        most = x0 - LEFT + self.wide - half - 2
        places = spread(xs, gap=36.0, low=x0 + 8, high=max(most, x0 + 8))
        for k, (size, x, place) in enumerate(zip(sizes, xs, places, strict=True)):
            y = y1 + 20 + 13 * (k % 2)
            drawing.line((x, y1 + 2), (place, y - 10), **LOOK.leader.attributes())
            drawing.text((place, y), tape(size), LOOK.small, text_anchor="middle", fill=LOOK.ink)


def _places(values: Iterable[float]) -> list[float]:
    """Places in order, those within 1/16 in of one another once."""
    found: list[float] = []
    for value in sorted(values):
        if not found or value - found[-1] > SAME_PLACE_IN:
            found.append(value)
    return found


def _angles(outline: Sequence[Point]) -> Iterator[tuple[str, Point, Point]]:
    """The angle of each sloped edge with its middle and outward way: a saw is set off square."""
    for a, b in zip(outline, (*outline[1:], outline[0]), strict=True):
        dx, dy = b[0] - a[0], b[1] - a[1]
        off_level = math.degrees(math.atan2(abs(dy), abs(dx)))
        if not SQUARE_DEG < off_level < 90 - SQUARE_DEG:
            continue
        steep = off_level > 45
        words = f"{90 - off_level:.1f}\u00b0 off square" if steep else f"{off_level:.1f}\u00b0"
        yield words, ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), (dy, -dx)


def _shortened(words: str, most: float) -> str:
    """Words that fit into a width. [drawing units]"""
    if text_width(words, LOOK.small) * 1.08 <= most:
        return words
    while words and text_width(words + "\u2026", LOOK.small) * 1.08 > most:
        words = words[:-1]
    return words.rstrip() + "\u2026"
