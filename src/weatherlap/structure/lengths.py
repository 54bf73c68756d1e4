"""Lengths to cut, from surveyed levels: posts, jack studs, shims, beams, seat cuts."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, cos, degrees, radians, sin, tan

from weatherlap.errors import InputError
from weatherlap.structure.results import Figured, Value

THICKEST_SHIM_IN = 1.5
LEAST_SEAT_IN = 1.5
DEEPEST_SEAT_SHARE = 0.25
IN_PER_FT = 12.0


@dataclass(frozen=True, slots=True)
class Level:
    """A surveyed level: where, height against the datum (up positive), how it was read. [in]"""

    name: str
    height_in: float
    read_by: str = "laser"
    plan_in: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class PostStack:
    """What is between a post's foot and the beam it holds. [in]

    ``base_in``: standoff of the base above the slab; ``cap_in``: thickness of the cap plate under
    the beam; ``shim_in``: shims wanted; ``keep_in``: an existing post that must stay so long.
    """

    base_in: float = 0.0
    cap_in: float = 0.0
    shim_in: float = 0.0
    keep_in: float | None = None


@dataclass(frozen=True, slots=True)
class PostCut:
    """A post to cut, or to keep with a shim: length and shims. [in]"""

    name: str
    length_in: float
    shim_in: float
    figured: Figured
    note: str


def target_level(start: Level, *, along_in: float, fall_per_ft: float = 0.0) -> float:
    """Height of a line that falls from a level point. [in]

    Parameters
    ----------
    along_in : float
        Distance from the level point. [in]
    fall_per_ft : float
        Fall for drainage. [in/ft]

    Sources
    -------
    S-061 : 1/8 to 1/4 in per ft is common; the user chooses.
    """
    return start.height_in - along_in / IN_PER_FT * fall_per_ft


def post_cut(name: str, *, beam_bottom_in: float, footing: Level, stack: PostStack) -> PostCut:
    """Length of a post between its footing and the bottom of its beam.

    Parameters
    ----------
    beam_bottom_in : float
        Wanted height of the bottom of the beam against the datum. [in]
    footing : Level
        Surveyed top of footing or slab. [in]

    Raises
    ------
    InputError
        The stack is higher than the space, or a post to be kept is too long or needs too much shim.

    Sources
    -------
    S-062 : sum of heights.
    """
    clear = beam_bottom_in - footing.height_in
    fixed = stack.base_in + stack.cap_in
    values = (
        Value("beam bottom", beam_bottom_in, "in", "S-066"),
        Value(f"footing ({footing.read_by})", footing.height_in, "in", "S-066"),
        Value("base", stack.base_in, "in", "S-066"), Value("cap", stack.cap_in, "in", "S-066"),
        Value("shim", stack.shim_in, "in", "S-066"),
    )  # fmt: skip
    formula = "beam bottom - footing - base - cap - shim"
    if stack.keep_in is not None:
        return _kept(name, clear - fixed, stack.keep_in, values)
    length = clear - fixed - stack.shim_in
    if length <= 0:
        raise InputError(
            f"post {name!r}", f"{clear:.2f} in between footing and beam",
            f"more than {fixed + stack.shim_in:g} in", "Read both levels again.",
        )  # fmt: skip
    figured = Figured(name, "post length", formula, values, "S-062", length, "in")
    return PostCut(name, length, stack.shim_in, figured, "cut new")


def _kept(name: str, space: float, keep: float, values: tuple[Value, ...]) -> PostCut:
    """A post that must stay: what shim it needs, or what must come off it."""
    shim = space - keep
    if shim > THICKEST_SHIM_IN:
        raise InputError(
            f"post {name!r}", f"a shim of {shim:.2f} in over the post that stays",
            f"at most {THICKEST_SHIM_IN:g} in of shims", "Make a new post or a block with its own "
            "fastening.",
        )  # fmt: skip
    shown = (*values, Value("post that stays", keep, "in", "S-066"))
    if shim < 0:
        length = keep + shim
        note = f"cut {-shim:.3f} in off the post that stays"
        figured = Figured(name, "post length", "space between base and cap", shown, "S-062", length,
                          "in")  # fmt: skip
        return PostCut(name, length, 0.0, figured, note)
    figured = Figured(name, "shim over post", "space - post that stays", shown, "S-062", shim, "in")
    return PostCut(name, keep, shim, figured, "keep and shim")


@dataclass(frozen=True, slots=True)
class ShimAt:
    """Shim at one support so that the beam lies on its line. [in]"""

    name: str
    shim_in: float
    figured: Figured


def shims(
    levels: tuple[Level, ...], *, target_in: tuple[float, ...], least_in: float = 0.0
) -> tuple[ShimAt, ...]:
    """Shims that bring surveyed bearing levels up to a target line.

    Parameters
    ----------
    target_in : tuple of float
        Wanted height at each level. [in]
    least_in : float
        Thinnest shim wanted anywhere. [in]

    Raises
    ------
    InputError
        A bearing that is above its target, or shims thicker than 1 1/2 in.

    Sources
    -------
    S-062, S-061 : thicker stacks become blocks.
    """
    found = []
    for level, target in zip(levels, target_in, strict=True):
        shim = target - level.height_in
        if shim < least_in - 1e-9:
            raise InputError(
                f"bearing {level.name!r}", f"{least_in - shim:.3f} in above its target",
                "a bearing at or under the target line", "Raise the line, or cut the bearing down.",
            )  # fmt: skip
        if shim > THICKEST_SHIM_IN:
            raise InputError(
                f"bearing {level.name!r}", f"a shim of {shim:.2f} in",
                f"at most {THICKEST_SHIM_IN:g} in", "Use a cut block or a longer post.",
            )  # fmt: skip
        values = (
            Value("target", target, "in", "S-066"), Value("level", level.height_in, "in", "S-066"),
        )  # fmt: skip
        found.append(
            ShimAt(level.name, shim,
                   Figured(level.name, "shim", "target - level", values, "S-062", shim, "in"))
        )  # fmt: skip
    return tuple(found)


def highest_line(levels: tuple[Level, ...], *, fall_per_ft: float) -> tuple[float, ...]:
    """Lowest line with a fall along x that touches no bearing from below, at each level. [in]

    Parameters
    ----------
    fall_per_ft : float
        Fall along the first plan axis. [in/ft]

    Sources
    -------
    S-062.
    """
    start = max(v.height_in + v.plan_in[0] / IN_PER_FT * fall_per_ft for v in levels)
    return tuple(start - v.plan_in[0] / IN_PER_FT * fall_per_ft for v in levels)


def beam_cut_in(
    clear_in: float, *, bearings_in: tuple[float, float], end_gap_in: float = 0.0
) -> float:
    """Length of a beam from pocket to pocket or post to post. [in]

    Parameters
    ----------
    clear_in : float
        Clear distance between the inner faces of its supports. [in]
    bearings_in : tuple
        Bearing at each end. [in]
    end_gap_in : float
        How much shorter each end is cut for air in its pocket. [in]

    Raises
    ------
    InputError
        A bearing shorter than 1 1/2 in, or no clear distance.

    Sources
    -------
    S-062, S-019 : least bearing.
    """
    if clear_in <= 0 or min(bearings_in) - end_gap_in < LEAST_SEAT_IN:
        raise InputError(
            "beam", f"{clear_in:g} in clear with bearings {bearings_in[0]:g} and "
            f"{bearings_in[1]:g} in", "a clear distance and at least 1 1/2 in at each end",
        )  # fmt: skip
    return clear_in + sum(bearings_in) - 2.0 * end_gap_in


def jack_stud_in(*, header_bottom_in: float, plate_top_in: float) -> float:
    """Length of a jack stud from the bottom plate to the header. [in]

    Parameters
    ----------
    header_bottom_in, plate_top_in : float
        Heights against the datum. [in]

    Raises
    ------
    InputError
        The header is not above the plate.

    Sources
    -------
    S-062.
    """
    length = header_bottom_in - plate_top_in
    if length <= 0:
        raise InputError("jack stud", f"{length:.2f} in long", "a header above the plate")
    return length


@dataclass(frozen=True, slots=True)
class SeatCut:
    """A birdsmouth: level seat, plumb heel, what is left above it, and its share of depth. [in]"""

    seat_in: float
    heel_in: float
    left_in: float
    share: float
    slope_deg: float
    keeps_rule: bool


def seat_cut(*, depth_in: float, rise_per_12: float, seat_in: float) -> SeatCut:
    """Seat cut of a rafter on a plate or beam.

    Parameters
    ----------
    depth_in : float
        Depth of the rafter. [in]
    rise_per_12 : float
        Slope. [in/12 in]
    seat_in : float
        Length of the level seat. [in]

    Raises
    ------
    InputError
        A slope or seat that is not positive, or a cut through the rafter.

    Sources
    -------
    S-062 : triangle. S-016 : a quarter of the depth at most. S-019 : seat at least 1 1/2 in.
    """
    if min(depth_in, rise_per_12, seat_in) <= 0:
        raise InputError("seat cut", "a size of 0 or less", "depth, slope and seat over 0")
    slope = degrees(atan2(rise_per_12, IN_PER_FT))
    heel = seat_in * tan(radians(slope))
    cut = seat_in * sin(radians(slope))
    left = depth_in - cut
    if left <= 0:
        raise InputError("seat cut", f"{cut:.2f} in deep", f"less than {depth_in:g} in")
    share = cut / depth_in
    keeps = share <= DEEPEST_SEAT_SHARE and seat_in >= LEAST_SEAT_IN
    return SeatCut(seat_in, heel, left / cos(radians(slope)), share, slope, keeps)
