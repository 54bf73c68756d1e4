"""A job file read block by block, so that after a change only what changed is read again."""

from __future__ import annotations

import re
import tomllib
from functools import lru_cache
from typing import Any

_HEAD = re.compile(r"^\[\[([a-z_]+)\]\][ \t]*(?:#.*)?$", re.MULTILINE)
FEW = 8
"""Files of fewer blocks are read as a whole."""


def read_blocks(text: str) -> dict[str, Any] | None:
    """The plain data of a TOML text, or None where it has to be read as a whole.

    The text is cut at heads such as ``[[piece]]``. A cut inside a string or a list would leave
    its first part unclosed, so parts that can each be read alone are parts of the whole.
    """
    heads = list(_HEAD.finditer(text))
    if len(heads) < FEW:
        return None
    ends = [*(h.start() for h in heads[1:]), len(text)]
    try:
        found = dict(tomllib.loads(text[: heads[0].start()]))
        rows: dict[str, list[Any]] = {}
        for head, end in zip(heads, ends, strict=True):
            block = _block(text[head.start() : end])
            name = head[1]
            if block.keys() != {name} or len(block[name]) != 1:
                return None
            rows.setdefault(name, []).append(block[name][0])
    except (ValueError, RecursionError):
        return None
    return None if found.keys() & rows.keys() else found | rows


@lru_cache(maxsize=4000)
def _block(text: str) -> dict[str, Any]:
    return tomllib.loads(text)
