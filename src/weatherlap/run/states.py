"""The two states of a job that can be asked about."""

from __future__ import annotations

from enum import StrEnum


class State(StrEnum):
    """Which state of the corner is asked about."""

    FOUND = "found"
    REPAIRED = "repaired"

    @property
    def words(self) -> str:
        """The state as papers say it."""
        return f"as {self.value}"
