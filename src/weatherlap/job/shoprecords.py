"""Records of the shop: what is there, what limits cutting and carrying, what is bought besides."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, StrictBool

from weatherlap.job.records import Id, Length, Number, Record

MOST_OF_A_KIND = 5000


class ShopRecord(Record):
    """How this job is cut, carried and fitted together."""

    kerf: Length = Field(default=0.125, gt=0, le=1, description="What the saw takes away")
    end_trim: Length = Field(
        default=0.0, ge=0, le=24, description="Squared off each end of new stock"
    )
    keep: Length = Field(default=24.0, ge=0, description="A leftover from this length on is kept")
    rack_length: Length = Field(
        default=192.0, ge=12, le=1200, description="The longest thing that the rack takes"
    )
    rack_load: Number = Field(
        default=250.0, gt=0, le=20000, description="What the rack takes in one trip, in pounds"
    )
    day: Number = Field(
        default=60.0, ge=-60, le=200,
        description="Temperature of the metal on the day it is put up, in degrees F",
    )  # fmt: skip
    coldest: Number = Field(
        default=-20.0, ge=-100, le=100,
        description="Coldest that it gets in a year, in degrees F",
    )  # fmt: skip
    hottest: Number = Field(
        default=150.0, ge=50, le=250,
        description="Hottest that it gets in the sun, in degrees F",
    )  # fmt: skip
    seen_from: Number | None = Field(
        default=None, ge=0, le=360,
        description="Bearing of the side from which people walk up and look: 180 from the south",
    )  # fmt: skip
    salt_air: StrictBool = Field(default=False, description="Near the sea")
    treatment: Literal["copper", "micronized", "borate"] = Field(
        default="copper",
        description="How treated lumber here is treated, by its tag: copper is ACQ, CA or CCA",
    )


class OnHandRecord(Record):
    """Whole stock that is there already."""

    good: Id = Field(description="Its name in the catalogue of goods")
    count: int = Field(ge=1, le=MOST_OF_A_KIND, description="How many of its unit")
    length: Length | None = Field(
        default=None, gt=0, description="Of what is sold by length: how long they are"
    )


class LeftoverRecord(Record):
    """A piece left over from another job, worth cutting from."""

    good: Id = Field(description="Its name in the catalogue of goods")
    length: Length = Field(gt=0, description="Its length; of a sheet along the grain")
    width: Length | None = Field(default=None, gt=0, description="Of a sheet: across the grain")
    count: int = Field(default=1, ge=1, le=MOST_OF_A_KIND, description="How many alike")


class MadeOfRecord(Record):
    """What a new piece is made of, where the faces do not tell."""

    piece: Id = Field(description="The piece")
    good: Id = Field(description="Its stock, by its name in the catalogue of goods")
    length: Length | None = Field(
        default=None, gt=0, description="Length of each; left out: that of the piece"
    )
    count: int = Field(default=1, ge=1, le=MOST_OF_A_KIND, description="How many of them")
    note: str = Field(
        default="", max_length=100, description="What the counter must know, such as its grade"
    )


class AlsoRecord(Record):
    """A thing that is bought besides the pieces of the corner."""

    good: Id = Field(description="Its name in the catalogue of goods")
    count: int = Field(default=1, ge=1, le=MOST_OF_A_KIND, description="How many, of its unit")
    length: Length | None = Field(
        default=None, gt=0, description="Of what is sold by length: how long each is cut"
    )
    why: str = Field(default="", max_length=200, description="What for")
    stand_by: StrictBool = Field(
        default=False, description="Only for damage that may show: kept apart, taken back else"
    )


class NoJointRecord(Record):
    """A part of a face, across its whole height, in which no end lap may lie."""

    face: Id = Field(description="Id of the face")
    start: Length = Field(description="From here, right of the face's origin")
    end: Length = Field(description="To here")
    why: str = Field(default="", max_length=200, description="Such as: over the door")
