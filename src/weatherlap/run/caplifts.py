"""Posts that stand in a cap or on a pin: how far what is above must rise to let them out."""

from __future__ import annotations

from dataclasses import replace

from weatherlap.errors import InputError
from weatherlap.run.framingmembers import Surveyed
from weatherlap.structure.model import Framing, Hold
from weatherlap.structure.post_lift import PostLift, lift_that_unloads, post_lift
from weatherlap.structure.shore_model import ShorePlan


def cap_lifts(
    surveyed: Surveyed, framing: Framing, plan: ShorePlan, *, most_in: float
) -> tuple[PostLift, ...]:
    """Lift needed against lift available for each post that a joint hides the head of.

    Parameters
    ----------
    most_in : float
        Lift that what is above may take. [in]

    Where what goes out rests on the posts by its own weight alone, the shore takes nothing off the
    joint: then only the height of the cap counts, and the end of the beam is raised by hand or by
    a jack of its own, up to what is held over it.
    """
    hidden = [
        j for j in surveyed.joints
        if surveyed.joint_of[j.id].hides > 0 and {j.upper, j.lower} <= surveyed.first
        and j.lower in surveyed.replaces
    ]  # fmt: skip
    if not hidden:
        return ()
    temporary = tuple(m.id for m in plan.framing.members if m.temporary)
    lifted = tuple(s.id for s in plan.framing.supports if s.member in temporary)
    whole = _loosened(plan.framing, framing)
    try:
        unloads = lift_that_unloads(
            whole, first=surveyed.first, puts_in=temporary, lifted=lifted,
            joints=tuple(j.id for j in hidden),
        )  # fmt: skip
    except InputError:
        unloads = 0.0
    return tuple(
        post_lift(
            j.lower, unloads_in=unloads, clears_in=surveyed.joint_of[j.id].hides,
            available_in=most_in,
        )
        for j in hidden
    )  # fmt: skip


def _loosened(whole: Framing, loaded: Framing) -> Framing:
    """The framing with its shore and loads, its ties loosened: they only bear."""
    joints = tuple(replace(j, hold=Hold.BEARS) if j.hold is Hold.TIED else j for j in whole.joints)
    return Framing(whole.members, joints, whole.supports, loaded.line_loads, loaded.point_loads)
