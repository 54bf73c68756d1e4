"""Take-off: every new piece of the repaired corner as parts of goods that can be bought."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon

from weatherlap.building.corner import Corner, Panel, Piece
from weatherlap.errors import InputError
from weatherlap.job.shoprecords import MadeOfRecord
from weatherlap.sources.catalogue import Entry, Role, entry
from weatherlap.sources.goods import Form, Good, Goods, Per
from weatherlap.takeoff.extents import Extent, extent_of, line_of, shape_of
from weatherlap.takeoff.fixing import sundries_of
from weatherlap.takeoff.model import FlatSize, Line, Part, Sundry, TakeOff

SPACED_IN = 16.0
"""Studs and rafters drawn as one piece are taken to stand so far apart. [in]"""
ONE_COURSE = 1.6
"""A piece up to so many exposures high is one course. [-]"""
SPACED = ("stud", "rafter")
ROWS = "in rows, side by side"
LEAST_IN = 0.25
DONT_COUNT_IN2 = 1.0


@dataclass(frozen=True, slots=True)
class Known:
    """What is known beyond the faces: goods, flats of bent pieces, what the job says."""

    goods: Goods
    flats: Mapping[str, tuple[FlatSize, ...]]
    made_of: Mapping[str, tuple[MadeOfRecord, ...]]


def take_off(corner: Corner, new: Sequence[str], known: Known) -> TakeOff:
    """Parts and sundries of the new pieces of a repaired corner.

    Parameters
    ----------
    corner : Corner
        The corner as repaired.
    new : sequence of str
        Ids of its new pieces.
    known : Known
        Goods; flats and makings of pieces where they are given.

    Returns
    -------
    TakeOff
        Parts in the order of the pieces, what holds them, and what could not be told. A post
        base that is a piece itself is not counted again as what holds the post.

    Raises
    ------
    InputError
        If the job says that a piece is made of something that there is not.
    """
    parts: list[Part] = []
    sundries: list[Sundry] = []
    unknown: list[str] = []
    for piece in (p for p in corner.pieces if p.id in set(new)):
        own = tuple(_parts(corner, piece, known))
        if not own:
            unknown.append(
                f"{piece.title}: its `what` is not given, so that nobody can tell its stock; give "
                f'it, or write a [[made_of]] with piece = "{piece.id}"'
            )
        parts += own
        sundries += sundries_of(own, known.goods)
    drawn = {p.good.id for p in parts if p.good.per is Per.PIECE and p.good.pack == 1}
    besides = tuple(row for row in sundries if row.good.id not in drawn)
    return TakeOff(tuple(parts), besides, tuple(unknown))


def _parts(corner: Corner, piece: Piece, known: Known) -> Iterator[Part]:
    what = piece.record.what or ""
    if piece.id in known.made_of:
        yield from _made(corner, piece, known)
        return
    if piece.id in known.flats:
        good = known.goods.for_entry(what, width_in=0.0) if what else None
        if good is not None:
            yield from (_flat(piece, flat, good, corner) for flat in known.flats[piece.id])
            return
    if piece.gutter is not None and not piece.panels:
        yield from _gutter(piece, known.goods)
        return
    if not what:
        return
    extent = extent_of(corner, piece)
    good = known.goods.for_entry(what, width_in=_width(piece, extent, entry(what)))
    if good is not None:
        yield from _CUT[good.form](corner, piece, good, extent)


def _width(piece: Piece, extent: Extent, own: Entry) -> float:
    """The width that its stock must have. [in]"""
    del piece
    if own.exposure_in is not None or own.id in SPACED:
        return 0.0
    return extent.width_in


def _made(corner: Corner, piece: Piece, known: Known) -> Iterator[Part]:
    """What the job says that a piece is made of."""
    extent = extent_of(corner, piece) if piece.panels else None
    for number, row in enumerate(known.made_of[piece.id], start=1):
        good = known.goods.named(row.good, where=f"made_of, piece {piece.id!r}")
        length = row.length or (extent.length_in if extent is not None else None)
        if length is None:
            raise InputError(f"made_of, piece {piece.id!r}", "no length", "`length`")
        many = len(known.made_of[piece.id]) > 1
        yield Part(
            id=f"{piece.id}-{number}" if many else piece.id,
            piece=piece.id,
            title=f"{piece.title} ({row.note})" if row.note else piece.title,
            entry=piece.record.what or "",
            good=good,
            length_in=length,
            width_in=good.width_in,
            area_in2=length * max(good.width_in, 1.0),
            count=row.count,
            units=float(row.count),
            line=extent.line if extent is not None else None,
            note="as the job says",
        )


def _flat(piece: Piece, flat: FlatSize, good: Good, corner: Corner) -> Part:
    extent = extent_of(corner, piece)
    return Part(
        id=flat.piece if flat.piece == piece.id else f"{piece.id}-{flat.piece}",
        piece=piece.id,
        title=flat.title or piece.title,
        entry=piece.record.what or "",
        good=good,
        length_in=flat.length_in,
        width_in=flat.girth_in,
        area_in2=flat.length_in * flat.girth_in * flat.count,
        count=flat.count,
        shape=flat.shape,
        outline=flat.outline,
        line=extent.line,
        note="girth and length from its profile",
    )


def _gutter(piece: Piece, goods: Goods) -> Iterator[Part]:
    gutter = piece.gutter
    good = goods.for_entry(piece.record.what or "gutter-5", width_in=0.0)
    if gutter is None or good is None:
        return
    length = math.dist(gutter.start, gutter.end)
    line = Line(gutter.start, gutter.end, "", 0.0, length)
    what = piece.record.what or "gutter-5"
    area = length * gutter.width_in
    yield Part(piece.id, piece.id, piece.title, what, good, length, 0.0, area, line=line)


def _bars(corner: Corner, piece: Piece, good: Good, extent: Extent) -> Iterator[Part]:
    """Lengths: courses of siding, rows of boards, spaced members, plies, or one length."""
    own = entry(piece.record.what or "")
    panels = [corner.panels[p] for p in piece.panels]
    if own.exposure_in is not None:
        yield from _rows(corner, piece, good, own.exposure_in)
    elif good.across:
        yield from _across(piece, good, panels)
    elif own.id in SPACED and extent.width_in > 2 * good.width_in:
        count = math.ceil(extent.width_in / SPACED_IN) + 1
        note = "taken as members 16 in apart; a [[made_of]] says otherwise"
        yield _bar(piece, good, extent, count=count, note=note)
    elif good.width_in and extent.width_in > good.width_in + LEAST_IN:
        count = math.ceil(extent.width_in / good.width_in - 1e-6)
        yield _bar(piece, good, extent, count=count, note=ROWS)
    else:
        plies = max(1, round(own.thickness_in / good.thickness_in)) if good.thickness_in else 1
        is_frame = own.role is Role.FRAME
        note = "size by what shows: the framing sheet decides" if is_frame else ""
        yield _bar(piece, good, extent, count=plies if is_frame else 1, note=note)


def _bar(piece: Piece, good: Good, extent: Extent, *, count: int, note: str) -> Part:
    alone = note != ROWS and piece.record.what not in SPACED
    shape, outline = shape_of(extent.laid) if extent.laid and alone else ("square", ())
    return Part(
        id=piece.id,
        piece=piece.id,
        title=piece.title,
        entry=piece.record.what or "",
        good=good,
        length_in=extent.length_in,
        width_in=good.width_in or extent.width_in,
        area_in2=extent.length_in * (good.width_in or extent.width_in) * count,
        count=count,
        shape=shape,
        outline=outline,
        line=extent.line,
        note=note,
    )


def _rows(corner: Corner, piece: Piece, good: Good, exposure_in: float) -> Iterator[Part]:
    """A part for each stretch of each course."""
    shapes = list(_courses(corner, piece, exposure_in))
    for number, (panel, polygon) in enumerate(shapes, start=1):
        u0, v0, u1, v1 = polygon.bounds
        if u1 - u0 < LEAST_IN:
            continue
        shape, outline = shape_of(polygon)
        face = corner.faces[panel.face]
        middle = (v0 + v1) / 2
        ends = face.frame.to_space(u0, middle), face.frame.to_space(u1, middle)
        yield Part(
            id=f"{piece.id}-{number}" if len(shapes) > 1 else piece.id,
            piece=piece.id,
            title=piece.title,
            entry=piece.record.what or "",
            good=good,
            length_in=u1 - u0,
            width_in=v1 - v0,
            area_in2=polygon.area,
            units=math.ceil((u1 - u0) / good.gives - 1e-6) if good.per is Per.COURSE else 0.0,
            shape=shape,
            outline=outline,
            line=Line(*ends, face.id, u0, u1),
        )


def _courses(corner: Corner, piece: Piece, exposure_in: float) -> Iterator[tuple[Panel, Polygon]]:
    """The level strips of a piece, from the foot up; one if it is no higher than a course."""
    for panel in (corner.panels[p] for p in piece.panels):
        u0, v0, u1, v1 = panel.polygon.bounds
        if v1 - v0 <= ONE_COURSE * exposure_in or v1 - v0 <= exposure_in + 9:
            yield panel, panel.polygon
            continue
        for k in range(math.ceil((v1 - v0) / exposure_in - 0.05)):
            strip = shapely.box(u0, v0 + k * exposure_in, u1, v0 + (k + 1) * exposure_in)
            cut = shapely.intersection(panel.polygon, strip)
            for part in getattr(cut, "geoms", [cut]):
                if isinstance(part, Polygon) and part.area > DONT_COUNT_IN2:
                    yield panel, part


def _across(piece: Piece, good: Good, panels: Sequence[Panel]) -> Iterator[Part]:
    """Panels side by side along the longer way of a face, each cut to the shorter."""
    run = piece.record.run is not None
    for number, panel in enumerate(panels, start=1):
        u0, v0, u1, v1 = panel.polygon.bounds
        wide, deep = (u1 - u0, v1 - v0) if run or u1 - u0 >= v1 - v0 else (v1 - v0, u1 - u0)
        yield Part(
            id=f"{piece.id}-{number}" if len(panels) > 1 else piece.id,
            piece=piece.id,
            title=piece.title,
            entry=piece.record.what or "",
            good=good,
            length_in=deep,
            width_in=good.width_in,
            area_in2=panel.polygon.area,
            count=math.ceil(wide / good.width_in - 1e-6),
            note="panels side by side, cut to the depth",
        )


def _strips(corner: Corner, piece: Piece, good: Good, extent: Extent) -> Iterator[Part]:
    """Bent metal, by the widths of the faces that it lies on."""
    del corner
    length = extent.length_in + extent.turned_in
    note = "girth from its panels, without hems"
    area = length * extent.girth_in
    yield Part(
        piece.id, piece.id, piece.title, piece.record.what or "", good, length, extent.girth_in,
        area, line=extent.line, note=note,
    )  # fmt: skip


def _sheets(corner: Corner, piece: Piece, good: Good, extent: Extent) -> Iterator[Part]:
    """Sheets laid on each face: rows from the foot up, joints broken, a gap left between."""
    own = entry(piece.record.what or "")
    if own.role in (Role.TRIM, Role.FLASHING):
        yield from _strips(corner, piece, good, extent)
        return
    number = 0
    for panel in (corner.panels[p] for p in piece.panels):
        for polygon in sheet_rows(panel.polygon, good):
            number += 1
            u0, v0, u1, v1 = polygon.bounds
            shape, outline = shape_of(polygon)
            yield Part(
                id=f"{piece.id}-{number}",
                piece=piece.id,
                title=piece.title,
                entry=piece.record.what or "",
                good=good,
                length_in=u1 - u0,
                width_in=v1 - v0,
                area_in2=polygon.area,
                shape=shape,
                outline=outline,
            )


def sheet_rows(polygon: Polygon, good: Good) -> Iterator[Polygon]:
    """The sheets that cover a polygon, their length level, joints broken by half a sheet. [in]"""
    u0, v0, u1, v1 = polygon.bounds
    up, along = good.width_in + good.joint_in, good.length_in + good.joint_in
    for row in range(max(1, math.ceil((v1 - v0 - good.width_in) / up - 1e-6) + 1)):
        left = u0 - (along / 2 if row % 2 and u1 - u0 > good.length_in else 0.0)
        for k in range(math.ceil((u1 - left) / along) + 1):
            low = v0 + row * up
            one = shapely.box(
                left + k * along, low, left + k * along + good.length_in, low + good.width_in
            )
            cut = shapely.intersection(polygon, one)
            for part in getattr(cut, "geoms", [cut]):
                if isinstance(part, Polygon) and part.area > DONT_COUNT_IN2:
                    yield part


def _rolls(corner: Corner, piece: Piece, good: Good, extent: Extent) -> Iterator[Part]:
    """Each panel as it lies; a narrow roll is run along its longer side, its head to the left."""
    del extent
    panels = [corner.panels[p] for p in piece.panels]
    for number, panel in enumerate(panels, start=1):
        polygon = panel.polygon
        u0, v0, u1, v1 = polygon.bounds
        if v1 - v0 > u1 - u0 and u1 - u0 <= good.width_in:
            polygon = shapely.transform(polygon, lambda at: np.column_stack([-at[:, 1], at[:, 0]]))
            u0, v0, u1, v1 = polygon.bounds
        shape, outline = shape_of(polygon)
        yield Part(
            id=f"{piece.id}-{number}" if len(panels) > 1 else piece.id,
            piece=piece.id,
            title=piece.title,
            entry=piece.record.what or "",
            good=good,
            length_in=u1 - u0,
            width_in=v1 - v0,
            area_in2=polygon.area,
            shape=shape,
            outline=outline,
        )


def _each(corner: Corner, piece: Piece, good: Good, extent: Extent) -> Iterator[Part]:
    """Things that are counted: by the piece, the course, the bead, the area, the volume."""
    own = entry(piece.record.what or "")
    panels = [corner.panels[p] for p in piece.panels]
    if good.per is Per.COURSE:
        yield from _rows(corner, piece, good, own.exposure_in or extent.width_in)
        return
    area = sum(p.polygon.area for p in panels)
    amount = {
        Per.PIECE: 1.0,
        Per.BEAD: extent.length_in / good.gives,
        Per.AREA: area / good.gives,
        Per.VOLUME: area * own.thickness_in / good.gives,
    }[good.per]
    largest = max(panels, key=lambda p: p.polygon.area)
    shape, outline = shape_of(largest.polygon)
    yield Part(
        piece.id, piece.id, piece.title, own.id, good, extent.length_in, extent.width_in, area,
        units=amount, shape=shape, outline=outline,
        line=line_of(corner, panels[:1], extent.direction),
    )  # fmt: skip


_CUT = {
    Form.BAR: _bars,
    Form.COIL: _strips,
    Form.SHEET: _sheets,
    Form.ROLL: _rolls,
    Form.EACH: _each,
}
