"""Days of the work that cannot be: before the visit, or before the work has begun."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping
from typing import Any

from weatherlap.job.lines import Path
from weatherlap.job.problems import Fault


def work_faults(data: Mapping[str, Any]) -> Iterator[Fault]:
    """A first day, or a day of work that was done, that lies before the visit.

    Works on the plain data, so that a record with another mistake is looked at too.
    """
    visit = _day(data.get("job"), "date")
    if visit is None:
        return
    start = _day(data.get("work"), "start")
    if start is not None and start < visit:
        yield _past(("work", "start"), start, visit)
    rows = data.get("done")
    for number, row in enumerate(rows if isinstance(rows, list) else []):
        day = _day(row, "day")
        if day is not None and day < visit:
            yield _past(("done", number, "day"), day, visit)


def _day(row: object, key: str) -> datetime.date | None:
    value = row.get(key) if isinstance(row, Mapping) else None
    if isinstance(value, datetime.date) and not isinstance(value, datetime.datetime):
        return value
    try:
        return datetime.date.fromisoformat(value) if isinstance(value, str) else None
    except ValueError:
        return None


def _past(path: Path, day: datetime.date, visit: datetime.date) -> Fault:
    return Fault(path, f"{day} lies before the visit on {visit}", "a day from the visit on")
