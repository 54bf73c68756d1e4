"""Findings: where water gets in or cannot get away, ranked by what it does."""

from __future__ import annotations

from dataclasses import dataclass

from weatherlap.building.corner import Corner
from weatherlap.water.flows import DESIGN, YEAR, Flows, crossings
from weatherlap.water.hops import Cause, Crossing, IntoGutter, IntoTrough
from weatherlap.water.onward import onward
from weatherlap.water.ways import Ways
from weatherlap.water.wording import finding_text

LEAST_LPH = 1e-9


@dataclass(frozen=True, slots=True)
class Finding:
    """A place where water passes inward of a layer meant to stop it, or cannot get away.

    ``upper`` and ``lower`` are the pieces where most water goes in; ``alike`` counts the places
    between pieces of the same kinds.  ``flow_lph`` and ``per_year_l`` are what goes on from here
    to trouble; ``wets`` the pieces that soak, in stack order; pieces and faces are numbers in the
    corner.
    """

    letter: str
    cause: Cause
    face: int
    at: tuple[float, float]
    upper: int | None
    lower: int | None
    flow_lph: float
    per_year_l: float
    first_layer: bool
    wets: tuple[int, ...]
    text: str
    source: str
    trail: int
    alike: int


def letter_of(number: int) -> str:
    """A, B, ... Z, AA, AB, ... for 0, 1, ..."""
    text = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        text = chr(65 + rest) + text
    return text


@dataclass(slots=True)
class _Sum:
    flow_lph: float = 0.0
    per_year_l: float = 0.0
    first_lph: float = 0.0
    best: float = -1.0
    trail: int = -1
    wets: int = 0
    trails: tuple[int, ...] = ()


def _sum_up(ways: Ways, flows: Flows, shares: dict[int, float]) -> _Sum:
    """Add up the water of trails, each times its share that goes on to trouble.

    Water that passes several of the trails counts once, at the first.
    """
    total = _Sum(trails=tuple(shares))
    own = {t: flows.of_trail[t].copy() for t in shares}
    for t in shares:
        for later, share in onward(ways, flows, t, shares.keys()).items():
            own[later] -= flows.of_trail[t] * share
    for t, share in shares.items():
        flow = float(own[t][DESIGN].sum()) * share
        total.flow_lph += flow
        total.per_year_l += float(own[t][YEAR].sum()) * share
        total.first_lph += float(own[t][DESIGN, 0::2].sum()) * share
        if flow > total.best:
            total.best, total.trail = flow, t
        total.wets |= flows.wets[t]
    return total


def _spills(ways: Ways, flows: Flows, hub_of: dict[int, int]) -> dict[Crossing, dict[int, float]]:
    """Troughs and gutters that spill water which then ends in trouble."""
    found: dict[Crossing, dict[int, float]] = {}
    for t in hub_of:
        over = float(flows.spill[t, 0])
        after = ways.trails.steps[t].after
        if over * flows.trouble[after] > 0:
            crossing = _spill_crossing(ways, ways.trails.steps[t].what, ways.trails.places[t][0])
            found.setdefault(crossing, {})[t] = over * float(flows.trouble[after])
    return found


def _spill_crossing(ways: Ways, what: object, face: int) -> Crossing:
    if isinstance(what, IntoGutter):
        return Crossing(Cause.OVERFULL, face, what.piece, None)
    assert isinstance(what, IntoTrough)
    panel = ways.lay.corner.panels[ways.lay.troughs[what.trough][0]]
    cause = Cause.OVERFULL if ways.outlets[what.trough] else Cause.DAMMED
    return Crossing(cause, panel.face, panel.piece, None)


def findings_of(
    corner: Corner, ways: Ways, flows: Flows, hub_of: dict[int, int]
) -> tuple[Finding, ...]:
    """Every crossing that brings water to trouble, the worst first.

    Ranked by litres a year that go on to trouble from there.
    """
    shares = {
        crossing: {t: float(flows.trouble[t]) for t in trails}
        for crossing, trails in crossings(ways.trails, flows).items()
    }
    shares |= _spills(ways, flows, hub_of)
    rows = [(own, _sum_up(ways, flows, own_shares)) for own, own_shares in _grouped(corner, shares)]
    rows = [r for r in rows if r[1].flow_lph > LEAST_LPH or r[1].per_year_l > LEAST_LPH]
    rows.sort(key=lambda r: (-r[1].per_year_l, -r[1].flow_lph, r[0][0].face, r[0][0].cause))
    rows = _cause_first(ways, flows, rows)
    return tuple(
        _finding(corner, ways, letter_of(k), alike, total) for k, (alike, total) in enumerate(rows)
    )


_Row = tuple[list[Crossing], _Sum]


def _cause_first(ways: Ways, flows: Flows, rows: list[_Row]) -> list[_Row]:
    """Of two findings that nearly the same water passes, the one it passes first comes first."""
    order: list[_Row] = []
    for row in rows:
        at = next((k for k, r in enumerate(order) if _feeds(ways, flows, row[1], r[1])), None)
        order.insert(len(order) if at is None else at, row)
    return order


def _feeds(ways: Ways, flows: Flows, first: _Sum, then: _Sum) -> bool:
    """Whether most of one finding's water comes through another of about its size."""
    if first.per_year_l < 0.5 * then.per_year_l:
        return False
    through = 0.0
    for t in first.trails:
        shares = onward(ways, flows, t, then.trails)
        through += float(flows.of_trail[t][DESIGN].sum()) * sum(shares.values())
    return through >= 0.9 * then.flow_lph > 0


def _grouped(
    corner: Corner, shares: dict[Crossing, dict[int, float]]
) -> list[tuple[list[Crossing], dict[int, float]]]:
    """Crossings of one cause between pieces of the same kinds on a face, put together."""
    groups: dict[tuple[Cause, int, str, str], tuple[list[Crossing], dict[int, float]]] = {}
    for crossing, own in shares.items():
        pair = (crossing.upper, crossing.lower)
        kinds = ["" if p is None else corner.pieces[p].kind for p in pair]
        alike, trails = groups.setdefault(
            (crossing.cause, crossing.face, kinds[0], kinds[1]), ([], {})
        )
        alike.append(crossing)
        trails.update(own)
    return list(groups.values())


def _finding(
    corner: Corner, ways: Ways, letter: str, alike: list[Crossing], total: _Sum
) -> Finding:
    what = ways.trails.steps[total.trail].what
    crossing = what if isinstance(what, Crossing) else alike[0]
    place = ways.trails.places[total.trail]
    at = (place[1], place[2])
    wets = tuple(i for i, bit in enumerate(reversed(f"{total.wets:b}")) if bit == "1")
    first = total.first_lph > 0.5 * total.flow_lph
    text = finding_text(corner, alike, wets=wets, per_year_l=total.per_year_l, first=first)
    return Finding(
        letter=letter,
        cause=crossing.cause,
        face=place[0],
        at=at,
        upper=crossing.upper,
        lower=crossing.lower,
        flow_lph=total.flow_lph,
        per_year_l=total.per_year_l,
        first_layer=first,
        wets=wets,
        text=text,
        source=_SOURCE[crossing.cause],
        trail=total.trail,
        alike=len(alike),
    )


_SOURCE = {
    Cause.WRONG_WAY: "F-202",
    Cause.TOO_SHORT: "F-202",
    Cause.MISSING: "F-201",
    Cause.SEALED: "F-204",
    Cause.NO_DRIP: "F-205",
    Cause.DAMMED: "F-206",
    Cause.OVERFULL: "F-207",
    Cause.LEVEL: "F-208",
}
