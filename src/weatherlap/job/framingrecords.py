"""What holds the corner up, as it was surveyed: site values, members, joints, supports, levels."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, StrictBool

from weatherlap.job.loads import checked_size, parse_pounds, parse_psf
from weatherlap.job.records import Id, Length, Number, Record, SpacePoint, Speed

Psf = Annotated[float, BeforeValidator(parse_psf)]
Pounds = Annotated[float, BeforeValidator(parse_pounds)]
Size = Annotated[str, BeforeValidator(checked_size), Field(max_length=40)]
SaidBy = Annotated[str, Field(min_length=3, max_length=200)]

Use = Literal["beam", "header", "joist", "rafter", "ledger", "post", "stud", "brace"]
Species = Literal["DF-L", "HF", "SPF", "SPF-S", "SP"]
Grade = Literal["SS", "No.1&Btr", "No.1", "No.2", "No.3", "Stud"]
HoldWord = Literal["bears", "tied", "pinned", "fixed", "hung"]


class SaidLoad(Record):
    """A load of the place, with who said so."""

    value: Psf = Field(description='The load, as "30 psf"')
    said_by: SaidBy = Field(description="Who said so: office, map, by phone, day")


class SaidSpeed(Record):
    """A wind speed of the place, with who said so."""

    value: Speed = Field(description='The speed, as "115 mph"')
    said_by: SaidBy = Field(description="Who said so: office, map, by phone, day")


class SaidNumber(Record):
    """A plain figure of the place, with who said so."""

    value: Number = Field(ge=0, description="The figure")
    said_by: SaidBy = Field(description="Who said so: office, map, by phone, day")


class SaidLetter(Record):
    """A category of the place, with who said so."""

    value: Literal["B", "C", "D"] = Field(description="The category")
    said_by: SaidBy = Field(description="Who said so: office, map, by phone, day")


class FramingSite(Record):
    """What the place asks of the framing; a value that is missing stops the checks that need it."""

    ground_snow: SaidLoad | None = Field(
        default=None, description="Ground snow load, from the building department"
    )
    snow_edition: Literal["ASCE 7-16", "ASCE 7-22"] = Field(
        default="ASCE 7-16", description="Edition that the ground snow load belongs to"
    )
    winter_wind: SaidNumber | None = Field(
        default=None, description="Winter wind parameter W2, for ASCE 7-22 drifts"
    )
    snow_exposure: Literal["fully exposed", "partly exposed", "sheltered"] = Field(
        default="partly exposed", description="How the wind can clear the roof"
    )
    wind: SaidSpeed | None = Field(default=None, description="Design wind speed, ultimate")
    exposure: SaidLetter | None = Field(default=None, description="Wind exposure category")
    roof_height: Length | None = Field(
        default=None, gt=0, description="Mean roof height of the house above grade"
    )
    building_width: Length | None = Field(
        default=None, gt=0, description="Width of the house across the ridge, for header spans"
    )
    ground_elevation_factor: Number = Field(default=1.0, gt=0, le=1, description="Ke")
    topographic_factor: Number = Field(default=1.0, ge=1, le=3, description="Kzt")
    soil: SaidLoad | None = Field(default=None, description="Allowed soil pressure")


class TypedRecord(Record):
    """Design values of engineered lumber, from the maker's report."""

    fb_psi: Number = Field(gt=0, description="Bending")
    fv_psi: Number = Field(gt=0, description="Shear")
    fc_perp_psi: Number = Field(gt=0, description="Compression across the grain")
    ft_psi: Number = Field(gt=0, description="Tension")
    fc_psi: Number = Field(gt=0, description="Compression along the grain")
    e_psi: Number = Field(gt=0, description="Stiffness E")
    emin_psi: Number = Field(gt=0, description="Stiffness Emin, for stability")
    depth_exponent: Number = Field(ge=0, le=1, description="x of (12/d)^x on bending")
    gravity: Number = Field(gt=0, le=1, description="Specific gravity for fasteners")
    source: SaidBy = Field(description="The report")
    name: str = Field(
        default="engineered lumber", min_length=2, max_length=60, description="What it is"
    )
    weight_pcf: Number = Field(default=45.0, gt=10, le=120, description="Weight of a cubic foot")
    wet_allowed: StrictBool = Field(default=False, description="Rated for wet service")


class LossRecord(Record):
    """Section that rot took, as probed with an awl."""

    start: Length = Field(ge=0, description="Where it begins, from the first end")
    end: Length = Field(gt=0, description="Where it ends")
    top: Length = Field(default=0.0, ge=0, description="Depth lost at the top")
    bottom: Length = Field(default=0.0, ge=0, description="Depth lost at the bottom")
    sides: Length = Field(default=0.0, ge=0, description="Thickness lost, both sides together")
    plies: int = Field(default=0, ge=0, le=6, description="Plies that carry nothing there")


class NotchRecord(Record):
    """A cut into a lying member."""

    at: Length = Field(ge=0, description="Where, from the first end")
    depth: Length = Field(gt=0, description="How deep")
    top: StrictBool = Field(default=False, description="In the top edge; else in the bottom")


class PlyNails(Record):
    """How the plies of a member are nailed together."""

    nail: str = Field(min_length=2, max_length=40, description='As "16d common"')
    spacing: Length = Field(gt=0, description="Along each row")
    rows: int = Field(ge=1, le=8, description="Rows")
    side_share: Number = Field(
        default=0.0, ge=0, le=1, description="Share of the load that hangs on one outer ply"
    )
    end: Length = Field(default=2.0, ge=0, description="Last nail from the end")


class NewStock(Record):
    """What a member is replaced with."""

    size: Size | None = Field(
        default=None, description="Its size; left out: the lightest that works is picked"
    )
    species: Species | None = Field(
        default=None, description="Species group of the grade stamp; not with `values`"
    )
    grade: Grade | None = Field(
        default=None, description="Grade of the grade stamp; not with `values`"
    )
    treated: StrictBool = Field(default=False, description="Preservative treated")
    incised: StrictBool = Field(default=False, description="Incised for the treatment")
    wet: StrictBool = Field(default=False, description="Over 19 percent in service")
    values: TypedRecord | None = Field(default=None, description="Engineered lumber")
    nailed: PlyNails | None = Field(default=None, description="How its plies are nailed")


class MemberRecord(Record):
    """A straight piece of framing, or a row of like ones."""

    id: Id = Field(description="Its name in this file; a row's members are name-1, name-2 ...")
    use: Use = Field(description="What it does")
    line: tuple[SpacePoint, SpacePoint] = Field(
        description="Its two ends in space, each [east, north, up]"
    )
    edge: Literal["middle", "top", "bottom"] = Field(
        default="middle", description="Which edge of a lying member the line was taped along"
    )
    size: Size = Field(description='Plies and size, as "2-2x10" or "6x6"')
    species: Species | None = Field(
        default=None, description="Species group of the grade stamp; not with `values`"
    )
    grade: Grade | None = Field(
        default=None, description="Grade; without a stamp, the lowest that fits; not with `values`"
    )
    values: TypedRecord | None = Field(default=None, description="Engineered lumber")
    condition: Literal["sound", "wet", "soft", "gone"] = Field(
        default="sound", description="As found; soft needs measured losses"
    )
    losses: tuple[LossRecord, ...] = Field(default=(), description="Section that rot took")
    notches: tuple[NotchRecord, ...] = Field(default=(), description="Cuts in it")
    treated: StrictBool = Field(default=False, description="Preservative treated")
    incised: StrictBool = Field(default=False, description="Incised for the treatment")
    wet: StrictBool = Field(default=False, description="Over 19 percent in service")
    count: int = Field(default=1, ge=1, le=200, description="How many stand in a row")
    step: SpacePoint = Field(
        default=(0.0, 0.0, 0.0), description="From each to the next, [east, north, up]"
    )
    braced: Length | None = Field(
        default=None, ge=0,
        description="Between places that hold its upper edge; 0: all along; else its length",
    )  # fmt: skip
    held_sideways: Length | None = Field(
        default=None, ge=0,
        description="Of a post or stud: between places that hold its thin side, as sheathing or "
        "blocking; 0: all along; else its length",
    )  # fmt: skip
    repetitive: StrictBool = Field(
        default=False, description="One of three or more at 24 in or closer"
    )
    ceiling: Literal["plaster", "gypsum", "none", "floor", "masonry above"] = Field(
        default="none", description="What is on or under it and cracks first"
    )
    piece: Id | None = Field(
        default=None, description="The piece of the model that it is; a change that replaces the "
        "piece replaces the member",
    )  # fmt: skip
    replaced: StrictBool = Field(default=False, description="It is taken out and replaced")
    new: NewStock | None = Field(default=None, description="What it is replaced with")
    nailed: PlyNails | None = Field(default=None, description="How its plies are nailed")


class NailsRecord(Record):
    """Fasteners at a joint, all alike."""

    nail: str = Field(
        min_length=2, max_length=40,
        description='As "16d common", "No.10 screw" or "1/2 lag"',
    )  # fmt: skip
    count: int = Field(ge=1, le=200, description="How many")
    side: Length = Field(gt=0, description="Thickness of the part that they go through")
    into: Length = Field(gt=0, description="How far they go into the other")
    length: Length | None = Field(default=None, gt=0, description="Length, for screws and lags")
    driven: Literal["face", "toe", "end grain"] = Field(default="face", description="How")
    ring: StrictBool = Field(default=False, description="Ring shank")
    pulls_out: StrictBool = Field(default=False, description="Uplift draws them out")
    into_upper: StrictBool = Field(default=False, description="Their points are in the upper one")
    wet: StrictBool = Field(default=False, description="Driven into wet wood, or wet later")
    in_row: int = Field(
        default=1, ge=1, le=12, description="Lags that stand one behind the other along the load"
    )
    apart: Length = Field(default=4.0, gt=0, description="From each to the next of such a row")


class RatedRecord(Record):
    """A connector, base or cap with the loads of its maker's report."""

    name: str = Field(min_length=1, max_length=100, description="What it is")
    source: SaidBy = Field(description="The report, with its page")
    up: Pounds | None = Field(default=None, description="Rated uplift")
    down: Pounds | None = Field(default=None, description="Rated load down")
    side: Pounds | None = Field(default=None, description="Rated load sideways")
    duration: Number = Field(
        default=1.6, ge=0.9, le=2, description="Load duration that is in the ratings"
    )
    good: Id | None = Field(default=None, description="Its name in the catalogue of goods")
    piece: Id | None = Field(
        default=None, description="The piece of the corner that it is, if it is drawn as one"
    )


class JointRecord(Record):
    """Where one member sits on another; a row gives one for each of its members."""

    id: Id | None = Field(default=None, description="Its name; else upper-on-lower")
    upper: Id = Field(description="The member that is carried")
    lower: Id = Field(description="The member that carries it")
    at: SpacePoint | None = Field(
        default=None, description="Where; else where the two cross in plan"
    )
    hold: HoldWord = Field(
        default="tied",
        description="bears: rests only; tied: held down too; hung: by its fasteners in shear",
    )
    gap: Length = Field(default=0.0, description="Air between them as found")
    new_gap: Length = Field(
        default=0.0, ge=0, description="Air left for shims when a new one is put in"
    )
    bearing: tuple[Length, Length] | None = Field(
        default=None, description="Bearing along the upper member, and across it"
    )
    shim_area: Number | None = Field(
        default=None, gt=0, description="Area of the shims in square inches, if smaller"
    )
    nails: tuple[NailsRecord, ...] = Field(default=(), description="What fastens it as found")
    part: RatedRecord | None = Field(default=None, description="Or a rated part")
    new_nails: tuple[NailsRecord, ...] = Field(default=(), description="What will fasten it")
    new_part: RatedRecord | None = Field(default=None, description="Or a rated part")
    hides: Length = Field(
        default=0.0, ge=0, description="Height of the pin, lip or cap that holds the lower one"
    )


class AnchorRecord(Record):
    """Screw anchors under a base, by their report."""

    name: str = Field(min_length=1, max_length=100, description="What they are")
    report: SaidBy = Field(description="The report, with its number")
    diameter: Length = Field(gt=0, description="Diameter")
    effective: Length = Field(gt=0, description="Effective depth hef")
    steel_in2: Number = Field(gt=0, description="Steel area of one in square inches")
    steel_psi: Number = Field(gt=0, description="Strength futa in psi")
    across: int = Field(default=1, ge=1, le=4, description="Anchors east to west")
    deep: int = Field(default=1, ge=1, le=4, description="Anchors south to north")
    spacing: tuple[Length, Length] = Field(default=(0.0, 0.0), description="Between them")
    pullout: Pounds | None = Field(default=None, description="Pullout strength, by the report")
    breakout_k: Number = Field(default=17.0, ge=17, le=24, description="kc, by the report")
    critical_edge: Length | None = Field(default=None, gt=0, description="cac, by the report")
    good: Id | None = Field(default=None, description="Its name in the catalogue of goods")


class SlabRecord(Record):
    """The concrete that anchors or posts stand on."""

    thick: Length = Field(gt=0, description="Thickness")
    psi: Number = Field(default=2500.0, ge=2000, le=10000, description="Strength of the concrete")
    edges: tuple[Length, Length, Length, Length] | None = Field(
        default=None,
        description="From the anchors to the free edges west, east, south, north; else all far",
    )
    cracked: StrictBool = Field(default=True, description="Taken as cracked")


class SupportRecord(Record):
    """Where a member stands on or hangs from something that is not a member."""

    id: Id | None = Field(default=None, description="Its name; else foot-of-member")
    member: Id = Field(description="The member, or the row")
    at: SpacePoint | None = Field(default=None, description="Where; else its lower end")
    end: Literal["lower", "upper"] = Field(
        default="lower", description="Without `at`: which end of the member"
    )
    every: Length | None = Field(
        default=None, gt=0,
        description="Repeated along the member at this distance, as the lags of a ledger",
    )  # fmt: skip
    on: str = Field(default="", max_length=100, description="What it stands on, in words")
    hold: HoldWord = Field(
        default="bears",
        description="bears: rests only; tied: held down too; hung: by its fasteners in shear",
    )
    gap: Length = Field(default=0.0, description="Air under it as found")
    bearing: tuple[Length, Length] | None = Field(
        default=None, description="Bearing along the member and across it"
    )
    nails: tuple[NailsRecord, ...] = Field(default=(), description="What fastens it")
    part: RatedRecord | None = Field(default=None, description="Or a rated part")
    new_nails: tuple[NailsRecord, ...] = Field(default=(), description="What will fasten it")
    new_part: RatedRecord | None = Field(default=None, description="Or a rated part")
    anchors: AnchorRecord | None = Field(default=None, description="Anchors under the base")
    slab: SlabRecord | None = Field(default=None, description="The concrete under them")
