"""Result records: one check is one line of the calculation appendix."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum


class Verdict(StrEnum):
    """What a check says. Never that anything is approved."""

    HOLDS = "holds"
    FAILS = "fails"
    OUTSIDE = "outside the method"


@dataclass(frozen=True, slots=True)
class Value:
    """A figure that went into a check: its symbol, size, unit and the key of its source."""

    symbol: str
    value: float
    unit: str
    source: str

    def text(self) -> str:
        """The figure as the appendix prints it."""
        unit = f" {self.unit}" if self.unit and self.unit != "-" else ""
        return f"{self.symbol} = {number(self.value)}{unit}"


def number(value: float) -> str:
    """A figure with what an engineer reads: thousands whole, small ones to four digits."""
    if not math.isfinite(value):
        return "no limit" if value > 0 else "none"
    if abs(value) >= 1000:
        return f"{value:,.0f}"
    return f"{value:.4g}"


@dataclass(frozen=True, slots=True)
class Check:
    """One line: what was asked of which member or joint, and whether it holds.

    ``ratio`` is result over limit: over 1 it fails. ``combination`` and ``stage`` say when.
    """

    about: str
    what: str
    formula: str
    values: tuple[Value, ...]
    source: str
    result: float
    limit: float
    unit: str
    ratio: float
    verdict: Verdict
    sentence: str
    combination: str = ""
    stage: str = ""
    governs: bool = True

    @property
    def holds(self) -> bool:
        """Whether the member or joint carries what is asked here."""
        return self.verdict is Verdict.HOLDS


@dataclass(frozen=True, slots=True)
class Missing:
    """A check that was stopped because a value is missing, and what to ask of whom."""

    about: str
    what: str
    value: str
    ask: str
    source: str


@dataclass(frozen=True, slots=True)
class Caution:
    """A short warning with the rule it comes from; ``stop`` ones end the work."""

    text: str
    source: str
    about: str = ""
    stop: bool = False


@dataclass(frozen=True, slots=True)
class EngineerNeeded:
    """A condition outside the method: ask a licensed engineer."""

    about: str
    why: str
    source: str


@dataclass(frozen=True, slots=True)
class Figured:
    """A figure worked out on the way to a check: a load, a length, a share. No limit."""

    about: str
    what: str
    formula: str
    values: tuple[Value, ...]
    source: str
    result: float
    unit: str

    @property
    def sentence(self) -> str:
        """The figure in words."""
        return f"{self.what} of {self.about}: {number(self.result)} {self.unit}."


ROUNDING = 1e-9


def check(
    about: str,
    *,
    what: str,
    formula: str,
    values: tuple[Value, ...],
    source: str,
    result: float,
    limit: float,
    unit: str,
    words: str,
    combination: str = "",
    stage: str = "",
) -> Check:
    """A check from its result and limit; the sentence gives both and the percentage.

    Parameters
    ----------
    result, limit : float
        What is asked and what is there, both in ``unit``.
    words : str
        Subject of the sentence: "bending stress of beam 'b1'".
    """
    ratio = _ratio(result, limit)
    verdict = Verdict.HOLDS if ratio <= 1.0 + ROUNDING else Verdict.FAILS
    tail = "within the limit" if verdict is Verdict.HOLDS else "more than it may be"
    share = f"{100 * ratio:.0f} %" if math.isfinite(ratio) else "no capacity"
    sentence = f"{words}: {number(result)} {unit} against {number(limit)} {unit} ({share}), {tail}."
    return Check(
        about, what, formula, values, source, result, limit, unit, ratio, verdict, sentence,
        combination, stage,
    )  # fmt: skip


def outside(
    about: str, *, what: str, source: str, words: str, combination: str = "", stage: str = ""
) -> Check:
    """A check that the method does not cover: it counts as not holding."""
    return Check(
        about, what, "", (), source, math.inf, 0.0, "", math.inf, Verdict.OUTSIDE, words,
        combination, stage,
    )  # fmt: skip


def _ratio(result: float, limit: float) -> float:
    """Result over limit; no limit left is an infinite ratio unless nothing is asked."""
    if limit > 0:
        return result / limit
    return 0.0 if result <= 0 else math.inf


def governing(checks: list[Check]) -> tuple[Check, ...]:
    """The worst check of each kind for each member or joint and stage, in order of appearance."""
    worst: dict[tuple[str, str, str], Check] = {}
    for one in checks:
        key = (one.about, one.what, one.stage)
        if key not in worst or one.ratio > worst[key].ratio:
            worst[key] = one
    return tuple(worst.values())
