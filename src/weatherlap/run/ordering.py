"""Putting right: take-down, put-back and nights of a job."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from weatherlap.building.corner import Corner
from weatherlap.errors import InputError
from weatherlap.job.model import Job
from weatherlap.order.days import Step, evenings, part_by_part, straight_steps
from weatherlap.order.hours import CrewHours
from weatherlap.order.nights import Exposure, Night, Watch, least_exposed, night_share
from weatherlap.order.putback import PutBack, put_back
from weatherlap.order.takedown import TakeDown, take_down
from weatherlap.run.framingorder import members_left_in
from weatherlap.run.places import place_words
from weatherlap.run.states import State
from weatherlap.run.worked import as_drawn, in_state
from weatherlap.water.rain import SiteRain, site_rain

SOFT_PERCENT = 28.0
"""Wood that reads this or more is taken to be soft: about fibre saturation. [%]"""

Tell = Callable[[int, int], None]


@dataclass(frozen=True)
class Ordered:
    """A job's take-down and put-back; ``left_in`` says what was found bad and stays."""

    job: Job
    after: Job
    found: Corner
    repaired: Corner
    down: TakeDown
    back: PutBack
    left_in: tuple[str, ...]


@dataclass(frozen=True)
class Nights:
    """The nights of the plan; ``offer`` is a drier order that costs nothing, if there is one.

    ``night_mm`` is the rain of a usual rainy night. [mm]
    """

    ordered: Ordered
    rain: SiteRain
    table: CrewHours
    night_mm: float
    rows: tuple[Night, ...]
    usual: Exposure
    offer: Exposure | None

    @property
    def steps(self) -> tuple[Step, ...]:
        """The steps that the nights belong to: those of the offer where there is one."""
        return (self.offer or self.usual).steps


def order_job(job: Job) -> Ordered:
    """What comes off, in which order, and the order back.

    Raises
    ------
    InputError
        If the job holds no change.
    JobError
        If a change cannot be made.
    NoSolution
        If nothing can be the first to come off, or to go back.
    """
    after = in_state(job, State.REPAIRED)
    found, repaired = as_drawn(job), as_drawn(after)
    down = take_down(found, repaired, job.change)
    back = put_back(found, repaired, down)
    left = (
        *_soft_left_in(job, found),
        *_damaged_left_in(job, found, down),
        *members_left_in(job, found),
    )
    return Ordered(job, after, found, repaired, down, back, left)


def _changed_names(job: Job) -> set[str]:
    return {c.piece for c in job.change if c.piece is not None}


def _soft_left_in(job: Job, found: Corner) -> list[str]:
    """Wood that reads wet enough to be soft and that no change names."""
    rows = []
    for reading in job.reading:
        wet = reading.percent >= SOFT_PERCENT and reading.piece is not None
        if wet and reading.piece not in _changed_names(job):
            piece = found.piece_named[reading.piece or ""]
            where = place_words(found, face=found.face_named[reading.face].index, at=reading.at)
            rows.append(
                f"The {piece.title} reads {reading.percent:g} % at {where} and is left in: "
                "probe it, and replace it if it is soft."
            )
    return rows


def _damaged_left_in(job: Job, found: Corner, down: TakeDown) -> list[str]:
    """Pieces that are marked as damaged and that no change names."""
    rows = []
    for damage in job.damage:
        if damage.piece is None or damage.piece in _changed_names(job):
            continue
        piece = found.piece_named[damage.piece]
        goes = "goes back as it was" if piece.index in down.off else "is left in"
        rows.append(
            f"The {piece.title} is marked as damaged ({damage.text.rstrip('.')}) and {goes}: look "
            "at it before you close."
        )
    return rows


def nights_of(
    job: Job,
    table: CrewHours,
    *,
    night_mm: float | None = None,
    ordered: Ordered | None = None,
    tell: Tell | None = None,
) -> Nights:
    """What gets wet in each night of the work, and the driest order that costs nothing.

    Parameters
    ----------
    night_mm : float or None
        Rain of a usual rainy night; None spreads the year's rain over the wet days. [mm]
    ordered : Ordered or None
        The order of the job, if it is known already.

    Raises
    ------
    InputError
        If the job holds no change, nothing comes off or is laid, or the night's rain is not
        above 0.
    NoSolution
        If nothing can be the first to come off, or to go back.
    """
    ordered = ordered or order_job(job)
    rain = site_rain(job.site)
    share = night_share(rain, table, night_mm)
    watch = Watch(job, rain, share=share)
    orders = _orders(ordered, table)
    found = least_exposed(job, ordered.after, orders, table, watch, tell=tell)
    days = evenings(job, ordered.after, found[-1].steps, table)
    return Nights(
        ordered=ordered,
        rain=rain,
        table=table,
        night_mm=share * rain.rain_year_mm,
        rows=tuple(watch.night(e) for e in days),
        usual=found[0],
        offer=found[1] if len(found) > 1 else None,
    )


def _orders(ordered: Ordered, table: CrewHours) -> list[tuple[Step, ...]]:
    """Orders of the work to choose from, the usual one first."""
    found, repaired = ordered.found, ordered.repaired
    usual = straight_steps(found, repaired, (ordered.down, ordered.back), table)
    if not usual:
        raise InputError(
            "job",
            "its changes take nothing off and lay nothing",
            "a change that opens the corner",
            "There is no night to look at: nothing stands open.",
        )
    by_face = put_back(found, repaired, ordered.down, face_first=True)
    faced = straight_steps(found, repaired, (ordered.down, by_face), table)
    parted = [part_by_part(found, repaired, steps) for steps in (usual, faced)]
    return [usual, faced, *parted]
