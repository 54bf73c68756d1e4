"""Members that can be drawn although something is wrong with them or with others."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic import TypeAdapter, ValidationError

from weatherlap.errors import InputError
from weatherlap.job.framingrecords import MemberRecord
from weatherlap.job.model import Job
from weatherlap.job.records import SpacePoint
from weatherlap.run.framingmembers import row_of
from weatherlap.structure.model import SMALLEST_LENGTH_IN, Member, Stock, Use

STUB_IN = 12.0
PLAIN = Stock(1.5, 5.5, 1, "", "")
_LINE: TypeAdapter[tuple[SpacePoint, SpacePoint]] = TypeAdapter(tuple[SpacePoint, SpacePoint])


def drawable_members(job: Job) -> tuple[Member, ...]:
    """Members as found that can be drawn, whatever is wrong with others."""
    found: list[Member] = []
    for record in job.member:
        try:
            found += row_of(record)
        except InputError:
            found += _plain(record.id, record.line, record.use)
    return tuple(found)


def readable_members(data: Mapping[str, Any]) -> tuple[Member, ...]:
    """Members of a file with mistakes: as they are, or by their line alone.

    Parameters
    ----------
    data : mapping
        The job file as plain data.
    """
    rows = data.get("member")
    found: list[Member] = []
    for row in rows if isinstance(rows, list) else []:
        if not isinstance(row, dict) or not isinstance(row.get("id"), str):
            continue
        try:
            found += row_of(MemberRecord.model_validate(row))
        except (ValidationError, InputError):
            found += _by_line(row)
    return tuple(found)


def _by_line(row: Mapping[str, Any]) -> list[Member]:
    """One member by its line, if that can be read."""
    try:
        line = _LINE.validate_python(row.get("line"))
    except ValidationError:
        return []
    return _plain(str(row["id"]), line, str(row.get("use")))


def _plain(name: str, line: tuple[SpacePoint, SpacePoint], use: str) -> list[Member]:
    """A member of plain stock; a stub where its two ends are at one place."""
    start, end = line
    if sum((a - b) ** 2 for a, b in zip(start, end, strict=True)) < SMALLEST_LENGTH_IN**2:
        end = (start[0] + STUB_IN, start[1], start[2])
    known = {u.value: u for u in Use}
    return [Member(name, known.get(use, Use.BEAM), start, end, PLAIN)]
