"""Tasks of holding up: the stages that were worked out for the shore, or what is usual."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from weatherlap.errors import InputError, NoSolution
from weatherlap.job.framingrecords import MemberRecord
from weatherlap.job.model import Do, Job
from weatherlap.order.hours import CrewHours
from weatherlap.order.tasks import After, Kind, Task, circle_in
from weatherlap.run.cornertasks import LOAD
from weatherlap.run.holdingup import hold_job
from weatherlap.run.worktasks import waiting, work_task
from weatherlap.structure.model import Stage, StageKind
from weatherlap.structure.shore_model import ShorePlan
from weatherlap.structure.shore_words import lift_rounds
from weatherlap.units import tape

USUAL_POSTS = 2
"""Temporary posts where the framing was surveyed and none are given. Own choice."""
FRAMING = "framing"


@dataclass(frozen=True)
class HeldUp:
    """The temporary support that was worked out, or why there is none; when an engineer looks."""

    plan: ShorePlan | None = None
    why_not: str = ""
    engineer: tuple[str, ...] = ()


def shore_of(job: Job) -> HeldUp:
    """How the corner of a job is held up, where its framing was surveyed."""
    if not job.member:
        return HeldUp()
    try:
        held = hold_job(job, on_the_way=lambda _: None)
    except (InputError, NoSolution) as error:
        said = str(error).splitlines()[0]
        return HeldUp(
            why_not=f"Holding up is not worked out ({said}): its stages and hours are assumed."
        )
    asked = (*held.holding.engineer, *(held.plan.engineer if held.plan is not None else ()))
    engineer = tuple(e.why for e in asked)
    if held.plan is not None or not held.surveyed.replaces:
        return HeldUp(held.plan, "", engineer)
    why_not = (
        "Nobody said where temporary posts may stand ([[shore.line]]): the stages and hours of "
        "holding up are assumed."
    )
    return HeldUp(None, why_not, engineer)


def with_holding(
    rows: Sequence[Task], job: Job, table: CrewHours, *, plan: ShorePlan | None
) -> list[Task]:
    """The tasks with those of holding up around the members that come out and go in.

    Parameters
    ----------
    plan : ShorePlan or None
        The temporary support with its stages; None takes what is usual.
    """
    rows = [*rows, *_undrawn(job, table)]
    frame = _Frame.of(rows)
    if plan is not None:
        rows = _by_stages(rows, frame, job, table, plan)
    elif frame.out:
        rows = _as_usual(rows, frame, job, table)
    return _covered_under_load(rows, frame)


def _covered_under_load(rows: list[Task], frame: _Frame) -> list[Task]:
    """What is laid over new members waits until they carry, but for what they stand on."""
    into = {t.id for t in frame.into}
    under = {a.task for t in rows if t.id == "let-down" for a in t.after}
    over = [
        t.id
        for t in rows
        if t.kind is Kind.PUT_BACK and t.id not in under and into & {a.task for a in t.after}
    ]
    return waiting(rows, over, [After("let-down")])


@dataclass(frozen=True)
class _Frame:
    """The tasks at the members themselves: out, and in."""

    out: tuple[Task, ...]
    into: tuple[Task, ...]

    @classmethod
    def of(cls, rows: Iterable[Task]) -> _Frame:
        framing = [t for t in rows if t.kind is Kind.STRUCTURE]
        return cls(
            tuple(t for t in framing if t.id.startswith("out-")),
            tuple(t for t in framing if t.id.startswith("in-")),
        )

    @property
    def members(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(m for t in self.out for m in t.members))

    @property
    def covers(self) -> tuple[str, ...]:
        """What must be off before a member comes out, by the ids of the tasks."""
        own = {t.id for t in self.out}
        return tuple(dict.fromkeys(a.task for t in self.out for a in t.after if a.task not in own))


def _undrawn(job: Job, table: CrewHours) -> Iterator[Task]:
    """Members that the survey has replaced and no piece of the corner shows."""
    hours = table.of[FRAMING]
    for record in job.member:
        if not record.replaced or record.piece is not None:
            continue
        name = f"{record.use} {record.id}"
        what = f"the {name}" if record.count == 1 else f"{record.count} of the {name}"
        for word, verb, each in (("out", "Take out", hours.off), ("in", "Put in new", hours.on)):
            yield Task(
                id=f"{word}-member-{record.id}",
                text=f"{verb} {what}",
                kind=Kind.STRUCTURE,
                trade=FRAMING,
                hours=table.spread.around(each * record.count),
                skills=(FRAMING,),
                crew=2,
                quantity=float(record.count),
                rate=f"{FRAMING}.{'off' if word == 'out' else 'on'}",
                members=(record.id,),
                cautions=(LOAD,),
                after=(After(f"out-member-{record.id}"),) if word == "in" else (),
            )


def _task(table: CrewHours, row: str, name: str, text: str, count: float) -> Task:
    return replace(
        work_task(table, row, name=name, text=text, kind=Kind.SHORING, quantity=count),
        cautions=(LOAD,),
    )


def _as_usual(rows: Sequence[Task], frame: _Frame, job: Job, table: CrewHours) -> list[Task]:
    """Posts, jacks, then the load let down, where no stages were worked out."""
    posts = float(len(job.temporary) or (USUAL_POSTS if job.member else len(frame.members)))
    held = (
        _task(table, "shoring", "hold-up",
              "Set temporary posts under what rests on what comes out", posts),
        _task(table, "jacking", "jack-up",
              "Raise the jacks until the load is off the old members, and lock them", posts),
        _task(table, "unshoring", "let-down",
              "Shim, let the load down onto the new members, take the posts away", posts),
    )  # fmt: skip
    waits = ((), ("hold-up", *frame.covers), [t.id for t in frame.into or frame.out])
    made = [_held(t, frame, w) for t, w in zip(held, waits, strict=True)]
    return [*_after(rows, frame.out, "jack-up"), *made]


def _held(task: Task, frame: _Frame, names: Iterable[str]) -> Task:
    """A task of holding up that waits for others; the lift is left until it is needed."""
    after = tuple(After(name) for name in names)
    return replace(task, members=frame.members, after=after, late=task.id in ("loosen", "jack-up"))


def _after(rows: Sequence[Task], tasks: Iterable[Task], name: str) -> list[Task]:
    return waiting(rows, [t.id for t in tasks], [After(name)])


def _by_stages(
    rows: list[Task], frame: _Frame, job: Job, table: CrewHours, plan: ShorePlan
) -> list[Task]:
    """A task for each stage of the shore; what the crew does at a member waits for its stage."""
    stages = {s.kind: s for s in plan.stages}
    posts = float(len(plan.posts))
    rows, bases = _on_their_bases(rows, frame, job)
    first = frame.out or tuple(t for t in rows if t.kind is Kind.TAKE_DOWN)
    last = [t.id for t in frame.into] or [t.id for t in rows if t.kind is Kind.PUT_BACK]
    made = [
        _held(_task(table, "shoring", "hold-up", _at(
            "Set sills, header and "
            f"{len(plan.posts)} temporary posts, tight under what they carry",
            stages[StageKind.POSTS_SET]), posts), frame, ()),
    ]  # fmt: skip
    ready = "hold-up"
    braces = sum(b.count for b in plan.braces)
    if braces:
        text = _at(f"Brace the temporary posts both ways, {braces} braces",
                   stages[StageKind.POSTS_SET])  # fmt: skip
        made.append(_held(_task(table, "bracing", "brace", text, braces), frame, [ready]))
        ready = "brace"
    jacked = stages[StageKind.JACKED]
    ties = _ties(plan, jacked)
    if ties:
        text = _at(f"Loosen what ties the old members, {ties} joints, on a calm day", jacked)
        made.append(
            _held(_task(table, "loosening", "loosen", text, ties), frame, [ready, *frame.covers])
        )
        ready = "loosen"
    rounds = lift_rounds(max(x.lift_in for x in jacked.lifts))
    text = _at(f"Raise all jacks in turn by {tape(jacked.lifts[0].lift_in)}, see that the load is "
               "off, lock them", jacked)  # fmt: skip
    lift = _task(table, "jacking", "jack-up", text, posts * rounds)
    made.append(_held(lift, frame, [ready, *frame.covers]))
    if StageKind.SHIMMED in stages:
        shimmed = stages[StageKind.SHIMMED]
        text = _at(f"Set the shims, {_places(len(shimmed.shims))}", shimmed)
        made.append(_held(_task(table, "shimming", "shim", text, len(shimmed.shims)), frame, last))
        last = ["shim"]
    off = stages.get(StageKind.JACKS_OFF)
    text = _at(f"Release the jacks {tape(1 / 8)} a round, take posts, header and braces away", off)
    down = _task(table, "unshoring", "let-down", text, posts)
    made.append(_held(down, frame, [*last, *bases]))
    return [*_after(rows, first, "jack-up"), *made]


def _at(text: str, stage: Stage | None) -> str:
    """What is done, and the stage of the shoring sheet that it is."""
    return text if stage is None else f"{text} (shoring sheet, stage {stage.id})"


def _places(count: int) -> str:
    return "1 place" if count == 1 else f"{count} places"


def _ties(plan: ShorePlan, jacked: Stage) -> int:
    """How many of the joints that are loosened are there before the new members come."""
    new = {name for s in plan.stages if s.kind is StageKind.IN for name in s.puts_in}
    freed = [j for j in plan.framing.joints if j.id in jacked.frees]
    return sum(not {j.upper, j.lower} & new for j in freed)


def _on_their_bases(
    rows: list[Task], frame: _Frame, job: Job
) -> tuple[list[Task], tuple[str, ...]]:
    """New members stand on bases that are set before; all their parts are on before the load.

    Gives the tasks, and the ids of those that lay such parts.
    """
    new = {m.id: m for m in job.member if _is_replaced(m, job)}
    parts = [(s.member, s.new_part or s.part) for s in job.support if s.member in new]
    caps = [j.new_part or j.part for j in job.joint if {j.upper, j.lower} & set(new)]
    bases = {p.piece: member for member, p in parts if p is not None and p.piece is not None}
    named = {*bases, *(p.piece for p in caps if p is not None and p.piece is not None)}
    laid = {n: t.id for t in rows if t.kind is Kind.PUT_BACK for n in t.pieces if n in named}
    for piece, member in bases.items():
        own = {member, new[member].piece}
        stands = [t.id for t in frame.into if own & {*t.members, *t.pieces}]
        if piece in laid:
            before = waiting(rows, stands, [After(laid[piece])])
            if not circle_in({t.id: tuple(a.task for a in t.after) for t in before}):
                rows = before
    return rows, tuple(dict.fromkeys(laid.values()))


def _is_replaced(member: MemberRecord, job: Job) -> bool:
    gone = {c.piece for c in job.change if c.do is Do.REPLACE}
    return member.replaced or (member.piece is not None and member.piece in gone)
