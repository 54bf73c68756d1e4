"""The user's own tasks, and what the work waits for: permits, goods, visits from outside."""

from __future__ import annotations

import datetime
from dataclasses import replace

from weatherlap.job.model import Job
from weatherlap.job.workrecords import TaskRecord
from weatherlap.order.hours import CrewHours
from weatherlap.order.tasks import After, Hours, Kind, Per, Task, Wait
from weatherlap.run.cornertasks import SILICA
from weatherlap.run.worktasks import NO_SKILL, chosen, waiting, work_task

DAY_H = 24.0
_LAID_WITH = (Kind.PUT_BACK, Kind.STRUCTURE, Kind.PATCHING, Kind.SHOP)


def own_task(record: TaskRecord, table: CrewHours) -> Task:
    """A task that the user wrote down."""
    if record.rate:
        task = work_task(
            table, record.rate, name=record.id, text=record.text, kind=record.kind,
            quantity=record.quantity,
        )  # fmt: skip
    else:
        likely = record.hours or 0.0
        low = likely if record.low is None else record.low
        high = likely if record.high is None else record.high
        task = Task(
            record.id, record.text, record.kind, record.trade, Hours(low, likely, high),
            quantity=likely, per=Per.HOUR,
        )  # fmt: skip
        skills = () if record.trade in NO_SKILL else (record.trade,)
        task = replace(task, skills=record.skills or skills, crew=record.crew)
    return replace(
        task,
        pieces=record.pieces,
        needs_dry=record.needs_dry,
        not_before=record.not_before,
        cautions=(SILICA,) if record.silica else (),
    )


def with_own_waits(rows: list[Task], job: Job) -> list[Task]:
    """The waits that the user's own tasks name."""
    for k, record in enumerate(job.task):
        where = f"task {record.id}"
        others = [t for t in rows if t.id != record.id]
        first = chosen(others, record.after, where=f"{where}, after", key=("task", k, "after"))
        then = chosen(others, record.before, where=f"{where}, before", key=("task", k, "before"))
        wait = record.wait_days * DAY_H + record.wait_hours
        why = Wait.DRYING if record.wait_days else Wait.CURING if record.wait_hours else Wait.NONE
        rows = waiting(rows, (record.id,), [After(name) for name in first])
        rows = waiting(rows, then, [After(record.id, wait, why)])
    return rows


def with_papers(rows: list[Task], job: Job, table: CrewHours) -> list[Task]:
    """Permits, goods and inspections, with what waits for them."""
    for k, permit in enumerate(job.permit):
        key = ("permit", k, "before")
        names = chosen(rows, permit.before, where=f"permit {permit.id}, before", key=key)
        if permit.granted:
            rows = [_not_before(t, permit.granted) if t.id in names else t for t in rows]
            continue
        task = work_task(
            table, "permit", name=permit.id, text=f"Apply for: {permit.text}", kind=Kind.PERMIT
        )
        rows = [*waiting(rows, names, [After(task.id, permit.days * DAY_H, Wait.PERMIT)]), task]
    for k, goods in enumerate(job.delivery):
        where = f"delivery {goods.id}, before"
        laid = [t.id for t in rows if t.kind in _LAID_WITH and set(t.pieces) & set(goods.pieces)]
        names = (*laid, *chosen(rows, goods.before, where=where, key=("delivery", k, "before")))
        if goods.ordered:
            there = datetime.date.fromisoformat(goods.ordered) + datetime.timedelta(goods.days)
            rows = [_not_before(t, there.isoformat()) if t.id in names else t for t in rows]
            continue
        task = work_task(
            table, "goods", name=goods.id, text=f"Order: {goods.text}", kind=Kind.ORDER
        )
        rows = [*waiting(rows, names, [After(task.id, goods.days * DAY_H, Wait.DELIVERY)]), task]
    return _with_visits(rows, job, table)


def _with_visits(rows: list[Task], job: Job, table: CrewHours) -> list[Task]:
    for k, visit in enumerate(job.inspection):
        where, key = f"inspection {visit.id}", ("inspection", k)
        first = chosen(rows, visit.after, where=f"{where}, after", key=(*key, "after"))
        then = chosen(rows, visit.before, where=f"{where}, before", key=(*key, "before"))
        task = work_task(
            table,
            "inspection",
            name=visit.id,
            text=f"Inspection: {visit.text}",
            kind=Kind.INSPECTION,
        )
        waits = tuple(After(name, visit.notice_days * DAY_H, Wait.NOTICE) for name in first)
        rows = [*waiting(rows, then, [After(task.id)]), replace(task, after=waits)]
    return rows


def _not_before(task: Task, day: str) -> Task:
    return replace(task, not_before=max(task.not_before, day))
