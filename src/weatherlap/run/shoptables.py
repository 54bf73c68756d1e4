"""The shop as plain tables, as JSON can hold them."""

from __future__ import annotations

from typing import Any

from weatherlap.run.shopping import Shop
from weatherlap.run.shopwords import bound_words, lead_words
from weatherlap.takeoff.buying import BuyRow
from weatherlap.takeoff.cutlists import CutList
from weatherlap.takeoff.cutting.coil import CoilPlan
from weatherlap.takeoff.cutting.model import BarPlan
from weatherlap.takeoff.cutting.rolls import RollPlan
from weatherlap.takeoff.cutting.sheets import SheetPlan
from weatherlap.takeoff.model import Part, Sundry
from weatherlap.takeoff.splicing import Spliced
from weatherlap.takeoff.touching import Touch

Table = dict[str, Any]


def shop_table(shop: Shop) -> Table:
    """The whole shop as plain tables. [in, lb, US$]"""
    return {
        "ok": True,
        "title": shop.job.job.title,
        "lead": list(lead_words(shop)),
        "buy": [_row(row) for row in shop.rows],
        "cost_usd": round(shop.usd, 2),
        "prices_invented": any(row.good.usd_invented for row in shop.rows),
        "load": {
            "total_lb": round(shop.load.total_lb, 1),
            "on_rack_lb": round(shop.load.on_rack_lb, 1),
            "longest_in": shop.load.longest_in,
            "trips": shop.load.trips,
            "least_trips": shop.load.least_trips,
            "not_on_rack": list(shop.load.delivered),
        },
        "take_off": [_part(part) for part in shop.take_off.parts],
        "fixings": [_sundry(row) for row in shop.take_off.sundries],
        "cut": [_cut(one) for one in shop.cut],
        "joints": _joints(shop),
        "touching": {
            "looked_at": shop.touches.looked_at,
            "apart": [_touch(row) for row in shop.touches.apart],
        },
        "not_taken_off": [*shop.take_off.unknown, *shop.troubles],
    }


def _joints(shop: Shop) -> Table:
    joints = shop.joints
    return {
        "day_f": shop.job.shop.day,
        "splices": [_splice(row) for row in joints.spliced],
        "movement": [
            {
                "title": m.title,
                "length_in": m.length_in,
                "grows_in": m.room.growth_in,
                "shrinks_in": m.room.shrink_in,
                "gap_in": m.gap_in,
                "lap_in": m.room.lap_in,
                "why": m.why,
            }
            for m in joints.movements
        ],
        "laps": [
            {
                "outer": lap.outer,
                "inner": lap.inner,
                "lap_in": lap.lap_in,
                "need_in": lap.need_in,
                "short": lap.is_short,
                "right_way": lap.right_way,
                "why": lap.why,
            }
            for lap in joints.laps
        ],
    }


def _touch(row: Touch) -> Table:
    judged = row.judged
    return {
        "outer": row.outer,
        "inner": row.inner,
        "verdict": judged.verdict.value,
        "why": judged.why,
        "do": judged.do,
        "sources": list(judged.source_keys),
    }


def _row(row: BuyRow) -> Table:
    return {
        "counter": row.counter.value,
        "good": row.good.id,
        "name": row.name,
        "count": row.count,
        "unit": row.unit,
        "length_in": row.length_in,
        "spare": row.spare,
        "need": row.need,
        "pieces": list(row.pieces),
        "why": row.why,
        "lb": round(row.total_lb, 1),
        "usd": round(row.total_usd, 2),
        "usd_invented": row.good.usd_invented,
        "stand_by": row.stand_by,
        "sources": list(row.good.source_keys),
    }


def _part(part: Part) -> Table:
    return {
        "id": part.id,
        "piece": part.piece,
        "title": part.title,
        "entry": part.entry,
        "good": part.good.id,
        "count": part.count,
        "length_in": part.length_in,
        "width_in": part.width_in,
        "area_in2": part.area_in2,
        "units": part.units,
        "shape": part.shape,
        "outline": [list(place) for place in part.outline],
        "note": part.note,
    }


def _sundry(row: Sundry) -> Table:
    return {
        "good": row.good.id,
        "units": round(row.units, 3),
        "piece": row.piece,
        "why": row.why,
        "sources": list(row.source_keys),
    }


def _cut(cut: CutList) -> Table:
    plan = cut.plan
    table: Table = {
        "good": cut.good.id,
        "name": cut.good.name,
        "titles": dict(cut.titles),
        "proven": plan.proven,
        "gap": plan.gap,
        "bound": bound_words(cut),
        "from_hand": cut.from_hand,
        "splices": [_splice(row) for row in cut.spliced if row.plan is not None],
        "shapes": [
            {
                "number": s.number, "title": s.title, "count": s.count, "pieces": list(s.names),
                "outline_in": [[round(x, 4), round(y, 4)] for x, y in s.outline],
            }
            for s in cut.shapes
        ],
    }  # fmt: skip
    match plan:
        case BarPlan():
            return {**table, "bars": _bars(plan), "wasted": plan.wasted}
        case CoilPlan():
            return {**table, "sections": _sections(plan), "coils": _bars(plan.coils)}
        case SheetPlan():
            return {**table, "sheets": _sheets(plan), "wasted": plan.wasted}
        case RollPlan():
            return {**table, **_rolls(plan)}


def _splice(row: Spliced) -> Table:
    splices = row.plan.splices if row.plan is not None else ()
    return {
        "part": row.part.id,
        "lengths_in": list(row.lengths_in),
        "laps": [
            {"from_in": s.from_in, "to_in": s.to_in, "over": s.over.value, "why": s.why}
            for s in splices
        ],
    }


def _bars(plan: BarPlan) -> list[Table]:
    return [
        {
            "stock": bar.stock_id,
            "stock_in": bar.stock_in,
            "times": bar.times,
            "pieces": list(bar.piece_ids),
            "lengths_in": list(bar.lengths_in),
            "marks_in": list(bar.marks_in),
            "leftover_in": bar.leftover_in,
            "keep": bar.keep,
        }
        for bar in plan.bars
    ]


def _sections(plan: CoilPlan) -> list[Table]:
    return [
        {
            "length_in": section.length_in,
            "times": section.times,
            "strips": [
                {"piece": name, "girth_in": girth, "length_in": length}
                for name, girth, length in section.strips
            ],
            "rips_in": list(section.rips_in),
            "offcut_in": section.offcut_in,
        }
        for section in plan.sections
    ]


def _sheets(plan: SheetPlan) -> list[Table]:
    return [
        {
            "stock": sheet.stock_id,
            "pieces": [
                {
                    "piece": p.piece_id,
                    "across_in": p.across_in,
                    "along_in": p.along_in,
                    "width_in": p.width_in,
                    "length_in": p.length_in,
                    "turned": p.turned,
                }
                for p in sheet.placed
            ],
            "cuts": [{"rip": c.rip, "at_in": c.at_in, "part": list(c.part)} for c in sheet.cuts],
        }
        for sheet in plan.sheets
    ]


def _rolls(plan: RollPlan) -> Table:
    return {
        "rolls": plan.rolls,
        "courses": [
            {
                "piece": p.covered_id,
                "course": p.course,
                "bottom_in": p.bottom_in,
                "from_in": p.from_in,
                "length_in": p.length_in,
                "roll": p.roll,
            }
            for p in plan.pieces
        ],
        "leftover_in": plan.leftover_in,
    }
