"""The stock of new members: the lightest that works, and what the code's table says beside it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise

from weatherlap.errors import NoSolution
from weatherlap.run.framingmembers import Surveyed, restocked
from weatherlap.structure.differences import Beside, deck_beside, girder_beside
from weatherlap.structure.holding import HoldingUp
from weatherlap.structure.model import Framing, Member, Use
from weatherlap.structure.partial import carried_spans
from weatherlap.structure.picker import beam_stocks, pick_stock, post_stocks
from weatherlap.structure.prescriptive import (
    deck_beam,
    deck_joist,
    deck_post_height,
    table_size,
)
from weatherlap.structure.results import Check
from weatherlap.structure.roof_model import Deck
from weatherlap.structure.staging import as_found
from weatherlap.structure.survey import Survey
from weatherlap.units import IN_PER_FT

BEAMS = (Use.BEAM, Use.HEADER)


@dataclass(frozen=True, slots=True)
class Lightest:
    """The lightest stock that works in a new member's place, in words."""

    member: str
    words: str
    picked: Member | None


def finished(framing: Framing, surveyed: Surveyed) -> Framing:
    """What stands when the work is done, as one framing."""
    keep = {m.id for m in surveyed.members} - set(surveyed.replaces)
    return Framing(
        tuple(m for m in framing.members if m.id in keep),
        tuple(j for j in framing.joints if j.upper in keep and j.lower in keep),
        tuple(s for s in framing.supports if s.member in keep),
        tuple(x for x in framing.line_loads if x.member in keep),
        tuple(x for x in framing.point_loads if x.member in keep),
    )


def lightest(framing: Framing, surveyed: Surveyed, *, is_late: bool) -> tuple[Lightest, ...]:
    """The lightest stock for each new beam and post of its species and grade.

    None where something has no load path: that comes first.
    """
    whole = finished(framing, surveyed)
    if not surveyed.puts_in:
        return ()
    stage = as_found(whole, snow_is_strength_level=is_late)
    if not stage.stands:
        return ()
    found = []
    for name in surveyed.puts_in:
        member = whole.member(name)
        stock = member.stock
        if stock.typed is not None or member.use not in (*BEAMS, Use.POST):
            continue
        make = post_stocks if member.use is Use.POST else beam_stocks
        try:
            pick = pick_stock(
                whole,
                name,
                make(stock.species, stock.grade),
                snow_is_strength_level=is_late,
                stage=stage,
            )
        except NoSolution as error:
            found.append(Lightest(name, str(error), None))
            continue
        words = f"{name}: the lightest that works is {pick.sentence}"
        found.append(Lightest(name, words, restocked(member, pick.stock)))
    return tuple(found)


def with_picked(
    surveyed: Surveyed, framing: Framing, picks: tuple[Lightest, ...]
) -> tuple[Surveyed, Framing]:
    """Members whose size was left open, in the stock that was picked."""
    chosen = {
        p.picked.id: p.picked for p in picks if p.picked is not None and p.member in surveyed.picked
    }
    if not chosen:
        return surveyed, framing
    members = tuple(chosen.get(m.id, m) for m in surveyed.members)
    kept = tuple(chosen.get(m.id, m) for m in framing.members)
    return replace(surveyed, members=members), replace(framing, members=kept)


def tables_beside(
    holding: HoldingUp, survey: Survey, *, porch_depth_in: float | None
) -> tuple[Beside, ...]:
    """What the code's tables say of beams, joists and posts that stand at the end."""
    found = []
    for member in holding.framing.members:
        if member.temporary or member.id not in holding.stages[-1].present:
            continue
        last = holding.stages[-1].stage.id
        own = [c for c in holding.checks if c.about == member.id and c.stage == last]
        if own:
            worst = max(own, key=lambda c: c.ratio)
            found.append(_deck_beside(holding, survey, member, worst))
            found.append(_porch_beside(holding, survey, member, worst, porch_depth_in))
    return tuple(b for b in found if b is not None)


def _porch_beside(
    holding: HoldingUp, survey: Survey, member: Member, worst: Check, depth_in: float | None
) -> Beside | None:
    """The porch girder table beside a beam under a roof."""
    if member.use is not Use.BEAM or depth_in is None:
        return None
    return girder_beside(
        member, span_in=_span(holding, member), depth_ft=depth_in / IN_PER_FT, site=survey.site,
        worst=worst, loads=holding.figured,
    )  # fmt: skip


def _deck_beside(holding: HoldingUp, survey: Survey, member: Member, worst: Check) -> Beside | None:
    """The deck tables beside a joist of a floor, the beam under its joists, the post under that."""
    for deck in survey.decks:
        joists = set(deck.area.carried_by)
        first = holding.framing.member(deck.area.carried_by[0])
        beams = {j.lower for j in holding.framing.joints if j.upper in joists}
        posts = {j.lower for j in holding.framing.joints if j.upper in beams}
        size, species = table_size(member.stock), member.stock.species
        joist_ft = _span(holding, first) / IN_PER_FT
        loads = tuple(f for f in holding.figured if f.about == deck.area.id)
        if member.id == first.id:
            said = deck_joist(size, species=species, spacing_in=_spacing(holding, deck))
        elif member.id in beams and member.use is Use.BEAM:
            said = deck_beam(size, species=species, joist_span_ft=joist_ft)
        elif member.id in posts and member.use is Use.POST:
            area_ft2 = _post_area(holding, member, joist_ft)
            said = deck_post_height(size, species=species, area_ft2=area_ft2)
        else:
            continue
        length = member.length_in if member.use is Use.POST else _span(holding, member)
        return deck_beside(member, said, span_in=length, worst=worst, loads=loads)
    return None


def _spacing(holding: HoldingUp, deck: Deck) -> float:
    """Widest spacing of the joists of a floor. [in]"""
    starts = [holding.framing.member(name).start_in for name in deck.area.carried_by]
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
