"""A post that must come out of its cap or base: lift needed against lift available."""

from __future__ import annotations

from dataclasses import dataclass

from weatherlap.errors import InputError
from weatherlap.structure.inspect_at import LEAST_PUSH_LB
from weatherlap.structure.model import Case, Framing, Lift, Stage, StageKind
from weatherlap.structure.results import Check, Value, check
from weatherlap.structure.staging import run_stages

USUAL_CAP_LIFT_IN = 0.25
FINEST_IN = 1 / 256
MOST_TRIED_IN = 2.0


@dataclass(frozen=True, slots=True)
class PostLift:
    """Lift that frees a member and lift that there is. [in]

    ``unloads_in`` takes the load off; ``clears_in`` more lifts it over its pin, lip or cap.
    """

    unloads_in: float
    clears_in: float
    available_in: float
    check: Check

    @property
    def needed_in(self) -> float:
        """Whole lift needed. [in]"""
        return self.unloads_in + self.clears_in


def lift_that_unloads(
    framing: Framing, *, first: frozenset[str], puts_in: tuple[str, ...],
    lifted: tuple[str, ...], joints: tuple[str, ...], most_in: float = MOST_TRIED_IN,
) -> float:  # fmt: skip
    """Least lift at the given feet that opens the given joints under dead load. [in]

    Parameters
    ----------
    first : frozenset of str
        Ids of the members that are there before.
    puts_in : tuple of str
        Temporary members.
    lifted : tuple of str
        Supports that are raised alike.
    joints : tuple of str
        Joints that must open.
    most_in : float
        Most lift tried. [in]

    Raises
    ------
    InputError
        The joints stay closed at the most lift tried.

    Sources
    -------
    S-062 : frame by stages under dead load, halving to 1/256 in.
    """
    dead = Framing(
        framing.members, framing.joints, framing.supports,
        tuple(x for x in framing.line_loads if x.case is Case.DEAD),
        tuple(x for x in framing.point_loads if x.case is Case.DEAD),
    )  # fmt: skip

    def opened(lift_in: float) -> bool:
        stages = (
            Stage("found", StageKind.AS_FOUND),
            Stage("set", StageKind.POSTS_SET, puts_in=puts_in),
            Stage("lift", StageKind.JACKED, lifts=tuple(Lift(s, lift_in) for s in lifted)),
        )
        push = run_stages(dead, stages, first=first)[-1].dead.push_lb
        return all(push[j][2] < LEAST_PUSH_LB for j in joints)

    if opened(0.0):
        return 0.0
    if not opened(most_in):
        raise InputError(
            f"joints {', '.join(joints)}", f"still pressed at a lift of {most_in:g} in",
            "joints that the lifted posts relieve", "Set posts nearer to what must come free.",
        )  # fmt: skip
    low, high = 0.0, most_in
    while high - low > FINEST_IN:
        middle = (low + high) / 2
        low, high = (low, middle) if opened(middle) else (middle, high)
    return high


def post_lift(about: str, *, unloads_in: float, clears_in: float, available_in: float) -> PostLift:
    """Lift needed to free a post against what the framing above may move.

    Parameters
    ----------
    unloads_in : float
        Lift that takes the load off. [in]
    clears_in : float
        Height of the pin, lip or cap that it must clear; a cap usually hides 1/4 in. [in]
    available_in : float
        Lift that what is above may take. [in]

    Sources
    -------
    S-061 : common practice, no source. S-062 : unloading.
    """
    if min(unloads_in, clears_in, available_in) < 0:
        raise InputError(f"lift of {about!r}", "a negative lift", "0 or more")
    needed = unloads_in + clears_in
    line = check(
        about, what="lift", formula="unloading + clearing <= available",
        values=(
            Value("unloading", unloads_in, "in", "S-062"),
            Value("clearing", clears_in, "in", "S-061"),
            Value("available", available_in, "in", "S-060"),
        ),
        source="S-060", result=needed, limit=available_in, unit="in",
        words=f"Lift that frees {about!r}",
    )  # fmt: skip
    return PostLift(unloads_in, clears_in, available_in, line)
