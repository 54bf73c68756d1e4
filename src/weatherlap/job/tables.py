"""The tables and keys of a job file, read off the records: for messages, schema and docs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Any, get_args

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from weatherlap.job.model import Job, Record

Names = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """One kind of table: the names that lead to it, its record, and whether it repeats."""

    names: Names
    record: type[Record]
    repeats: bool

    @property
    def fields(self) -> dict[str, FieldInfo]:
        """The keys of the table with what is said of each."""
        return self.record.model_fields


def _records_in(annotation: Any) -> Iterator[tuple[type[Record], bool]]:
    """The records inside a type, each with whether it stands in a list."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        if issubclass(annotation, Record):
            yield annotation, False
        return
    in_list = getattr(annotation, "__origin__", None) is tuple
    for inner in get_args(annotation):
        for record, repeats in _records_in(inner):
            yield record, repeats or in_list


def _walk(table: Table) -> Iterator[Table]:
    yield table
    for name, info in table.fields.items():
        for record, repeats in _records_in(info.annotation):
            yield from _walk(Table((*table.names, name), record, repeats))


@cache
def tables() -> MappingProxyType[Names, Table]:
    """Every table of a job file by the names that lead to it; ``()`` is the file itself."""
    return MappingProxyType({table.names: table for table in _walk(Table((), Job, False))})
