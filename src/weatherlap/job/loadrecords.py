"""What the framing carries, how it is held up meanwhile, and the lengths that are to be cut."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, StrictBool

from weatherlap.job.framingrecords import Pounds, Psf, SaidBy, Size
from weatherlap.job.records import Id, Length, Number, Point, Record

Layer = Annotated[str, Field(min_length=2, max_length=60)]
GroundWord = Literal["slab on ground", "soil", "deck or framed floor"]


class WindRecord(Record):
    """How the wind on a roof is found."""

    route: Literal["open", "canopy", "typed", "none"] = Field(
        default="open",
        description="open: free-standing open roof; canopy: coefficients from the book; typed: "
        "net pressures from an engineer or the department",
    )
    obstructed: StrictBool = Field(default=False, description="Half or more closed below")
    up: Number | None = Field(
        default=None, ge=0, description="Net coefficient up, or pressure in psf if typed"
    )
    down: Number | None = Field(
        default=None, ge=0, description="Net coefficient down, or pressure in psf if typed"
    )
    said_by: str = Field(
        default="", max_length=200, description="Who gave the figures that are typed"
    )


class AboveRecord(Record):
    """The roof or wall that stands above a roof: it feeds drifts and may shed its snow."""

    step: Length = Field(gt=0, description="How far it stands above this roof")
    length: Length = Field(gt=0, description="Length of the roof above, away from the step")
    slope: Number = Field(default=0.0, ge=0, le=70, description="Its slope in degrees")
    eave_to_ridge: Length = Field(default=0.0, ge=0, description="On plan")
    slippery: StrictBool = Field(default=False, description="Metal, slate or membrane")
    falls_this_way: StrictBool = Field(default=False, description="Snow can slide onto this roof")


class CarriedRecord(Record):
    """A roof or floor of the corner, and the row of members that carries it.

    Its dead load comes from the pieces that lie on the face, its area from the face's outline.
    """

    face: Id = Field(description="The face: a roof slope or a floor")
    by: tuple[Id, ...] = Field(min_length=1, description="Members or rows that carry it")
    kind: Literal["roof", "floor"] = Field(default="roof", description="Roof, or deck or floor")
    outline: tuple[Point, ...] | None = Field(
        default=None, min_length=3,
        description="The whole of it in the face's plane, where the face is drawn only in part",
    )  # fmt: skip
    wall: Literal["top", "left", "right", "none"] = Field(
        default="top", description="The edge along which a wall stands above it"
    )
    layers: tuple[Layer, ...] = Field(
        default=(), description='What is not in the model, as "beadboard ceiling"'
    )
    allowance: Psf = Field(default=0.0, description="For what nobody saw")
    live: Psf | None = Field(default=None, description="Live load of a floor; else 40 psf")
    heated: StrictBool = Field(default=False, description="Heated under the roof (Ct 1.0)")
    slippery: StrictBool = Field(default=False, description="Metal or membrane, nothing stops snow")
    gable: StrictBool = Field(default=False, description="One side of a gable, for unbalanced snow")
    eave_to_ridge: Length | None = Field(
        default=None, gt=0, description="On plan; else the depth of the outline"
    )
    wind: WindRecord = Field(
        default=WindRecord.model_construct(), description="How the wind on it is found"
    )
    above: AboveRecord | None = Field(default=None, description="What stands above it")


class LevelRecord(Record):
    """A level that was surveyed, against the job's own zero."""

    id: Id = Field(description="Its name in this file")
    height: Length = Field(description="Height, up positive")
    at: Point = Field(description="Where on plan, [east, north]")
    read_by: str = Field(
        default="laser", min_length=2, max_length=100, description="Laser, string, water level"
    )


class FitRecord(Record):
    """A length to be cut, from surveyed levels."""

    id: Id = Field(description="Its name in this file")
    what: Literal["post", "shims", "beam", "jack stud", "seat", "shrinkage"] = Field(
        description="What is cut or set"
    )
    member: Id | None = Field(default=None, description="The member; for shims the one carried")
    foot: Id | None = Field(default=None, description="Level of the footing, slab or plate")
    under: Id | None = Field(default=None, description="Member, or level, that it reaches up to")
    base: Length = Field(default=0.0, ge=0, description="Standoff of the post base")
    cap: Length = Field(default=0.0, ge=0, description="Thickness of the cap under the beam")
    shim: Length = Field(default=0.0, ge=0, description="Shims wanted")
    keep: Length | None = Field(
        default=None, gt=0, description="The existing post, if it must stay so long"
    )
    levels: tuple[Id, ...] = Field(default=(), description="For shims: levels of the bearings")
    fall: Length = Field(default=0.0, ge=0, description="Fall a foot, for drainage")
    clear: Length | None = Field(
        default=None, gt=0, description="For a beam: clear between supports"
    )
    bearings: tuple[Length, Length] = Field(default=(3.0, 3.0), description="For a beam: each end")
    end_gap: Length = Field(default=0.0, ge=0, description="For a beam: air at each end")
    seat: Length | None = Field(default=None, gt=0, description="Level length of a seat cut")
    percent: Number | None = Field(default=None, ge=0, le=200, description="Moisture as it is set")
    dry_percent: Number = Field(default=14.0, ge=0, le=30, description="Moisture when it is dry")
    beside: Id | None = Field(default=None, description="The old dry member beside it")
    beside_percent: Number = Field(default=14.0, ge=0, le=200, description="Its moisture")
    set_high: Length = Field(default=0.0, description="How much higher its top is set")


class GroundRecord(Record):
    """A stretch of ground along a line of temporary posts."""

    what: GroundWord = Field(description="What a post stands on")
    start: Length = Field(default=0.0, ge=0, description="From, along the line")
    end: Length | None = Field(default=None, gt=0, description="To; else the end of the line")
    height: Length = Field(default=0.0, description="Its level, up positive")
    soil: str | None = Field(
        default=None, max_length=60, description='Soil by name, as "clay or silt"'
    )
    slab: Length | None = Field(default=None, gt=0, description="Thickness of a slab")
    slab_psi: Number = Field(default=2500.0, ge=1000, le=10000, description="Its strength")
    most: Pounds | None = Field(
        default=None, description="What a framed floor may take at one place, by an engineer"
    )


class BlockedRecord(Record):
    """A stretch where no temporary post may stand."""

    start: Length = Field(ge=0, description="From, along the line")
    end: Length = Field(gt=0, description="To")
    why: str = Field(min_length=2, max_length=200, description="Door, way out for the old beam ...")


class ShoreLineRecord(Record):
    """A line on plan along which a temporary header may run."""

    id: Id = Field(description="Its name in this file")
    start: Point = Field(description="[east, north]")
    end: Point = Field(description="[east, north]")
    ground: tuple[GroundRecord, ...] = Field(min_length=1, description="What is under it")
    blocked: tuple[BlockedRecord, ...] = Field(default=(), description="What is in the way")


class ShoreRecord(Record):
    """How the corner may be held up while members are out."""

    carries: tuple[Id, ...] = Field(default=(), description="Members or rows that are held")
    line: tuple[ShoreLineRecord, ...] = Field(default=(), description="Where a header may run")
    lift: Length = Field(default=0.125, gt=0, le=0.5, description="Lift of the jacks")
    most_lift: Length = Field(default=0.25, gt=0, le=0.5, description="Most that may be lifted")
    jack: Pounds = Field(default=20000.0, description="Rating of a jack")
    jack_by: SaidBy = Field(default="plate on the jack", description="Who rates it")
    jack_height: Length = Field(default=0.0, ge=0, description="Height of a jack under its post")
    tie: Pounds | None = Field(
        default=None, description="Working load of the straps or cables that hold the shore down"
    )
    tie_by: SaidBy = Field(default="tag on the strap", description="Who rates them")
    margin: Number = Field(default=2.0, ge=1.5, le=10, description="Rating over load of a jack")
    most_posts: int = Field(default=6, ge=2, le=8, description="Most temporary posts")
    headers: tuple[Size, ...] = Field(
        default=("2-2x6", "2-2x8", "2-2x10", "2-2x12", "3-2x12"),
        description="Headers there are, lightest first (SPF No.2)",
    )
    posts: tuple[Size, ...] = Field(
        default=("4x4", "4x6", "6x6"), description="Posts there are, lightest first (SPF No.2)"
    )
    stays_long: StrictBool = Field(
        default=False, description="It stands longer than a week: wood is given less"
    )
    above: tuple[str, ...] = Field(
        default=(), description="What is above and cracks: plaster, brick, tile, glass"
    )


class TemporaryRecord(Record):
    """A temporary post where the user wants it, in place of the proposed ones."""

    line: Id = Field(description="The line of [shore] that it stands on")
    at: Length = Field(ge=0, description="How far along it")
