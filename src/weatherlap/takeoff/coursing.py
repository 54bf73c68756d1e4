"""Courses of siding longer than a board: joints on studs, staggered, offcuts used again."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from weatherlap.errors import NoSolution
from weatherlap.sources.catalogue import entry
from weatherlap.takeoff.cutting.jointchoice import Ways, choose_ways
from weatherlap.takeoff.cutting.model import BarStock, CutRules
from weatherlap.takeoff.model import Part
from weatherlap.takeoff.movement import Run, Splice, SplicePlan, sides
from weatherlap.takeoff.splicing import Site, Spliced, room_of, run_of, spliced

SHORTEST_IN = 24.0
"""No board of a long course is shorter. [in]"""
APART_IN = 24.0
"""Joints of courses that lie on each other are so far apart. [in]"""
STUDS_IN = 16.0
"""Studs are taken to stand so far apart from where a wall begins. [in]"""
SAW_IN = 0.25
"""A joint may lie so far off the middle of its stud, for the saw. [in]"""
FINE_IN = 6.0
SAME_IN = 1 / 64
ON_TOP = 1.5
"""Courses lie on each other where they are not farther apart than so many heights. [-]"""


@dataclass(frozen=True, slots=True)
class Coursed:
    """Courses with their joints; no joints let boards cost less than ``least_usd``. [US$]"""

    rows: tuple[Spliced, ...]
    least_usd: float | None


@dataclass(frozen=True, slots=True)
class _Course:
    """A course and the ways in which it can be joined: where each joint begins. [in]"""

    part: Part
    run: Run | None
    starts: tuple[tuple[float, ...], ...]

    def lengths(self, way: int) -> tuple[float, ...]:
        """The boards of a way. [in]"""
        if self.run is None:
            return (self.part.length_in,)
        starts = self.starts[way]
        ends = [*(at + self.run.lap_in for at in starts), self.run.length_in]
        return tuple(e - b for b, e in zip((0.0, *starts), ends, strict=True))

    def joints(self, way: int) -> tuple[float, ...]:
        """Where the joints of a way lie on the face. [in]"""
        begin = self.part.line.from_in if self.part.line is not None else 0.0
        return tuple(begin + at for at in self.starts[way])


def is_coursed(group: Sequence[Part]) -> bool:
    """Whether parts are courses of siding."""
    return bool(group[0].entry) and entry(group[0].entry).exposure_in is not None


def staggered(
    group: Sequence[Part], *, stock: Sequence[BarStock], rules: CutRules, site: Site
) -> Coursed:
    """Courses with their joints where boards cost least, staggered from course to course.

    The first board of a course ends on a stud, whole ones follow; the offcut of one course begins
    or ends another. Joints of courses that lie on each other are 24 in and more apart.

    Raises
    ------
    NoSolution
        If a course has no place for its joints outside what is kept clear.

    Sources
    -------
    M-329 : stagger of joints; the offcut begins another course.
    """
    longest = max(s.length_in for s in stock if s.on_hand != 0) - 2 * rules.end_trim_in
    courses = [_course(part, longest, group, site) for part in group]
    if not any(course.run for course in courses):
        return Coursed(tuple(spliced(p, longest_in=longest, site=site) for p in group), None)
    chosen = choose_ways(
        [Ways(tuple(c.lengths(k) for k in range(len(c.starts)))) for c in courses],
        clashes=tuple(_clashes(courses)), stock=stock, rules=rules,
    )  # fmt: skip
    ways = chosen.ways if chosen is not None else _in_turn(courses)
    rows = (_made(c, way, longest, site) for c, way in zip(courses, ways, strict=True))
    return Coursed(tuple(rows), chosen.least_usd if chosen is not None else None)


def _course(part: Part, longest: float, group: Sequence[Part], site: Site) -> _Course:
    if part.length_in <= longest + SAME_IN:
        return _Course(part, None, ((),))
    run = run_of(part, room_of(part, longest, site), longest_in=longest, site=site)
    begins = [
        p.line.from_in for p in group if p.line and part.line and p.line.face == part.line.face
    ]
    wall = min(begins, default=0.0)
    at = part.line.from_in if part.line is not None else wall
    starts = _unlike(_ways(run, off=at - wall)) or _unlike(_free_ways(run))
    if not starts:
        raise NoSolution(
            f"{part.title}: no place for joints {SHORTEST_IN:g} in from its ends and outside "
            "what is kept clear; allow a joint there, or take longer boards"
        )
    return _Course(part, run, starts)


def _made(course: _Course, way: int, longest: float, site: Site) -> Spliced:
    """A course with its joints as they were chosen."""
    if course.run is None:
        return spliced(course.part, longest_in=longest, site=site)
    over, why = sides(course.run)
    joints = tuple(Splice(x, x + course.run.lap_in, over, why) for x in course.starts[way])
    lengths = course.lengths(way)
    room = room_of(course.part, longest, site)
    return Spliced(course.part, lengths, SplicePlan(lengths, joints), room)


def _unlike(ways: Iterator[tuple[float, ...]]) -> tuple[tuple[float, ...], ...]:
    return tuple(dict.fromkeys(ways))


def _ways(run: Run, *, off: float) -> Iterator[tuple[float, ...]]:
    """Joints on studs: the first board any length, whole ones after it, the last as long as it is.

    ``off`` is how far the course begins from where the wall does; the studs stand from there. [in]
    """
    step = run.longest_in - run.lap_in
    if run.lap_in < SAME_IN:
        step = STUDS_IN * math.floor((run.longest_in + 2 * SAW_IN) / STUDS_IN)
        step = min(step, run.longest_in)
    for stud in range(1, math.floor((off + run.longest_in + SAW_IN) / STUDS_IN + 1e-9) + 1):
        first = stud * STUDS_IN - off
        whole = abs(first - run.longest_in) <= SAW_IN
        first = run.longest_in if whole else first - SAW_IN
        if first >= SHORTEST_IN and (joints := _joints(run, first - run.lap_in, step)):
            yield joints


def _free_ways(run: Run) -> Iterator[tuple[float, ...]]:
    """Joints wherever they can be, where studs and what is kept clear leave no place."""
    length = run.longest_in
    while length >= SHORTEST_IN:
        if joints := _joints(run, length - run.lap_in, run.longest_in - run.lap_in):
            yield joints
        length -= FINE_IN


def _joints(run: Run, first: float, step: float) -> tuple[float, ...]:
    """Where joints begin after a first one; none if one cannot be there. [in]"""
    starts = [first]
    while run.length_in - starts[-1] > run.longest_in + SAME_IN:
        starts.append(starts[-1] + step)
    short = run.length_in - starts[-1] < SHORTEST_IN
    barred = any(
        low < at + max(run.lap_in, SAME_IN) and at < high
        for at in starts
        for low, high in run.keep_clear
    )
    return () if short or barred else tuple(starts)


def _clashes(courses: Sequence[_Course]) -> Iterator[tuple[int, int, int, int]]:
    """Ways of two courses that lie on each other whose joints come too close."""
    for (a, one), (b, other) in combinations(enumerate(courses), 2):
        if one.run is None or other.run is None or not _lie_together(one.part, other.part):
            continue
        for way, _ in enumerate(one.starts):
            mine = one.joints(way)
            for against, _ in enumerate(other.starts):
                if any(abs(x - y) < APART_IN for x in mine for y in other.joints(against)):
                    yield a, way, b, against


def _lie_together(one: Part, other: Part) -> bool:
    """Whether one course lies on the other."""
    if one.line is None or other.line is None or one.line.face != other.line.face:
        return False
    rise = math.dist(
        [(a + b) / 2 for a, b in zip(one.line.start, one.line.end, strict=True)][2:],
        [(a + b) / 2 for a, b in zip(other.line.start, other.line.end, strict=True)][2:],
    )
    over = min(one.line.to_in, other.line.to_in) - max(one.line.from_in, other.line.from_in)
    return rise <= ON_TOP * max(one.width_in, other.width_in) and over > 0


def _in_turn(courses: Sequence[_Course]) -> tuple[int, ...]:
    """Ways one after the other, each the first that does not clash with the course before."""
    clash = set(_clashes(courses))
    ways: list[int] = []
    for b, course in enumerate(courses):
        free = (
            way
            for way in range(len(course.starts))
            if not any((a, ways[a], b, way) in clash for a in range(b))
        )
        ways.append(next(free, 0))
    return tuple(ways)
