"""What is wrong with a job file, in the words of the trade, each with its line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

from weatherlap.errors import Problem
from weatherlap.job.lines import Lines, Path
from weatherlap.job.model import MILE_IN
from weatherlap.job.tables import tables
from weatherlap.units import UnitError, shown

_LISTS = {
    "rect": "[left, bottom, right, top]",
    "origin": "[east, north, up]",
    "at": "[right, up]",
    "outline": "a list of corners, [[right, up], [right, up], [right, up]] or more",
    "line": "a start and an end, [[right, up], [right, up]] (for a gutter [east, north, up])",
    "finding": "the ids of two pieces",
}
_COUNTED = {"rect": "number", "origin": "number", "at": "number", "outline": "corner",
            "line": "point"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Fault:
    """A problem at a path of the job's data; ``first`` is the path of an earlier twin."""

    path: Path
    found: str
    want: str
    do: str = ""
    first: Path = ()


def near(word: object, choices: Iterable[str]) -> str:
    """'Did you mean' with the nearest of the choices, or nothing."""
    close = get_close_matches(str(word).lower()[:80], list(choices), n=2, cutoff=0.6)
    return f"Did you mean {' or '.join(repr(c) for c in close)}?" if close else ""


def where(path: Path, data: Mapping[str, Any]) -> str:
    """A path in trade words: piece 'siding-3', panel 1: rect, number 3."""
    tables_words: list[str] = []
    key_words: list[str] = []
    names: tuple[str, ...] = ()
    at: Any = data
    for step in path:
        at = _inside(at, step)
        if isinstance(step, int):
            if names in tables() and names:
                tables_words[-1] = _item_words(names[-1], step, at)
            else:
                kind = _COUNTED.get(names[-1], "item") if key_words[-1:] == [names[-1]] else "part"
                key_words.append(f"{kind} {step + 1}")
            continue
        names = (*names, step)
        (tables_words if names in tables() else key_words).append(step)
    parts = [", ".join(words) for words in (tables_words, key_words) if words]
    return ": ".join(parts) if parts else "job file"


def _inside(at: Any, step: str | int) -> Any:
    """The value one step further in; None where the data does not go on."""
    if isinstance(step, int):
        return at[step] if isinstance(at, list) and step < len(at) else None
    return at.get(step) if isinstance(at, dict) else None


def _item_words(name: str, number: int, item: Any) -> str:
    """``piece 'siding-3'``, or ``panel 1`` where a table has no id."""
    word = "panel" if name == "on" else name
    own = item.get("id") if isinstance(item, dict) else None
    return f"{word} {shown(own)}" if isinstance(own, str) and own else f"{word} {number + 1}"


def is_echo(error: Mapping[str, Any]) -> bool:
    """Whether an error only says that a list is short of the items that are wrong themselves."""
    value = error.get("input")
    if error["type"] != "too_short" or not isinstance(value, list):
        return False
    return len(value) >= int(error["ctx"]["min_length"])


def fault_of(error: Mapping[str, Any]) -> Fault:
    """The fault that one error of the record check stands for."""
    path: Path = tuple(error["loc"])
    kind, value = error["type"], error.get("input")
    context = error.get("ctx", {})
    cause = context.get("error")
    if isinstance(cause, UnitError):
        return Fault(path, cause.found, cause.want)
    if kind == "missing":
        return _missing(path)
    if kind == "extra_forbidden":
        return _unknown_key(path)
    if kind in ("tuple_type", "list_type", "model_type", "dict_type"):
        return _wrong_shape(path, value)
    if kind in ("too_short", "too_long"):
        return _wrong_count(path, context)
    return _wrong_value(path, kind, value, context)


def _names(path: Path) -> tuple[str, ...]:
    return tuple(step for step in path if isinstance(step, str))


def _said_of(path: Path) -> str:
    """What the records say of a key, in brackets; nothing if they say nothing."""
    names = _names(path)
    table = tables().get(names[:-1])
    info = table.fields.get(names[-1]) if table and names else None
    return f" ({info.description})" if info is not None and info.description else ""


def _missing(path: Path) -> Fault:
    if isinstance(path[-1], int):
        key = _names(path)[-1]
        return Fault(path[:-1], "found too few entries", _LISTS.get(key, "one entry more"))
    if path in (("job",), ("face",)):
        head = "[job] with a title" if path == ("job",) else "at least one [[face]]"
        return Fault(path, "missing", head)
    return Fault(path, "missing", f"a value for `{path[-1]}`{_said_of(path)}")


def _unknown_key(path: Path) -> Fault:
    names = _names(path)
    table = tables().get(names[:-1])
    keys = list(table.fields) if table else []
    kind = names[-2] if len(names) > 1 else "job file"
    do = near(names[-1], keys) or f"The keys are: {', '.join(keys)}."
    return Fault(path, f"unknown key {shown(names[-1])}", f"a key of a {_word(kind)}", do)


def _word(name: str) -> str:
    return "panel (a table in `on`)" if name == "on" else name


def _wrong_shape(path: Path, value: Any) -> Fault:
    names = _names(path)
    table = tables().get(names)
    if table is not None and isinstance(path[-1], int):
        return Fault(path, f"found {shown(value)}", f"a table, as a {_word(names[-1])} is")
    if table is not None and not table.repeats:
        return Fault(path, f"found {shown(value)}", "a table")
    if table is not None:
        double = "[[" + ".".join(names) + "]] in double brackets"
        return Fault(path, f"found {shown(value)}", f"a list of tables, each headed {double}")
    want = _LISTS.get(names[-1], 'a list in square brackets, such as ["top"]')
    if len(path) > 1 and isinstance(path[-1], int):
        want = "[right, up], or [east, north, up] for a place in space"
    return Fault(path, f"found {shown(value)}", want)


def _wrong_count(path: Path, context: Mapping[str, Any]) -> Fault:
    key = _names(path)[-1] if _names(path) else ""
    if path == ("face",):
        return Fault(path, "found none", "at least one [[face]]")
    least, most = context.get("min_length"), context.get("max_length")
    number = f"at least {least}" if least is not None else f"no more than {most}"
    if isinstance(path[-1], int):
        return Fault(path, f"found {context.get('actual_length')} entries", f"{number} entries")
    want = _LISTS.get(key, f"{number} entries")
    return Fault(path, f"found {context.get('actual_length')} entries", want)


def _wrong_value(path: Path, kind: str, value: Any, context: Mapping[str, Any]) -> Fault:
    """A value of the wrong type, or out of its range."""
    found = f"found {shown(value)}"
    if kind in ("enum", "literal_error"):
        choices = [c.strip(" '") for c in context["expected"].replace(" or ", ", ").split(",")]
        return Fault(path, found, f"one of {context['expected']}", near(value, choices))
    if kind == "string_too_short":
        return Fault(path, "found nothing", f"some text{_said_of(path)}")
    if kind == "string_too_long":
        most = context["max_length"]
        return Fault(path, f"found {len(value)} letters", f"no more than {most} letters")
    if kind in _LIMITS:
        word, key = _LIMITS[kind]
        limit = context[key]
        mile = " in (a mile)" if abs(limit) == MILE_IN else ""
        return Fault(path, found, f"a value of {word} {limit:g}{mile}")
    want = {
        "string_type": "text in quotes",
        "bool_type": "true or false, without quotes",
        "string_pattern_mismatch": "an id: letters, figures, dots, dashes or underscores, "
        "no spaces, a letter or figure first",
    }.get(kind, f"another value{_said_of(path)}")
    return Fault(path, found, want)


_LIMITS = {
    "greater_than": ("more than", "gt"),
    "greater_than_equal": ("at least", "ge"),
    "less_than": ("less than", "lt"),
    "less_than_equal": ("at most", "le"),
}


def problems_of(
    faults: Iterable[Fault], *, text: str, data: Mapping[str, Any], file: str
) -> tuple[Problem, ...]:
    """The problems of a job file in the order of its lines."""
    lines = Lines.of(text)
    found = []
    for fault in faults:
        do = fault.do
        if fault.first:
            do = f"{do} It is used first in line {lines.line(fault.first)}.".strip()
        place = where(fault.path, data)
        line = lines.line(fault.path)
        found.append(Problem(place, fault.found, fault.want, do, file, line))
    return tuple(sorted(found, key=lambda problem: problem.line))
