"""Acts: what a thumb does to a job, written into the job file's text.

As found, an act mends the record of what was found. As repaired, it adds a change, or takes back
the change that it undoes.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from enum import StrEnum
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from weatherlap.building.changes import changed
from weatherlap.building.corner import Corner
from weatherlap.errors import InputError
from weatherlap.job.editing import AddItem, Change, Remove, SetValue, edit
from weatherlap.job.model import Change as JobChange
from weatherlap.job.model import Do, Edge, Job, PieceRecord, Sheet, Side
from weatherlap.job.writing import place_value, plain_row
from weatherlap.run.places import capital
from weatherlap.run.states import State
from weatherlap.units import tape
from weatherlap.web.turning import turned_with

GRAIN = 16
"""Sixteenths: places that are drawn with a thumb are kept to 1/16. [1/in]"""
Name = Annotated[str, Field(min_length=1, max_length=100)]
Inch = Annotated[float, Field(ge=-12000, le=12000, allow_inf_nan=False)]


class _Act(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Turn(_Act):
    """Turn a lap round: the piece comes to lie over the other one."""

    do: Literal["turn"]
    piece: Name
    over: Name


class SetEdge(_Act):
    """Seal or unseal an edge of a piece."""

    do: Literal["seal", "unseal"]
    piece: Name
    edge: Edge


class OnPiece(_Act):
    """Take a piece away, or bend a drip edge on it."""

    do: Literal["take-away", "drip"]
    piece: Name


class Extend(_Act):
    """Move a side of a piece's panel on a face; under 0 trims it. [in]"""

    do: Literal["extend"]
    piece: Name
    face: Name
    side: Side
    by: Inch


class Lay(_Act):
    """Lay a new piece on a face, as [left, bottom, right, top]. [in]"""

    do: Literal["lay"]
    face: Name
    rect: tuple[Inch, Inch, Inch, Inch]
    title: str = Field(default="", max_length=200)
    sheet: Sheet = Sheet.SHEDS
    after: Name | None = None


class Meter(_Act):
    """Write a moisture reading down. [in, percent]"""

    do: Literal["reading"]
    face: Name
    at: tuple[Inch, Inch]
    percent: float = Field(ge=0, le=100, allow_inf_nan=False)
    piece: Name | None = None
    date: str = Field(default="", pattern=r"^(\d{4}-\d{2}-\d{2})?$")
    note: str = Field(default="", max_length=2000)


class SawDamage(_Act):
    """Write down damage that was seen. [in]"""

    do: Literal["damage"]
    face: Name
    at: tuple[Inch, Inch]
    text: str = Field(min_length=1, max_length=2000)
    piece: Name | None = None


class StrikeOut(_Act):
    """Take a reading, a damage or a change out again, by its place in the list from 0."""

    do: Literal["strike"]
    kind: Literal["reading", "damage", "change"]
    number: int = Field(ge=0, le=100000)


class SayAbout(_Act):
    """Write what the job is about."""

    do: Literal["about"]
    key: Literal["title", "client", "place", "symptom", "date", "by", "notes"]
    text: str = Field(max_length=10000)


Act = Annotated[
    Turn | SetEdge | OnPiece | Extend | Lay | Meter | SawDamage | StrikeOut | SayAbout,
    Field(discriminator="do"),
]
_OnPieces = Turn | SetEdge | OnPiece | Extend | Lay
Acted = tuple[list[Change], str]


class Kept(StrEnum):
    """Keys of a piece that acts can change."""

    BEHIND = "behind"
    SEALED = "sealed"
    DRIP = "drip"
    ON = "on"


def acted(
    job: Job, text: str, act: Act, state: State, *, corner: Corner | None = None
) -> tuple[str, str]:
    """The text of a job file after an act, and what was done in a few words.

    ``corner`` is the state that is shown; with it a lap is turned together with what lies over it.

    Raises
    ------
    InputError
        If the act cannot be done to this job.
    """
    if isinstance(act, Meter | SawDamage | StrikeOut | SayAbout):
        changes, words = _written(job, act)
    else:
        made = _as_changes(job, act, corner)
        words = capital(_words(job, made[0]))
        words += f", and {len(made) - 1} more that lie over it" if len(made) > 1 else ""
        if state is State.REPAIRED:
            changed(job, (*job.change, *made))
            changes = [AddItem("change", plain_row(change)) for change in made]
        else:
            changes = _mended(job, made)
    return edit(text, changes), words


def _written(job: Job, act: Meter | SawDamage | StrikeOut | SayAbout) -> Acted:
    """Readings, damage and what the job is about."""
    if isinstance(act, SayAbout):
        return [SetValue(("job", act.key), act.text)], f"The job's {act.key} written"
    if isinstance(act, StrikeOut):
        if act.number >= len(getattr(job, act.kind)):
            raise InputError(act.kind, f"there is no number {act.number}", "one of the list")
        return [Remove((act.kind, act.number))], f"{capital(act.kind)} struck out"
    row: dict[str, Any] = {"face": act.face, "at": [place_value(grained(x)) for x in act.at]}
    if isinstance(act, Meter):
        row["percent"] = int(act.percent) if act.percent.is_integer() else act.percent
        row |= {k: v for k in ("piece", "date", "note") if (v := getattr(act, k))}
        return [AddItem("reading", row)], f"Read {act.percent:g} % on the {act.face}"
    row["text"] = act.text
    row |= {"piece": act.piece} if act.piece else {}
    return [AddItem("damage", row)], f"Damage written on the {act.face}"


def grained(inches: float) -> float:
    """A place to the nearest sixteenth. [in]"""
    return round(inches * GRAIN) / GRAIN


def _as_changes(job: Job, act: _OnPieces, corner: Corner | None) -> tuple[JobChange, ...]:
    """The act as changes; a lap is turned with all that would close a circle."""
    if isinstance(act, Turn) and corner is not None:
        names = turned_with(corner, piece=act.piece, over=act.over)
        return tuple(JobChange(do=Do.TURN, piece=name, over=act.over) for name in names)
    return (_as_change(job, act),)


def _as_change(job: Job, act: _OnPieces) -> JobChange:
    """The act as the change that it stands for."""
    if isinstance(act, Turn):
        return JobChange(do=Do.TURN, piece=act.piece, over=act.over)
    if isinstance(act, SetEdge):
        return JobChange(do=Do(act.do), piece=act.piece, edge=act.edge)
    if isinstance(act, OnPiece):
        return JobChange(do=Do(act.do), piece=act.piece)
    if isinstance(act, Extend):
        by = grained(act.by)
        return JobChange(do=Do.EXTEND, piece=act.piece, face=act.face, side=act.side, by=by)
    left, bottom, right, top = (grained(x) for x in act.rect)
    title = act.title.strip() or "new piece"
    record = PieceRecord.model_validate(
        {
            "id": _own_id(job, title),
            "title": title,
            "sheet": act.sheet.value,
            "on": [{"face": act.face, "rect": [left, bottom, right, top]}],
        }
    )
    return JobChange(do=Do.ADD, new=record, after=act.after)


def _own_id(job: Job, title: str) -> str:
    """An id after a title that no piece has, found or new."""
    stem = re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:40] or "piece"
    taken = {p.id for p in job.piece} | {c.new.id for c in job.change if c.new is not None}
    own, number = stem, 1
    while own in taken:
        number += 1
        own = f"{stem}-{number}"
    return own


def _words(job: Job, change: JobChange) -> str:
    """What a change does, in a few words."""
    titles = {p.id: p.title or p.id for p in job.piece}
    titles |= {c.new.id: c.new.title or c.new.id for c in job.change if c.new is not None}
    name = titles.get(change.subject, change.subject)
    edge = change.edge.value if change.edge is not None else ""
    by = 0.0 if change.by is None else change.by
    side = "" if change.side is None else change.side.value
    new = "" if change.new is None else change.new.title
    said: dict[Do, Callable[[], str]] = {
        Do.TURN: lambda: f"{name} laid over {titles.get(change.over or '', change.over)}",
        Do.SEAL: lambda: f"{edge} of {name} sealed",
        Do.UNSEAL: lambda: f"{edge} of {name} unsealed",
        Do.TAKE_AWAY: lambda: f"{name} taken away",
        Do.DRIP: lambda: f"drip edge bent on {name}",
        Do.EXTEND: lambda: (
            f"{side} of {name} {'let out' if by > 0 else 'trimmed'} by {tape(abs(by))}"
        ),
        Do.ADD: lambda: f"{new} laid",
    }
    return said[change.do]()


def _mended(job: Job, made: tuple[JobChange, ...]) -> list[Change]:
    """The record of what was found, mended as the changes say."""
    change = made[0]
    if change.do is Do.TAKE_AWAY:
        return _taken_out(job, change.subject)
    if change.do is Do.DRIP and any(p.id == change.piece and p.drip for p in job.piece):
        return [Remove(("piece", change.subject, "drip"))]
    after = changed(job, made)
    if change.do is Do.ADD:
        assert change.new is not None
        ids = [p.id for p in after.piece]
        at = ids.index(change.new.id) + 1
        before = ids[at] if at < len(ids) else None
        return [AddItem("piece", plain_row(change.new), before)]
    old = {p.id: p for p in job.piece}
    return [step for new in after.piece for step in _record_steps(old[new.id], new)]


def _record_steps(old: PieceRecord, new: PieceRecord) -> list[Change]:
    steps: list[Change] = []
    for key in Kept:
        was, now = getattr(old, key), getattr(new, key)
        if was == now:
            continue
        if key is Kept.ON:
            steps += _panel_steps(old, new)
        elif not now:
            steps.append(Remove(("piece", new.id, key.value)))
        else:
            steps.append(SetValue(("piece", new.id, key.value), plain_row(new)[key.value]))
    return steps


def _panel_steps(old: PieceRecord, new: PieceRecord) -> list[Change]:
    """Only the shapes that moved, so that all else about the panels stays as it is written."""
    steps: list[Change] = []
    for number, (was, now) in enumerate(zip(old.on, new.on, strict=True)):
        for key in ("rect", "outline"):
            if getattr(was, key) != getattr(now, key):
                at = ("piece", new.id, "on", number, key)
                steps.append(SetValue(at, plain_row(now)[key]))
    return steps


def _taken_out(job: Job, piece: str) -> list[Change]:
    """A piece was never there: its record goes, and its name wherever it stands."""
    if all(p.id != piece for p in job.piece):
        raise InputError("piece", f"there is no {piece!r}", "the id of a piece")
    if any(piece in (c.piece, c.over, c.after) for c in job.change):
        raise InputError(
            f"piece {piece!r}",
            "a change speaks of it",
            "a piece that no change speaks of",
            "Strike that change out first, or take the piece away as repaired.",
        )
    steps: list[Change] = []
    for other in job.piece:
        if piece in other.behind:
            rest = [b for b in other.behind if b != piece]
            at = ("piece", other.id, "behind")
            steps.append(SetValue(at, rest) if rest else Remove(at))
    for kind in ("reading", "damage"):
        rows = enumerate(getattr(job, kind))
        steps += [Remove((kind, n, "piece")) for n, row in rows if row.piece == piece]
    return [*steps, Remove(("piece", piece))]
