"""The records of price and promises: what is agreed, signed, insured and photographed."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Self

from pydantic import Field, StrictBool, model_validator

from weatherlap.job.records import Day, Id, Number, Point, Record
from weatherlap.units import UnitError

MOST_USD = 1e9
Line = Annotated[str, Field(min_length=1, max_length=1000)]
Usd = Annotated[Number, Field(ge=0, le=MOST_USD)]
Hash = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]


class Shown(StrEnum):
    """How much of the price the client sees."""

    SUM = "one sum"
    SECTIONS = "by section"


class Awl(StrEnum):
    """What an awl pushed in by hand says."""

    FIRM = "firm"
    SOFT = "soft"
    ROTTEN = "rotten"


class Said(StrEnum):
    """What the client said to a state."""

    SIGNED = "signed"
    DECLINED = "declined"
    OFFERED = "offered"


class Terms(Record):
    """What is agreed besides the work itself. Local law governs."""

    price_shown: Shown = Field(default=Shown.SUM, description="How much of the price is shown")
    included: tuple[Line, ...] = Field(default=(), description="What is included besides the steps")
    not_included: tuple[Line, ...] = Field(default=(), description="What is not included")
    assumes: tuple[Line, ...] = Field(default=(), description="What the price assumes")
    protection: tuple[Line, ...] = Field(default=(), description="How house and garden are kept")
    permits_by: str = Field(default="", max_length=300, description="Who pulls the permits")
    start: Day = Field(default="", description="About when the work begins")
    finish: Day = Field(default="", description="About when it ends")
    offered: Day = Field(default="", description="Day of the offer")
    offer_days: int = Field(default=30, ge=1, le=365, description="How many days the offer stands")
    cancel_days: int = Field(
        default=3, ge=1, le=60, description="Business days in which the client may cancel"
    )
    deposit_limit_percent: Number | None = Field(
        default=None, ge=0, le=100, description="Most of the price asked before work begins"
    )
    deposit_limit: Usd | None = Field(
        default=None, description="Most dollars asked before work begins; the lesser counts"
    )
    hidden_years: Number | None = Field(
        default=None, ge=0, le=300, description="Years that the water has come in, as far as known"
    )
    days: int | None = Field(
        default=None, ge=1, le=2000, description="Working days; left out, from the hours"
    )


class Payment(Record):
    """A part of the price that falls due at an event."""

    event: Line = Field(description="When it falls due, as 'when the roof line is closed'")
    percent: Number = Field(gt=0, le=100, description="Part of the price")
    deposit: StrictBool = Field(default=False, description="Whether it is due before work begins")


class AllowanceRecord(Record):
    """What may come up: a quantity that the price holds, and the price of one more."""

    id: Id = Field(description="Its name in this file")
    text: Line = Field(description="What it is, in plain words")
    piece: Id | None = Field(default=None, description="The piece that it is about")
    unit: str = Field(default="sq ft", min_length=1, max_length=40, description="What is counted")
    included: Number = Field(ge=0, le=1e6, description="How many of them the price holds")
    unit_price: Usd | None = Field(
        default=None, description="Dollars for one more; left out, from the cost book"
    )
    actual: Number | None = Field(
        default=None, ge=0, le=1e6, description="How many it came to, once that is known"
    )


class CertificateRecord(Record):
    """An insurance certificate of the firm."""

    kind: Line = Field(description="What it covers, as 'general liability'")
    insurer: str = Field(default="", max_length=200, description="The insurer")
    number: str = Field(default="", max_length=100, description="Number of the policy")
    limit: str = Field(default="", max_length=200, description="Its limits, as it states them")
    holder: str = Field(default="", max_length=200, description="Whom it was made out to")
    begins: Day = Field(default="", description="First day of the cover")
    expires: Day = Field(min_length=1, description="Last day of the cover")


class Warranty(Record):
    """What the firm stands for after the work, and from when."""

    text: str = Field(default="", max_length=2000, description="What is warranted, in plain words")
    years: Number = Field(default=1.0, gt=0, le=100, description="How long")
    begins: Day = Field(default="", description="The day it begins: the end of the work")
    look_months: tuple[int, ...] = Field(
        default=(6, 12), max_length=40, description="Months after the end to look at the work"
    )


class Pick(Record):
    """An awl pushed in by hand, to see whether wood is sound."""

    face: Id = Field(description="Id of the face")
    at: Point = Field(description="Where on the face, [right, up]")
    piece: Id = Field(description="Id of the piece")
    says: Awl = Field(description="firm, soft or rotten")
    date: Day = Field(default="", description="The day")


class StateLine(Record):
    """A line of the scope as it was kept."""

    key: str = Field(min_length=1, max_length=200, description="Its name in every state")
    text: str = Field(min_length=1, max_length=2000, description="What is promised")


class StateRecord(Record):
    """A state that was put before the client; written by the program, not to be changed later."""

    number: int = Field(ge=0, le=10000, description="0 for the contract, then the change orders")
    day: Day = Field(min_length=1, description="The day")
    answer: Said = Field(description="What the client said")
    by: str = Field(default="", max_length=200, description="Who signed or declined")
    price: str = Field(pattern=r"^\d{1,12}\.\d\d$", description="The whole price in dollars")
    days: int = Field(ge=0, le=10000, description="Working days in all")
    why: str = Field(default="", max_length=2000, description="The finding behind it")
    consequence: str = Field(
        default="", max_length=2000, description="What follows where it was declined"
    )
    photos: tuple[Line, ...] = Field(default=(), description="Photos that show it")
    scope: tuple[StateLine, ...] = Field(default=(), description="Every line of the scope")
    seal: Hash = Field(description="Hash of all this and of the state before")

    @property
    def price_cents(self) -> int:
        """The price in cents."""
        return int(self.price.replace(".", ""))


class PhotoRecord(Record):
    """A photo of the work; the picture itself stays a file."""

    file: str = Field(min_length=1, max_length=300, description="Name of the file")
    sha256: Hash = Field(description="Hash of the picture as it was taken")
    face: Id | None = Field(default=None, description="Id of the face that it shows")
    step: str = Field(default="", max_length=200, description="Task or step that it shows")
    taken: str = Field(default="", max_length=40, description="When, as the camera wrote it")
    toward: Number | None = Field(
        default=None, ge=0, le=360, description="Bearing that the camera looked along"
    )
    text: str = Field(default="", max_length=1000, description="What it shows")

    @model_validator(mode="after")
    def _plain_name(self) -> Self:
        if "/" in self.file or "\\" in self.file or self.file.startswith("."):
            raise UnitError(f"found {self.file[:40]!r}", "the plain name of a file")
        return self
