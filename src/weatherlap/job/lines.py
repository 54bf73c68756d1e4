"""Where the keys of a job file stand in its text: for line numbers, and for changes in place."""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from dataclasses import dataclass, field
from functools import lru_cache

DEEPEST = 20

Key = str | int
Path = tuple[Key, ...]

_TOKEN = re.compile(
    r'(?P<string>"""(?:[^\\]|\\.)*?"{3,5}|\'\'\'.*?\'{3,5}|"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\')'
    r"|(?P<comment>#[^\n]*)"
    r"|(?P<newline>\n)"
    r"|(?P<mark>[\[\]{},=.])"
    r"|(?P<bare>[^\s\[\]{},=.#\"']+)",
    re.DOTALL,
)


@dataclass(slots=True)
class Spot:
    """Where a path stands, in letters from the start of the text.

    ``start`` is its key, its table's head or, in a list, the value itself; ``value_start`` to
    ``value_end`` the value. A table under a head has no value: ``value_start`` is -1 and
    ``value_end`` the end of its last own line but for comments that follow.
    """

    start: int
    value_start: int
    value_end: int


@dataclass(slots=True)
class _Scanner:
    """Walks the tokens of a TOML text that is known to be well formed."""

    tokens: list[tuple[str, str, int]]
    at: int = 0
    spots: dict[Path, Spot] = field(default_factory=dict)
    heads: list[tuple[int, Path]] = field(default_factory=list)
    last_item: dict[Path, int] = field(default_factory=dict)

    def kind(self) -> str:
        return self.tokens[self.at][0] if self.at < len(self.tokens) else "end"

    def word(self, ahead: int = 0) -> str:
        place = self.at + ahead
        return self.tokens[place][1] if place < len(self.tokens) else ""

    def is_mark(self, marks: str) -> bool:
        return self.kind() == "mark" and self.word() in marks

    def offset(self) -> int:
        return self.tokens[self.at][2]

    def passed(self) -> int:
        """End of the token that was passed last."""
        _, word, start = self.tokens[self.at - 1]
        return start + len(word)

    def run(self) -> None:
        """Note where every table, key and item of the document stands."""
        table: Path = ()
        self.spots[table] = Spot(0, -1, 0)
        while self.at < len(self.tokens):
            if self.kind() in ("newline", "comment"):
                self.at += 1
            elif self.is_mark("["):
                table = self.header()
            else:
                self.pair(table)
                self.spots[table].value_end = self.passed()

    def header(self) -> Path:
        """A ``[table]`` or ``[[table]]`` line."""
        start = self.offset()
        is_item = self.word(1) == "[" and self.tokens[self.at + 1][2] == start + 1
        self.at += 2 if is_item else 1
        parts = self.key()
        self.at += 2 if is_item else 1
        path: Path = (*self.resolved(parts[:-1]), parts[-1])
        if is_item:
            self.spots.setdefault(path, Spot(start, -1, self.passed()))
            self.last_item[path] = self.last_item.get(path, -1) + 1
        if path in self.last_item:
            path = (*path, self.last_item[path])
        self.spots.setdefault(path, Spot(start, -1, self.passed()))
        self.heads.append((start, path))
        return path

    def resolved(self, parts: list[str]) -> Path:
        """The path of a header's leading parts, each array at its latest item."""
        path: Path = ()
        for part in parts:
            path = (*path, part)
            if path in self.last_item:
                path = (*path, self.last_item[path])
        return path

    def key(self) -> list[str]:
        """The parts of a dotted key."""
        parts = [self.key_part()]
        while self.is_mark("."):
            self.at += 1
            parts.append(self.key_part())
        return parts

    def key_part(self) -> str:
        kind, word = self.kind(), self.word()
        self.at += 1
        if kind != "string":
            return word
        return str(tomllib.loads(f"key = {word}")["key"])

    def pair(self, table: Path) -> None:
        """A ``key = value`` of a table."""
        start = self.offset()
        parts = self.key()
        for number in range(1, len(parts)):
            self.spots.setdefault((*table, *parts[:number]), Spot(start, -1, start))
        self.at += 1
        self.value((*table, *parts), start)

    def value(self, path: Path, start: int) -> None:
        """A value: an array, an inline table, or anything else up to its end."""
        value_start = self.offset()
        spot = Spot(start, value_start, value_start)
        self.spots[path] = spot
        if not self.is_mark("[{"):
            while self.kind() in ("string", "bare") or self.is_mark("."):
                self.at += 1
        elif len(path) > DEEPEST:
            self.skip()
        else:
            self.items(path, is_table=self.word() == "{")
        spot.value_end = self.passed()

    def skip(self) -> None:
        """Pass over a bracketed value that lies deeper than any job file goes."""
        depth = 0
        while self.at < len(self.tokens):
            if self.kind() == "mark":
                depth += {"[": 1, "{": 1, "]": -1, "}": -1}.get(self.word(), 0)
            self.at += 1
            if depth == 0:
                return

    def items(self, path: Path, *, is_table: bool) -> None:
        """What stands between brackets or braces."""
        self.at += 1
        number = 0
        while self.at < len(self.tokens):
            if self.kind() in ("newline", "comment") or self.is_mark(","):
                self.at += 1
            elif self.is_mark("]}"):
                self.at += 1
                return
            elif is_table:
                self.pair(path)
            else:
                self.value((*path, number), self.offset())
                number += 1


@dataclass(frozen=True, slots=True)
class Lines:
    """Where each key of a text stands; ``heads`` are the tables' heads in turn."""

    spots: dict[Path, Spot]
    heads: list[tuple[int, Path]]
    breaks: list[int]

    @classmethod
    def of(cls, text: str) -> Lines:
        """The places of the keys of a TOML text that was read without error."""
        return _lines(text)

    def line(self, path: Path) -> int:
        """The line of a path, or of the nearest table round it that the text has; 1 at least."""
        while path and path not in self.spots:
            path = path[:-1]
        return 1 + bisect_right(self.breaks, self.spots[path].start - 1) if path else 1


@lru_cache(maxsize=8)
def _lines(text: str) -> Lines:
    tokens = [
        (match.lastgroup or "", match.group(), match.start()) for match in _TOKEN.finditer(text)
    ]
    scanner = _Scanner(tokens)
    scanner.run()
    breaks = [match.start() for match in re.finditer("\n", text)]
    return Lines(scanner.spots, scanner.heads, breaks)
