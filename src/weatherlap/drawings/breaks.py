"""Breaks: quiet stretches of a section that are left out, so that the rest can be drawn larger."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence

from weatherlap.building.corner import Corner
from weatherlap.drawings.cutting import Cut, Joint, Strip
from weatherlap.drawings.layers import Break
from weatherlap.drawings.naming import names

KEEP_IN = 4.0
"""How much is drawn on each side of anything that happens. [in]"""
LEAST_IN = 15.0
"""Shorter quiet stretches are drawn whole. [in]"""
LONG_RUN = 6
"""In runs of fewer like courses than this, each course is drawn."""
_ENDS_KEPT = 2

Node = tuple[int, float]


def breaks_of(
    corner: Corner, cut: Cut, *, places: Sequence[tuple[int, float]], pieces: frozenset[int]
) -> list[tuple[Break, ...]]:
    """The stretches of each strip that can be left out.

    Parameters
    ----------
    places : sequence of (strip, distance)
        Places that must be drawn besides the ends of pieces and the folds. [in]
    pieces : frozenset of int
        Pieces of which every end must be drawn.
    """
    found: list[tuple[Break, ...]] = []
    for number, strip in enumerate(cut.strips):
        happens = [0.0, strip.length_in, *_ends(corner, strip, pieces)]
        happens += [t for s, t in places if s == number]
        folds = [j.a_at for j in cut.joints if j.a == number]
        folds += [j.b_at for j in cut.joints if j.b == number]
        quiet = _quiet(sorted({*happens, *folds}))
        found.append(tuple(b for b in quiet if _is_bridge(cut, number, b)))
    return found


def _ends(corner: Corner, strip: Strip, pieces: frozenset[int]) -> Iterable[float]:
    """Ends of bands; the middle ones of a long run of courses do not count."""
    inner: set[int] = set()
    for name in names(corner, [b.piece for b in strip.bands]):
        if len(name.pieces) >= LONG_RUN:
            inner |= set(name.pieces[_ENDS_KEPT:-_ENDS_KEPT]) - pieces
    for band in strip.bands:
        if band.piece not in inner:
            yield band.start
            yield band.end


def _quiet(happens: Sequence[float]) -> list[Break]:
    return [
        Break(a + KEEP_IN, b - KEEP_IN) for a, b in itertools.pairwise(happens) if b - a >= LEAST_IN
    ]


def _is_bridge(cut: Cut, strip: int, gap: Break) -> bool:
    """Whether nothing but this stretch holds its two sides together (no loop goes round it)."""
    near: dict[Node, set[Node]] = {}
    ends: tuple[Node, Node] = ((strip, 0.0), (strip, 0.0))

    def link(a: Node, b: Node) -> None:
        near.setdefault(a, set()).add(b)
        near.setdefault(b, set()).add(a)

    for number, s in enumerate(cut.strips):
        row = sorted({0.0, s.length_in, *_folds(cut.joints, number)})
        for a, b in itertools.pairwise(row):
            if number == strip and a <= gap.low_in and gap.high_in <= b:
                ends = ((number, a), (number, b))
            else:
                link((number, a), (number, b))
    for joint in cut.joints:
        link((joint.a, joint.a_at), (joint.b, joint.b_at))
    return not _reaches(near, *ends)


def _folds(joints: Sequence[Joint], strip: int) -> list[float]:
    return [j.a_at for j in joints if j.a == strip] + [j.b_at for j in joints if j.b == strip]


def _reaches(near: dict[Node, set[Node]], start: Node, goal: Node) -> bool:
    seen, ready = {start}, [start]
    while ready:
        for node in near.get(ready.pop(), set()) - seen:
            if node == goal:
                return True
            seen.add(node)
            ready.append(node)
    return False
