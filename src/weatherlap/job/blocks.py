"""A job file read block by block, so that after a change only what changed is read again."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

_HEAD = re.compile(
    r"^(?:\[\[(?P<item>[a-z_]+)\]\]|\[(?P<table>[a-z_]+)\])[ \t]*(?:#[^\n]*)?\r?$", re.MULTILINE
)
FEW = 8
"""Files of fewer blocks are read as a whole."""


@dataclass(frozen=True, slots=True)
class Block:
    """What stands under a head, and where: a table ``[site]``, or an item as ``[[piece]]``."""

    table: str
    is_item: bool
    start: int
    end: int
    row: dict[str, Any]


@dataclass(frozen=True, slots=True)
class Blocks:
    """A text cut at its heads; ``before`` is what stands above the first of them."""

    before: dict[str, Any]
    rows: tuple[Block, ...]

    def data(self) -> dict[str, Any]:
        """The plain data of the whole text."""
        found = dict(self.before)
        for block in self.rows:
            if block.is_item:
                found.setdefault(block.table, []).append(block.row)
            else:
                found[block.table] = block.row
        return found

    def names(self, *, items: bool) -> set[str]:
        """The names of all tables that repeat, or of all that do not."""
        found = {block.table for block in self.rows if block.is_item == items}
        return found if items else found | self.before.keys()


def blocks_of(text: str, *, few: int = FEW) -> Blocks | None:
    """A TOML text as blocks, or None where it has to be read as a whole.

    The text is cut at heads such as ``[site]`` and ``[[piece]]``. A cut inside a string or a list
    would leave its first part unclosed, so parts that can each be read alone are parts of the
    whole, unless a name stands twice.

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
            _block(head, text[head.start() : end], end)
            for head, end in zip(heads, ends, strict=True)
        )
    except (ValueError, RecursionError):
        return None
    once = [*before, *(block.table for block in rows if not block.is_item)]
    found = Blocks(before, rows)
    return None if len(set(once)) < len(once) or found.names(items=True) & set(once) else found


def _block(head: re.Match[str], text: str, end: int) -> Block:
    name = head["item"] or head["table"]
    return Block(name, head["item"] is not None, head.start(), end, _row(name, text))


@lru_cache(maxsize=4000)
def _row(table: str, text: str) -> dict[str, Any]:
    """The row or table that a block holds."""
    block = tomllib.loads(text)
    found = block.get(table)
    if isinstance(found, list) and len(found) == 1:
        (found,) = found
    if block.keys() != {table} or not isinstance(found, dict):
        raise ValueError(table)
    return found


@dataclass(frozen=True, slots=True)
class Part:
    """The block of an item or table and the one above it.

    ``number`` is the item's own in these blocks (None for a table); ``once`` are the names of
    all tables of the text that do not repeat, ``own`` those of them that stand here; ``is_first``
    and ``is_last`` say whether the part begins and ends as the text does.
    """

    start: int
    end: int
    number: int | None
    once: frozenset[str]
    own: frozenset[str]
    is_first: bool
    is_last: bool

    def takes(self, new: str) -> bool:
        """Whether a new text can stand in the place of these blocks."""
        blocks = blocks_of(new, few=1)
        if blocks is None or (blocks.before and not self.is_first):
            return False
        fits = blocks.names(items=False) == self.own and not blocks.names(items=True) & self.once
        return fits and (self.is_last or new.endswith("\n"))


def part_round(text: str, table: str, item: int | str | None) -> Part | None:
    """The blocks round an item of a table or round a table, or None where there are none.

    Parameters
    ----------
    item : int, str or None
        The item's number or id; None for the last one, or else the last block of all. For a
        table that does not repeat it says nothing.
    """
    blocks = blocks_of(text)
    if blocks is None or table in blocks.before:
        return None
    at = _place(blocks, table, item)
    if at is None:
        return None
    first, is_item = max(at - 1, 0), table in blocks.names(items=True)
    part = Blocks({} if at else blocks.before, blocks.rows[first : at + 1])
    return Part(
        start=blocks.rows[first].start if at else 0,
        end=blocks.rows[at].end,
        number=int(first < at and blocks.rows[first].table == table) if is_item else None,
        once=frozenset(blocks.names(items=False)),
        own=frozenset(part.names(items=False)),
        is_first=at == 0,
        is_last=at == len(blocks.rows) - 1,
    )


def _place(blocks: Blocks, table: str, item: int | str | None) -> int | None:
    """The number of the block of an item or table among all blocks."""
    own = [n for n, block in enumerate(blocks.rows) if block.table == table]
    if own and not blocks.rows[own[0]].is_item:
        return own[0]
    if item is None:
        return own[-1] if own else len(blocks.rows) - 1
    if isinstance(item, int):
        return own[item] if 0 <= item < len(own) else None
    return next((n for n in own if blocks.rows[n].row.get("id") == item), None)
