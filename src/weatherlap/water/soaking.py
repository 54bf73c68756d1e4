"""Soaking: how much water each absorbing piece takes in a year, every litre once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from weatherlap.water.flows import YEAR
from weatherlap.water.hops import End, Soak
from weatherlap.water.trace import Trace
from weatherlap.water.trails import Places


@dataclass(frozen=True, slots=True)
class Soaked:
    """Water that a piece takes, and where it comes to it, the most water first. [L/year, in]"""

    litres: float
    places: tuple[Places, ...]


def soaked_pieces(trace: Trace, *, goes_on: float) -> dict[int, Soaked]:
    """The water of a year that comes to each absorbing piece, by the piece's number.

    Water soaks into the first absorbing piece that it meets; a part of it goes on along the way
    to the next one. A litre that comes to a piece by several findings counts once.

    Parameters
    ----------
    goes_on : float
        Share of the water that goes on from each piece it wets to the next. [-]
    """
    litres: dict[int, float] = {}
    places: dict[int, list[tuple[float, Places]]] = {}
    for trail, step in enumerate(trace.ways.trails.steps):
        amount = float(trace.flows.of_trail[trail][YEAR].sum())
        if not isinstance(step.what, Soak) or amount <= 0:
            continue
        for number, (piece, place) in enumerate(_along(trace, trail)):
            share = amount * goes_on**number
            litres[piece] = litres.get(piece, 0.0) + share
            places.setdefault(piece, []).append((share, place))
    return {
        piece: Soaked(total, tuple(p for _, p in sorted(places[piece], key=lambda x: -x[0])))
        for piece, total in litres.items()
    }


def _along(trace: Trace, trail: int) -> Iterator[tuple[int, Places]]:
    """The pieces that a trail wets from its soaking on, each once, with the place."""
    steps, seen = trace.ways.trails.steps, set[int]()
    while trail >= 0 and not isinstance(steps[trail].what, End):
        what = steps[trail].what
        if isinstance(what, Soak) and what.piece not in seen:
            seen.add(what.piece)
            yield what.piece, trace.ways.trails.places[trail]
        trail = steps[trail].after
