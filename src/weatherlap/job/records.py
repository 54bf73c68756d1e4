"""The records that a job file is made of; every length is in inches once it is read."""

from __future__ import annotations

import datetime
from enum import StrEnum
from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, StrictBool

from weatherlap.errors import InputError
from weatherlap.sources.catalogue import PASSES_WITH_JOINTS, entry
from weatherlap.units import (
    UnitError,
    parse_area_rate,
    parse_length,
    parse_number,
    parse_rain,
    parse_speed,
    parse_temperature,
    parse_warming,
)

MILE_IN = 63360.0


def _day(value: object) -> object:
    """A day as text; TOML lets it stand without quotes."""
    if isinstance(value, datetime.date) and not isinstance(value, datetime.datetime):
        return value.isoformat()
    if isinstance(value, str) and value:
        try:
            return datetime.date.fromisoformat(value).isoformat()
        except ValueError:
            raise UnitError(f"found {value[:40]!r}", "a day as YYYY-MM-DD") from None
    return value


Length = Annotated[float, BeforeValidator(parse_length), Field(ge=-MILE_IN, le=MILE_IN)]
Number = Annotated[float, BeforeValidator(parse_number)]
Day = Annotated[str, BeforeValidator(_day), Field(max_length=10)]
Rain = Annotated[float, BeforeValidator(parse_rain)]
Depth = Annotated[float, BeforeValidator(parse_area_rate)]
Speed = Annotated[float, BeforeValidator(parse_speed)]
Temperature = Annotated[float, BeforeValidator(parse_temperature)]
Warming = Annotated[float, BeforeValidator(parse_warming), Field(ge=0, le=40)]
WoodKind = Literal["douglas-fir", "spruce"]
Point = tuple[Length, Length]
SpacePoint = tuple[Length, Length, Length]
Id = Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9_.-]*$", max_length=80)]


class Record(BaseModel):
    """A table of the job file: unknown keys and non-finite numbers are errors."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False, defer_build=True)


class Sheet(StrEnum):
    """What a piece does with water."""

    SHEDS = "sheds"
    RESISTS = "resists"
    ABSORBS = "absorbs"
    OPEN = "open"


class Edge(StrEnum):
    """An edge of a piece that can be sealed."""

    TOP = "top"
    BOTTOM = "bottom"


class Side(StrEnum):
    """A side of a panel."""

    TOP = "top"
    BOTTOM = "bottom"
    LEFT = "left"
    RIGHT = "right"


class LineEnd(StrEnum):
    """One end of a trough's line."""

    START = "start"
    END = "end"


class About(Record):
    """What the job is: the call, the client's words, the people."""

    title: str = Field(min_length=1, max_length=200, description="Name of the job")
    client: str = Field(default="", max_length=200, description="Who called")
    place: str = Field(default="", max_length=300, description="Where the corner is")
    symptom: str = Field(default="", max_length=2000, description="What the client saw")
    date: Day = Field(default="", description="Day of the visit, as YYYY-MM-DD")
    by: str = Field(default="", max_length=200, description="Who looked")
    notes: str = Field(default="", max_length=10000, description="Anything else")


class Site(Record):
    """Rain and wind of the place; each default is a stated assumption."""

    rain_design: Rain | None = Field(
        default=None, description="Design rain, as '4 in/h' or '100 mm/h'"
    )
    rain_year: Depth | None = Field(default=None, description="Rain of a usual year, as '44 in'")
    wind_design: Speed | None = Field(
        default=None, description="Wind during the design rain, '25 mph'"
    )
    wind_in_rain: Speed | None = Field(
        default=None, description="Usual wind while it rains, '9 mph'"
    )
    wind_pressure: Speed | None = Field(
        default=None, description="Gust that laps must hold against, as '50 mph'"
    )
    driving_rain: Literal["ashrae-160", "iso-15927-3"] = Field(
        default="ashrae-160", description="Standard for the rain that the wind drives onto walls"
    )
    exposure: Literal["severe", "medium", "sheltered"] = Field(
        default="medium", description="Exposure of the building (ASHRAE 160)"
    )
    above_wall: Literal["steep-roof", "low-roof", "runoff"] = Field(
        default="steep-roof", description="What is above the walls (ASHRAE 160 deposition)"
    )
    airfield_index: dict[str, Number] | None = Field(
        default=None,
        description="ISO 15927-3 airfield annual index in L/m2 a year by bearing, "
        'as { "180" = 350, "270" = 420 }',
    )
    terrain: Literal["open", "farmland", "suburb", "town"] = Field(
        default="suburb", description="Terrain (ISO 15927-3)"
    )
    obstacle_distance: Length | None = Field(
        default=None, description="Distance to the nearest like obstacle (ISO 15927-3)"
    )
    wall_factor: Number = Field(
        default=0.4, ge=0.1, le=1.0, description="Wall factor W (ISO 15927-3)"
    )
    topography: Number = Field(
        default=1.0, ge=1.0, le=1.6, description="Topography factor (ISO 15927-3)"
    )
    height: Length = Field(default=120.0, gt=0, description="Height above ground of the corner")


class FaceRecord(Record):
    """A flat side of the corner, by its lower left corner in space, its bearing and its tilt."""

    id: Id = Field(description="Its name in this file")
    title: str = Field(default="", max_length=200, description="Name on drawings")
    facing: Number = Field(
        default=0.0,
        ge=0,
        le=360,
        description="Bearing of the outward normal, or the way a roof falls",
    )
    tilt: Number = Field(
        description="Degrees from level: 0 a level top, 90 a wall, 180 an underside", ge=0, le=180
    )
    origin: SpacePoint = Field(description="Lower left corner in space: east, north, up")
    width: Length | None = Field(
        default=None, gt=0, description="With height: a rectangle from the origin"
    )
    height: Length | None = Field(
        default=None, gt=0, description="With width: measured up the face, not plumb"
    )
    outline: tuple[Point, ...] | None = Field(
        default=None, min_length=3, description="Corners [right, up] in the face's own plane"
    )


class TroughRecord(Record):
    """A line on a panel along which a lip catches water and leads it to the low end."""

    line: tuple[Point, Point] = Field(description="Start and end of the line")
    closed: tuple[LineEnd, ...] = Field(default=(), description="Ends that are dammed")
    width: Length = Field(default=0.75, gt=0, description="Inside width of the trough")
    depth: Length = Field(default=0.5, gt=0, description="Height of its lip")


class PanelRecord(Record):
    """The part of a piece that lies on one face."""

    face: Id = Field(description="Id of the face")
    rect: tuple[Length, Length, Length, Length] | None = Field(
        default=None, description="[left, bottom, right, top] in the face's own plane"
    )
    outline: tuple[Point, ...] | None = Field(
        default=None, min_length=3, description="Or its corners in turn, each [right, up]"
    )
    trough: TroughRecord | None = Field(
        default=None, description="A lip on it that catches and leads water"
    )


class GutterRecord(Record):
    """A gutter, hung in space."""

    line: tuple[SpacePoint, SpacePoint] = Field(
        description="Its two ends in space, each [east, north, up]"
    )
    width: Length = Field(default=5.0, gt=0, description="Across its top")
    depth: Length | None = Field(default=None, gt=0, description="Default: half the width")
    shape: Literal["half-round", "box"] = Field(default="half-round", description="Its section")


class PieceRecord(Record):
    """A thing laid on faces; the order in the file is the order of laying, innermost first."""

    id: Id = Field(description="Its name in this file")
    title: str = Field(default="", max_length=200, description="Name on drawings")
    what: Id | None = Field(default=None, description="Entry of the catalogue")
    sheet: Sheet | None = Field(
        default=None, description="What it does with water, if `what` does not say"
    )
    on: tuple[PanelRecord, ...] = Field(default=(), description="Its panels")
    sealed: tuple[Edge, ...] = Field(default=(), description="Edges closed with tape or sealant")
    drip: StrictBool = Field(
        default=False, description="Its lower edge is bent out so that drops fall"
    )
    behind: tuple[Id, ...] = Field(
        default=(), description="Earlier pieces that this one was slipped behind"
    )
    gutter: GutterRecord | None = Field(
        default=None, description="The piece is a gutter, hung in space"
    )
    passes: Number | None = Field(
        default=None,
        ge=0,
        le=1,
        description="Share of the rain on it that gets past its joints and holes",
    )
    keep: StrictBool = Field(
        default=False, description="The client keeps it as it is: no mend may change it"
    )
    slides: tuple[Side, ...] = Field(
        default=(), description="Ways it slides out without taking off what covers it"
    )
    bends: StrictBool = Field(
        default=False, description="It can be bent up and held while work is done behind it"
    )
    run: Id | None = Field(
        default=None, description="Run of like pieces that it belongs to, in order of the file"
    )
    note: str = Field(default="", max_length=2000, description="Anything else")


class Reading(Record):
    """A moisture reading at a place."""

    face: Id = Field(description="Id of the face")
    at: Point = Field(description="Where on the face, [right, up]")
    percent: Number = Field(ge=0, le=100, description="What the meter showed, in percent")
    piece: Id | None = Field(default=None, description="Id of the piece that was metered")
    date: Day = Field(default="", description="Day of the reading, as YYYY-MM-DD")
    wood: Temperature | None = Field(
        default=None, description="Temperature of the wood, as '50 F'; else the month's"
    )
    species: WoodKind | None = Field(
        default=None, description="Species, where the meter is set for Douglas-fir"
    )
    points: Number = Field(
        default=0.0, ge=-20, le=20, description="Points to add, by the meter's own table"
    )
    note: str = Field(default="", max_length=2000, description="Anything else")


class Damage(Record):
    """Damage that was seen."""

    face: Id = Field(description="Id of the face")
    at: Point = Field(description="Where on the face, [right, up]")
    text: str = Field(min_length=1, max_length=2000, description="What was seen")
    piece: Id | None = Field(default=None, description="Id of the piece that is damaged")


class CutLine(Record):
    """A line on a face along which a section is drawn; it runs on through the folds."""

    id: Id = Field(description="Its name in this file")
    face: Id = Field(description="Id of the face")
    at: Length = Field(description="Distance right of the face's origin")
    title: str = Field(default="", max_length=200, description="Name on drawings")


class Leak(Record):
    """Water let in at one place, to try a suspicion."""

    face: Id = Field(description="Id of the face")
    at: Point = Field(description="Where on the face, [right, up]")
    on: Id = Field(description="Piece that the water starts on")


class Suspect(Record):
    """A cause that somebody suspects, with its odds before anything is opened."""

    id: Id = Field(description="Its name in this file")
    text: str = Field(min_length=1, max_length=500, description="The cause, in plain words")
    odds: Number = Field(default=1.0, gt=0, description="Odds against the other suspects")
    leak: Leak | None = Field(default=None, description="Where the water would get in")
    finding: tuple[Id, ...] = Field(
        default=(), description="Or: the two pieces of the finding that would be the cause"
    )


class RunMark(Record):
    """A mark that was taped along a run before it came down."""

    after: int = Field(ge=1, description="How many pieces of the run end at this mark")
    at: Length = Field(description="Where it is, along the face as `start` is")


class Run(Record):
    """A run of like pieces, laid out between taped marks; its pieces name it in their `run`."""

    id: Id = Field(description="Its name in this file")
    title: str = Field(default="", max_length=200, description="Name on sheets")
    face: Id = Field(description="Id of the face")
    along: Literal["right", "up"] = Field(
        default="right", description="Which way the pieces follow one another"
    )
    start: Length = Field(description="Where the first piece begins, from the face's origin")
    end: Length = Field(description="Where the last one ends")
    least: Length = Field(gt=0, description="Least width that a piece can show in the run")
    most: Length = Field(gt=0, description="Greatest width that it can show")
    rip: Length | None = Field(
        default=None,
        gt=0,
        description="Least width that the first and the last piece may be ripped to; left out, "
        "none is ripped",
    )
    marks: tuple[RunMark, ...] = Field(default=(), description="Marks taped in between")
    opening: tuple[Length, Length] | None = Field(
        default=None,
        description="Across the run, from back to back of the channels: at its start, at its end",
    )
    channel: Length = Field(default=0.75, gt=0, description="Inside depth of each channel")
    gap: Length = Field(
        default=0.25, ge=0, description="Room that a piece is cut short by, to grow with heat"
    )
    lengths: tuple[Length, ...] = Field(
        default=(), description="Own lengths of pieces that are used again, in their order"
    )
    material: Literal["vinyl", "aluminum", "wood"] = Field(
        default="vinyl", description="What the pieces are made of, for how they shrink in cold"
    )


def sheet_of(piece: PieceRecord) -> Sheet:
    """What a piece does with water: its own `sheet`, else that of its catalogue entry.

    A gutter without either sheds.

    Raises
    ------
    InputError
        If the catalogue does not hold ``piece.what``, or neither key is given.
    """
    if piece.sheet is not None:
        return piece.sheet
    if piece.what is not None:
        return Sheet(entry(piece.what).sheet)
    if piece.gutter is not None and not piece.on:
        return Sheet.SHEDS
    raise InputError(f"piece {piece.id!r}", "neither `what` nor `sheet`", "one of the two")


def passes_of(piece: PieceRecord) -> float:
    """Share of the rain on a piece that gets past its joints and holes. [-]

    Its own `passes`, else that of its catalogue entry; a piece that sheds and says nothing passes
    1 % unless it is a gutter; all others pass nothing.

    Sources
    -------
    C-007 : 1 % of the rain on a wall gets past the cladding.
    """
    if piece.passes is not None:
        return piece.passes
    if sheet_of(piece) is not Sheet.SHEDS or (piece.gutter is not None and not piece.on):
        return 0.0
    known = entry(piece.what) if piece.what is not None else None
    return known.passes if known is not None and known.sheet == "sheds" else PASSES_WITH_JOINTS
