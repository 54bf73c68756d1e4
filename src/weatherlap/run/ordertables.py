"""Putting right as plain tables, for JSON."""

from __future__ import annotations

from weatherlap.building.corner import Corner
from weatherlap.job.model import Change
from weatherlap.job.writing import plain_row
from weatherlap.order.days import Step
from weatherlap.order.nights import Exposure, Night
from weatherlap.order.putback import Laying, Lowering, Trap
from weatherlap.order.takedown import Removal
from weatherlap.run.changewords import change_words
from weatherlap.run.comparing import Comparison
from weatherlap.run.ordering import Nights, Ordered
from weatherlap.run.ordertold import carries
from weatherlap.run.tables import Table
from weatherlap.water.mend import MendAnswer, Mended


def order_table(ordered: Ordered) -> Table:
    """Take-down and put-back, in order."""
    found, repaired = ordered.found, ordered.repaired
    return {
        "job": ordered.job.job.title,
        "take_down": [
            {**_removal(found, r), "carries_load": carries(ordered, r)}
            for r in ordered.down.removals
        ],
        "put_back": [_laying(repaired, s) for s in ordered.back.layings],
        "let_down": [_lowering(repaired, row) for row in ordered.back.lowered],
        "easily_wrong": [_trap(repaired, t) for t in ordered.back.traps],
        "left_in": list(ordered.left_in),
    }


def _removal(found: Corner, row: Removal) -> Table:
    piece = found.pieces[row.piece]
    return {
        "number": row.number,
        "piece": piece.id,
        "title": piece.title,
        "how": row.how.value,
        "fate": row.fate.value,
        "why": row.why,
        "run": piece.record.run,
        "place_in_run": row.place_in_run,
    }


def _laying(repaired: Corner, row: Laying) -> Table:
    piece = repaired.pieces[row.piece]
    return {
        "number": row.number,
        "piece": piece.id,
        "title": piece.title,
        "trade": row.trade,
        "face": repaired.faces[row.face].id if row.face >= 0 else None,
        "fate": row.fate.value if row.fate else "new",
        "after": [repaired.pieces[p].id for p in row.after],
    }


def _lowering(repaired: Corner, row: Lowering) -> Table:
    piece = repaired.pieces[row.piece]
    return {
        "piece": piece.id,
        "title": piece.title,
        "after_number": row.after,
        "over": [repaired.pieces[p].id for p in row.over],
    }


def _trap(repaired: Corner, trap: Trap) -> Table:
    return {
        "first": repaired.pieces[trap.first].id,
        "then": [repaired.pieces[p].id for p in trap.then],
        "face": repaired.faces[trap.face].id,
        "text": trap.text,
    }


def nights_table(nights: Nights) -> Table:
    """The evenings with what gets wet and the covers. [h, L, mm]"""
    return {
        "job": nights.ordered.job.job.title,
        "night_mm": nights.night_mm,
        "days": len(nights.rows),
        "usual_order": _exposure(nights.usual),
        "drier_order": _exposure(nights.offer) if nights.offer else None,
        "evenings": [_night(n) for n in nights.rows],
    }


def _exposure(row: Exposure) -> Table:
    return {
        "days": row.days,
        "changes_of_trade": row.trade_changes,
        "wet_l": row.wet_l,
        "steps": [_step(s) for s in row.steps],
    }


def _step(step: Step) -> Table:
    return {"move": step.move.value, "piece": step.piece, "hours": step.hours}


def _night(row: Night) -> Table:
    return {
        "day": row.evening.day,
        "hours": row.evening.hours,
        "steps": [_step(s) for s in row.evening.steps],
        "wet_l": row.wet_l,
        "wets": list(row.wets),
        "covers": [
            {"face": c.face, "rect": list(c.record.on[0].rect or ()), "text": c.text}
            for c in row.covers
        ],
        "covered_l": row.covered_l,
        "still_wets": list(row.still_wets),
    }


def compare_table(done: Comparison) -> Table:
    """What each change did to each finding. [L a year]"""
    return {
        "job": done.found.job.job.title,
        "clean": done.repaired.trace.clean,
        "findings": [
            {
                "name": f.name,
                "became": f.became.value,
                "before_l": f.before_l,
                "after_l": f.after_l,
                "cured_by": list(f.cured_by),
                "text": f.text,
            }
            for f in done.findings
        ],
        "changes": [
            {
                "number": e.number,
                "do": e.change.do.value,
                "piece": e.change.subject,
                "text": change_words(done.found.corner, done.repaired.corner, e.change),
                "brings_back": list(e.brings_back),
                "without": e.without,
            }
            for e in done.changes
        ],
        "rules_open": [r.text for r in done.repaired.rules if not r.ok],
    }


def mend_table(title: str, answer: MendAnswer) -> Table:
    """The cheapest mend, its runners-up and why each change is needed. [USD]"""
    return {
        "job": title,
        "best": _mended(answer.best) if answer.best else None,
        "proven_least": answer.proven,
        "bound_usd": answer.bound_usd,
        "needs": [{"text": n.text, "without": n.without} for n in answer.needs],
        "runners_up": [_mended(m) for m in answer.runners_up],
        "left_open": list(answer.left_open),
        "rules_left": list(answer.rules_left),
        "stuck": list(answer.stuck),
        "tried": answer.tried,
    }


def _mended(row: Mended) -> Table:
    return {
        "cost_usd": row.cost_usd,
        "text": [r.text for r in row.remedies],
        "changes": [_change(c) for c in row.changes],
    }


def _change(change: Change) -> Table:
    return plain_row(change)
