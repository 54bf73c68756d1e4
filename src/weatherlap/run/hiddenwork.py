"""Hidden damage of a job: which covered wood the water reaches, and what was read there."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from weatherlap.building.corner import Corner, Piece
from weatherlap.job.model import Job, Reading, Sheet
from weatherlap.job.moneyrecords import Pick
from weatherlap.money.costbook import CostBook
from weatherlap.money.damage import Covered, Hidden, Push, Sign, hidden_damage, ranked
from weatherlap.money.looking import Stakes, Worth, worth_of_look
from weatherlap.run.cornertasks import material_of
from weatherlap.run.places import place_words
from weatherlap.run.worked import Worked
from weatherlap.water.findings import Finding
from weatherlap.water.follow import Spot, finding_line
from weatherlap.water.soaking import Soaked, soaked_pieces

YEARS_ASSUMED = 10.0
"""Years that water has come in where the job does not say. Own choice. [years]"""
WIDE_IN = 8.0
"""How wide wood gets wet along the line of the water. Own choice. [in]"""
NEAR_IN = 12.0
"""A reading within this of the wet line stands in the wet part. Own choice. [in]"""
GOES_ON = 0.5
"""Share of the water that goes on from each piece it wets to the next. Own choice. [-]"""
DRY_PERCENT = 16.0
IN2_PER_FT2 = 144.0
_BY_LENGTH = ("frame", "trim")


@dataclass(frozen=True)
class HiddenWork:
    """What is feared out of sight, what a look at each is worth, and what is replaced anyway."""

    rows: tuple[Hidden, ...]
    worth: tuple[Worth, ...]
    in_price: tuple[str, ...]
    years: float
    years_known: bool


@dataclass(frozen=True, slots=True)
class _Wet:
    """The water that comes to one piece in a year, and its way along it. [L, in]"""

    litres: float
    spots: tuple[Spot, ...]


def hidden_work(worked: Worked, book: CostBook) -> HiddenWork:
    """What may be rotten behind what stays, from the trace as found.

    Wood that is replaced anyway is in the price already and only named.
    """
    job, corner = worked.job, worked.corner
    terms = job.terms
    given = terms.hidden_years if terms is not None else None
    years = YEARS_ASSUMED if given is None else given
    gone = {c.piece for c in job.change if c.piece and c.do.value in ("replace", "take-away")}
    wet = _wet_pieces(worked)
    rows = [
        hidden_damage(_covered(job, corner, piece, way, years))
        for piece, way in wet.items()
        if corner.pieces[piece].id not in gone
    ]
    feared = ranked(rows)
    return HiddenWork(
        rows=feared,
        worth=tuple(worth_of_look(h, stakes_of(h, book)) for h in feared),
        in_price=tuple(corner.pieces[p].title for p in wet if corner.pieces[p].id in gone),
        years=years,
        years_known=given is not None,
    )


def _wet_pieces(worked: Worked) -> dict[int, _Wet]:
    """Wood that water runs along, with all the water that comes to it, every litre once."""
    ways = _ways(worked)
    return {
        piece: _Wet(soaked.litres, ways.get(piece) or _first_place(piece, soaked))
        for piece, soaked in soaked_pieces(worked.trace, goes_on=GOES_ON).items()
        if worked.corner.pieces[piece].sheet is Sheet.ABSORBS
    }


def _first_place(piece: int, soaked: Soaked) -> tuple[Spot, ...]:
    face, u, v = soaked.places[0]
    return (Spot(face, u, v, piece),)


def _ways(worked: Worked) -> dict[int, tuple[Spot, ...]]:
    """The longest way of any finding's water along each piece."""
    found: dict[int, tuple[Spot, ...]] = {}
    for finding in worked.trace.findings:
        for piece, spots in _along(worked, finding):
            if piece not in found or _length_in(spots) > _length_in(found[piece]):
                found[piece] = spots
    return found


def _along(worked: Worked, finding: Finding) -> Iterator[tuple[int, tuple[Spot, ...]]]:
    line = finding_line(worked.trace, finding)
    if line is None or line.soaked_from is None:
        return
    by_piece: dict[int, list[Spot]] = {}
    for spot in line.spots[line.soaked_from :]:
        if spot.piece is not None:
            by_piece.setdefault(spot.piece, []).append(spot)
    for piece, spots in by_piece.items():
        yield piece, tuple(spots)


def _covered(job: Job, corner: Corner, piece: int, way: _Wet, years: float) -> Covered:
    own = corner.pieces[piece]
    length = _length_in(way.spots)
    wet_ft2 = length * WIDE_IN / IN2_PER_FT2
    by_length = own.role in _BY_LENGTH
    whole = _whole(corner, piece, by_length=by_length)
    wet = length / 12.0 if by_length else wet_ft2
    signs = tuple(_signs(job, corner, own.id, way.spots))
    dry_beyond = any(
        not s.in_wet and s.percent is not None and s.percent < DRY_PERCENT for s in signs
    )
    return Covered(
        piece=own.id,
        title=own.title,
        role=mend_role(own),
        material=material_of(own) or "softwood",
        litres_a_year=way.litres,
        years=years,
        wet_ft2=wet_ft2,
        wet=min(wet, whole),
        whole=whole,
        unit="ft" if by_length else "sq ft",
        signs=signs,
        clear=max(whole - 1.5 * wet, 0.0) if dry_beyond else 0.0,
    )


def mend_role(piece: Piece) -> str:
    """The row of the cost book under which a piece is mended."""
    return piece.role if piece.role in (*_BY_LENGTH, "sheathing") else "other"


def _length_in(spots: Sequence[Spot]) -> float:
    """Length of a way along a piece, at least as much as it is wide. [in]"""
    pairs = [(a, b) for a, b in pairwise(spots) if a.face == b.face]
    return max(math.fsum(math.hypot(b.u - a.u, b.v - a.v) for a, b in pairs), WIDE_IN)


def _whole(corner: Corner, piece: int, *, by_length: bool) -> float:
    """How much there is of a piece: its length or its area. [ft or ft2]"""
    panels = [corner.panels[p] for p in corner.pieces[piece].panels]
    if not by_length:
        return float(sum(p.polygon.area for p in panels)) / IN2_PER_FT2
    sizes = [0.0]
    for panel in panels:
        u0, v0, u1, v1 = panel.polygon.bounds
        sizes.append(max(u1 - u0, v1 - v0))
    return max(sizes) / 12.0


def _signs(job: Job, corner: Corner, piece: str, spots: Sequence[Spot]) -> Iterator[Sign]:
    rows: list[Reading | Pick] = [*job.reading, *job.pick]
    for row in rows:
        if row.piece != piece:
            continue
        face = corner.face_named[row.face].index
        where = place_words(corner, face=face, at=row.at)
        near = any(
            s.face == face and math.hypot(s.u - row.at[0], s.v - row.at[1]) <= NEAR_IN
            for s in spots
        )
        if isinstance(row, Pick):
            yield Sign(f"awl {row.says.value} at {where}", push=Push(row.says.value), in_wet=near)
        else:
            text = f"{row.percent:g} % at {where}"
            yield Sign(text, percent=row.percent, in_wet=near)


def stakes_of(hidden: Hidden, book: CostBook) -> Stakes:
    """What is at stake over a piece: now, late, and to look. [USD]"""
    planned = unit_cost_usd(hidden, book) * hidden.extent.mean
    hour = book.hour_usd("framing")
    late = planned * book.look.late_factor + book.look.surprise_hours * hour
    return Stakes(planned, late, book.look.hours * hour)


def unit_cost_usd(hidden: Hidden, book: CostBook) -> float:
    """What one unit of the damage costs the firm on average. [USD]"""
    mend = book.mend_of(hidden.covered.role)
    return mend.hours.mean * book.hour_usd("framing") + mend.goods_usd.mean
