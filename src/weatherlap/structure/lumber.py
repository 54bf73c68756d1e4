"""Reference design values of a stock, by the table that holds it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from weatherlap.errors import InputError
from weatherlap.structure.model import Stock
from weatherlap.structure.tables import table

SPECIES_NAMES = {
    "DF-L": "Douglas Fir-Larch",
    "HF": "Hem-Fir",
    "SPF": "Spruce-Pine-Fir",
    "SPF-S": "Spruce-Pine-Fir (South)",
    "SP": "Southern Pine",
}
THINNEST_IN = 1.5
THICKEST_DIMENSION_IN = 4.0
THINNEST_TIMBER_IN = 4.5


class Book(StrEnum):
    """The table of the NDS Supplement that holds a stock."""

    DIMENSION = "4A"
    SOUTHERN_PINE = "4B"
    TIMBER = "4D"
    TYPED = "maker's report"


@dataclass(frozen=True, slots=True)
class Reference:
    """Reference design values before any factor. [psi; gravity -]"""

    fb_psi: float
    ft_psi: float
    fv_psi: float
    fc_perp_psi: float
    fc_psi: float
    e_psi: float
    emin_psi: float
    gravity: float
    book: Book
    source: str
    already_wet: bool = False


def reference(stock: Stock) -> Reference:
    """Reference design values of a stock.

    Parameters
    ----------
    stock : Stock
        Size of one ply, species and grade, or values typed from a report. [in, psi]

    Raises
    ------
    InputError
        Unknown species or grade, or a size that no table holds.

    Sources
    -------
    S-001, S-002, S-003, S-004 : dimension lumber, Table 4A.
    S-005, S-006 : Southern Pine, Table 4B, in force since 1 June 2013.
    S-007 : timbers, Table 4D.
    """
    if stock.typed is not None:
        return _typed(stock)
    if stock.species not in SPECIES_NAMES:
        raise InputError(
            f"stock {stock.width_in:g} x {stock.depth_in:g}", f"species {stock.species!r}",
            f"one of {', '.join(SPECIES_NAMES)}, or typed values from a maker's report",
        )  # fmt: skip
    thin = min(stock.width_in, stock.depth_in)
    if THINNEST_IN <= thin <= THICKEST_DIMENSION_IN:
        return _southern_pine(stock) if stock.species == "SP" else _dimension(stock)
    if thin >= THINNEST_TIMBER_IN:
        return _timber(stock)
    raise InputError(
        f"stock {stock.width_in:g} x {stock.depth_in:g}", f"a thickness of {thin:g} in",
        "1.5 to 4 in (dimension lumber) or 4.5 in and more (timber)",
    )  # fmt: skip


def _typed(stock: Stock) -> Reference:
    """Values of engineered lumber as the user typed them."""
    t = stock.typed
    assert t is not None
    values = (t.fb_psi, t.ft_psi, t.fv_psi, t.fc_perp_psi, t.fc_psi, t.e_psi, t.emin_psi)
    if min(values) <= 0 or not t.source:
        raise InputError(
            f"typed values of {t.name!r}", "a value of 0 or less, or no source",
            "all seven values over 0 psi and the report they come from",
        )  # fmt: skip
    return Reference(
        t.fb_psi, t.ft_psi, t.fv_psi, t.fc_perp_psi, t.fc_psi, t.e_psi, t.emin_psi, t.gravity,
        Book.TYPED, "S-066", t.wet_allowed,
    )  # fmt: skip


def _grade_error(stock: Stock, rows: list[dict[str, Any]]) -> InputError:
    """An unknown grade, with the grades that the table has."""
    known = sorted({str(r["grade"]) for r in rows if r.get("species", "SP") == stock.species})
    return InputError(
        f"stock {stock.width_in:g} x {stock.depth_in:g}, {stock.species}",
        f"grade {stock.grade!r}",
        f"one of {', '.join(known) or 'none: no such stock in the table'}",
        "Read the grade stamp; without one, use the lowest that fits or ask a grader.",
    )  # fmt: skip


def _row(row: dict[str, Any], species: str, book: Book, *, already_wet: bool = False) -> Reference:
    """A row of a table as a reference."""
    fb, ft, fv, fc_perp, fc, e, emin = (float(v) for v in row["values"])
    gravity = float(table("lumber")["gravity"][species])
    return Reference(
        fb, ft, fv, fc_perp, fc, e, emin, gravity, book, str(row["source"]), already_wet
    )


def _dimension(stock: Stock) -> Reference:
    """A row of Table 4A; a Stud over 6 in wide uses No.3."""
    wide_stud = stock.grade == "Stud" and max(stock.width_in, stock.depth_in) > 6.0
    grade = "No.3" if wide_stud else stock.grade
    rows = table("lumber")["dimension"]
    for row in rows:
        if row["species"] == stock.species and row["grade"] == grade:
            return _row(row, stock.species, Book.DIMENSION)
    raise _grade_error(stock, rows)


def _southern_pine(stock: Stock) -> Reference:
    """A row of Table 4B, by width."""
    rows = table("lumber")["southern_pine"]
    wide = min(nominal(max(stock.width_in, stock.depth_in)), 12)
    for row in rows:
        if row["grade"] == stock.grade and wide <= row["to_nominal_in"]:
            return _row(row, "SP", Book.SOUTHERN_PINE)
    raise _grade_error(stock, rows)


def _timber(stock: Stock) -> Reference:
    """A row of Table 4D; beams and stringers are more than 2 in deeper than thick."""
    short, long = sorted((stock.width_in, stock.depth_in))
    kind = "beam" if long - short > 2.0 + 1e-9 else "post"
    rows = table("lumber")["timber"]
    for row in rows:
        if (
            row["species"] == stock.species
            and row["grade"] == stock.grade
            and row["class"] in (kind, "all")
        ):
            return _row(row, stock.species, Book.TIMBER, already_wet=stock.species == "SP")
    raise _grade_error(stock, [r for r in rows if r["class"] in (kind, "all")])


def nominal(dressed_in: float) -> int:
    """Nominal width of a dressed or full-sawn one, the larger where between. [in]

    Sources
    -------
    S-021 : dressed sizes.
    """
    for name, dressed in table("lumber")["dressed_in"].items():
        if dressed_in <= dressed + 0.26:
            return int(name)
    return 16


def weight_pcf(stock: Stock, *, wet: bool, treated: bool) -> float:
    """Weight of the wood. [pcf]

    Sources
    -------
    S-022 : by species at 15 % moisture.
    S-061 : wet treated lumber 45 pcf or more.
    """
    if stock.typed is not None:
        return stock.typed.weight_pcf
    rows = table("lumber")["weight_pcf"]
    dry = float(rows.get(stock.species, rows["SP"]))
    return max(dry, float(rows["wet_treated"])) if wet or treated else dry


def describe(stock: Stock) -> str:
    """A stock in the trade's words: ``2-2x10 SPF No.2``, engineered lumber by its name."""
    plies = f"{stock.plies}-" if stock.plies > 1 else ""
    if stock.typed is not None:
        return f"{plies}{size_name(stock)} {stock.typed.name}"
    return f"{plies}{size_name(stock)} {stock.species} {stock.grade}"


def size_name(stock: Stock) -> str:
    """``2x10`` for a dressed size, else the measured inches."""
    by_size = {v: k for k, v in table("lumber")["dressed_in"].items()}
    if min(stock.width_in, stock.depth_in) >= THINNEST_TIMBER_IN:
        by_size = {v: k for k, v in table("lumber")["timber_dressed_in"].items()}
    wide, deep = by_size.get(stock.width_in), by_size.get(stock.depth_in)
    if wide and deep:
        return f"{wide}x{deep}"
    return f"{stock.width_in:g} in x {stock.depth_in:g} in"
