"""Withdrawal of nails, screws and lags, and what wet wood takes from connections."""

from __future__ import annotations

from dataclasses import dataclass

from weatherlap.structure.fasteners import Fastener, Kind, Manner
from weatherlap.structure.results import Value


def withdrawal_lb_per_in(fastener: Fastener, *, gravity: float) -> float:
    """Reference withdrawal value per inch of penetration or thread, side grain. [lb/in]

    Parameters
    ----------
    gravity : float
        Specific gravity of the holding member. [-]

    Sources
    -------
    S-051 : nail 1380 G^2.5 D; ring-shank 1800 G^2 D; screw 2850 G^2 D; lag 1800 G^1.5 D^0.75.
    """
    d = fastener.diameter_in
    by_kind = {
        Kind.NAIL: 1380.0 * gravity**2.5 * d,
        Kind.RING_NAIL: 1800.0 * gravity**2 * d,
        Kind.SCREW: 2850.0 * gravity**2 * d,
        Kind.LAG: 1800.0 * gravity**1.5 * d**0.75,
    }
    return float(by_kind[fastener.kind])


@dataclass(frozen=True, slots=True)
class Moisture:
    """Whether the wood is wet when it is fastened and later in service."""

    wet_at_making: bool = False
    wet_in_service: bool = False


def wet_lateral_factor(moisture: Moisture) -> float:
    """Wet service factor on lateral value. [-]

    Sources
    -------
    S-052.
    """
    return 0.7 if moisture.wet_at_making or moisture.wet_in_service else 1.0


def wet_withdrawal_factor(fastener: Fastener, *, moisture: Moisture) -> float:
    """Wet service factor on withdrawal. [-]

    Sources
    -------
    S-052 : smooth nails 0.25 where the wood dries or wets between; screws and lags 0.7 wet.
    """
    if fastener.kind is Kind.NAIL:
        return 0.25 if moisture.wet_at_making != moisture.wet_in_service else 1.0
    return 0.7 if moisture.wet_in_service else 1.0


def withdrawal_value(
    fastener: Fastener, *, gravity: float, length_in: float, manner: Manner
) -> tuple[float, tuple[Value, ...]]:
    """Reference withdrawal value of one fastener before duration and service. [lb]

    Parameters
    ----------
    gravity : float
        Specific gravity of the holding member. [-]
    length_in : float
        Penetration of a nail, thread of a screw or lag. [in]

    Sources
    -------
    S-051, S-052 : toe-nail 0.67; end grain nails and screws 0, lags 0.75.
    """
    per_inch = withdrawal_lb_per_in(fastener, gravity=gravity)
    end = 0.75 if fastener.kind is Kind.LAG else 0.0
    manner_factor = {Manner.FACE: 1.0, Manner.TOE: 0.67, Manner.END: end}[manner]
    values = (
        Value("W", per_inch, "lb/in", "S-051"), Value("p", length_in, "in", "S-066"),
        Value("G", gravity, "-", "S-022"), Value(f"{manner} factor", manner_factor, "-", "S-052"),
    )  # fmt: skip
    return per_inch * length_in * manner_factor, values
