"""Take-down: the least that has to come off to reach the work, and in which order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from weatherlap.building.corner import Corner
from weatherlap.building.laps import overlaps
from weatherlap.errors import NoSolution
from weatherlap.job.model import Change, Edge
from weatherlap.order.aims import Aim, Fate, aims, edges_worked_on, laid_anew
from weatherlap.order.sequence import StuckError, Turn, in_order

Covers = dict[int, set[int]]


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


def covers_of(corner: Corner) -> Covers:
    """For each piece the pieces that lie over a part of it."""
    rows: Covers = {p.index: set() for p in corner.pieces}
    for i, j in overlaps(corner):
        a, b = corner.panels[i].piece, corner.panels[j].piece
        outer, inner = (a, b) if corner.outside(a, b) else (b, a)
        rows[inner].add(outer)
    return rows


@dataclass(slots=True)
class _Reach:
    """What is out of the way so far, and why; ``ahead`` are pieces still to be uncovered."""

    found: Corner
    off: dict[int, Aim]
    bent: dict[int, str] = field(default_factory=dict)
    ahead: list[int] = field(default_factory=list)

    def clear(self, cover: int, reason: str) -> bool:
        """Get a covering piece out of the way; False if it is already."""
        if cover in self.off or cover in self.bent:
            return False
        if self.found.pieces[cover].record.bends:
            self.bent[cover] = reason
            return True
        self.off[cover] = Aim(cover, Fate.BACK, reason)
        self.ahead.append(cover)
        return True

    def uncover(self, covers: Covers) -> None:
        """Clear what covers the pieces that come off, and so on outward."""
        while self.ahead:
            piece = self.ahead.pop()
            if self.found.pieces[piece].record.slides:
                continue
            for cover in sorted(covers[piece]):
                self.clear(cover, f"covers the {self.found.pieces[piece].title}")


def take_down(found: Corner, repaired: Corner, changes: Sequence[Change]) -> TakeDown:
    """What must come off so that the changes can be made, least and in order.

    All that covers a piece that comes off comes off before it, unless the piece slides out or
    the cover is bent up; likewise all that will lie over a piece that is laid anew.

    Raises
    ------
    NoSolution
        If pieces lie over one another in a circle round several faces, so that none can be the
        first; the message names them.
    """
    covers, later = covers_of(found), covers_of(repaired)
    goals = aims(found, changes)
    reach = _Reach(found, dict(goals), ahead=list(goals))
    for piece, cover in _over_edges(found, covers, changes):
        reach.clear(cover, f"covers an edge of the {found.pieces[piece].title}")
    reach.uncover(covers)
    while _clear_over_new(found, repaired, later, reach):
        reach.uncover(covers)
    return TakeDown(_ordered(found, covers, reach))


def _over_edges(
    found: Corner, covers: Covers, changes: Sequence[Change]
) -> Iterator[tuple[int, int]]:
    """(piece, cover) where a piece lies over an edge that is worked on in place."""
    for work in edges_worked_on(found, changes):
        piece, panel = work.piece, work.panel
        left, low, right, top = found.panels[panel].polygon.bounds
        at_top = work.edge is Edge.TOP
        strip = (top - work.strip_in, top) if at_top else (low, low + work.strip_in)
        for cover in sorted(covers[piece]):
            for p in found.pieces[cover].panels:
                other = found.panels[p]
                u0, v0, u1, v1 = other.polygon.bounds
                same = other.face == found.panels[panel].face
                if same and u0 < right and u1 > left and v0 < strip[1] and v1 > strip[0]:
                    yield piece, cover


def _clear_over_new(found: Corner, repaired: Corner, later: Covers, reach: _Reach) -> bool:
    """Clear what would lie over pieces that are laid anew; True if something more came off."""
    more = False
    for new in sorted(laid_anew(repaired, found, set(reach.off))):
        if repaired.pieces[new].record.slides:
            continue
        for cover in sorted(later[new]):
            old = found.piece_named.get(repaired.pieces[cover].id)
            if old is not None:
                reason = f"lies over the {repaired.pieces[new].title} that is laid"
                more |= reach.clear(old.index, reason)
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


def _ordered(found: Corner, covers: Covers, reach: _Reach) -> tuple[Removal, ...]:
    """Outer before inner; ties keep to a face and go from the top down."""
    moved = set(reach.off) | set(reach.bent)
    free = {p for p in moved if found.pieces[p].record.slides or p in reach.bent}
    must = {p: covers[p] & set(reach.off) for p in moved - free}
    may = {p: covers[p] & moved for p in moved}
    for p in moved - free:
        must[p] |= covers[p] & set(reach.bent)
    turns = {p: Turn((0, main_face(found, p)), (-round(height_of(found, p), 3), -p)) for p in moved}
    try:
        order = in_order(must, may, turns)
    except StuckError as stuck:
        raise NoSolution(circle_words(found, stuck.circle)) from None
    return tuple(_removal(found, k, p, reach) for k, p in enumerate(order, start=1))


def circle_words(corner: Corner, circle: Sequence[int]) -> str:
    """What is said of pieces that lie over one another in a circle."""
    names = [corner.pieces[p].id for p in circle]
    around = " under ".join([*names, names[0]])
    return (
        f"Nothing of these can be taken off first: {around}. Give the one that is slipped out or "
        "bent up in practice a `slides` or `bends` in the job file."
    )


def _removal(found: Corner, number: int, piece: int, reach: _Reach) -> Removal:
    place = place_in_run(found, piece)
    if piece in reach.bent:
        return Removal(number, piece, How.BENDS, Fate.BACK, reach.bent[piece], place)
    aim = reach.off[piece]
    how = How.SLIDES if found.pieces[piece].record.slides else How.OFF
    return Removal(number, piece, how, aim.fate, aim.why, place)


def place_in_run(corner: Corner, piece: int) -> int:
    """A piece's place in its run, from 1 in the order of the file; 0 if it is in none."""
    run = corner.pieces[piece].record.run
    if run is None:
        return 0
    return 1 + sum(p.record.run == run for p in corner.pieces[:piece])
