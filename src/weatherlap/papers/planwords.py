"""Days, hours and chances as the papers of a plan say them."""

from __future__ import annotations

import datetime


def day_words(day: datetime.date) -> str:
    """A day, as Mon, Mar 2."""
    return f"{day:%a}, {day:%b} {day.day}"


def hours_words(hours_h: float) -> str:
    """Hours in words. [h]"""
    return "1 hour" if abs(hours_h - 1.0) < 0.05 else f"{hours_h:.1f} hours"


def percent(share: float) -> str:
    """A share as a whole percentage, never quite nothing or everything when it is not. [-]"""
    if 0 < share < 0.005:
        return "under 1 %"
    if 0.995 < share < 1:
        return "over 99 %"
    return f"{100 * share:.0f} %"


def tasks_words(count: int) -> str:
    """So many tasks."""
    return "1 task" if count == 1 else f"{count} tasks"


def initials(name: str) -> str:
    """The first letters of a name."""
    return "".join(word[0].upper() for word in name.split()[:3])
