"""From members, joints and supports to a frame of nodes, bars and springs."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from weatherlap.errors import InputError
from weatherlap.structure.factors import strength
from weatherlap.structure.frame import (
    GROUND,
    RIGID_LB_PER_IN,
    Array,
    Bars,
    CaseLoads,
    Frame,
    Springs,
)
from weatherlap.structure.lumber import weight_pcf
from weatherlap.structure.model import (
    Case,
    Condition,
    Framing,
    Hold,
    Joint,
    LineLoad,
    Member,
    Point3,
    PointLoad,
    Support,
)
from weatherlap.structure.sections import section_at

SAME_PLACE_IN = 0.05
RIGID_TURN_LB_IN = 1e11
FARTHEST_OFF_AXIS_IN = 36.0
SHEAR_SHARE_OF_E = 1 / 16
IN3_PER_FT3 = 1728.0
IN_PER_FT = 12.0
LEVEL_HOLDS = (Hold.PINNED, Hold.FIXED, Hold.HUNG)


@dataclass(frozen=True, slots=True)
class Offset:
    """Where a joint or support is slack: x, y, z [in], then turns [rad]; and its pushed lift."""

    slack: tuple[float, float, float, float, float, float] = (0.0,) * 6


@dataclass(frozen=True, slots=True)
class Run:
    """Nodes of one member: first node, and places along it. [in]"""

    member: Member
    first: int
    places_in: tuple[float, ...]
    first_bar: int

    def node(self, along_in: float) -> int:
        """Node at a place. [in]"""
        return self.first + int(np.argmin(np.abs(np.array(self.places_in) - along_in)))


@dataclass(frozen=True, slots=True)
class Assembled:
    """A frame and who is who in it: runs by member, springs by joint or support."""

    frame: Frame
    runs: dict[str, Run]
    spring_rows: dict[str, tuple[int, ...]]
    spring_freedoms: dict[str, tuple[int, ...]]
    joints: tuple[Joint, ...]
    supports: tuple[Support, ...]

    @property
    def links(self) -> tuple[Joint | Support, ...]:
        """Joints and supports that are there."""
        both: list[Joint | Support] = [*self.joints, *self.supports]
        return tuple(both)


def check_framing(framing: Framing) -> None:
    """Refuse ids used twice, and joints, supports and loads on members that are not there.

    Raises
    ------
    InputError
        Naming the first thing that is wrong.
    """
    names = [m.id for m in framing.members]
    names += [j.id for j in framing.joints] + [s.id for s in framing.supports]
    twice = {n for n in names if names.count(n) > 1} if len(set(names)) < len(names) else set()
    if twice:
        raise InputError(f"id {min(twice)!r}", "the same id twice", "each id once")
    members = {m.id: m for m in framing.members}
    for joint in framing.joints:
        for name in (joint.upper, joint.lower):
            _on_axis(joint.id, name, joint.at_in, members)
        if joint.upper == joint.lower:
            raise InputError(f"joint {joint.id!r}", "a member joined to itself", "two members")
    for support in framing.supports:
        _on_axis(support.id, support.member, support.at_in, members)
    loaded = [x.member for x in framing.line_loads] + [x.member for x in framing.point_loads]
    for name in loaded:
        if name not in members:
            raise InputError(f"load on {name!r}", "no member of that id", "a known member")


def _on_axis(where: str, name: str, at: Point3, members: dict[str, Member]) -> None:
    """A joint or support must be near the axis of its member."""
    if name not in members:
        known = ", ".join(list(members)[:12])
        raise InputError(f"joint or support {where!r}", f"member {name!r}", f"one of {known}")
    member = members[name]
    off = float(np.linalg.norm(np.subtract(member.point_at(member.distance_along(at)), at)))
    if off > FARTHEST_OFF_AXIS_IN:
        raise InputError(
            f"joint or support {where!r}", f"{off:.1f} in off the axis of member {name!r}",
            f"a place within {FARTHEST_OFF_AXIS_IN:g} in of it",
        )  # fmt: skip


def assemble(framing: Framing, *, present: frozenset[str], offsets: dict[str, Offset]) -> Assembled:
    """The frame of the members that are there.

    Parameters
    ----------
    present : frozenset of str
        Ids of the members that stand at this stage; those that are gone carry nothing.
    offsets : dict
        Slack of joints and supports by id. [in, rad]
    """
    members = [m for m in framing.members if m.id in present and m.condition is not Condition.GONE]
    here = {m.id for m in members}
    joints = tuple(j for j in framing.joints if j.upper in here and j.lower in here)
    supports = tuple(s for s in framing.supports if s.member in here)
    runs = _runs(framing, members)
    nodes = [run.member.point_at(s) for run in runs.values() for s in run.places_in]
    springs, rows, freedoms = _springs(runs, joints, supports, offsets)
    frame = Frame(np.array(nodes, dtype=float).reshape(-1, 3), _bars(runs), springs)
    return Assembled(frame, runs, rows, freedoms, joints, supports)


def _runs(framing: Framing, members: list[Member]) -> dict[str, Run]:
    """Places of every member where something happens at any stage, merged where the same."""
    places: dict[str, list[float]] = {m.id: [0.0, m.length_in] for m in members}
    by_id = {m.id: m for m in members}
    for joint in framing.joints:
        for name in (joint.upper, joint.lower):
            if name in places:
                places[name].append(by_id[name].distance_along(joint.at_in))
    for support in framing.supports:
        if support.member in places:
            places[support.member].append(by_id[support.member].distance_along(support.at_in))
    for load in framing.line_loads:
        if load.member in places:
            places[load.member] += [v for v in (load.from_in, load.to_in) if v is not None]
    for point in framing.point_loads:
        if point.member in places:
            places[point.member].append(point.at_in)
    for member in members:
        for loss in member.losses:
            places[member.id] += [loss.from_in, loss.to_in]
    runs: dict[str, Run] = {}
    node = bar = 0
    for member in members:
        kept = _merged(places[member.id], member)
        runs[member.id] = Run(member, node, kept, bar)
        node, bar = node + len(kept), bar + len(kept) - 1
    return runs


def _merged(places: list[float], member: Member) -> tuple[float, ...]:
    """Places in order, each once; ends kept exactly. [in]

    Raises
    ------
    InputError
        A load that is not on the member.
    """
    length = member.length_in
    if min(places) < -SAME_PLACE_IN or max(places) > length + SAME_PLACE_IN:
        raise InputError(
            f"load on member {member.id!r}", f"a place {max(places):g} in along it",
            f"0 to {length:g} in",
        )  # fmt: skip
    kept = [0.0]
    for place in sorted(places):
        if place - kept[-1] > SAME_PLACE_IN and length - place > SAME_PLACE_IN:
            kept.append(place)
    return (*kept, length)


def depth_direction(member: Member) -> Point3:
    """Direction along the depth: up for lying members; as given, or east, for upright ones.

    Raises
    ------
    InputError
        A direction along the member's own axis.
    """
    axis = np.subtract(member.end_in, member.start_in) / member.length_in
    given = member.depth_toward
    wanted = given or ((1.0, 0.0, 0.0) if abs(axis[2]) > 0.95 else (0.0, 0.0, 1.0))
    if float(np.linalg.norm(np.cross(axis, wanted))) < 1e-3:
        raise InputError(
            f"member {member.id!r}", "a depth along its own axis", "a direction across the axis"
        )
    return wanted


def _bars(runs: dict[str, Run]) -> Bars:
    """Bars of all members, with their sections and stiffness by stretch."""
    rows: list[tuple[float, ...]] = []
    ends: list[tuple[int, int]] = []
    depth: list[Point3] = []
    for run in runs.values():
        e_psi = strength(run.member, duration=1.0).e.value
        direction = depth_direction(run.member)
        pairs = pairwise(run.places_in)
        for k, (a, b) in enumerate(pairs):
            s = section_at(run.member, (a + b) / 2)
            rows.append(
                (s.area_in2, s.strong_inertia_in4, s.weak_inertia_in4, s.torsion_in4, e_psi)
            )
            ends.append((run.first + k, run.first + k + 1))
            depth.append(direction)
    columns = np.array(rows, dtype=float).reshape(-1, 5).T
    pairs_array = np.array(ends, dtype=np.intp).reshape(-1, 2)
    return Bars(
        pairs_array[:, 0], pairs_array[:, 1], columns[0], columns[1], columns[2], columns[3],
        columns[4], columns[4] * SHEAR_SHARE_OF_E, np.array(depth, dtype=float).reshape(-1, 3),
    )  # fmt: skip


def held_freedoms(hold: Hold, *, sideways: bool) -> tuple[tuple[int, bool], ...]:
    """Freedoms that a hold takes, each with whether it only pushes."""
    level = ((0, False), (1, False)) if sideways or hold in LEVEL_HOLDS else ()
    if hold is Hold.BEARS:
        return (*level, (2, True))
    turns = ((3, False), (4, False), (5, False)) if hold is Hold.FIXED else ()
    return (*level, (2, False), *turns)


def _springs(
    runs: dict[str, Run],
    joints: tuple[Joint, ...],
    supports: tuple[Support, ...],
    offsets: dict[str, Offset],
) -> tuple[Springs, dict[str, tuple[int, ...]], dict[str, tuple[int, ...]]]:
    """Springs of all joints and supports; rows and freedoms by id."""
    made: list[tuple[int, int, int, float, bool, float]] = []
    rows: dict[str, tuple[int, ...]] = {}
    freedoms: dict[str, tuple[int, ...]] = {}

    def add(link: Joint | Support, a: int, b: int) -> None:
        slack = offsets.get(link.id, Offset()).slack
        held = held_freedoms(link.hold, sideways=link.held_sideways)
        first = len(made)
        for freedom, one_way in held:
            rigid = RIGID_TURN_LB_IN if freedom > 2 else RIGID_LB_PER_IN
            own = link.stiffness_lb_per_in if freedom == 2 else None
            made.append((a, b, freedom, own or rigid, one_way, slack[freedom]))
        rows[link.id] = tuple(range(first, len(made)))
        freedoms[link.id] = tuple(f for f, _ in held)

    for joint in joints:
        upper, lower = runs[joint.upper], runs[joint.lower]
        add(joint, upper.node(upper.member.distance_along(joint.at_in)),
            lower.node(lower.member.distance_along(joint.at_in)))  # fmt: skip
    for support in supports:
        run = runs[support.member]
        add(support, run.node(run.member.distance_along(support.at_in)), GROUND)
    columns = list(zip(*made, strict=True)) if made else [()] * 6
    springs = Springs(
        np.array(columns[0], dtype=np.intp), np.array(columns[1], dtype=np.intp),
        np.array(columns[2], dtype=np.intp), np.array(columns[3], dtype=float),
        np.array(columns[4], dtype=bool), np.array(columns[5], dtype=float),
    )  # fmt: skip
    return springs, rows, freedoms


def self_weight_lb_per_in(member: Member) -> float:
    """Own weight per inch of axis; stretches of rot weigh what sound wood weighs. [lb/in]

    Sources
    -------
    S-022 : weight by species.
    """
    pcf = member.weight_pcf or weight_pcf(
        member.stock, wet=member.service.wet, treated=member.service.treated
    )
    return pcf / IN3_PER_FT3 * member.stock.total_width_in * member.stock.depth_in


def case_loads(framing: Framing, built: Assembled) -> dict[Case, CaseLoads]:
    """Loads of each case on the nodes and bars of a frame; own weight is in dead."""
    shape_n, shape_b = (len(built.frame.nodes_in), 6), (len(built.frame.bars.start), 2, 3)
    loads: dict[Case, CaseLoads] = {}

    def of(case: Case) -> CaseLoads:
        if case not in loads:
            loads[case] = CaseLoads(np.zeros(shape_n), np.zeros(shape_b))
        return loads[case]

    dead = of(Case.DEAD)
    for run in built.runs.values():
        bars = slice(run.first_bar, run.first_bar + len(run.places_in) - 1)
        dead.bar[bars, :, 2] -= self_weight_lb_per_in(run.member)
    for line in framing.line_loads:
        if line.member in built.runs:
            _add_line(of(line.case).bar, line, built.runs[line.member])
    for point in framing.point_loads:
        if point.member in built.runs:
            _add_point(of(point.case).node, point, built.runs[point.member])
    return loads


def _add_line(bar_loads: Array, load: LineLoad, run: Run) -> None:
    """A line load per foot of plan length, onto the bars under it."""
    member = run.member
    start = 0.0 if load.from_in is None else load.from_in
    stop = member.length_in if load.to_in is None else load.to_in
    if stop <= start:
        raise InputError(f"load on {member.id!r}", f"{start:g} to {stop:g} in", "from before to")
    unit = _direction(load, member)
    for k, (a, b) in enumerate(pairwise(run.places_in)):
        if a > start - SAME_PLACE_IN and b < stop + SAME_PLACE_IN:
            for end, place in ((0, a), (1, b)):
                share = min(max((place - start) / (stop - start), 0.0), 1.0)
                plf = load.start_plf + share * (load.end_plf - load.start_plf)
                bar_loads[run.first_bar + k, end] += plf * unit


def _direction(load: LineLoad, member: Member) -> Array:
    """Direction of a line load times what turns plf into lb per inch of axis."""
    way = np.array(load.direction, dtype=float)
    size = float(np.linalg.norm(way))
    if size < 1e-9:
        raise InputError(f"load on {member.id!r}", "no direction", "a direction")
    way = way / size
    if abs(way[2]) < 0.999:
        return way / IN_PER_FT
    if member.plan_length_in < SAME_PLACE_IN:
        raise InputError(
            f"load on {member.id!r}", "a load per foot of plan on an upright member",
            "a point load",
        )  # fmt: skip
    return way * (member.plan_length_in / member.length_in / IN_PER_FT)


def _add_point(node_loads: Array, load: PointLoad, run: Run) -> None:
    """A point load onto the node under it."""
    node_loads[run.node(load.at_in), 2] -= load.load_lb


def combined(loads: dict[Case, CaseLoads], parts: tuple[tuple[Case, float], ...]) -> CaseLoads:
    """Loads of a combination."""
    first = next(iter(loads.values()))
    node, bar = np.zeros_like(first.node), np.zeros_like(first.bar)
    for case, factor in parts:
        if case in loads:
            node += factor * loads[case].node
            bar += factor * loads[case].bar
    return CaseLoads(node, bar)
