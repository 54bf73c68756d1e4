"""The shop of a job: take-off, cut lists, joints, and what is bought."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from weatherlap.building.corner import Corner
from weatherlap.errors import InputError
from weatherlap.job.model import Job
from weatherlap.job.shoprecords import MadeOfRecord
from weatherlap.run.states import State
from weatherlap.run.worked import corner_of, in_state
from weatherlap.sources.goods import Goods, own_goods, read_goods
from weatherlap.takeoff.buying import BuyRow, Needs, buy_rows
from weatherlap.takeoff.carrying import Load, rack_load
from weatherlap.takeoff.cutlists import CutList, cut_lists, stores_of
from weatherlap.takeoff.model import FlatSize, TakeOff
from weatherlap.takeoff.newpieces import new_pieces
from weatherlap.takeoff.quantities import Known, take_off


@dataclass(frozen=True)
class Shop:
    """What a job takes: parts, cut lists, buy list, load; ``new`` says why each piece is new."""

    job: Job
    repaired: Corner
    new: Mapping[str, str]
    goods: Goods
    take_off: TakeOff
    cut: tuple[CutList, ...]
    troubles: tuple[str, ...]
    rows: tuple[BuyRow, ...]
    load: Load

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
        If the job holds no change, or names goods that there are not.
    JobError
        If a change cannot be made.
    """
    goods = goods_of(own or {})
    repaired = corner_of(in_state(job, State.REPAIRED))
    new = new_pieces(job.change)
    known = Known(goods, _flats(job), _made_of(job, repaired))
    taken = take_off(repaired, tuple(new), known)
    cut, troubles = cut_lists(taken.parts, job=job, goods=goods)
    needs = Needs(taken.parts, taken.sundries, cut, job.also)
    rows = buy_rows(needs, goods=goods, stores=stores_of(job, goods))
    bought = [row for row in rows if not row.stand_by]
    load = rack_load(bought, length_in=job.shop.rack_length, load_lb=job.shop.rack_load)
    return Shop(job, repaired, new, goods, taken, cut, troubles, rows, load)


def _flats(job: Job) -> dict[str, tuple[FlatSize, ...]]:
    del job
    return {}


def _made_of(job: Job, repaired: Corner) -> dict[str, tuple[MadeOfRecord, ...]]:
    """What the job says that pieces are made of, by piece."""
    found: dict[str, tuple[MadeOfRecord, ...]] = {}
    for row in job.made_of:
        if row.piece not in repaired.piece_named:
            raise InputError(
                "made_of",
                f"there is no piece {row.piece!r} as repaired",
                "the id of a piece that is new",
            )
        found[row.piece] = (*found.get(row.piece, ()), row)
    return found
