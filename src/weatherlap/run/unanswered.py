"""What was seen, read or worked out at a job and no line of its scope answers."""

from __future__ import annotations

from collections.abc import Iterator

from weatherlap.job.model import Job
from weatherlap.run.framingorder import members_left_in
from weatherlap.run.tasks import TaskList
from weatherlap.run.wetwood import wet_and_stays

ENGINEER = "engineer"


def unanswered(tasks: TaskList) -> Iterator[str]:
    """Soft members, damage, the awl, wet wood that stays, holding up and the engineer."""
    job, found = tasks.job, tasks.ordered.found
    yield from members_left_in(job, found)
    touched = _touched(tasks)
    for number, damage in enumerate(job.damage, start=1):
        name = damage.piece
        if name is not None and name in found.piece_named and name not in touched:
            title = found.piece_named[name].title
            yield f"Damage {number} is seen at the {title} ({damage.text}): no step touches it."
    held = {a.piece for a in job.allowance}
    for pick in job.pick:
        sound = pick.says == "firm" or pick.piece in _replaced(job) or pick.piece in held
        if not sound and pick.piece in found.piece_named:
            yield (
                f"The awl says {pick.says} at the {found.piece_named[pick.piece].title}: no change "
                "replaces it and no [[allowance]] holds it."
            )
    told = {t.id for t in tasks.tasks}
    days = job.work.drying_days if job.work is not None else None
    for name, percent in wet_and_stays(tasks.ordered).items():
        if f"dry-{name}" not in told and name in found.piece_named and days != 0:
            title = found.piece_named[name].title
            yield f"The {title} reads {percent:g} % and stays: no step lets it dry and meters it."
    if tasks.holding_note:
        yield tasks.holding_note
    if tasks.engineer and not _names_engineer(job):
        yield (
            f"An engineer is asked for ({tasks.engineer[0].rstrip('.')}): no permit, inspection, "
            "task or line of the terms names one."
        )


def _touched(tasks: TaskList) -> set[str]:
    """Pieces that a change or a task is about, and wood that is metered."""
    names = {n for t in tasks.tasks for n in (*t.pieces, *t.members)}
    return names | {c.subject for c in tasks.job.change} | {c.over or "" for c in tasks.job.change}


def _replaced(job: Job) -> set[str]:
    return {c.piece for c in job.change if c.piece and c.do.value in ("replace", "take-away")}


def _names_engineer(job: Job) -> bool:
    terms = job.terms
    said = [r.text for r in job.permit]
    said += [r.text for r in job.inspection]
    said += [r.text for r in job.task]
    if terms is not None:
        said += [*terms.assumes, *terms.included, *terms.not_included]
    return any(ENGINEER in text.lower() for text in said)
