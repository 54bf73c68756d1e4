"""The text that a job was read from."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Source:
    """A job file's text and name; two jobs that hold the same are the same, wherever read."""

    text: str = field(default="", compare=False, repr=False)
    file: str = field(default="", compare=False)
