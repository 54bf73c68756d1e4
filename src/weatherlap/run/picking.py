"""The stock of new members: the lightest that works, and what the code's table says beside it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from weatherlap.errors import NoSolution
from weatherlap.run.framingmembers import Surveyed, restocked
from weatherlap.structure.differences import Beside, girder_beside
from weatherlap.structure.holding import HoldingUp
from weatherlap.structure.model import Framing, Member, Use
from weatherlap.structure.partial import carried_spans
from weatherlap.structure.picker import beam_stocks, pick_stock, post_stocks
from weatherlap.structure.site import Site
from weatherlap.structure.staging import as_found
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
    if surveyed.puts_in and not as_found(whole, snow_is_strength_level=is_late).stands:
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
                whole, name, make(stock.species, stock.grade), snow_is_strength_level=is_late
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
    holding: HoldingUp, site: Site, *, porch_depth_in: float | None
) -> tuple[Beside, ...]:
    """What the porch girder table says of each beam that stands at the end."""
    if porch_depth_in is None:
        return ()
    last = holding.stages[-1]
    found = []
    for member in holding.framing.members:
        if member.use is not Use.BEAM or member.id not in last.present or member.temporary:
            continue
        own = [c for c in holding.checks if c.about == member.id and c.stage == last.stage.id]
        if not own:
            continue
        beside = girder_beside(
            member, span_in=_span(holding, member), depth_ft=porch_depth_in / IN_PER_FT, site=site,
            worst=max(own, key=lambda c: c.ratio), loads=holding.figured,
        )  # fmt: skip
        if beside is not None:
            found.append(beside)
    return tuple(found)


def _span(holding: HoldingUp, member: Member) -> float:
    """Longest span between what carries a member. [in]"""
    last = holding.stages[-1]
    spans = carried_spans(holding.framing, last, member.id)
    if spans:
        return max(b - a for a, b in spans)
    places = [member.distance_along(x.at_in) for x in last.links if x.owner == member.id]
    return max(places) - min(places) if places else member.length_in
