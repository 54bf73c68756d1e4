"""The JSON Schema of the job file for editors, and its reference page, both from the records."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from enum import Enum
from inspect import cleandoc
from typing import Any, get_args, get_origin

from pydantic.fields import FieldInfo
from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import PydanticUndefined
from pydantic_core.core_schema import BeforeValidatorFunctionSchema

from weatherlap.job.loads import checked_size, parse_pounds, parse_psf
from weatherlap.job.model import Job, Record
from weatherlap.job.tables import Table, tables
from weatherlap.job.writing import parser_of
from weatherlap.sources.catalogue import catalogue
from weatherlap.units import (
    parse_area_rate,
    parse_length,
    parse_rain,
    parse_speed,
    parse_temperature,
    parse_warming,
    tape,
)

DIALECT = "https://json-schema.org/draft/2020-12/schema"

_TEXTS: Mapping[object, tuple[str, str, list[str]]] = {
    parse_length: (
        "length",
        "Text as a tape reads, or metric with its unit",
        ["12' 4 1/2\"", "4 1/2 in", "3.2 m", "38 mm"],
    ),
    parse_rain: ("rain", "Rain with its unit", ["4 in/h", "100 mm/h"]),
    parse_area_rate: ("year's rain", "A year's rain with its unit", ["44 in", "1100 mm"]),
    parse_temperature: ("temperature", "A temperature with its unit", ["50 F", "10 C"]),
    parse_warming: ("warming", "A difference of temperature with its unit", ["15 F", "8 C"]),
    parse_speed: ("speed", "A speed with its unit", ["25 mph", "12 m/s", "40 km/h"]),
    parse_psf: ("load on an area", "A load with its unit", ["30 psf", "1.4 kPa"]),
    parse_pounds: ("load", "A load with its unit", ["1200 lb", "5.3 kN"]),
    checked_size: ("size of lumber", "Plies and size", ["2x10", "2-2x10", "6x6"]),
}
_HAS_FIGURE = "[0-9\\u00bc-\\u00be\\u2150-\\u215e]"
_LIMITS = {
    "ge": "minimum", "le": "maximum", "gt": "exclusiveMinimum", "lt": "exclusiveMaximum",
}  # fmt: skip


class _Written(GenerateJsonSchema):
    """The schema of what stands in the file, not of what it is read into."""

    def function_before_schema(self, schema: BeforeValidatorFunctionSchema) -> JsonSchemaValue:
        """Lengths take numbers or text; rain and speed take text only."""
        number = super().function_before_schema(schema)
        parser = schema["function"]["function"]
        if parser not in _TEXTS:
            return number
        _, words, examples = _TEXTS[parser]
        text = {
            "type": "string", "description": words, "examples": examples, "pattern": _HAS_FIGURE,
        }  # fmt: skip
        if parser is not parse_length:
            return text
        return {"anyOf": [{**number, "description": "Inches"}, text]}


def job_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a job file."""
    schema = Job.model_json_schema(schema_generator=_Written)
    tidy: dict[str, Any] = _tidied(schema)
    return {"$schema": DIALECT, **tidy, "title": "Weatherlap job file"}


def _tidied(part: Any) -> Any:
    """A part of the schema without nulls (TOML has none), titles and whole-table defaults."""
    if isinstance(part, list):
        return [_tidied(item) for item in part]
    if not isinstance(part, dict):
        return part
    part = _without_null(part)
    found = {}
    for key, value in part.items():
        if (key == "title" and isinstance(value, str)) or (key, type(value)) == ("default", dict):
            continue
        if key in ("properties", "$defs"):
            found[key] = {name: _tidied(inner) for name, inner in value.items()}
        else:
            found[key] = _tidied(value)
    return _limited(found)


def _without_null(part: dict[str, Any]) -> dict[str, Any]:
    choices = part.get("anyOf")
    if not choices or {"type": "null"} not in choices:
        return part
    left = [choice for choice in choices if choice != {"type": "null"}]
    rest = {key: value for key, value in part.items() if key not in ("anyOf", "default")}
    return {**left[0], **rest} if len(left) == 1 else {**rest, "anyOf": left}


def _limited(part: dict[str, Any]) -> dict[str, Any]:
    """Limits of a number or text moved to the number, in the words of the standard."""
    limits = {_LIMITS[key]: part[key] for key in _LIMITS if key in part}
    if not limits:
        return part
    rest = {key: value for key, value in part.items() if key not in _LIMITS}
    if "anyOf" not in rest:
        return {**rest, **limits}
    choices = [{**c, **limits} if c.get("type") == "number" else c for c in rest["anyOf"]]
    return {**rest, "anyOf": choices}


def reference_page() -> str:
    """The reference of the job file as Markdown: every table and key."""
    parts = [_HEAD]
    parts += [_table_part(table) for table in tables().values() if table.names]
    return "\n".join(parts)


_HEAD = """# The job file

A job file is TOML text in UTF-8. This page is made from the program's own records.

* **length**: a number of inches, or text as a tape reads: `"12' 4 1/2\\""`, `"4 1/2 in"`,
  `"12 ft 6 in"`, `"3.2 m"`, `"38 mm"`.
* **place**: `[right, up]` in a face's own plane, each a length; **place in space**:
  `[east, north, up]`.
* **id**: letters, figures, dots, dashes and underscores, no spaces.
* Rain, speed and the like are text with a unit; a bare number is an error.
* A key that is not listed here is an error.
"""


def _table_part(table: Table) -> str:
    """One table of the page."""
    dotted = ".".join(table.names)
    head = f"[[{dotted}]]" if table.repeats else f"[{dotted}]"
    rows = [_row(name, info) for name, info in table.fields.items()]
    said = cleandoc(table.record.__doc__ or "")
    return "\n".join(
        [f"## `{head}`", "", said, "", "| key | takes | if left out | meaning |",
         "| --- | --- | --- | --- |", *rows, ""]
    )  # fmt: skip


def _row(name: str, info: FieldInfo) -> str:
    takes = _takes(info.annotation, info).replace("|", "\\|")
    said = (info.description or "").replace("|", "\\|")
    return f"| `{name}` | {takes} | {_left_out(info)} | {said} |"


def _left_out(info: FieldInfo) -> str:
    """What holds if the key is left out."""
    if info.is_required():
        return "required"
    value = info.default
    if value is None or value is PydanticUndefined or value in ("", ()) or _is_table(value):
        return ""
    if isinstance(value, float) and parser_of(info) is parse_length:
        return f"`{tape(value)}`"
    if isinstance(value, bool):
        return "`true`" if value else "`false`"
    return f"`{value:g}`" if isinstance(value, float) else f'`"{value}"`'


def _is_table(value: object) -> bool:
    return isinstance(value, Record)


def _takes(annotation: Any, info: FieldInfo) -> str:
    """What a key takes, in words."""
    kinds = [kind for kind in get_args(annotation) if kind is not type(None)]
    if annotation is float or _is_measure(annotation):
        return _number_words(info)
    if isinstance(annotation, type):
        return _plain_words(annotation)
    if get_origin(annotation) is tuple:
        return _list_words(kinds, info)
    if get_origin(annotation) is dict:
        return "table of numbers"
    if all(isinstance(kind, str) for kind in kinds):
        return " or ".join(f'`"{kind}"`' for kind in kinds)
    return _takes(kinds[0], info)


def _is_measure(annotation: Any) -> bool:
    return bool(get_args(annotation)) and get_args(annotation)[0] is float and hasattr(
        annotation, "__metadata__"
    )  # fmt: skip


def _number_words(info: FieldInfo) -> str:
    parser: Callable[..., float] | object = parser_of(info)
    return _TEXTS[parser][0] if parser in _TEXTS else "number"


def _plain_words(kind: type) -> str:
    if issubclass(kind, Enum):
        return " or ".join(f'`"{member.value}"`' for member in kind)
    if issubclass(kind, Record):
        return "table"
    return {bool: "`true` or `false`", str: "text"}.get(kind, "number")


def _list_words(kinds: list[Any], info: FieldInfo) -> str:
    """Places, lists of places, and other lists."""
    words = _takes(kinds[0], info)
    many = _PLURALS.get(words, f"{words}s")
    if kinds[-1] is Ellipsis:
        return f"list: {words}" if " or " in words else f"list of {many}"
    if words == "length":
        return {2: "place", 3: "place in space"}.get(len(kinds), f"{len(kinds)} lengths")
    return f"{len(kinds)} {many}"


_PLURALS = {"place in space": "places in space", "text": "text"}


def catalogue_page() -> str:
    """The catalogue as Markdown: every entry, what it does with water, what it is made of."""
    rows = [
        f"| `{e.id}` | {e.name} | {e.sheet} | {e.passes:g} | {e.material} | {e.thickness_in:g} |"
        for e in catalogue().values()
    ]
    head = ["# The catalogue", "", "What `what` in a job file can name. Thickness in inches.", "",
            "| id | name | sheet | passes | material | thickness |",
            "| --- | --- | --- | --- | --- | --- |"]  # fmt: skip
    return "\n".join([*head, *rows, ""])
