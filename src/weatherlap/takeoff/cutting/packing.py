"""Guillotine packing by hand rules: largest piece first into the part it fits best."""

from __future__ import annotations

from collections.abc import Callable
from itertools import product

from weatherlap.takeoff.cutting.guillotine import Cut, Pattern, Rect

Part = tuple[int, int, int, int]
Order = Callable[[Rect], tuple[int, ...]]

ORDERS: tuple[Order, ...] = (
    lambda r: (r.across * r.along, r.along),
    lambda r: (r.along, r.across),
    lambda r: (r.across, r.along),
    lambda r: (max(r.across, r.along), min(r.across, r.along)),
    lambda r: (r.across + r.along, r.across),
)


def fill_sheet(
    ways: tuple[tuple[Rect, ...], ...], *, counts: list[int], across: int, along: int
) -> Pattern:
    """The fullest of several packings of one sheet.

    ``ways`` holds for each size the ways it may lie, ``counts`` how many are wanted.
    """
    tried = (
        pack(
            ways,
            counts,
            sheet=(across, along),
            order=sorted(range(len(ways)), key=lambda n: key(ways[n][0]), reverse=True),
            longer_first=longer_first,
        )
        for key, longer_first in product(ORDERS, (True, False))
    )
    return max(tried, key=area_of)


def area_of(pattern: Pattern) -> int:
    """Area of all pieces of a pattern, in whole units."""
    return sum(rect.across * rect.along for rect, _, _ in pattern.places)


def pack(
    ways: tuple[tuple[Rect, ...], ...],
    counts: list[int],
    *,
    sheet: tuple[int, int],
    order: list[int],
    longer_first: bool,
) -> Pattern:
    """Piece after piece in an order, each into the free part where least is left beside it."""
    free: list[Part] = [(0, 0, *sheet)]
    found = Pattern([], [])
    for size in order:
        for _ in range(counts[size]):
            best = _best_part(free, ways[size])
            if best is None:
                break
            part, rect = best
            free.remove(part)
            found.places.append((rect, part[0], part[1]))
            cuts, rest = _split(part, rect, longer_first)
            found.cuts.extend(cuts)
            free.extend(rest)
    return found


def _best_part(free: list[Part], ways: tuple[Rect, ...]) -> tuple[Part, Rect] | None:
    """The part and the way to lie that leave the narrowest strip beside the piece."""
    fits = [
        (min(part[2] - r.across, part[3] - r.along), part[2] * part[3], part, k)
        for part in free
        for k, r in enumerate(ways)
        if r.across <= part[2] and r.along <= part[3]
    ]
    if not fits:
        return None
    _, _, part, k = min(fits)
    return part, ways[k]


def _split(part: Part, rect: Rect, longer_first: bool) -> tuple[list[Cut], list[Part]]:
    """Cut a piece out of a part's corner: the first cut goes right across the part.

    ``longer_first`` keeps the greater of the two leftovers whole, else the lesser.
    """
    x, y, across, along = part
    beside = (across - rect.across) * along
    beyond = across * (along - rect.along)
    rip_first = (beside >= beyond) is longer_first
    cuts: list[Cut] = []
    if rip_first:
        if rect.across < across:
            cuts.append((True, rect.across, part))
        if rect.along < along:
            cuts.append((False, rect.along, (x, y, rect.across, along)))
        rest = [
            (x + rect.across, y, across - rect.across, along),
            (x, y + rect.along, rect.across, along - rect.along),
        ]
    else:
        if rect.along < along:
            cuts.append((False, rect.along, part))
        if rect.across < across:
            cuts.append((True, rect.across, (x, y, across, rect.along)))
        rest = [
            (x, y + rect.along, across, along - rect.along),
            (x + rect.across, y, across - rect.across, rect.along),
        ]
    return cuts, [one for one in rest if one[2] > 0 and one[3] > 0]
