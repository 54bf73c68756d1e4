"""The frame through its stages: what is put in is slack where it was put, under dead load."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from weatherlap.errors import InputError
from weatherlap.structure.assemble import (
    Assembled,
    Offset,
    assemble,
    case_loads,
    check_framing,
    combined,
)
from weatherlap.structure.combos import Combination, asd_combinations
from weatherlap.structure.diagrams import MemberLines, all_member_lines
from weatherlap.structure.frame import FrameSolver, Solved
from weatherlap.structure.model import Case, Framing, Hold, Joint, Stage, StageKind, Support

Push = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Carried:
    """One combination at one stage.

    ``push_lb`` by joint or support: force on the upper member or on the member that stands
    (x, y, z; z positive bears, negative pulls). ``lines`` by member. ``moves_in`` of that member
    there. ``loose`` members have nothing that holds them under this combination.
    """

    combination: Combination
    push_lb: dict[str, Push]
    lines: dict[str, MemberLines]
    moves_in: dict[str, Push]
    loose: tuple[str, ...]

    @property
    def upward(self) -> bool:
        """Whether wind lifts in this combination."""
        return self.combination.factor(Case.WIND_UP) > 0.0


@dataclass(frozen=True, slots=True)
class StageResult:
    """What stands at a stage and what it carries, combination by combination."""

    stage: Stage
    present: frozenset[str]
    joints: tuple[Joint, ...]
    supports: tuple[Support, ...]
    carried: tuple[Carried, ...]

    @property
    def links(self) -> tuple[Joint | Support, ...]:
        """Joints and supports that are there."""
        both: list[Joint | Support] = [*self.joints, *self.supports]
        return tuple(both)

    @property
    def loose(self) -> tuple[str, ...]:
        """Members that nothing holds up under a load that presses down."""
        names = {name for c in self.carried if not c.upward for name in c.loose}
        return tuple(name for name in self.dead.lines if name in names)

    @property
    def flies(self) -> tuple[str, ...]:
        """Members that nothing holds down when the wind lifts."""
        names = {name for c in self.carried if c.upward for name in c.loose}
        return tuple(name for name in self.dead.lines if name in names)

    @property
    def stands(self) -> bool:
        """Whether every member has something that holds it up."""
        return not self.loose

    @property
    def dead(self) -> Carried:
        """What is carried under dead load alone."""
        return self.carried[0]


@dataclass(slots=True)
class _State:
    """What has been built so far: members there, slack of each link, last dead-load answer."""

    present: frozenset[str]
    offsets: dict[str, Offset]
    built: Assembled | None = None
    dead: Solved | None = None
    freed: frozenset[str] = frozenset()


def run_stages(
    framing: Framing,
    stages: tuple[Stage, ...],
    *,
    first: frozenset[str],
    snow_is_strength_level: bool = False,
) -> tuple[StageResult, ...]:
    """Every stage in order, each under every combination.

    A joint or support that is new at a stage is slack in the place where dead load had brought
    its members; shims and lifts then push from there. The frame is elastic: what was strained
    into it stays in it until it is taken out.

    Parameters
    ----------
    first : frozenset of str
        Ids of the members that are there before the first stage.
    snow_is_strength_level : bool
        Snow is that of ASCE 7-22.

    Raises
    ------
    InputError
        Bad ids, a stage that takes out what is not there, a lift at an unknown support.
    """
    check_framing(framing)
    known = {m.id for m in framing.members}
    if not first <= known:
        raise InputError("first members", f"{min(first - known)!r}", "ids of members")
    if not stages:
        raise InputError("stages", "none", "at least the stage as found")
    combinations = asd_combinations(
        cases_of(framing), snow_is_strength_level=snow_is_strength_level
    )
    state = _State(first, {})
    results = []
    for stage in stages:
        _change(framing, state, stage, known)
        loosened = _loosened(framing, state.freed)
        results.append(_one_stage(loosened, state, stage, combinations))
    return tuple(results)


def _loosened(framing: Framing, freed: frozenset[str]) -> Framing:
    """The framing with the joints that are loosened for now bearing only."""
    if not freed:
        return framing
    joints = tuple(replace(j, hold=Hold.BEARS) if j.id in freed else j for j in framing.joints)
    return replace(framing, joints=joints)


def cases_of(framing: Framing) -> frozenset[Case]:
    """Kinds of load that act; own weight is always there."""
    lines, points = framing.line_loads, framing.point_loads
    return frozenset({Case.DEAD, *(x.case for x in lines), *(x.case for x in points)})


def as_found(framing: Framing, *, snow_is_strength_level: bool = False) -> StageResult:
    """The framing as one stage: everything there at once."""
    stage = Stage("as-found", StageKind.AS_FOUND)
    everything = frozenset(m.id for m in framing.members)
    return run_stages(
        framing, (stage,), first=everything, snow_is_strength_level=snow_is_strength_level
    )[0]


def strength_level(
    framing: Framing, *, present: frozenset[str], combinations: tuple[Combination, ...]
) -> StageResult:
    """The members that are left at the end, unstrained by the work, under given combinations.

    Parameters
    ----------
    present : frozenset of str
        Ids of the members that stand.
    """
    state = _State(present, {})
    stage = Stage("strength", StageKind.AS_FOUND)
    _change(framing, state, stage, {m.id for m in framing.members})
    return _one_stage(framing, state, stage, combinations)


def _change(framing: Framing, state: _State, stage: Stage, known: set[str]) -> None:
    """Put in, take out, lift and shim."""
    _check_stage(framing, state, stage, known)
    present = (state.present | set(stage.puts_in)) - set(stage.takes_out)
    for link in framing.links:
        there = link.owner in present and (isinstance(link, Support) or link.lower in present)
        if there and link.id not in state.offsets:
            state.offsets[link.id] = _born(link, state)
        elif not there:
            state.offsets.pop(link.id, None)
    for lift in stage.lifts:
        state.offsets[lift.support] = _moved(state.offsets[lift.support], lift.lift_in)
    for shim in stage.shims:
        state.offsets[shim.joint] = _moved(state.offsets[shim.joint], shim.thickness_in)
    state.present = frozenset(present)
    state.freed = (state.freed | set(stage.frees)) - set(stage.fastens)


def _check_stage(framing: Framing, state: _State, stage: Stage, known: set[str]) -> None:
    """Refuse a stage that names what is not there."""
    where = f"stage {stage.id!r}"
    for name in (*stage.puts_in, *stage.takes_out):
        if name not in known:
            raise InputError(where, f"member {name!r}", "the id of a member")
    for name in stage.takes_out:
        if name not in state.present | set(stage.puts_in):
            raise InputError(where, f"takes out {name!r}, which is not there", "a member that is")
    present = (state.present | set(stage.puts_in)) - set(stage.takes_out)
    supports = {s.id for s in framing.supports if s.member in present}
    joints = {j.id for j in framing.joints if {j.upper, j.lower} <= present}
    for lift in stage.lifts:
        if lift.support not in supports:
            raise InputError(where, f"a lift at {lift.support!r}", "the id of a support in place")
    joint_ids = {j.id for j in framing.joints}
    for name in (*stage.frees, *stage.fastens):
        if name not in joint_ids:
            raise InputError(where, f"joint {name!r}", "the id of a joint")
    for shim in stage.shims:
        if shim.joint not in joints:
            raise InputError(where, f"a shim at {shim.joint!r}", "the id of a joint in place")


def _born(link: Joint | Support, state: _State) -> Offset:
    """Slack of a new link: where its members are now, less its gap."""
    slack = _node_move(link.owner, link, state)
    if isinstance(link, Joint):
        slack = slack - _node_move(link.lower, link, state)
    slack[2] -= link.gap_in
    x, y, z, rx, ry, rz = (float(v) for v in slack)
    return Offset((x, y, z, rx, ry, rz))


def _node_move(name: str, link: Joint | Support, state: _State) -> np.ndarray:
    """How far the place of a link on a member has moved so far; a new member has not."""
    if state.built is None or state.dead is None or name not in state.built.runs:
        return np.zeros(6)
    run = state.built.runs[name]
    return np.array(state.dead.moves[run.node(run.member.distance_along(link.at_in))])


def _moved(offset: Offset, up_in: float) -> Offset:
    """A slack raised by a lift or a shim. [in]"""
    x, y, z, rx, ry, rz = offset.slack
    return replace(offset, slack=(x, y, z + up_in, rx, ry, rz))


def _one_stage(
    framing: Framing, state: _State, stage: Stage, combinations: tuple[Combination, ...]
) -> StageResult:
    """All combinations at one stage; a stage that does not stand carries nothing on."""
    built = assemble(framing, present=state.present, offsets=state.offsets)
    solver = FrameSolver(built.frame)
    loads = case_loads(framing, built)
    carried: list[Carried] = []
    for combination in combinations:
        solved = solver.solve(combined(loads, combination.parts))
        if not carried:
            state.built, state.dead = built, solved
        carried.append(_carried(combination, built, solver, solved))
    return StageResult(stage, state.present, built.joints, built.supports, tuple(carried))


def _loose_members(built: Assembled, solved: Solved) -> tuple[str, ...]:
    """Members with a node that nothing holds."""
    if not solved.loose:
        return ()
    nodes = set(solved.loose)
    return tuple(
        name
        for name, run in built.runs.items()
        if nodes & set(range(run.first, run.first + len(run.places_in)))
    )


def _carried(
    combination: Combination, built: Assembled, solver: FrameSolver, solved: Solved
) -> Carried:
    """Forces by joint and support, lines by member."""
    push: dict[str, Push] = {}
    for name, rows in built.spring_rows.items():
        force = [0.0, 0.0, 0.0]
        for row, freedom in zip(rows, built.spring_freedoms[name], strict=True):
            if freedom < 3:
                force[freedom] = float(solved.spring_force[row])
        push[name] = (force[0], force[1], force[2])
    moves: dict[str, Push] = {}
    for link in built.links:
        run = built.runs[link.owner]
        x, y, z = solved.moves[run.node(run.member.distance_along(link.at_in))][:3]
        moves[link.id] = (float(x), float(y), float(z))
    lines = all_member_lines(built, solver=solver, solved=solved)
    return Carried(combination, push, lines, moves, _loose_members(built, solved))
