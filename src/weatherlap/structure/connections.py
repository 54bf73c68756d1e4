"""Joints that are fastened: nails, screws, lags and rated parts against pull and slip."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from weatherlap.structure.fasteners import (
    Fastener,
    Kind,
    Lateral,
    Manner,
    group_factor,
    lateral_value,
)
from weatherlap.structure.inspect_at import LEAST_PUSH_LB
from weatherlap.structure.lumber import reference
from weatherlap.structure.model import Framing, Hold, Joint, Support
from weatherlap.structure.results import Check, Missing, Value, check
from weatherlap.structure.staging import Carried, StageResult
from weatherlap.structure.withdrawal import (
    Moisture,
    wet_lateral_factor,
    wet_withdrawal_factor,
    withdrawal_value,
)

MOST_DURATION = 1.6
ALWAYS_DRY = Moisture()


@dataclass(frozen=True, slots=True)
class RatedPart:
    """A connector, base, cap or tie with the loads of its own report, as typed. [lb]

    ``duration`` is the load duration factor already in those loads. None: not rated that way.
    """

    name: str
    source: str
    up_lb: float | None = None
    down_lb: float | None = None
    side_lb: float | None = None
    duration: float = 1.6


@dataclass(frozen=True, slots=True)
class FastenerSet:
    """Equal fasteners at a joint. ``pulls_out``: uplift draws them out; else it slides them.

    Toe-nails are always drawn out by uplift.

    ``penetration_in`` is the length in the holding member, ``side_in`` the thickness of the other.
    ``in_row`` stand one behind the other along the load, ``apart_in`` from each to the next.
    """

    fastener: Fastener
    count: int
    side_in: float
    penetration_in: float
    manner: Manner = Manner.FACE
    pulls_out: bool = False
    moisture: Moisture = ALWAYS_DRY
    side_psi: float | None = None
    holds_in_upper: bool = False
    in_row: int = 1
    apart_in: float = 4.0


@dataclass(frozen=True, slots=True)
class Fastening:
    """What holds a joint or support together; several sets or a part, not added up.

    Nails and a connector stretch differently, so the larger of them counts, not their sum.
    """

    link: str
    sets: tuple[FastenerSet, ...] = ()
    part: RatedPart | None = None


@dataclass(frozen=True, slots=True)
class Held:
    """What a fastening can hold in one direction, and the figures behind it. [lb]"""

    pounds: float
    values: tuple[Value, ...]
    formula: str
    source: str


def _gravities(framing: Framing, link: Joint | Support, made: FastenerSet) -> tuple[float, float]:
    """Gravity of the holding member and of the other. [-]"""
    upper = reference(framing.member(link.owner).stock).gravity
    if isinstance(link, Support):
        return upper, upper
    lower = reference(framing.member(link.lower).stock).gravity
    return (upper, lower) if made.holds_in_upper else (lower, upper)


def slip_capacity(
    framing: Framing, link: Joint | Support, made: FastenerSet, *, duration: float
) -> Held:
    """Lateral strength of a set of fasteners. [lb]

    Parameters
    ----------
    duration : float
        Load duration factor, at most 1.6. [-]

    Sources
    -------
    S-049, S-052 : Z' = n Z CD CM Cd Ctn. S-069 : Cg, a row across the grain as wide as 4 D.
    """
    main, side = _gravities(framing, link, made)
    one, _, values = lateral_value(
        Lateral(
            made.fastener, main, side, made.side_in, made.penetration_in, made.manner, 90.0,
            made.side_psi,
        )
    )  # fmt: skip
    cm, cd = wet_lateral_factor(made.moisture), min(duration, MOST_DURATION)
    cg = _group(framing, link, made)
    shown = (
        *values, Value("n", made.count, "-", "S-066"), Value("CD", cd, "-", "S-009"),
        Value("CM", cm, "-", "S-052"),
    )  # fmt: skip
    if cg == 1.0:
        return Held(one * made.count * cm * cd, shown, "Z' = n Z CD CM", "S-049")
    shown = (*shown, Value("Cg", cg, "-", "S-069"))
    return Held(one * made.count * cm * cd * cg, shown, "Z' = n Z CD CM Cg", "S-049")


def _group(framing: Framing, link: Joint | Support, made: FastenerSet) -> float:
    """Group action of a set, the load across the grain of both members. [-]"""
    upper = reference(framing.member(link.owner).stock).e_psi
    lower = upper
    if isinstance(link, Joint):
        lower = reference(framing.member(link.lower).stock).e_psi
    main, side = (upper, lower) if made.holds_in_upper else (lower, upper)
    d = made.fastener.diameter_in
    return group_factor(
        made.in_row, diameter_in=d, apart_in=made.apart_in, side=side * made.side_in * 4 * d,
        main=main * made.penetration_in * 4 * d,
    )  # fmt: skip


def pull_capacity(
    framing: Framing, link: Joint | Support, made: FastenerSet, *, duration: float
) -> Held:
    """Withdrawal strength of a set of fasteners. [lb]

    Parameters
    ----------
    duration : float
        Load duration factor, at most 1.6. [-]

    Sources
    -------
    S-051, S-052 : W' = n W p CD CM.
    """
    main, _ = _gravities(framing, link, made)
    f = made.fastener
    held_in = f.threaded_in if f.kind in (Kind.SCREW, Kind.LAG) else made.penetration_in
    one, values = withdrawal_value(f, gravity=main, length_in=held_in, manner=made.manner)
    cm, cd = wet_withdrawal_factor(f, moisture=made.moisture), min(duration, MOST_DURATION)
    shown = (
        *values, Value("n", made.count, "-", "S-066"), Value("CD", cd, "-", "S-009"),
        Value("CM", cm, "-", "S-052"),
    )  # fmt: skip
    return Held(one * made.count * cm * cd, shown, "W' = n W p CD CM", "S-051")


def uplift_capacity(
    framing: Framing, link: Joint | Support, fastening: Fastening, *, duration: float
) -> Held | None:
    """What holds a joint down: the best of its sets and its part; None if nothing is rated so.

    Parameters
    ----------
    duration : float
        Load duration factor. [-]

    Sources
    -------
    S-049, S-051 : fasteners. S-066 : parts by their report.
    """
    choices = [
        (pull_capacity if _draws_out(made) else slip_capacity)(
            framing, link, made, duration=duration
        )
        for made in fastening.sets
    ]
    part = fastening.part
    if part is not None and part.up_lb is not None:
        choices.append(_rated(part, part.up_lb, duration))
    return max(choices, key=lambda h: h.pounds) if choices else None


def _draws_out(made: FastenerSet) -> bool:
    """Whether uplift draws the fasteners out: toe-nails lean only 30 degrees from it."""
    return made.pulls_out or made.manner is Manner.TOE


def _rated(part: RatedPart, pounds: float, duration: float) -> Held:
    """A rated part, taken down to the duration of the load, never up."""
    share = min(1.0, duration / part.duration)
    values = (
        Value(f"rating of {part.name} ({part.source})", pounds, "lb", "S-066"),
        Value("CD / CD of rating", share, "-", "S-009"),
    )
    return Held(pounds * share, values, "rating x CD / CD of rating", "S-066")


def side_capacity(
    framing: Framing, link: Joint | Support, fastening: Fastening, *, duration: float
) -> Held | None:
    """What keeps a joint from sliding: the best of its sets and its part.

    Parameters
    ----------
    duration : float
        Load duration factor. [-]

    Sources
    -------
    S-049 : fasteners. S-066 : parts by their report.
    """
    choices = [
        slip_capacity(framing, link, made, duration=duration)
        for made in fastening.sets
        if made.manner is not Manner.END
    ]
    part = fastening.part
    if part is not None and part.side_lb is not None:
        choices.append(_rated(part, part.side_lb, duration))
    return max(choices, key=lambda h: h.pounds) if choices else None


def connection_checks(
    framing: Framing,
    *,
    stage: StageResult,
    carried: Carried,
    fastenings: dict[str, Fastening],
) -> tuple[list[Check], list[Missing]]:
    """Pull, slip and the rating of parts at every joint of a stage under one combination.

    Sources
    -------
    S-049, S-051, S-066.
    """
    checks: list[Check] = []
    missing: list[Missing] = []
    for link in stage.links:
        x, y, z = carried.push_lb[link.id]
        fastening = fastenings.get(link.id)
        hung = link.hold is Hold.HUNG
        if fastening is None:
            if z < -LEAST_PUSH_LB or hung:
                missing.append(_unfastened(link))
            continue
        checks += _one_link(framing, link, fastening, (hypot(x, y), z), stage, carried)
    return checks, missing


def _unfastened(link: Joint | Support) -> Missing:
    """A joint that must pull and whose fastening is not known."""
    return Missing(
        link.id, "uplift", "what ties it down",
        f"Look what fastens {link.id!r}: nails (number, size), straps or a base, and its report.",
        "S-064",
    )  # fmt: skip


def _one_link(
    framing: Framing, link: Joint | Support, fastening: Fastening, force: tuple[float, float],
    stage: StageResult, carried: Carried,
) -> list[Check]:  # fmt: skip
    """Checks of one fastened joint: down on a rated part, up, and sideways."""
    duration = carried.combination.duration
    sideways, down = force
    part = fastening.part
    asked: list[tuple[str, float, Held | None]] = []
    if down > LEAST_PUSH_LB and part is not None and part.down_lb is not None:
        asked.append(("load on rated part", down, _rated(part, part.down_lb, duration)))
    if link.hold is Hold.HUNG and fastening.sets:
        held = side_capacity(framing, link, fastening, duration=duration)
        asked.append(("shear of its fasteners", hypot(sideways, down), held))
        sideways = 0.0
    if down < -LEAST_PUSH_LB:
        held = uplift_capacity(framing, link, fastening, duration=duration)
        asked.append(("uplift", -down, held))
    if sideways > LEAST_PUSH_LB:
        held = side_capacity(framing, link, fastening, duration=duration)
        asked.append(("slip", sideways, held))
    return [
        check(
            link.id, what=what, formula=f"T <= {held.formula}",
            values=(Value("T", pounds, "lb", "S-062"), *held.values), source=held.source,
            result=pounds, limit=held.pounds, unit="lb",
            words=f"{what.capitalize()} at {link.id!r}",
            combination=carried.combination.id, stage=stage.stage.id,
        )
        for what, pounds, held in asked
        if held is not None
    ]  # fmt: skip
