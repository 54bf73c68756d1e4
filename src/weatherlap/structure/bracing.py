"""Sideways bracing of a shore: the force it must take, the braces and their nails."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from weatherlap.errors import InputError
from weatherlap.structure.factors import strength
from weatherlap.structure.fasteners import Fastener, Lateral, lateral_value
from weatherlap.structure.lumber import reference
from weatherlap.structure.model import Member, Stock, Use
from weatherlap.structure.results import Check, Value, check
from weatherlap.structure.stability import column_stability

SHARE_SIDEWAYS = 0.02
LEAST_PLF = 100.0
IN_PER_FT = 12.0
SLENDER_WHILE_BUILDING = 75.0


def sideways_force_lb(vertical_lb: float, *, edge_ft: float) -> float:
    """Force that the bracing must take in each direction. [lb]

    Parameters
    ----------
    vertical_lb : float
        Load on the shore. [lb]
    edge_ft : float
        Length of the header. [ft]

    Sources
    -------
    S-060 : the larger of 2 % and 100 lb per foot of edge (rule of thumb).
    """
    if vertical_lb < 0 or edge_ft <= 0:
        raise InputError("bracing", "a negative load or no length", "a load and a length")
    return max(SHARE_SIDEWAYS * vertical_lb, LEAST_PLF * edge_ft)


@dataclass(frozen=True, slots=True)
class BracePlan:
    """Braces one way: how many, of what, how long, how many nails at each end. [in]"""

    direction: str
    count: int
    stock: Stock
    length_in: float
    nails_each_end: int
    nail: str
    checks: tuple[Check, ...]


@dataclass(frozen=True, slots=True)
class BraceShape:
    """Rise and run of one brace, and where it is held between its ends. [in]"""

    rise_in: float
    run_in: float
    held_between_in: float | None = None


def plan_braces(
    force_lb: float, *, direction: str, shape: BraceShape, stock: Stock, nail: Fastener,
    duration: float, most: int = 8,
) -> BracePlan:  # fmt: skip
    """The fewest braces that take a sideways force; each is taken to push as well as pull.

    Parameters
    ----------
    force_lb : float
        Sideways force. [lb]
    duration : float
        Load duration factor. [-]
    most : int
        Most braces. [-]

    Raises
    ------
    InputError
        A brace too slender, or no number of braces is enough.

    Sources
    -------
    S-014 : brace as a column. S-049 : nails.
    """
    length = hypot(shape.rise_in, shape.run_in)
    if min(shape.rise_in, shape.run_in) <= 0:
        raise InputError(f"brace {direction}", "no rise or no run", "both over 0 in")
    member = Member("brace", Use.BRACE, (0, 0, 0), (length, 0, 0), stock)
    s = strength(member, duration=duration)
    thin = min(stock.width_in, stock.depth_in)
    slender = (shape.held_between_in or length) / thin
    if slender > SLENDER_WHILE_BUILDING:
        raise InputError(
            f"brace {direction}", f"slenderness {slender:.0f}", "75 or less",
            "Nail a stiffener to its flat side or hold it in the middle.",
        )  # fmt: skip
    cp = column_stability(s.fc_star.value, emin_psi=s.emin.value, slenderness=slender)
    limit = s.fc_star.value * cp * stock.width_in * stock.depth_in
    gravity = reference(stock).gravity
    one, _, nail_values = lateral_value(
        Lateral(nail, gravity, gravity, thin, nail.length_in - thin, angle_deg=0.0)
    )
    for count in range(1, most + 1):
        axial = force_lb / count * length / shape.run_in
        nails = -(-axial // (one * duration)) if one > 0 else 99
        if axial <= limit and nails <= 8:
            values = (
                Value("H", force_lb, "lb", "S-060"), Value("braces", count, "-", "S-064"),
                Value("le/d", slender, "-", "S-066"), Value("CP", cp, "-", "S-014"),
                *s.fc_star.lines(),
            )  # fmt: skip
            pushed = check(
                f"braces {direction}", what="brace", formula="H l / (n run) <= F'c A",
                values=values, source="S-014", result=axial, limit=limit, unit="lb",
                words=f"Push in each brace {direction}",
            )  # fmt: skip
            nailed = check(
                f"braces {direction}", what="brace nails", formula="axial <= n Z CD",
                values=(*nail_values, Value("nails", nails, "-", "S-064")), source="S-049",
                result=axial, limit=nails * one * duration, unit="lb",
                words=f"Nails at each end of the braces {direction}",
            )  # fmt: skip
            return BracePlan(
                direction, count, stock, length, int(nails), nail.name, (pushed, nailed)
            )
    raise InputError(
        f"brace {direction}", f"{force_lb:.0f} lb on {most} braces", "braces that take it",
        "Take thicker braces, flatter ones, or more nails.",
    )  # fmt: skip
