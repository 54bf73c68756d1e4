"""The records of a job file; every length is in inches once it is read."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from weatherlap.units import parse_area_rate, parse_length, parse_rain, parse_speed

Length = Annotated[float, BeforeValidator(parse_length)]
Rain = Annotated[float, BeforeValidator(parse_rain)]
Depth = Annotated[float, BeforeValidator(parse_area_rate)]
Speed = Annotated[float, BeforeValidator(parse_speed)]
Point = tuple[Length, Length]
SpacePoint = tuple[Length, Length, Length]
Id = Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9_.-]*$", max_length=80)]


class Record(BaseModel):
    """A table of the job file: unknown keys and non-finite numbers are errors."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


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


class LineEnd(StrEnum):
    """One end of a trough's line."""

    START = "start"
    END = "end"


class About(Record):
    """What the job is: the call, the client's words, the people."""

    title: str = Field(min_length=1, max_length=200, description="Name of the job")
    client: str = Field("", max_length=200, description="Who called")
    place: str = Field("", max_length=300, description="Where the corner is")
    symptom: str = Field("", max_length=2000, description="What the client saw")
    date: str = Field("", max_length=40, description="Day of the visit, as YYYY-MM-DD")
    by: str = Field("", max_length=200, description="Who looked")
    notes: str = Field("", max_length=10000, description="Anything else")


class Site(Record):
    """Rain and wind of the place; each default is a stated assumption."""

    rain_design: Rain | None = Field(None, description="Design rain, as '4 in/h' or '100 mm/h'")
    rain_year: Depth | None = Field(None, description="Rain of a usual year, as '44 in'")
    wind_design: Speed | None = Field(None, description="Wind during the design rain, '25 mph'")
    wind_in_rain: Speed | None = Field(None, description="Usual wind while it rains, '9 mph'")
    wind_pressure: Speed | None = Field(
        None, description="Gust that laps must hold against, as '50 mph'"
    )
    driving_rain: Literal["ashrae-160", "iso-15927-3"] = Field(
        "ashrae-160", description="Standard for the rain that the wind drives onto walls"
    )
    exposure: Literal["severe", "medium", "sheltered"] = Field(
        "medium", description="Exposure of the building (ASHRAE 160)"
    )
    above_wall: Literal["steep-roof", "low-roof", "runoff"] = Field(
        "steep-roof", description="What is above the walls (ASHRAE 160 deposition)"
    )
    airfield_index: dict[str, float] | None = Field(
        None,
        description="ISO 15927-3 airfield annual index in L/m2 a year by bearing, "
        "as { \"180\" = 350, \"270\" = 420 }",
    )
    terrain: Literal["open", "farmland", "suburb", "town"] = Field(
        "suburb", description="Terrain (ISO 15927-3)"
    )
    obstacle_distance: Length | None = Field(
        None, description="Distance to the nearest like obstacle (ISO 15927-3)"
    )
    wall_factor: float = Field(0.4, ge=0.1, le=1.0, description="Wall factor W (ISO 15927-3)")
    topography: float = Field(1.0, ge=1.0, le=1.6, description="Topography factor (ISO 15927-3)")
    height: Length = Field(120.0, gt=0, description="Height above ground of the corner")


class FaceRecord(Record):
    """A flat side of the corner."""

    id: Id
    title: str = Field("", max_length=200, description="Name on drawings")
    facing: float = Field(
        0.0, ge=0, le=360, description="Bearing of the outward normal, or the way a roof falls"
    )
    tilt: float = Field(
        description="Degrees from level: 0 a level top, 90 a wall, 180 an underside", ge=0, le=180
    )
    origin: SpacePoint = Field(description="Lower left corner in space: east, north, up")
    width: Length | None = Field(None, gt=0, description="With height: a rectangle from the origin")
    height: Length | None = Field(None, gt=0)
    outline: tuple[Point, ...] | None = Field(
        None, min_length=3, description="Corners [right, up] in the face's own plane"
    )


class TroughRecord(Record):
    """A line on a panel along which a lip catches water and leads it to the low end."""

    line: tuple[Point, Point] = Field(description="Start and end of the line")
    closed: tuple[LineEnd, ...] = Field((), description="Ends that are dammed")
    width: Length = Field(0.75, gt=0, description="Inside width of the trough")
    depth: Length = Field(0.5, gt=0, description="Height of its lip")


class PanelRecord(Record):
    """The part of a piece that lies on one face."""

    face: Id
    rect: tuple[Length, Length, Length, Length] | None = Field(
        None, description="[left, bottom, right, top]"
    )
    outline: tuple[Point, ...] | None = Field(None, min_length=3, description="Corners [right, up]")
    trough: TroughRecord | None = None


class GutterRecord(Record):
    """A gutter, hung in space."""

    line: tuple[SpacePoint, SpacePoint]
    width: Length = Field(5.0, gt=0, description="Across its top")
    depth: Length | None = Field(None, gt=0, description="Default: half the width")
    shape: Literal["half-round", "box"] = "half-round"


class PieceRecord(Record):
    """A thing laid on faces; the order in the file is the order of laying."""

    id: Id
    title: str = Field("", max_length=200, description="Name on drawings")
    what: Id | None = Field(None, description="Entry of the catalogue")
    sheet: Sheet | None = Field(None, description="What it does with water, if `what` does not say")
    on: tuple[PanelRecord, ...] = Field((), description="Its panels")
    sealed: tuple[Edge, ...] = Field((), description="Edges closed with tape or sealant")
    drip: bool = Field(False, description="Its lower edge is bent out so that drops fall")
    behind: tuple[Id, ...] = Field((), description="Earlier pieces that this one was slipped behind")
    gutter: GutterRecord | None = None
    passes: float | None = Field(
        None, ge=0, le=1, description="Share of the rain on it that gets past its joints and holes"
    )
    note: str = Field("", max_length=2000)


class Reading(Record):
    """A moisture reading at a place."""

    face: Id
    at: Point
    percent: float = Field(ge=0, le=100)
    piece: Id | None = None
    date: str = ""
    note: str = Field("", max_length=2000)


class Damage(Record):
    """Damage that was seen."""

    face: Id
    at: Point
    text: str = Field(min_length=1, max_length=2000)
    piece: Id | None = None


class CutLine(Record):
    """A line on a face along which a section is drawn; it runs on through the folds."""

    id: Id
    face: Id
    at: Length = Field(description="Distance right of the face's origin")
    title: str = Field("", max_length=200)


class Leak(Record):
    """Water let in at one place, to try a suspicion."""

    face: Id
    at: Point
    on: Id = Field(description="Piece that the water starts on")


class Suspect(Record):
    """A cause that somebody suspects, with its odds before anything is opened."""

    id: Id
    text: str = Field(min_length=1, max_length=500)
    odds: float = Field(1.0, gt=0, description="Odds against the other suspects")
    leak: Leak | None = Field(None, description="Where the water would get in")
    finding: tuple[Id, ...] = Field(
        (), description="Or: the two pieces of the finding that would be the cause"
    )


class Job(Record):
    """One job: one repair of one corner."""

    job: About
    site: Site = Site()
    face: tuple[FaceRecord, ...] = Field(min_length=1)
    piece: tuple[PieceRecord, ...] = ()
    cut: tuple[CutLine, ...] = ()
    reading: tuple[Reading, ...] = ()
    damage: tuple[Damage, ...] = ()
    suspect: tuple[Suspect, ...] = ()
