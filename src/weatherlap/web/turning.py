"""Turning a lap round: what lies over the piece that comes out has to come out with it."""

from __future__ import annotations

from collections import defaultdict

from weatherlap.building.corner import Corner
from weatherlap.building.laps import overlaps


def turned_with(corner: Corner, *, piece: str, over: str) -> tuple[str, ...]:
    """The pieces to be laid over another one when ``piece`` is, itself first.

    Whatever lies over ``piece``, directly or over others, and behind ``over`` would close a
    circle; it is laid over that piece as well.
    """
    number = {p.id: p.index for p in corner.pieces}
    if piece not in number or over not in number:
        return (piece,)
    first, target = number[piece], number[over]
    out: dict[int, set[int]] = defaultdict(set)
    for i, j in overlaps(corner):
        a, b = corner.panels[i].piece, corner.panels[j].piece
        outer, inner = (a, b) if corner.outside(a, b) else (b, a)
        out[inner].add(outer)
    above, queue = {first, target}, [first]
    while queue:
        new = out[queue.pop()] - above
        above |= new
        queue += new
    behind = sorted(p for p in above - {first, target} if target in out[p])
    return (piece, *(corner.pieces[p].id for p in behind))
