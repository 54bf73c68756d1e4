"""Reminders as an iCalendar file (RFC 5545)."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

from weatherlap.run.closing import Reminder

LONGEST_LINE = 75


def reminders_ics(title: str, rows: Sequence[Reminder]) -> bytes:
    """All-day events with an alarm in the morning; the same bytes for the same reminders.

    Sources
    -------
    E-016 : text, folding and the parts of an event.
    """
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Weatherlap//close-out//EN"]
    for row in rows:
        name = hashlib.sha256(f"{title}|{row.day}|{row.title}".encode()).hexdigest()[:32]
        lines += [
            "BEGIN:VEVENT",
            f"UID:{name}@weatherlap",
            f"DTSTAMP:{row.day:%Y%m%d}T000000Z",
            f"DTSTART;VALUE=DATE:{row.day:%Y%m%d}",
            f"SUMMARY:{_text(f'{row.title}: {title}')}",
            f"DESCRIPTION:{_text(row.text)}",
            "TRANSP:TRANSPARENT",
            "BEGIN:VALARM",
            "ACTION:DISPLAY",
            "TRIGGER:PT8H",
            f"DESCRIPTION:{_text(row.title)}",
            "END:VALARM",
            "END:VEVENT",
        ]
    lines.append("END:VCALENDAR")
    return "".join(f"{part}\r\n" for line in lines for part in _folded(line)).encode("utf-8")


def _text(text: str) -> str:
    for sign in ("\\", ";", ","):
        text = text.replace(sign, f"\\{sign}")
    return text.replace("\r\n", "\n").replace("\n", "\\n")


def _folded(line: str) -> list[str]:
    """A line cut into parts of 75 bytes at most, each but the first led by a space."""
    parts, now = [], ""
    for sign in line:
        if len((now + sign).encode("utf-8")) > LONGEST_LINE:
            parts.append(now)
            now = " "
        now += sign
    return [*parts, now]
