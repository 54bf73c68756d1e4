"""Drying of a job: what stands open, and every spot as found and as repaired through a year."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

from weatherlap.drying.band import Band, DaysBand, days_band, year_band
from weatherlap.drying.capacity import Capacity, drying_capacity
from weatherlap.drying.climate import Climate, from_hour
from weatherlap.drying.compare import LeftOut, found_and_repaired
from weatherlap.drying.decay import ClimateHazard
from weatherlap.drying.materials import Kind, material
from weatherlap.drying.model import Aid, Wall
from weatherlap.drying.open_drying import (
    USUAL_HEATER_RISE_K,
    DryingTime,
    OpenMember,
    days_to_dry,
)
from weatherlap.drying.wood import MeterReading, Species, corrected_reading
from weatherlap.drying.year import Profile, WallYear, wall_year, wettest_profile
from weatherlap.errors import InputError, JobError
from weatherlap.job.dryrecords import DryRecord, OpenedRecord
from weatherlap.job.model import Change, Do, Job, Reading
from weatherlap.job.placing import placing
from weatherlap.run.changewords import change_words
from weatherlap.run.dryleaks import Wetted
from weatherlap.run.dryspots import SpotWall, leak_pattern, spot_wall
from weatherlap.run.dryweather import climate_of, hazard_of, hour_of, month_mean_c
from weatherlap.run.places import place_words
from weatherlap.run.states import State
from weatherlap.run.worked import Worked, in_state, traced_without, work_out
from weatherlap.sources.catalogue import entry

Tell = Callable[[str, int, int], None]
READING_REACH_IN = 24.0
"""A reading of a piece stands for the piece this far round it. [in]"""
YEARS_FOUND = 2
DRAWS = 64
WORKERS = 2
NOT_LOOKED_AT = (Do.REUSE,)


@dataclass(frozen=True, slots=True)
class Read:
    """A reading of the job with what it means; ``meter`` is None where it is not on wood."""

    reading: Reading
    place: str
    piece: str
    celsius: float
    meter: MeterReading


@dataclass(frozen=True, slots=True, eq=False)
class Opened:
    """A piece of wood that stands open, with each aid, none first."""

    record: OpenedRecord
    meter: MeterReading
    first_hour: int
    times: tuple[DryingTime, ...]
    band: DaysBand | None


@dataclass(frozen=True, slots=True, eq=False)
class StateYear:
    """A spot in one state through the year after the visit."""

    spotted: SpotWall
    year: WallYear
    profile: Profile
    capacity: Capacity | None
    band: Band | None


@dataclass(frozen=True, slots=True, eq=False)
class SpotDried:
    """A spot as found and, where the job holds changes, as repaired.

    ``meters`` are the nearest readings of its layers, by the id of the piece.
    """

    spot: DryRecord
    place: str
    opened: tuple[Opened, ...]
    found: StateYear
    repaired: StateYear | None
    left_out: tuple[LeftOut, ...]
    meters: Mapping[str, MeterReading]


@dataclass(frozen=True, slots=True, eq=False)
class Drying:
    """Everything that can be said about drying from a job."""

    job: Job
    climate: Climate
    first_hour: int
    hazard: ClimateHazard
    read: tuple[Read, ...]
    spots: tuple[SpotDried, ...]

    @property
    def source_keys(self) -> tuple[str, ...]:
        """Sources of everything, each once."""
        keys = [*self.climate.source_keys, *self.hazard.source_keys, "D-039", "D-040", "D-041"]
        for row in self.read:
            keys += row.meter.source_keys
        for spot in self.spots:
            keys += [k for o in spot.opened for t in o.times for k in t.source_keys]
            states = [s for s in (spot.found, spot.repaired) if s is not None]
            keys += [k for s in states for k in s.year.source_keys]
        return tuple(dict.fromkeys(keys))


@dataclass(frozen=True, slots=True)
class Asked:
    """What is looked for beyond what the job asks for itself."""

    capacity: bool = False
    band: bool = False


def _silent(_: str, done: int, total: int) -> None:
    del done, total


def drying_of(
    job: Job, *, weather: str | None = None, asked: Asked = Asked(), tell: Tell = _silent
) -> Drying:
    """Work every drying question of a job out.

    Parameters
    ----------
    weather : str, optional
        Text of the weather file, where the job names one.
    asked : Asked
        What is looked for at every spot.
    tell : callable
        Told what is being done, how far it is, and of how many.

    Raises
    ------
    InputError
        If the job has no climate, or something at a spot is not known.
    JobError
        If a change cannot be made.
    """
    if job.climate is None:
        raise InputError(
            "job", "it has no [climate]", "the weather of the place",
            'For instance [climate] with place = "boston-ma", then a [[dry]] spot.',
        )  # fmt: skip
    with placing(job):
        climate = climate_of(job.climate, weather=weather)
    first_hour = hour_of(job.job.date)
    room = _Room(job, climate, from_hour(climate, first_hour=first_hour, hours=climate.hours))
    with ThreadPoolExecutor(WORKERS) as pool:  # the march lets other threads run
        runs = [pool.submit(room.dried, spot, asked, tell) for spot in job.dry]
        spots = []
        for number, (spot, run) in enumerate(zip(job.dry, runs, strict=True)):
            tell(spot.title or spot.id, number, len(job.dry))
            spots.append(run.result())
    read = tuple(room.read(r) for r in job.reading if room.is_wood(r))
    return Drying(job, climate, first_hour, hazard_of(climate), read, tuple(spots))


class _Room:
    """A job at work: each state of its corner traced once."""

    def __init__(self, job: Job, climate: Climate, after: Climate) -> None:
        self.job, self.climate, self.after = job, climate, after
        self.found = work_out(job)
        self.wet_found = Wetted(self.found.trace)
        self.repaired: Worked | None = None
        if job.change:
            self.repaired = work_out(in_state(job, State.REPAIRED))
            self.wet_repaired = Wetted(self.repaired.trace)
        self._without: dict[int, Wetted | None] = {}

    def is_wood(self, reading: Reading) -> bool:
        """Whether a reading was taken in a piece of wood."""
        piece = self.found.corner.piece_named.get(reading.piece or "")
        if piece is None or piece.record.what is None:
            return False
        return material(entry(piece.record.what).material).kind is Kind.WOOD

    def read(self, reading: Reading) -> Read:
        """A reading with its correction."""
        corner = self.found.corner
        face = corner.face_named[reading.face].index
        hour = hour_of(reading.date or self.job.job.date)
        celsius = month_mean_c(self.climate, hour) if reading.wood is None else reading.wood
        species = Species(reading.species) if reading.species else None
        meter = corrected_reading(
            max(reading.percent, 4.0), wood_c=celsius, species=species, points=reading.points
        )
        piece = corner.piece_named[reading.piece or ""].title
        return Read(reading, place_words(corner, face=face, at=reading.at), piece, celsius, meter)

    def dried(self, spot: DryRecord, asked: Asked, tell: Tell) -> SpotDried:
        """One spot, all questions."""
        found = spot_wall(spot, self.found.corner, self.wet_found, self.after)
        opened = tuple(self._opened(spot, k, asked) for k in spot.open)
        place = place_words(
            self.found.corner, face=self.found.corner.face_named[spot.face].index, at=spot.at
        )
        meters = self._meters(spot, found)
        if self.repaired is None:
            year = wall_year(found.wall, climate=self.after, years=YEARS_FOUND)
            state = self._state(spot, found, year, asked, tell)
            return SpotDried(spot, place, opened, state, None, (), meters)
        repaired = self._kept_wet(spot, self._repaired_wall(spot))
        without = self._walls_without(spot, found, repaired)
        compared = found_and_repaired(
            found.wall, repaired.wall, climate=self.after, without=without,
            years_found=YEARS_FOUND,
        )  # fmt: skip
        return SpotDried(
            spot, place, opened,
            self._state(spot, found, compared.found, asked, tell),
            self._state(spot, repaired, compared.repaired, asked, tell),
            compared.left_out,
            meters,
        )  # fmt: skip

    def _meters(self, spot: DryRecord, found: SpotWall) -> dict[str, MeterReading]:
        """The nearest reading of each wooden layer."""
        near = {x.id: self._nearest(spot, x.id) for x in found.wall.layers}
        return {name: self.read(r).meter for name, r in near.items() if r is not None}

    def _repaired_wall(self, spot: DryRecord) -> SpotWall:
        assert self.repaired is not None
        return spot_wall(spot, self.repaired.corner, self.wet_repaired, self.after)

    def _kept_wet(
        self, spot: DryRecord, spotted: SpotWall, *, left_out: int | None = None
    ) -> SpotWall:
        """The repaired wall whose kept wood begins as wet as the meter read it."""
        renewed = {
            c.piece
            for k, c in enumerate(self.job.change)
            if k != left_out and c.do in (Do.REPLACE, Do.TAKE_AWAY)
        }
        layers = []
        for layer in spotted.wall.layers:
            reading = self._nearest(spot, layer.id)
            wood = material(layer.material).kind is Kind.WOOD
            if wood and reading is not None and layer.id not in renewed:
                layer = replace(layer, start_pct=self.read(reading).meter.moisture_pct)
            layers.append(layer)
        return replace(spotted, wall=replace(spotted.wall, layers=tuple(layers)))

    def _nearest(self, spot: DryRecord, piece: str | None) -> Reading | None:
        """The nearest reading on the spot's face, on a piece if one is named."""
        near = [
            (math.dist(r.at, spot.at), k)
            for k, r in enumerate(self.job.reading)
            if r.face == spot.face and self.is_wood(r) and piece in (None, r.piece)
        ]
        if not near or min(near)[0] > READING_REACH_IN:
            return None
        return self.job.reading[min(near)[1]]

    def _opened(self, spot: DryRecord, record: OpenedRecord, asked: Asked) -> Opened:
        """A piece of wood in the open with every aid."""
        hour = hour_of(record.date or self.job.job.date)
        meter = self._meter(spot, record, hour)
        member = OpenMember(
            record.title, record.material, record.thickness * 0.0254, meter.moisture_pct,
            both_faces_open=not record.one_face,
        )  # fmt: skip
        rise = USUAL_HEATER_RISE_K if record.heater is None else record.heater
        times = tuple(
            days_to_dry(member, climate=self.climate, first_hour=hour, aid=aid, heater_rise_k=rise)
            for aid in Aid
        )
        band = None
        if asked.band or spot.band:
            band = days_band(member, climate=self.climate, first_hour=hour, draws=DRAWS)
        return Opened(record, meter, hour, times, band)

    def _meter(self, spot: DryRecord, record: OpenedRecord, hour: int) -> MeterReading:
        """What the meter says of an opened piece: its own figure, or the nearest reading."""
        if record.percent is None:
            reading = self._nearest(spot, None)
            if reading is None:
                raise InputError(
                    f"dry {spot.id!r}, open {record.title!r}: percent",
                    f"missing, and no reading of wood within {READING_REACH_IN:g} in on its face",
                    "what the meter shows",
                    "For instance percent = 28.",
                )
            return self.read(reading).meter
        celsius = month_mean_c(self.climate, hour) if record.wood is None else record.wood
        species = Species(record.species) if record.species else None
        return corrected_reading(
            record.percent, wood_c=celsius, species=species, points=record.points
        )

    def _walls_without(
        self, spot: DryRecord, found: SpotWall, repaired: SpotWall
    ) -> dict[str, Wall]:
        """The repaired wall with each change left out that makes a difference here."""
        assert self.repaired is not None
        near = found.pieces | repaired.pieces | found.passed
        walls = {}
        for number, change in enumerate(self.job.change):
            if change.do in NOT_LOOKED_AT or not _touches(change, near):
                continue
            wetted = self._trace_without(number)
            if wetted is None:
                continue
            other = spot_wall(spot, wetted.trace.corner, wetted, self.after)
            other = self._kept_wet(spot, other, left_out=number)
            if not other.same_as(repaired):
                words = change_words(self.found.corner, self.repaired.corner, change)
                walls[words] = other.wall
        return walls

    def _trace_without(self, number: int) -> Wetted | None:
        """The repaired corner without one change; None where the others need it."""
        change = self.job.change[number]
        if change.do is Do.REPLACE and not (change.what or change.sheet or change.on):
            return self.wet_repaired  # the same thing in the same place, only new
        if number not in self._without:
            try:
                self._without[number] = Wetted(traced_without(self.job, number))
            except JobError:
                self._without[number] = None
        return self._without[number]

    def _state(
        self, spot: DryRecord, spotted: SpotWall, year: WallYear, asked: Asked, tell: Tell
    ) -> StateYear:
        """One state with its profile and what is asked for beyond."""
        title = spot.title or spot.id
        capacity, band = None, None
        if asked.capacity or spot.capacity:
            capacity = drying_capacity(
                spotted.wall, climate=self.after, pattern=leak_pattern(spotted.wall, self.after),
                layer_id=spotted.takes,
                progress=lambda done, of: tell(f"{title}: drying capacity", done, of),
            )  # fmt: skip
        if asked.band or spot.band:
            band = year_band(
                spotted.wall, climate=self.after, draws=DRAWS, workers=WORKERS,
                progress=lambda done, of: tell(f"{title}: band of materials", done, of),
            )  # fmt: skip
        return StateYear(spotted, year, wettest_profile(year, climate=self.after), capacity, band)


def _touches(change: Change, near: frozenset[str]) -> bool:
    """Whether a change is about one of some pieces, or adds a new one."""
    return change.do is Do.ADD or change.piece in near or change.over in near
