"""Surveyed members, joints and supports of a job as the structure room takes them.

A member that is replaced has a twin, ``<id>-new``, in the same place; each of its joints is there
for the old and for the new one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from weatherlap.errors import InputError
from weatherlap.job.changes import Do
from weatherlap.job.framingrecords import (
    JointRecord,
    MemberRecord,
    NewStock,
    SupportRecord,
    TypedRecord,
)
from weatherlap.job.loads import parse_size
from weatherlap.job.model import Job
from weatherlap.structure.lumber import reference
from weatherlap.structure.model import (
    Ceiling,
    Condition,
    Hold,
    Joint,
    Loss,
    Member,
    Notch,
    Point3,
    Service,
    Stock,
    Support,
    TypedValues,
    Use,
)

NEW = "-new"
_UPRIGHT = ("post", "stud")
SLACK_IN = 6.0
END_IN = 2.0


@dataclass(frozen=True, slots=True)
class Surveyed:
    """Members with who is there at first, who goes, who comes; links with their records."""

    members: tuple[Member, ...]
    joints: tuple[Joint, ...]
    supports: tuple[Support, ...]
    joint_of: dict[str, JointRecord]
    support_of: dict[str, SupportRecord]
    replaces: tuple[str, ...]
    puts_in: tuple[str, ...]
    picked: tuple[str, ...]
    rows: dict[str, tuple[str, ...]]

    @property
    def first(self) -> frozenset[str]:
        """Ids of the members that are there before the work."""
        return frozenset(m.id for m in self.members) - set(self.puts_in)

    def named(self, names: tuple[str, ...]) -> tuple[str, ...]:
        """Ids of members from ids of members and rows."""
        return tuple(one for name in names for one in self.rows.get(name, (name,)))


def survey_members(job: Job) -> Surveyed:
    """All members, joints and supports of a job, rows written out, twins added.

    Raises
    ------
    InputError
        A stock that no table holds, or a joint whose members do not meet.
    """
    gone = _replaced_pieces(job)
    members: list[Member] = []
    rows: dict[str, tuple[str, ...]] = {}
    old: list[str] = []
    new: list[str] = []
    picked: list[str] = []
    for record in job.member:
        row = row_of(record)
        rows[record.id] = tuple(m.id for m in row)
        members += row
        if record.replaced or (record.piece is not None and record.piece in gone):
            old += rows[record.id]
            twins = [_twin(m, record, _new_stock(record)) for m in row]
            members += twins
            new += [m.id for m in twins]
            if record.new is None or record.new.size is None:
                picked += [m.id for m in twins]
    whole = Surveyed(tuple(members), (), (), {}, {}, tuple(old), tuple(new), tuple(picked), rows)
    return _with_links(job, whole)


def _replaced_pieces(job: Job) -> frozenset[str]:
    """Pieces that a change replaces or takes away."""
    return frozenset(c.piece for c in job.change if c.do is Do.REPLACE and c.piece)


def row_of(record: MemberRecord) -> list[Member]:
    """The member, or the members of a row."""
    made = []
    for k in range(record.count):
        shift = tuple(k * s for s in record.step)
        name = record.id if record.count == 1 else f"{record.id}-{k + 1}"
        made.append(_member(record, name, (shift[0], shift[1], shift[2])))
    return made


def stock_of(
    size: str, species: str | None, grade: str | None, typed: TypedRecord | None, *, where: str
) -> Stock:
    """A stock that the tables hold.

    Raises
    ------
    InputError
        No table holds it.
    """
    plies, thick, deep = parse_size(size)
    values = TypedValues(**typed.model_dump()) if typed is not None else None
    stock = Stock(thick, deep, plies, species or "", grade or "", values)
    try:
        reference(stock)
    except InputError as error:
        said = error.problems[0]
        raise InputError(f"{where}: {said.where}", said.found, said.want, said.do) from None
    return stock


def _axis(record: MemberRecord, depth_in: float, shift: Point3) -> tuple[Point3, Point3]:
    """The middle line of a member from the edge that was taped. [in]"""
    a, b = record.line
    up: Point3 = (0.0, 0.0, 0.0)
    if record.edge != "middle" and record.use not in _UPRIGHT:
        up = _across(a, b)
    half = {"middle": 0.0, "top": -depth_in / 2, "bottom": depth_in / 2}[record.edge]
    ends = [
        tuple(p + s + half * u for p, s, u in zip(end, shift, up, strict=True)) for end in (a, b)
    ]
    (ax, ay, az), (bx, by, bz) = ends
    return (ax, ay, az), (bx, by, bz)


def _across(a: Point3, b: Point3) -> Point3:
    """Unit vector square to a line, as far up as it can look."""
    dx, dy, dz = (q - p for p, q in zip(a, b, strict=True))
    flat, length = math.hypot(dx, dy), math.dist(a, b)
    if flat < 1e-9:
        return (0.0, 0.0, 0.0)
    return (-dz * dx / (flat * length), -dz * dy / (flat * length), flat / length)


def _member(record: MemberRecord, name: str, shift: Point3) -> Member:
    """One member as found."""
    where = f"member {name!r}"
    stock = stock_of(record.size, record.species, record.grade, record.values, where=where)
    start, end = _axis(record, stock.depth_in, shift)
    return Member(
        name, Use(record.use), start, end, stock,
        service=Service(record.wet, record.incised, treated=record.treated),
        condition=Condition(record.condition),
        losses=tuple(
            Loss(x.start, min(x.end, math.dist(start, end)), x.top, x.bottom, x.sides, x.plies)
            for x in record.losses
        ),
        notches=tuple(Notch(x.at, x.depth, not x.top) for x in record.notches),
        unbraced_in=record.braced, brace_weak_in=record.held_sideways,
        repetitive=record.repetitive, ceiling=Ceiling(record.ceiling),
    )  # fmt: skip


def _new_stock(record: MemberRecord) -> NewStock:
    """What it is replaced with: as given, else its own species and grade, size picked."""
    if record.new is not None:
        return record.new
    return NewStock(species=record.species, grade=record.grade, values=record.values)


def restocked(member: Member, stock: Stock) -> Member:
    """A member of another stock, its bottom where it was."""
    rise = (stock.depth_in - member.stock.depth_in) / 2
    up = (0.0, 0.0, 0.0) if member.use.upright else _across(member.start_in, member.end_in)
    (ax, ay, az), (bx, by, bz) = (
        tuple(p + rise * u for p, u in zip(end, up, strict=True))
        for end in (member.start_in, member.end_in)
    )
    return replace(member, start_in=(ax, ay, az), end_in=(bx, by, bz), stock=stock)


def _twin(member: Member, record: MemberRecord, new: NewStock) -> Member:
    """The new member in the place of an old one."""
    where = f"member {member.id!r}, new"
    stock = stock_of(new.size or record.size, new.species, new.grade, new.values, where=where)
    return replace(
        restocked(member, stock), id=member.id + NEW, condition=Condition.SOUND, losses=(),
        notches=(), service=Service(new.wet, new.incised, treated=new.treated),
    )  # fmt: skip


def _with_links(job: Job, whole: Surveyed) -> Surveyed:
    """Joints and supports of the old and the new members."""
    by_id = {m.id: m for m in whole.members}
    joints: list[Joint] = []
    supports: list[Support] = []
    joint_of: dict[str, JointRecord] = {}
    support_of: dict[str, SupportRecord] = {}
    rows = dict(whole.rows)
    for record in job.joint:
        for joint in _joints(record, whole, by_id):
            joints.append(joint)
            joint_of[joint.id] = record
    for stand in job.support:
        for support in _supports(stand, whole, by_id):
            supports.append(support)
            support_of[support.id] = stand
            if stand.every is not None:
                row = support.id.rpartition("-")[0]
                rows[row] = (*rows.get(row, ()), support.id)
    return replace(
        whole, joints=tuple(joints), supports=tuple(supports), joint_of=joint_of,
        support_of=support_of, rows=rows,
    )  # fmt: skip


def _versions(name: str, by_id: dict[str, Member]) -> tuple[str, ...]:
    """A member and its twin, if it has one."""
    return (name, name + NEW) if name + NEW in by_id else (name,)


def _joints(record: JointRecord, whole: Surveyed, by_id: dict[str, Member]) -> list[Joint]:
    """The joints of one record: of each member of a row, old and new."""
    found = []
    if record.upper == record.lower:
        raise InputError(f"joint on {record.upper!r}", "a member joined to itself", "two members")
    uppers, lowers = whole.named((record.upper,)), whole.named((record.lower,))
    is_only = record.id is not None and len(uppers) * len(lowers) == 1
    row = uppers if len(uppers) > 1 else lowers
    for upper in uppers:
        for lower in lowers:
            one = by_id[upper if row is uppers else lower]
            at = _moved(record.at, one, by_id[row[0]])
            found += [
                _joint(record, by_id[u], by_id[v], at, is_only=is_only)
                for u in _versions(upper, by_id)
                for v in _versions(lower, by_id)
            ]
    return found


def _joint(
    record: JointRecord, upper: Member, lower: Member, given: Point3 | None, *, is_only: bool
) -> Joint:
    """One joint; between new members it opens by the gap that is left for shims."""
    plain = record.id if is_only and record.id else f"{upper.id}-on-{lower.id}"
    is_new = upper.id.endswith(NEW) or lower.id.endswith(NEW)
    marks = "".join(NEW for m in (upper, lower) if m.id.endswith(NEW))
    name = f"{plain}{marks}" if is_only and record.id else plain
    at = given or _meeting(upper, lower)
    along, across = record.bearing or _bearing(upper, lower)
    return Joint(
        name, upper.id, lower.id, at, Hold(record.hold),
        gap_in=record.new_gap if is_new and upper.id.endswith(NEW) else record.gap,
        bearing_length_in=along, bearing_width_in=across, shim_area_in2=record.shim_area,
    )  # fmt: skip


def _bearing(upper: Member, lower: Member) -> tuple[float, float]:
    """Bearing of one member on another where nobody measured it: their full sizes. [in]"""
    if lower.use.upright:
        return lower.stock.depth_in, min(upper.stock.total_width_in, lower.stock.total_width_in)
    return lower.stock.total_width_in, upper.stock.total_width_in


def _meeting(upper: Member, lower: Member) -> Point3:
    """Where the upper member sits on the lower one: head of a post, else crossing in plan. [in]

    Raises
    ------
    InputError
        They do not meet in plan.
    """
    if lower.use.upright:
        return _on_head(upper, lower)
    (ax, ay, az), (bx, by, bz) = upper.start_in, upper.end_in
    (cx, cy, _), (dx, dy, _) = lower.start_in, lower.end_in
    cross = (bx - ax) * (dy - cy) - (by - ay) * (dx - cx)
    if abs(cross) < 1e-9:
        raise _apart(upper, lower, "run side by side")
    t = ((cx - ax) * (dy - cy) - (cy - ay) * (dx - cx)) / cross
    s = ((cx - ax) * (by - ay) - (cy - ay) * (bx - ax)) / cross
    if not (_near(t, upper.length_in, SLACK_IN) and _near(s, lower.length_in, SLACK_IN)):
        raise _apart(upper, lower, "do not cross in plan")
    t = min(max(t, 0.0), 1.0)
    z = az + t * (bz - az)
    below = lower.point_at(lower.distance_along((ax + t * (bx - ax), ay + t * (by - ay), z)))
    return (ax + t * (bx - ax), ay + t * (by - ay), (z + below[2]) / 2)


def _on_head(upper: Member, post: Member) -> Point3:
    """The head of an upright, if what it carries lies over it. [in]

    Raises
    ------
    InputError
        It stands beside what it carries, or its head is far below or above the underside.
    """
    head = max(post.start_in, post.end_in, key=lambda p: p[2])
    over, under = _over(upper, head)
    beside = math.dist(over[:2], head[:2])
    touch = (upper.stock.total_width_in + max(post.stock.total_width_in, post.stock.depth_in)) / 2
    if beside > touch + 1.0:
        raise _apart(upper, post, f"stand {beside:.1f} in apart in plan")
    if not -upper.stock.depth_in - SLACK_IN <= under - head[2] <= SLACK_IN:
        raise _apart(upper, post, f"are {under - head[2]:.1f} in apart in height")
    return head


def _over(upper: Member, head: Point3) -> tuple[Point3, float]:
    """The place on an axis that is nearest in plan, and the height of the underside there. [in]"""
    if upper.use.upright or upper.plan_length_in < 1.0:
        foot = min(upper.start_in, upper.end_in, key=lambda p: p[2])
        return foot, foot[2]
    (ax, ay, _), (bx, by, _) = upper.start_in, upper.end_in
    along = (head[0] - ax) * (bx - ax) + (head[1] - ay) * (by - ay)
    share = min(max(along / upper.plan_length_in**2, 0.0), 1.0)
    over = upper.point_at(share * upper.length_in)
    half = upper.stock.depth_in / 2 * upper.length_in / upper.plan_length_in
    return over, over[2] - half


def _near(share: float, length_in: float, slack_in: float) -> bool:
    """Whether a share of a length is on it, or past its end by no more than the slack. [in]"""
    return -slack_in / length_in <= share <= 1 + slack_in / length_in


def _apart(upper: Member, lower: Member, how: str) -> InputError:
    """Two members that are said to be joined and do not meet."""
    return InputError(
        f"joint of {upper.id!r} on {lower.id!r}", f"the two {how}", "members that meet",
        "Mend a line, or give `at`, where they meet.",
    )  # fmt: skip


def _supports(record: SupportRecord, whole: Surveyed, by_id: dict[str, Member]) -> list[Support]:
    """The supports of one record: of each member of a row, old and new, or along one member."""
    names = whole.named((record.member,))
    first = by_id[names[0]]
    made = [
        _support(record, by_id[name], first, is_row=len(names) > 1)
        for plain in names
        for name in _versions(plain, by_id)
    ]
    if record.every is None:
        return made
    return [s for one in made for s in _repeated(one, record.every, by_id[one.member])]


def _repeated(first: Support, every_in: float, member: Member) -> list[Support]:
    """A support again and again along its member, from its own place or the member's start."""
    start = member.distance_along(first.at_in)
    begin = min(start, member.length_in - start)
    begin = max(begin, END_IN)
    count = int((member.length_in - END_IN - begin) // every_in) + 1
    return [
        replace(first, id=f"{first.id}-{k + 1}", at_in=member.point_at(begin + k * every_in))
        for k in range(max(count, 1))
    ]


def _moved(at: Point3 | None, member: Member, first: Member) -> Point3 | None:
    """A place that was given for the first of a row, moved along to another of it. [in]"""
    if at is None:
        return None
    x, y, z = (a + m - f for a, m, f in zip(at, member.start_in, first.start_in, strict=True))
    return (x, y, z) if member.id.removesuffix(NEW) != first.id else at


def _support(record: SupportRecord, member: Member, first: Member, *, is_row: bool) -> Support:
    """One support, at the lower or upper end unless its place is given."""
    pick = min if record.end == "lower" else max
    at = _moved(record.at, member, first) or pick(
        member.start_in, member.end_in, key=lambda p: p[2]
    )
    name = record.id or f"foot-of-{member.id}"
    if record.id is not None and (is_row or member.id.endswith(NEW)):
        name = f"{record.id}-{member.id}"
    along, across = record.bearing or (0.0, 0.0)
    if record.bearing is None and member.use.upright:
        along, across = member.stock.depth_in, member.stock.total_width_in
    return Support(
        name, member.id, at, Hold(record.hold), gap_in=record.gap, bearing_length_in=along,
        bearing_width_in=across,
    )  # fmt: skip
