"""Records into a job file's text, lengths written as a tape reads."""

from __future__ import annotations

import datetime
import math
from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from enum import Enum
from typing import Any, get_args

from pydantic import BeforeValidator
from pydantic.fields import FieldInfo

from weatherlap.errors import InputError
from weatherlap.job.loads import parse_pounds, parse_psf
from weatherlap.job.model import Job, Record
from weatherlap.units import (
    IN_PER_FT,
    MM_PER_IN,
    MPS_PER_MPH,
    parse_area_rate,
    parse_length,
    parse_rain,
    parse_speed,
    parse_temperature,
    parse_warming,
    tape_words,
)

LONGEST_ROW = 90
_BARE = frozenset("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-")
_ESCAPES = {'"': '\\"', "\\": "\\\\", "\b": "\\b", "\t": "\\t", "\n": "\\n", "\f": "\\f",
            "\r": "\\r"}  # fmt: skip


def write_job(job: Job) -> str:
    """The text of a job file that reads back as the same job.

    Keys at their default are left out; lengths are written as a tape reads where that is exact.
    """
    blocks = []
    for name, info in type(job).model_fields.items():
        value = getattr(job, name)
        if isinstance(value, Record):
            rows = plain_row(value)
            blocks += [table_text(f"[{name}]", rows)] if rows or info.default is None else []
        elif value is not None:
            blocks += [table_text(f"[[{name}]]", plain_row(record)) for record in value]
    return "\n".join(blocks)


def plain_row(record: Record) -> dict[str, Any]:
    """The keys of a record that are not at their default, as plain values to be written."""
    row = {}
    for name, info in type(record).model_fields.items():
        value = getattr(record, name)
        if info.is_required() or value != info.get_default(call_default_factory=True):
            row[name] = _plain(value, parser_of(info), in_list=False)
    return row


def _plain(value: Any, parser: object, *, in_list: bool) -> Any:
    """A value of a record as it stands in the file."""
    if isinstance(value, Record):
        return plain_row(value)
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, tuple | list):
        return [_plain(item, parser, in_list=True) for item in value]
    if isinstance(value, Mapping):
        return {key: _plain(item, None, in_list=False) for key, item in value.items()}
    if isinstance(value, float):
        if parser is parse_length:
            return place_value(value) if in_list else length_value(value)
        return _measured(value, parser)
    return value


def parser_of(info: FieldInfo) -> object:
    """The function of units that reads a field, if one does."""
    return next(_parsers_in([info.annotation, *info.metadata]), None)


def _parsers_in(marks: list[Any]) -> Iterator[object]:
    for mark in marks:
        if isinstance(mark, BeforeValidator):
            yield mark.func
        yield from _parsers_in([*get_args(mark), *getattr(mark, "__metadata__", ())])


def length_value(inches: float) -> float | int | str:
    """A size as it is written: tape text, else millimetres, else the plain number. [in]"""
    tape_text = tape_words(inches, sixteenths=64)
    mm_text = f"{_digits(round(inches * MM_PER_IN, 4))} mm"
    for text in (tape_text, mm_text):
        if parse_length(text) == inches:
            return text
    return _number(inches)


def place_value(inches: float) -> float | int | str:
    """A coordinate as it is written: a whole number, inches and fraction, or the number. [in]"""
    if inches.is_integer() or abs(inches) > 1e6:
        return _number(inches)
    whole = math.trunc(inches)
    fraction = tape_words(abs(inches - whole), sixteenths=64)
    sign = "-" if inches < 0 else ""
    text = f"{sign}{abs(whole)} {fraction}" if whole else f"{sign}{fraction}"
    is_fraction = abs(inches - whole) < IN_PER_FT and "/" in fraction
    return text if is_fraction and parse_length(text) == inches else _number(inches)


def _number(value: float) -> float | int:
    return int(value) if value.is_integer() and abs(value) < 1e15 else value


def _digits(value: float) -> str:
    """All figures of a number, without an exponent."""
    return format(Decimal(repr(value)), "f").removesuffix(".0")


_UNITS: dict[object, tuple[Callable[[float | int | str], float], tuple[tuple[str, float], ...]]] = {
    parse_rain: (parse_rain, (("in/h", MM_PER_IN), ("mm/h", 1.0))),
    parse_area_rate: (parse_area_rate, (("in", MM_PER_IN), ("mm", 1.0))),
    parse_speed: (parse_speed, (("mph", MPS_PER_MPH), ("km/h", 1 / 3.6), ("m/s", 1.0))),
    parse_psf: (parse_psf, (("psf", 1.0),)),
    parse_pounds: (parse_pounds, (("lb", 1.0),)),
    parse_temperature: (parse_temperature, (("C", 1.0),)),
    parse_warming: (parse_warming, (("F", 1 / 1.8), ("C", 1.0))),
}


def _measured(value: float, parser: object) -> float | int | str:
    """Rain, depth or speed in the unit in which it is a round number, else in its own."""
    if parser not in _UNITS:
        return _number(value)
    parse, units = _UNITS[parser]
    for unit, factor in units:
        text = f"{_digits(float(f'{value / factor:.6g}'))} {unit}"
        if len(text) < 30 and parse(text) == value:
            return text
    return f"{_digits(value)} {units[-1][0]}"


def table_text(head: str, row: Mapping[str, Any]) -> str:
    """A table under its head, a key a line."""
    lines = [f"{key_text(key)} = {value_text(value, indent=0)}" for key, value in row.items()]
    return "\n".join([head, *lines, ""])


def key_text(key: str) -> str:
    """A key, in quotes where it needs them."""
    return key if key and set(key) <= _BARE else _quoted(key)


def value_text(value: Any, *, indent: int | None = None) -> str:
    """A plain value as TOML; with an indent, a long list of tables takes a line for each.

    Raises
    ------
    InputError
        If TOML has no way to write the value, or it is not finite.
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float) and not math.isfinite(value):
        raise InputError("value", f"found {value}", "a finite number")
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, str):
        return _quoted(value)
    if isinstance(value, datetime.date):
        return value.isoformat()
    if isinstance(value, Mapping):
        pairs = ", ".join(f"{key_text(k)} = {value_text(v)}" for k, v in value.items())
        return f"{{ {pairs} }}" if pairs else "{}"
    if isinstance(value, list | tuple):
        return _list_text(value, indent)
    raise InputError("value", f"found {type(value).__name__}", "a number, text, list or table")


def _list_text(values: list[Any] | tuple[Any, ...], indent: int | None) -> str:
    items = [value_text(item) for item in values]
    row = f"[{', '.join(items)}]"
    tables = bool(items) and all(isinstance(item, Mapping) for item in values)
    if indent is None or not tables or (len(items) == 1 and len(row) <= LONGEST_ROW):
        return row
    pad = " " * (indent + 2)
    return "[\n" + "".join(f"{pad}{item},\n" for item in items) + " " * indent + "]"


def _quoted(text: str) -> str:
    """A basic string."""
    return '"' + "".join(_ESCAPES.get(c) or _shown_letter(c) for c in text) + '"'


def _shown_letter(letter: str) -> str:
    return f"\\u{ord(letter):04x}" if ord(letter) < 32 or ord(letter) == 127 else letter
