"""Long parts as pieces that stock, coil and brake allow: where they lap, and by how much."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from string import ascii_lowercase

from weatherlap.errors import NoSolution
from weatherlap.job.model import Job
from weatherlap.job.shoprecords import NoJointRecord
from weatherlap.shape.frames import dot, minus
from weatherlap.sources.catalogue import Role, entry
from weatherlap.takeoff.model import Line, Part
from weatherlap.takeoff.movement import (
    JointRoom,
    Run,
    RunEnd,
    Season,
    SplicePlan,
    joint_room,
    splice_run,
)
from weatherlap.units import tape

FALLS = 0.01
"""A run falls where it drops more than so much of its length. [-]"""
FACES_ALONG = 0.3
"""People look along a run where its direction and theirs have at least this cosine. [-]"""
SAME_IN = 1 / 64

MOVES: dict[str, str] = {
    "aluminium": "aluminum",
    "copper": "copper",
    "lead-coated-copper": "copper",
    "steel": "steel",
    "vinyl": "vinyl-siding",
    "pvc": "pvc",
}
"""Materials of the catalogue that move with heat, as the table of movement names them."""


@dataclass(frozen=True, slots=True)
class Site:
    """What decides where joints go: day, season, the side people look from, what stays clear."""

    day_f: float
    season: Season
    seen_from_deg: float | None
    no_joint: tuple[NoJointRecord, ...]
    brake_in: float = 126.0


@dataclass(frozen=True, slots=True)
class Spliced:
    """A part cut into pieces. [in]

    ``plan`` is None where it goes on whole; ``room`` None where its material does not move.
    """

    part: Part
    lengths_in: tuple[float, ...]
    plan: SplicePlan | None
    room: JointRoom | None

    def named(self) -> Iterator[tuple[str, float]]:
        """Its pieces with their lengths by id: a, b, c where there are several. [in]"""
        for number, length in enumerate(self.lengths_in):
            many = len(self.lengths_in) > 1
            yield (f"{self.part.id} {_letters(number)}" if many else self.part.id), length


def _letters(number: int) -> str:
    """a to z, then aa, ab and on."""
    more, last = divmod(number, 26)
    return (_letters(more - 1) if more else "") + ascii_lowercase[last]


def site_of(job: Job) -> Site:
    """What a job says about joints.

    Raises
    ------
    InputError
        If the coldest is not below the hottest.
    """
    shop = job.shop
    season = Season(shop.coldest, shop.hottest)
    return Site(shop.day, season, shop.seen_from, job.no_joint)


def spliced(part: Part, *, longest_in: float, site: Site) -> Spliced:
    """A part as the fewest pieces no longer than stock, coil or brake allow.

    Raises
    ------
    NoSolution
        If a framing member is longer than all stock, or laps must not lie anywhere in reach.
    """
    room = room_of(part, min(part.length_in, longest_in), site)
    if part.length_in <= longest_in + SAME_IN:
        return Spliced(part, (part.length_in,), None, room)
    if part.entry and entry(part.entry).role is Role.FRAME:
        raise NoSolution(
            f"{part.title}: {tape(part.length_in)} is longer than the longest stock, "
            f"{tape(longest_in)}; a framing member is not spliced here: order it longer, or let "
            "the framing decide where it is joined over a support"
        )
    run = run_of(part, room, longest_in=longest_in, site=site)
    plan = splice_run(run)
    return Spliced(part, plan.lengths_in, plan, room)


def run_of(part: Part, room: JointRoom | None, *, longest_in: float, site: Site) -> Run:
    """A part as a run that is to be lapped.

    Raises
    ------
    InputError
        If it cannot be one.
    """
    lap = room.lap_in if room is not None else part.good.end_lap_in
    return Run(
        id=part.id,
        length_in=part.length_in,
        longest_in=longest_in,
        lap_in=math.ceil(lap * 16) / 16,
        low_end=low_end(part.line),
        seen_from=seen_end(part.line, site.seen_from_deg),
        keep_clear=_clear(part.line, site.no_joint),
    )


def room_of(part: Part, length_in: float, site: Site) -> JointRoom | None:
    """Gap and lap that a part needs on the day; None where its material does not move.

    Raises
    ------
    InputError
        If the day lies outside the season.

    Sources
    -------
    M-020, M-022 : growth by heat; season of metal.
    """
    material = MOVES.get(part.good.material)
    if material is None:
        return None
    return joint_room(
        length_in,
        material=material,
        day_f=site.day_f,
        season=site.season,
        rule_lap_in=part.good.end_lap_in,
    )


def low_end(line: Line | None) -> RunEnd:
    """The end that water runs to."""
    if line is None:
        return RunEnd.NEITHER
    length = math.dist(line.start, line.end)
    drop = line.end[2] - line.start[2]
    if abs(drop) <= FALLS * length:
        return RunEnd.NEITHER
    return RunEnd.START if drop > 0 else RunEnd.END


def seen_end(line: Line | None, seen_from_deg: float | None) -> RunEnd:
    """The end that is nearer to the people who look along the run."""
    if line is None or seen_from_deg is None:
        return RunEnd.NEITHER
    bearing = math.radians(seen_from_deg)
    along = dot(minus(line.end, line.start), (math.sin(bearing), math.cos(bearing), 0.0))
    if abs(along) < FACES_ALONG * math.dist(line.start, line.end):
        return RunEnd.NEITHER
    return RunEnd.END if along > 0 else RunEnd.START


def _clear(line: Line | None, no_joint: Sequence[NoJointRecord]) -> tuple[tuple[float, float], ...]:
    """Where no lap may lie, measured along the run. [in]"""
    if line is None or abs(line.to_in - line.from_in) < SAME_IN:
        return ()
    turn = 1.0 if line.to_in > line.from_in else -1.0
    found = []
    for row in (r for r in no_joint if r.face == line.face):
        a, b = (turn * (at - line.from_in) for at in (row.start, row.end))
        found.append((min(a, b), max(a, b)))
    return tuple(found)
