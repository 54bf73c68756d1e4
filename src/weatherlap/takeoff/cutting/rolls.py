"""Sheets from rolls by courses: housewrap, felt, underlayment, with laps at courses and ends."""

from __future__ import annotations

import math
from dataclasses import dataclass

import shapely
from shapely import Polygon

from weatherlap.errors import InputError
from weatherlap.takeoff.cutting.model import bounded, distinct
from weatherlap.units import tape

MOST_COURSES = 2000
BRIDGED_IN = 72.0
"""A gap in a course up to so wide is run over and cut out. [in]"""
SLIVER_IN = 1 / 8


@dataclass(frozen=True, slots=True)
class Roll:
    """A roll that can be bought. [in, US$]"""

    id: str
    width_in: float
    length_in: float
    price_usd: float

    def __post_init__(self) -> None:
        bounded(f"width of {self.id}", self.width_in, least=2.0, most=240.0)
        bounded(f"length of {self.id}", self.length_in, least=12.0, most=12_000.0)
        bounded(f"price of {self.id}", self.price_usd, least=0.0, most=100_000.0, unit="US$")


@dataclass(frozen=True, slots=True)
class Covered:
    """A shape to cover, its courses level: a wall, a gable, a roof slope. [in]

    ``wrap_in`` is what a course goes on beyond it, both ends together: round a corner, up a wall.
    ``outline`` are its corners from its lower left, where it is no rectangle.
    """

    id: str
    width_in: float
    height_in: float
    wrap_in: float = 0.0
    outline: tuple[tuple[float, float], ...] = ()

    def __post_init__(self) -> None:
        bounded(f"width of {self.id}", self.width_in, least=1.0, most=12_000.0)
        bounded(f"height of {self.id}", self.height_in, least=1.0, most=12_000.0)
        bounded(f"wrap of {self.id}", self.wrap_in, least=0.0, most=240.0)


@dataclass(frozen=True, slots=True)
class RollRules:
    """Laps, and the shortest piece worth hanging. [in]"""

    course_lap_in: float = 2.0
    end_lap_in: float = 6.0
    shortest_in: float = 24.0

    def __post_init__(self) -> None:
        bounded("lap of courses", self.course_lap_in, least=0.0, most=120.0)
        bounded("lap of ends", self.end_lap_in, least=0.0, most=120.0)
        bounded("shortest piece", self.shortest_in, least=0.0, most=1200.0)


@dataclass(frozen=True, slots=True)
class CoursePiece:
    """One length off a roll in a course. [in]

    Courses count from 1 at the bottom; ``bottom_in`` is the height of its lower edge, ``from_in``
    where it begins along the course; ``roll`` counts from 1.
    """

    covered_id: str
    course: int
    bottom_in: float
    from_in: float
    length_in: float
    roll: int


@dataclass(frozen=True, slots=True)
class RollPlan:
    """Pieces in the order of hanging, rolls, cost, and the least number of rolls. [US$, in]"""

    roll: Roll
    pieces: tuple[CoursePiece, ...]
    rolls: int
    least_rolls: int
    cost_usd: float
    least_usd: float
    leftover_in: float

    @property
    def proven(self) -> bool:
        """Whether no plan by courses costs less, with any of the rolls offered."""
        return self.cost_usd <= self.least_usd + 1e-6

    @property
    def gap(self) -> float:
        """How far the cost may be above the least possible, as a part of it. [-]"""
        return 0.0 if self.proven else (self.cost_usd - self.least_usd) / self.cost_usd


def plan_rolls(
    covered: tuple[Covered, ...], *, rolls: tuple[Roll, ...], rules: RollRules
) -> RollPlan:
    """The cheapest kind of roll and how its courses are hung.

    Courses go on from the bottom up, each off the running roll; where a roll ends in a course the
    next one laps it. The top course keeps its full width and is cut off at the top.

    Parameters
    ----------
    covered : tuple of Covered
        Rectangles and other shapes. [in]
    rolls : tuple of Roll
        Kinds of roll; one kind is used throughout. [in, US$]
    rules : RollRules
        Laps. [in]

    Returns
    -------
    RollPlan
        Pieces, rolls, cost, bound.

    Raises
    ------
    InputError
        If nothing is given, or laps leave no course or no piece.

    Sources
    -------
    M-029 : laps. M-040 : courses, and gaps that are run over.
    """
    if not covered or not rolls:
        raise InputError("rolls", "nothing to cover or no roll", "at least one of each")
    distinct("rolls", (r.id for r in rolls))
    distinct("rectangles", (c.id for c in covered))
    plans = [_hang(covered, roll, rules) for roll in rolls]
    least = min(plan.least_rolls * plan.roll.price_usd for plan in plans)
    best = min(plans, key=lambda plan: (plan.cost_usd, plan.rolls, len(plan.pieces)))
    return RollPlan(
        best.roll, best.pieces, best.rolls, best.least_rolls, best.cost_usd, least,
        best.leftover_in,
    )  # fmt: skip


def courses_of(height_in: float, *, roll_in: float, lap_in: float) -> int:
    """How many level courses cover a height.

    Parameters
    ----------
    height_in : float
        Height to cover. [in]
    roll_in : float
        Width of the roll. [in]
    lap_in : float
        Lap of a course over the one below. [in]

    Raises
    ------
    InputError
        If the lap takes up the roll.

    Sources
    -------
    M-040 : each course adds its width less the lap.
    """
    if lap_in >= roll_in:
        found = f"a lap of {tape(lap_in)} on a roll {tape(roll_in)} wide"
        raise InputError("lap of courses", found, "a lap narrower than the roll")
    return max(1, math.ceil((height_in - lap_in) / (roll_in - lap_in) - 1e-9))


def _hang(covered: tuple[Covered, ...], roll: Roll, rules: RollRules) -> RollPlan:
    """Hang every course off the running roll."""
    if rules.end_lap_in + rules.shortest_in >= roll.length_in:
        found = f"end laps of {tape(rules.end_lap_in)} on a roll of {tape(roll.length_in)}"
        raise InputError(f"roll {roll.id}", found, "a roll much longer than its laps")
    pieces: list[CoursePiece] = []
    number, left, net = 1, roll.length_in, 0.0
    for area, course, bottom, at, need in _courses(covered, roll, rules):
        net += need
        while need > 1e-9:
            if left < min(need, rules.shortest_in + rules.end_lap_in) - 1e-9:
                number, left = number + 1, roll.length_in
            length = min(need, left)
            pieces.append(CoursePiece(area.id, course, bottom, at, length, number))
            left -= length
            if length >= need - 1e-9:
                break
            need -= length - rules.end_lap_in
            at += length - rules.end_lap_in
    least = math.ceil(net / roll.length_in - 1e-9)
    return RollPlan(
        roll, tuple(pieces), number, least, number * roll.price_usd, least * roll.price_usd, left
    )


def _courses(
    covered: tuple[Covered, ...], roll: Roll, rules: RollRules
) -> list[tuple[Covered, int, float, float, float]]:
    """Each stretch of each course from the bottom up.

    What it covers, its number, the height of its lower edge, where it begins and how long it is.
    """
    found: list[tuple[Covered, int, float, float, float]] = []
    for area in covered:
        count = courses_of(area.height_in, roll_in=roll.width_in, lap_in=rules.course_lap_in)
        if len(found) + count > MOST_COURSES:
            raise InputError(f"covering {area.id}", f"{count} courses", f"at most {MOST_COURSES}")
        shows = roll.width_in - rules.course_lap_in
        found.extend(
            (area, n + 1, n * shows, at, long + area.wrap_in)
            for n in range(count)
            for at, long in _stretches(area, n * shows, n * shows + roll.width_in)
        )
    return found


def _stretches(area: Covered, low: float, high: float) -> list[tuple[float, float]]:
    """Where a course begins on a shape and how long it is there, gaps run over. [in]"""
    if not area.outline:
        return [(0.0, area.width_in)]
    band = shapely.box(0.0, low, area.width_in, high)
    cut = shapely.get_parts(shapely.intersection(Polygon(area.outline), band))
    spans = sorted((b[0], b[2]) for b in (p.bounds for p in cut if p.area > SLIVER_IN))
    found: list[tuple[float, float]] = []
    for left, right in spans:
        if found and left - found[-1][1] <= BRIDGED_IN:
            found[-1] = (found[-1][0], max(found[-1][1], right))
        else:
            found.append((left, right))
    return [(left, max(right - left, SLIVER_IN)) for left, right in found]
