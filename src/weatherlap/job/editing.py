"""Changes to a job file's text that leave every other letter of it as it was.

Each change is checked: the new text is read back and must hold the old data with that one
change, or the change is refused.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from weatherlap.errors import InputError, JobError
from weatherlap.job.blocks import part_round
from weatherlap.job.lines import Lines, Path, Spot
from weatherlap.job.problems import near, where
from weatherlap.job.reading import tables_of
from weatherlap.job.writing import key_text, table_text, value_text

_MARK = "\ufeff"


@dataclass(frozen=True, slots=True)
class SetValue:
    """Set a key to a plain value. An item of a list is named by its number or its id."""

    path: Path
    value: Any


@dataclass(frozen=True, slots=True)
class AddItem:
    """Add a ``[[table]]`` before the item named, or after the last one."""

    table: str
    row: Mapping[str, Any]
    before: int | str | None = None


@dataclass(frozen=True, slots=True)
class Remove:
    """Take away a key, an item or a table, with comments that stand right above its head."""

    path: Path


Change = SetValue | AddItem | Remove


def edit(text: str, changes: Sequence[Change]) -> str:
    """The text with the changes made in turn; all else stays byte for byte.

    Raises
    ------
    JobError
        If the text is not TOML.
    InputError
        If a path is not there, or the text is laid out so that the change cannot be made alone.
    """
    mark = _MARK if text.startswith(_MARK) else ""
    text = text.removeprefix(_MARK)
    for change in changes:
        new = _made_nearby(text, change)
        text = _made(text, change) if new is None else new
    return mark + text


def _made_nearby(text: str, change: Change) -> str | None:
    """The text with one change made in the few blocks round it, or None where that cannot be."""
    if isinstance(change, AddItem):
        place = part_round(text, change.table, change.before)
    elif len(change.path) > 1:
        place = part_round(text, str(change.path[0]), change.path[1])
    else:
        return None
    if place is None:
        return None
    part = text[place.start : place.end]
    try:
        new = _made(part, _moved(change, place.number))
    except InputError:
        return None
    fits = place.takes(new) and ("\r\n" in part) == ("\r\n" in text)
    return f"{text[: place.start]}{new}{text[place.end :]}" if fits else None


def _moved(change: Change, number: int | None) -> Change:
    """The change for a text in which its item has another number (None: it is no item)."""
    if number is None:
        return change
    if isinstance(change, AddItem):
        return change if change.before is None else replace(change, before=number)
    return replace(change, path=(change.path[0], number, *change.path[2:]))


def _made(text: str, change: Change) -> str:
    """The text with one change, proven to be that change and no other."""
    page = _Page(text, tables_of(text), Lines.of(text))
    wanted = copy.deepcopy(page.data)
    if isinstance(change, SetValue):
        path = page.resolved(change.path, upto=-1)
        new = page.with_value(path, change.value)
        _put(wanted, path, change.value)
    elif isinstance(change, AddItem):
        items = wanted.setdefault(change.table, [])
        if not isinstance(items, list):
            raise InputError(change.table, "it stands once", "a table that repeats, as piece does")
        number = len(items)
        if change.before is not None:
            number = page.item(change.table, change.before)
        new = page.with_item(change.table, change.row, number)
        items.insert(number, dict(change.row))
    else:
        path = page.resolved(change.path)
        new = page.without(path)
        _take(wanted, path)
    try:
        found = tables_of(new)
    except JobError:
        found = {}
    if _listed(found) != _listed(wanted):
        raise InputError(
            "job file",
            "its layout does not allow this change alone",
            "tables under heads such as [[piece]]",
            "Make the change by hand.",
        )
    return new


def _listed(value: Any) -> Any:
    """A value with its tuples as lists and no empty tables or lists of tables left over."""
    if isinstance(value, Mapping):
        found = {key: _listed(item) for key, item in value.items()}
        return {key: item for key, item in found.items() if item not in ({}, [])}
    return [_listed(item) for item in value] if isinstance(value, list | tuple) else value


def _put(data: dict[str, Any], path: Path, value: Any) -> None:
    at: Any = data
    for step in path[:-1]:
        at = at.setdefault(step, {}) if isinstance(at, dict) else at[step]
    at[path[-1]] = value


def _take(data: dict[str, Any], path: Path) -> None:
    at: Any = data
    for step in path[:-1]:
        at = at[step]
    del at[path[-1]]


@dataclass(frozen=True, slots=True)
class _Page:
    """A text, the data it holds, and where each key stands."""

    text: str
    data: dict[str, Any]
    lines: Lines

    @property
    def newline(self) -> str:
        return "\r\n" if "\r\n" in self.text else "\n"

    def resolved(self, path: Path, *, upto: int | None = None) -> Path:
        """The path with ids as numbers; all but the last step must be there if ``upto`` is -1."""
        if not path:
            raise InputError("path", "found none", "the names that lead to a key")
        found: Path = ()
        at: Any = self.data
        for number, step in enumerate(path):
            if isinstance(at, list):
                step = self._number_of(at, step, found)
                at = at[step]
            elif isinstance(at, dict) and step in at:
                at = at[str(step)]
            elif upto is None or not isinstance(step, str) or not isinstance(at, dict):
                do = near(step, at) if isinstance(at, dict) else ""
                raise InputError(where(found, self.data), f"it has no {step!r}", "what it has", do)
            else:
                return (*found, *path[number:])
            found = (*found, step)
        return found

    def _number_of(self, items: list[Any], step: int | str, so_far: Path) -> int:
        ids = [item.get("id") if isinstance(item, dict) else None for item in items]
        if isinstance(step, int) and 0 <= step < len(items):
            return step
        if isinstance(step, str) and step in ids:
            return ids.index(step)
        do = near(step, [own for own in ids if isinstance(own, str)])
        raise InputError(where(so_far, self.data), f"it has no {step!r}", "one it has", do)

    def item(self, table: str, step: int | str) -> int:
        """The number of an item of a table."""
        return self._number_of(self.data.get(table, []), step, (table,))

    def line_end(self, offset: int) -> int:
        """End of the line that a place is on, before its line break."""
        end = self.text.find("\n", offset)
        if end < 0:
            return len(self.text)
        return end - 1 if end > offset and self.text[end - 1] == "\r" else end

    def line_start(self, offset: int) -> int:
        return self.text.rfind("\n", 0, offset) + 1

    def block_start(self, head: int) -> int:
        """Start of a head's line, or of the comment lines right above it."""
        ends = [spot.value_end for spot in self.lines.spots.values() if spot.value_end <= head]
        floor = max(ends, default=0)
        start = self.line_start(head)
        while start > 0:
            above = self.line_start(start - 1)
            if above < floor or not self.text[above:start].lstrip().startswith("#"):
                break
            start = above
        return start

    def with_value(self, path: Path, value: Any) -> str:
        """The text with a key set."""
        spot = self.lines.spots.get(path)
        if spot is not None and spot.value_start >= 0:
            indent = len(self._indent(spot.start))
            new = self._broken(value_text(value, indent=indent))
            return self.text[: spot.value_start] + new + self.text[spot.value_end :]
        home = path[:-1]
        while home and not self._takes_keys(home):
            home = home[:-1]
        names = path[len(home) :]
        if any(isinstance(name, int) for name in names):
            raise InputError(where(path, self.data), "it is no key of a table", "a key")
        if not home:
            return self._with_new_table(names, value)
        dotted = ".".join(key_text(str(name)) for name in names)
        spot = self.lines.spots[home]
        if spot.value_start >= 0:
            return self._into_braces(spot, f"{dotted} = {value_text(value)}")
        indent_text = self._indent(spot.start)
        row = f"{dotted} = {value_text(value, indent=len(indent_text))}"
        at = self.line_end(spot.value_end)
        return self.text[:at] + self._broken(f"\n{indent_text}{row}") + self.text[at:]

    def _takes_keys(self, path: Path) -> bool:
        """Whether keys can be written into a table: it has a head or braces."""
        spot = self.lines.spots.get(path)
        if spot is None:
            return False
        if spot.value_start >= 0:
            return self.text[spot.value_start] == "{"
        return any(head == path for _, head in self.lines.heads)

    def _indent(self, offset: int) -> str:
        row = self.text[self.line_start(offset) : offset]
        return row[: len(row) - len(row.lstrip())]

    def _broken(self, text: str) -> str:
        """Text with the line breaks of this page."""
        return text.replace("\n", self.newline)

    def _into_braces(self, spot: Spot, pair: str) -> str:
        inside = self.text[spot.value_start + 1 : spot.value_end - 1].rstrip()
        new = f"{{{inside}, {pair} }}" if inside.strip() else f"{{ {pair} }}"
        return self.text[: spot.value_start] + new + self.text[spot.value_end :]

    def _with_new_table(self, names: Path, value: Any) -> str:
        """A table that was not there, put after the one that stands first."""
        if len(names) < 2:
            raise InputError(str(names[0]), "it is not a key of a table", "a key inside a table")
        head = ".".join(key_text(str(name)) for name in names[:-1])
        block = table_text(f"[{head}]", {str(names[-1]): value}).rstrip("\n")
        if not self.lines.heads:
            return self._at_end(block)
        return self._after(self.lines.heads[0][1], block)

    def _at_end(self, block: str) -> str:
        gap = "" if not self.text.strip() else "\n" if self.text.endswith("\n") else "\n\n"
        return self.text + self._broken(f"{gap}{block}\n")

    def _after(self, path: Path, block: str) -> str:
        """The text with a block below a table and all tables inside it."""
        ends = [self.lines.spots[own].value_end for _, own in self.lines.heads
                if own[: len(path)] == path]  # fmt: skip
        at = self.line_end(max(ends))
        tail = self.text[at:] or "\n"
        return self.text[:at] + self._broken(f"\n\n{block}") + tail

    def with_item(self, table: str, row: Mapping[str, Any], number: int) -> str:
        """The text with one table more in a list of tables."""
        block = table_text(f"[[{key_text(table)}]]", row).rstrip("\n")
        count = len(self.data.get(table, []))
        if count and (table, 0) not in {path for _, path in self.lines.heads}:
            raise InputError(table, "its items stand in one list", f"heads, [[{table}]]")
        if number < count:
            at = self.block_start(self.lines.spots[(table, number)].start)
            return self.text[:at] + self._broken(f"{block}\n\n") + self.text[at:]
        return self._after((table, count - 1), block) if count else self._at_end(block)

    def without(self, path: Path) -> str:
        """The text without a key, an item or a table."""
        spot = self.lines.spots.get(path)
        if spot is not None and spot.value_start >= 0:
            home = self.lines.spots.get(path[:-1])
            if home is not None and home.value_start >= 0:
                return self._without_part(spot)
            return self._without_lines(self.line_start(spot.start), spot.value_end)
        text = self.text
        for start, end in reversed(self._runs(path)):
            text = _Page(text, self.data, self.lines)._without_lines(start, end, blank=True)
        return text

    def _runs(self, path: Path) -> list[tuple[int, int]]:
        """The stretches of text, in turn, that hold a table and the tables inside it."""
        runs: list[tuple[int, int]] = []
        was_inside = False
        for head, own in self.lines.heads:
            inside = own[: len(path)] == path
            if inside:
                end = self.lines.spots[own].value_end
                start = runs.pop()[0] if was_inside else self.block_start(head)
                runs.append((start, end))
            was_inside = inside
        return runs

    def _without_lines(self, start: int, end: int, *, blank: bool = False) -> str:
        """The text without whole lines, and without the blank lines after a block."""
        rest = self.text[self.line_end(end) :].removeprefix("\r").removeprefix("\n")
        if blank:
            rest = re.sub(r"\A([ \t]*\r?\n)+", "", rest)
        return self.text[:start] + rest

    def _without_part(self, spot: Spot) -> str:
        """The text without a part of a list or of an inline table, and its comma."""
        before, after = self.text[: spot.start], self.text[spot.value_end :]
        comma = re.match(r"\s*,[ \t]*", after)
        if comma:
            return before + after[comma.end() :]
        before = re.sub(r"\s*,\s*\Z", "", before)
        return before + (" " if after.lstrip(" ").startswith("}") else "") + after.lstrip(" ")
