"""Exploded views: the corner seen from above, its pieces moved out in the order of their layers."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from weatherlap.building.corner import Corner
from weatherlap.drawings.behind import Sheet3, back_to_front
from weatherlap.drawings.lettering import wrapped
from weatherlap.drawings.look import LOOK, Hatch, Look, fill_of, hatch_of
from weatherlap.drawings.marks import ring_radius
from weatherlap.drawings.naming import names
from weatherlap.drawings.page import Page, hatch_rows, mark_rows
from weatherlap.drawings.placing import Box, Placer
from weatherlap.drawings.rings import draw_rings
from weatherlap.drawings.sectionlabels import Label, draw_labels
from weatherlap.drawings.shown import Shown, compass
from weatherlap.drawings.solid import Plate, add, moves, plates, told_pieces
from weatherlap.drawings.svg import Drawing, Point, rings_text
from weatherlap.shape.frames import Vector, cross, dot

COLUMN = 100.0
TALLEST = 470.0
LIFT_DEG = 27.0
"""How steeply the view looks down. [deg]"""
_ALONE_TURN_DEG = 34.0
_TOGETHER_TURN_DEG = 9.0
_SAME_WAY = 0.85
LEAST_SEEN = 12.0
"""A visible part smaller than this is not named. [drawing units squared]"""


@dataclass(frozen=True, slots=True)
class View:
    """A view from far away: the unit vectors to the viewer, to the right and up on the page."""

    bearing_deg: float
    toward: Vector
    right: Vector
    up: Vector

    def flat(self, point: Vector) -> Point:
        """Where a point stands on the page, y down. [in]"""
        return dot(point, self.right), -dot(point, self.up)


def view_of(corner: Corner) -> View:
    """A view that sees the outer sides of most faces, a little from one side and from above."""
    x = y = weight = 0.0
    for face in corner.faces:
        n, area = face.frame.normal, face.outline.area
        x, y, weight = x + n[0] * area, y + n[1] * area, weight + math.hypot(n[0], n[1]) * area
    together = math.hypot(x, y)
    bearing = math.degrees(math.atan2(x, y)) if together > 1e-6 else 180.0
    alone = weight > 0 and together > _SAME_WAY * weight
    turn = _ALONE_TURN_DEG if alone else _TOGETHER_TURN_DEG
    left, right = _looking_from(bearing + turn), _looking_from(bearing - turn)
    return right if _faced(corner, right) > _faced(corner, left) + 1e-6 else left


def _faced(corner: Corner, view: View) -> float:
    """How well a view sees the outer sides of the faces; small faces count for more. [in]"""
    return sum(
        math.sqrt(f.outline.area) * max(dot(f.frame.normal, view.toward), 0.0) for f in corner.faces
    )


def _looking_from(bearing_deg: float) -> View:
    bearing = bearing_deg % 360.0
    a, e = math.radians(bearing), math.radians(LIFT_DEG)
    toward = (math.sin(a) * math.cos(e), math.cos(a) * math.cos(e), math.sin(e))
    right = (-math.cos(a), math.sin(a), 0.0)
    return View(bearing, toward, right, cross(toward, right))


@dataclass(frozen=True, slots=True)
class _Stage:
    """What is needed to put places in space on the page."""

    view: View
    scale: float
    left: float
    top: float

    def at(self, point: Vector) -> Point:
        """Where a point stands on the drawing. [drawing units]"""
        x, y = self.view.flat(point)
        return self.left + x * self.scale, self.top + y * self.scale

    def ring(self, points: Sequence[Vector], move: Vector) -> list[Point]:
        """An outline moved out, on the drawing. [drawing units]"""
        return [self.at(add(p, move)) for p in points]


def exploded(shown: Shown, *, prefix: str = "", look: Look = LOOK) -> str:
    """The exploded view as SVG, with the letters of the findings.

    ``prefix`` begins every id in the drawing, where two states stand on one page.
    """
    corner = shown.corner
    view = view_of(corner)
    words = (
        f"Seen from the {compass(view.bearing_deg)} and above. Pieces are moved out from their "
        "faces in the order of their layers."
    )
    page = Page(
        look, name=f"{prefix}exploded", title="Exploded view", about=f"{shown.title}. {words}"
    )
    top = page.heading("Exploded view", [shown.title, words])
    move = moves(corner, apart=told_pieces(shown))
    rows = plates(corner)
    ends = [add(p, move[q.piece]) for q in rows for ring in q.rings for p in ring]
    ends += [f.frame.to_space(u, v) for f in corner.faces for u, v in f.outline.exterior.coords]
    stage, box = _fit(view, ends, page, top)
    return _draw(page, shown, rows, move, stage, box)


def _fit(view: View, points: Sequence[Vector], page: Page, top: float) -> tuple[_Stage, Box]:
    """The largest scale at which all points fit between the two columns of names."""
    flat: NDArray[np.float64] = np.array([view.flat(p) for p in points])
    (x0, y0), (x1, y1) = flat.min(axis=0).tolist(), flat.max(axis=0).tolist()
    room = page.room - 2 * COLUMN - 12
    scale = min(room / max(x1 - x0, 1e-6), TALLEST / max(y1 - y0, 1e-6))
    left = page.look.margin + COLUMN + 6 + 0.5 * (room - (x1 - x0) * scale)
    stage = _Stage(view, scale, left - x0 * scale, top + 22 - y0 * scale)
    return stage, (left, top + 22, left + (x1 - x0) * scale, top + 22 + (y1 - y0) * scale)


def _draw(
    page: Page,
    shown: Shown,
    rows: Sequence[Plate],
    move: Sequence[Vector],
    stage: _Stage,
    box: Box,
) -> str:
    drawing, corner, look = page.drawing, shown.corner, page.look
    _faces(drawing, corner, stage)
    _ways_out(drawing, rows, move, stage)
    sheets = [
        Sheet3(tuple(add(p, move[q.piece]) for p in q.rings[0]), q.normal, q.rank) for q in rows
    ]
    flat = [np.array([stage.at(p) for p in s.corners]) for s in sheets]
    order = back_to_front(sheets, toward=stage.view.toward, flat=flat)
    shapes = [_outline(stage, rows[k], move[rows[k].piece]) for k in order]
    with drawing.group(stroke=look.ink, stroke_width=0.9, fill_rule="evenodd"):
        for k, shape in zip(order, shapes, strict=True):
            _plate(drawing, corner, rows[k], shape, toward=stage.view.toward)
    frame = (
        look.margin + COLUMN, box[1] - 6, look.width - look.margin - COLUMN, box[3] + 12
    )  # fmt: skip
    seen = _seen([rows[k].piece for k in order], shapes)
    labels, hidden = _labels(corner, seen, frame)
    low = draw_labels(drawing, labels, frame)
    crowded = _letters(drawing, shown, move, stage, frame)
    words = [f"Hidden from here: {', '.join(hidden)}."] if hidden else []
    words += [f"No room for the letters {', '.join(crowded)}."] if crowded else []
    end = page.notes(max(low, frame[3]) + 6, words)
    keys = hatch_rows(hatch_of(corner.pieces[q.piece]) for q in rows)
    keys += mark_rows(findings=bool(shown.findings), readings=False, damages=False)
    return page.finish(page.key(end, keys))


def _faces(drawing: Drawing, corner: Corner, stage: _Stage) -> None:
    """The faces where they are, as bare outlines."""
    for face in corner.faces:
        ring = [face.frame.to_space(u, v) for u, v in face.outline.exterior.coords[:-1]]
        drawing.polygon(
            stage.ring(ring, (0.0, 0.0, 0.0)),
            fill=LOOK.pale,
            fill_opacity=0.5,
            **{**LOOK.fold.attributes(), "stroke": LOOK.grey, "stroke_width": 0.8},
        )


def _ways_out(
    drawing: Drawing, rows: Sequence[Plate], move: Sequence[Vector], stage: _Stage
) -> None:
    """Dotted lines along which pieces were moved out: from the corners of the outermost ones."""
    far: dict[int, tuple[float, Plate]] = {}
    for q in rows:
        reach = sum(x * x for x in move[q.piece])
        if q.face >= 0 and reach >= far.get(q.face, (0.0, q))[0]:
            far[q.face] = (reach, q)
    for _, q in far.values():
        for p in q.rings[0]:
            drawing.line(
                stage.at(p),
                stage.at(add(p, move[q.piece])),
                stroke=LOOK.grey,
                stroke_width=0.6,
                stroke_dasharray="1 2.5",
            )


def _outline(stage: _Stage, plate: Plate, move: Vector) -> BaseGeometry:
    rings = [stage.ring(ring, move) for ring in plate.rings]
    return Polygon(rings[0], rings[1:])


def _plate(
    drawing: Drawing, corner: Corner, plate: Plate, shape: BaseGeometry, *, toward: Vector
) -> None:
    """One plate: hatched on its outer side, plain and grey on its back."""
    piece = corner.pieces[plate.piece]
    hatch = hatch_of(piece)
    outer = dot(plate.normal, toward) > 0 or plate.face < 0
    drawing.add(
        "path",
        d=rings_text(shape),
        fill=fill_of(drawing, hatch) if outer else "#f3f2ee",
        stroke_dasharray="1.5 2" if hatch is Hatch.OPEN else None,
        data_piece=piece.id,
    )


def _seen(pieces: Sequence[int], shapes: Sequence[BaseGeometry]) -> dict[int, list[BaseGeometry]]:
    """The parts of each piece that nothing nearer covers, in drawing order."""
    fixed = shapely.buffer(np.array([*shapes, None], dtype=object)[:-1], 0).tolist()
    found: dict[int, list[BaseGeometry]] = {}
    cover: BaseGeometry = Polygon()
    for piece, shape in zip(reversed(pieces), reversed(fixed), strict=True):
        rest = shape.difference(cover)
        cover = cover.union(shape)
        parts = getattr(rest, "geoms", [rest])
        found.setdefault(piece, []).extend(p for p in parts if p.area > LEAST_SEEN)
    return found


def _labels(
    corner: Corner, seen: dict[int, list[BaseGeometry]], frame: Box
) -> tuple[list[Label], list[str]]:
    """A label for each name on the side nearer to it, and the names of what cannot be seen."""
    labels: list[Label] = []
    hidden: list[str] = []
    middle = 0.5 * (frame[0] + frame[2])
    for name in names(corner, seen):
        parts = [part for p in name.pieces for part in seen[p]]
        if not parts:
            hidden.append(name.words)
            continue
        best = max(parts, key=lambda s: s.area)
        spot = shapely.point_on_surface(best)
        counts = [sum(lb.right is side for lb in labels) for side in (False, True)]
        right = spot.x + 14.0 * (counts[0] - counts[1]) > middle
        lines = tuple(wrapped(name.words, LOOK.small, COLUMN - 6, most=3))
        labels.append(Label(lines, (spot.x, spot.y), right, name.pieces))
    return labels, hidden


def _letters(
    drawing: Drawing, shown: Shown, move: Sequence[Vector], stage: _Stage, frame: Box
) -> list[str]:
    """The letters of all findings, at the moved pieces that they speak of.

    Gives the letters that found no room.
    """
    placer = Placer(frame)
    rows = []
    for f in shown.findings:
        piece = f.upper if f.upper is not None else f.lower
        where = shown.corner.faces[f.face].frame.to_space(*f.at)
        at = stage.at(add(where, move[piece]) if piece is not None else where)
        radius = ring_radius(f.letter)
        rows.append((f, at, placer.ring(at, radius, least=1.8 * radius)))
    return draw_rings(drawing, rows)
