"""Crossings: which layer should have stopped the water, and why it did not."""

from __future__ import annotations

from weatherlap.building.corner import Piece
from weatherlap.job.model import Sheet
from weatherlap.shape.tiles import Tile
from weatherlap.water.hops import Cause, Crossing
from weatherlap.water.tiling import LEAST, Tiling

REACH_IN = 12.0
"""How far below a lower edge the piece that it fails to reach is looked for. [in]"""


def stops(piece: Piece) -> bool:
    """Whether a piece is there to stop water."""
    return piece.sheet in (Sheet.SHEDS, Sheet.RESISTS)


def is_cladding(piece: Piece) -> bool:
    """Whether a piece is an outer skin that a barrier sheet belongs behind.

    By its catalogue entry; without one, a piece that sheds and lies on one face only.
    """
    if piece.role:
        return piece.role in ("cladding", "trim", "roofing")
    return piece.sheet is Sheet.SHEDS and len(piece.panels) <= 1 and not piece.drip


def _is_skin_over(tiling: Tiling, outer: int, inner: int) -> bool:
    """Whether a cladding lies, as it should, over a sheet or other piece that is none."""
    pieces = tiling.corner.pieces
    return (
        pieces[inner].sheet is not Sheet.SHEDS
        and is_cladding(pieces[outer])
        and tiling.corner.outside(outer, inner)
    )


def crossing_under(
    tiling: Tiling, face: int, upper: int, covers: list[int], *, from_trough: bool = False
) -> Crossing | None:
    """The lap laid the wrong way round when water leaves ``upper`` beneath tiles ``covers``.

    A skin that properly lies over a barrier sheet is not to blame for covering its water;
    one that covers the end of a trough is.
    """
    pieces = tiling.corner.pieces
    to_blame = [
        o
        for o in covers
        if stops(pieces[tiling.tiles[o].piece])
        and (from_trough or not _is_skin_over(tiling, tiling.tiles[o].piece, upper))
    ]
    if not to_blame:
        return None
    lower = tiling.tiles[tiling.innermost(to_blame)].piece
    return Crossing(Cause.WRONG_WAY, face, upper, lower)


def crossing_below(
    tiling: Tiling, face: int, upper: int, landing: int | None, place: tuple[float, float]
) -> Crossing | None:
    """The crossing when water leaves ``upper`` and lands on wood or in a cavity, else None.

    Too short where a piece that stops water starts within 12 in below; else missing.
    """
    pieces = tiling.corner.pieces
    if pieces[upper].sheet is Sheet.ABSORBS:
        return None
    if landing is not None and stops(pieces[landing]):
        return None
    u, v = place
    best: tuple[float, int] | None = None
    for t in tiling.near(face, (u, v - REACH_IN, u, v)):
        wet = tiling.tiles[t]
        if wet.piece == upper or not stops(pieces[wet.piece]):
            continue
        if _is_skin_over(tiling, wet.piece, upper):
            continue
        if not wet.tile.left <= u <= wet.tile.right:
            continue
        top = wet.tile.top.at(u)
        if v - REACH_IN <= top <= v + LEAST and (best is None or top > best[0]):
            best = (top, wet.piece)
    if best is not None:
        return Crossing(Cause.TOO_SHORT, face, upper, best[1])
    return Crossing(Cause.MISSING, face, upper, landing)


def crossing_beyond(
    tiling: Tiling,
    upper: tuple[int, int],
    landing: int | None,
    next_face: int,
    place: tuple[float, float],
) -> Crossing | None:
    """The crossing when water goes round a fold and lands on wood or in a cavity, else None.

    ``upper`` is the face and the piece that it comes from, ``place`` where it lands on the next
    face.  Too short where a piece that stops water starts within 12 in of the fold there.
    """
    face, piece = upper
    pieces = tiling.corner.pieces
    if pieces[piece].sheet is Sheet.ABSORBS:
        return None
    if landing is not None and stops(pieces[landing]):
        return None
    u, v = place
    best: tuple[float, int] | None = None
    for t in tiling.near(next_face, (u - REACH_IN, v - REACH_IN, u + REACH_IN, v + REACH_IN)):
        wet = tiling.tiles[t]
        if wet.piece != piece and stops(pieces[wet.piece]):
            gap = _gap(wet.tile, u, v)
            if gap <= REACH_IN and (best is None or gap < best[0]):
                best = (gap, wet.piece)
    if best is not None:
        return Crossing(Cause.TOO_SHORT, face, piece, best[1])
    return Crossing(Cause.MISSING, face, piece, landing)


def _gap(tile: Tile, u: float, v: float) -> float:
    """How far a place lies from a tile, square to its sides. [in]"""
    at = min(max(u, tile.left), tile.right)
    across = abs(u - at)
    up = max(tile.bottom.at(at) - v, v - tile.top.at(at), 0.0)
    return max(across, up) if min(across, up) == 0 else (across**2 + up**2) ** 0.5
