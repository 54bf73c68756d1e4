"""One job: the whole of a job file, and every record in it."""

from __future__ import annotations

from pydantic import Field, PrivateAttr

from weatherlap.job.bendrecords import BentRecord, ProfileRecord
from weatherlap.job.changes import Change, Do
from weatherlap.job.dryrecords import ClimateRecord, DryRecord
from weatherlap.job.framingrecords import FramingSite, JointRecord, MemberRecord, SupportRecord
from weatherlap.job.loadrecords import (
    CarriedRecord,
    FitRecord,
    LevelRecord,
    ShoreRecord,
    TemporaryRecord,
)
from weatherlap.job.moneyrecords import (
    AllowanceRecord,
    CertificateRecord,
    Payment,
    PhotoRecord,
    Pick,
    StateRecord,
    Terms,
    Warranty,
)
from weatherlap.job.records import (
    MILE_IN,
    About,
    CutLine,
    Damage,
    Day,
    Depth,
    Edge,
    FaceRecord,
    GutterRecord,
    Id,
    Leak,
    Length,
    LineEnd,
    Number,
    PanelRecord,
    PieceRecord,
    Point,
    Rain,
    Reading,
    Record,
    Run,
    RunMark,
    Sheet,
    Side,
    Site,
    SpacePoint,
    Speed,
    Suspect,
    TroughRecord,
    passes_of,
    sheet_of,
)
from weatherlap.job.shoprecords import (
    AlsoRecord,
    LeftoverRecord,
    MadeOfRecord,
    NoJointRecord,
    OnHandRecord,
    ShopRecord,
)
from weatherlap.job.source import Source
from weatherlap.job.workrecords import (
    Delivery,
    Done,
    Inspection,
    Permit,
    Person,
    TaskRecord,
    Work,
)

__all__ = [
    "MILE_IN",
    "About",
    "Change",
    "CutLine",
    "Damage",
    "Day",
    "Depth",
    "Do",
    "Edge",
    "FaceRecord",
    "GutterRecord",
    "Id",
    "Job",
    "Leak",
    "Length",
    "LineEnd",
    "Number",
    "PanelRecord",
    "PieceRecord",
    "Point",
    "Rain",
    "Reading",
    "Record",
    "Run",
    "RunMark",
    "Sheet",
    "Side",
    "Site",
    "SpacePoint",
    "Speed",
    "Suspect",
    "TroughRecord",
    "passes_of",
    "sheet_of",
]


class Job(Record):
    """One job: one repair of one corner."""

    job: About = Field(description="What the job is: the call, the client's words, the people")
    site: Site = Field(default=Site.model_construct(), description="Rain and wind of the place")
    face: tuple[FaceRecord, ...] = Field(min_length=1, description="The sides of the corner")
    piece: tuple[PieceRecord, ...] = Field(
        default=(), description="What lies on them, innermost first"
    )
    cut: tuple[CutLine, ...] = Field(default=(), description="Where sections are drawn")
    reading: tuple[Reading, ...] = Field(default=(), description="Moisture readings")
    damage: tuple[Damage, ...] = Field(default=(), description="Damage that was seen")
    suspect: tuple[Suspect, ...] = Field(default=(), description="Causes that are suspected")
    run: tuple[Run, ...] = Field(default=(), description="Runs of like pieces, with their marks")
    shop: ShopRecord = Field(
        default=ShopRecord.model_construct(),
        description="How it is cut, carried and fitted together",
    )
    on_hand: tuple[OnHandRecord, ...] = Field(default=(), description="Stock that is there")
    leftover: tuple[LeftoverRecord, ...] = Field(
        default=(), description="Leftovers worth cutting from"
    )
    made_of: tuple[MadeOfRecord, ...] = Field(
        default=(), description="What new pieces are made of, where the faces do not tell"
    )
    also: tuple[AlsoRecord, ...] = Field(default=(), description="What is bought besides")
    no_joint: tuple[NoJointRecord, ...] = Field(default=(), description="Where no end lap may lie")
    change: tuple[Change, ...] = Field(
        default=(), description="What is done, from as found to as repaired, in order"
    )
    work: Work | None = Field(
        default=None, description="When the crew works, and what holds for the whole job"
    )
    person: tuple[Person, ...] = Field(default=(), description="The crew")
    permit: tuple[Permit, ...] = Field(default=(), description="Papers that work waits for")
    inspection: tuple[Inspection, ...] = Field(
        default=(), description="Visits from outside that work waits for"
    )
    delivery: tuple[Delivery, ...] = Field(default=(), description="Goods that take their time")
    task: tuple[TaskRecord, ...] = Field(
        default=(), description="Tasks besides those that follow from the changes"
    )
    done: tuple[Done, ...] = Field(default=(), description="Work that was done")
    terms: Terms | None = Field(default=None, description="What is agreed besides the work itself")
    payment: tuple[Payment, ...] = Field(default=(), description="When the price falls due")
    allowance: tuple[AllowanceRecord, ...] = Field(
        default=(), description="What may come up, at prices agreed before"
    )
    certificate: tuple[CertificateRecord, ...] = Field(
        default=(), description="Insurance certificates of the firm"
    )
    warranty: Warranty | None = Field(
        default=None, description="What the firm stands for after the work"
    )
    pick: tuple[Pick, ...] = Field(default=(), description="Where an awl was pushed in")
    photo: tuple[PhotoRecord, ...] = Field(default=(), description="Photos of the work")
    state: tuple[StateRecord, ...] = Field(
        default=(), description="What was put before the client; kept, not overwritten"
    )
    bent: tuple[BentRecord, ...] = Field(
        default=(), description="How pieces of bent metal get their edges and ends"
    )
    profile: tuple[ProfileRecord, ...] = Field(
        default=(), description="Bent pieces that are written directly"
    )
    framing: FramingSite = Field(
        default=FramingSite.model_construct(),
        description="What the place asks of the framing, each with its source",
    )
    member: tuple[MemberRecord, ...] = Field(default=(), description="Framing that was surveyed")
    joint: tuple[JointRecord, ...] = Field(default=(), description="Where members sit on members")
    support: tuple[SupportRecord, ...] = Field(
        default=(), description="Where members stand on ground, slab or house"
    )
    carried: tuple[CarriedRecord, ...] = Field(
        default=(), description="Roofs and floors that the framing carries"
    )
    level: tuple[LevelRecord, ...] = Field(default=(), description="Levels that were surveyed")
    fit: tuple[FitRecord, ...] = Field(default=(), description="Lengths to be cut, from levels")
    shore: ShoreRecord = Field(
        default=ShoreRecord.model_construct(),
        description="How it may be held up while members are out",
    )
    temporary: tuple[TemporaryRecord, ...] = Field(
        default=(), description="Temporary posts where you want them, in place of the proposed ones"
    )
    climate: ClimateRecord | None = Field(
        default=None, description="The weather of the place, hour by hour or by the month"
    )
    dry: tuple[DryRecord, ...] = Field(
        default=(), description="Spots whose layers are followed through the year"
    )
    _source: Source = PrivateAttr(default_factory=Source)

    @property
    def source(self) -> Source:
        """The text that it was read from; an empty one for a job that was made."""
        return self._source

    def read_from(self, source: Source) -> Job:
        """The same job, knowing the text that it was read from."""
        job = self.model_copy()
        job._source = source
        return job
