"""Acts: what a thumb does to a job, written into the job file's text.

As found, an act mends the record of what was found. As repaired, it adds a change, or takes back
the change that it undoes.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from enum import StrEnum
from typing import Annotated, Any, Literal, Self

from pydantic import Field, model_validator

from weatherlap.building.changes import changed
from weatherlap.building.corner import Corner
from weatherlap.errors import InputError
from weatherlap.job.editing import AddItem, Change, Remove, SetValue, edit
from weatherlap.job.model import Change as JobChange
from weatherlap.job.model import Do, Edge, Job, PieceRecord, Sheet, Side
from weatherlap.job.writing import plain_row
from weatherlap.run.places import capital
from weatherlap.run.states import State
from weatherlap.sources.catalogue import entry
from weatherlap.units import tape
from weatherlap.web.noting import ActModel, Inch, Name, Note, grained, noted
from weatherlap.web.turning import turned_with

MOST_CORNERS = 60


class Turn(ActModel):
    """Turn a lap round: the piece comes to lie over the other one."""

    do: Literal["turn"]
    piece: Name
    over: Name


class SetEdge(ActModel):
    """Seal or unseal an edge of a piece."""

    do: Literal["seal", "unseal"]
    piece: Name
    edge: Edge


class OnPiece(ActModel):
    """Take a piece away, or bend a drip edge on it."""

    do: Literal["take-away", "drip"]
    piece: Name


class Extend(ActModel):
    """Move a side of a piece's panel on a face; under 0 trims it. [in]"""

    do: Literal["extend"]
    piece: Name
    face: Name
    side: Side
    by: Inch


class Lay(ActModel):
    """Lay a new piece on a face: as [left, bottom, right, top], or by its corners in turn. [in]

    ``what`` is its entry in the catalogue; ``sheet`` what it does with water, where that is not
    as the catalogue says.
    """

    do: Literal["lay"]
    face: Name
    rect: tuple[Inch, Inch, Inch, Inch] | None = None
    outline: tuple[tuple[Inch, Inch], ...] | None = Field(
        default=None, min_length=3, max_length=MOST_CORNERS
    )
    title: str = Field(default="", max_length=200)
    what: Name | None = None
    sheet: Sheet | None = None
    after: Name | None = None

    @model_validator(mode="after")
    def _one_shape(self) -> Self:
        if (self.rect is None) == (self.outline is None):
            raise ValueError("either `rect` or `outline` is wanted")
        return self

    @property
    def shape(self) -> dict[str, Any]:
        """Its panel's shape, to the sixteenth."""
        if self.rect is not None:
            return {"rect": [grained(x) for x in self.rect]}
        return {"outline": [[grained(u), grained(v)] for u, v in self.outline or ()]}


Act = Annotated[
    Turn | SetEdge | OnPiece | Extend | Lay | Note,
    Field(discriminator="do"),
]
_OnPieces = Turn | SetEdge | OnPiece | Extend | Lay


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
    if isinstance(act, Note):
        changes, words = noted(job, act)
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
    known = entry(act.what) if act.what is not None else None
    title = act.title.strip() or (known.name if known is not None else "new piece")
    row = {"id": _own_id(job, title), "title": title, "on": [{"face": act.face, **act.shape}]}
    if known is not None:
        row["what"] = known.id
    sheet = act.sheet or (None if known is not None else Sheet.SHEDS)
    if sheet is not None:
        row["sheet"] = sheet.value
    record = PieceRecord.model_validate(row)
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
