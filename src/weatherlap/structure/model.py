"""Records of the framing that must be held up: members, joints, supports, loads.

Lengths in inches, forces in pounds, stresses in psi. x east, y north, z up. A member is a straight
axis with its own nodes; joints and supports are the only ways in which it meets anything.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from weatherlap.errors import InputError

Point3 = tuple[float, float, float]
SMALLEST_LENGTH_IN = 0.5


class Use(StrEnum):
    """What a member does."""

    BEAM = "beam"
    HEADER = "header"
    JOIST = "joist"
    RAFTER = "rafter"
    LEDGER = "ledger"
    POST = "post"
    STUD = "stud"
    BRACE = "brace"

    @property
    def upright(self) -> bool:
        """Whether it is checked as a column."""
        return self in (Use.POST, Use.STUD, Use.BRACE)


class Hold(StrEnum):
    """How a joint or support holds: it bears only, ties up and down, pins, or fixes.

    What is hung is carried by its fasteners in shear and bears on nothing.
    """

    BEARS = "bears"
    HUNG = "hung"
    TIED = "tied"
    PINNED = "pinned"
    FIXED = "fixed"


class Case(StrEnum):
    """Kinds of load."""

    DEAD = "D"
    LIVE = "L"
    ROOF_LIVE = "Lr"
    SNOW = "S"
    SNOW_UNBALANCED = "Su"
    SNOW_SLIDING = "Ss"
    RAIN_ON_SNOW = "Sr"
    WIND_DOWN = "Wd"
    WIND_UP = "Wu"
    WIND_SIDE = "Wx"


class Ceiling(StrEnum):
    """What is under or on a member and cracks when it bends: sets the deflection limit."""

    PLASTER = "plaster"
    GYPSUM = "gypsum"
    NONE = "none"
    FLOOR = "floor"
    MASONRY = "masonry above"


class Condition(StrEnum):
    """State of a member as the surveyor found it."""

    SOUND = "sound"
    WET = "wet"
    SOFT = "soft"
    GONE = "gone"


@dataclass(frozen=True, slots=True)
class TypedValues:
    """Reference values that the user typed for engineered lumber. [psi, pcf]

    ``depth_exponent`` is that of (12/d)^x on bending; ``source`` says whose report it is.
    """

    fb_psi: float
    fv_psi: float
    fc_perp_psi: float
    ft_psi: float
    fc_psi: float
    e_psi: float
    emin_psi: float
    depth_exponent: float
    gravity: float
    source: str
    name: str = "engineered lumber"
    weight_pcf: float = 45.0
    wet_allowed: bool = False


@dataclass(frozen=True, slots=True)
class Stock:
    """What a member is made of: size of one ply, plies, species and grade."""

    width_in: float
    depth_in: float
    plies: int
    species: str
    grade: str
    typed: TypedValues | None = None

    def __post_init__(self) -> None:
        where = f"stock {self.width_in:g} x {self.depth_in:g}"
        if not (math.isfinite(self.width_in) and self.width_in > 0):
            raise InputError(where, f"width {self.width_in:g} in", "a width over 0 in")
        if not (math.isfinite(self.depth_in) and self.depth_in > 0):
            raise InputError(where, f"depth {self.depth_in:g} in", "a depth over 0 in")
        if not 1 <= self.plies <= 6:
            raise InputError(where, f"{self.plies} plies", "1 to 6 plies")

    @property
    def total_width_in(self) -> float:
        """Width of all plies. [in]"""
        return self.width_in * self.plies


@dataclass(frozen=True, slots=True)
class Loss:
    """Section lost to rot over a stretch of a member, as measured with an awl. [in]

    ``plies_gone`` counts plies that carry nothing there; the rest lose ``top_in``, ``bottom_in``
    and ``sides_in`` (both sides together).
    """

    from_in: float
    to_in: float
    top_in: float = 0.0
    bottom_in: float = 0.0
    sides_in: float = 0.0
    plies_gone: int = 0


@dataclass(frozen=True, slots=True)
class Notch:
    """A cut in the bottom (``tension_side``) or top at an end of a bending member. [in]"""

    at_in: float
    depth_in: float
    tension_side: bool = True


@dataclass(frozen=True, slots=True)
class Service:
    """What surrounds a member: wet wood, incised treatment, heat."""

    wet: bool = False
    incised: bool = False
    temperature_f: float = 80.0
    treated: bool = False


@dataclass(frozen=True, slots=True)
class Member:
    """A straight piece of framing.

    ``unbraced_in``: distance between places that hold the compression edge (0: held all along);
    None: the whole length. ``brace_strong_in`` and ``brace_weak_in``: the same for buckling of a
    column across its depth and across its width. ``ke``: effective length factor.
    """

    id: str
    use: Use
    start_in: Point3
    end_in: Point3
    stock: Stock
    service: Service = Service()
    condition: Condition = Condition.SOUND
    losses: tuple[Loss, ...] = ()
    notches: tuple[Notch, ...] = ()
    unbraced_in: float | None = None
    brace_strong_in: float | None = None
    brace_weak_in: float | None = None
    ke: float = 1.0
    repetitive: bool = False
    flat: bool = False
    ceiling: Ceiling = Ceiling.NONE
    weight_pcf: float | None = None
    eccentricity_in: float = 0.0
    bolted: bool = False
    temporary: bool = False
    depth_toward: Point3 | None = None

    def __post_init__(self) -> None:
        where = f"member {self.id!r}"
        if not all(math.isfinite(c) for c in (*self.start_in, *self.end_in)):
            raise InputError(where, "an end that is not a finite place", "finite coordinates")
        if self.length_in < SMALLEST_LENGTH_IN:
            raise InputError(
                where,
                f"a length of {self.length_in:g} in",
                f"at least {SMALLEST_LENGTH_IN:g} in",
                "Its two ends are at the same place; mend one of them.",
            )
        if self.condition is Condition.SOFT and not self.losses:
            raise InputError(
                where, "soft without a measured loss", "losses with stretch and depth in inches",
                "Probe it with an awl and write down how deep it goes.",
            )  # fmt: skip
        for loss in self.losses:
            self._check_loss(loss)

    def _check_loss(self, loss: Loss) -> None:
        """A loss must lie on the member and be no negative length."""
        where = f"member {self.id!r}, loss at {loss.from_in:g} in"
        parts = (loss.top_in, loss.bottom_in, loss.sides_in, float(loss.plies_gone))
        if min(parts) < 0 or not 0 <= loss.from_in < loss.to_in <= self.length_in + 1e-6:
            raise InputError(
                where, f"a stretch {loss.from_in:g} to {loss.to_in:g} in",
                f"a stretch inside 0 to {self.length_in:g} in and no negative loss",
            )  # fmt: skip

    @property
    def length_in(self) -> float:
        """Length of the axis. [in]"""
        return math.dist(self.start_in, self.end_in)

    @property
    def plan_length_in(self) -> float:
        """Length of the axis seen from above. [in]"""
        return math.dist(self.start_in[:2], self.end_in[:2])

    def point_at(self, along_in: float) -> Point3:
        """Place on the axis at a distance from its start. [in]"""
        t = along_in / self.length_in
        x, y, z = (a + t * (b - a) for a, b in zip(self.start_in, self.end_in, strict=True))
        return (x, y, z)

    def distance_along(self, point_in: Point3) -> float:
        """Distance from the start of the place on the axis nearest to a point. [in]"""
        length = self.length_in
        unit = [(b - a) / length for a, b in zip(self.start_in, self.end_in, strict=True)]
        along = sum(u * (p - a) for u, p, a in zip(unit, point_in, self.start_in, strict=True))
        return min(max(along, 0.0), length)


@dataclass(frozen=True, slots=True)
class Joint:
    """Where one member sits on or is fastened to another.

    ``upper`` rests on ``lower``. ``gap_in`` is the air between them when they are put together
    (negative: driven shims). ``bearing_length_in`` is measured along the upper member.
    """

    id: str
    upper: str
    lower: str
    at_in: Point3
    hold: Hold = Hold.BEARS
    gap_in: float = 0.0
    bearing_length_in: float = 0.0
    bearing_width_in: float = 0.0
    shim_area_in2: float | None = None
    held_sideways: bool = True
    on_metal: bool = False
    stiffness_lb_per_in: float | None = None

    @property
    def owner(self) -> str:
        """The member that is carried here."""
        return self.upper


@dataclass(frozen=True, slots=True)
class Support:
    """Where a member stands on something that is not a member: base, pier, slab, house wall."""

    id: str
    member: str
    at_in: Point3
    hold: Hold = Hold.BEARS
    gap_in: float = 0.0
    bearing_length_in: float = 0.0
    bearing_width_in: float = 0.0
    held_sideways: bool = True
    on_metal: bool = True
    stiffness_lb_per_in: float | None = None

    @property
    def owner(self) -> str:
        """The member that is carried here."""
        return self.member


@dataclass(frozen=True, slots=True)
class LineLoad:
    """A load along a member, per foot of its plan length. [plf]

    It acts down unless ``direction`` says otherwise; one with a level part (wind on a stud) is per
    foot of the member's own length.
    """

    member: str
    case: Case
    start_plf: float
    end_plf: float
    from_in: float | None = None
    to_in: float | None = None
    why: str = ""
    source: str = "S-066"
    direction: Point3 = (0.0, 0.0, -1.0)


@dataclass(frozen=True, slots=True)
class PointLoad:
    """A load at a place of a member, down positive. [lb]"""

    member: str
    case: Case
    load_lb: float
    at_in: float
    why: str = ""
    source: str = "S-066"


@dataclass(frozen=True, slots=True)
class Framing:
    """Everything that stands at any stage."""

    members: tuple[Member, ...]
    joints: tuple[Joint, ...] = ()
    supports: tuple[Support, ...] = ()
    line_loads: tuple[LineLoad, ...] = ()
    point_loads: tuple[PointLoad, ...] = ()

    @property
    def links(self) -> tuple[Joint | Support, ...]:
        """Joints and supports."""
        both: list[Joint | Support] = [*self.joints, *self.supports]
        return tuple(both)

    def member(self, name: str) -> Member:
        """The member of an id.

        Raises
        ------
        InputError
            If there is none.
        """
        for member in self.members:
            if member.id == name:
                return member
        known = ", ".join(m.id for m in self.members[:12])
        raise InputError(f"member {name!r}", "no member of that id", f"one of {known}")


class StageKind(StrEnum):
    """What happens at a stage."""

    AS_FOUND = "as found"
    POSTS_SET = "temporary posts set"
    JACKED = "jacked"
    OUT = "member out"
    IN = "new member in"
    SHIMMED = "shims set"
    JACKS_OFF = "jacks off"


@dataclass(frozen=True, slots=True)
class Lift:
    """How far the foot at a support is raised (jack) or settles (negative) from now on. [in]"""

    support: str
    lift_in: float


@dataclass(frozen=True, slots=True)
class Shim:
    """A shim stack driven at a joint: takes so much off its gap. [in]"""

    joint: str
    thickness_in: float


@dataclass(frozen=True, slots=True)
class Stage:
    """One state of the work; what is put in and taken out stays so.

    ``frees``: tied joints that are loosened, so that they only bear until ``fastens`` names them.
    """

    id: str
    kind: StageKind
    puts_in: tuple[str, ...] = ()
    takes_out: tuple[str, ...] = ()
    lifts: tuple[Lift, ...] = ()
    shims: tuple[Shim, ...] = ()
    title: str = ""
    frees: tuple[str, ...] = ()
    fastens: tuple[str, ...] = ()
