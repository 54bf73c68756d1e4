"""What a temporary post stands on: sill or pad on soil, slab or deck."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import sqrt

from weatherlap.errors import InputError
from weatherlap.structure.factors import strength
from weatherlap.structure.lumber import describe
from weatherlap.structure.model import Member, Service, Stock, Use
from weatherlap.structure.results import Check, Missing, Value, check
from weatherlap.structure.site import missing_value
from weatherlap.structure.tables import table

IN2_PER_FT2 = 144.0
PLAIN_CONCRETE_PHI = 0.60
STRENGTH_PER_ALLOWABLE = 1.6
SILL_STEP_IN = 6.0
LONGEST_SILL_IN = 96.0
SHORTEST_SILL_IN = 24.0


class GroundKind(StrEnum):
    """What is under a stretch of the shore line."""

    SOIL = "soil"
    SLAB = "slab on ground"
    DECK = "deck or framed floor"


@dataclass(frozen=True, slots=True)
class Ground:
    """A stretch of ground along a shore line. [in, psf, psi, lb]

    ``soil``: a name of the soil table, or None with ``soil_psf`` typed. ``most_lb``: what a deck
    may take at one place, as an engineer gave it.
    """

    kind: GroundKind
    from_in: float
    to_in: float
    level_in: float = 0.0
    soil: str | None = None
    soil_psf: float | None = None
    slab_in: float | None = None
    slab_psi: float = 2500.0
    most_lb: float | None = None


@dataclass(frozen=True, slots=True)
class Sill:
    """A sill laid flat under a post: stock and length along the wall. [in]"""

    stock: Stock
    length_in: float
    checks: tuple[Check, ...]

    @property
    def words(self) -> str:
        """The sill in the trade's words."""
        return f"{describe(self.stock)} flat, {self.length_in:g} in long"


def soil_pressure_psf(name: str) -> float:
    """Presumptive soil bearing. [psf]

    Raises
    ------
    InputError
        Soil that needs an engineer or is not in the table.

    Sources
    -------
    S-037 : Table R401.4.1; disturbed or wet 1000 psf by judgment.
    """
    known = table("loads")["soil_psf"]
    if name not in known:
        raise InputError(
            "soil", f"{name!r}", f"one of {', '.join(known)}",
            "Peat, organic clay and loose fill need an engineer.",
        )  # fmt: skip
    return float(known[name])


def allowed_soil(ground: Ground, *, about: str) -> tuple[float | None, str, Missing | None]:
    """Soil pressure at a place, its source, or what to ask. [psf]

    Sources
    -------
    S-037.
    """
    if ground.soil_psf is not None:
        return ground.soil_psf, "S-066", None
    if ground.soil is not None:
        try:
            return soil_pressure_psf(ground.soil), "S-037", None
        except InputError as error:
            said = error.problems[0]
            raise InputError(f"ground of {about!r}", said.found, said.want, said.do) from None
    return None, "", missing_value("soil_psf", about=about, what="sill on soil")


def sill_checks(
    about: str, load_lb: float, *, stock: Stock, length_in: float, post_in: tuple[float, float],
    soil_psf: float | None, soil_source: str, duration: float,
) -> tuple[Check, ...]:  # fmt: skip
    """A wet sill laid flat: soil, bending and shear of its overhang, post squashing it.

    On a slab ``soil_psf`` is None: the slab spreads the load and only squashing is checked.

    Parameters
    ----------
    load_lb : float
        Load of the post. [lb]
    length_in : float
        Length of the sill. [in]
    post_in : tuple
        Post size along and across the sill. [in]
    soil_psf : float or None
        Allowed soil pressure. [psf]
    duration : float
        Load duration factor. [-]

    Sources
    -------
    S-012, S-062 : overhang a bends as q w a2 / 2. S-037 : soil.
    """
    wide, thick = stock.depth_in, stock.width_in
    member = Member(
        about, Use.BEAM, (0, 0, 0), (length_in, 0, 0), stock, Service(wet=True), flat=True
    )
    s = strength(member, duration=duration)
    bearing = post_in[0] * min(post_in[1], wide)
    checks = [
        check(
            about, what="post on sill", formula="R / A <= F'cp = Fcp CM Ct",
            values=(Value("R", load_lb, "lb", "S-062"), Value("A", bearing, "in2", "S-066"),
                    *s.fc_perp.lines),
            source="S-012", result=load_lb / bearing, limit=s.fc_perp.value, unit="psi",
            words=f"Post squashing the sill at {about!r}",
        )
    ]  # fmt: skip
    if soil_psf is None:
        return tuple(checks)
    q = load_lb / (length_in * wide)
    over = (length_in - post_in[0]) / 2
    bending = q * wide * over**2 / 2 / (wide * thick**2 / 6)
    shear = 1.5 * q * wide * max(over - thick, 0.0) / (wide * thick)
    lines = (
        ("soil under sill", "R / A <= soil", "S-037", q * IN2_PER_FT2, soil_psf, "psf",
         (Value("A", length_in * wide / IN2_PER_FT2, "ft2", "S-066"),
          Value("soil", soil_psf, "psf", soil_source))),
        ("sill bending", "fb = q a2 / 2 / (t2 / 6) <= F'b", "S-013", bending,
         s.fb_star.value * s.flat, "psi",
         (Value("a", over, "in", "S-066"), Value("q", q, "psi", "S-062"), *s.fb_star.lines,
          Value("Cfu", s.flat, "-", "S-011"))),
        ("sill shear", "fv = 3/2 q (a - t) / t <= F'v", "S-016", shear, s.fv.value, "psi",
         (Value("a", over, "in", "S-066"), Value("t", thick, "in", "S-066"), *s.fv.lines)),
    )  # fmt: skip
    checks += [
        check(
            about, what=what, formula=formula, values=values, source=source, result=result,
            limit=limit, unit=unit, words=f"{what.capitalize()} at {about!r}",
        )
        for what, formula, source, result, limit, unit, values in lines
    ]  # fmt: skip
    return tuple(checks)


def pick_sill(
    about: str, load_lb: float, *, stocks: tuple[Stock, ...], post_in: tuple[float, float],
    ground: Ground, duration: float,
) -> tuple[Sill | None, tuple[Check, ...], Missing | None]:  # fmt: skip
    """The smallest sill that works at a place; else the last one tried and why it fails.

    Parameters
    ----------
    load_lb : float
        Load of the post. [lb]
    stocks : tuple of Stock
        Sills to try, smallest first, laid flat. [in]
    post_in : tuple
        Post size along and across. [in]
    duration : float
        Load duration factor. [-]

    Sources
    -------
    S-037, S-064 : lengths tried from 24 in in steps of 6 in.
    """
    soil, source, missing = None, "", None
    if ground.kind is GroundKind.SOIL:
        soil, source, missing = allowed_soil(ground, about=about)
        if missing is not None:
            return None, (), missing
    last: tuple[Check, ...] = ()
    for stock in stocks:
        length = SHORTEST_SILL_IN
        while length <= LONGEST_SILL_IN:
            last = sill_checks(
                about, load_lb, stock=stock, length_in=length, post_in=post_in, soil_psf=soil,
                soil_source=source, duration=duration,
            )  # fmt: skip
            if all(c.holds for c in last):
                return Sill(stock, length, last), last, None
            length += SILL_STEP_IN
    return None, last, None


def slab_punching(
    about: str, load_lb: float, *, sill_in: tuple[float, float], slab_in: float, slab_psi: float
) -> Check:
    """A post punching through a plain slab: a caution, not a proof; what is under it is unknown.

    Parameters
    ----------
    load_lb : float
        Load of the post, allowable level. [lb]
    sill_in : tuple
        Loaded area. [in]
    slab_in : float
        Thickness of the slab. [in]
    slab_psi : float
        Concrete strength. [psi]

    Sources
    -------
    S-065 : phi (4/3)(1 + 2/beta) sqrt(f'c) bo h, at most phi 2.66 sqrt(f'c) bo h; h less 2 in over
        ground. S-064 : load times 1.6.
    """
    long, short = max(sill_in), min(sill_in)
    h = slab_in - 2.0
    if h <= 0:
        raise InputError(f"slab at {about!r}", f"{slab_in:g} in thick", "over 2 in")
    around = 2 * (long + h) + 2 * (short + h)
    k = min(4 / 3 * (1 + 2 / (long / short)), 2.66)
    design = PLAIN_CONCRETE_PHI * k * sqrt(slab_psi) * around * h
    values = (
        Value("R", load_lb, "lb", "S-062"), Value("h", h, "in", "S-066"),
        Value("bo", around, "in", "S-065"), Value("k", k, "-", "S-065"),
        Value("phi", PLAIN_CONCRETE_PHI, "-", "S-065"), Value("f'c", slab_psi, "psi", "S-066"),
    )  # fmt: skip
    return check(
        about, what="slab punching (caution)", formula="1.6 R <= phi k sqrt(f'c) bo h",
        values=values, source="S-065", result=STRENGTH_PER_ALLOWABLE * load_lb, limit=design,
        unit="lb", words=f"Post punching the slab at {about!r}, if the ground under it is firm",
    )  # fmt: skip
