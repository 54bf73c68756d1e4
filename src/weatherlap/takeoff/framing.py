"""New framing members as goods: what the framing records say that a piece is made of."""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Iterator

from weatherlap.job.framingrecords import MemberRecord
from weatherlap.job.shoprecords import MadeOfRecord
from weatherlap.sources.goods import Good, Goods
from weatherlap.takeoff.model import Part

_SIZE = re.compile(r"(?:(\d+)-)?(\d+)x(\d+)")
_POST_FROM = 4


def is_new(member: MemberRecord, new: Collection[str]) -> bool:
    """Whether a member is replaced: it says so, or its piece is new."""
    return member.replaced or (member.piece is not None and member.piece in new)


def member_makings(
    members: Collection[MemberRecord], new: Collection[str], goods: Goods
) -> Iterator[MadeOfRecord]:
    """What new pieces are made of, by the members that stand for them."""
    for member in members:
        if member.piece in new and member.piece is not None:
            found = _stock(member, goods)
            if found is not None:
                good, plies = found
                length = math.dist(*member.line)
                count = plies * member.count
                yield MadeOfRecord(
                    piece=member.piece, good=good.id, length=length, count=count,
                    note=_stamp(member),
                )  # fmt: skip


def loose_members(members: Collection[MemberRecord], goods: Goods) -> Iterator[Part]:
    """Members that are replaced and are no piece of the corner."""
    for member in (m for m in members if m.replaced and m.piece is None):
        found = _stock(member, goods)
        if found is None:
            continue
        good, plies = found
        length = math.dist(*member.line)
        count = plies * member.count
        yield Part(
            id=member.id,
            piece=member.id,
            title=f"{member.use} {member.id} ({_stamp(member)})",
            entry=next((e for e in ("post", "beam", "rafter") if e == member.use), "rafter"),
            good=good,
            length_in=length,
            width_in=good.width_in,
            area_in2=length * good.width_in * count,
            count=count,
            note="by the framing record",
        )


def unsold_members(
    members: Collection[MemberRecord], new: Collection[str], goods: Goods
) -> Iterator[str]:
    """New members whose size the goods do not hold, in words."""
    for member in members:
        if is_new(member, new) and _is_unsized(member):
            yield (
                f"member {member.id}: its new size is left to the framing sheet; write it as "
                "`size` in `new` once it is chosen"
            )
        elif is_new(member, new) and _stock(member, goods) is None:
            yield (
                f"member {member.id}: the catalogue of goods has no {_size(member)}; order it by "
                "the framing sheet, or write a [[made_of]]"
            )


def held_up(members: Collection[MemberRecord], new: Collection[str]) -> tuple[str, ...]:
    """That temporary support is not bought from this list, where a member is replaced."""
    if not any(is_new(member, new) for member in members):
        return ()
    return (
        "temporary posts, header, braces and pads: the shoring sheet names them with their lengths",
    )


def unsized(members: Collection[MemberRecord], new: Collection[str]) -> frozenset[str]:
    """New pieces whose size the framing sheet has still to choose."""
    return frozenset(
        m.piece for m in members if m.piece is not None and m.piece in new and _is_unsized(m)
    )


def _is_unsized(member: MemberRecord) -> bool:
    return member.new is not None and member.new.size is None


def _stamp(member: MemberRecord) -> str:
    """Species and grade of a new member, as its grade stamp must say, or its name."""
    stock = member.new or member
    if stock.values is not None:
        return stock.values.name
    return f"{stock.species} {stock.grade}"


def _size(member: MemberRecord) -> str:
    new = member.new
    return new.size if new is not None and new.size is not None else member.size


def _stock(member: MemberRecord, goods: Goods) -> tuple[Good, int] | None:
    """The good of a member's size and treatment, and its plies."""
    match = _SIZE.fullmatch(_size(member).replace(" ", ""))
    if match is None or _is_unsized(member):
        return None
    plies, thick, deep = int(match[1] or 1), int(match[2]), match[3]
    treated = member.new.treated if member.new is not None else member.treated
    kind = "post-" if thick >= _POST_FROM else ""
    plain = "post-" if kind else "lumber-"
    name = f"treated-{kind}{thick}x{deep}" if treated else f"{plain}{thick}x{deep}"
    good = goods.good.get(name)
    return None if good is None else (good, plies)
