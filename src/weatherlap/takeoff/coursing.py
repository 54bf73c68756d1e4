"""Courses of siding longer than a board: joints staggered, offcuts beginning the next course."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from weatherlap.errors import NoSolution
from weatherlap.sources.catalogue import entry
from weatherlap.takeoff.model import Part
from weatherlap.takeoff.movement import Run, Splice, SplicePlan, sides
from weatherlap.takeoff.splicing import Site, Spliced, room_of, run_of, spliced

SHORTEST_IN = 24.0
"""No board of a long course is shorter. [in]"""
APART_IN = 24.0
"""Joints of courses that lie on each other are so far apart. [in]"""
SAW_IN = 0.25
"""Left of a third of a board for the saw. [in]"""
FINE_IN = 6.0
SAME_IN = 1 / 64


def is_coursed(group: Sequence[Part]) -> bool:
    """Whether parts are courses of siding."""
    return bool(group[0].entry) and entry(group[0].entry).exposure_in is not None


def staggered(group: Sequence[Part], *, longest_in: float, site: Site) -> tuple[Spliced, ...]:
    """Courses in whole boards, begun in turn with a whole one, two thirds and a third.

    So the offcut of one course begins another, and joints come back in every third course only.

    Raises
    ------
    NoSolution
        If a course has no place for its joints outside what is kept clear.

    Sources
    -------
    M-329 : stagger of joints; the offcut begins another course.
    """
    found: list[Spliced] = []
    before: tuple[float, ...] = ()
    turn = 0
    for part in group:
        if part.length_in <= longest_in + SAME_IN:
            found.append(spliced(part, longest_in=longest_in, site=site))
            continue
        room = room_of(part, min(part.length_in, longest_in), site)
        run = run_of(part, room, longest_in=longest_in, site=site)
        starts = _best(run, turn, before)
        if starts is None:
            raise NoSolution(
                f"{part.title}: no place for joints {SHORTEST_IN:g} in from its ends and outside "
                "what is kept clear; allow a joint there, or take longer boards"
            )
        over, why = sides(run)
        joints = tuple(Splice(at, at + run.lap_in, over, why) for at in starts)
        ends = [*(j.to_in for j in joints), run.length_in]
        lengths = tuple(e - b for b, e in zip([0.0, *starts], ends, strict=True))
        found.append(Spliced(part, lengths, SplicePlan(lengths, joints), room))
        before = starts
        turn += 1
    return tuple(found)


def _best(run: Run, turn: int, before: Sequence[float]) -> tuple[float, ...] | None:
    """Where joints begin: the first way that staggers, else the first that can be at all."""
    possible = [starts for first in _firsts(run, turn) if (starts := _joints(run, first))]
    apart = (s for s in possible if all(abs(a - b) >= APART_IN for a in s for b in before))
    return next(apart, possible[0] if possible else None)


def _firsts(run: Run, turn: int) -> Iterator[float]:
    """Lengths of the first board: thirds in turn, then whatever else."""
    thirds = (run.longest_in, run.longest_in * 2 / 3 - SAW_IN, run.longest_in / 3 - SAW_IN)
    yield from (thirds[(turn + k) % 3] for k in range(3))
    length = run.longest_in
    while length >= SHORTEST_IN:
        yield length
        length -= FINE_IN


def _joints(run: Run, first_in: float) -> tuple[float, ...]:
    """Where joints begin after a first board; none if one cannot be there. [in]"""
    starts = [first_in - run.lap_in]
    while run.length_in - starts[-1] > run.longest_in + SAME_IN:
        starts.append(starts[-1] + run.longest_in - run.lap_in)
    short = first_in < SHORTEST_IN or run.length_in - starts[-1] < SHORTEST_IN
    barred = any(
        low < at + max(run.lap_in, SAME_IN) and at < high
        for at in starts
        for low, high in run.keep_clear
    )
    return () if short or barred else tuple(starts)
