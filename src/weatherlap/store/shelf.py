"""The shelf of jobs: each with all its revisions, so that nothing done is ever lost."""

from __future__ import annotations

import re
import secrets
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, RowMapping, insert, select, update

from weatherlap.errors import InputError
from weatherlap.job.model import Job
from weatherlap.job.reading import read_job
from weatherlap.run.worked import corner_of
from weatherlap.store.database import (
    READING,
    entries,
    jobs,
    open_database,
    revisions,
    writing,
)
from weatherlap.store.keptstates import keep_states
from weatherlap.store.merging import Side, merged

MOST_JOBS = 2000
_STATE_LINE = re.compile(r"""^[ \t]*(\[\[)?[ \t]*["']?state\b""", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class JobRow:
    """A job as it stands in the list; ``changed_at_s`` counts from 1970."""

    id: str
    title: str
    place: str
    pieces: int
    head: int
    changed_at_s: float


@dataclass(frozen=True, slots=True)
class Revision:
    """One state of a job file.

    ``stands_at`` is the revision whose text it has (another one after an undo), ``below`` the
    one that an undo leads to (0: none), ``ahead`` those that a redo leads to, the next first.
    """

    job: str
    number: int
    stands_at: int
    below: int
    ahead: tuple[int, ...]
    text: str
    words: str
    by: str
    at_s: float


@dataclass(frozen=True, slots=True)
class Saved:
    """What a save gave: the new revision, and whether others' changes were merged in."""

    revision: Revision
    with_others: bool
    again: bool = False


class NoSuchJob(InputError):
    """The shelf holds no job, or no revision, of that name."""


class Shelf:
    """Jobs in a database, SQLite in a folder unless a URL names another one.

    ``check`` reads a text and raises JobError if it is no whole job; it may keep what it made.
    """

    def __init__(
        self, folder: Path, url: str = "", *, check: Callable[[str], Job] | None = None
    ) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        self.folder = folder
        self._check = whole if check is None else check
        self.engine: Engine = open_database(folder, url)

    def jobs(self) -> tuple[JobRow, ...]:
        """All jobs, the last changed first."""
        query = select(jobs).order_by(jobs.c.changed_at.desc(), jobs.c.id).limit(MOST_JOBS)
        with self._reading() as connection:
            return tuple(_job_row(row) for row in connection.execute(query).mappings())

    def job(self, job_id: str) -> JobRow:
        """One job.

        Raises
        ------
        NoSuchJob
            If there is none of that id.
        """
        with self._reading() as connection:
            return _job_row(_found(connection, job_id))

    def begin(self, text: str, *, by: str = "", words: str = "Begun") -> JobRow:
        """A new job from the text of a job file.

        Raises
        ------
        JobError
            If the text is no whole job.
        """
        job = self._check(text)
        job_id, now = secrets.token_hex(8), time.time()
        values = {"id": job_id, "head": 1, "changed_at": now, **_shown(job)}
        first = _values(job_id, 1, text, words=words, by=by, at=now)
        with writing(self.engine) as connection:
            connection.execute(insert(jobs).values(values))
            connection.execute(insert(revisions).values(first))
        return self.job(job_id)

    def head(self, job_id: str) -> Revision:
        """The newest revision of a job."""
        with self._reading() as connection:
            return _revision(connection, job_id, _found(connection, job_id)["head"])

    def revision(self, job_id: str, number: int) -> Revision:
        """One revision of a job."""
        with self._reading() as connection:
            return _revision(connection, job_id, number)

    def history(self, job_id: str) -> tuple[Revision, ...]:
        """All revisions of a job, the newest first, without their texts."""
        columns = [c for c in revisions.c if c.name != "text"]
        query = (
            select(*columns)
            .where(revisions.c.job == job_id)
            .order_by(revisions.c.number.desc())
            .limit(MOST_JOBS)
        )
        with self._reading() as connection:
            _found(connection, job_id)
            rows = connection.execute(query).mappings()
            return tuple(_as_revision({**row, "text": ""}) for row in rows)

    def save(
        self,
        job_id: str,
        text: str,
        *,
        base: int,
        words: str = "",
        by: str = "",
        key: str = "",
        choices: Mapping[str, Side] | None = None,
        alone: bool = False,
    ) -> Saved:
        """Keep a new text of a job that was made from revision ``base``.

        What others saved in between is kept too, or refused if it must stand ``alone``. ``key``
        marks an entry: sent twice, it is kept once.

        Raises
        ------
        JobError
            If the text is no whole job.
        Clash
            If others changed the same thing in another way.
        InputError
            If a state that was put before the client would be changed or taken out, or others
            changed the job where this must stand alone.
        """
        job = self._check(text)
        with writing(self.engine) as connection:
            row = _found(connection, job_id, hold=True)
            known = _known_entry(connection, job_id, key)
            if known is not None:
                return Saved(_revision(connection, job_id, known), with_others=False, again=True)
            head = _revision(connection, job_id, row["head"])
            others = head.number != base
            if others and alone:
                raise InputError(
                    "job",
                    "somebody changed it since this was worked out",
                    "the job as it stands",
                    "Look at it again, then write it down.",
                )
            if others:
                start = _revision(connection, job_id, base)
                text = merged(start.text, head.text, text, choices)
                job = self._check(text)
            if text == head.text:
                return Saved(head, with_others=others)
            self._keep_states(head, job)
            new = _put(connection, head, job, text, words=words, by=by)
            if key:
                values = {"job": job_id, "key": key, "revision": new.number}
                connection.execute(insert(entries).values(values))
        return Saved(new, with_others=others)

    def undo(self, job_id: str, *, by: str = "") -> Revision:
        """A new revision with the text of the one before.

        Raises
        ------
        InputError
            If there is nothing to undo, or a kept state would be taken back.
        """
        with writing(self.engine) as connection:
            head = _revision(connection, job_id, _found(connection, job_id, hold=True)["head"])
            if not head.below:
                raise InputError("undo", "this is where the job began", "a step to undo")
            ahead = (head.stands_at, *head.ahead)
            back = _revision(connection, job_id, head.below)
            self._keep_states(head, read_job(back.text))
            return _back_at(connection, head, back, ahead, words="Undone", by=by)

    def redo(self, job_id: str, *, by: str = "") -> Revision:
        """A new revision with the text that was undone last.

        Raises
        ------
        InputError
            If nothing was undone.
        """
        with writing(self.engine) as connection:
            head = _revision(connection, job_id, _found(connection, job_id, hold=True)["head"])
            if not head.ahead:
                raise InputError("redo", "nothing was undone", "a step that was undone")
            first, *rest = head.ahead
            next_one = _revision(connection, job_id, first)
            return _back_at(connection, head, next_one, tuple(rest), words="Done again", by=by)

    def _keep_states(self, head: Revision, after: Job) -> None:
        if after.state or _STATE_LINE.search(head.text):
            keep_states(self._check(head.text), after)

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()

    def _reading(self) -> Connection:
        return self.engine.connect().execution_options(**READING)


def whole(text: str) -> Job:
    """The job of a text, with laps that can be laid.

    Raises
    ------
    JobError
        If anything needs mending.
    """
    job = read_job(text)
    corner_of(job)
    return job


def _found(connection: Connection, job_id: str, *, hold: bool = False) -> RowMapping:
    query = select(jobs).where(jobs.c.id == job_id)
    row = connection.execute(query.with_for_update() if hold else query).mappings().first()
    if row is None:
        raise NoSuchJob("job", "there is no such job", "one of the list")
    return row


def _known_entry(connection: Connection, job_id: str, key: str) -> int | None:
    if not key:
        return None
    query = select(entries.c.revision).where(entries.c.job == job_id, entries.c.key == key)
    found = connection.execute(query).scalar()
    return None if found is None else int(found)


def _revision(connection: Connection, job_id: str, number: int) -> Revision:
    query = select(revisions).where(revisions.c.job == job_id, revisions.c.number == number)
    row = connection.execute(query).mappings().first()
    if row is None:
        raise NoSuchJob("revision", f"there is no revision {number}", "one of this job")
    return _as_revision(row)


def _as_revision(row: Mapping[str, Any] | RowMapping) -> Revision:
    ahead = tuple(int(n) for n in row["ahead"].split())
    return Revision(
        job=row["job"],
        number=row["number"],
        stands_at=row["stands_at"],
        below=row["below"],
        ahead=ahead,
        text=row["text"],
        words=row["words"],
        by=row["by"],
        at_s=row["at"],
    )


def _values(
    job_id: str,
    number: int,
    text: str,
    *,
    words: str,
    by: str,
    at: float,
    stands_at: int | None = None,
    below: int = 0,
    ahead: tuple[int, ...] = (),
) -> dict[str, Any]:
    return {
        "job": job_id,
        "number": number,
        "stands_at": number if stands_at is None else stands_at,
        "below": below,
        "ahead": " ".join(str(n) for n in ahead),
        "text": text,
        "words": words[:300],
        "by": by[:100],
        "at": at,
    }


def _put(
    connection: Connection, head: Revision, job: Job, text: str, *, words: str, by: str
) -> Revision:
    """A step forward from the head; what was undone before is no longer ahead."""
    values = _values(
        head.job, head.number + 1, text, words=words, by=by, at=time.time(), below=head.stands_at
    )
    return _kept(connection, values, job)


def _back_at(
    connection: Connection,
    head: Revision,
    old: Revision,
    ahead: tuple[int, ...],
    *,
    words: str,
    by: str,
) -> Revision:
    """A new revision with the text of an earlier one."""
    values = _values(
        head.job,
        head.number + 1,
        old.text,
        words=words,
        by=by,
        at=time.time(),
        stands_at=old.stands_at,
        below=old.below,
        ahead=ahead,
    )
    return _kept(connection, values, read_job(old.text))


def _kept(connection: Connection, values: dict[str, Any], job: Job) -> Revision:
    connection.execute(insert(revisions).values(values))
    connection.execute(
        update(jobs)
        .where(jobs.c.id == values["job"])
        .values(head=values["number"], changed_at=values["at"], **_shown(job))
    )
    return _as_revision(values)


def _shown(job: Job) -> dict[str, Any]:
    """What the list shows of a job."""
    return {"title": job.job.title, "place": job.job.place, "pieces": len(job.piece)}


def _job_row(row: RowMapping) -> JobRow:
    return JobRow(
        id=row["id"],
        title=row["title"],
        place=row["place"],
        pieces=row["pieces"],
        head=row["head"],
        changed_at_s=row["changed_at"],
    )
