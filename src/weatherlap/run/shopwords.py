"""The shop in plain words: the sentences that its papers begin with."""

from __future__ import annotations

from weatherlap.run.shopping import Shop
from weatherlap.takeoff.buying import BuyRow
from weatherlap.takeoff.cutlists import HAND, LEFT, CutList
from weatherlap.takeoff.cutting.coil import CoilPlan
from weatherlap.takeoff.cutting.model import BarPlan
from weatherlap.takeoff.cutting.rolls import RollPlan
from weatherlap.takeoff.cutting.sheets import SheetPlan
from weatherlap.units import tape


def lead_words(shop: Shop) -> tuple[str, ...]:
    """The answers first: what is new, what it weighs, what it costs."""
    new = len({p.piece for p in shop.take_off.parts})
    rows = [row for row in shop.rows if not row.stand_by]
    counters = list(dict.fromkeys(row.counter.value for row in rows))
    invented = any(row.good.usd_invented for row in rows)
    price = f"{shop.usd:,.2f} dollars" + (" at invented prices" if invented else "")
    if not rows:
        return ("Nothing new is bought for this job.",)
    return (
        f"{new} new {'pieces come' if new != 1 else 'piece comes'} to {len(rows)} lines at "
        f"{len(counters)} {'counters' if len(counters) != 1 else 'counter'} "
        f"({', '.join(counters)}): {price}, {shop.load.total_lb:.0f} lb.",
        carrying_words(shop),
    )


def carrying_words(shop: Shop) -> str:
    """What rides on the rack, in how many trips, and what does not."""
    load = shop.load
    if not load.on_rack_lb and not load.delivered:
        return "Nothing of it needs the rack."
    trips = "one trip" if load.trips == 1 else f"{load.trips} trips"
    words = (
        f"On the rack: {load.on_rack_lb:.0f} lb, the longest {tape(load.longest_in)}, in {trips} "
        f"of at most {shop.job.shop.rack_load:.0f} lb."
    )
    if load.trips > load.least_trips:
        words += f" No fewer than {load.least_trips} would do."
    return words if not load.delivered else f"{words} {'. '.join(load.delivered)}."


def bound_words(cut: CutList) -> str:
    """The proof of a plan, or how far it may be from the best."""
    if cut.from_hand:
        return "From what is on hand."
    plan = cut.plan
    if isinstance(plan, BarPlan):
        return plan.bound_words() + _joint_words(cut, plan)
    if plan.proven:
        kind = {
            CoilPlan: "two-stage plan", SheetPlan: "plan of edge-to-edge cuts",
            RollPlan: "plan by courses",
        }[type(plan)]  # fmt: skip
        return f"Proven: no {kind} costs less."
    return f"Not proven least: at most {100 * plan.gap:.1f} % could be saved."


def _joint_words(cut: CutList, plan: BarPlan) -> str:
    """Whether other joints of courses would cost less."""
    if cut.joints_proven is None or cut.least_usd is None:
        return ""
    if cut.joints_proven:
        where = "staggered and on studs" if cut.on_studs else "staggered"
        return f" Nor would other joints of the courses, {where}, cost less."
    gap = 100 * (plan.cost_usd - cut.least_usd) / max(plan.cost_usd, 0.01)
    return f" Other joints of the courses could save {gap:.1f} % at most."


def from_store(shop: Shop) -> tuple[str, ...]:
    """What is taken along from what is there, in words."""
    rows = []
    for cut in shop.cut:
        if cut.from_hand:
            rows.append(f"{cut.good.name}: the roll that is there")
        bars = cut.plan.bars if isinstance(cut.plan, BarPlan) else ()
        bars = cut.plan.coils.bars if isinstance(cut.plan, CoilPlan) else bars
        rows += [
            f"{cut.good.name}: {b.times} x {b.stock_id}" for b in bars if _is_there(b.stock_id)
        ]
        sheets = cut.plan.sheets if isinstance(cut.plan, SheetPlan) else ()
        rows += [f"{cut.good.name}: {s.stock_id}" for s in sheets if _is_there(s.stock_id)]
    used = {row.good.id for row in shop.take_off.sundries}
    used |= {part.good.id for part in shop.take_off.parts if part.units}
    for hand in (h for h in shop.job.on_hand if h.good in used):
        good = shop.goods.good[hand.good]
        rows.append(f"{good.name}: {hand.count} on hand")
    return tuple(rows)


def _is_there(stock_id: str) -> bool:
    return stock_id.startswith((HAND, LEFT))


def count_words(row: BuyRow) -> str:
    """How many of what, as it is asked for: 2 lengths."""
    plural = {"box": "boxes", "brick": "bricks"}.get(row.unit, f"{row.unit}s")
    return f"{row.count} {row.unit if row.count == 1 else plural}"


def spare_words(row: BuyRow) -> str:
    """What of it is spare."""
    return f"{row.spare} spare" if row.spare else ""
