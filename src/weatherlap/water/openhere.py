"""Open here next: which single look tells most about where the water comes from."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from weatherlap.errors import InputError

HIT = 0.9
"""Chance that a look finds water where a cause would bring it. [-]"""
FALSE_ALARM = 0.1
"""Chance that a look finds water although the cause would not bring it there. [-]"""
ZONE_WIDE_IN = 16.0
ZONE_HIGH_IN = 12.0


@dataclass(frozen=True, slots=True)
class WetStrip:
    """A piece that water runs down on a face, at u from v ``high`` to ``low``. [in]"""

    face: int
    piece: int
    u: float
    high: float
    low: float


@dataclass(frozen=True, slots=True)
class Suspicion:
    """A cause that may be the right one: its odds, and what it would make wet."""

    name: str
    text: str
    odds: float
    wet: tuple[WetStrip, ...]


@dataclass(frozen=True, slots=True)
class Seen:
    """Something already seen: wet or dry at a place on a face, on a piece if that is known. [in]"""

    face: int
    u: float
    v: float
    piece: int | None
    wet: bool


@dataclass(frozen=True, slots=True)
class Look:
    """A place to open or meter, what it tells, and what each answer would mean.

    ``bits`` is the expected information about the causes; ``chance_wet`` the chance to find
    water; ``if_wet`` and ``if_dry`` are the chances of the suspicions after it, in order. [-]
    """

    face: int
    piece: int
    u: float
    v: float
    bits: float
    chance_wet: float
    if_wet: tuple[float, ...]
    if_dry: tuple[float, ...]


def _near(strip: WetStrip, face: int, u: float, v: float, piece: int | None) -> bool:
    return (
        strip.face == face
        and (piece is None or strip.piece == piece)
        and abs(strip.u - u) <= ZONE_WIDE_IN / 2
        and strip.low - ZONE_HIGH_IN / 2 <= v <= strip.high + ZONE_HIGH_IN / 2
    )


def _brings(suspicion: Suspicion, face: int, u: float, v: float, piece: int | None) -> bool:
    return any(_near(s, face, u, v, piece) for s in suspicion.wet)


def _likelihood(brings: bool, wet: bool) -> float:
    chance = HIT if brings else FALSE_ALARM
    return chance if wet else 1.0 - chance


def chances(suspicions: Sequence[Suspicion], seen: Sequence[Seen]) -> tuple[float, ...]:
    """The chance of each suspicion after what was seen, by Bayes' rule. [-]

    Raises
    ------
    InputError
        If there is no suspicion, or odds are not positive.

    Sources
    -------
    F-220 : chances of hitting and of a false alarm.
    """
    if not suspicions:
        raise InputError("suspects", "none", "at least one cause to weigh")
    weights = []
    for s in suspicions:
        if not (s.odds > 0 and math.isfinite(s.odds)):
            raise InputError(f"suspect {s.name!r}", f"odds {s.odds:g}", "odds above 0")
        weight = s.odds
        for e in seen:
            weight *= _likelihood(_brings(s, e.face, e.u, e.v, e.piece), e.wet)
        weights.append(weight)
    total = sum(weights)
    return tuple(w / total for w in weights)


def entropy_bits(chances_now: Sequence[float]) -> float:
    """How open the question still is. [bit]"""
    return -sum(p * math.log2(p) for p in chances_now if p > 0)


def _after(
    now: Sequence[float], brings: Sequence[bool], wet: bool
) -> tuple[float, tuple[float, ...]]:
    joint = [p * _likelihood(b, wet) for p, b in zip(now, brings, strict=True)]
    total = sum(joint)
    return total, tuple(j / total for j in joint)


def _zones(strip: WetStrip) -> list[float]:
    """Heights in the middle of the zones that a strip runs through. [in]"""
    count = max(1, round((strip.high - strip.low) / ZONE_HIGH_IN))
    step = (strip.high - strip.low) / count
    return [strip.high - (k + 0.5) * step for k in range(count)]


def looks(suspicions: Sequence[Suspicion], seen: Sequence[Seen], *, most: int = 10) -> list[Look]:
    """The places whose single look tells most, best first.

    A look is worth the information it is expected to give about which suspicion is right
    (mutual information of cause and answer).

    Raises
    ------
    InputError
        If there is no suspicion, or odds are not positive.

    Sources
    -------
    F-220 : chances of hitting and of a false alarm. F-221 : mutual information.
    """
    now = chances(suspicions, seen)
    open_bits = entropy_bits(now)
    found: dict[tuple[int, int, int, int], Look] = {}
    for suspicion in suspicions:
        for strip in suspicion.wet:
            for v in _zones(strip):
                key = (
                    strip.face,
                    strip.piece,
                    math.floor(strip.u / ZONE_WIDE_IN),
                    math.floor(v / ZONE_HIGH_IN),
                )
                look = _look(suspicions, now, open_bits, strip, v)
                if key not in found or look.bits > found[key].bits:
                    found[key] = look
    return sorted(found.values(), key=lambda k: (-round(k.bits, 9), -k.chance_wet))[:most]


def _look(
    suspicions: Sequence[Suspicion],
    now: Sequence[float],
    open_bits: float,
    strip: WetStrip,
    v: float,
) -> Look:
    brings = [_brings(s, strip.face, strip.u, v, strip.piece) for s in suspicions]
    wet, if_wet = _after(now, brings, True)
    dry, if_dry = _after(now, brings, False)
    bits = open_bits - wet * entropy_bits(if_wet) - dry * entropy_bits(if_dry)
    return Look(strip.face, strip.piece, strip.u, v, max(bits, 0.0), wet, if_wet, if_dry)
