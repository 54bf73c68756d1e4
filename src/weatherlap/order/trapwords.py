"""What a hurried crew gets wrong, in words: the piece, why it goes on early, what happens else."""

from __future__ import annotations

from collections.abc import Sequence

from weatherlap.building.corner import Corner
from weatherlap.building.laps import overlaps

MOST_NAMED = 3


def trap_words(
    corner: Corner, first: int, then: Sequence[int], face: int, trades: tuple[str, str]
) -> str:
    """Why a piece goes on before others that its trade would lay after them.

    Parameters
    ----------
    first : int
        The piece that goes on before.
    then : sequence of int
        The pieces that go over it.
    face : int
        The face on which they meet.
    trades : (its own, theirs)
        The trades that lay the one and the others.
    """
    own, theirs = trades
    title, listed = corner.pieces[first].title, _listed(corner, then)
    where = corner.faces[face].title
    turned = len({corner.panels[p].face for p in corner.pieces[first].panels}) > 1
    under = _against(corner, first, then, face)
    if under is None:
        way = f"on the {where} it goes behind {_them(then)}"
    elif turned:
        way = f"on the {where} it turns back to the {corner.pieces[under].title}"
    else:
        way = f"on the {where} it goes behind {_them(then)}, onto the {corner.pieces[under].title}"
    return (
        f"The {title} goes on before {listed}, because {way}. A crew in a hurry lays it with the "
        f"rest of the {own}, after the {theirs}: then it ends outside of {listed}, and "
        f"{_harm(corner, first, then[0], face)}."
    )


def _them(then: Sequence[int]) -> str:
    return "it" if len(then) == 1 else "them"


def _listed(corner: Corner, then: Sequence[int]) -> str:
    names = [f"the {corner.pieces[p].title}" for p in then[:MOST_NAMED]]
    if len(then) > MOST_NAMED:
        names.append(f"{len(then) - MOST_NAMED} more")
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _against(corner: Corner, first: int, then: Sequence[int], face: int) -> int | None:
    """The piece that a piece lies on with most of it on a face; of like ones the outermost."""
    best: tuple[float, int] | None = None
    for i, j in overlaps(corner):
        a, b = corner.panels[i], corner.panels[j]
        if a.face != face or first not in (a.piece, b.piece):
            continue
        other = b.piece if a.piece == first else a.piece
        if other in then or not corner.outside(first, other):
            continue
        shared = round(a.polygon.intersection(b.polygon).area, 3)
        more = best is None or shared > best[0]
        if more or (best and shared == best[0] and corner.outside(other, best[1])):
            best = shared, other
    return None if best is None else best[1]


def _harm(corner: Corner, first: int, then: int, face: int) -> str:
    """What water does where the lap is the other way round."""
    tops = [
        max((corner.panels[p].polygon.bounds[3] for p in corner.pieces[k].panels
             if corner.panels[p].face == face), default=0.0)
        for k in (first, then)
    ]  # fmt: skip
    if tops[1] > tops[0]:
        return f"the water on the {corner.pieces[then].title} runs in behind its upper edge"
    return "nothing covers its edge, so that the rain gets in behind it"
