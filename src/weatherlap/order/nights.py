"""Nights: what gets wet if it rains on the evening of a working day, and the cover for it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from weatherlap.building.corner import build_corner
from weatherlap.building.laying import MadeBefore
from weatherlap.errors import InputError, JobError, NoSolution
from weatherlap.job.model import Job, PieceRecord
from weatherlap.order.covers import Cover, small_covers, whole_covers
from weatherlap.order.days import Evening, Step, changes_of_trade, evenings
from weatherlap.order.hours import CrewHours
from weatherlap.order.islands import Islands
from weatherlap.water.hops import EndKind
from weatherlap.water.rain import SiteRain
from weatherlap.water.trace import Trace, trace

DRY_L = 0.01
"""Less than this in a night counts as dry. [L]"""
PieceKey = tuple[tuple[str, ...], tuple[int, ...]]
StateKey = tuple[int, tuple[PieceKey, ...]]
NO_EVENING = (
    "In every order of the work laps go round in a circle on some evening. Take a `behind` out, or "
    "say with `slides` or `bends` which pieces come free."
)


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
    """Traces the evenings of a job's orders, island by island, each state of one once."""

    def __init__(self, job: Job, rain: SiteRain, *, share: float) -> None:
        self._rain, self._share = rain, share
        self._job, self._rows = job, job.piece
        self._islands: Islands | None = None
        self._made = MadeBefore()
        self._keys: dict[int, tuple[PieceRecord, PieceKey]] = {}
        self._seen: dict[StateKey, tuple[tuple[PieceRecord, ...], Trace]] = {}

    def watch_over(self, pieces: Iterable[PieceRecord]) -> None:
        """Tell which pieces may stand there on some evening besides those of the job."""
        self._rows = (*self._job.piece, *pieces)
        self._islands = None

    def traces(self, pieces: Sequence[PieceRecord]) -> list[Trace]:
        """The traces of one state, one for each island that the job has."""
        known = self._islands
        if known is None:
            known = self._islands = Islands(self._job, self._rows)
        return [self._trace(k, known, row) for k, row in enumerate(known.split(pieces))]

    def _trace(self, island: int, islands: Islands, row: tuple[PieceRecord, ...]) -> Trace:
        key = island, tuple(self._key(p) for p in row)
        if key not in self._seen:
            corner = build_corner(
                islands.jobs[island].model_copy(update={"piece": row}), made=self._made
            )
            self._seen[key] = row, trace(corner, self._rain)
        return self._seen[key][1]

    def _key(self, piece: PieceRecord) -> PieceKey:
        """What tells a piece from all others: the objects it is made of, and its `behind`."""
        known = self._keys.get(id(piece))
        if known is None:
            own = tuple(id(v) for name, v in vars(piece).items() if name != "behind")
            known = self._keys[id(piece)] = piece, (piece.behind, own)
        return known[1]

    def wet_l(self, pieces: Sequence[PieceRecord]) -> float:
        """Water that would end in trouble in one night. [L]"""
        return _trouble_l(self.traces(pieces)) * self._share

    def night(self, evening: Evening) -> Night:
        """An evening's night, and the same under covers if it would get wet."""
        results = self.traces(evening.pieces)
        wet = _trouble_l(results) * self._share
        best: tuple[float, tuple[Cover, ...], tuple[str, ...]] = (wet, (), self._soaked(results))
        for hang in (small_covers, whole_covers) if wet > DRY_L else ():
            covers = tuple(c for r in results for c in hang(r.corner, r))
            shut = self.traces((*evening.pieces, *(c.record for c in covers)))
            left = _trouble_l(shut) * self._share
            if left < best[0]:
                best = left, covers, self._soaked(shut)
            if best[0] <= DRY_L:
                break
        left, covers, still = best
        return Night(evening, wet, self._soaked(results), covers, left, still if covers else ())

    def _soaked(self, results: Sequence[Trace]) -> tuple[str, ...]:
        """Ids of the pieces that soak, the wettest first."""
        rows = [
            (-r.per_year_l, result.corner.faces[r.from_face].id, result.corner.pieces[r.piece].id)
            for result in results
            for r in result.ends
            if r.end is EndKind.SOAK and r.piece is not None
        ]
        face = {f.id: k for k, f in enumerate(self._job.face)}
        rows.sort(key=lambda row: (row[0], face[row[1]]))
        return tuple(dict.fromkeys(name for _, _, name in rows))


def _trouble_l(results: Sequence[Trace]) -> float:
    return sum(r.per_year_l for result in results for r in result.ends if r.end.is_trouble)


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
    watch.watch_over(repaired.piece)
    weighed = list(dict.fromkeys(orders))
    usual: Exposure | None = None
    best: Exposure | None = None
    for number, steps in enumerate(weighed):
        if tell is not None:
            tell(number, len(weighed))
        rows = evenings(job, repaired, steps, table)
        trades = changes_of_trade(steps)
        if usual is not None and (len(rows) > usual.days or trades > usual.trade_changes):
            continue
        wet = _wet_l(rows, watch, most=None if best is None else best.wet_l)
        if wet is None:
            continue
        found = Exposure(steps, len(rows), trades, wet)
        usual = usual or found
        best = found if best is None or wet < best.wet_l else best
    if usual is None or best is None:
        raise NoSolution(NO_EVENING)
    return [usual, best] if best.wet_l < usual.wet_l - DRY_L else [usual]


def _wet_l(rows: Sequence[Evening], watch: Watch, *, most: float | None) -> float | None:
    """What all nights let in; None if that is sure to be over ``most``.  [L]

    None too for an order in which laps go round in a circle on some evening.
    """
    wet = 0.0
    try:
        for evening in rows:
            wet += watch.wet_l(evening.pieces)
            if most is not None and wet >= most:
                return None
    except JobError:
        return None
    return wet
