"""Line numbers of a job file's keys, found from its text only when there is something to say."""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from dataclasses import dataclass, field

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
class _Scanner:
    """Walks the tokens of a TOML text that is known to be well formed."""

    text: str
    tokens: list[tuple[str, str, int]]
    at: int = 0
    starts: dict[Path, int] = field(default_factory=dict)
    last_item: dict[Path, int] = field(default_factory=dict)

    def kind(self) -> str:
        return self.tokens[self.at][0] if self.at < len(self.tokens) else "end"

    def word(self, ahead: int = 0) -> str:
        place = self.at + ahead
        return self.tokens[place][1] if place < len(self.tokens) else ""

    def offset(self) -> int:
        return self.tokens[self.at][2] if self.at < len(self.tokens) else len(self.text)

    def run(self) -> None:
        """Note where every table, key and item of the document begins."""
        table: Path = ()
        while self.at < len(self.tokens):
            if self.kind() in ("newline", "comment"):
                self.at += 1
            elif self.word() == "[":
                table = self.header()
            else:
                self.pair(table)

    def header(self) -> Path:
        """A ``[table]`` or ``[[table]]`` line."""
        start = self.offset()
        is_item = self.word(1) == "[" and self.tokens[self.at + 1][2] == start + 1
        self.at += 2 if is_item else 1
        parts = self.key()
        self.at += 2 if is_item else 1
        path = (*self.resolved(parts[:-1]), parts[-1])
        if is_item:
            self.note(path, start)
            self.last_item[path] = self.last_item.get(path, -1) + 1
        if path in self.last_item:
            path = (*path, self.last_item[path])
        self.note(path, start)
        return path

    def resolved(self, parts: list[str]) -> Path:
        """The path of a header's leading parts, each array at its latest item."""
        path: Path = ()
        for part in parts:
            path = (*path, part)
            if path in self.last_item:
                path = (*path, self.last_item[path])
        return path

    def note(self, path: Path, offset: int) -> None:
        self.starts.setdefault(path, offset)

    def key(self) -> list[str]:
        """The parts of a dotted key."""
        parts = [self.key_part()]
        while self.word() == "." and self.kind() == "mark":
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
        path = table
        for part in self.key():
            path = (*path, part)
            self.note(path, start)
        self.at += 1
        self.value(path)

    def value(self, path: Path) -> None:
        """A value: an array, an inline table, or anything else up to its end."""
        if self.kind() == "mark" and self.word() in "[{":
            if len(path) > DEEPEST:
                self.skip()
            else:
                self.items(path, is_table=self.word() == "{")
            return
        while self.kind() in ("string", "bare") or (self.kind() == "mark" and self.word() == "."):
            self.at += 1

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
            if self.kind() in ("newline", "comment") or self.word() == ",":
                self.at += 1
            elif self.kind() == "mark" and self.word() in "]}":
                self.at += 1
                return
            elif is_table:
                self.pair(path)
            else:
                self.note((*path, number), self.offset())
                self.value((*path, number))
                number += 1


@dataclass(frozen=True, slots=True)
class Lines:
    """Where each key of a text stands."""

    starts: dict[Path, int]
    breaks: list[int]

    @classmethod
    def of(cls, text: str) -> Lines:
        """The places of the keys of a TOML text that was read without error."""
        tokens = [
            (match.lastgroup or "", match.group(), match.start()) for match in _TOKEN.finditer(text)
        ]
        scanner = _Scanner(text, tokens)
        scanner.run()
        breaks = [match.start() for match in re.finditer("\n", text)]
        return cls(scanner.starts, breaks)

    def line(self, path: Path) -> int:
        """The line of a path, or of the nearest table round it that the text has; 1 at least."""
        while path and path not in self.starts:
            path = path[:-1]
        return 1 + bisect_right(self.breaks, self.starts[path] - 1) if path else 1
