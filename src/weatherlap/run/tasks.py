"""All tasks of a job: those that follow from its changes, those around them, and the user's own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from weatherlap.errors import InputError
from weatherlap.job.model import Job
from weatherlap.job.placing import placing
from weatherlap.job.workrecords import Work
from weatherlap.order.hours import CrewHours
from weatherlap.order.takedown import covers_of, height_of
from weatherlap.order.tasks import (
    After,
    Kind,
    Task,
    Wait,
    check_tasks,
    circle_in,
    in_turn,
    without_implied,
)
from weatherlap.run.cornertasks import (
    FALL_IN,
    FALLS,
    LADDERS,
    LEAD,
    corner_tasks,
    extent_in,
    material_of,
    titles_in_short,
)
from weatherlap.run.inplacetasks import with_in_place
from weatherlap.run.leadpaint import LeadPaint, lead_paint
from weatherlap.run.ordering import Ordered, order_job
from weatherlap.run.ownwork import own_task, with_own_waits, with_papers
from weatherlap.run.shoretasks import shore_of, with_holding
from weatherlap.run.wetwood import CLOSE_IN_PERCENT, wet_and_stays
from weatherlap.run.worktasks import waiting, work_task

DAY_H = 24.0
ASSUMED_DRYING_DAYS = 4.0
"""Days that wet wood lies open where nobody worked them out. Own choice. [days]"""
COMPOUND_DRIES_H = 24.0
"""Between filling and painting inside. Common practice, no source. [h]"""
BENT_MATERIALS = ("aluminium", "steel", "copper", "lead-coated-copper")
BENT_ROLES = ("trim", "flashing")


@dataclass(frozen=True)
class TaskList:
    """The tasks of a job in an order that can be worked, and what was assumed for them.

    ``holding_note`` says why holding up was not worked out; ``engineer`` why one is asked for.
    """

    job: Job
    ordered: Ordered
    table: CrewHours
    tasks: tuple[Task, ...]
    lead: LeadPaint
    notes: tuple[str, ...]
    holding_note: str = ""
    engineer: tuple[str, ...] = ()

    def named(self, name: str) -> Task:
        """The task of an id."""
        return next(t for t in self.tasks if t.id == name)


def tasks_of(
    job: Job,
    table: CrewHours,
    *,
    ordered: Ordered | None = None,
    drying_days: Mapping[str, float] | None = None,
) -> TaskList:
    """Every task of a job, with its hours and what it waits for.

    Parameters
    ----------
    table : CrewHours
        The firm's hours.
    drying_days : mapping or None
        Days until a piece that stays is at 19 %, by its id, where they were worked out. [days]

    Raises
    ------
    InputError
        If the job holds no change, or a record names a task or row of hours that there is not.
    NoSolution
        If nothing can be the first to come off, or to go back.
    """
    ordered = order_job(job) if ordered is None else ordered
    work = job.work or Work()
    lead = lead_paint(ordered, job.work)
    rows = list(corner_tasks(ordered, table))
    notes: list[str] = []
    held = shore_of(job)
    notes += [held.why_not] if held.why_not else []
    rows = with_holding(rows, job, table, plan=held.plan)
    rows = _with_drying(rows, ordered, work, table, drying_days or {}, notes)
    rows = _with_shop(rows, ordered, table)
    rows = with_in_place(rows, ordered, table)
    rows += _around(rows, ordered, table, lead)
    rows += [own_task(record, table) for record in job.task]
    with placing(job):
        rows = with_own_waits(rows, job)
        rows = with_papers(rows, job, table)
        rows = _with_end(rows, ordered, table)
        _check(rows, job)
    return TaskList(
        job, ordered, table, without_implied(in_turn(rows)), lead, tuple(notes), held.why_not,
        held.engineer,
    )  # fmt: skip


def _check(rows: Sequence[Task], job: Job) -> None:
    """Look the tasks over; a circle is told at the first of the user's own records in it."""
    own: dict[str, tuple[str | int, ...]] = {r.id: ("task", k) for k, r in enumerate(job.task)}
    own |= {r.id: ("inspection", k) for k, r in enumerate(job.inspection)}
    circle = circle_in({t.id: tuple(a.task for a in t.after) for t in rows})
    try:
        check_tasks(rows)
    except InputError as error:
        fault = error.problems[0]
        key = next((own[name] for name in circle if name in own), ())
        raise InputError(fault.where, fault.found, fault.want, fault.do, key=key) from None


def _with_drying(
    rows: list[Task],
    ordered: Ordered,
    work: Work,
    table: CrewHours,
    known: Mapping[str, float],
    notes: list[str],
) -> list[Task]:
    """Wet wood that stays is met again with the meter before anything is laid over it."""
    for name, percent in wet_and_stays(ordered).items():
        piece = ordered.found.piece_named[name]
        days, how = _drying_days(name, work, known)
        if days <= 0:
            continue
        bare = [
            t.id
            for t in rows
            if t.kind is Kind.TAKE_DOWN and set(t.pieces) & _covering(ordered, name)
        ]
        if not bare:
            notes.append(
                f"The {piece.title} reads {percent:g} % and nothing that covers it comes off: it "
                "dries where it is, or not at all."
            )
            continue
        task = work_task(
            table, "meter", name=f"dry-{name}", kind=Kind.DRYING,
            text=f"Meter the {piece.title}: {CLOSE_IN_PERCENT:g} % or less before it is closed in",
        )  # fmt: skip
        waits = tuple(After(b, days * DAY_H, Wait.DRYING) for b in bare)
        over = _covering_later(ordered, name)
        rows = [
            replace(t, after=(*t.after, After(task.id)))
            if t.kind is Kind.PUT_BACK and set(t.pieces) & over
            else t
            for t in rows
        ]
        rows.append(replace(task, after=waits, pieces=(name,)))
        notes.append(f"The {piece.title} reads {percent:g} % and stays: {days:g} days open, {how}.")
    return rows


def _drying_days(name: str, work: Work, known: Mapping[str, float]) -> tuple[float, str]:
    if work.drying_days is not None:
        return work.drying_days, "as the job says"
    if name in known:
        return known[name], "worked out from the weather of the place"
    return ASSUMED_DRYING_DAYS, "an assumption: the meter decides"


def _covering(ordered: Ordered, name: str) -> set[str]:
    found = ordered.found
    return {found.pieces[c].id for c in covers_of(found)[found.piece_named[name].index]}


def _covering_later(ordered: Ordered, name: str) -> set[str]:
    corner = ordered.repaired
    return {corner.pieces[c].id for c in covers_of(corner)[corner.piece_named[name].index]}


def _with_shop(rows: list[Task], ordered: Ordered, table: CrewHours) -> list[Task]:
    """New metal that goes round a fold is bent before it is laid."""
    corner = ordered.repaired
    out: list[Task] = []
    for task in rows:
        bent = [n for n in task.pieces if task.kind is Kind.PUT_BACK and _is_bent(ordered, n)]
        if bent:
            feet = sum(extent_in(corner, corner.piece_named[n].index) for n in bent) / 12.0
            titles = titles_in_short([corner.piece_named[n].title for n in bent])
            shop = work_task(
                table, "bending", name=f"bend-{task.id.removeprefix('on-')}", kind=Kind.SHOP,
                text=f"Cut and bend {titles}", quantity=round(feet, 1),
            )  # fmt: skip
            out.append(replace(shop, pieces=tuple(bent), changes=task.changes))
            task = replace(task, after=(*task.after, After(shop.id)))
        out.append(task)
    return out


def _is_bent(ordered: Ordered, name: str) -> bool:
    """Whether a piece is new metal with panels on more than one face."""
    corner = ordered.repaired
    piece = corner.piece_named[name]
    new = all(s.fate is None for s in ordered.back.layings if s.piece == piece.index)
    faces = {corner.panels[p].face for p in piece.panels}
    metal = material_of(piece) in BENT_MATERIALS and piece.role in BENT_ROLES
    return new and metal and len(faces) > 1


def _around(
    rows: Sequence[Task], ordered: Ordered, table: CrewHours, lead: LeadPaint
) -> Iterator[Task]:
    """Protection and staging before, filling and painting inside after."""
    yield work_task(
        table, "protection", name="protect", kind=Kind.PROTECTION,
        text="Lay sheets and boards over what stays: plants, floor, windows",
    )  # fmt: skip
    heights = [height_of(ordered.found, p) for p in ordered.down.off]
    if max(heights, default=0.0) >= FALL_IN:
        yield replace(
            work_task(
                table, "staging", name="staging", kind=Kind.PROTECTION,
                text="Put up a staging with a guardrail",
            ),
            cautions=(LADDERS, FALLS),
            after=(After("protect"),),
        )  # fmt: skip
    if lead.applies:
        yield replace(
            work_task(
                table, "lead-containment", name="lead", kind=Kind.PROTECTION,
                text="Close the work off for lead paint: ground cover 10 ft out, openings shut",
            ),
            skills=("lead-safe",),
            cautions=(LEAD,),
            after=(After("protect"),),
            pieces=lead.pieces,
        )  # fmt: skip
    yield from _inside(rows, table)


def _inside(rows: Sequence[Task], table: CrewHours) -> Iterator[Task]:
    lining = [t for t in rows if t.trade == "lining" and t.kind is Kind.PATCHING]
    area = sum(t.quantity for t in lining)
    if not area:
        return
    fill = work_task(
        table, "drywall", name="fill-inside", kind=Kind.PATCHING, quantity=round(area, 1),
        text="Tape, fill and sand inside; set back nails that have popped",
    )  # fmt: skip
    yield replace(fill, after=tuple(After(t.id) for t in lining))
    paint = work_task(
        table, "paint", name="paint-inside", kind=Kind.PATCHING, quantity=round(area, 1),
        text="Prime and paint inside",
    )  # fmt: skip
    yield replace(paint, after=(After("fill-inside", COMPOUND_DRIES_H, Wait.CURING),))


def _with_end(rows: list[Task], ordered: Ordered, table: CrewHours) -> list[Task]:
    """Protection before what comes off; disposal after it; clean-up after everything."""
    guards = [t.id for t in rows if t.kind is Kind.PROTECTION]
    down = [t.id for t in rows if t.kind is Kind.TAKE_DOWN or t.id in ("hold-up",)]
    outs = [t.id for t in rows if t.kind is Kind.STRUCTURE and t.id.startswith("out-")]
    rows = waiting(rows, [*down, *outs], [After(name) for name in guards])
    scrapped = [r for r in ordered.down.removals if r.fate.value == "scrapped"]
    if scrapped:
        task = work_task(
            table, "disposal", name="dispose", kind=Kind.DISPOSAL,
            text="Take what was scrapped to the tip",
        )  # fmt: skip
        names = tuple(ordered.found.pieces[r.piece].id for r in scrapped)
        waits = tuple(After(name) for name in (*down, *outs) if name != "hold-up")
        rows.append(replace(task, after=waits, pieces=names))
    end = work_task(
        table, "clean-up", name="clean-up", kind=Kind.CLEAN_UP,
        text="Clear the site, sweep for nails with a magnet, walk round with the client",
    )  # fmt: skip
    waited = {a.task for t in rows for a in t.after}
    last = tuple(After(t.id) for t in rows if t.id not in waited)
    return [*rows, replace(end, after=last)]
