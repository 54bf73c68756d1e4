"""The stock of new members: the lightest that works."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from weatherlap.errors import NoSolution
from weatherlap.run.framingmembers import Surveyed, restocked
from weatherlap.structure.model import Framing, Member, Stock, Use
from weatherlap.structure.picker import beam_stocks, pick_stock, post_stocks
from weatherlap.structure.staging import as_found

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


def lightest(
    framing: Framing, surveyed: Surveyed, *, is_late: bool, too_light: Mapping[str, Stock]
) -> tuple[Lightest, ...]:
    """The lightest stock for each new beam and post of its species and grade.

    None where something has no load path: that comes first.

    Parameters
    ----------
    too_light : mapping
        Stock that was tried for a member and does not do; only heavier is looked at.
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
        stocks = _stocks(member, too_light.get(name))
        try:
            pick = pick_stock(
                whole,
                name,
                stocks,
                snow_is_strength_level=is_late,
                stage=stage,
            )
        except NoSolution as error:
            found.append(Lightest(name, str(error), None))
            continue
        words = f"{name}: the lightest that works is {pick.sentence}"
        found.append(Lightest(name, words, restocked(member, pick.stock)))
    return tuple(found)


def _stocks(member: Member, too_light: Stock | None) -> tuple[Stock, ...]:
    """What may stand in a member's place, lightest first."""
    make = post_stocks if member.use is Use.POST else beam_stocks
    every = make(member.stock.species, member.stock.grade)
    if too_light is None or too_light not in every:
        return every
    return every[every.index(too_light) + 1 :]


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
