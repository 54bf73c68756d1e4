"""Sideways bracing of a shore: the force it must take, the braces and their nails."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, hypot

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
MOST_NAILS = 8


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
    if min(shape.rise_in, shape.run_in) <= 0:
        raise InputError(f"brace {direction}", "no rise or no run", "both over 0 in")
    length = hypot(shape.rise_in, shape.run_in)
    limit, pushed_values = _push_limit(stock, shape.held_between_in or length, direction, duration)
    gravity, thin = reference(stock).gravity, min(stock.width_in, stock.depth_in)
    one, _, nail_values = lateral_value(
        Lateral(nail, gravity, gravity, thin, nail.length_in - thin, angle_deg=0.0)
    )
    for count in range(1, most + 1):
        axial = force_lb / count * length / shape.run_in
        nails = ceil(axial / (one * duration)) if one > 0 else MOST_NAILS + 1
        if axial <= limit and nails <= MOST_NAILS:
            given = (
                Value("H", force_lb, "lb", "S-060"), Value("braces", count, "-", "S-064"),
                Value("l/run", length / shape.run_in, "-", "S-066"),
            )  # fmt: skip
            lines = (
                _line(direction, "brace", "H l / (n run) <= F'c A", (*given, *pushed_values),
                      axial, limit),
                _line(direction, "brace nails", "H l / (n run) <= n Z CD",
                      (*given, *nail_values, Value("nails", nails, "-", "S-064")), axial,
                      nails * one * duration),
            )  # fmt: skip
            return BracePlan(direction, count, stock, length, nails, nail.name, lines)
    raise InputError(
        f"brace {direction}", f"{force_lb:.0f} lb on {most} braces", "braces that take it",
        "Take thicker braces, flatter ones, or more nails.",
    )  # fmt: skip


def _push_limit(
    stock: Stock, held_in: float, direction: str, duration: float
) -> tuple[float, tuple[Value, ...]]:
    """Push that one brace takes as a column, and the figures. [lb]"""
    member = Member("brace", Use.BRACE, (0, 0, 0), (held_in, 0, 0), stock)
    s = strength(member, duration=duration)
    slender = held_in / min(stock.width_in, stock.depth_in)
    if slender > SLENDER_WHILE_BUILDING:
        raise InputError(
            f"brace {direction}", f"slenderness {slender:.0f}", "75 or less",
            "Nail a stiffener to its flat side or hold it in the middle.",
        )  # fmt: skip
    cp = column_stability(s.fc_star.value, emin_psi=s.emin.value, slenderness=slender)
    area = stock.width_in * stock.depth_in
    values = (
        Value("le/d", slender, "-", "S-066"), Value("CP", cp, "-", "S-014"),
        Value("A", area, "in2", "S-062"), *s.fc_star.lines,
    )  # fmt: skip
    return s.fc_star.value * cp * area, values


def _line(
    direction: str, what: str, formula: str, values: tuple[Value, ...], axial: float, limit: float
) -> Check:
    """One check of the braces of a direction."""
    source = "S-049" if "nails" in what else "S-014"
    return check(
        f"braces {direction}", what=what, formula=formula, values=values, source=source,
        result=axial, limit=limit, unit="lb", words=f"{what.capitalize()} {direction}",
    )  # fmt: skip
