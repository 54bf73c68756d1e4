"""Where what a sentence names in quotes stands in a job file's text."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from weatherlap.job.lines import Lines, Path

_QUOTED = re.compile(r"(?<!\w)'([^'\s]+)'")
_TAILS = re.compile(r"(-new|-[0-9]+)$")
_TABLES = ("member", "support", "fit")


def lines_named(text: str, data: Mapping[str, Any], said: str) -> tuple[tuple[int, str], ...]:
    """The line and the words of each table of a job that a sentence names, in order of lines.

    A member of a row is found under its row, a new member under the old one, and a joint by its
    two members.

    Parameters
    ----------
    text : str
        The job file.
    data : mapping
        The same, as plain data.
    said : str
        Sentences with ids in single quotes.
    """
    lines = Lines.of(text)
    named = set(_QUOTED.findall(said))
    found = {(lines.line(path), words) for name in named for path, words in _tables_of(data, name)}
    return tuple(sorted(found))


def _tables_of(data: Mapping[str, Any], name: str) -> Iterator[tuple[Path, str]]:
    """Tables of a name: its own, else those of its row or of the member that it replaces."""
    own = list(_tables_with(data, name))
    plain = name
    while not own and _TAILS.search(plain):
        plain = _TAILS.sub("", plain)
        own = list(_tables_with(data, plain))
    yield from own


def _tables_with(data: Mapping[str, Any], name: str) -> Iterator[tuple[Path, str]]:
    """Tables whose id, or whose two members, are the name."""
    for kind in _TABLES:
        for number, row in enumerate(_rows(data.get(kind))):
            if row.get("id") == name:
                yield (kind, number), f"{kind} '{name}'"
    for number, row in enumerate(_rows(data.get("joint"))):
        upper, lower = (_TAILS.sub("", str(row.get(key))) for key in ("upper", "lower"))
        is_pair = re.fullmatch(rf"{re.escape(upper)}[-0-9new]*-on-{re.escape(lower)}[-0-9new]*",
                               name)  # fmt: skip
        if row.get("id") == name or is_pair:
            yield ("joint", number), f"joint of '{row.get('upper')}' on '{row.get('lower')}'"
    for number, row in enumerate(_rows(data.get("support"))):
        if "id" not in row and name == f"foot-of-{row.get('member')}":
            yield ("support", number), f"support of '{row.get('member')}'"
    for number, row in enumerate(_rows(data.get("carried"))):
        if row.get("face") == name:
            yield ("carried", number), f"carried face '{name}'"
    shore = data.get("shore")
    for number, row in enumerate(_rows(shore.get("line")) if isinstance(shore, dict) else []):
        if row.get("id") == name:
            yield ("shore", "line", number), f"shore line '{name}'"


def _rows(table: object) -> list[Mapping[str, Any]]:
    """The rows of a list of tables; a place that is no table counts as an empty one."""
    rows = table if isinstance(table, list) else []
    return [row if isinstance(row, dict) else {} for row in rows]
