"""A job file read block by block, so that after a change only what changed is read again."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

_HEAD = re.compile(r"^\[\[([a-z_]+)\]\][ \t]*(?:#[^\n]*)?\r?$", re.MULTILINE)
FEW = 8
"""Files of fewer blocks are read as a whole."""


@dataclass(frozen=True, slots=True)
class Block:
    """One item under a head such as ``[[piece]]``: its table, where it stands, what it holds."""

    table: str
    start: int
    end: int
    row: dict[str, Any]


@dataclass(frozen=True, slots=True)
class Blocks:
    """A text cut at heads; ``before`` is what stands above the first of them."""

    before: dict[str, Any]
    rows: tuple[Block, ...]

    def data(self) -> dict[str, Any]:
        """The plain data of the whole text."""
        found = dict(self.before)
        for block in self.rows:
            found.setdefault(block.table, []).append(block.row)
        return found


def blocks_of(text: str, *, few: int = FEW) -> Blocks | None:
    """A TOML text as blocks, or None where it has to be read as a whole.

    The text is cut at heads such as ``[[piece]]``. A cut inside a string or a list would leave
    its first part unclosed, so parts that can each be read alone are parts of the whole.

    Parameters
    ----------
    few : int
        A text of fewer blocks is left to be read as a whole.
    """
    heads = list(_HEAD.finditer(text))
    if len(heads) < max(few, 1):
        return None
    ends = [*(h.start() for h in heads[1:]), len(text)]
    try:
        before = tomllib.loads(text[: heads[0].start()])
        rows = tuple(
            Block(head[1], head.start(), end, _row(head[1], text[head.start() : end]))
            for head, end in zip(heads, ends, strict=True)
        )
    except (ValueError, RecursionError):
        return None
    return None if before.keys() & {block.table for block in rows} else Blocks(before, rows)


@lru_cache(maxsize=4000)
def _row(table: str, text: str) -> dict[str, Any]:
    """The one row that a block holds."""
    block = tomllib.loads(text)
    if block.keys() != {table} or len(block[table]) != 1:
        raise ValueError(table)
    row: dict[str, Any] = block[table][0]
    return row


@dataclass(frozen=True, slots=True)
class Part:
    """The block of an item and the one above it; there the item has another ``number``.

    ``names`` are the tables that stand above all blocks, ``is_first`` and ``is_last`` whether the
    part begins and ends as the whole text does.
    """

    start: int
    end: int
    number: int
    names: frozenset[str]
    is_first: bool
    is_last: bool

    def takes(self, new: str) -> bool:
        """Whether a new text can stand in the place of these blocks."""
        blocks = blocks_of(new, few=1)
        if blocks is None or (blocks.before and not self.is_first):
            return False
        own = {block.table for block in blocks.rows}
        return not own & self.names and (self.is_last or new.endswith("\n"))


def part_round(text: str, table: str, item: int | str | None) -> Part | None:
    """The blocks round an item of a table, or None where there are no such blocks.

    Parameters
    ----------
    item : int, str or None
        The item's number or id; None for the last one, or else the last block of all.
    """
    blocks = blocks_of(text)
    if blocks is None or table in blocks.before:
        return None
    own = [n for n, block in enumerate(blocks.rows) if block.table == table]
    at = _place(blocks, own, item)
    if at is None:
        return None
    number = int(at > 0 and blocks.rows[at - 1].table == table)
    return Part(
        start=blocks.rows[at - 1].start if at else 0,
        end=blocks.rows[at].end,
        number=number,
        names=frozenset(blocks.before),
        is_first=at == 0,
        is_last=at == len(blocks.rows) - 1,
    )


def _place(blocks: Blocks, own: list[int], item: int | str | None) -> int | None:
    """The number of an item's block among all blocks."""
    if item is None:
        return own[-1] if own else len(blocks.rows) - 1
    if isinstance(item, int):
        return own[item] if 0 <= item < len(own) else None
    return next((n for n in own if blocks.rows[n].row.get("id") == item), None)
