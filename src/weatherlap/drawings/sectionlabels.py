"""Labels of a section: every piece named in a column beside it, with a leader to its layer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely import LineString, Polygon, STRtree

from weatherlap.building.corner import Corner
from weatherlap.drawings.lettering import text_width, wrapped
from weatherlap.drawings.look import LOOK
from weatherlap.drawings.naming import names
from weatherlap.drawings.placed import LayerLine
from weatherlap.drawings.placing import Box, spread
from weatherlap.drawings.svg import Drawing, Point

_TRIES = 7
_MOST_TRIED = 5
_LINE = LOOK.small + 1.5


@dataclass(frozen=True, slots=True)
class Label:
    """A name, the place that its leader points to, and the side that it stands on."""

    lines: tuple[str, ...]
    at: Point
    right: bool
    pieces: tuple[int, ...]


def labels_of(
    corner: Corner,
    lines: Sequence[LayerLine],
    gutters: dict[int, Box],
    frame: Box,
    *,
    room: float,
) -> list[Label]:
    """A label for every piece in a section, on the side from which its leader crosses least."""
    shapes = [Polygon(line.outline()).buffer(0) for line in lines]
    tree = STRtree(shapes)
    found: list[Label] = []
    of_piece: dict[int, list[int]] = {}
    for k, line in enumerate(lines):
        of_piece.setdefault(line.piece, []).append(k)
    for name in names(corner, [*(line.piece for line in lines), *gutters]):
        mine = [k for p in name.pieces for k in of_piece.get(p, ())]
        spots = [s for k in mine[:: max(len(mine) // _MOST_TRIED, 1)] for s in _spots(lines[k])]
        spots += [_middle(gutters[p]) for p in name.pieces if p in gutters]
        best = min(
            (
                _cost(tree, shapes, set(mine), spot, frame, right=right)
                + _crowding(spot, [lb.at[1] for lb in found if lb.right is right]),
                spot,
                right,
            )
            for spot in spots
            for right in (True, False)
        )
        words = tuple(wrapped(name.words, LOOK.small, room, most=3))
        found.append(Label(words, best[1], best[2], name.pieces))
    return found


def _middle(box: Box) -> Point:
    return 0.5 * (box[0] + box[2]), 0.6 * box[3] + 0.4 * box[1]


def _spots(line: LayerLine) -> list[Point]:
    """Places inside a layer that a leader could point to."""
    points = []
    for k in range(_TRIES):
        share = (k + 0.5) / _TRIES
        (ax, ay), (bx, by) = _at(line.inner, share), _at(line.outer, share)
        points.append((0.5 * (ax + bx), 0.5 * (ay + by)))
    return points


def _at(rows: Sequence[tuple[float, float, float]], share: float) -> Point:
    curve = LineString([(x, y) for _, x, y in rows])
    at = curve.interpolate(share, normalized=True)
    return at.x, at.y


def _crowding(spot: Point, heights: Sequence[float]) -> float:
    """What it costs to point from the same height as another leader on that side."""
    return sum(max(0.0, 1.0 - abs(spot[1] - y) / 18.0) for y in heights)


def _cost(
    tree: STRtree,
    shapes: Sequence[Polygon],
    mine: set[int],
    spot: Point,
    frame: Box,
    *,
    right: bool,
) -> float:
    """How many layers a level leader would cross, and a little for its length."""
    edge = frame[2] if right else frame[0]
    leader = LineString([spot, (edge, spot[1])])
    hits = tree.query(leader)
    crossed = sum(
        1 for k in hits.tolist() if k not in mine and shapely.intersects(shapes[k], leader)
    )
    middle = 0.5 * (frame[1] + frame[3])
    return crossed + float(leader.length) / 300.0 + abs(spot[1] - middle) / 20000.0


def draw_labels(drawing: Drawing, labels: Sequence[Label], frame: Box) -> float:
    """Both columns with their leaders; gives the lowest place that they reach."""
    low = frame[3]
    for right in (False, True):
        column = [label for label in labels if label.right is right]
        sizes = [_LINE * len(label.lines) + 5 for label in column]
        places = spread([label.at[1] for label in column], sizes, frame[1], frame[3])
        for label, y, size in zip(column, places, sizes, strict=True):
            _draw_label(drawing, label, y, frame)
            low = max(low, y + size / 2)
    return low


def _draw_label(drawing: Drawing, label: Label, y: float, frame: Box) -> None:
    edge = frame[2] if label.right else frame[0]
    shelf = edge - 7.0 if label.right else edge + 7.0
    drawing.polyline([label.at, (shelf, y), (edge, y)], stroke=LOOK.paper, stroke_width=2.4)
    drawing.polyline([label.at, (shelf, y), (edge, y)], **LOOK.leader.attributes())
    drawing.circle(label.at, 1.9, fill=LOOK.ink, stroke=LOOK.paper, stroke_width=0.7)
    x = edge + 3.0 if label.right else edge - 3.0
    first = y - _LINE * len(label.lines) / 2 + 0.78 * _LINE
    for k, words in enumerate(label.lines):
        drawing.text(
            (x, first + k * _LINE),
            words,
            LOOK.small,
            text_anchor="start" if label.right else "end",
            fill=LOOK.ink,
        )


def column_width(labels: Sequence[Label], *, right: bool) -> float:
    """How wide the labels of one side stand. [drawing units]"""
    widths = [text_width(t, LOOK.small) for lb in labels if lb.right is right for t in lb.lines]
    return max(widths, default=0.0)
