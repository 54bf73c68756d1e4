"""The small section of a step: the layers at the piece that is laid, as they stand by then."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from shapely import LineString, Polygon

from weatherlap.building.corner import Corner
from weatherlap.drawings.lettering import wrapped
from weatherlap.drawings.look import LOOK, THICKNESS, fill_of, hatch_of
from weatherlap.drawings.naming import COURSES, names
from weatherlap.drawings.placing import spread
from weatherlap.drawings.svg import Drawing, Point
from weatherlap.order.takedown import main_face

WIDE, HIGH = 260.0, 128.0
_FIELD = (10.0, 6.0, 132.0, 112.0)
"""Where the layers stand: left, top, right, bottom."""
_LABELS = 150.0
_SMALL = 8.5
_PAST_IN = 8.0
"""How far the drawing goes past the piece. [in]"""
_LONGEST_IN = 14.0
"""A stretch in which nothing begins or ends is drawn no longer than this. [in]"""
_GAP = 5.0
_TRIES = (0.5, 0.25, 0.75, 0.1, 0.9)


@dataclass(frozen=True, slots=True)
class _Layer:
    """A stretch of a piece on the cut, in the window, from its lower end to its upper. [in]"""

    piece: int
    low: float
    high: float


class _Scale:
    """Heights along the face to lengths on the drawing; long quiet stretches are shortened."""

    def __init__(self, heights: Sequence[float]) -> None:
        self.heights = sorted(set(heights))
        self.at_height = [0.0]
        self.cuts: list[float] = []
        for a, b in pairwise(self.heights):
            start = self.at_height[-1]
            self.at_height.append(start + min(b - a, _LONGEST_IN))
            if b - a > 1.5 * _LONGEST_IN:
                self.cuts.append(start + 0.5 * _LONGEST_IN)

    @property
    def long(self) -> float:
        return self.at_height[-1]

    def at(self, height: float) -> float:
        k = min(max(bisect_right(self.heights, height) - 1, 0), len(self.heights) - 2)
        a, b = self.heights[k : k + 2]
        share = (height - a) / (b - a)
        return self.at_height[k] + share * (self.at_height[k + 1] - self.at_height[k])


@dataclass(frozen=True, slots=True)
class _View:
    """From along and off the face to the drawing; a roof slopes, an underside lies level."""

    tilt: float
    per_in: float = 1.0
    x: float = 0.0
    y: float = 0.0

    def point(self, along: float, off: float) -> Point:
        c, s = math.cos(self.tilt), math.sin(self.tilt)
        along *= self.per_in
        return self.x - along * c + off * s, self.y - along * s - off * c

    def box(self, along: Sequence[float], off: Sequence[float]) -> tuple[float, ...]:
        points = [self.point(a, o) for a in along for o in off]
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        return min(xs), min(ys), max(xs), max(ys)


def step_section(
    corner: Corner, piece: int, *, there: Collection[int], numbers: Mapping[int, int]
) -> str:
    """The layers on a line up the face through a piece as SVG; empty for one without a face.

    Parameters
    ----------
    there : collection of int
        The pieces that stand there when it is laid.
    numbers : mapping
        The steps in which pieces are laid, written before their names.
    """
    face = main_face(corner, piece)
    if face < 0:
        return ""
    own = [corner.panels[p].polygon for p in corner.pieces[piece].panels
           if corner.panels[p].face == face]  # fmt: skip
    at = max(own, key=lambda polygon: polygon.area).representative_point().x
    _, foot, _, top = corner.faces[face].outline.bounds
    line = LineString([(at, foot - 1), (at, top + 1)])
    layers = _cut(corner, face, line, {*there, piece})
    mine = [k for k in layers if k.piece == piece]
    window = min(k.low for k in mine) - _PAST_IN, max(k.high for k in mine) + _PAST_IN
    seen = [
        _Layer(k.piece, max(k.low, window[0]), min(k.high, window[1]))
        for k in layers
        if k.high > window[0] and k.low < window[1]
    ]
    return _drawn(corner, face, seen, piece, numbers)


def _cut(corner: Corner, face: int, line: LineString, there: Collection[int]) -> list[_Layer]:
    found = []
    for p in corner.panels_on[face]:
        panel = corner.panels[p]
        if panel.piece in there:
            crossed = panel.polygon.intersection(line)
            for part in getattr(crossed, "geoms", [crossed]):
                if part.length > 0:
                    _, low, _, high = part.bounds
                    found.append(_Layer(panel.piece, low, high))
    return found


def _offsets(corner: Corner, layers: Sequence[_Layer]) -> list[float]:
    """How far each layer stands off the face: clear of all that lie inside it."""

    def inside(k: _Layer) -> list[int]:
        return [
            n
            for n, j in enumerate(layers)
            if j.piece != k.piece
            and min(j.high, k.high) - max(j.low, k.low) > 1 / 16
            and corner.outside(k.piece, j.piece)
        ]

    behind = [inside(k) for k in layers]
    offsets = [0.0] * len(layers)
    for _ in layers:
        offsets = [
            max((offsets[n] + _thick(corner, layers[n]) + _GAP for n in rows), default=0.0)
            for rows in behind
        ]
    return offsets


def _thick(corner: Corner, layer: _Layer) -> float:
    return THICKNESS[hatch_of(corner.pieces[layer.piece])]


def _drawn(
    corner: Corner, face: int, layers: Sequence[_Layer], piece: int, numbers: Mapping[int, int]
) -> str:
    offsets = _offsets(corner, layers)
    scale = _Scale([h for k in layers for h in (k.low, k.high)])
    deep = max(o + _thick(corner, k) for o, k in zip(offsets, layers, strict=True))
    view = _fitted(math.radians(corner.faces[face].tilt_deg), scale.long, deep)
    title = f"Section at the {corner.pieces[piece].title}"
    drawing = Drawing(WIDE, HIGH, title=title, about=_ABOUT, name=f"step-{numbers.get(piece, 0)}")
    shapes = []
    for layer, off in zip(layers, offsets, strict=True):
        ends = [(scale.at(layer.low), off), (scale.at(layer.high), off)]
        thick = _thick(corner, layer)
        ring = [*ends, *((a, o + thick) for a, o in reversed(ends))]
        shapes.append(Polygon([view.point(a, o) for a, o in ring]))
        own = layer.piece == piece
        fill = LOOK.ink if own else _fill(drawing, corner, layer)
        drawing.shape(shapes[-1], fill=fill, stroke=LOOK.ink, stroke_width=0.8)
    _draw_cuts(drawing, view, scale, deep)
    _draw_sides(drawing, view, scale, deep)
    _draw_labels(drawing, _labels(corner, layers, shapes, piece, numbers))
    return drawing.svg()


_ABOUT = "Layers drawn apart, in their true order; the piece of this step is black."


def _fill(drawing: Drawing, corner: Corner, layer: _Layer) -> str:
    return fill_of(drawing, hatch_of(corner.pieces[layer.piece]))


def _fitted(tilt: float, long: float, deep: float) -> _View:
    """The view in which the layers fill their field."""
    left, top, right, bottom = _FIELD
    x0, y0, x1, y1 = _View(tilt).box((0.0, 1.0), (0.0,))
    sides = (
        (right - left, x1 - x0, abs(math.sin(tilt))),
        (bottom - top, y1 - y0, abs(math.cos(tilt))),
    )
    per_in = min((room - deep * s) / max(a * long, 1e-6) for room, a, s in sides)
    view = _View(tilt, min(max(per_in, 0.1), 8.0))
    x0, y0, x1, y1 = view.box((0.0, long), (0.0, deep))
    x, y = 0.5 * (left + right - x0 - x1), 0.5 * (top + bottom - y0 - y1)
    return _View(tilt, view.per_in, x, y)


def _draw_cuts(drawing: Drawing, view: _View, scale: _Scale, deep: float) -> None:
    """Two waved lines across each stretch that is shortened, paper between them."""
    reach = range(-6, int(deep) + 8, 2)
    for along in scale.cuts:
        edges = [
            [
                view.point(along + (side + 1.2 * math.sin(0.7 * off)) / view.per_in, off)
                for off in reach
            ]
            for side in (-2.5, 2.5)
        ]
        drawing.polygon([*edges[0], *reversed(edges[1])], fill=LOOK.paper)
        for edge in edges:
            drawing.polyline(edge, stroke=LOOK.ink, stroke_width=0.6)


def _draw_sides(drawing: Drawing, view: _View, scale: _Scale, deep: float) -> None:
    """Which side is the inside, which the outside."""
    x0, _, x1, y1 = view.box((0.0, scale.long), (0.0, deep))
    level = abs(math.cos(view.tilt)) > 0.5
    for words, off, x in (("inside", -9.0, x0 - 8), ("outside", deep + 9.0, x1 + 8)):
        at = view.point(0.5 * scale.long, off) if level else (x, y1 + 8.0)
        drawing.text((at[0], at[1] + 3.0), words, _SMALL, text_anchor="middle", fill=LOOK.grey)


@dataclass(frozen=True, slots=True)
class _Label:
    """A name and the place that its leader points to."""

    lines: tuple[str, ...]
    at: Point
    bold: bool


def _labels(
    corner: Corner,
    layers: Sequence[_Layer],
    shapes: Sequence[Polygon],
    piece: int,
    numbers: Mapping[int, int],
) -> list[_Label]:
    """A name for the piece and for each other that is seen; courses there were share theirs."""
    found = []
    others = [k.piece for k in layers if k.piece != piece]
    rows: list[tuple[str, tuple[int, ...]]] = [(corner.pieces[piece].title, (piece,))]
    for name in names(corner, others):
        if len(name.pieces) < COURSES:
            rows += [(corner.pieces[p].title, (p,)) for p in name.pieces]
        else:
            rows.append((name.words, name.pieces))
    for words, pieces in rows:
        mine = [n for n, k in enumerate(layers) if k.piece in pieces]
        steps = sorted({numbers[p] for p in pieces if p in numbers})
        mark = str(steps[0]) if len(steps) == 1 else f"{steps[0]}-{steps[-1]}" if steps else ""
        own = pieces == (piece,)
        room = (WIDE - _LABELS - 4) / (1.12 if own else 1.0)
        lines = wrapped(f"{mark} {words}".strip(), _SMALL, room, most=2)
        at = min(_cost(shapes, n, share) for n in mine for share in _TRIES)[1]
        found.append(_Label(tuple(lines), at, own))
    return found


def _cost(shapes: Sequence[Polygon], own: int, share: float) -> tuple[float, Point]:
    """How many other layers a level leader from a place in a layer would cross, and the place."""
    a, b, c, d, *_ = shapes[own].exterior.coords
    x = (1 - share) * 0.5 * (a[0] + d[0]) + share * 0.5 * (b[0] + c[0])
    y = (1 - share) * 0.5 * (a[1] + d[1]) + share * 0.5 * (b[1] + c[1])
    leader = LineString([(x, y), (_LABELS, y)])
    crossed = sum(s.intersects(leader) for n, s in enumerate(shapes) if n != own)
    return crossed + 0.001 * (_LABELS - x), (x, y)


def _draw_labels(drawing: Drawing, labels: Sequence[_Label]) -> None:
    line = _SMALL + 1.2
    sizes = [line * len(label.lines) + 3 for label in labels]
    places = spread([label.at[1] for label in labels], sizes, 2.0, HIGH - 2.0)
    for label, y in zip(labels, places, strict=True):
        bent = [label.at, (_LABELS - 8, y), (_LABELS - 3, y)]
        drawing.polyline(bent, stroke=LOOK.paper, stroke_width=1.8)
        drawing.polyline(bent, stroke=LOOK.ink, stroke_width=0.45)
        drawing.circle(label.at, 1.5, fill=LOOK.ink, stroke=LOOK.paper, stroke_width=0.6)
        first = y - line * len(label.lines) / 2 + 0.78 * line
        weight = {"font_weight": "bold"} if label.bold else {}
        for k, words in enumerate(label.lines):
            drawing.text((_LABELS, first + k * line), words, _SMALL, fill=LOOK.ink, **weight)
