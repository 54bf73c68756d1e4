"""Naming: what a piece is called on a drawing; runs of courses share one name."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from weatherlap.building.corner import Corner

COURSES = 3
"""From this many like pieces with numbers on, they are named together."""
_NUMBERED = re.compile(r"(.*?)[\s_.#-]*(\d+)")


@dataclass(frozen=True, slots=True)
class Name:
    """A name on a drawing and the pieces that it names."""

    words: str
    pieces: tuple[int, ...]


def names(corner: Corner, pieces: Iterable[int], *, courses: int = COURSES) -> list[Name]:
    """Names of pieces in their order; so many numbered courses of one kind share a name."""
    runs: dict[tuple[str, str], list[tuple[int, int]]] = {}
    for p in sorted(set(pieces)):
        piece = corner.pieces[p]
        numbered = _NUMBERED.fullmatch(piece.title)
        key = (numbered[1], piece.record.what or piece.sheet.value) if numbered else ("", str(p))
        runs.setdefault(key, []).append((p, int(numbered[2][:9]) if numbered else 0))
    found: list[Name] = []
    for (stem, _), members in runs.items():
        if stem and len(members) >= courses:
            words = _run_words(stem, [n for _, n in members])
            found.append(Name(words, tuple(p for p, _ in members)))
        else:
            found += [Name(corner.pieces[p].title, (p,)) for p, _ in members]
    return sorted(found, key=lambda name: name.pieces)


def _run_words(stem: str, numbers: Sequence[int]) -> str:
    return f"{stem} {min(numbers)} to {max(numbers)}"
