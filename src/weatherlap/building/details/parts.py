"""Parts that details are drawn from: faces, panels, pieces and cut lines with a comment each."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from weatherlap.job.model import (
    CutLine,
    Edge,
    FaceRecord,
    GutterRecord,
    LineEnd,
    PanelRecord,
    PieceRecord,
    TroughRecord,
)
from weatherlap.shape.frames import Place, Vector

FINEST = 16.0
"""Marks in an inch on the tape that details are drawn to."""
THINNEST_IN = 1 / 8
"""A patch that is thinner than this everywhere is not cut. [in]"""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A record of the job and the comment that stands before it in the file."""

    record: FaceRecord | PieceRecord | CutLine
    comment: str = ""


def sixteenth(inches: float) -> float:
    """The nearest mark of the tape. [in]"""
    return math.floor(inches * FINEST + 0.5) / FINEST


def up_to_sixteenth(inches: float) -> float:
    """The mark of the tape at or above a length. [in]"""
    return math.ceil(inches * FINEST - 1e-6) / FINEST


def down_to_sixteenth(inches: float) -> float:
    """The mark of the tape at or below a length. [in]"""
    return math.floor(inches * FINEST + 1e-6) / FINEST


def tilt_deg(slope: float) -> float:
    """Tilt of a face from level, from its rise over its run, as the file writes it. [deg]"""
    return round(math.degrees(math.atan(slope)), 4)


@dataclass(frozen=True, slots=True)
class Slant:
    """A line that rises across a face: height ``rise_in`` at ``start_in``. [in]"""

    start_in: float
    rise_in: float
    slope: float

    def at(self, across: float) -> float:
        """Its height, exact. [in]"""
        return self.rise_in + (across - self.start_in) * self.slope

    def mark(self, across: float, *, over: float = 0.0) -> Place:
        """The place ``over`` above the line, to the tape. [in]"""
        return across, sixteenth(self.at(across) + over)

    def foot(self, across: float) -> Place:
        """The place on the line or just under it, so that what stands on it leaves no gap. [in]"""
        return across, down_to_sixteenth(self.at(across))

    def band(self, left: float, right: float, *, low: float, high: float) -> list[Place]:
        """A strip along the line between two heights over it, lower edge first. [in]"""
        return [
            self.mark(left, over=low),
            self.mark(right, over=low),
            self.mark(right, over=high),
            self.mark(left, over=high),
        ]

    def upright(self, square_in: float) -> float:
        """How high above the line, plumb, a width measured square to it reaches. [in]"""
        return up_to_sixteenth(square_in * math.hypot(1.0, self.slope))


def face(
    face_id: str,
    title: str,
    *,
    facing: float,
    tilt: float,
    origin: Vector,
    size: tuple[float, float] | None = None,
    outline: Sequence[Place] | None = None,
    comment: str = "",
) -> Drawn:
    """A face, by its width and height or by its outline. [in, deg]"""
    width, height = size or (None, None)
    record = FaceRecord(
        id=face_id,
        title=title,
        facing=facing,
        tilt=tilt,
        origin=origin,
        width=width,
        height=height,
        outline=None if outline is None else tuple(outline),
    )
    return Drawn(record, comment)


def rect(face_id: str, left: float, bottom: float, right: float, top: float) -> PanelRecord:
    """A rectangular panel. [in]"""
    return PanelRecord(face=face_id, rect=(left, bottom, right, top))


def shape(
    face_id: str, outline: Sequence[Place], *, trough: TroughRecord | None = None
) -> PanelRecord:
    """A panel with any outline. [in]"""
    return PanelRecord(face=face_id, outline=tuple(outline), trough=trough)


def trough(start: Place, end: Place, *, closed: Sequence[LineEnd] = ()) -> TroughRecord:
    """The lip of a channel 3/4 in wide and 1/2 in high. [in]"""
    return TroughRecord(line=(start, end), closed=tuple(closed))


def piece(
    piece_id: str,
    title: str,
    what: str,
    *on: PanelRecord,
    sealed: Sequence[Edge] = (),
    drip: bool = False,
    behind: Sequence[str] = (),
    passes: float | None = None,
    comment: str = "",
) -> Drawn:
    """A piece from the catalogue with its panels."""
    record = PieceRecord(
        id=piece_id,
        title=title,
        what=what,
        on=on,
        sealed=tuple(sealed),
        drip=drip,
        behind=tuple(behind),
        passes=passes,
    )
    return Drawn(record, comment)


def gutter(piece_id: str, title: str, *, line: tuple[Vector, Vector], comment: str = "") -> Drawn:
    """A half-round gutter 5 in wide. [in]"""
    record = PieceRecord(id=piece_id, title=title, what="gutter-5", gutter=GutterRecord(line=line))
    return Drawn(record, comment)


def bead(piece_id: str, *on: PanelRecord, comment: str = "") -> Drawn:
    """A bead of sealant that closes a lap: stuck at its top and its lower edge."""
    edges = (Edge.TOP, Edge.BOTTOM)
    return piece(piece_id, "bead of sealant", "sealant", *on, sealed=edges, comment=comment)


def cut(cut_id: str, title: str, *, face_id: str, at: float) -> Drawn:
    """A cut line. [in]"""
    return Drawn(CutLine(id=cut_id, face=face_id, at=sixteenth(at), title=title))


def patches(face_id: str, region: BaseGeometry) -> Iterator[PanelRecord]:
    """The panels that fill a region, corners to the tape, from left to right."""
    parts = [p for p in getattr(region, "geoms", [region]) if isinstance(p, Polygon)]
    for part in sorted(parts, key=lambda p: p.bounds):
        if part.buffer(-THINNEST_IN / 2, join_style="mitre").is_empty:
            continue
        rounded = shapely.set_precision(part, 1 / FINEST)
        for whole in getattr(rounded, "geoms", [rounded]):
            if isinstance(whole, Polygon) and not whole.is_empty:
                yield _panel(face_id, whole)


def _panel(face_id: str, region: Polygon) -> PanelRecord:
    """One panel: a rectangle where the region is one."""
    left, bottom, right, top = region.bounds
    if region.equals(shapely.box(left, bottom, right, top)):
        return rect(face_id, left, bottom, right, top)
    corners = shapely.orient_polygons(shapely.simplify(region, 0.0)).exterior.coords
    return shape(face_id, [(x, y) for x, y in corners[:-1]])
