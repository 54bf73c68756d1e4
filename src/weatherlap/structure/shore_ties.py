"""What holds a shore down when the wind lifts: pulls, nails, straps, anchors, ballast."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil, cos, radians

from weatherlap.structure.fasteners import Fastener, Manner, nail
from weatherlap.structure.inspect_at import LEAST_PUSH_LB
from weatherlap.structure.lumber import reference
from weatherlap.structure.model import Framing, Hold, Member, Stage
from weatherlap.structure.results import Check, Figured, Value, check
from weatherlap.structure.shore_model import PostTie, ShoreAsk, TieDown
from weatherlap.structure.staging import StageResult, run_stages
from weatherlap.structure.withdrawal import withdrawal_value

TIE_NAIL = "16d common"
LEAST_NAILS = 2
MOST_TOE_NAILS = 4
WIND_DURATION = 1.6
DEAD_SHARE = 0.6
BAG_LB = 80.0
TOE_ANGLE_DEG = 30.0


@dataclass(frozen=True, slots=True)
class _Pull:
    """The most that one link pulls, and when. [lb]"""

    pounds: float
    combination: str
    stage: str


def tie_down(
    framing: Framing, stages: tuple[Stage, ...], ask: ShoreAsk, *, first: frozenset[str],
    fly_at: frozenset[str],
) -> TieDown | None:  # fmt: skip
    """Ties that hold a shore down: what it carries to the header, the header down at each post.

    Looked at are the stages at which the old ties are loose. The temporary joints are taken as tied
    and the stages run again; what they pull under the combinations with uplift is what the ties
    must take. None where nothing pulls.

    Parameters
    ----------
    first : frozenset of str
        Ids of the members that are there before the work.
    fly_at : frozenset of str
        Ids of the stages at which the wind lifts what nothing holds down.

    Sources
    -------
    S-029 : 0.6 D + 0.6 W, and so 0.6 of ballast counts.
    S-062 : frame with tied joints.
    """
    temporary = {m.id for m in framing.members if m.temporary}
    if not fly_at:
        return None
    tied = _tied(framing, temporary)
    results = run_stages(
        tied, stages, first=first, snow_is_strength_level=ask.snow_is_strength_level
    )
    held = [s for s in results if temporary <= s.present and s.stage.id in fly_at]
    pulls = _pulls(held)
    on_posts = {j.lower: pulls[j.id] for j in tied.joints if j.lower in temporary
                and j.upper in temporary and j.id in pulls}  # fmt: skip
    carried = [
        (j.upper, pulls[j.id]) for j in tied.joints
        if j.lower in temporary and j.upper not in temporary and j.id in pulls
    ]  # fmt: skip
    if not carried and not on_posts:
        return None
    posts = tuple(_post_tie(ask, name, pull) for name, pull in on_posts.items())
    loose = tuple(dict.fromkeys(name for s in held for name in s.flies))
    return _with_nails(tied, ask, carried, posts, loose)


def _tied(framing: Framing, temporary: set[str]) -> Framing:
    """The framing with the joints and feet of its shore tied."""
    joints = tuple(
        replace(j, hold=Hold.TIED) if j.lower in temporary else j for j in framing.joints
    )
    supports = tuple(
        replace(s, hold=Hold.TIED) if s.member in temporary else s for s in framing.supports
    )
    return replace(framing, joints=joints, supports=supports)


def _pulls(stages: list[StageResult]) -> dict[str, _Pull]:
    """The most that each link pulls when the wind lifts."""
    found: dict[str, _Pull] = {}
    for stage in stages:
        for carried in (c for c in stage.carried if c.upward):
            for link in stage.links:
                pull = -carried.push_lb[link.id][2]
                if pull > max(LEAST_PUSH_LB, found[link.id].pounds if link.id in found else 0.0):
                    found[link.id] = _Pull(pull, carried.combination.id, stage.stage.id)
    return found


def _post_tie(ask: ShoreAsk, post: str, pull: _Pull) -> PostTie:
    """The tie of the header beside one post, with the ballast that would do instead."""
    ballast = pull.pounds / DEAD_SHARE
    figured = (
        Figured(post, "pull on the tie", "most uplift of the header there",
                (Value("T", pull.pounds, f"lb, {pull.combination}, stage {pull.stage}", "S-062"),),
                "S-062", pull.pounds, "lb"),
        Figured(post, "ballast instead of an anchor", "T / 0.6",
                (Value("T", pull.pounds, "lb", "S-062"),), "S-029", ballast, "lb"),
    )  # fmt: skip
    checks: tuple[Check, ...] = ()
    if ask.tie_lb is not None:
        checks = (
            check(
                post, what="tie of the header", formula="T <= working load",
                values=(Value("T", pull.pounds, "lb", "S-062"),
                        Value(f"working load ({ask.tie_rating_source})", ask.tie_lb, "lb",
                              "S-066")),
                source="S-066", result=pull.pounds, limit=ask.tie_lb, unit="lb",
                words=f"Tie of the header beside {post!r}", combination=pull.combination,
                stage=pull.stage,
            ),
        )  # fmt: skip
    return PostTie(post, pull.pounds, ballast, ceil(ballast / BAG_LB), figured, checks)


def toe_nail_hold_lb(made: Fastener, *, gravity: float) -> float:
    """What one toe-nail holds against being drawn out by the wind. [lb]

    Parameters
    ----------
    gravity : float
        Specific gravity of what the point is in. [-]

    Sources
    -------
    S-051, S-052 : withdrawal, 0.67 for toe-nails; a third of the length to the face, 30 degrees.
    """
    one, _ = withdrawal_value(made, gravity=gravity, length_in=_point_in(made), manner=Manner.TOE)
    return one * WIND_DURATION


def _point_in(made: Fastener) -> float:
    """Length of a toe-nail in the holding member. [in]"""
    return made.length_in * (cos(radians(TOE_ANGLE_DEG)) - 1 / 3)


def _with_nails(
    framing: Framing, ask: ShoreAsk, carried: list[tuple[str, _Pull]],
    posts: tuple[PostTie, ...], loose: tuple[str, ...],
) -> TieDown:  # fmt: skip
    """Toe-nails of each carried member to the header, or the strap that it needs."""
    name, most = max(carried, key=lambda c: c[1].pounds, default=("", _Pull(0.0, "", "")))
    if not carried:
        return TieDown(posts, 0.0, 0, TIE_NAIL, loose, ())
    made = nail(TIE_NAIL)
    gravity = reference(_header(framing).stock).gravity
    one = toe_nail_hold_lb(made, gravity=gravity)
    count = max(LEAST_NAILS, ceil(most.pounds / one - 1e-9))
    if count > MOST_TOE_NAILS:
        return TieDown(posts, most.pounds, 0, TIE_NAIL, loose, ())
    line = check(
        f"{ask.id}-ties", what="toe-nails to the header", formula="T <= n W p 0.67 CD",
        values=(
            Value("T", most.pounds, "lb", "S-062"), Value("n", count, "-", "S-064"),
            Value("p", _point_in(made), "in", "S-052"), Value("G", gravity, "-", "S-022"),
            Value("one toe-nail", one, "lb", "S-051"), Value("CD", WIND_DURATION, "-", "S-009"),
        ),
        source="S-051", result=most.pounds, limit=count * one, unit="lb",
        words=f"Toe-nails of {name!r} to the header", combination=most.combination,
        stage=most.stage,
    )  # fmt: skip
    return TieDown(posts, most.pounds, count, TIE_NAIL, loose, (line,))


def _header(framing: Framing) -> Member:
    """The temporary header."""
    return next(m for m in framing.members if m.temporary and not m.use.upright)
