"""Nights: what gets wet if it rains on the evening of a working day, and the cover for it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from weatherlap.building.corner import build_corner
from weatherlap.errors import InputError, JobError
from weatherlap.job.model import Job, PieceRecord
from weatherlap.order.covers import Cover, small_covers, whole_covers
from weatherlap.order.days import Evening, Step, changes_of_trade, evenings
from weatherlap.order.hours import CrewHours
from weatherlap.water.hops import EndKind
from weatherlap.water.rain import SiteRain
from weatherlap.water.trace import Trace, trace

DRY_L = 0.01
"""Less than this in a night counts as dry. [L]"""


@dataclass(frozen=True)
class Night:
    """What one usual rainy night does to an evening's state. [L]

    ``wet_l`` is the water that would end in trouble, ``wets`` the ids of pieces that soak;
    ``covered_l`` is what still would under the covers, and ``still_wets`` what that soaks.
    """

    evening: Evening
    wet_l: float
    wets: tuple[str, ...]
    covers: tuple[Cover, ...]
    covered_l: float
    still_wets: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Exposure:
    """An order of the steps, and what all its nights together would let in. [-, -, L]"""

    steps: tuple[Step, ...]
    days: int
    trade_changes: int
    wet_l: float


def night_share(rain: SiteRain, table: CrewHours, night_mm: float | None) -> float:
    """Rain of a usual rainy night over the year's rain. [-]

    Without ``night_mm`` the year's rain is spread over the wet days of the table.

    Raises
    ------
    InputError
        If the night's rain is not above 0.
    """
    if night_mm is None:
        return 1.0 / table.wet_days_a_year
    if not 0 < night_mm < float("inf"):
        raise InputError("rain of a night", f"found {night_mm:g} mm", "more than 0 mm")
    return night_mm / rain.rain_year_mm


class Watch:
    """Traces the evenings of a job's orders, each state once."""

    def __init__(self, job: Job, rain: SiteRain, *, share: float) -> None:
        self._job = job.model_copy(update={"change": (), "piece": ()})
        self._rain, self._share = rain, share
        self._seen: dict[tuple[PieceRecord, ...], Trace] = {}

    def trace(self, pieces: tuple[PieceRecord, ...]) -> Trace:
        """The trace of one state."""
        key = tuple(pieces)
        if key not in self._seen:
            corner = build_corner(self._job.model_copy(update={"piece": pieces}))
            self._seen[key] = trace(corner, self._rain)
        return self._seen[key]

    def wet_l(self, pieces: tuple[PieceRecord, ...]) -> float:
        """Water that would end in trouble in one night. [L]"""
        return _trouble_l(self.trace(pieces)) * self._share

    def night(self, evening: Evening) -> Night:
        """An evening's night, and the same under covers if it would get wet."""
        result = self.trace(evening.pieces)
        wet = _trouble_l(result) * self._share
        best: tuple[float, tuple[Cover, ...], tuple[str, ...]] = (wet, (), soaked(result))
        for hang in (small_covers, whole_covers) if wet > DRY_L else ():
            covers = hang(result.corner, result)
            shut = self.trace((*evening.pieces, *(c.record for c in covers)))
            left = _trouble_l(shut) * self._share
            if left < best[0]:
                best = left, covers, soaked(shut)
            if best[0] <= DRY_L:
                break
        left, covers, still = best
        return Night(evening, wet, soaked(result), covers, left, still if covers else ())


def _trouble_l(result: Trace) -> float:
    return sum(r.per_year_l for r in result.ends if r.end.is_trouble)


def soaked(result: Trace) -> tuple[str, ...]:
    """Ids of the pieces that soak, the wettest first."""
    rows = [r for r in result.ends if r.end is EndKind.SOAK and r.piece is not None]
    rows.sort(key=lambda r: -r.per_year_l)
    pieces = result.corner.pieces
    return tuple(dict.fromkeys(pieces[r.piece].id for r in rows if r.piece is not None))


def least_exposed(
    job: Job,
    repaired: Job,
    orders: Sequence[tuple[Step, ...]],
    table: CrewHours,
    watch: Watch,
    *,
    tell: Callable[[int, int], None] | None = None,
) -> list[Exposure]:
    """The first of some orders, and the best of the others if it is drier and costs nothing.

    It costs nothing if it takes no more days and no more changes of trade. ``tell`` is told
    (done, of how many) while it works.
    """
    rows: list[Exposure] = []
    for number, steps in enumerate(orders):
        if tell is not None:
            tell(number, len(orders))
        if all(r.steps != steps for r in rows):
            found = _exposure(job, repaired, steps, table, watch)
            rows += [found] if found is not None else []
    usual = rows[0]
    free = [r for r in rows[1:] if r.days <= usual.days and r.trade_changes <= usual.trade_changes]
    best = min(free, key=lambda r: r.wet_l, default=usual)
    return [usual, best] if best.wet_l < usual.wet_l - DRY_L else [usual]


def _exposure(
    job: Job, repaired: Job, steps: tuple[Step, ...], table: CrewHours, watch: Watch
) -> Exposure | None:
    """None for an order in which laps go round in a circle on some evening."""
    rows = evenings(job, repaired, steps, table)
    try:
        wet = sum(watch.wet_l(e.pieces) for e in rows)
    except JobError:
        return None
    return Exposure(steps, len(rows), changes_of_trade(steps), wet)
