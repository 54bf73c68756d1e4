"""Again: what water does on a corner that differs little from one on which it is known.

After a change only events near it are worked out again. What an event leads to follows from its
own tile, from the tiles at the places that were looked at, and from what is the same all over the
corner; where none of these changed, it is taken over, with pieces and nodes numbered anew. The
result is the same, number for number, as that of a trace from nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from weatherlap.building.corner import Corner, Piece
from weatherlap.shape.patches import Box
from weatherlap.water.columns import Column, Event, EventKind
from weatherlap.water.hops import Crossing, End, Go, Hop, IntoGutter, Soak, Tag
from weatherlap.water.lay import Lay
from weatherlap.water.tiling import Asked, Tiling, WetTile

SLACK_IN = 0.25
"""Places that lie no further apart than this count as the same place: the rules reach 1/16. [in]"""
MOST_CHANGED = 0.5
"""With more of its tiles changed than this, a corner is worked out from nothing. [-]"""

Key = tuple[int, EventKind, int, float]
"""An event: its tile, its kind, what is met, and where it begins. [in]"""
_ON_TILES = (EventKind.ONTO, EventKind.HELD, EventKind.LEAVE)


@dataclass(frozen=True, slots=True)
class Met:
    """What water does at an event, and the places that were looked at to find it out."""

    hops: list[Hop]
    asked: tuple[Asked, ...]


class Again:
    """What is known from before, told in the numbers of a new lay."""

    def __init__(self, old: Lay, met: Mapping[Key, Met], new: Lay, alike: _Alike) -> None:
        self._met, self._alike, self._new = met, alike, new
        self._nodes = _nodes(old, new, alike)
        self._changed = _changed(old, new, alike)
        self._in_place = all(n in (k, -1) for k, n in enumerate(self._nodes)) and all(
            n in (k, -1) for k, n in enumerate(alike.pieces)
        )

    @classmethod
    def on(cls, old: Lay, met: Mapping[Key, Met], new: Lay) -> Again | None:
        """What can be taken over, or None where too much has changed."""
        alike = _alike(old, new)
        if alike is None or len(alike.old_tile) < (1 - MOST_CHANGED) * len(new.tiling.tiles):
            return None
        return cls(old, met, new, alike)

    def met(self, key: Key) -> Met | None:
        """What is known of an event of the new lay, or None where it has to be worked out."""
        tile, kind, what, left = key
        old_tile = self._alike.old_tile.get(tile)
        old_what = self._alike.old_tile.get(what) if kind in _ON_TILES else what
        if old_tile is None or old_what is None:
            return None
        known = self._met.get((old_tile, kind, old_what, left))
        own = self._new.tiling.tiles[tile]
        if known is None or self._is_near_change((own.face, own.tile.box)):
            return None
        if any(self._is_near_change(place) for place in known.asked):
            return None
        hops = known.hops if self._in_place else self._moved(known.hops)
        return None if hops is None else Met(hops, known.asked)

    def _is_near_change(self, place: Asked) -> bool:
        face, (a, b, c, d) = place
        return any(
            a <= right + SLACK_IN
            and c >= left - SLACK_IN
            and b <= top + SLACK_IN
            and d >= low - SLACK_IN
            for left, low, right, top in self._changed[face]
        )

    def _moved(self, hops: list[Hop]) -> list[Hop] | None:
        """Hops in the new numbers; None where one leads to what is there no more."""
        try:
            return [
                Hop(h.left, h.right, self._tags(h.tags), self._goal(h.goal), h.at) for h in hops
            ]
        except _GoneError:
            return None

    def _goal(self, goal: Go | End) -> Go | End:
        if isinstance(goal, End):
            return End(goal.kind, self._piece(goal.piece), goal.face)
        return Go(_still(self._nodes[goal.node]), goal.across)

    def _tags(self, tags: tuple[Tag, ...]) -> tuple[Tag, ...]:
        return tuple(self._tag(tag) for tag in tags)

    def _tag(self, tag: Tag) -> Tag:
        if isinstance(tag, Soak):
            return Soak(_still(self._alike.pieces[tag.piece]), tag.face)
        if isinstance(tag, IntoGutter):
            return IntoGutter(_still(self._alike.pieces[tag.piece]))
        if isinstance(tag, Crossing):
            return Crossing(tag.cause, tag.face, self._piece(tag.upper), self._piece(tag.lower))
        raise _GoneError

    def _piece(self, piece: int | None) -> int | None:
        return None if piece is None else _still(self._alike.pieces[piece])


class _GoneError(Exception):
    """Something that a hop speaks of is there no more."""


def _still(number: int) -> int:
    if number < 0:
        raise _GoneError
    return number


@dataclass(slots=True)
class _Alike:
    """What is the same in two lays: new numbers of old pieces (-1: changed), old ones of tiles."""

    pieces: list[int]
    old_tile: dict[int, int]


def _alike(old: Lay, new: Lay) -> _Alike | None:
    """What is the same; None where nothing can be said: other faces, gutters, another order."""
    a, b = old.corner, new.corner
    if a.faces != b.faces or a.contacts != b.contacts:
        return None
    number = {p.id: p.index for p in b.pieces}
    pairs = [(p, b.pieces[number[p.id]]) for p in a.pieces if p.id in number]
    if any(p.index > q.index for (_, p), (_, q) in pairwise(pairs)):
        return None
    if _gutters(a) != _gutters(b):
        return None
    pieces = [-1] * len(a.pieces)
    old_tile: dict[int, int] = {}
    old_tiles, new_tiles = _tiles_of(old.tiling), _tiles_of(new.tiling)
    for p, q in pairs:
        mine, others = old_tiles.get(p.index, []), new_tiles.get(q.index, [])
        if _same_piece(a, p, b, q) and len(mine) == len(others):
            pieces[p.index] = q.index
            old_tile.update((n.index, m.index) for m, n in zip(mine, others, strict=True))
    return _Alike(pieces, old_tile)


def _gutters(corner: Corner) -> list[tuple[str, object]]:
    return [(p.id, p.gutter) for p in corner.pieces if p.gutter is not None]


def _tiles_of(tiling: Tiling) -> dict[int, list[WetTile]]:
    found: dict[int, list[WetTile]] = {}
    for tile in tiling.tiles:
        found.setdefault(tile.piece, []).append(tile)
    return found


def _same_piece(a: Corner, p: Piece, b: Corner, q: Piece) -> bool:
    """Whether a piece is to water what it was: in itself, in its order, in all its panels."""
    if (
        (p.sheet, p.role, p.drip, p.sealed_top, p.sealed_bottom)
        != (q.sheet, q.role, q.drip, q.sealed_top, q.sealed_bottom)
        or len(p.panels) != len(q.panels)
        or {a.pieces[n].id for n in p.behind} != {b.pieces[n].id for n in q.behind}
    ):
        return False
    panels = zip((a.panels[n] for n in p.panels), (b.panels[n] for n in q.panels), strict=True)
    return all(
        m.face == n.face
        and m.troughs == n.troughs
        and (m.polygon is n.polygon or m.polygon.equals_exact(n.polygon, 0.0))
        for m, n in panels
    )


def _nodes(old: Lay, new: Lay, alike: _Alike) -> list[int]:
    """The new number of each old node, -1 where it is not there or its tile has changed.

    Tiles whose columns are no longer the same are taken out of what is alike.
    """
    nodes = [-1] * old.node_count
    for tile, was in list(alike.old_tile.items()):
        mine, others = old.columns[was], new.columns[tile]
        if not _same_columns(old, mine, new, others, alike):
            del alike.old_tile[tile]
            continue
        for column, other in zip(mine, others, strict=True):
            for step in range(len(column.events)):
                nodes[column.first_node + step] = other.first_node + step
    base, new_base = len(old.column_of_node), len(new.column_of_node)
    stops = {(s.rail, s.tile, s.start, s.stop): k for k, s in enumerate(new.rail_stops)}
    new_tile = {was: tile for tile, was in alike.old_tile.items()}
    for k, stop in enumerate(old.rail_stops):
        at = stops.get((stop.rail, new_tile.get(stop.tile, -1), stop.start, stop.stop))
        nodes[base + k] = -1 if at is None else new_base + at
    return nodes


def _same_columns(
    old: Lay, mine: list[Column], new: Lay, others: list[Column], alike: _Alike
) -> bool:
    return len(mine) == len(others) and all(
        (c.left, c.right, len(c.events)) == (d.left, d.right, len(d.events))
        and all(_same_event(old, e, new, f, alike) for e, f in zip(c.events, d.events, strict=True))
        for c, d in zip(mine, others, strict=True)
    )


def _same_event(old: Lay, mine: Event, new: Lay, other: Event, alike: _Alike) -> bool:
    if (mine.kind, mine.left, mine.right) != (other.kind, other.left, other.right):
        return False
    if mine.line != other.line:
        return False
    if mine.kind in _ON_TILES:
        return alike.old_tile.get(other.what) == mine.what
    if mine.kind is EventKind.TROUGH:
        return old.troughs[mine.what][1] == new.troughs[other.what][1]
    return mine.what == other.what


def _changed(old: Lay, new: Lay, alike: _Alike) -> list[list[Box]]:
    """The boxes round all tiles of either lay that are not the same in both, by face. [in]"""
    found: list[list[Box]] = [[] for _ in new.corner.faces]
    kept = set(alike.old_tile.values())
    gone = [t for t in old.tiling.tiles if t.index not in kept]
    for wet in (*gone, *(t for t in new.tiling.tiles if t.index not in alike.old_tile)):
        found[wet.face].append(wet.tile.box)
    return found
