"""The scope of work: every step in order, what is agreed besides, and what has no line yet."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from weatherlap.building.corner import Corner
from weatherlap.job.model import Do, Job
from weatherlap.job.moneyrecords import Terms
from weatherlap.money.amounts import usd_text
from weatherlap.money.changeorders import ScopeLine
from weatherlap.money.holidays import last_day_to_cancel
from weatherlap.money.promises import (
    Certificate,
    DepositLimit,
    Due,
    Payment,
    certificate_warnings,
    payments_due,
)
from weatherlap.money.words import FirmWords, invented_words, read_words
from weatherlap.order.tasks import Kind
from weatherlap.run.changewords import change_words
from weatherlap.run.comparing import name_of
from weatherlap.run.places import capital
from weatherlap.run.pricing import Pricing
from weatherlap.run.states import State
from weatherlap.run.told import short_title
from weatherlap.run.unanswered import unanswered
from weatherlap.run.worked import Worked, in_state, work_out

Date = datetime.date
ON_THE_WAY_BACK = (Do.TURN, Do.EXTEND, Do.UNSEAL, Do.SEAL, Do.DRIP, Do.OPEN_END)
"""Changes that are made while a piece goes back."""


@dataclass(frozen=True, slots=True)
class Step:
    """A step of the scope in plain words; ``changes`` are numbers of the job's changes."""

    number: int
    text: str
    task: str
    changes: tuple[int, ...]
    note: str = ""


@dataclass(frozen=True, slots=True)
class FindingLine:
    """A finding with what is done about it; nothing where no line answers it."""

    letter: str
    text: str
    answer: str
    is_cured: bool


@dataclass(frozen=True)
class Scope:
    """The scope of a job, priced. ``missing`` is what has no line; it is said before printing.

    ``cancel_by`` is the last day to cancel, where the contract is signed.
    """

    pricing: Pricing
    repaired: Worked
    terms: Terms
    steps: tuple[Step, ...]
    findings: tuple[FindingLine, ...]
    lines: tuple[ScopeLine, ...]
    dues: tuple[Due, ...]
    signed: Date | None
    cancel_by: Date | None
    missing: tuple[str, ...]
    words: FirmWords

    @property
    def job(self) -> Job:
        """The job."""
        return self.pricing.job


def scope_of(
    pricing: Pricing, *, own: Mapping[str, str] | None = None, today: Date | None = None
) -> Scope:
    """The scope of a priced job.

    Parameters
    ----------
    today : date or None
        For certificates and days that are past; None takes the day of the offer, or of the job.

    Raises
    ------
    InputError
        If the payments do not fit the price or the limits of the terms.
    """
    job, own = pricing.job, own or {}
    terms = job.terms or Terms()
    repaired = work_out(in_state(job, State.REPAIRED))
    steps = tuple(_steps(pricing, repaired.corner))
    findings = tuple(_findings(pricing.found, repaired, steps, job))
    payments = [Payment(p.event, p.percent / 100.0, p.deposit) for p in job.payment]
    limit = terms.deposit_limit_percent
    share = None if limit is None else limit / 100.0
    dues = payments_due(
        payments, pricing.built.price_cents, limit=DepositLimit(share, terms.deposit_limit)
    )
    signed = next((Date.fromisoformat(s.day) for s in job.state[:1]), None)
    words = read_words(own["words"]) if "words" in own else invented_words()
    missing = (
        *_without_line(pricing, steps, findings),
        *unanswered(pricing.tasks),
        *_terms_missing(job, terms),
        *_papers_missing(job, terms, today),
        *_days_missing(pricing, terms),
    )
    return Scope(
        pricing=pricing,
        repaired=repaired,
        terms=terms,
        steps=steps,
        findings=findings,
        lines=tuple(scope_lines(pricing, repaired.corner)),
        dues=dues,
        signed=signed,
        cancel_by=last_day_to_cancel(signed, days=terms.cancel_days) if signed else None,
        missing=missing,
        words=words,
    )


def _steps(pricing: Pricing, after: Corner) -> Iterator[Step]:
    """The tasks in words, as they are planned; what is changed on the way back is said with it."""
    job, before = pricing.job, pricing.found.corner
    planned = pricing.planned
    tasks = pricing.tasks.tasks if planned is None else [r.task for r in planned.plan.rows]
    for number, task in enumerate(tasks, start=1):
        notes = ["only in dry weather"] if task.needs_dry else []
        if task.kind is Kind.PUT_BACK and not task.id.startswith("change-"):
            own = [job.change[n - 1] for n in task.changes if n <= len(job.change)]
            notes += [change_words(before, after, c) for c in own if c.do in ON_THE_WAY_BACK]
        text = "; ".join(dict.fromkeys(notes))
        yield Step(number, f"{capital(task.text)}.", task.id, task.changes, text)


def _findings(
    found: Worked, repaired: Worked, steps: Sequence[Step], job: Job
) -> Iterator[FindingLine]:
    """Each finding, whether the work cures it, and the steps that touch what it is about."""
    still = {name_of(repaired.corner, f) for f in repaired.trace.findings}
    for finding in found.trace.findings:
        cured = name_of(found.corner, finding) not in still
        ids = {found.corner.pieces[p].id for p in (finding.upper, finding.lower) if p is not None}
        numbers = {n for n, c in enumerate(job.change, 1) if {c.subject, c.over} & ids}
        by = [s.number for s in steps if numbers & set(s.changes)]
        if cured:
            steps_words = "step" if len(by) == 1 else "steps"
            at = f"by {steps_words} {_numbers(by)}" if by else "by the work as a whole"
            answer = f"Cured {at}."
        else:
            answer = ""
        title = short_title(found.corner, finding)
        yield FindingLine(finding.letter, f"{title}.", answer, cured)


def _numbers(rows: Sequence[int]) -> str:
    return ", ".join(str(n) for n in rows)


def scope_lines(pricing: Pricing, after: Corner) -> Iterator[ScopeLine]:
    """What is promised, line by line, by names that stay the same in every state."""
    job = pricing.job
    found = pricing.found.corner
    seen: dict[str, int] = {}
    for change in job.change:
        parts = (change.do.value, change.subject, change.over, change.face, change.side)
        key = ":".join(str(getattr(p, "value", p)) for p in parts if p)
        seen[key] = seen.get(key, 0) + 1
        key = f"{key}:{seen[key]}" if seen[key] > 1 else key
        why = f" ({change.why})" if change.why else ""
        yield ScopeLine(key, f"{capital(change_words(found, after, change))}{why}.")
    for task in job.task:
        yield ScopeLine(f"task:{task.id}", f"{capital(task.text.rstrip('.'))}.")
    for permit in job.permit:
        yield ScopeLine(f"permit:{permit.id}", f"Permit: {permit.text}")
    for visit in job.inspection:
        yield ScopeLine(f"inspection:{visit.id}", f"Inspection: {visit.text}")
    for row in pricing.allowances:
        usd = usd_text(round(row.unit_price_usd * 100))
        text = f"Allowance: {row.text}, {row.included:g} {row.unit} in the price, {usd} each."
        yield ScopeLine(f"allowance:{row.id}", text)


def _without_line(
    pricing: Pricing, steps: Sequence[Step], findings: Sequence[FindingLine]
) -> Iterator[str]:
    """Changes, findings, members, cautions and inspections that no line answers."""
    job, tasks = pricing.job, pricing.tasks
    covered = {n for s in steps for n in s.changes}
    about = {name for t in tasks.tasks for name in t.pieces}
    for number, change in enumerate(job.change, start=1):
        if number not in covered and change.subject not in about:
            yield f"Change {number} ({change.do.value} {change.subject}) has no step."
    for row in findings:
        if not row.is_cured:
            yield f"Finding {row.letter} stays open: {row.text} Say so to the client, or mend it."
    members = {m for t in tasks.tasks for m in t.members}
    framed = [p for p in pricing.found.corner.pieces if p.role == "frame"]
    changed = {c.piece for c in job.change}
    for piece in framed:
        if piece.id in changed and piece.id not in members:
            yield f"The {piece.title} carries load and no step says how it is held up."
    told = {t.id for t in tasks.tasks}
    for kind, rows in (("inspection", job.inspection), ("permit", job.permit)):
        for record in rows:
            granted = getattr(record, "granted", "")
            if record.id not in told and not granted:
                yield f"The {kind} {record.id!r} has no step."
    if tasks.lead.unknown:
        yield "The year the house was built is not given ([work] built): old paint may hold lead."
    yield from _no_allowance(pricing)


def _no_allowance(pricing: Pricing) -> Iterator[str]:
    has = {row.piece for row in pricing.job.allowance}
    for hidden in pricing.hidden.rows:
        if hidden.covered.piece not in has and hidden.chance >= 0.1:
            yield (
                f"The {hidden.covered.title} may be rotten out of sight (chance "
                f"{100 * hidden.chance:.0f} %) and has no [[allowance]]."
            )


def _terms_missing(job: Job, terms: Terms) -> Iterator[str]:
    if not job.payment:
        yield "No [[payment]]: when does the price fall due?"
    if not terms.permits_by:
        yield "Who pulls the permits is not said ([terms] permits_by)."
    if job.warranty is None:
        yield "No [warranty]: what do you stand for, and how long?"
    if not terms.start or not terms.finish:
        yield "About when the work begins and ends is not said ([terms] start, finish)."
    if not terms.not_included:
        yield "Nothing is said of what is not included ([terms] not_included)."
    if not job.job.client or not job.job.place:
        yield "The client or the place is not named ([job] client, place)."


def _papers_missing(job: Job, terms: Terms, today: Date | None) -> Iterator[str]:
    if not job.certificate:
        yield "No [[certificate]] of insurance."
    day = today or _day(terms.offered) or _day(job.job.date)
    if day is None:
        return
    rows = certificates(job)
    yield from certificate_warnings(
        rows, start=_day(terms.start), finish=_day(terms.finish), today=day
    )
    start = _day(terms.start)
    if start is not None and start < day:
        yield f"The work was to begin on {terms.start}, which is past."


def _days_missing(pricing: Pricing, terms: Terms) -> Iterator[str]:
    """Days that the terms promise and the plan does not keep."""
    if pricing.planned is None:
        return
    plan, finish = pricing.planned.plan, pricing.planned.finish
    start, end = _day(terms.start), _day(terms.finish)
    if start is not None and start != plan.first_day:
        yield f"The terms say that the work begins on {start}, the plan on {plan.first_day}."
    if end is not None and end < finish.p80:
        yield (
            f"The terms say that the work ends about {end}; with rain and slow hours four plans "
            f"in five end by {finish.p80}."
        )


def certificates(job: Job) -> tuple[Certificate, ...]:
    """The certificates of a job."""
    return tuple(
        Certificate(
            c.kind, c.insurer, c.number, c.limit, _day(c.begins), Date.fromisoformat(c.expires)
        )
        for c in job.certificate
    )


def _day(text: str) -> Date | None:
    return Date.fromisoformat(text) if text else None
