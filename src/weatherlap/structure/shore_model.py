"""Records of temporary support: what is asked, what is proposed."""

from __future__ import annotations

from dataclasses import dataclass

from weatherlap.errors import InputError
from weatherlap.structure.bracing import BracePlan
from weatherlap.structure.model import Framing, Shim, Stage, Stock
from weatherlap.structure.results import Caution, Check, EngineerNeeded, Figured, Missing
from weatherlap.structure.sills import Ground, Sill

Plan = tuple[float, float]

USUAL_HEADERS = (
    Stock(1.5, 5.5, 2, "SPF", "No.2"), Stock(1.5, 7.25, 2, "SPF", "No.2"),
    Stock(1.5, 9.25, 2, "SPF", "No.2"), Stock(1.5, 11.25, 2, "SPF", "No.2"),
    Stock(1.5, 11.25, 3, "SPF", "No.2"),
)  # fmt: skip
USUAL_POSTS = (
    Stock(3.5, 3.5, 1, "SPF", "No.2"), Stock(3.5, 5.5, 1, "SPF", "No.2"),
    Stock(5.5, 5.5, 1, "SPF", "No.2"),
)  # fmt: skip
USUAL_BRACE = Stock(1.5, 3.5, 1, "SPF", "No.2")
USUAL_SILLS = (
    Stock(1.5, 9.25, 1, "SPF", "No.2"), Stock(1.5, 11.25, 1, "SPF", "No.2"),
    Stock(3.5, 9.25, 1, "SPF", "No.2"), Stock(3.5, 11.25, 1, "SPF", "No.2"),
    Stock(5.5, 11.5, 1, "DF-L", "No.2"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Blocked:
    """A stretch of a shore line where no post may stand: door, the way out for the old beam."""

    from_in: float
    to_in: float
    why: str


@dataclass(frozen=True, slots=True)
class ShoreLine:
    """A line in plan along which a header may run, with its ground and what is in the way. [in]"""

    id: str
    start_in: Plan
    end_in: Plan
    grounds: tuple[Ground, ...]
    blocked: tuple[Blocked, ...] = ()

    @property
    def length_in(self) -> float:
        """Length of the line. [in]"""
        (x0, y0), (x1, y1) = self.start_in, self.end_in
        return float(((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5)

    def at(self, along_in: float) -> Plan:
        """Plan place at a distance from the start. [in]"""
        t = along_in / self.length_in
        (x0, y0), (x1, y1) = self.start_in, self.end_in
        return (x0 + t * (x1 - x0), y0 + t * (y1 - y0))

    def ground_at(self, along_in: float) -> Ground | None:
        """Ground under a place. [in]"""
        for ground in self.grounds:
            if ground.from_in - 1e-6 <= along_in <= ground.to_in + 1e-6:
                return ground
        return None

    def is_blocked(self, along_in: float, *, half_in: float) -> bool:
        """Whether a post of a half width would stand in the way. [in]"""
        return any(b.from_in - half_in < along_in < b.to_in + half_in for b in self.blocked)


@dataclass(frozen=True, slots=True)
class ShoreAsk:
    """What must be held, where posts may stand, and what stock and jacks there are. [in, lb]

    ``replaces`` are taken out while the shore stands; ``puts_in`` come in for them. ``margin``
    is the rating of jacks over their load. ``duration`` is the most that wood of the shore is
    given: 1.25 for a week, 1.0 if left longer. ``most_gap_in``: posts stand about 5 ft apart by
    the handbook (S-059); the program takes 6 ft as the most unless told otherwise.
    ``snow_is_strength_level``: snow of ASCE 7-22.
    """

    id: str
    lines: tuple[ShoreLine, ...]
    carries: tuple[str, ...]
    replaces: tuple[str, ...]
    puts_in: tuple[str, ...] = ()
    headers: tuple[Stock, ...] = USUAL_HEADERS
    posts: tuple[Stock, ...] = USUAL_POSTS
    sills: tuple[Stock, ...] = USUAL_SILLS
    jack_lb: float = 20000.0
    jack_height_in: float = 0.0
    jack_rating_source: str = "plate on the jack"
    tie_lb: float | None = None
    tie_rating_source: str = "tag on the strap"
    margin: float = 2.0
    lift_in: float = 0.125
    most_lift_in: float = 0.25
    most_posts: int = 6
    grid_in: float = 6.0
    most_gap_in: float = 72.0
    duration: float = 1.25
    deck_carries: bool = False
    snow_is_strength_level: bool = False
    above: tuple[str, ...] = ()
    brace_stock: Stock = USUAL_BRACE
    shims: tuple[Shim, ...] = ()

    def __post_init__(self) -> None:
        where = f"shoring {self.id!r}"
        if not self.lines or not self.carries:
            raise InputError(where, "no line or nothing to carry", "a line and what it carries")
        if not 0 < self.lift_in <= self.most_lift_in:
            raise InputError(
                where, f"a lift of {self.lift_in:g} in", f"over 0 to {self.most_lift_in:g} in",
                "Lift only until the load is off; more cracks what is above.",
            )  # fmt: skip
        if self.margin < 1.5 or self.jack_lb <= 0:
            raise InputError(where, f"margin {self.margin:g}", "1.5 or more, and a jack rating")
        if self.grid_in <= 0 or not 2 <= self.most_posts <= 8:
            raise InputError(where, "a grid of 0 or too many posts", "a grid, 2 to 8 posts")


@dataclass(frozen=True, slots=True)
class PostTie:
    """The tie that holds the header down beside a post: pull, ballast that would do. [lb]"""

    post: str
    pull_lb: float
    ballast_lb: float
    bags: int
    figured: tuple[Figured, ...]
    checks: tuple[Check, ...]


@dataclass(frozen=True, slots=True)
class TieDown:
    """Ties of a shore against the wind. [lb]

    ``member_lb`` is the most that one carried member pulls on the header; ``nails`` toe-nails take
    it, 0 where a strap must. ``loose`` members fly off all the same.
    """

    posts: tuple[PostTie, ...]
    member_lb: float
    nails: int
    nail: str
    loose: tuple[str, ...]
    checks: tuple[Check, ...]


@dataclass(frozen=True, slots=True)
class ShorePost:
    """One temporary post: where, on what, and its greatest load at any stage. [in, lb]"""

    id: str
    along_in: float
    at_in: Plan
    stock: Stock
    length_in: float
    load_lb: float
    jack_need_lb: float
    sill: Sill | None
    ground: Ground


@dataclass(frozen=True, slots=True)
class Choice:
    """Posts along a line with a header, and how hard they are worked."""

    line: str
    posts_in: tuple[float, ...]
    header: Stock
    post: Stock
    ratio: float
    loads_lb: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the work, in order, with the rule it comes from."""

    number: int
    text: str
    source: str


@dataclass(frozen=True, slots=True)
class ShorePlan:
    """The proposed shore with everything the crew needs; ``others`` are the next best."""

    ask: str
    line: ShoreLine
    header: Stock
    header_length_in: float
    header_id: str
    posts: tuple[ShorePost, ...]
    braces: tuple[BracePlan, ...]
    steps: tuple[Step, ...]
    marks: tuple[str, ...]
    stops: tuple[str, ...]
    cautions: tuple[Caution, ...]
    engineer: tuple[EngineerNeeded, ...]
    checks: tuple[Check, ...]
    missing: tuple[Missing, ...]
    framing: Framing
    stages: tuple[Stage, ...]
    others: tuple[Choice, ...]
    ties: TieDown | None = None
