"""Close-out: what was found and done, what to look at, and until when it is warranted."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass

from weatherlap.errors import InputError
from weatherlap.job.model import Job
from weatherlap.job.moneyrecords import PhotoRecord, Said, Warranty
from weatherlap.money.promises import years_on
from weatherlap.run.scope import Scope
from weatherlap.run.told import Told, tell
from weatherlap.run.worked import Worked

Date = datetime.date
MONTHS = 12


@dataclass(frozen=True, slots=True)
class Reminder:
    """A day to remember: what to do, and why."""

    day: Date
    title: str
    text: str


@dataclass(frozen=True)
class CloseOut:
    """The record that closes a job. ``ended`` is the day the warranty begins."""

    scope: Scope
    repaired: Worked
    told: tuple[Told, ...]
    photos: tuple[tuple[str, tuple[PhotoRecord, ...]], ...]
    look_at: tuple[str, ...]
    ended: Date
    warranty_until: Date
    reminders: tuple[Reminder, ...]
    undone: tuple[str, ...]

    @property
    def job(self) -> Job:
        """The job."""
        return self.scope.job


def close_out(scope: Scope) -> CloseOut:
    """Put together the record that closes a job.

    Raises
    ------
    InputError
        If the day on which the work ended is not known: the warranty counts from it.
    """
    job = scope.job
    warranty = job.warranty or Warranty()
    ended = _ended(job, warranty)
    until = years_on(ended, warranty.years)
    found = scope.pricing.found
    look = tuple(_look_at(scope))
    return CloseOut(
        scope=scope,
        repaired=scope.repaired,
        told=tuple(tell(found, f) for f in found.trace.findings),
        photos=tuple(_photos(job)),
        look_at=look,
        ended=ended,
        warranty_until=until,
        reminders=tuple(_reminders(warranty, ended, until, look)),
        undone=tuple(_undone(scope)),
    )


def _ended(job: Job, warranty: Warranty) -> Date:
    text = warranty.begins or max((d.day for d in job.done), default="")
    text = text or (job.terms.finish if job.terms is not None else "")
    if not text:
        raise InputError(
            "warranty",
            "the day on which the work ended is not given",
            "`begins` under [warranty], or `finish` under [terms]",
        )
    return Date.fromisoformat(text)


def _photos(job: Job) -> Iterator[tuple[str, tuple[PhotoRecord, ...]]]:
    """Photos by the step that they show, those of no step last, in the order they were taken."""
    steps = sorted({p.step for p in job.photo}, key=lambda s: (not s, s))
    for step in steps:
        rows = [p for p in job.photo if p.step == step]
        yield step, tuple(sorted(rows, key=lambda p: (p.taken, p.file)))


def _look_at(scope: Scope) -> Iterator[str]:
    """What to look at after a storm, from what this corner is made of."""
    corner = scope.pricing.found.corner
    job = scope.job
    if any("post" in p.title.lower() and p.role == "frame" for p in corner.pieces):
        yield "Posts stand plumb on their bases: lay a level on two sides; no gap under the foot."
    if any(p.gutter is not None for p in corner.pieces):
        yield "The gutter runs off: no water standing in it, nothing over its lip."
    if any(c.do.value == "unseal" for c in job.change):
        yield "Lower edges that were cut open drain and stay open: no caulk in them again."
    if any(p.drip for p in corner.pieces):
        yield "Drip edges shed: drops fall free and do not run back under."
    if any(f.looks_down for f in corner.faces):
        yield "No new stain on any underside; press painted wood with a thumb."
    yield "Laps lie as they were laid: nothing lifted by wind, no metal crinkled."
    yield "Whatever is wet or stained: photograph it with something for scale, and call."


def _reminders(
    warranty: Warranty, ended: Date, until: Date, look: tuple[str, ...]
) -> Iterator[Reminder]:
    text = " ".join(look)
    for months in sorted(set(warranty.look_months)):
        if months < 1:
            raise InputError("warranty: look_months", f"found {months}", "months of 1 or more")
        yield Reminder(years_on(ended, months / MONTHS), "Look at the repaired corner", text)
    before = until - datetime.timedelta(days=30)
    yield Reminder(before, "Warranty ends in 30 days", f"It runs until {until.isoformat()}. {text}")


def _undone(scope: Scope) -> Iterator[str]:
    """Changes that were declined and stand in the job; steps without a tick, if any has one."""
    last = scope.job.state[-1] if scope.job.state else None
    held = {line.key for line in scope.lines}
    if last and last.answer is not Said.SIGNED and {x.key for x in last.scope} == held:
        yield (
            f"The job still holds what change order {last.number} asks for, which is "
            f"{last.answer.value}: take it out of the job, or have it signed."
        )
    done = {d.task for d in scope.job.done if d.finished}
    if not scope.job.done:
        return
    for step in scope.steps:
        if step.task not in done:
            yield f"Step {step.number} is not ticked: {step.text}"
