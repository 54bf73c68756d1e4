"""Joints on site: room for heat at each new run, and laps between neighbours of one kind."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from weatherlap.building.corner import Corner, Piece
from weatherlap.shape.frames import dot
from weatherlap.takeoff.extents import extent_of
from weatherlap.takeoff.model import Line, Part
from weatherlap.takeoff.movement import JointRoom, RunEnd, siding_gap_in
from weatherlap.takeoff.splicing import Site, low_end, room_of, seen_end

WORTH_SAYING_IN = 48.0
PARALLEL = 0.99
SAME_IN = 1 / 16
IN_LINE = 0.75
"""Neighbours share so much of their width, or they are no run. [-]"""
IN_CHANNELS = ("vinyl-siding", "soffit-vented", "soffit-solid")


@dataclass(frozen=True, slots=True)
class Movement:
    """How far a new part grows and shrinks from the day it is put up on. [in]

    ``gap_in`` is what is left free at its ends in all on that day.
    """

    title: str
    length_in: float
    room: JointRoom
    gap_in: float
    why: str


@dataclass(frozen=True, slots=True)
class EndLap:
    """A lap between two neighbours of one kind, one of them new. [in]

    ``right_way`` says whether the piece lies outside that ought to.
    """

    outer: str
    inner: str
    lap_in: float
    need_in: float
    right_way: bool
    why: str

    @property
    def is_short(self) -> bool:
        """Whether the lap is shorter than it needs to be."""
        return self.lap_in < self.need_in - SAME_IN


def movements(parts: Sequence[Part], site: Site) -> tuple[Movement, ...]:
    """Growth and gap of each new part that is long enough to tell.

    Raises
    ------
    InputError
        If the day lies outside the season.

    Sources
    -------
    M-020, M-022, M-026 : growth, season, gap of siding.
    """
    rows = []
    for part in parts:
        if part.length_in < WORTH_SAYING_IN:
            continue
        room = room_of(part, part.length_in, site)
        if room is None:
            continue
        if part.entry in IN_CHANNELS:
            gap = siding_gap_in(site.day_f)
            rows.append(Movement(part.title, part.length_in, room, 2 * gap, "by rule, both ends"))
        else:
            why = "held fast at one place only, free at the ends"
            rows.append(Movement(part.title, part.length_in, room, room.growth_in, why))
    return tuple({(r.title, r.length_in): r for r in rows}.values())


def end_laps(
    corner: Corner, new: Collection[str], parts: Sequence[Part], site: Site
) -> tuple[EndLap, ...]:
    """Laps of new pieces with neighbours of their kind along a run.

    Raises
    ------
    InputError
        If the day lies outside the season.

    Sources
    -------
    M-007, M-325 : laps of trim coil; away from view, upstream over downstream.
    """
    by_piece = {part.piece: part for part in parts}
    found = []
    pairs = [
        (a, b)
        for a in corner.pieces
        for b in corner.pieces[a.index + 1 :]
        if a.record.what and a.record.what == b.record.what and a.panels and b.panels
    ]
    for a, b in pairs:
        part = by_piece.get(a.id) or by_piece.get(b.id)
        if part is not None and not {a.id, b.id}.isdisjoint(new):
            found += list(_lap(corner, a, b, part, site))
    return tuple(found)


def _lap(corner: Corner, a: Piece, b: Piece, part: Part, site: Site) -> Iterator[EndLap]:
    """The end lap of two pieces, if they run the same way and lap at their ends."""
    main, along = _main(corner, a, b)
    room = room_of(part, part.length_in, site)
    faces = {corner.panels[n].face for n in a.panels} & {corner.panels[n].face for n in b.panels}
    if room is None or not faces:
        return
    spans = [_span(corner, piece, faces, along) for piece in (a, b)]
    if spans[0] is None or spans[1] is None:
        return
    (a0, a1), (b0, b1) = spans[0], spans[1]
    lap = min(a1, b1) - max(a0, b0)
    is_inside = (a0 <= b0 + SAME_IN and a1 >= b1 - SAME_IN) or (
        b0 <= a0 + SAME_IN and b1 >= a1 - SAME_IN
    )
    if lap <= SAME_IN or is_inside or not _in_line(corner, a, b, along):
        return
    outer, inner = (a, b) if corner.outside(a.index, b.index) else (b, a)
    outer_at_end = (a1 > b1) == (outer is a)
    wanted, why = _wanted(main, site)
    right = wanted is RunEnd.NEITHER or (wanted is RunEnd.END) == outer_at_end
    yield EndLap(outer.title, inner.title, lap, room.lap_in, right, why)


def _main(corner: Corner, a: Piece, b: Piece) -> tuple[Line, tuple[float, float, float]]:
    """The line and direction of the longer of two pieces."""
    extent = max((extent_of(corner, a), extent_of(corner, b)), key=lambda e: e.length_in)
    return extent.line, extent.direction


def _span(
    corner: Corner, piece: Piece, faces: Collection[int], along: tuple[float, float, float]
) -> tuple[float, float] | None:
    """From where to where the panels of a piece on some faces reach along a way. [in]"""
    reach = [
        dot(corner.faces[face].frame.to_space(u, v), along)
        for n in piece.panels
        for face in (corner.panels[n].face,)
        if face in faces and abs(dot(corner.faces[face].frame.normal, along)) < 1 - PARALLEL + 0.05
        for u, v in corner.panels[n].polygon.exterior.coords
    ]
    return (min(reach), max(reach)) if reach else None


def _in_line(corner: Corner, a: Piece, b: Piece, along: tuple[float, float, float]) -> bool:
    """Whether two pieces lap on a face and lie side by side there, seen along a way."""
    for one in (corner.panels[m] for m in a.panels):
        for other in (corner.panels[n] for n in b.panels):
            if one.face != other.face or one.polygon.intersection(other.polygon).area < SAME_IN:
                continue
            frame = corner.faces[one.face].frame
            x, y = dot(along, frame.right), dot(along, frame.up)
            (a0, a1), (b0, b1) = (
                (min(sizes), max(sizes))
                for panel in (one, other)
                for sizes in ([-y * u + x * v for u, v in panel.polygon.exterior.coords],)
            )
            if min(a1, b1) - max(a0, b0) >= IN_LINE * max(a1 - a0, b1 - b0):
                return True
    return False


def _wanted(line: Line, site: Site) -> tuple[RunEnd, str]:
    """The end whose piece ought to lie outside, and why."""
    low = low_end(line)
    if low is not RunEnd.NEITHER:
        upper = RunEnd.START if low is RunEnd.END else RunEnd.END
        return upper, "upstream over downstream"
    seen = seen_end(line, site.seen_from_deg)
    if seen is not RunEnd.NEITHER:
        return seen, "the edge faces away from where people look"
    return RunEnd.NEITHER, "level and unseen: either way"
