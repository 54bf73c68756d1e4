"""The buy list: what is bought, in the trade's units and packs, with spare by rule."""

from __future__ import annotations

import math
from collections import Counter as Tally
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from weatherlap.errors import InputError
from weatherlap.job.shoprecords import AlsoRecord
from weatherlap.sources.goods import Counter, Form, Good, Goods
from weatherlap.takeoff.cutlists import IN_PER_FT, CutList, Stores
from weatherlap.takeoff.cutting.coil import CoilPlan
from weatherlap.takeoff.cutting.model import BarPlan
from weatherlap.takeoff.cutting.rolls import RollPlan
from weatherlap.takeoff.cutting.sheets import SheetPlan
from weatherlap.takeoff.model import Part, Sundry
from weatherlap.units import tape

NEW = "new"


@dataclass(frozen=True, slots=True)
class BuyRow:
    """One line of the buy list. [in, lb, US$]

    ``count`` units are bought, ``spare`` of them over the need; ``length_in`` is that of each,
    0 where a thing is not sold by length. ``lb`` and ``usd`` are those of one unit. ``stand_by``
    rows are bought only for damage that may show.
    """

    good: Good
    length_in: float
    count: int
    spare: int
    lb: float
    usd: float
    need: str
    pieces: tuple[str, ...]
    why: str = ""
    stand_by: bool = False

    @property
    def counter(self) -> Counter:
        """Where it is bought."""
        return self.good.counter

    @property
    def name(self) -> str:
        """What is asked for at the counter."""
        if self.good.form is Form.BAR and len(self.good.lengths_in) > 1:
            return f"{self.good.name}, {tape(self.length_in)}"
        return self.good.name

    @property
    def unit(self) -> str:
        """The unit that is counted."""
        return self.good.unit

    @property
    def total_lb(self) -> float:
        """Weight of the line. [lb]"""
        return self.count * self.lb

    @property
    def total_usd(self) -> float:
        """Price of the line. [US$]"""
        return self.count * self.usd


@dataclass(frozen=True, slots=True)
class Needs:
    """All that the buy list is made of."""

    parts: Sequence[Part]
    sundries: Sequence[Sundry]
    cut: Sequence[CutList]
    also: Sequence[AlsoRecord]


def buy_rows(needs: Needs, *, goods: Goods, stores: Stores) -> tuple[BuyRow, ...]:
    """Rows grouped by counter, in its order, long things first.

    Raises
    ------
    InputError
        If the job asks for a good that there is not, or for one in a length that is not sold.
    """
    rows = [row for one in needs.cut for row in _cut_rows(one)]
    rows += _counted(needs, stores)
    rows += [_also_row(row, goods) for row in needs.also]
    return sorted_rows(joined(row for row in rows if row.count))


def sorted_rows(rows: Sequence[BuyRow]) -> tuple[BuyRow, ...]:
    """Rows by counter; on each, long things first."""
    order = {counter: number for number, counter in enumerate(Counter)}
    forms = {form: number for number, form in enumerate(Form)}
    return tuple(
        sorted(rows, key=lambda r: (order[r.counter], forms[r.good.form], -r.length_in, r.name))
    )


def joined(rows: Iterator[BuyRow]) -> list[BuyRow]:
    """Rows of one good in one length as one row."""
    found: dict[tuple[str, float, bool], BuyRow] = {}
    for row in rows:
        key = row.good.id, row.length_in, row.stand_by
        old = found.get(key)
        found[key] = row if old is None else _both(old, row)
    return list(found.values())


def _both(a: BuyRow, b: BuyRow) -> BuyRow:
    return replace(
        a,
        count=a.count + b.count,
        spare=a.spare + b.spare,
        need="; ".join(dict.fromkeys(t for t in (a.need, b.need) if t)),
        pieces=tuple(dict.fromkeys((*a.pieces, *b.pieces))),
        why="; ".join(dict.fromkeys(t for t in (a.why, b.why) if t)),
    )


def row_of(
    good: Good, count: int, *, length_in: float = 0.0, spare: int = 0, need: str = "",
    pieces: Sequence[str] = (), why: str = "", stand_by: bool = False,
) -> BuyRow:  # fmt: skip
    """A row with the weight and price of one unit."""
    per = length_in / IN_PER_FT if good.form is Form.BAR else 1.0
    return BuyRow(
        good=good,
        length_in=length_in,
        count=count + spare,
        spare=spare,
        lb=good.lb * per,
        usd=round(good.usd * per, 2),
        need=need,
        pieces=tuple(dict.fromkeys(pieces)),
        why=why,
        stand_by=stand_by,
    )


def _cut_rows(cut: CutList) -> Iterator[BuyRow]:
    titles = [cut.titles[name] for name in cut.titles]
    good, plan = cut.good, cut.plan
    match plan:
        case BarPlan():
            yield from _bar_rows(cut, plan, titles)
        case CoilPlan():
            new = sum(b.times for b in plan.coils.bars if b.stock_id.startswith(NEW))
            need = f"{tape(plan.length_in)} of {tape(good.length_in)}"
            yield row_of(good, new, length_in=good.length_in, need=need, pieces=titles)
        case SheetPlan():
            new = sum(1 for s in plan.sheets if s.stock_id.startswith(NEW))
            area = sum(p.width_in * p.length_in for s in plan.sheets for p in s.placed) / 144
            spare = good.spare if new else 0
            need = f"{area:.0f} sq ft"
            yield row_of(good, new, length_in=good.length_in, spare=spare, need=need, pieces=titles)
        case RollPlan():
            length = sum(p.length_in for p in plan.pieces)
            need = f"{tape(length)} off the roll"
            count = 0 if cut.from_hand else plan.rolls
            yield row_of(good, count, length_in=good.length_in, need=need, pieces=titles)


def _bar_rows(cut: CutList, plan: BarPlan, titles: Sequence[str]) -> Iterator[BuyRow]:
    """A row for each length that is bought; the spare is one more of the length used most."""
    counts: Tally[float] = Tally()
    cuts: dict[float, list[str]] = {}
    for bar in plan.bars:
        if bar.stock_id.startswith(NEW):
            counts[bar.stock_in] += bar.times
            cuts.setdefault(bar.stock_in, []).extend(bar.piece_ids * bar.times)
    most = max(counts, key=lambda length: (counts[length], length)) if counts else None
    for length, count in counts.items():
        yield row_of(
            cut.good,
            count,
            length_in=length,
            spare=cut.good.spare if length == most else 0,
            need=f"{len(cuts[length])} {'pieces' if len(cuts[length]) > 1 else 'piece'}",
            pieces=[cut.titles[name] for name in cuts[length]] or titles,
        )


def _counted(needs: Needs, stores: Stores) -> Iterator[BuyRow]:
    """What is sold by the each: units added up over all pieces, then rounded up to packs."""
    amounts: dict[str, float] = {}
    rows: dict[str, tuple[Good, list[str], list[str]]] = {}
    titles = {part.piece: part.title for part in needs.parts}
    single = [(p.good, p.units, p.piece, "") for p in needs.parts if p.good.form is Form.EACH]
    single += [(s.good, s.units, s.piece, s.why) for s in needs.sundries]
    for good, units, piece, why in single:
        amounts[good.id] = amounts.get(good.id, 0.0) + units
        kept = rows.setdefault(good.id, (good, [], []))
        kept[1].extend([titles.get(piece, piece)] if piece else [])
        kept[2].append(why)
    for name, amount in amounts.items():
        good, pieces, whys = rows[name]
        have = sum(row.count for row in stores.hand(name)) * good.pack
        yield _packs(good, amount, have, pieces=pieces, whys=whys)


def _packs(
    good: Good, amount: float, have: int, *, pieces: Sequence[str], whys: Sequence[str]
) -> BuyRow:
    """So many packs as hold the need and its spare."""
    least = max(math.ceil(amount - 1e-6) - have, 0)
    over = max(math.ceil(amount * (1 + good.spare_share) - 1e-6) - have, 0)
    packs = math.ceil(over / good.pack)
    need = f"{math.ceil(amount - 1e-6)}" if amount >= 1 else f"{amount:.2f}".rstrip("0")
    unit = "" if good.pack > 1 or amount >= 1 else f" {good.unit}"
    if have:
        need += f", {min(have, math.ceil(amount))} on hand"
    return row_of(
        good,
        packs - max(packs - math.ceil(least / good.pack), 0),
        spare=max(packs - math.ceil(least / good.pack), 0),
        need=f"{need}{unit} needed",
        pieces=pieces,
        why="; ".join(dict.fromkeys(why for why in whys if why)),
    )


def _also_row(row: AlsoRecord, goods: Goods) -> BuyRow:
    good = goods.named(row.good, where="also")
    length = good.length_in
    if good.form is Form.BAR:
        length = _sold_length(good, row.length)
    return row_of(
        good, row.count, length_in=length, need="as the job asks", why=row.why,
        stand_by=row.stand_by,
    )  # fmt: skip


def _sold_length(good: Good, asked_in: float | None) -> float:
    """The shortest length that is sold and long enough. [in]"""
    wanted = asked_in or min(good.lengths_in)
    enough = [one for one in good.lengths_in if one >= wanted - 1e-6]
    if not enough:
        longest = max(good.lengths_in)
        raise InputError(
            f"also, {good.name}", f"a length of {tape(wanted)}", f"at most {tape(longest)}"
        )
    return min(enough)
