"""A fault that is found in a job long after it was read still names file, line and key."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace
from typing import Any

from weatherlap.errors import InputError, JobError, Problem
from weatherlap.job.lines import Lines, Path
from weatherlap.job.model import Job
from weatherlap.job.problems import where
from weatherlap.job.reading import tables_of


def placed(job: Job, problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Problems with the line of what they are about, in the order of the file.

    A key that begins with a piece's id, ``("piece", "siding-3", "behind")``, is looked up among
    the pieces and then among those that changes add.
    """
    rows = tuple(_placed(job, p) if p.key and not p.line else p for p in problems)
    return tuple(sorted(rows, key=lambda p: p.line))


def _placed(job: Job, problem: Problem) -> Problem:
    source = job.source
    data = tables_of(source.text) if source.text else job.model_dump(exclude_defaults=True)
    path = _numbered(problem.key, data)
    line = Lines.of(source.text).line(path) if source.text else 0
    words = where(path, data)
    return replace(problem, where=words, file=source.file, line=line, key=())


def _numbered(key: Path, data: Mapping[str, Any]) -> Path:
    """A key with a piece's id, by its number in the data."""
    if key[:1] != ("piece",) or len(key) < 2 or isinstance(key[1], int):
        return key
    for i, row in enumerate(_rows(data, "piece")):
        if row.get("id") == key[1]:
            return ("piece", i, *key[2:])
    for k, change in enumerate(_rows(data, "change")):
        new = change.get("new")
        if isinstance(new, Mapping) and new.get("id") == key[1]:
            return ("change", k, "new", *key[2:])
    return ("piece",)


def _rows(data: Mapping[str, Any], table: str) -> Sequence[Mapping[str, Any]]:
    rows = data.get(table, ())
    return rows if isinstance(rows, Sequence) else ()


@contextmanager
def placing(job: Job, head: Path = ()) -> Iterator[None]:
    """What goes wrong inside names the place in the job's file; keys stand under ``head``.

    Raises
    ------
    JobError
        In place of an InputError whose problems have keys.
    """
    try:
        yield
    except InputError as error:
        if not any(p.key for p in error.problems):
            raise
        under = [replace(p, key=(*head, *p.key)) if p.key else p for p in error.problems]
        raise JobError(placed(job, under)) from None
