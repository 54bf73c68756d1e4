"""Sizes of sheet."""

from __future__ import annotations

from enum import StrEnum


class Paper(StrEnum):
    """A size of sheet."""

    LETTER = "letter"
    A4 = "a4"

    @property
    def sheet(self) -> str:
        """The size by the name that the typesetter knows."""
        return "us-letter" if self is Paper.LETTER else "a4"
