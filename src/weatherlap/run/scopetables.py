"""Scope, price and close-out as plain tables, for JSON."""

from __future__ import annotations

from weatherlap.job.moneyrecords import Shown
from weatherlap.money.chance import Outcome
from weatherlap.money.changeorders import ChangeOrder, ScopeLine
from weatherlap.money.price import by_section
from weatherlap.run.changeorder import Orders
from weatherlap.run.closing import CloseOut
from weatherlap.run.pricing import Pricing
from weatherlap.run.scope import Scope
from weatherlap.run.tables import Table


def scope_table(scope: Scope) -> Table:
    """The scope as the client sees it: never more of the price than was chosen. [cents, days]"""
    built = scope.pricing.built
    shown = scope.terms.price_shown is Shown.SECTIONS
    return {
        "ok": True,
        "job": scope.job.job.title,
        "price_cents": built.price_cents,
        "sections": [{"name": n, "cents": c} for n, c in by_section(built)] if shown else [],
        "days": scope.pricing.days,
        "steps": [
            {"number": s.number, "text": s.text, "task": s.task, "changes": list(s.changes)}
            for s in scope.steps
        ],
        "findings": [
            {"letter": f.letter, "text": f.text, "answer": f.answer} for f in scope.findings
        ],
        "payments": [{"event": d.event, "cents": d.cents} for d in scope.dues],
        "allowances": [
            {
                "id": a.id,
                "text": a.text,
                "unit": a.unit,
                "included": a.included,
                "unit_price_usd": a.unit_price_usd,
                "actual": a.actual,
                "settled_usd": a.settled_usd,
            }
            for a in scope.pricing.allowances
        ],
        "cancel_by": scope.cancel_by.isoformat() if scope.cancel_by else None,
        "lead_paint": scope.pricing.tasks.lead.text,
        "missing": list(scope.missing),
    }


def price_table(scope: Scope) -> Table:
    """The build-up, for the firm's eyes only. [USD, -, cents]"""
    pricing = scope.pricing
    built = pricing.built
    return {
        "ok": True,
        "job": pricing.job.job.title,
        "for_the_firm_only": True,
        "cost_book": pricing.book.name,
        "lines": [
            {
                "section": x.section,
                "kind": x.kind.value,
                "text": x.text,
                "usd": [x.usd.low, x.usd.likely, x.usd.high],
            }
            for x in built.lines
        ],
        "likely_usd": built.likely_usd,
        "contingency_usd": built.contingency_usd,
        "overhead_usd": built.overhead_usd,
        "profit_usd": built.profit_usd,
        "profit_is": pricing.book.on_top.profit_is.value,
        "tax_usd": built.tax_usd,
        "allowances_usd": built.allowances_usd,
        "rounding_usd": built.rounding_usd,
        "price_cents": built.price_cents,
        "visible": _outcome(pricing.visible),
        "with_hidden": _outcome(pricing.with_hidden),
        "hidden": _hidden(pricing),
        "missing": list(scope.missing),
    }


def _outcome(row: Outcome) -> Table:
    return {
        "runs": row.runs,
        "seed": row.seed,
        "mean_usd": row.mean,
        "spread_usd": row.spread,
        "p50_usd": row.p50,
        "p80_usd": row.p80,
        "p50_give_usd": row.p50_give,
        "p80_give_usd": row.p80_give,
    }


def _hidden(pricing: Pricing) -> list[Table]:
    return [
        {
            "piece": h.covered.piece,
            "litres_a_year": h.covered.litres_a_year,
            "years": h.covered.years,
            "chance_before": h.before[2],
            "chance": h.chance,
            "extent": [h.extent.low, h.extent.likely, h.extent.high],
            "unit": h.covered.unit,
            "signs": [{"text": s.text, "chance_after": s.rotten_after} for s in h.steps],
            "look_saves_usd": w.saved_usd,
            "look_costs_usd": w.stakes.look_usd,
            "course": w.blind,
        }
        for h, w in zip(pricing.hidden.rows, pricing.hidden.worth, strict=True)
    ]


def orders_table(orders: Orders) -> Table:
    """Contract and change orders. [cents, days]"""
    book = orders.ledger
    return {
        "ok": True,
        "contract": {
            "day": book.contract.day,
            "by": book.contract.by,
            "price_cents": book.contract.price_cents,
            "days": book.contract.days,
        },
        "change_orders": [_order(row) for row in book.orders],
        "price_cents": book.price_cents,
        "days": book.days,
        "not_signed": _order(orders.open_now) if orders.open_now else None,
    }


def _order(row: ChangeOrder) -> Table:
    return {
        "number": row.number,
        "day": row.day,
        "answer": row.answer.value,
        "by": row.by,
        "why": row.why,
        "consequence": row.consequence,
        "photos": list(row.photos),
        "price_change_cents": row.price_change_cents,
        "days_change": row.days_change,
        "added": [_line(x) for x in row.added],
        "dropped": [_line(x) for x in row.dropped],
    }


def _line(row: ScopeLine) -> Table:
    return {"key": row.key, "text": row.text}


def close_table(done: CloseOut) -> Table:
    """The close-out."""
    return {
        "ok": True,
        "job": done.job.job.title,
        "ended": done.ended.isoformat(),
        "warranty_until": done.warranty_until.isoformat(),
        "found": [
            {"letter": t.finding.letter, "text": t.title, "place": t.place} for t in done.told
        ],
        "still_lets_water_in": not done.repaired.trace.clean,
        "done": [line.text for line in done.scope.lines],
        "photos": [
            {
                "step": step,
                "file": p.file,
                "sha256": p.sha256,
                "face": p.face,
                "taken": p.taken,
                "toward_deg": p.toward,
                "text": p.text,
            }
            for step, rows in done.photos
            for p in rows
        ],
        "look_at": list(done.look_at),
        "reminders": [
            {"day": r.day.isoformat(), "title": r.title, "text": r.text} for r in done.reminders
        ],
        "not_ticked": list(done.undone),
    }
