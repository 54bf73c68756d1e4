"""The shop of a job: take-off, cut lists, joints, and what is bought."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from weatherlap.building.corner import Corner
from weatherlap.errors import InputError
from weatherlap.job.model import Job
from weatherlap.job.shoprecords import MadeOfRecord
from weatherlap.run.alike import Question
from weatherlap.run.once import once
from weatherlap.run.shopbent import BentStock, bent_stock
from weatherlap.run.states import State
from weatherlap.run.worked import corner_of, in_state, traced
from weatherlap.sources.goods import Goods, own_goods, read_goods
from weatherlap.takeoff.buying import BuyRow, Needs, buy_rows, joined, sorted_rows
from weatherlap.takeoff.carrying import Load, rack_load
from weatherlap.takeoff.cutlists import CutList, cut_lists, stores_of
from weatherlap.takeoff.fixing import sundries_of
from weatherlap.takeoff.framing import (
    held_up,
    loose_members,
    member_makings,
    unsized,
    unsold_members,
)
from weatherlap.takeoff.framinghardware import Framing, Hardware, hardware
from weatherlap.takeoff.joints import EndLap, Movement, end_laps, movements
from weatherlap.takeoff.model import Part, TakeOff
from weatherlap.takeoff.newpieces import new_pieces, reused_pieces
from weatherlap.takeoff.quantities import Known, take_off
from weatherlap.takeoff.splicing import Spliced, site_of
from weatherlap.takeoff.standby import breakage_rows, doubtful, stand_by_rows
from weatherlap.takeoff.touching import Air, Touches, touches

MOST_KEPT = 4
NO_BRAKE_IN = 1200.0
"""Where nothing is bent, no brake limits a length. [in]"""


@dataclass(frozen=True)
class Joints:
    """Joints on site: splices of long parts, room for heat, laps with neighbours."""

    spliced: tuple[Spliced, ...]
    movements: tuple[Movement, ...]
    laps: tuple[EndLap, ...]


@dataclass(frozen=True)
class Shop:
    """What a job takes: parts, cut lists, buy list, load, joints, what must not touch.

    ``new`` says why each piece is new.
    """

    job: Job
    repaired: Corner
    new: Mapping[str, str]
    goods: Goods
    bent: BentStock
    take_off: TakeOff
    cut: tuple[CutList, ...]
    troubles: tuple[str, ...]
    rows: tuple[BuyRow, ...]
    load: Load
    joints: Joints
    touches: Touches

    @property
    def usd(self) -> float:
        """Price of what is bought, without what stands by. [US$]"""
        return sum(row.total_usd for row in self.rows if not row.stand_by)


def goods_of(own: Mapping[str, str]) -> Goods:
    """The firm's own catalogue of goods, else the tool's.

    Raises
    ------
    InputError
        If the firm's table cannot be read.
    """
    return read_goods(own["catalogue"]) if "catalogue" in own else own_goods()


def shop_job(job: Job, *, own: Mapping[str, str] | None = None) -> Shop:
    """Take a job off and plan what is cut and bought.

    Raises
    ------
    InputError
        If the job names goods that there are not.
    JobError
        If a change cannot be made.
    """
    return _shop(Question.of(job, own or {}))


@once(MOST_KEPT)
def _shop(question: Question) -> Shop:
    """The shop's work; the papers of the shop and the price of a job share it."""
    job, own = question.job, question.own
    goods = goods_of(own)
    repaired = corner_of(in_state(job, State.REPAIRED if job.change else State.FOUND))
    new = new_pieces(job.change)
    bent = bent_stock(job, repaired, new, goods=goods, own=own, site=site_of(job))
    known = Known(goods, bent.flats, _made_of(job, repaired, new, goods))
    fixed = hardware(Framing(job.member, job.joint, job.support), new, goods)
    elsewhere = unsized(job.member, new) | _drawn(repaired, fixed, bent)
    taken = take_off(repaired, tuple(n for n in new if n not in elsewhere), known)
    loose = (*bent.profiles, *loose_members(job.member, goods))
    missing = (
        *bent.faulty, *unsold_members(job.member, new, goods), *fixed.missing,
        *held_up(job.member, new),
    )  # fmt: skip
    taken = _with_loose(_with_hardware(taken, fixed), loose, missing, goods)
    cut, troubles = cut_lists(taken.parts, job=job, goods=goods, brake_in=_brake_in(bent))
    needs = Needs(taken.parts, taken.sundries, cut, job.also)
    bought = buy_rows(needs, goods=goods, stores=stores_of(job, goods))
    rows = sorted_rows(joined(iter((*bought, *_stand_by(job, repaired, new, goods)))))
    bought = tuple(row for row in rows if not row.stand_by)
    load = rack_load(bought, length_in=job.shop.rack_length, load_lb=job.shop.rack_load)
    return Shop(
        job, repaired, new, goods, bent, taken, cut, troubles, rows, load,
        joints=_joints(repaired, new, taken, cut, bent, job),
        touches=touches(repaired, new, taken, Air(job.shop.salt_air, job.shop.treatment)),
    )  # fmt: skip


def _joints(
    repaired: Corner, new: Mapping[str, str], taken: TakeOff, cut: Sequence[CutList],
    bent: BentStock, job: Job,
) -> Joints:  # fmt: skip
    site = site_of(job)
    spliced = [row for one in cut for row in one.spliced if row.plan is not None]
    laps = end_laps(repaired, new, taken.parts, site)
    return Joints((*bent.spliced, *spliced), movements(taken.parts, site), laps)


def _stand_by(
    job: Job, repaired: Corner, new: Mapping[str, str], goods: Goods
) -> tuple[BuyRow, ...]:
    """What stands by for hidden damage, and for old panels that break."""
    found = corner_of(job)
    rained = traced(job)
    wet = dict.fromkeys(found.pieces[n].id for f in rained.findings for n in f.wets)
    doubts = doubtful(repaired, job.reading, wet, new)
    reused = reused_pieces(job.change)
    return (
        *stand_by_rows(repaired, doubts, goods=goods),
        *breakage_rows(repaired, reused, goods=goods, day_f=job.shop.day),
    )


def _brake_in(bent: BentStock) -> float:
    """The longest piece that the crew's brake takes. [in]"""
    return bent.bent.shop.brake.length_in if bent.bent is not None else NO_BRAKE_IN


def _drawn(repaired: Corner, fixed: Hardware, bent: BentStock) -> frozenset[str]:
    """Pieces that a rated part or a written profile makes.

    Raises
    ------
    InputError
        If one of them is not there as repaired.
    """
    profiles = bent.bent.pieces if bent.bent is not None else ()
    named = fixed.drawn | {p.drawn for p in profiles if p.drawn is not None}
    for name in sorted(named - repaired.piece_named.keys()):
        raise InputError(
            "piece", f"there is no piece {name!r} as repaired", "a piece that the part makes"
        )
    return frozenset(named)


def _with_hardware(taken: TakeOff, fixed: Hardware) -> TakeOff:
    """The take-off with what the framing records say in place of the goods' own rules."""
    kept = [s for s in taken.sundries if not (s.unless_framed and s.piece in fixed.framed)]
    return replace(taken, sundries=(*kept, *fixed.sundries))


def _with_loose(
    taken: TakeOff, loose: Sequence[Part], missing: Sequence[str], goods: Goods
) -> TakeOff:
    """The take-off with what belongs to no piece of the corner."""
    sundries = [row for part in loose for row in sundries_of((part,), goods)]
    return TakeOff((*taken.parts, *loose), (*taken.sundries, *sundries), (*taken.unknown, *missing))


def _made_of(
    job: Job, repaired: Corner, new: Mapping[str, str], goods: Goods
) -> dict[str, tuple[MadeOfRecord, ...]]:
    """What new pieces are made of: as the job says, else as its framing records do."""
    found: dict[str, tuple[MadeOfRecord, ...]] = {}
    for row in job.made_of:
        if row.piece not in repaired.piece_named:
            raise InputError(
                "made_of",
                f"there is no piece {row.piece!r} as repaired",
                "the id of a piece that is new",
            )
        found[row.piece] = (*found.get(row.piece, ()), row)
    told = set(found)
    for row in member_makings(job.member, new, goods):
        if row.piece not in told and row.piece in repaired.piece_named:
            found[row.piece] = (*found.get(row.piece, ()), row)
    return found
