"""Columns: a tile cut upright so that each stretch meets the same things on the way down."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Collection
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cmp_to_key, partial

import numpy as np
from numpy.typing import NDArray
from shapely import LineString, Point, Polygon

from weatherlap.shape.folds import Contact
from weatherlap.shape.patches import Box
from weatherlap.shape.tiles import Line
from weatherlap.water.tiling import LEAST, Span, Tiling, WetTile, above, cut, shared


class EventKind(StrEnum):
    """What water on a tile can meet before it comes to the tile's lower edge."""

    ONTO = "onto"
    HELD = "held"
    TROUGH = "trough"
    FOLD = "fold"
    LEAVE = "leave"


@dataclass(frozen=True, slots=True)
class Event:
    """Something met along a line across a tile between u ``left`` and ``right``. [in]

    ``what`` is a tile (ONTO, HELD), the number of a trough (TROUGH), or of a contact of the
    face (FOLD).
    """

    kind: EventKind
    line: Line
    left: float
    right: float
    what: int


@dataclass(frozen=True, slots=True)
class Column:
    """A stretch of a tile; ``events`` from the top down, the last one is LEAVE.

    Water above event j (and below event j - 1) is in node ``first_node + j``.
    """

    tile: int
    left: float
    right: float
    events: tuple[Event, ...]
    first_node: int

    def node_at(self, u: float, v: float, *, not_onto: Collection[int] = ()) -> int:
        """The node of water that arrives on the tile at (u, v). [in]

        ``not_onto`` are tiles that the water has just left, so that it cannot pass onto them.
        """
        for j, event in enumerate(self.events):
            height = event.line.at(u)
            if event.kind is EventKind.ONTO and event.what in not_onto and height > v - LEAST:
                continue
            if event.kind is EventKind.HELD:
                if height < v - 1e-6:
                    return self.first_node + j
            elif height <= v + LEAST or event.kind is EventKind.LEAVE:
                return self.first_node + j
        return self.first_node + len(self.events) - 1


def contact_line(contact: Contact) -> tuple[Line, Span] | None:
    """A contact's line and span in its own face, or None where it stands upright. [in]"""
    a, b = contact.start, contact.end
    if abs(a[0] - b[0]) <= LEAST:
        return None
    lo, hi = (a, b) if a[0] < b[0] else (b, a)
    return Line.through(lo, hi), (lo[0], hi[0])


def _onto(tiling: Tiling, mine: WetTile) -> list[Event]:
    """Sealed tops of outer pieces, stuck to this one, that turn the water onto them."""
    found: list[Event] = []
    t, tiles, pieces = mine.tile, tiling.tiles, tiling.corner.pieces
    sealed = [o for o in mine.over if pieces[tiles[o].piece].sealed_top]
    if not sealed:
        return found
    boxes = np.array([tiles[m].tile.box for m in mine.over])
    for o in sealed:
        other = tiles[o]
        top = other.tile.top
        span = shared((t.left, t.right), (other.tile.left, other.tile.right))
        span = above(t.top, top, LEAST, span) if span else None
        span = above(top, t.bottom, LEAST, span) if span else None
        if span and span[1] > span[0]:
            near = [mine.over[k] for k in _meeting(boxes, other.tile.box)]
            found += [Event(EventKind.ONTO, top, *s, o) for s in _stuck(tiling, near, other, span)]
    return found


def _meeting(boxes: NDArray[np.float64], box: Box) -> list[int]:
    """Which boxes meet another, by number. [in]"""
    left, low, right, high = boxes.T
    meet = (left <= box[2]) & (right >= box[0]) & (low <= box[3]) & (high >= box[1])
    return [int(k) for k in np.flatnonzero(meet)]


def _stuck(tiling: Tiling, over: list[int], sealed: WetTile, span: Span) -> list[Span]:
    """Where none of the outer tiles lies between a tile and the sealed top of one of them."""
    between: list[Span] = []
    for m in over:
        other = tiling.tiles[m]
        if other.piece == sealed.piece or not tiling.corner.outside(sealed.piece, other.piece):
            continue
        part = shared(span, (other.tile.left, other.tile.right))
        part = above(other.tile.top, sealed.tile.top, LEAST, part) if part else None
        part = above(sealed.tile.top, other.tile.bottom, LEAST, part) if part else None
        if part:
            between.append(part)
    parts = cut(span, [u for b in between for u in b])
    return [p for p in parts if not any(b[0] <= 0.5 * (p[0] + p[1]) <= b[1] for b in between)]


def _held(tiling: Tiling, mine: WetTile) -> list[Event]:
    """Sealed lower edges of outer pieces that let nothing out."""
    t, found = mine.tile, []
    for o in mine.over:
        other = tiling.tiles[o]
        if not tiling.corner.pieces[other.piece].sealed_bottom:
            continue
        low = other.tile.bottom
        span = shared((t.left, t.right), (other.tile.left, other.tile.right))
        span = above(t.top, low, LEAST, span) if span else None
        span = above(low, t.bottom, -LEAST, span) if span else None
        if span and span[1] > span[0]:
            round_it = _goes_on(tiling, other)
            for part in cut(span, [u for s in round_it for u in s]):
                middle = 0.5 * (part[0] + part[1])
                if not any(lo <= middle <= hi for lo, hi in round_it):
                    found.append(Event(EventKind.HELD, low, *part, o))
    return found


def _goes_on(tiling: Tiling, tile: WetTile) -> list[Span]:
    """Where a piece goes on round a fold at this tile's lower edge. [in]"""
    corner, t = tiling.corner, tile.tile
    panels = [corner.panels[p] for p in corner.pieces[tile.piece].panels]
    found: list[Span] = []
    for contact in corner.contacts_of[tile.face]:
        on = [p.polygon for p in panels if p.face == contact.there]
        line = contact_line(contact) if on else None
        span = shared((t.left, t.right), line[1]) if line else None
        span = above(line[0], t.bottom, -LEAST, span) if line and span else None
        span = above(t.bottom, line[0], -LEAST, span) if line and span else None
        if span and span[1] > span[0]:
            found += [s for shape in on for s in _touching(contact, shape, span)]
    return found


def _touching(contact: Contact, shape: Polygon, span: Span) -> list[Span]:
    """The parts of a fold, over u here, along which a shape on the next face comes up to it."""
    fold = LineString([contact.there_start, contact.there_end])
    near = fold.intersection(shape.buffer(LEAST, join_style="mitre"))
    start, wide = contact.start[0], contact.end[0] - contact.start[0]
    found: list[Span] = []
    for part in getattr(near, "geoms", [near]):
        if isinstance(part, LineString) and part.length > 2 * LEAST:
            low, high = sorted(fold.project(Point(p)) for p in (part.coords[0], part.coords[-1]))
            low = low + LEAST if low > 0 else low
            high = high - LEAST if high < fold.length - 1e-9 else high
            lo, hi = sorted(start + d / fold.length * wide for d in (low, high))
            both = shared((lo, hi), span)
            found += [both] if both else []
    return found


def _troughs(tiling: Tiling, mine: WetTile, numbers: dict[tuple[int, int], int]) -> list[Event]:
    t, found = mine.tile, []
    for k, trough in enumerate(tiling.corner.panels[mine.panel].troughs):
        a, b = sorted((trough.start, trough.end))
        if b[0] - a[0] <= LEAST:
            continue
        line = Line.through(a, b)
        span = shared((t.left, t.right), (a[0], b[0]))
        span = above(t.top, line, -LEAST, span) if span else None
        span = above(line, t.bottom, -LEAST, span) if span else None
        if span and span[1] > span[0]:
            found.append(Event(EventKind.TROUGH, line, *span, numbers[mine.panel, k]))
    return found


def _folds(tiling: Tiling, mine: WetTile) -> list[Event]:
    t, found = mine.tile, []
    for k, contact in enumerate(tiling.corner.contacts_of[mine.face]):
        line = contact_line(contact) if contact.inside_here else None
        if line is None:
            continue
        span = shared((t.left, t.right), line[1])
        span = above(t.top, line[0], LEAST, span) if span else None
        span = above(line[0], t.bottom, -LEAST, span) if span else None
        if span and span[1] > span[0]:
            found.append(Event(EventKind.FOLD, line[0], *span, k))
    return found


def _crossings(events: list[Event], edges: tuple[Event, Event]) -> list[float]:
    """Where an event line crosses another or an edge of the tile, so that their order changes."""
    found = []
    every = (*events, *edges)
    for a in events:
        for b in every:
            lean = a.line.slope - b.line.slope
            if lean:
                u = (b.line.rise - a.line.rise) / lean
                if max(a.left, b.left) < u < min(a.right, b.right):
                    found.append(u)
    return found


def columns_of(
    tiling: Tiling, mine: WetTile, numbers: dict[tuple[int, int], int], first_node: int
) -> list[Column]:
    """The columns of one tile; their nodes are numbered from ``first_node``."""
    t = mine.tile
    events = [
        *_onto(tiling, mine),
        *_held(tiling, mine),
        *_troughs(tiling, mine, numbers),
        *_folds(tiling, mine),
    ]
    leave = Event(EventKind.LEAVE, t.bottom, t.left, t.right, mine.index)
    if not events:
        return [Column(mine.index, t.left, t.right, (leave,), first_node)]
    edges = leave, replace(leave, line=t.top)
    points = [u for e in events for u in (e.left, e.right)] + _crossings(events, edges)
    columns = []
    for left, right in cut((t.left, t.right), points):
        middle = 0.5 * (left + right)
        active = [e for e in events if e.left <= middle <= e.right]
        active.sort(key=cmp_to_key(partial(_before, tiling, middle)))
        columns.append(Column(mine.index, left, right, (*active, leave), first_node))
        first_node += len(active) + 1
    return columns


_AT_ONE_PLACE = (EventKind.TROUGH, EventKind.HELD, EventKind.ONTO, EventKind.FOLD)
"""What comes first where several are met at one place: a lip catches, then a sealed
lower edge holds, then a sealed top turns out, then a fold."""


def _before(tiling: Tiling, u: float, a: Event, b: Event) -> int:
    """Order of two events from the top down; of two seals on one line the outer one is first."""
    gap = b.line.at(u) - a.line.at(u)
    if abs(gap) > 1e-9:
        return 1 if gap > 0 else -1
    if a.kind is not b.kind or a.kind not in (EventKind.HELD, EventKind.ONTO):
        return _AT_ONE_PLACE.index(a.kind) - _AT_ONE_PLACE.index(b.kind)
    outer = tiling.corner.outside(tiling.tiles[a.what].piece, tiling.tiles[b.what].piece)
    return -1 if outer else 1


def column_index(columns: list[Column], u: float) -> int:
    """Which of a tile's columns holds u (the one to its right at a seam). [in]"""
    at = bisect_right([c.left for c in columns], u) - 1
    return min(max(at, 0), len(columns) - 1)
