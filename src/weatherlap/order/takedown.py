"""Take-down: the least that has to come off to reach the work, and in which order."""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from weatherlap.building.corner import Corner
from weatherlap.building.laps import overlaps
from weatherlap.job.model import Change, Edge
from weatherlap.order.aims import STRIP_IN, Aim, Fate, aims, edges_worked_on, laid_anew


class How(StrEnum):
    """How a piece is got out of the way."""

    OFF = "comes off"
    SLIDES = "slides out"
    BENDS = "is bent up and held"


@dataclass(frozen=True, slots=True)
class Removal:
    """A piece in the order of taking down.

    ``number`` counts from 1; a piece that is only bent up has one too.  ``place_in_run`` is its
    place in its run of like pieces (0: it is in none).
    """

    number: int
    piece: int
    how: How
    fate: Fate
    why: str
    place_in_run: int


@dataclass(frozen=True, slots=True)
class TakeDown:
    """The least set that has to come off, in order."""

    removals: tuple[Removal, ...]

    @property
    def off(self) -> frozenset[int]:
        """Pieces (as found) that come off or slide out."""
        return frozenset(r.piece for r in self.removals if r.how is not How.BENDS)

    @property
    def bent(self) -> frozenset[int]:
        """Pieces that are only bent up and held."""
        return frozenset(r.piece for r in self.removals if r.how is How.BENDS)


def covers_of(corner: Corner) -> dict[int, set[int]]:
    """For each piece the pieces that lie over a part of it."""
    rows: dict[int, set[int]] = {p.index: set() for p in corner.pieces}
    for i, j in overlaps(corner):
        a, b = corner.panels[i].piece, corner.panels[j].piece
        outer, inner = (a, b) if corner.outside(a, b) else (b, a)
        rows[inner].add(outer)
    return rows


def take_down(found: Corner, repaired: Corner, changes: Sequence[Change]) -> TakeDown:
    """What must come off so that the changes can be made, least and in order.

    All that covers a piece that comes off comes off before it, unless the piece slides out or
    the cover is bent up; likewise all that will lie over a piece that is laid anew.
    """
    covers, later = covers_of(found), covers_of(repaired)
    goals = aims(found, changes)
    why: dict[int, Aim] = dict(goals)
    bent: dict[int, str] = {}
    queue = list(goals)
    for piece, cover in _over_edges(found, covers, changes):
        _clear(found, cover, f"covers an edge of the {found.pieces[piece].title}", why, bent, queue)
    while True:
        while queue:
            piece = queue.pop()
            if found.pieces[piece].record.slides:
                continue
            for cover in sorted(covers[piece]):
                reason = f"covers the {found.pieces[piece].title}"
                _clear(found, cover, reason, why, bent, queue)
        if not _over_new(found, repaired, later, why, bent, queue):
            break
    return TakeDown(_ordered(found, covers, why, bent))


def _clear(
    found: Corner,
    cover: int,
    reason: str,
    why: dict[int, Aim],
    bent: dict[int, str],
    queue: list[int],
) -> bool:
    """Get a covering piece out of the way; False if it is already."""
    if cover in why or cover in bent:
        return False
    if found.pieces[cover].record.bends:
        bent[cover] = reason
        return True
    why[cover] = Aim(cover, Fate.BACK, reason)
    queue.append(cover)
    return True


def _over_edges(
    found: Corner, covers: dict[int, set[int]], changes: Sequence[Change]
) -> list[tuple[int, int]]:
    """(piece, cover) where a piece lies over an edge that is worked on in place."""
    rows = []
    for piece, panel, edge in edges_worked_on(found, changes):
        left, low, right, top = found.panels[panel].polygon.bounds
        strip = (top - STRIP_IN, top) if edge is Edge.TOP else (low, low + STRIP_IN)
        for cover in sorted(covers[piece]):
            for p in found.pieces[cover].panels:
                other = found.panels[p]
                u0, v0, u1, v1 = other.polygon.bounds
                same = other.face == found.panels[panel].face
                if same and u0 < right and u1 > left and v0 < strip[1] and v1 > strip[0]:
                    rows.append((piece, cover))
    return rows


def _over_new(
    found: Corner,
    repaired: Corner,
    later: dict[int, set[int]],
    why: dict[int, Aim],
    bent: dict[int, str],
    queue: list[int],
) -> bool:
    """Clear what would lie over pieces that are laid anew; True if something more came off."""
    more = False
    for new in sorted(laid_anew(repaired, found, set(why))):
        if repaired.pieces[new].record.slides:
            continue
        for cover in sorted(later[new]):
            old = found.piece_named.get(repaired.pieces[cover].id)
            if old is not None:
                reason = f"lies over the {repaired.pieces[new].title} that is laid"
                more |= _clear(found, old.index, reason, why, bent, queue)
    return more


def height_of(corner: Corner, piece: int) -> float:
    """Height of the top of a piece above level. [in]"""
    tops = []
    for p in corner.pieces[piece].panels:
        panel = corner.panels[p]
        frame = corner.faces[panel.face].frame
        u0, _, u1, v1 = panel.polygon.bounds
        tops.append(frame.to_space((u0 + u1) / 2, v1)[2])
    gutter = corner.pieces[piece].gutter
    return max(tops, default=gutter.start[2] if gutter else 0.0)


def main_face(corner: Corner, piece: int) -> int:
    """The face on which most of a piece lies; -1 for one that hangs in space."""
    panels = [corner.panels[p] for p in corner.pieces[piece].panels]
    return max(panels, key=lambda p: p.polygon.area).face if panels else -1


def _ordered(
    found: Corner, covers: dict[int, set[int]], why: dict[int, Aim], bent: dict[int, str]
) -> tuple[Removal, ...]:
    """Outer before inner; ties keep to a face and go from the top down."""
    queue = set(why) | set(bent)
    waits = {p: set() if found.pieces[p].record.slides else covers[p] & queue for p in queue}
    ready = [(_key(found, p), p) for p in sorted(queue) if not waits[p]]
    heapq.heapify(ready)
    done: list[Removal] = []
    while ready:
        _, piece = heapq.heappop(ready)
        done.append(_removal(found, len(done) + 1, piece, why, bent))
        for p, before in waits.items():
            if piece in before:
                before.discard(piece)
                if not before:
                    heapq.heappush(ready, (_key(found, p), p))
    return tuple(done)


def _key(found: Corner, piece: int) -> tuple[int, float, int]:
    return main_face(found, piece), -round(height_of(found, piece), 3), -piece


def _removal(
    found: Corner, number: int, piece: int, why: dict[int, Aim], bent: dict[int, str]
) -> Removal:
    place = place_in_run(found, piece)
    if piece in bent:
        return Removal(number, piece, How.BENDS, Fate.BACK, bent[piece], place)
    aim = why[piece]
    how = How.SLIDES if found.pieces[piece].record.slides else How.OFF
    return Removal(number, piece, how, aim.fate, aim.why, place)


def place_in_run(corner: Corner, piece: int) -> int:
    """A piece's place in its run, from 1 in the order of the file; 0 if it is in none."""
    run = corner.pieces[piece].record.run
    if run is None:
        return 0
    return 1 + sum(p.record.run == run for p in corner.pieces[:piece])
