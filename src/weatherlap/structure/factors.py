"""Adjustment factors of the NDS, one function a factor, and the adjusted values of a member."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache
from math import prod

from weatherlap.errors import InputError
from weatherlap.structure.lumber import Book, Reference, nominal, reference
from weatherlap.structure.model import Case, Member, Service, Stock
from weatherlap.structure.results import Value
from weatherlap.structure.tables import table

DURATION = {
    Case.DEAD: 0.90,
    Case.LIVE: 1.00,
    Case.SNOW: 1.15,
    Case.SNOW_UNBALANCED: 1.15,
    Case.SNOW_SLIDING: 1.15,
    Case.RAIN_ON_SNOW: 1.15,
    Case.ROOF_LIVE: 1.25,
    Case.WIND_DOWN: 1.60,
    Case.WIND_UP: 1.60,
    Case.WIND_SIDE: 1.60,
}
HOTTEST_F = 150.0
WET_BENDING_CLIFF_PSI = 1150.0
WET_COMPRESSION_CLIFF_PSI = 750.0


@dataclass(frozen=True)
class Adjusted:
    """A reference value and its factors in order, for the appendix. [psi]"""

    symbol: str
    base: Value
    factors: tuple[Value, ...]

    @cached_property
    def value(self) -> float:
        """Reference value times all factors. [psi]"""
        return self.base.value * prod(f.value for f in self.factors)

    def with_factor(self, symbol: str, factor: Value) -> Adjusted:
        """The same with one more factor."""
        return Adjusted(symbol, self.base, (*self.factors, factor))

    @cached_property
    def lines(self) -> tuple[Value, ...]:
        """Base, the factors that are not 1, and the product."""
        moved = tuple(f for f in self.factors if abs(f.value - 1.0) > 1e-12)
        return (self.base, *moved, Value(self.symbol, self.value, "psi", self.base.source))


@dataclass(frozen=True, slots=True)
class Strength:
    """Adjusted values of a member for one duration, before stability factors."""

    fb_star: Adjusted
    flat: float
    ft: Adjusted
    fv: Adjusted
    fc_perp: Adjusted
    fc_star: Adjusted
    e: Adjusted
    emin: Adjusted
    gravity: float
    book: Book


def size_factors(stock: Stock, ref: Reference) -> tuple[float, float, float]:
    """Size factors on Fb, Ft and Fc. [-]

    Sources
    -------
    S-008 : Table 4A sizes and Stud grade.
    S-005 : Southern Pine, built in; 0.9 over 12 in; 1.1 on Fb for 4 in thick, 8 in and wider.
    S-003 : timbers deeper than 12 in, (12/d)^(1/9) on Fb.
    """
    thin, wide = sorted((stock.width_in, stock.depth_in))
    if ref.book is Book.TYPED:
        typed = stock.typed
        assert typed is not None
        return (12.0 / stock.depth_in) ** typed.depth_exponent, 1.0, 1.0
    if ref.book is Book.TIMBER:
        deep = stock.depth_in
        return ((12.0 / deep) ** (1 / 9) if deep > 12.0 else 1.0), 1.0, 1.0
    if ref.book is Book.SOUTHERN_PINE:
        over = 0.9 if nominal(wide) > 12 else 1.0
        thick = 1.1 if thin > 3.0 and nominal(wide) >= 8 else 1.0
        return over * thick, over, over
    if stock.grade == "Stud" and wide <= 6.0:
        return (1.1, 1.1, 1.05) if nominal(wide) <= 4 else (1.0, 1.0, 1.0)
    for row in table("lumber")["size_factor"]:
        if nominal(wide) <= row["to_nominal_in"]:
            fb2, fb4, ft, fc = row["factors"]
            return (fb4 if thin > 3.0 else fb2), ft, fc
    raise AssertionError("the last row of the size factors has no upper width")


def wet_factors(
    ref: Reference, *, wet: bool, fb_cf_psi: float, fc_cf_psi: float
) -> dict[str, float]:
    """Wet service factors by value. [-]

    Parameters
    ----------
    fb_cf_psi, fc_cf_psi : float
        Reference value times size factor, which decides whether bending and compression lose. [psi]

    Raises
    ------
    InputError
        Engineered lumber that its report does not allow wet.

    Sources
    -------
    S-010 : wet service factors.
    """
    dry = dict.fromkeys(("fb", "ft", "fv", "fc_perp", "fc", "e"), 1.0)
    if not wet or ref.already_wet:
        return dry
    if ref.book is Book.TYPED:
        raise InputError(
            "engineered lumber", "wet service", "dry service, or a report that allows wet use"
        )
    if ref.book is Book.TIMBER:
        return dry | {"fc_perp": 0.67, "fc": 0.91}
    return {
        "fb": 1.0 if fb_cf_psi <= WET_BENDING_CLIFF_PSI else 0.85,
        "ft": 1.0,
        "fv": 0.97,
        "fc_perp": 0.67,
        "fc": 1.0 if fc_cf_psi <= WET_COMPRESSION_CLIFF_PSI else 0.8,
        "e": 0.9,
    }


def temperature_factors(temperature_f: float, *, wet: bool) -> tuple[float, float]:
    """Factors for sustained heat: on tension and stiffness, on all others. [-]

    Raises
    ------
    InputError
        Over 150 F.

    Sources
    -------
    S-011 : temperature factor.
    """
    if temperature_f > HOTTEST_F:
        raise InputError("temperature", f"{temperature_f:g} F", "at most 150 F")
    if temperature_f <= 100.0:
        return 1.0, 1.0
    if temperature_f <= 125.0:
        return 0.9, (0.7 if wet else 0.8)
    return 0.9, (0.5 if wet else 0.7)


def flat_use_factor(stock: Stock, ref: Reference) -> float:
    """Flat use factor on Fb of stock laid flat. [-]

    Sources
    -------
    S-011 : flat use factor of Table 4A; taken for Table 4B as well.
    """
    if ref.book in (Book.TIMBER, Book.TYPED):
        return 1.0
    thin, wide = sorted((stock.width_in, stock.depth_in))
    for row in table("lumber")["flat_use"]:
        if nominal(wide) <= row["to_nominal_in"]:
            return float(row["factors"][1 if thin > 3.0 else 0])
    raise AssertionError("the last row of the flat use factors has no upper width")


def bearing_area_factor(length_in: float, *, from_end_in: float) -> float:
    """Bearing area factor Cb: a short bearing away from the end squashes less. [-]

    Parameters
    ----------
    length_in : float
        Length of the bearing along the member. [in]
    from_end_in : float
        Distance from the bearing's edge to the member's end. [in]

    Sources
    -------
    S-012 : (lb + 0.375) / lb under 6 in long and 3 in or more from the end.
    """
    if length_in <= 0 or length_in >= 6.0 or from_end_in < 3.0:
        return 1.0
    return (length_in + 0.375) / length_in


def strength(member: Member, *, duration: float) -> Strength:
    """Adjusted design values of a member for one load duration.

    Parameters
    ----------
    duration : float
        Load duration factor of the combination. [-]

    Sources
    -------
    S-009 : duration does not change Fc-perp, E, Emin.
    S-011 : repetitive 1.15, incising 0.8 on strength and 0.95 on stiffness.
    """
    return _strength(member.stock, member.service, member.repetitive, member.flat, duration)


@dataclass(frozen=True, slots=True)
class _Factors:
    """Factors common to several values. [-]"""

    cd: Value
    ct: Value
    ct_e: Value
    ci: Value
    ci_e: Value
    wet: dict[str, float]

    def cm(self, which: str) -> Value:
        """Wet service factor of one value. [-]"""
        return Value("CM", self.wet[which], "-", "S-010")


@lru_cache(maxsize=4096)
def _strength(
    stock: Stock, service: Service, repetitive: bool, flat: bool, duration: float
) -> Strength:
    """The same by what it depends on, kept."""
    ref = reference(stock)
    cf_b, cf_t, cf_c = size_factors(stock, ref)
    fb_cf, fc_cf = ref.fb_psi * cf_b, ref.fc_psi * cf_c
    wet = wet_factors(ref, wet=service.wet, fb_cf_psi=fb_cf, fc_cf_psi=fc_cf)
    heat_e, heat = temperature_factors(service.temperature_f, wet=service.wet)
    cut, cut_e = (0.80, 0.95) if service.incised and ref.book in _THIN_BOOKS else (1.0, 1.0)
    shared = 1.15 if repetitive and ref.book in _THIN_BOOKS else 1.0
    f = _Factors(
        Value("CD", duration, "-", "S-009"), Value("Ct", heat, "-", "S-011"),
        Value("Ct", heat_e, "-", "S-011"), Value("Ci", cut, "-", "S-011"),
        Value("Ci", cut_e, "-", "S-011"), wet,
    )  # fmt: skip
    cf = tuple(Value("CF", v, "-", "S-008") for v in (cf_b, cf_t, cf_c))
    cr = Value("Cr", shared, "-", "S-011")

    def adjusted(symbol: str, name: str, psi: float, *factors: Value) -> Adjusted:
        return Adjusted(symbol, Value(name, psi, "psi", ref.source), factors)

    return Strength(
        adjusted("Fb*", "Fb", ref.fb_psi, f.cd, f.cm("fb"), f.ct, cf[0], f.ci, cr),
        flat_use_factor(stock, ref) if flat else 1.0,
        adjusted("F't", "Ft", ref.ft_psi, f.cd, f.cm("ft"), f.ct_e, cf[1], f.ci),
        adjusted("F'v", "Fv", ref.fv_psi, f.cd, f.cm("fv"), f.ct, f.ci),
        adjusted("F'cp", "Fcp", ref.fc_perp_psi, f.cm("fc_perp"), f.ct),
        adjusted("Fc*", "Fc", ref.fc_psi, f.cd, f.cm("fc"), f.ct, cf[2], f.ci),
        adjusted("E'", "E", ref.e_psi, f.cm("e"), f.ct_e, f.ci_e),
        adjusted("E'min", "Emin", ref.emin_psi, f.cm("e"), f.ct_e, f.ci_e),
        ref.gravity,
        ref.book,
    )


_THIN_BOOKS = (Book.DIMENSION, Book.SOUTHERN_PINE)
