"""What makes the tables of bent metal whole: pieces that exist, bends between all legs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from weatherlap.job.lines import Path
from weatherlap.job.problems import Fault, near
from weatherlap.units import shown


def bend_faults(data: Mapping[str, Any]) -> Iterator[Fault]:
    """What does not hold together in the tables of bent metal, on the plain data."""
    known = {row.get("id") for row in _rows(data, "piece")}
    added = (row.get("new") for row in _rows(data, "change"))
    known |= {new.get("id") for new in added if isinstance(new, dict)}
    names = frozenset(name for name in known if isinstance(name, str))
    seen: set[object] = set()
    for number, row in enumerate(_rows(data, "bent")):
        name = row.get("piece")
        if isinstance(name, str) and name not in names:
            do = near(name, names) or "Name a piece of the job."
            path: Path = ("bent", number, "piece")
            yield Fault(path, f"there is no piece {shown(name)}", "the id of a piece", do)
        elif isinstance(name, str) and name in seen:
            yield Fault(
                ("bent", number, "piece"), f"{shown(name)} has a [[bent]] already",
                "one [[bent]] for each piece", "Put the keys of both together.",
            )  # fmt: skip
        seen.add(name if isinstance(name, str) else None)
    for number, row in enumerate(_rows(data, "profile")):
        yield from _leg_faults(number, row.get("legs"))


def _rows(data: Mapping[str, Any], table: str) -> list[dict[str, Any]]:
    rows = data.get(table)
    return [r if isinstance(r, dict) else {} for r in rows] if isinstance(rows, list) else []


def _leg_faults(number: int, legs: object) -> Iterator[Fault]:
    """Every leg but the last ends in a bend, the last in none."""
    rows = [r if isinstance(r, dict) else {} for r in legs] if isinstance(legs, list) else []
    for which, leg in enumerate(rows):
        path: Path = ("profile", number, "legs", which)
        last = which == len(rows) - 1
        for key in ("turn", "toward"):
            if last and key in leg:
                yield Fault(
                    (*path, key), f"the last leg has a `{key}`", "no bend at the end of it",
                    "Take it out, or add the leg that follows.",
                )  # fmt: skip
            elif not last and key not in leg:
                yield Fault(
                    path, f"leg {which + 1} has no `{key}`",
                    "`turn` and `toward` on every leg but the last",
                )  # fmt: skip
