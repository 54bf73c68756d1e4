"""Nails, screws and lags, and their lateral strength by the yield equations."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import cos, radians, sin, sqrt

from weatherlap.errors import InputError
from weatherlap.structure.results import Value
from weatherlap.structure.tables import table

LARGE_IN = 0.25
SMALL_KD = 2.2
SMALL_TO_IN = 0.17


class Kind(StrEnum):
    """Kinds of fastener that the equations know."""

    NAIL = "nail"
    RING_NAIL = "ring-shank nail"
    SCREW = "wood screw"
    LAG = "lag screw"


class Manner(StrEnum):
    """How a fastener is driven."""

    FACE = "face"
    TOE = "toe"
    END = "end grain"


@dataclass(frozen=True, slots=True)
class Fastener:
    """One fastener. ``threaded_in`` is the thread in the holding member without the tip. [in]"""

    kind: Kind
    diameter_in: float
    length_in: float
    root_in: float
    bending_psi: float
    threaded_in: float = 0.0
    name: str = ""

    def __post_init__(self) -> None:
        if min(self.diameter_in, self.length_in, self.root_in, self.bending_psi) <= 0:
            raise InputError(f"fastener {self.name!r}", "a size of 0 or less", "sizes over 0")

    @property
    def shear_diameter_in(self) -> float:
        """Diameter in the yield equations: the root of screws and lags. [in]"""
        return self.root_in if self.kind in (Kind.SCREW, Kind.LAG) else self.diameter_in


def nail_bending_psi(diameter_in: float) -> float:
    """Bending yield strength of a nail or screw. [psi]

    Parameters
    ----------
    diameter_in : float
        Shank diameter. [in]

    Raises
    ------
    InputError
        Outside 0.099 to 0.273 in.

    Sources
    -------
    S-050 : Table I1.
    """
    if diameter_in >= 0.099:
        for row in table("fasteners")["nail_yield"]:
            if diameter_in <= row["to_in"]:
                return float(row["psi"])
    raise InputError("nail", f"{diameter_in:g} in thick", "0.099 to 0.273 in")


def nail(name: str, *, ring: bool = False) -> Fastener:
    """A nail by its trade name, as "16d common".

    Raises
    ------
    InputError
        A name that is not in the table.

    Sources
    -------
    S-050.
    """
    diameter, length = _named("nail", name)
    kind = Kind.RING_NAIL if ring else Kind.NAIL
    return Fastener(kind, diameter, length, diameter, nail_bending_psi(diameter), 0.0, name)


def lag(name: str, *, length_in: float, threaded_in: float) -> Fastener:
    """A lag screw by its size, as "1/2 lag".

    Parameters
    ----------
    length_in, threaded_in : float
        Length under the head, and thread in the holding member without the tip. [in]

    Sources
    -------
    S-050 : root diameters and bending strength.
    """
    diameter, root = _named("lag", name)
    psi = next(r["psi"] for r in table("fasteners")["lag_yield"] if diameter <= r["to_in"])
    return Fastener(Kind.LAG, diameter, length_in, root, float(psi), threaded_in, name)


def screw(name: str, *, length_in: float, threaded_in: float) -> Fastener:
    """A wood screw by its number, as "No.10 screw".

    Parameters
    ----------
    length_in, threaded_in : float
        Length, and thread in the holding member. [in]

    Sources
    -------
    S-050 : diameters; bending strength by shank.
    """
    diameter, root = _named("screw", name)
    return Fastener(
        Kind.SCREW, diameter, length_in, root, nail_bending_psi(diameter), threaded_in, name
    )


def _named(kind: str, name: str) -> tuple[float, float]:
    """Two sizes of a named fastener."""
    known = table("fasteners")[kind]
    if name not in known:
        raise InputError(kind, f"{name!r}", f"one of {', '.join(known)}")
    first, second = known[name]
    return float(first), float(second)


def dowel_bearing_psi(gravity: float, *, diameter_in: float, angle_deg: float = 0.0) -> float:
    """Dowel bearing strength of wood. [psi]

    Parameters
    ----------
    gravity : float
        Specific gravity. [-]
    diameter_in : float
        Diameter; from 1/4 in the grain matters. [in]
    angle_deg : float
        Angle between load and grain. [deg]

    Sources
    -------
    S-050 : 16600 G^1.84; 11200 G along, 6100 G^1.45 / sqrt(D) across, each rounded to 50 psi as
        the table prints them; Hankinson between.
    """
    if diameter_in < LARGE_IN:
        return _to_50(16600.0 * gravity**1.84)
    along, across = _to_50(11200.0 * gravity), _to_50(6100.0 * gravity**1.45 / sqrt(diameter_in))
    s, c = sin(radians(angle_deg)) ** 2, cos(radians(angle_deg)) ** 2
    return float(along * across / (along * s + across * c))


def _to_50(psi: float) -> float:
    """Rounded to the nearest 50 psi."""
    return 50.0 * round(psi / 50.0)


def steel_bearing_psi(grade: str) -> float:
    """Dowel bearing strength of a steel plate. [psi]

    Sources
    -------
    S-050.
    """
    known = table("fasteners")["steel_bearing_psi"]
    if grade not in known:
        raise InputError("steel plate", f"grade {grade!r}", f"one of {', '.join(known)}")
    return float(known[grade])


@dataclass(frozen=True, slots=True)
class Side:
    """One member in a lateral connection: length of fastener in it, bearing strength. [in, psi]"""

    length_in: float
    bearing_psi: float


class Mode(StrEnum):
    """Ways in which a single-shear connection yields."""

    I_M = "Im"
    I_S = "Is"
    II = "II"
    III_M = "IIIm"
    III_S = "IIIs"
    IV = "IV"


def reduction_terms(diameter_in: float, *, angle_deg: float) -> dict[Mode, float]:
    """Reduction term Rd of each mode. [-]

    Parameters
    ----------
    diameter_in : float
        Diameter. [in]
    angle_deg : float
        Greatest angle between load and grain of the members. [deg]

    Sources
    -------
    S-049 : Table 12.3.1B.
    """
    if diameter_in < LARGE_IN:
        kd = SMALL_KD if diameter_in <= SMALL_TO_IN else 10.0 * diameter_in + 0.5
        return dict.fromkeys(Mode, kd)
    turn = 1.0 + 0.25 * angle_deg / 90.0
    rest = dict.fromkeys(Mode, 3.2 * turn)
    return rest | {Mode.I_M: 4.0 * turn, Mode.I_S: 4.0 * turn, Mode.II: 3.6 * turn}


def yield_loads(
    diameter_in: float, *, main: Side, side: Side, bending_psi: float, angle_deg: float = 0.0,
    nominal_in: float | None = None,
) -> dict[Mode, float]:  # fmt: skip
    """Reference lateral value of one fastener in single shear, by mode. [lb]

    Parameters
    ----------
    diameter_in : float
        Diameter in the shear plane. [in]
    main, side : Side
        Holding member and the one it fastens. [in, psi]
    bending_psi : float
        Bending yield strength. [psi]
    angle_deg : float
        Greatest angle between load and grain. [deg]
    nominal_in : float, optional
        Full diameter, which decides the reduction term; the same if not given. [in]

    Raises
    ------
    InputError
        A length or strength of 0 or less.

    Sources
    -------
    S-049 : equations 12.3-1 to 12.3-6.
    """
    d, lm, ls, fem, fes = (
        diameter_in, main.length_in, side.length_in, main.bearing_psi, side.bearing_psi,
    )  # fmt: skip
    if min(d, lm, ls, fem, fes, bending_psi) <= 0:
        raise InputError("lateral connection", "a size or strength of 0 or less", "all over 0",
                         "Does the fastener reach into the holding member?")  # fmt: skip
    re, rt = fem / fes, lm / ls
    k1 = (sqrt(re + 2 * re**2 * (1 + rt + rt**2) + rt**2 * re**3) - re * (1 + rt)) / (1 + re)
    k2 = -1 + sqrt(2 * (1 + re) + 2 * bending_psi * (1 + 2 * re) * d**2 / (3 * fem * lm**2))
    k3 = -1 + sqrt(2 * (1 + re) / re + 2 * bending_psi * (2 + re) * d**2 / (3 * fem * ls**2))
    raw = {
        Mode.I_M: d * lm * fem,
        Mode.I_S: d * ls * fes,
        Mode.II: k1 * d * ls * fes,
        Mode.III_M: k2 * d * lm * fem / (1 + 2 * re),
        Mode.III_S: k3 * d * ls * fem / (2 + re),
        Mode.IV: d**2 * sqrt(2 * fem * bending_psi / (3 * (1 + re))),
    }
    rd = reduction_terms(nominal_in or d, angle_deg=angle_deg)
    return {mode: value / rd[mode] for mode, value in raw.items()}


def group_factor(
    count: int, *, diameter_in: float, apart_in: float, side: float, main: float
) -> float:
    """Group action factor Cg of fasteners in one row along the load. [-]

    Parameters
    ----------
    count : int
        Fasteners in the row. [-]
    diameter_in, apart_in : float
        Diameter, under 1/4 in 1.0; distance from one to the next. [in]
    side, main : float
        Stiffness E A of the two members. [lb]

    Sources
    -------
    S-069 : equation 11.3-1, wood to wood, 180,000 D^1.5.
    """
    if count < 2 or diameter_in < LARGE_IN:
        return 1.0
    slip = 180000.0 * diameter_in**1.5
    u = 1 + slip * apart_in / 2 * (1 / main + 1 / side)
    m = u - sqrt(u**2 - 1)
    share = min(side / main, main / side)
    top = m * (1 - m ** (2 * count)) * (1 + share)
    low = count * ((1 + share * m**count) * (1 + m) - 1 + m ** (2 * count)) * (1 - m)
    return float(top / low)


@dataclass(frozen=True, slots=True)
class Lateral:
    """Lateral connection of one fastener. ``side_psi`` overrides wood, for a steel plate."""

    fastener: Fastener
    main_gravity: float
    side_gravity: float
    side_in: float
    penetration_in: float
    manner: Manner = Manner.FACE
    angle_deg: float = 0.0
    side_psi: float | None = None


def penetration_factor(fastener: Fastener, *, penetration_in: float) -> float:
    """Share of the full value for a short penetration; 0 under the least. [-]

    Parameters
    ----------
    penetration_in : float
        Length in the holding member. [in]

    Sources
    -------
    S-052 : nails and screws 10 D full, 6 D least; lags 8 D and 4 D.
    """
    full, least = (8.0, 4.0) if fastener.kind is Kind.LAG else (10.0, 6.0)
    depth = penetration_in / fastener.diameter_in
    return 0.0 if depth < least - 1e-9 else min(1.0, depth / full)


def lateral_value(lateral: Lateral) -> tuple[float, Mode, tuple[Value, ...]]:
    """Reference lateral value of one fastener before duration and service. [lb]

    Returns
    -------
    tuple
        Value [lb] with penetration, toe-nail and end-grain factors; the mode; figures used.

    Sources
    -------
    S-049, S-050, S-052 : toe-nail 0.83, end grain 0.67.
    """
    f = lateral.fastener
    main_psi = dowel_bearing_psi(
        lateral.main_gravity, diameter_in=f.diameter_in, angle_deg=lateral.angle_deg
    )
    side_psi = lateral.side_psi or dowel_bearing_psi(
        lateral.side_gravity, diameter_in=f.diameter_in, angle_deg=lateral.angle_deg
    )
    share = penetration_factor(f, penetration_in=lateral.penetration_in)
    if share <= 0:
        return 0.0, Mode.I_M, (Value("p", lateral.penetration_in, "in", "S-052"),)
    loads = yield_loads(
        f.shear_diameter_in, main=Side(lateral.penetration_in, main_psi),
        side=Side(lateral.side_in, side_psi), bending_psi=f.bending_psi,
        angle_deg=lateral.angle_deg, nominal_in=f.diameter_in,
    )  # fmt: skip
    mode = min(loads, key=lambda m: loads[m])
    manner = {Manner.FACE: 1.0, Manner.TOE: 0.83, Manner.END: 0.67}[lateral.manner]
    values = (
        Value("D", f.shear_diameter_in, "in", "S-050"), Value("Fyb", f.bending_psi, "psi", "S-050"),
        Value("Fem", main_psi, "psi", "S-050"), Value("Fes", side_psi, "psi", "S-050"),
        Value("lm", lateral.penetration_in, "in", "S-066"),
        Value("ls", lateral.side_in, "in", "S-066"),
        Value(f"Z ({mode})", loads[mode], "lb", "S-049"),
        Value("penetration factor", share, "-", "S-052"),
        Value(f"{lateral.manner} factor", manner, "-", "S-052"),
    )  # fmt: skip
    return loads[mode] * share * manner, mode, values
