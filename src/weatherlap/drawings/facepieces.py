"""Pieces on an elevation: their visible parts, covered edges, laps and names."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from weatherlap.building.corner import Corner
from weatherlap.drawings.lettering import text_width, wrapped
from weatherlap.drawings.look import LOOK, Hatch, fill_of, hatch_of
from weatherlap.drawings.marks import haloed
from weatherlap.drawings.naming import Name, names
from weatherlap.drawings.page import KeyRow
from weatherlap.drawings.placing import Box, Placer, spread
from weatherlap.drawings.stackview import LapView, OnPage, StackView
from weatherlap.drawings.svg import Drawing, Point, rings_text

LEAST_SEEN = 6.0
"""A visible part smaller than this is not named. [drawing units squared]"""
_PARTS_TRIED = 3
_MOST_LAP = 0.6
_GRID = (0.5, 0.3, 0.7, 0.15, 0.85, 0.4, 0.6)


def draw_panels(drawing: Drawing, corner: Corner, view: StackView, on: OnPage) -> None:
    """Every panel's visible part with its hatch, then the covered edges, dashed."""
    shown = [panel for panel in view.panels if not panel.seen.is_empty]
    shapes = on.shapes([panel.seen for panel in shown])
    with drawing.group(fill_rule="evenodd", **LOOK.edge.attributes()):
        for panel, shape in zip(shown, shapes, strict=True):
            piece = corner.pieces[panel.piece]
            hatch = hatch_of(piece)
            drawing.add(
                "path",
                d=rings_text(shape),
                fill=fill_of(drawing, hatch),
                stroke_dasharray="1.5 2" if hatch is Hatch.OPEN else None,
                data_piece=piece.id,
            )
    covered = on.shapes([panel.covered_edges for panel in view.panels])
    drawing.shapes(covered, fill="none", **LOOK.covered.attributes())


def draw_laps(
    drawing: Drawing,
    corner: Corner,
    view: StackView,
    on: OnPage,
    *,
    wrong_pairs: Collection[tuple[int, int]],
) -> list[KeyRow]:
    """Laps that show, shaded; those that a finding calls wrong, hatched; gives their key rows.

    ``wrong_pairs`` holds (inner, outer) pieces.
    """
    right, wrong = [], []
    seen: dict[int, list[BaseGeometry]] = {}
    for panel in view.panels:
        seen.setdefault(panel.piece, []).append(panel.seen)
    for lap in view.laps:
        if (lap.inner, lap.outer) in wrong_pairs:
            wrong.append(lap.shared)
        elif lap.outer_is_upper and _of_a_kind(corner, lap):
            right += _showing(seen[lap.outer], lap)
    rows = []
    if right:
        right = shapely.orient_polygons(on.shapes(right)).tolist()
        drawing.shapes(right, fill=LOOK.ink, fill_opacity=0.12)
        rows.append(KeyRow(lambda d, at: _swatch(d, at, LOOK.ink, 0.12), "lap"))
    if wrong:
        fill = _wrong_fill(drawing)
        joined = on.shape(shapely.union_all(wrong))
        drawing.shape(joined, fill=fill, stroke=LOOK.alarm, stroke_width=1.2)
        rows.append(KeyRow(lambda d, at: _swatch(d, at, fill, 1.0), "lap the wrong way round"))
    return rows


def _of_a_kind(corner: Corner, lap: LapView) -> bool:
    """Whether two pieces belong to one layer, or one of them is a flashing."""
    kinds = {hatch_of(corner.pieces[lap.inner]), hatch_of(corner.pieces[lap.outer])}
    return len(kinds) == 1 or Hatch.METAL in kinds


def _showing(seen: Sequence[BaseGeometry], lap: LapView) -> list[BaseGeometry]:
    """The parts of a lap that are seen, unless they are most of what is seen of the piece."""
    parts = [(lap.shared.intersection(shape), shape.area) for shape in seen]
    return [part for part, whole in parts if 0 < part.area < _MOST_LAP * whole]


def _wrong_fill(drawing: Drawing) -> str:
    body = f'<path d="M0 0L6 6M6 0L0 6" stroke="{LOOK.alarm}" stroke-width="0.8"/>'
    return drawing.define(
        "wrong-lap", "pattern", body, width=6.0, height=6.0, patternUnits="userSpaceOnUse"
    )


def _swatch(drawing: Drawing, at: Point, fill: str, opacity: float) -> None:
    box = (at[0] - 14, at[1] - 6, at[0] + 14, at[1] + 6)
    drawing.rect(box, fill=fill, fill_opacity=opacity, stroke=LOOK.ink, stroke_width=0.6)


@dataclass(frozen=True, slots=True)
class FaceLabel:
    """A name that found no room on its piece, and the place that its leader points to."""

    lines: tuple[str, ...]
    at: Point


def draw_names(
    drawing: Drawing, corner: Corner, view: StackView, on: OnPage, placer: Placer, *, column: Box
) -> tuple[list[str], bool]:
    """Names on the pieces, else beside with a leader.

    Gives the names of covered pieces, and whether any name stands beside.
    """
    covered: list[str] = []
    beside: list[FaceLabel] = []
    on_piece: list[tuple[Point, str]] = []
    for name, shapes in _seen_names(corner, view, on):
        if not shapes:
            covered.append(name.words)
            continue
        inside = _first_inside(shapes, name.words, placer)
        if inside is not None:
            on_piece.append((inside, name.words))
            continue
        spot = shapely.point_on_surface(shapes[0])
        room = column[2] - column[0] - 10
        lines = tuple(wrapped(name.words, LOOK.small, room, most=3))
        beside.append(FaceLabel(lines, (spot.x, spot.y)))
    _column(drawing, beside, column)
    for at, words in on_piece:
        haloed(drawing, at, words, LOOK.small, text_anchor="middle")
    return covered, bool(beside)


def all_fit(corner: Corner, view: StackView, on: OnPage) -> bool:
    """Whether every visible piece has room for its name on it, and some to spare."""
    x, y = on.point(on.u_min, on.v_min)
    free = Placer((x - 1e4, y - 1e4, x + 1e4, y + 1e4))
    return all(
        _first_inside(shapes, f"{name.words}     ", free) is not None
        for name, shapes in _seen_names(corner, view, on)
        if shapes
    )


def _tall(shape: BaseGeometry) -> bool:
    """Whether a line of text could stand on a shape."""
    return bool(shape.bounds[3] - shape.bounds[1] > 1.5 * LOOK.small)


def _first_inside(shapes: Sequence[BaseGeometry], words: str, placer: Placer) -> Point | None:
    for shape in shapes:
        found = _inside(shape, words, placer)
        if found is not None:
            return found
    return None


def _seen_names(
    corner: Corner, view: StackView, on: OnPage
) -> list[tuple[Name, list[BaseGeometry]]]:
    """Each name with where it could stand: its largest visible parts, then all of them joined."""
    parts: dict[int, list[BaseGeometry]] = {}
    for panel in view.panels:
        parts.setdefault(panel.piece, []).append(panel.seen)
    found: list[tuple[Name, list[BaseGeometry]]] = []
    for name in names(corner, parts):
        shapes = [
            part
            for piece in name.pieces
            for seen in parts[piece]
            for part in getattr(seen, "geoms", [seen])
            if part.geom_type == "Polygon" and part.area * on.units_per_in**2 > LEAST_SEEN
        ]
        shapes.sort(key=lambda s: -s.area)
        best = on.shapes(shapes[:_PARTS_TRIED])
        if len(shapes) > 1 and not _tall(best[0]):
            joined = on.shape(shapely.union_all(shapes))
            best += sorted(getattr(joined, "geoms", [joined]), key=lambda s: -s.area)[:1]
        found.append((name, best))
    return found


def _inside(shape: BaseGeometry, words: str, placer: Placer) -> Point | None:
    """Where a name fits on the visible part of its piece, or None."""
    wide, high = text_width(words, LOOK.small) + 6, LOOK.small + 2
    x0, y0, x1, y1 = shape.bounds
    if wide > x1 - x0 or high > y1 - y0:
        return None
    shapely.prepare(shape)
    for sy in _GRID:
        for sx in _GRID:
            x, y = x0 + sx * (x1 - x0), y0 + sy * (y1 - y0)
            box = (x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)
            if placer.free(box) and shape.contains(shapely.box(*box)):
                placer.take(box)
                return x, y + 0.36 * LOOK.small
    return None


def _column(drawing: Drawing, labels: Sequence[FaceLabel], column: Box) -> None:
    """The names beside the face, each with a leader."""
    sizes = [(LOOK.small + 1.5) * len(label.lines) + 4 for label in labels]
    places = spread([label.at[1] for label in labels], sizes, column[1], column[3])
    for label, y in zip(labels, places, strict=True):
        points = [label.at, (column[0] + 2, y), (column[0] + 8, y)]
        drawing.polyline(points, stroke=LOOK.paper, stroke_width=2.4)
        drawing.polyline(points, **LOOK.leader.attributes())
        drawing.circle(label.at, 1.9, fill=LOOK.ink, stroke=LOOK.paper, stroke_width=0.7)
        first = y - (LOOK.small + 1.5) * (len(label.lines) - 1) / 2 + 0.36 * LOOK.small
        for k, words in enumerate(label.lines):
            at = (column[0] + 11, first + k * (LOOK.small + 1.5))
            drawing.text(at, words, LOOK.small, fill=LOOK.ink)
