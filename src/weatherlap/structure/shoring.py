"""Temporary support: search the places, build the shore into the frame, check every stage."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

from weatherlap.errors import NoSolution
from weatherlap.structure.holding import HoldingUp, hold_up
from weatherlap.structure.lumber import describe
from weatherlap.structure.model import (
    Framing,
    Hold,
    Joint,
    Lift,
    Member,
    Stage,
    StageKind,
    Support,
    Use,
)
from weatherlap.structure.shore_model import Choice, ShoreAsk, ShoreLine, ShorePlan
from weatherlap.structure.shore_plan import SILL_GUESS_IN, TempPosts, plan_of
from weatherlap.structure.shore_search import (
    HEADER_PAST_IN,
    Crossing,
    LineSite,
    best_choices,
    crossings,
    header_joints,
    line_loads,
    why_none,
)
from weatherlap.structure.shore_ties import tie_down
from weatherlap.structure.shore_words import steps_of, tie_words
from weatherlap.units import tape

CONFIRMED_CHOICES = 4


@dataclass(frozen=True, slots=True)
class Shored:
    """A shore plan and the frame through its stages with it."""

    plan: ShorePlan
    holding: HoldingUp

    @property
    def worst(self) -> float:
        """Worst ratio of anything temporary, and of anything that the shore makes worse. [-]"""
        temporary = {m.id for m in self.plan.framing.members if m.temporary}
        found = self.holding.stages[0].stage.id
        before = {(c.about, c.what): c.ratio for c in self.holding.checks if c.stage == found}
        ratios = [c.ratio for c in self.plan.checks]
        for c in self.holding.checks:
            spared = before.get((c.about, c.what), 0.0) * 1.001
            if c.about in temporary or c.ratio > max(1.0, spared):
                ratios.append(c.ratio)
        return max(ratios, default=0.0)

    @property
    def holds(self) -> bool:
        """Whether the shore holds and nothing gets worse than it was found."""
        return self.worst <= 1.0 and not self.plan.engineer


def propose_shoring(framing: Framing, ask: ShoreAsk, *, first: frozenset[str]) -> Shored:
    """The best shore: fewest posts, lightest header, confirmed by the whole frame at every stage.

    Parameters
    ----------
    first : frozenset of str
        Ids of the members that are there before the work.

    Raises
    ------
    NoSolution
        No line has places, headers and posts that hold the load; says which came nearest.

    Sources
    -------
    S-060, S-064.
    """
    choices: list[tuple[ShoreLine, tuple[Crossing, ...], Choice]] = []
    blocked: list[str] = []
    for line in ask.lines:
        carried = line_loads(framing, ask, line, first=first)
        site = LineSite(carried, _clear_height(carried.crossings, line))
        found = best_choices(ask, site)
        choices += [(line, carried.crossings, c) for c in found]
        blocked += [] if found else [why_none(ask, site)]
    if not choices:
        raise NoSolution(
            f"shoring {ask.id!r}: no places for temporary posts: {'; '.join(blocked)}. Free more "
            "places, add a deeper header, stronger jacks, or a line nearer to the load."
        )
    choices.sort(key=lambda c: _preference(ask, c[2]))
    shored: list[Shored] = []
    for line, over, choice in choices[:CONFIRMED_CHOICES]:
        shored.append(build_shore(framing, ask, line, over, choice, first=first))
        if shored[-1].holds:
            break
    best = min(shored, key=lambda s: (s.worst > 1.0, len(s.plan.engineer), s.worst))
    rest = tuple(c for _, _, c in choices if c.posts_in != _places(best.plan))[:3]
    return Shored(replace(best.plan, others=rest), best.holding)


def _places(plan: ShorePlan) -> tuple[float, ...]:
    """Places of the posts of a plan. [in]"""
    return tuple(p.along_in for p in plan.posts)


def _preference(ask: ShoreAsk, choice: Choice) -> tuple[float, ...]:
    """Fewest posts, lightest header, lightest post, least worked."""
    return (
        len(choice.posts_in), ask.headers.index(choice.header), ask.posts.index(choice.post),
        choice.ratio,
    )  # fmt: skip


def _clear_height(over: tuple[Crossing, ...], line: ShoreLine) -> float:
    """Greatest height from ground to what is carried. [in]"""
    return max(c.under_z_in for c in over) - min(g.level_in for g in line.grounds)


def build_shore(
    framing: Framing, ask: ShoreAsk, line: ShoreLine, over: tuple[Crossing, ...], choice: Choice,
    *, first: frozenset[str],
) -> Shored:  # fmt: skip
    """The shore of a choice (the search's or the user's own), built, staged and checked.

    Parameters
    ----------
    first : frozenset of str
        Ids of the members that are there before the work.
    """
    header = _header(ask, line, over, choice)
    made = _posts_and_links(ask, line, header, choice)
    joints = header_joints(header.id, over, line, width_in=choice.header.total_width_in)
    whole = Framing(
        (*framing.members, header, *made.members), (*framing.joints, *joints, *made.joints),
        (*framing.supports, *made.supports), framing.line_loads, framing.point_loads,
    )  # fmt: skip
    stages = shore_stages(whole, ask, header, made)
    holding = hold_up(whole, stages, first=first, snow_is_strength_level=ask.snow_is_strength_level)
    plan = plan_of(ask, line, choice, header, made, whole, stages, holding)
    return Shored(_with_ties(plan, ask, holding, first), holding)


def _with_ties(
    plan: ShorePlan, ask: ShoreAsk, holding: HoldingUp, first: frozenset[str]
) -> ShorePlan:
    """The plan with what holds it down while the old ties are loose."""
    fly_at = frozenset(s.stage.id for s in holding.stages if s.flies and s.stands)
    ties = tie_down(plan.framing, plan.stages, ask, first=first, fly_at=fly_at)
    if ties is None:
        return plan
    checks = (*plan.checks, *ties.checks, *(c for p in ties.posts for c in p.checks))
    steps = steps_of(
        ask, posts=len(plan.posts), header_words=describe(plan.header), ties=tie_words(ties)
    )
    return replace(plan, checks=checks, ties=ties, steps=steps)


def move_posts(
    framing: Framing, ask: ShoreAsk, plan: ShorePlan, posts_in: tuple[float, ...], *,
    first: frozenset[str],
) -> Shored:  # fmt: skip
    """The same shore with its posts where the user wants them.

    Parameters
    ----------
    posts_in : tuple of float
        Places along the plan's line, in order. [in]
    first : frozenset of str
        Ids of the members that are there before the work.
    """
    over = crossings(framing, ask, plan.line)
    stock = plan.posts[0].stock
    choice = Choice(plan.line.id, tuple(sorted(posts_in)), plan.header, stock, 0.0, ())
    return build_shore(framing, ask, plan.line, over, choice, first=first)


def _header(ask: ShoreAsk, line: ShoreLine, over: tuple[Crossing, ...], choice: Choice) -> Member:
    """The temporary header, tight under the lowest of what it carries."""
    z = min(c.under_z_in for c in over) - choice.header.depth_in / 2
    a = over[0].along_in - HEADER_PAST_IN
    b = over[-1].along_in + HEADER_PAST_IN
    spacing = max(q.along_in - p.along_in for p, q in pairwise(over))
    return Member(
        f"{ask.id}-header", Use.HEADER, (*line.at(a), z), (*line.at(b), z), choice.header,
        unbraced_in=spacing, temporary=True,
    )  # fmt: skip


def _posts_and_links(ask: ShoreAsk, line: ShoreLine, header: Member, choice: Choice) -> TempPosts:
    """Temporary posts from sill to header."""
    top = header.start_in[2] - choice.header.depth_in / 2
    members, joints, supports = [], [], []
    for k, along in enumerate(choice.posts_in, 1):
        ground = line.ground_at(along) or line.grounds[0]
        x, y = line.at(along)
        foot = ground.level_in + SILL_GUESS_IN + ask.jack_height_in
        post = Member(
            f"{ask.id}-post-{k}", Use.POST, (x, y, foot), (x, y, top), choice.post, temporary=True
        )
        members.append(post)
        wide = min(choice.post.width_in, choice.header.total_width_in)
        joints.append(
            Joint(
                f"{header.id}-{k}", header.id, post.id, (x, y, top),
                bearing_length_in=choice.post.depth_in, bearing_width_in=wide,
            )
        )  # fmt: skip
        supports.append(
            Support(
                f"{ask.id}-foot-{k}", post.id, (x, y, foot),
                bearing_length_in=choice.post.depth_in, bearing_width_in=choice.post.width_in,
            )
        )  # fmt: skip
    return TempPosts(tuple(members), tuple(joints), tuple(supports))


def shore_stages(
    framing: Framing, ask: ShoreAsk, header: Member, made: TempPosts
) -> tuple[Stage, ...]:
    """As found, posts set, jacked, old out, new in, shims set, jacks off.

    What ties the old members down is loosened before the lift, or it would pull back; joints that
    are to be shimmed are fastened once the shims are in.
    """
    temporary = (header.id, *(m.id for m in made.members))
    lifts = tuple(Lift(s.id, ask.lift_in) for s in made.supports)
    stages = [
        Stage("1", StageKind.AS_FOUND, title="As found"),
        Stage("2", StageKind.POSTS_SET, puts_in=temporary, title="Temporary posts set"),
        Stage("3", StageKind.JACKED, lifts=lifts, title=f"Jacked {tape(ask.lift_in)}",
              frees=_ties_of(framing, ask.replaces)),
    ]  # fmt: skip
    if ask.replaces:
        stages.append(Stage("4", StageKind.OUT, takes_out=ask.replaces, title="Old member out"))
    if ask.puts_in:
        shimmed = tuple(x.joint for x in ask.shims)
        stages.append(
            Stage("5", StageKind.IN, puts_in=ask.puts_in, title="New member in", frees=shimmed)
        )
        if ask.shims:
            stages.append(
                Stage("6", StageKind.SHIMMED, shims=ask.shims, title="Shims set", fastens=shimmed)
            )
        last = str(len(stages) + 1)
        stages.append(Stage(last, StageKind.JACKS_OFF, takes_out=temporary, title="Jacks off"))
    return tuple(stages)


def _ties_of(framing: Framing, names: tuple[str, ...]) -> tuple[str, ...]:
    """Tied joints of some members: what must be loosened before they are lifted off."""
    gone = set(names)
    return tuple(
        j.id for j in framing.joints
        if j.hold is Hold.TIED and (j.upper in gone or j.lower in gone)
    )  # fmt: skip
