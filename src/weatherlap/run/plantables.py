"""A plan as a table for machines."""

from __future__ import annotations

from typing import Any

from weatherlap.order.finishing import Finish, OpenSpan
from weatherlap.order.goingon import GoneOn
from weatherlap.order.hours import CrewHours
from weatherlap.order.schedule import Bounded, Placed
from weatherlap.order.tasks import Hours
from weatherlap.run.planning import Planned
from weatherlap.run.sofar import SoFar

Table = dict[str, Any]


def plan_table(planned: Planned, done: SoFar | None = None) -> Table:
    """The tasks with their times and hands, the finish, the open days, starts to choose from."""
    plan = planned.plan
    return {
        "job": planned.job.job.title,
        "first_day": plan.first_day.isoformat(),
        "last_day": plan.last_day.isoformat(),
        "finish": _bounded(plan.finish, "working_h"),
        "open": _bounded(plan.open, "clock_h"),
        "open_days": _span(planned.span),
        "finish_chances": _finish(planned.finish),
        "starts": [
            {
                "start": c.start.isoformat(),
                "open_days": _span(c.span),
                "p50": c.finish.p50.isoformat(),
                "p80": c.finish.p80.isoformat(),
            }
            for c in planned.starts
        ],
        "driest_start": planned.best.start.isoformat() if planned.best else None,
        "crew": [{"id": h.id, "name": h.name, "skills": sorted(h.skills)} for h in plan.hands],
        "tasks": [_task(planned, row) for row in plan.rows],
        "lead_paint": {
            "area_ft2": round(planned.listed.lead.area_ft2, 2),
            "pieces": list(planned.listed.lead.pieces),
            "applies": planned.listed.lead.applies,
            "text": planned.listed.lead.text,
        },
        "notes": list(planned.listed.notes),
        "assumed": list(planned.assumed),
        "so_far": None if done is None else so_far_table(done),
        "gone_on": None if planned.gone is None else _gone(planned.gone),
    }


def _gone(gone: GoneOn) -> Table:
    """What became of the plan as it was made."""
    return {
        "from_day": gone.from_day.isoformat(),
        "was": {
            "first_day": gone.was.first_day.isoformat(),
            "last_day": gone.was.last_day.isoformat(),
        },
        "working_days_later": gone.days_later,
        "open_since": gone.open_since.isoformat() if gone.open_since else None,
        "overdue": [t.id for t in gone.overdue],
        "slips": [
            {
                "task": s.task.id,
                "was": s.was.isoformat(),
                "now": s.now.isoformat(),
                "working_days_later": s.days_later,
                "finished": s.finished,
            }
            for s in gone.slips
        ],
        "notes": list(gone.notes),
    }


def _bounded(row: Bounded, unit: str) -> Table:
    return {
        unit: row.value,
        "bound": row.bound,
        "proven": row.proven,
        "gap": round(row.gap, 4),
    }


def _span(span: OpenSpan | None) -> Table | None:
    if span is None:
        return None
    return {
        "first": span.first.isoformat(),
        "last": span.last.isoformat(),
        "days": span.days,
        "all_dry": round(span.dry_chance, 4),
        "wet_days": round(span.wet_days, 2),
    }


def _finish(finish: Finish) -> Table:
    return {
        "p50": finish.p50.isoformat(),
        "p80": finish.p80.isoformat(),
        "runs": finish.runs,
        "by_day": {day.isoformat(): round(share, 4) for day, share in finish.days},
    }


def _hours(hours: Hours) -> list[float]:
    return [round(h, 3) for h in (hours.low, hours.likely, hours.high)]


def _task(planned: Planned, row: Placed) -> Table:
    task, days = row.task, planned.plan.days
    return {
        "id": task.id,
        "text": task.text,
        "kind": task.kind.value,
        "trade": task.trade,
        "begins": days.moment(row.start_h).isoformat(timespec="minutes"),
        "ends": days.moment(row.end_h, ending=True).isoformat(timespec="minutes"),
        "hands": list(row.hands),
        "hours": _hours(task.hours),
        "quantity": task.quantity,
        "per": task.per.value,
        "rate": task.rate,
        "after": [
            {"task": a.task, "wait_h": a.wait_h, "why": a.why.value} if a.wait_h else a.task
            for a in task.after
        ],
        "needs_dry": task.needs_dry,
        "opens": task.opens,
        "closes": task.closes,
        "pieces": list(task.pieces),
        "changes": list(task.changes),
        "cautions": list(task.cautions),
    }


def so_far_table(done: SoFar) -> Table:
    """What was done, what is left and what the hours suggest. [h]"""
    return {
        "planned_h": round(done.planned_h, 2),
        "spent_h": round(done.spent_h, 2),
        "tasks": [
            {
                "id": r.task.id,
                "planned_h": round(r.planned_h, 2),
                "spent_h": round(r.spent_h, 2),
                "finished": r.finished,
                "last_day": r.last_day,
            }
            for r in done.rows
        ],
        "left": list(done.left),
        "rates": [
            {
                "rate": lesson.rate,
                "planned_h": round(lesson.planned_h, 2),
                "spent_h": round(lesson.spent_h, 2),
                "told": round(lesson.told, 3),
                "suggested": round(lesson.suggested, 3),
            }
            for lesson in done.lessons
        ],
        "suggested_rows": {head: dict(row) for head, row in done.suggested.items()},
    }


def rates_text(done: SoFar, table: CrewHours) -> str:
    """The suggested rows as they stand in the table of hours."""
    rows = []
    for head, values in done.suggested.items():
        words = f'"{head}"' if " " in head else head
        rows.append(f"[{words}]")
        old = _old(head, table)
        rows += [f"{key} = {value}  # was {old[key]}" for key, value in values.items()]
        rows.append("")
    return "\n".join(rows)


def _old(head: str, table: CrewHours) -> Table:
    if head.startswith("work."):
        return {"hours": _hours(table.work[head.removeprefix("work.")].hours)}
    row = table.of[head]
    return {"off": row.off, "on": row.on, "on_per_ft2": row.on_per_ft2}
