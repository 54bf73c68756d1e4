"""Notes: what a thumb writes into a job's records; each becomes steps in the job file's text."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from weatherlap.building.changes import as_repaired
from weatherlap.errors import InputError
from weatherlap.job.changes import idle_keys, missing_keys
from weatherlap.job.editing import AddItem, Change, Remove, SetValue
from weatherlap.job.model import Change as JobChange
from weatherlap.job.model import Job
from weatherlap.job.moneyrecords import Awl, Pick
from weatherlap.job.workrecords import Done
from weatherlap.job.writing import place_value, plain_row
from weatherlap.run.changewords import change_said
from weatherlap.run.places import capital

GRAIN = 16
"""Sixteenths: places that are drawn with a thumb are kept to 1/16. [1/in]"""
MOST_CHANGES = 500
Name = Annotated[str, Field(min_length=1, max_length=100)]
Inch = Annotated[float, Field(ge=-12000, le=12000, allow_inf_nan=False)]
OneDay = Annotated[str, Field(pattern=r"^\d{4}-\d{2}-\d{2}$")]
Noted = tuple[list[Change], str]


class ActModel(BaseModel):
    """Something that is done to a job; a key that is not known is refused."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Meter(ActModel):
    """Write a moisture reading down. [in, percent]"""

    do: Literal["reading"]
    face: Name
    at: tuple[Inch, Inch]
    percent: float = Field(ge=0, le=100, allow_inf_nan=False)
    piece: Name | None = None
    date: OneDay | Literal[""] = ""
    note: str = Field(default="", max_length=2000)


class PushAwl(ActModel):
    """Write down what an awl said that was pushed into a piece. [in]"""

    do: Literal["pick"]
    face: Name
    at: tuple[Inch, Inch]
    piece: Name
    says: Awl
    date: OneDay | Literal[""] = ""


class SawDamage(ActModel):
    """Write down damage that was seen. [in]"""

    do: Literal["damage"]
    face: Name
    at: tuple[Inch, Inch]
    text: str = Field(min_length=1, max_length=2000)
    piece: Name | None = None


class Tick(ActModel):
    """Write down work that was done at a task of the plan. [h]"""

    do: Literal["tick"]
    task: str = Field(min_length=1, max_length=60)
    day: OneDay
    hours: float = Field(ge=0, le=24, allow_inf_nan=False)
    person: Name | None = None
    finished: bool = True
    note: str = Field(default="", max_length=1000)


class CameTo(ActModel):
    """Write down how many an allowance came to; None while that is not known."""

    do: Literal["came-to"]
    allowance: Name
    actual: float | None = Field(ge=0, le=1e6, allow_inf_nan=False)


class AddChanges(ActModel):
    """Add changes, from as found to as repaired, after those that the job holds."""

    do: Literal["add-changes"]
    changes: tuple[JobChange, ...] = Field(min_length=1, max_length=MOST_CHANGES)


class LayMend(ActModel):
    """Lay the changes of a mend in place of those that the job holds."""

    do: Literal["lay-mend"]
    changes: tuple[JobChange, ...] = Field(min_length=1, max_length=MOST_CHANGES)


class StrikeOut(ActModel):
    """Take a record out again, by its place in its list from 0."""

    do: Literal["strike"]
    kind: Literal["reading", "damage", "change", "pick", "done"]
    number: int = Field(ge=0, le=100000)


class SayAbout(ActModel):
    """Write what the job is about."""

    do: Literal["about"]
    key: Literal["title", "client", "place", "symptom", "date", "by", "notes"]
    text: str = Field(max_length=10000)


Note = Meter | PushAwl | SawDamage | Tick | CameTo | AddChanges | LayMend | StrikeOut | SayAbout


def noted(job: Job, note: Note) -> Noted:
    """The steps that a note takes in the job file, and what was done in a few words.

    Raises
    ------
    InputError, JobError
        If the note does not fit the job.
    """
    written: dict[type[ActModel], Callable[[Job, Any], Noted]] = {
        Meter: _meter,
        PushAwl: _pick,
        SawDamage: _damage,
        Tick: _tick,
        CameTo: _came_to,
        AddChanges: _changes,
        LayMend: _mend,
        StrikeOut: _strike,
        SayAbout: _about,
    }
    return written[type(note)](job, note)


def grained(inches: float) -> float:
    """A place to the nearest sixteenth. [in]"""
    return round(inches * GRAIN) / GRAIN


def _place(at: tuple[float, float]) -> list[float | int | str]:
    return [place_value(grained(x)) for x in at]


def _plain(value: float) -> float | int:
    return int(value) if value.is_integer() else value


def _meter(_job: Job, note: Meter) -> Noted:
    row: dict[str, Any] = {
        "face": note.face,
        "at": _place(note.at),
        "percent": _plain(note.percent),
    }
    row |= {k: v for k in ("piece", "date", "note") if (v := getattr(note, k))}
    return [AddItem("reading", row)], f"Read {note.percent:g} % on the {note.face}"


def _pick(job: Job, note: PushAwl) -> Noted:
    if all(p.id != note.piece for p in job.piece):
        raise InputError("piece", f"there is no {note.piece!r}", "the id of a piece as found")
    row = note.model_dump(mode="json", include=set(Pick.model_fields), exclude_defaults=True)
    row = {"face": note.face, "at": _place(note.at), **{k: row[k] for k in row if k != "at"}}
    return [AddItem("pick", row)], f"Awl: {note.says.value}, on the {note.face}"


def _damage(_job: Job, note: SawDamage) -> Noted:
    row: dict[str, Any] = {"face": note.face, "at": _place(note.at), "text": note.text}
    row |= {"piece": note.piece} if note.piece else {}
    return [AddItem("damage", row)], f"Damage written on the {note.face}"


def _tick(job: Job, note: Tick) -> Noted:
    if note.person is not None and job.person and all(p.id != note.person for p in job.person):
        crew = ", ".join(p.id for p in job.person)
        raise InputError("who", f"there is no {note.person!r} in the crew", f"one of {crew}")
    record = Done(
        task=note.task,
        day=note.day,
        person=note.person if job.person else None,
        hours=note.hours,
        finished=note.finished,
        note=note.note.strip(),
    )
    words = "done" if note.finished else "begun, not done yet"
    return [AddItem("done", plain_row(record))], f"{note.task}: {note.hours:g} h, {words}"


def _came_to(job: Job, note: CameTo) -> Noted:
    found = next((a for a in job.allowance if a.id == note.allowance), None)
    if found is None:
        raise InputError("allowance", f"there is no {note.allowance!r}", "one of the job's")
    at = ("allowance", note.allowance, "actual")
    if note.actual is None:
        steps: list[Change] = [Remove(at)] if found.actual is not None else []
        return steps, f"{capital(found.text)}: not known yet"
    steps = [SetValue(at, _plain(note.actual))]
    return steps, f"{capital(found.text)}: came to {note.actual:g} {found.unit}"


def _changes(job: Job, note: AddChanges) -> Noted:
    for number, change in enumerate(note.changes, start=1):
        _check_keys(number, change)
    new = [c for c in note.changes if c not in job.change]
    if not new:
        raise InputError("changes", "the job holds all of them already", "a new one")
    as_repaired(job, (*job.change, *new))
    words = changes_said(job, new)[0] if len(new) == 1 else f"{len(new)} changes added"
    return [AddItem("change", plain_row(c)) for c in new], words


def _mend(job: Job, note: LayMend) -> Noted:
    for number, change in enumerate(note.changes, start=1):
        _check_keys(number, change)
    as_repaired(job, note.changes)
    gone: list[Change] = [Remove(("change", n)) for n in reversed(range(len(job.change)))]
    new = [AddItem("change", plain_row(c)) for c in note.changes]
    in_place = f" in place of {len(job.change)}" if job.change else ""
    return [*gone, *new], f"Mend laid: {len(new)} changes{in_place}"


def changes_said(job: Job, changes: Sequence[JobChange]) -> list[str]:
    """Changes of a job, each in a few words."""
    names = {p.id: p.title or p.id for p in job.piece}
    for change in (*job.change, *changes):
        if change.new is not None:
            names[change.new.id] = change.new.title or change.new.id
    return [
        capital(change_said(c, lambda piece: f"the {names.get(piece or '', piece)}"))
        for c in changes
    ]


def _check_keys(number: int, change: JobChange) -> None:
    where = f"change {number} ({change.do.value})"
    for key in missing_keys(change):
        raise InputError(where, f"it has no `{key}`", f"`{key}`")
    for key in idle_keys(change):
        raise InputError(where, f"`{key}` means nothing here", f"no `{key}`")


def _strike(job: Job, note: StrikeOut) -> Noted:
    if note.number >= len(getattr(job, note.kind)):
        raise InputError(note.kind, f"there is no number {note.number}", "one of the list")
    return [Remove((note.kind, note.number))], f"{_STRUCK[note.kind]} struck out"


_STRUCK = {
    "reading": "Reading",
    "damage": "Damage",
    "change": "Change",
    "pick": "What the awl said",
    "done": "Tick",
}


def _about(_job: Job, note: SayAbout) -> Noted:
    return [SetValue(("job", note.key), note.text)], f"The job's {note.key} written"
