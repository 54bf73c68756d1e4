"""One register of sources, read from ``data/sources_*.toml``, one file a trade."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from weatherlap.errors import SourceError


@dataclass(frozen=True, slots=True)
class Source:
    """Where a figure comes from.

    ``seen`` is one of "first hand", "quoted in KEY or words", "from memory",
    "common practice", "computed" or "own choice".
    """

    key: str
    title: str
    where: str
    seen: str
    edition: str = ""

    def short(self) -> str:
        """One line for a paper: title, edition, place, and how it was seen."""
        edition = f" ({self.edition})" if self.edition else ""
        note = "" if self.seen == "first hand" else f" [{self.seen}]"
        return f"{self.title}{edition}, {self.where}{note}"


@cache
def sources() -> dict[str, Source]:
    """Every source of the register by its key."""
    found: dict[str, Source] = {}
    folder = files("weatherlap.sources") / "data"
    for entry in sorted(folder.iterdir(), key=lambda e: e.name):
        if entry.name.startswith("sources_") and entry.name.endswith(".toml"):
            for key, row in tomllib.loads(entry.read_text("utf-8")).items():
                if key in found:
                    raise SourceError(f"{entry.name}: source {key} is in the register twice")
                found[key] = Source(key=key, **row)
    return found


def source(key: str) -> Source:
    """The source of a key.

    Raises
    ------
    SourceError
        If the register does not hold the key.
    """
    try:
        return sources()[key]
    except KeyError:
        raise SourceError(f"no source {key!r} in the register") from None
