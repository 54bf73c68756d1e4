"""The records of who works when, of what the work waits for, and of what was done."""

from __future__ import annotations

import datetime
from enum import StrEnum
from typing import Annotated, Self

from pydantic import BeforeValidator, Field, StrictBool, model_validator

from weatherlap.job.records import Day, Id, Number, Record
from weatherlap.units import UnitError, shown

MOST_HOURS = 2000.0


def _clock(value: object) -> object:
    """A time of day as text; TOML lets it stand without quotes."""
    if isinstance(value, datetime.time):
        return value.strftime("%H:%M")
    if isinstance(value, str):
        try:
            hour, minute = (int(part) for part in value.split(":"))
            return datetime.time(hour, minute).strftime("%H:%M")
        except ValueError:
            raise UnitError(f"found {shown(value)}", "a time of day, as 7:30") from None
    return value


Clock = Annotated[str, BeforeValidator(_clock), Field(max_length=5)]
Word = Annotated[str, Field(min_length=1, max_length=60)]


class Kind(StrEnum):
    """What kind of work a task is; the order here is that of a usual job."""

    PERMIT = "permit"
    ORDER = "goods"
    PROTECTION = "protection"
    SHOP = "shop"
    TAKE_DOWN = "take-down"
    SHORING = "shoring"
    STRUCTURE = "structure"
    DRYING = "drying"
    PUT_BACK = "put-back"
    INSPECTION = "inspection"
    PATCHING = "patching"
    DISPOSAL = "disposal"
    CLEAN_UP = "clean-up"
    OTHER = "other"


class WeekDay(StrEnum):
    """A day of the week."""

    MON = "mon"
    TUE = "tue"
    WED = "wed"
    THU = "thu"
    FRI = "fri"
    SAT = "sat"
    SUN = "sun"


WORKING_WEEK = (WeekDay.MON, WeekDay.TUE, WeekDay.WED, WeekDay.THU, WeekDay.FRI)


class LeadTest(StrEnum):
    """What is known of lead in the old paint."""

    NOT_TESTED = "not tested"
    FREE = "free of lead"
    LEAD = "lead"


class Work(Record):
    """When the crew works, and what holds for the whole job."""

    start: Day = Field(default="", description="First day of the work; left out, the next one")
    begins: Clock = Field(default="07:30", description="When the day begins")
    hours: Number = Field(default=8.0, gt=0, le=16, description="Hours of work in a day")
    rest_minutes: Number = Field(default=30.0, ge=0, le=180, description="Rest in mid-day")
    days: tuple[WeekDay, ...] = Field(
        default=WORKING_WEEK, min_length=1, description="Days of the week that are worked"
    )
    off: tuple[Day, ...] = Field(default=(), description="Days on which nobody works")
    built: Number | None = Field(
        default=None, ge=1500, le=2200, description="Year the house was built; before 1978, lead"
    )
    lead: LeadTest = Field(default=LeadTest.NOT_TESTED, description="What a test of the paint said")
    wet_days: tuple[Number, ...] = Field(
        default=(),
        description="Days with rain in each month, January first; left out, 10 in each",
    )
    persistence: Number = Field(
        default=0.25,
        ge=0,
        lt=1,
        description="How much a wet day makes the next one wet: 0 not at all",
    )
    drying_days: Number | None = Field(
        default=None,
        ge=0,
        le=365,
        description="Days until wet wood that stays is at 19 %; left out, it is worked out",
    )

    @model_validator(mode="after")
    def _twelve_months(self) -> Self:
        lengths = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
        if self.wet_days and len(self.wet_days) != 12:
            raise UnitError(f"`wet_days` has {len(self.wet_days)} entries", "12, January first")
        for number, (days, most) in enumerate(zip(self.wet_days, lengths, strict=False), 1):
            if not 0 <= days <= most:
                raise UnitError(
                    f"`wet_days` of month {number} is {days:g}", f"from 0 to {most} days"
                )
        return self


class Person(Record):
    """Somebody of the crew."""

    id: Id = Field(description="Short name, used by other records")
    name: str = Field(default="", max_length=200, description="Name on the day plan")
    skills: tuple[Word, ...] = Field(
        default=(), description="Trades and other skills; left out, everything"
    )
    off: tuple[Day, ...] = Field(default=(), description="Days on which this one is away")


class Permit(Record):
    """A paper that somebody must give before work goes on."""

    id: Id = Field(description="Short name")
    text: str = Field(min_length=1, max_length=300, description="What it is, and who gives it")
    days: Number = Field(default=0.0, ge=0, le=1000, description="Days until it is given")
    granted: Day = Field(default="", description="The day it was given; nothing waits then")
    before: tuple[Word, ...] = Field(
        default=("take-down",), description="Tasks, or kinds of task, that wait for it"
    )


class Inspection(Record):
    """Somebody from outside looks before work goes on."""

    id: Id = Field(description="Short name")
    text: str = Field(min_length=1, max_length=300, description="What is looked at, and by whom")
    after: tuple[Word, ...] = Field(
        min_length=1, description="Tasks, or kinds of task, that must be done before"
    )
    before: tuple[Word, ...] = Field(
        default=(), description="Tasks, or kinds of task, that wait for it"
    )
    notice_days: Number = Field(
        default=1.0, ge=0, le=100, description="Days between the call and the visit"
    )


class Delivery(Record):
    """Goods that take their time."""

    id: Id = Field(description="Short name")
    text: str = Field(min_length=1, max_length=300, description="What is ordered")
    days: Number = Field(default=0.0, ge=0, le=1000, description="Days from the order to the site")
    ordered: Day = Field(default="", description="The day it was ordered, if it was")
    pieces: tuple[Id, ...] = Field(default=(), description="Pieces that are laid with it")
    before: tuple[Word, ...] = Field(
        default=(), description="Tasks, or kinds of task, that wait for it"
    )


class TaskRecord(Record):
    """A task besides those that follow from the changes."""

    id: Id = Field(description="Short name, used by other records")
    text: str = Field(min_length=1, max_length=300, description="What is done")
    kind: Kind = Field(default=Kind.OTHER, description="What kind of work it is")
    trade: str = Field(default="labour", max_length=60, description="The trade")
    skills: tuple[Word, ...] = Field(default=(), description="Skills it needs; left out, the trade")
    crew: int = Field(default=1, ge=1, le=20, description="How many work at it together")
    hours: Number | None = Field(
        default=None, ge=0, le=MOST_HOURS, description="Hours of one person, most likely"
    )
    low: Number | None = Field(
        default=None, ge=0, le=MOST_HOURS, description="Hours that it hardly ever takes less than"
    )
    high: Number | None = Field(
        default=None, ge=0, le=MOST_HOURS, description="Hours that it hardly ever takes more than"
    )
    rate: str = Field(
        default="", max_length=60, description="Row of the table of hours, as `paint`"
    )
    quantity: Number = Field(
        default=1.0, ge=0, le=1e6, description="How many of what the row counts"
    )
    after: tuple[Word, ...] = Field(
        default=(), description="Tasks, or kinds of task, that must be done before"
    )
    before: tuple[Word, ...] = Field(
        default=(), description="Tasks, or kinds of task, that wait for it"
    )
    wait_hours: Number = Field(
        default=0.0, ge=0, le=10000, description="Hours by the clock that those wait: curing"
    )
    wait_days: Number = Field(default=0.0, ge=0, le=365, description="Days that those wait: drying")
    needs_dry: StrictBool = Field(default=False, description="Whether it cannot be done in rain")
    silica: StrictBool = Field(
        default=False, description="Whether concrete, brick, mortar or fibre cement is cut for it"
    )
    pieces: tuple[Id, ...] = Field(default=(), description="Pieces that it is about")
    not_before: Day = Field(default="", description="The day before which it cannot begin")

    @model_validator(mode="after")
    def _hours_in_order(self) -> Self:
        if (self.hours is None) == (not self.rate):
            found = "both `hours` and `rate`" if self.rate else "neither `hours` nor `rate`"
            raise UnitError(f"found {found}", "exactly one of the two")
        likely = self.hours
        if likely is None:
            return self
        low = likely if self.low is None else self.low
        high = likely if self.high is None else self.high
        if not low <= likely <= high:
            raise UnitError(
                f"found low {low:g}, hours {likely:g}, high {high:g}", "low <= hours <= high"
            )
        return self


class Done(Record):
    """Work that was done: somebody's hours at a task on a day."""

    task: Word = Field(description="The task, by its id in the plan")
    day: Day = Field(min_length=1, description="The day")
    person: Id | None = Field(default=None, description="Who did it")
    hours: Number | None = Field(default=None, ge=0, le=24, description="Hours that it took")
    begins: Clock | None = Field(default=None, description="When it began, in place of hours")
    ends: Clock | None = Field(default=None, description="When it ended")
    finished: StrictBool = Field(default=True, description="Whether the task is done with this")
    note: str = Field(default="", max_length=1000, description="Anything worth knowing next time")

    @model_validator(mode="after")
    def _hours_or_times(self) -> Self:
        times = self.begins is not None and self.ends is not None
        if (self.hours is None) != times:
            raise UnitError("the time it took is not clear", "`hours`, or `begins` and `ends`")
        if self.begins is not None and self.ends is not None and self.ends <= self.begins:
            raise UnitError(f"it ends at {self.ends}, begun at {self.begins}", "an end after that")
        return self

    @property
    def spent_h(self) -> float:
        """Hours that it took. [h]"""
        if self.hours is not None:
            return self.hours
        first, last = (
            datetime.datetime.strptime(text or "00:00", "%H:%M")
            for text in (self.begins, self.ends)
        )
        return (last - first).total_seconds() / 3600.0
