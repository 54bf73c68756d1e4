"""Hidden damage: how likely a covered piece is rotten, and how far, before it is opened.

Three states: sound, stained (wet but it holds), rotten. Water and years give the odds before
anybody looked; each reading and each push of an awl turns them by how often it is seen in each
state (Bayes). Every assumption is printed.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from weatherlap.errors import InputError
from weatherlap.money.amounts import Three

STATES = ("sound", "stained", "rotten")
Shares = tuple[float, float, float]

STAIN_DOSE = 60.0
"""Litres on a square foot over the years by which two of three pieces are stained. [L/ft2]"""
ROT_DOSE = 350.0
"""The same by which two of three pieces of untreated softwood are rotten. [L/ft2]"""
LEAST_CHANCE = 0.01
MOST_CHANCE = 0.97
READING_MEAN = (12.5, 21.0, 31.0)
READING_SPREAD = (3.5, 5.0, 8.0)
"""What a pin meter shows in each state: mean and standard deviation. [%]"""
EVIDENCE_FLOOR = 0.03
"""However far out a reading lies, it was seen this often: the meter may err. [-]"""


class Push(StrEnum):
    """What an awl pushed by hand says."""

    FIRM = "firm"
    SOFT = "soft"
    ROTTEN = "rotten"


PUSH_SEEN: dict[Push, Shares] = {
    Push.FIRM: (0.95, 0.75, 0.10),
    Push.SOFT: (0.045, 0.22, 0.35),
    Push.ROTTEN: (0.005, 0.03, 0.55),
}
"""How often each answer comes in each state. [-]"""

LASTS: dict[str, float] = {
    "treated": 6.0,
    "cedar": 3.0,
    "softwood": 1.0,
    "plywood": 0.8,
    "osb": 0.5,
    "fibreboard": 0.4,
    "gypsum": 0.4,
}
"""How much more water a material takes than untreated softwood. [-]"""

ASSUMPTIONS = (
    f"Untreated softwood that took {ROT_DOSE:g} litres on each square foot over the years is "
    f"rotten in two cases of three, stained from {STAIN_DOSE:g}; other materials take more or "
    "less water: " + ", ".join(f"{k} {v:g}" for k, v in LASTS.items()) + " times.",
    "A pin meter shows "
    + ", ".join(
        f"{m:g} +/- {s:g} % where the wood is {n}"
        for n, m, s in zip(STATES, READING_MEAN, READING_SPREAD, strict=True)
    )
    + ".",
    "An awl goes in firmly in "
    + ", ".join(f"{100 * PUSH_SEEN[Push.FIRM][k]:g} % of {STATES[k]} pieces" for k in range(3))
    + "; it finds rot in "
    + ", ".join(f"{100 * PUSH_SEEN[Push.ROTTEN][k]:g} %" for k in range(3))
    + ".",
    "A reading within the wet part counts; one outside it says only that the damage ends there.",
    "All of these are this program's own choices, not measured on your houses.",
)


@dataclass(frozen=True, slots=True)
class Sign:
    """A reading or a push of an awl: ``percent`` or ``push``, and where in words.

    ``in_wet`` says whether it stands in the part that the trace wets.
    """

    text: str
    percent: float | None = None
    push: Push | None = None
    in_wet: bool = True


@dataclass(frozen=True, slots=True)
class Covered:
    """A piece that nobody sees. [L, years, in the piece's unit]

    ``litres_a_year`` is what the trace brings there, ``wet`` how much of it lies in the water's
    way, ``whole`` how much of it there is, ``clear`` how much of it was found dry.
    """

    piece: str
    title: str
    role: str
    material: str
    litres_a_year: float
    years: float
    wet_ft2: float
    wet: float
    whole: float
    unit: str
    signs: tuple[Sign, ...] = ()
    clear: float = 0.0


@dataclass(frozen=True, slots=True)
class Turned:
    """One sign with the chance of rot after it. [-]"""

    text: str
    rotten_after: float


@dataclass(frozen=True, slots=True)
class Hidden:
    """What is to be feared of a piece: chance of rot, and how much of it then. [-]"""

    covered: Covered
    before: Shares
    after: Shares
    steps: tuple[Turned, ...]
    extent: Three

    @property
    def chance(self) -> float:
        """Chance that some of it is rotten. [-]"""
        return self.after[2]

    @property
    def expected(self) -> float:
        """Mean of what is rotten, in the piece's unit."""
        return self.chance * self.extent.mean


def dose_l_per_ft2(litres: float, years: float, wet_ft2: float) -> float:
    """Water on a square foot over the years. [L/ft2]

    Parameters
    ----------
    litres : float
        What the trace brings in a year. [L]
    years : float
        How long it has come in. [years]
    wet_ft2 : float
        The part that lies in its way; at least a tenth of a square foot is taken. [ft2]

    Sources
    -------
    E-007 : the yardstick of this program.
    """
    return litres * years / max(wet_ft2, 0.1)


def before_looking(dose: float, material: str) -> Shares:
    """Chances of the three states from the water alone. [-]

    Parameters
    ----------
    dose : float
        Water on a square foot over the years. [L/ft2]
    """
    if dose < 0 or not math.isfinite(dose):
        raise InputError("water that a piece took", f"found {dose:g} L", "0 or more")
    lasts = LASTS.get(material, 1.0)
    rotten = _held(1.0 - math.exp(-dose / (ROT_DOSE * lasts)))
    touched = _held(1.0 - math.exp(-dose / (STAIN_DOSE * lasts)))
    touched = max(touched, rotten)
    return 1.0 - touched, touched - rotten, rotten


def _held(chance: float) -> float:
    """A chance kept off 0 and 1: nobody has looked."""
    return min(max(chance, LEAST_CHANCE), MOST_CHANCE)


def seen_in(sign: Sign) -> Shares:
    """How often a sign is seen in each state. [-]"""
    if sign.push is not None:
        return PUSH_SEEN[sign.push]
    if sign.percent is None or not 0 <= sign.percent <= 100:
        raise InputError(sign.text, f"found {sign.percent}", "a reading from 0 to 100 %")
    rows = [
        _bell(sign.percent, mean, spread) + EVIDENCE_FLOOR / 100.0
        for mean, spread in zip(READING_MEAN, READING_SPREAD, strict=True)
    ]
    return rows[0], rows[1], rows[2]


def _bell(value: float, mean: float, spread: float) -> float:
    z = (value - mean) / spread
    return math.exp(-0.5 * z * z) / (spread * math.sqrt(2.0 * math.pi))


def turned_by(chances: Shares, seen: Shares) -> Shares:
    """Chances after a sign (Bayes). [-]

    Raises
    ------
    InputError
        If the sign cannot come in any state.
    """
    joint = [p * s for p, s in zip(chances, seen, strict=True)]
    whole = math.fsum(joint)
    if whole <= 0:
        raise InputError("sign", "it cannot come in any state", "one that can be seen")
    return joint[0] / whole, joint[1] / whole, joint[2] / whole


def hidden_damage(covered: Covered) -> Hidden:
    """Chance and extent of rot of a covered piece, with each step of the reasoning.

    The extent is a part of what lies in the water's way at least, all of it most likely, and
    past it at most, but never into what was found dry.

    Raises
    ------
    InputError
        If a quantity is negative, or a reading is none.
    """
    if min(covered.years, covered.wet, covered.whole, covered.litres_a_year) < 0:
        raise InputError(f"piece {covered.piece}", "a quantity below 0", "0 or more")
    dose = dose_l_per_ft2(covered.litres_a_year, covered.years, covered.wet_ft2)
    before = now = before_looking(dose, covered.material)
    steps = []
    for sign in (s for s in covered.signs if s.in_wet):
        now = turned_by(now, seen_in(sign))
        steps.append(Turned(sign.text, now[2]))
    return Hidden(covered, before, now, tuple(steps), extent_of(covered))


def extent_of(covered: Covered) -> Three:
    """How much is rotten if any is, in the piece's unit."""
    open_to = max(covered.whole - covered.clear, 0.0)
    likely = min(covered.wet, open_to)
    return Three(0.3 * likely, likely, max(likely, min(2.0 * covered.wet, open_to)))


def ranked(rows: Sequence[Hidden]) -> tuple[Hidden, ...]:
    """The most feared first."""
    return tuple(sorted(rows, key=lambda h: (-h.chance * h.extent.mean, h.covered.piece)))
