"""Splices along a run: where they go, which piece laps over, and the room that heat needs."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from weatherlap.errors import InputError, NoSolution
from weatherlap.units import tape

COLD_DAY_F = 40.0
GUTTER_APART_IN = 600.0
GUTTER_FROM_CORNER_IN = 300.0
SAME_IN = 1e-9


@dataclass(frozen=True, slots=True)
class Expansion:
    """Growth of a material by heat. [in per in per degree F]"""

    low_per_f: float
    high_per_f: float
    source_keys: tuple[str, ...]


EXPANSION: dict[str, Expansion] = {
    "aluminum": Expansion(12.9e-6, 13.1e-6, ("M-020", "M-021")),
    "copper": Expansion(9.4e-6, 9.8e-6, ("M-021", "M-022")),
    "steel": Expansion(6.7e-6, 6.7e-6, ("M-020",)),
    "stainless": Expansion(9.6e-6, 9.6e-6, ("M-020",)),
    "pvc": Expansion(29e-6, 29e-6, ("M-023",)),
    "vinyl-siding": Expansion(29e-6, 36e-6, ("M-024",)),
    "wood": Expansion(1.7e-6, 2.8e-6, ("M-025",)),
}


@dataclass(frozen=True, slots=True)
class Season:
    """Coldest and hottest that the material itself gets. [degrees F]

    The default is what was measured on a metal roof (M-022).
    """

    coldest_f: float = -20.0
    hottest_f: float = 150.0

    def __post_init__(self) -> None:
        if not -100 <= self.coldest_f < self.hottest_f <= 250:
            found = f"{self.coldest_f:g} to {self.hottest_f:g} degrees F"
            raise InputError("season", found, "a colder and a hotter one, -100 to 250 degrees F")


DEFAULT_SEASON = Season()


def movement_in(length_in: float, *, per_f: float, change_f: float) -> float:
    """Growth of a length by heat; below 0 where it cools.

    Parameters
    ----------
    length_in : float
        Length. [in]
    per_f : float
        Coefficient of expansion. [in per in per degree F]
    change_f : float
        Change of the material's own temperature. [degrees F]

    Returns
    -------
    float
        Change of length. [in]

    Raises
    ------
    InputError
        If the length or the coefficient is negative or not finite.

    Sources
    -------
    M-020 : dL = alpha L dT; 0.155 in per 10 ft of aluminum per 100 F.
    """
    if not (0 <= length_in < math.inf and 0 <= per_f < 1e-3 and math.isfinite(change_f)):
        found = f"{length_in:g} in, {per_f:g} per degree F, {change_f:g} degrees F"
        raise InputError("movement", found, "a length and a coefficient of 0 or more")
    return length_in * per_f * change_f


@dataclass(frozen=True, slots=True)
class JointRoom:
    """What a joint needs on the day it is made. [in]

    ``gap_in`` between the ends (or from an end to what stands in its way) for growth till the
    hottest; ``lap_in`` how far one piece must reach over the other: the rule's lap and the gap's
    opening till the coldest.
    """

    gap_in: float
    lap_in: float
    growth_in: float
    shrink_in: float


def joint_room(
    length_in: float,
    *,
    material: str,
    day_f: float,
    season: Season = DEFAULT_SEASON,
    rule_lap_in: float = 1.0,
    least_gap_in: float = 0.0,
) -> JointRoom:
    """Gap and lap of a joint between pieces of a length, laid on a day.

    Parameters
    ----------
    length_in : float
        Length of metal that moves toward the joint. [in]
    material : str
        A key of ``EXPANSION``.
    day_f : float
        Temperature of the material when it is laid. [degrees F]
    season : Season
        Coldest and hottest of the material. [degrees F]
    rule_lap_in : float
        Lap that has to be left when it is coldest. [in]
    least_gap_in : float
        Gap by rule, where that is more. [in]

    Raises
    ------
    InputError
        If the material is not known or the day lies outside the season.

    Sources
    -------
    M-020, M-021, M-022 : coefficients and season. M-007 : 1 in lap of trim coil.
    """
    if material not in EXPANSION:
        raise InputError("material", repr(material), f"one of {', '.join(sorted(EXPANSION))}")
    if not season.coldest_f <= day_f <= season.hottest_f:
        found = f"{day_f:g} degrees F"
        raise InputError("day", found, f"{season.coldest_f:g} to {season.hottest_f:g} degrees F")
    if not (0 <= rule_lap_in <= 24 and 0 <= least_gap_in <= 24):
        raise InputError("joint", f"lap {rule_lap_in:g}, gap {least_gap_in:g}", "0 to 24 in")
    per_f = EXPANSION[material].high_per_f
    growth = movement_in(length_in, per_f=per_f, change_f=season.hottest_f - day_f)
    shrink = movement_in(length_in, per_f=per_f, change_f=day_f - season.coldest_f)
    return JointRoom(max(growth, least_gap_in), rule_lap_in + shrink, growth, shrink)


def siding_gap_in(day_f: float) -> float:
    """Gap of vinyl siding at posts and channels.

    Parameters
    ----------
    day_f : float
        Temperature when it is laid. [degrees F]

    Returns
    -------
    float
        Gap. [in]

    Raises
    ------
    InputError
        If the temperature is not finite.

    Sources
    -------
    M-026 : 1/4 in, 3/8 in below 40 F.
    """
    if not math.isfinite(day_f):
        raise InputError("day", f"{day_f}", "a temperature in degrees F")
    return 3 / 8 if day_f < COLD_DAY_F else 1 / 4


def gutter_expansion_joints(length_in: float, *, fixed_ends: int) -> int:
    """Least number of expansion joints of a gutter run.

    Parameters
    ----------
    length_in : float
        Length of the run. [in]
    fixed_ends : int
        Its ends that are held fast, such as corners: 0, 1 or 2. [-]

    Returns
    -------
    int
        Joints. [-]

    Raises
    ------
    InputError
        If the length is not above 0 or there are not 0 to 2 fixed ends.

    Sources
    -------
    M-027 : at most 50 ft apart and 25 ft from a fixed corner.
    """
    if not (0 < length_in < 1e6 and fixed_ends in (0, 1, 2)):
        raise InputError("gutter", f"{length_in:g} in, {fixed_ends} fixed", "> 0 in, 0 to 2 fixed")
    if length_in <= (GUTTER_FROM_CORNER_IN if fixed_ends else GUTTER_APART_IN) + SAME_IN:
        return 0
    lost = (GUTTER_APART_IN - GUTTER_FROM_CORNER_IN) * fixed_ends
    return max(1, math.ceil((length_in + lost) / GUTTER_APART_IN - 1 - SAME_IN))


class RunEnd(StrEnum):
    """An end of a run, or neither."""

    START = "start"
    END = "end"
    NEITHER = "neither"


@dataclass(frozen=True, slots=True)
class Run:
    """A run to be made of lapped pieces. [in]

    ``low_end`` is where its water goes; ``seen_from`` the end from which people walk and look
    along it; ``keep_clear`` are stretches (from, to) that no lap may touch.
    """

    id: str
    length_in: float
    longest_in: float
    lap_in: float
    low_end: RunEnd = RunEnd.NEITHER
    seen_from: RunEnd = RunEnd.NEITHER
    keep_clear: tuple[tuple[float, float], ...] = ()

    def __post_init__(self) -> None:
        sizes = (self.length_in, self.longest_in, self.lap_in)
        if not all(math.isfinite(size) for size in sizes) or not 0 < self.length_in <= 12_000:
            raise InputError(f"run {self.id}", f"{self.length_in!r} in", "more than 0 to 12000 in")
        if not 0 <= self.lap_in < self.longest_in:
            found = f"a lap of {self.lap_in:g} in pieces of {self.longest_in:g} in"
            raise InputError(f"run {self.id}", found, "a lap shorter than the longest piece")
        if any(not a < b for a, b in self.keep_clear):
            raise InputError(f"run {self.id}", "a stretch that ends before it begins", "from < to")


@dataclass(frozen=True, slots=True)
class Splice:
    """A lap: the next piece begins at ``from_in``, the last one ends at ``to_in``. [in]

    ``over`` says whether the piece toward the start or toward the end lies outside.
    """

    from_in: float
    to_in: float
    over: RunEnd
    why: str


@dataclass(frozen=True, slots=True)
class SplicePlan:
    """Pieces from the start on, and the splices between them. [in]"""

    lengths_in: tuple[float, ...]
    splices: tuple[Splice, ...]


def splice_run(run: Run) -> SplicePlan:
    """The fewest pieces of a run, as equal as the stretches kept clear allow.

    Raises
    ------
    NoSolution
        If no lap can be placed within reach: the stretches kept clear are too wide.

    Sources
    -------
    M-038 : upstream over downstream, else away from view.
    """
    latest = _reach(run.length_in, run)
    if latest is None:
        raise NoSolution(
            f"run {run.id}: no lap fits between the stretches kept clear with pieces of "
            f"{tape(run.longest_in)}; take longer pieces or allow a lap there"
        )
    earliest = _reach(run.length_in, _mirrored(run)) or []
    mirrored = [run.length_in - run.lap_in - at for at in reversed(earliest)]
    starts: list[float] = []
    count = len(latest) + 1
    equal = (run.length_in + (count - 1) * run.lap_in) / count
    for number, (low, high) in enumerate(zip(mirrored, latest, strict=True), 1):
        before = starts[-1] if starts else 0.0
        most = min(high, before + run.longest_in - run.lap_in)
        wish = number * (equal - run.lap_in)
        starts.append(_nearest(wish, low=low, high=max(low, most), run=run))
    over, why = sides(run)
    splices = tuple(Splice(at, at + run.lap_in, over, why) for at in starts)
    ends = [*(s.to_in for s in splices), run.length_in]
    return SplicePlan(tuple(e - b for b, e in zip([0.0, *starts], ends, strict=True)), splices)


def _reach(length_in: float, run: Run) -> list[float] | None:
    """Where each lap begins if every piece is as long as can be; None if stuck."""
    starts: list[float] = []
    at = 0.0
    while length_in - at > run.longest_in + SAME_IN:
        farthest = _latest_clear(at + run.longest_in - run.lap_in, run)
        if farthest <= at + SAME_IN:
            return None
        starts.append(farthest)
        at = farthest
    return starts


def _latest_clear(at: float, run: Run) -> float:
    """The farthest begin of a lap up to a place that touches no stretch kept clear."""
    for low, high in sorted(run.keep_clear, reverse=True):
        if low - run.lap_in + SAME_IN < at < high - SAME_IN:
            at = low - run.lap_in
    return at


def _mirrored(run: Run) -> Run:
    """The run seen from its other end."""
    clear = tuple((run.length_in - b, run.length_in - a) for a, b in run.keep_clear)
    return Run(run.id, run.length_in, run.longest_in, run.lap_in, keep_clear=clear)


def _nearest(wish: float, *, low: float, high: float, run: Run) -> float:
    """The place nearest to a wish, between two others, where a lap is clear; ``low`` is."""
    wish = min(max(wish, low), high)
    edges = [low, _latest_clear(wish, run)]
    edges += [b for _, b in run.keep_clear if low <= b <= high]
    clear = [at for at in edges if low - SAME_IN <= at and _latest_clear(at, run) == at]
    return min(clear, key=lambda at: abs(at - wish), default=low)


def sides(run: Run) -> tuple[RunEnd, str]:
    """Which piece lies outside, and why."""
    if run.low_end is not RunEnd.NEITHER:
        upper = RunEnd.START if run.low_end is RunEnd.END else RunEnd.END
        return upper, "upstream over downstream"
    if run.seen_from is not RunEnd.NEITHER:
        return run.seen_from, "the edge faces away from where people look"
    return RunEnd.START, "level and unseen: all the same way"
