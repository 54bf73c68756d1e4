"""Nights: what gets wet if it rains on the evening of each working day, and the cover for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from weatherlap.building.changes import changed
from weatherlap.building.corner import Corner, build_corner
from weatherlap.errors import InputError
from weatherlap.job.model import Edge, Job, PanelRecord, PieceRecord, Sheet
from weatherlap.order.hours import CrewHours, hours_off, hours_on
from weatherlap.order.putback import PutBack
from weatherlap.order.takedown import TakeDown
from weatherlap.water.hops import EndKind
from weatherlap.water.rain import SiteRain
from weatherlap.water.trace import Trace, trace

COVER_LAP_IN = 6.0
"""How far a cover reaches past what it covers. [in]"""


@dataclass(frozen=True, slots=True)
class Evening:
    """The state at the end of a working day.

    ``off`` are ids of pieces that are off, ``laid`` of those laid that day; ``hours`` the crew's
    work that day [h].
    """

    day: int
    taken: tuple[str, ...]
    laid: tuple[str, ...]
    hours: float
    pieces: tuple[PieceRecord, ...]


@dataclass(frozen=True, slots=True)
class Cover:
    """A cover for one face: where it lies, where it must lap, what holds it. [in]"""

    face: str
    record: PieceRecord
    text: str


@dataclass(frozen=True)
class Night:
    """What one usual rainy night does to an evening's state. [L, in2]

    ``wet_l`` is the water that would end in trouble, ``wets`` the ids of pieces that soak;
    ``covered_l`` the same under the covers.
    """

    evening: Evening
    result: Trace
    wet_l: float
    wets: tuple[str, ...]
    covers: tuple[Cover, ...]
    covered_l: float


def evenings(
    found: Corner, repaired: Corner, job: Job, plan: tuple[TakeDown, PutBack], table: CrewHours
) -> list[Evening]:
    """The evenings of the take-down and the put-back, cut into the crew's days."""
    down, back = plan
    after = changed(job, job.change)
    steps: list[tuple[str, str, float]] = [
        ("off", found.pieces[r.piece].id, hours_off(found, r.piece, table))
        for r in down.removals
        if r.piece in down.off
    ]
    steps += [
        ("on", repaired.pieces[s.piece].id, hours_on(repaired, s.piece, table))
        for s in back.layings
    ]
    return [
        _evening(job, after, day, done, today)
        for day, (done, today) in enumerate(_days(steps, table.day), start=1)
    ]


Steps = list[tuple[str, str, float]]


def _days(steps: Steps, day_hours: float) -> Iterator[tuple[Steps, Steps]]:
    """(all steps done by the evening, the day's own steps) for each day."""
    done: Steps = []
    today: Steps = []
    spent = 0.0
    for step in steps:
        if today and spent + step[2] > day_hours + 1e-9:
            yield list(done), today
            today, spent = [], 0.0
        done.append(step)
        today.append(step)
        spent += step[2]
    if today:
        yield list(done), today


def _evening(job: Job, after: Job, day: int, done: Steps, today: Steps) -> Evening:
    off = {name for kind, name, _ in done if kind == "off"}
    on = {name for kind, name, _ in done if kind == "on"}
    if on:
        waiting = {p.id for p in after.piece} - {p.id for p in job.piece} - on
        rows = [p for p in after.piece if p.id not in (off - on) | waiting]
    else:
        rows = [p for p in job.piece if p.id not in off]
    here = {p.id for p in rows}
    pieces = tuple(
        p.model_copy(update={"behind": tuple(b for b in p.behind if b in here)}) for p in rows
    )
    return Evening(
        day=day,
        taken=tuple(name for kind, name, _ in today if kind == "off"),
        laid=tuple(name for kind, name, _ in today if kind == "on"),
        hours=sum(step[2] for step in today),
        pieces=pieces,
    )


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


def night(job: Job, evening: Evening, rain: SiteRain, *, share: float) -> Night:
    """Trace an evening's state, and again with a cover over what would get wet."""
    open_job = job.model_copy(update={"piece": evening.pieces, "change": ()})
    corner = build_corner(open_job)
    result = trace(corner, rain)
    covers = tuple(_covers(corner, result))
    under = 0.0
    if covers:
        rows = (*evening.pieces, *(c.record for c in covers))
        shut = build_corner(open_job.model_copy(update={"piece": rows}))
        under = _trouble_l(trace(shut, rain)) * share
    return Night(
        evening=evening,
        result=result,
        wet_l=_trouble_l(result) * share,
        wets=_soaked(corner, result),
        covers=covers,
        covered_l=under,
    )


def _trouble_l(result: Trace) -> float:
    return sum(r.per_year_l for r in result.ends if r.end.is_trouble)


def _soaked(corner: Corner, result: Trace) -> tuple[str, ...]:
    rows = [r for r in result.ends if r.end is EndKind.SOAK and r.piece is not None]
    rows.sort(key=lambda r: -r.per_year_l)
    return tuple(dict.fromkeys(corner.pieces[r.piece].id for r in rows if r.piece is not None))


def _covers(corner: Corner, result: Trace) -> Iterator[Cover]:
    """A cover on each face whose rain would get in: past what is open, sealed along its top."""
    trouble = result.flows.trouble
    for face in corner.faces:
        boxes = [
            s.patch.geometry().bounds
            for s in result.starts
            if s.face == face.index and trouble[s.trail] > 0 and s.area_in2 > 1.0
        ]
        if not boxes:
            continue
        edge = face.outline.bounds
        box = (
            max(min(b[0] for b in boxes) - COVER_LAP_IN, edge[0]),
            max(min(b[1] for b in boxes) - COVER_LAP_IN, edge[1]),
            min(max(b[2] for b in boxes) + COVER_LAP_IN, edge[2]),
            min(max(b[3] for b in boxes) + COVER_LAP_IN, edge[3]),
        )
        yield _cover(corner, face.index, box)


def _cover(corner: Corner, face: int, box: tuple[float, float, float, float]) -> Cover:
    own = corner.faces[face]
    record = PieceRecord(
        id=f"cover-{own.id}",
        title=f"cover on the {own.title}",
        sheet=Sheet.SHEDS,
        passes=0.0,
        drip=True,
        sealed=(Edge.TOP,),
        on=(PanelRecord(face=own.id, rect=box),),
    )
    at_top = box[3] >= own.outline.bounds[3] - 1.0
    hold = "under the edge above" if at_top else "on what is still tight above"
    text = (
        f"Hang a cover on the {own.title}: its top edge {hold}, held by a batten screwed into "
        f"framing and taped along the top; sides and foot {COVER_LAP_IN:g} in past the opening, "
        "the foot outside everything below and left loose to drain."
    )
    return Cover(own.id, record, text)


def nights(
    job: Job, evening_rows: Sequence[Evening], rain: SiteRain, *, share: float
) -> list[Night]:
    """Every evening's night, in order."""
    return [night(job, evening, rain, share=share) for evening in evening_rows]
