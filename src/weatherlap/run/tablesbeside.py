"""What the code's tables say beside girders, headers, joists, rafters, deck beams and posts."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import pairwise

from weatherlap.structure.differences import (
    Beside,
    deck_beside,
    girder_beside,
    header_beside,
    ledger_beside,
    rafter_beside,
)
from weatherlap.structure.holding import HoldingUp
from weatherlap.structure.model import Framing, Member, Use
from weatherlap.structure.partial import carried_spans
from weatherlap.structure.ply_nailing import ledger_spacing_in
from weatherlap.structure.prescriptive import (
    TableSays,
    deck_beam,
    deck_joist,
    deck_post_height,
    porch_girder,
    rafter,
    table_size,
    wall_header,
)
from weatherlap.structure.results import Check
from weatherlap.structure.roof_model import Roof
from weatherlap.structure.survey import Survey
from weatherlap.units import IN_PER_FT

HELD_EDGE_IN = 24.0
TABLE_LAG_IN = 0.5
LONGEST_LEDGER_JOIST_FT = 18.0


@dataclass(slots=True)
class Tables:
    """Tables that have a row for a member, and why others have none, in words."""

    beside: list[Beside] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Asked:
    """One member that stands at the end, with what every table asks."""

    holding: HoldingUp
    survey: Survey
    member: Member
    worst: Check
    span_in: float

    @property
    def size(self) -> str:
        """The stock as tables name it."""
        return table_size(self.member.stock)


def tables_beside(holding: HoldingUp, survey: Survey, *, building_width_in: float | None) -> Tables:
    """What the code's tables say of members that stand at the end; of a row its first.

    Parameters
    ----------
    building_width_in : float or None
        Width of the house across the ridge, for the header table. [in]
    """
    found = Tables()
    depth_in = _porch_depth(survey)
    last = holding.stages[-1]
    for member in holding.framing.members:
        own = [c for c in holding.checks if c.about == member.id and c.stage == last.stage.id]
        if member.temporary or member.id not in last.present or not own:
            continue
        worst = max(own, key=lambda c: c.ratio)
        asked = _Asked(holding, survey, member, worst, _span(holding, member))
        said = [_deck_beside(asked), _porch_beside(asked, depth_in)]
        if member.use is Use.HEADER:
            said.append(_header_beside(asked, building_width_in, found))
        if member.use is Use.RAFTER:
            said.append(_rafter_beside(asked, found))
        if member.use is Use.LEDGER:
            said.append(_ledger_beside(asked))
        found.beside += [b for b in said if b is not None]
    return found


def _porch_depth(survey: Survey) -> float | None:
    """From the wall over a roof to the beam that carries its rafters. [in]"""
    beams = [m for m in survey.framing.members if m.use is Use.BEAM]
    walls = [r.area.wall_in for r in survey.roofs if r.area.wall_in is not None]
    if not beams or not walls:
        return None
    (ax, ay), (bx, by) = walls[0]
    x, y, _ = beams[-1].point_at(beams[-1].length_in / 2)
    long = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5
    return float(abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / long)


def _header_beside(asked: _Asked, width_in: float | None, found: Tables) -> Beside | None:
    """The header table, once per header; why not where a figure is missing."""
    member, site = asked.member, asked.survey.site
    if width_in is None:
        found.notes.append(
            f"{member.id}: the header table asks the width of the house across the ridge: give "
            "`building_width` under [framing]."
        )
        return None
    if site.ground_snow_psf is None:
        return None
    held = member.unbraced_in is not None and member.unbraced_in <= HELD_EDGE_IN
    said = wall_header(
        asked.size, species=member.stock.species, building_width_ft=width_in / IN_PER_FT,
        ground_snow_psf=site.ground_snow_psf.value, braced_top=held,
    )  # fmt: skip
    if said is None:
        found.notes.append(
            f"{member.id}: the rows of the header table that are held here have no {asked.size} "
            f"for {width_in / IN_PER_FT:.0f} ft and {site.ground_snow_psf.value:g} psf."
        )
        return None
    return header_beside(
        member, said, span_in=asked.span_in, site=site, worst=asked.worst,
        loads=asked.holding.figured,
    )  # fmt: skip


def _rafter_beside(asked: _Asked, found: Tables) -> Beside | None:
    """The rafter table beside the first rafter of a roof."""
    member = asked.member
    roof = _roof_of(asked)
    if roof is None:
        return None
    spacing = _spacing(asked.holding.framing, roof.area.carried_by)
    snow = asked.survey.site.ground_snow_psf
    loads = tuple(f for f in asked.holding.figured if f.about == roof.area.id)
    dead = next((f.result for f in loads if f.what == "dead load on plan"), None)
    said = rafter(
        asked.size, species=member.stock.species, grade=member.stock.grade,
        spacing_in=spacing, dead_psf=dead or 0.0, ground_snow_psf=snow.value if snow else None,
    )  # fmt: skip
    if said is None:
        found.notes.append(
            f"{member.id}: the rows of the rafter table that are held here are for 12 in spacing, "
            "20 psf of roof live load and no more snow than that, 20 psf of dead load at most, and "
            f"a few species and grades; they do not say {asked.size} at {spacing:g} in here."
        )
        return None
    return rafter_beside(member, said, span_in=_plan_span(member, asked.span_in),
                         worst=asked.worst, loads=loads)  # fmt: skip


def _ledger_beside(asked: _Asked) -> Beside | None:
    """The lag table beside a deck ledger that hangs on half-inch lags."""
    holding, member = asked.holding, asked.member
    framing, last = holding.framing, holding.stages[-1]
    lagged = {
        f.link for f in asked.survey.fastenings
        if any(s.fastener.diameter_in == TABLE_LAG_IN for s in f.sets)
    }  # fmt: skip
    hung = [s for s in last.supports if s.member == member.id and s.id in lagged]
    places = sorted(member.distance_along(s.at_in) for s in hung)
    joists = [framing.member(j.upper) for j in last.joints if j.lower == member.id]
    own = [c for c in holding.checks if c.stage == last.stage.id
           and any(c.about == s.id for s in hung)]  # fmt: skip
    span_ft = max((_span(holding, m) / IN_PER_FT for m in joists), default=0.0)
    if len(places) < 2 or not own or not 0 < span_ft <= LONGEST_LEDGER_JOIST_FT:
        return None
    wide = max(b - a for a, b in pairwise(places))
    most = float(ledger_spacing_in(span_ft, band="band_2x"))
    said = TableSays("ledger lag", most, "S-045", "1/2 in lags into a 2x band.")
    decks = {d.area.id for d in asked.survey.decks}
    loads = tuple(f for f in holding.figured if f.about in decks)
    worst = max(own, key=lambda c: c.ratio)
    return ledger_beside(member, said, spacing_in=wide, worst=worst, loads=loads)


def _roof_of(asked: _Asked) -> Roof | None:
    """The roof whose row a rafter begins."""
    roofs = (r for r in asked.survey.roofs if r.area.carried_by[0] == asked.member.id)
    return next(roofs, None)


def _plan_span(member: Member, span_in: float) -> float:
    """A span along a sloping member as the tables measure it, on plan. [in]"""
    return span_in * member.plan_length_in / member.length_in


def _porch_beside(asked: _Asked, depth_in: float | None) -> Beside | None:
    """The porch girder table beside a beam under a roof."""
    if asked.member.use is not Use.BEAM or depth_in is None:
        return None
    return girder_beside(
        asked.member, span_in=asked.span_in, depth_ft=depth_in / IN_PER_FT,
        site=asked.survey.site, worst=asked.worst, loads=asked.holding.figured,
    )  # fmt: skip


def _deck_beside(asked: _Asked) -> Beside | None:
    """The deck tables beside a joist of a floor, the beam under its joists, the post under that."""
    holding, member = asked.holding, asked.member
    for deck in asked.survey.decks:
        joists = set(deck.area.carried_by)
        first = holding.framing.member(deck.area.carried_by[0])
        beams = {j.lower for j in holding.framing.joints if j.upper in joists}
        posts = {j.lower for j in holding.framing.joints if j.upper in beams}
        size, species = asked.size, member.stock.species
        joist_ft = _span(holding, first) / IN_PER_FT
        loads = tuple(f for f in holding.figured if f.about == deck.area.id)
        if member.id == first.id:
            spacing = _spacing(holding.framing, deck.area.carried_by)
            said = deck_joist(size, species=species, spacing_in=spacing)
        elif member.id in beams and member.use is Use.BEAM:
            said = deck_beam(size, species=species, joist_span_ft=joist_ft) or porch_girder(
                size, species=species, porch_depth_ft=joist_ft, ground_snow_psf=None
            )
        elif member.id in posts and member.use is Use.POST:
            area_ft2 = _post_area(holding, member, joist_ft)
            said = deck_post_height(size, species=species, area_ft2=area_ft2)
        else:
            continue
        length = member.length_in if member.use is Use.POST else asked.span_in
        return deck_beside(member, said, span_in=length, worst=asked.worst, loads=loads)
    return None


def _spacing(framing: Framing, row: tuple[str, ...]) -> float:
    """Widest spacing of a row. [in]"""
    starts = [framing.member(name).start_in for name in row]
    return max((math.dist(a[:2], b[:2]) for a, b in pairwise(starts)), default=12.0)


def _post_area(holding: HoldingUp, post: Member, joist_ft: float) -> float:
    """Floor that a post carries: half the joists' span by half the beam's spans. [ft2]"""
    spans = [
        _span(holding, holding.framing.member(j.upper))
        for j in holding.framing.joints
        if j.lower == post.id
    ]
    return max(spans, default=0.0) / IN_PER_FT * joist_ft / 2


def _span(holding: HoldingUp, member: Member) -> float:
    """Longest span between what carries a member. [in]"""
    last = holding.stages[-1]
    spans = carried_spans(holding.framing, last, member.id)
    if spans:
        return max(b - a for a, b in spans)
    places = [member.distance_along(x.at_in) for x in last.links if x.owner == member.id]
    return max(places) - min(places) if places else member.length_in
