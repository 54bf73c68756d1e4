"""The rules for laps, clearances and flashings, read from ``data/rules_water.toml``."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib.resources import files
from types import MappingProxyType

from weatherlap.errors import SourceError
from weatherlap.sources.register import source


class Basis(StrEnum):
    """Whose rule it is."""

    CODE = "code"
    PRACTICE = "practice"
    PHYSICS = "physics"


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: what is asked at least, where that is written, and how it was seen.

    ``value`` is the least in ``unit``, ``good`` what practice advises beyond it.
    """

    key: str
    title: str
    code: str
    section: str
    edition: str
    value: float
    unit: str
    basis: Basis
    source: str
    good: float | None = None

    @property
    def cited(self) -> str:
        """The rule's source in one line for a paper."""
        return source(self.source).short()

    @property
    def asked_by(self) -> str:
        """Who asks it, in a word or two: ``IRC R703.2``, ``good practice``, ``physics``."""
        if self.basis is Basis.CODE:
            return f"{self.code} {self.section.split(';')[0]}"
        return "good practice" if self.basis is Basis.PRACTICE else "physics"


@cache
def rulebook() -> Mapping[str, Rule]:
    """Every rule by its key (read only).

    Raises
    ------
    SourceError
        If a rule cites a source that the register does not hold.
    """
    data = files("weatherlap.sources") / "data" / "rules_water.toml"
    rows = tomllib.loads(data.read_text("utf-8"))
    rules = {}
    for key, row in rows.items():
        rules[key] = Rule(key=key, **{**row, "basis": Basis(row["basis"])})
        if rules[key].value < 0:
            raise SourceError(f"rule {key!r}: a value below 0")
        source(rules[key].source)
    return MappingProxyType(rules)


def rule(key: str) -> Rule:
    """The rule of a key.

    Raises
    ------
    SourceError
        If there is no such rule.
    """
    try:
        return rulebook()[key]
    except KeyError:
        raise SourceError(f"no rule {key!r} in the rule book") from None
