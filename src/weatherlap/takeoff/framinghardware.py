"""What fastens new framing, as the framing records say it: parts, anchors, nails."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from weatherlap.job.framingrecords import (
    AnchorRecord,
    JointRecord,
    MemberRecord,
    NailsRecord,
    RatedRecord,
    SupportRecord,
)
from weatherlap.sources.goods import Good, Goods
from weatherlap.takeoff.framing import is_new
from weatherlap.takeoff.model import Sundry


@dataclass(frozen=True, slots=True)
class Framing:
    """The framing records of a job."""

    members: Sequence[MemberRecord]
    joints: Sequence[JointRecord]
    supports: Sequence[SupportRecord]


@dataclass(frozen=True, slots=True)
class Hardware:
    """What is bought to fasten new framing, and what the goods do not hold, in words.

    ``framed`` are the pieces whose fastening the records say: no rule of the goods adds to them;
    ``drawn`` are pieces of the corner that are such a part themselves.
    """

    sundries: tuple[Sundry, ...]
    missing: tuple[str, ...]
    framed: frozenset[str]
    drawn: frozenset[str]


@dataclass(frozen=True, slots=True)
class _Need:
    """So many of a thing, for a piece or a place; ``good`` is its name in the goods, if known."""

    good: str | None
    name: str
    count: int
    piece: str
    why: str
    drawn: str | None = None


def hardware(framing: Framing, new: Collection[str], goods: Goods) -> Hardware:
    """Parts, anchors and nails of what is new in the framing.

    A joint's or support's new part or nails are bought whatever is new beside them; a support's
    own part and anchors where the member that stands on it is new.
    """
    members = {member.id: member for member in framing.members}
    needs = [need for joint in framing.joints for need in _of_joint(joint, members)]
    needs += [need for row in framing.supports for need in _of_support(row, members, new)]
    needs += [need for member in framing.members for need in _plies(member, new)]
    sundries, missing = [], []
    for need in needs:
        good = _good(need, goods)
        if good is None:
            missing.append(
                f"{need.count} x {need.name}, {need.why}: the record names no `good`, so that "
                "nobody can tell its price; buy it by its report"
            )
        else:
            sundries.append(Sundry(good, need.count, need.piece, need.why, ("M-321",)))
    framed = frozenset(need.piece for need in needs if need.piece)
    drawn = frozenset(need.drawn for need in needs if need.drawn is not None)
    return Hardware(tuple(sundries), tuple(missing), framed, drawn)


def _good(need: _Need, goods: Goods) -> Good | None:
    if need.good is None:
        return None
    return goods.named(need.good, where=f"framing, {need.name}")


def _of_joint(joint: JointRecord, members: dict[str, MemberRecord]) -> Iterator[_Need]:
    upper, lower = members[joint.upper], members[joint.lower]
    count = max(upper.count, lower.count)
    piece = _piece(lower) if lower.use == "post" else _piece(upper)
    place = f"{upper.id} on {lower.id}"
    if joint.new_part is not None:
        yield _part(joint.new_part, count, piece, place)
    yield from _nails(joint.new_nails, count, piece, place)


def _of_support(
    row: SupportRecord, members: dict[str, MemberRecord], new: Collection[str]
) -> Iterator[_Need]:
    member = members[row.member]
    place = f"under {member.id}" if row.end == "lower" else f"at the head of {member.id}"
    part = row.new_part or (row.part if is_new(member, new) else None)
    if part is not None:
        yield _part(part, member.count, _piece(member), place)
    if row.anchors is not None and is_new(member, new):
        anchors: AnchorRecord = row.anchors
        count = anchors.across * anchors.deep * member.count
        yield _Need(anchors.good, anchors.name, count, _piece(member), place)
    yield from _nails(row.new_nails, member.count, _piece(member), place)


def _part(part: RatedRecord, count: int, piece: str, place: str) -> _Need:
    return _Need(part.good, part.name, count, piece, place, part.piece)


def _nails(rows: Sequence[NailsRecord], count: int, piece: str, place: str) -> Iterator[_Need]:
    for row in rows:
        yield _Need(_nail(row.nail), row.nail, row.count * count, piece, place)


def _plies(member: MemberRecord, new: Collection[str]) -> Iterator[_Need]:
    """Nails between the plies of a new member, each joint of two from one side."""
    nailed = member.new.nailed if member.new is not None and is_new(member, new) else None
    if nailed is None or member.new is None:
        return
    plies, _, rest = (member.new.size or member.size).replace(" ", "").partition("-")
    joints = int(plies) - 1 if rest and plies.isdigit() else 0
    along = math.ceil(max(math.dist(*member.line) - 2 * nailed.end, 0) / nailed.spacing - 1e-9) + 1
    if joints > 0:
        count = joints * nailed.rows * along * member.count
        why = f"plies: {nailed.rows} rows, {nailed.spacing:g} in apart, as the framing sheet has it"
        yield _Need(_nail(nailed.nail), nailed.nail, count, _piece(member), why)


def _nail(name: str) -> str | None:
    """The goods' name of a nail, as "16d common"; None for screws and lags."""
    size, _, kind = name.strip().partition(" ")
    return f"nail-{size}" if size in ("10d", "16d") and kind in ("", "common") else None


def _piece(member: MemberRecord) -> str:
    return member.piece or ""
