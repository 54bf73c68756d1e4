"""What a job says about drying: the weather of the place, and the spots that are looked at."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, StrictBool

from weatherlap.job.records import (
    Day,
    Id,
    Length,
    Number,
    Point,
    Record,
    Temperature,
    Warming,
    WoodKind,
)

KeptPlace = Literal[
    "boston-ma", "new-york-ny", "burlington-vt", "richmond-va", "charlotte-nc", "atlanta-ga",
    "miami-fl", "houston-tx", "cleveland-oh", "chicago-il", "minneapolis-mn", "denver-co",
    "phoenix-az", "san-francisco-ca", "portland-or", "seattle-wa", "vancouver-bc", "toronto-on",
    "halifax-ns",
]  # fmt: skip
DryMaterial = Literal[
    "softwood", "pine-sapwood", "douglas-fir", "cedar", "treated-softwood", "plywood", "osb",
    "engineered-wood", "fibreboard", "gypsum", "fibre-cement", "stucco", "brick", "concrete",
    "glass-fibre", "eps", "xps", "polyisocyanurate", "asphalt-felt", "asphalt-paper",
    "polyolefin-sheet", "polyethylene", "modified-asphalt", "liquid-membrane", "latex-paint",
    "alkyd-paint", "vinyl", "pvc", "epdm", "asphalt-shingle", "aluminium", "steel", "copper",
    "glass", "air", "butyl", "acrylic-tape", "lead-coated-copper", "polymer-mat", "sealant",
    "paving",
]  # fmt: skip


class ClimateRecord(Record):
    """The weather of the place: kept with the program, typed by month, or read from a file."""

    place: KeptPlace | None = Field(
        default=None, description="A place whose monthly normals are kept with the program"
    )
    months: str | None = Field(
        default=None,
        max_length=20000,
        description="Or twelve rows of monthly normals under a row of names with units, such as "
        "temperature [F], humidity [%], wind [mph], rain [in], rain days [d]",
    )
    weather_file: str | None = Field(
        default=None,
        min_length=1,
        max_length=300,
        description="Or a file of hourly weather beside this one: TMY3, or a table with named "
        "columns and units",
    )
    name: str = Field(default="", max_length=200, description="Name of the place")
    latitude: Number | None = Field(
        default=None, ge=-66, le=66, description="Degrees, north above 0; needed with `months`"
    )


class BehindRecord(Record):
    """A layer behind the innermost piece at a spot."""

    material: DryMaterial = Field(description="What it is made of")
    thickness: Length = Field(gt=0, le=80, description="How thick it is")
    title: str = Field(default="", max_length=80, description="Name on the papers")


class OpenedRecord(Record):
    """A piece of wood that is laid bare, to be dry enough before it is closed in again."""

    title: str = Field(min_length=1, max_length=80, description="Name on the papers, as 'stud'")
    material: DryMaterial = Field(default="softwood", description="What wood it is")
    thickness: Length = Field(gt=0, le=20, description="How thick it is, the thin way")
    date: Day = Field(default="", description="Day it is opened; else that of the visit")
    percent: Number | None = Field(
        default=None,
        ge=4,
        le=120,
        description="What the meter shows in it; else the nearest reading on this face",
    )
    wood: Temperature | None = Field(
        default=None,
        description="Temperature of the wood when it was read, as '50 F'; else the month's",
    )
    species: WoodKind | None = Field(
        default=None, description="Species, where the meter is set for Douglas-fir"
    )
    points: Number = Field(
        default=0.0, ge=-20, le=20, description="Points to add, by the meter's own table"
    )
    one_face: StrictBool = Field(
        default=False, description="One face still lies against something tight"
    )
    heater: Warming | None = Field(
        default=None, description="How much warmer a heater makes the air, as '15 F' or '8 C'"
    )


class DryRecord(Record):
    """A spot whose layers are followed through the year."""

    id: Id = Field(description="Its name in this file")
    title: str = Field(default="", max_length=120, description="Name on the papers")
    face: Id = Field(description="Id of the face")
    at: Point = Field(description="Where on the face, [right, up]")
    inside: Literal["heated room", "outdoor air, sheltered"] = Field(
        default="heated room", description="What is behind its layers"
    )
    behind: tuple[BehindRecord, ...] = Field(
        default=(), description="Layers behind the innermost piece, from outside to inside"
    )
    thickness: dict[Id, Length] = Field(
        default={}, description="Thickness of pieces here that differs from the catalogue's, by id"
    )
    gap: Literal["vented", "brick", "tight"] | None = Field(
        default=None,
        description="How the gap behind the cladding is vented, if its piece does not tell: "
        "hangs free, brick with weeps, or tight",
    )
    open: tuple[OpenedRecord, ...] = Field(
        default=(), description="Wood that is laid bare here, to dry in the open"
    )
    capacity: StrictBool = Field(
        default=False, description="Look for the most leakage that it dries in a year (takes time)"
    )
    band: StrictBool = Field(
        default=False, description="Run it over the ranges of its materials too (takes time)"
    )
