"""A shore as the crew gets it: posts on sills, jacks, braces, order, marks, cautions."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

from weatherlap.structure.bracing import BracePlan, BraceShape, plan_braces, sideways_force_lb
from weatherlap.structure.fasteners import nail
from weatherlap.structure.holding import HoldingUp
from weatherlap.structure.lumber import describe
from weatherlap.structure.model import Framing, Joint, Member, Stage, Support
from weatherlap.structure.results import Caution, Check, EngineerNeeded, Missing, Value, check
from weatherlap.structure.shore_model import Choice, ShoreAsk, ShoreLine, ShorePlan, ShorePost
from weatherlap.structure.shore_words import (
    STANDING_CAUTIONS,
    STOPS,
    lift_cautions,
    marks_of,
    steps_of,
)
from weatherlap.structure.sills import Ground, GroundKind, Sill, pick_sill, slab_punching

IN_PER_FT = 12.0
SILL_GUESS_IN = 1.5
TALLEST_IN = 168.0
HEAVIEST_POST_LB = 10000.0


@dataclass(frozen=True, slots=True)
class TempPosts:
    """Members, joints and supports of the temporary posts."""

    members: tuple[Member, ...]
    joints: tuple[Joint, ...]
    supports: tuple[Support, ...]


def _loads(holding: HoldingUp, support: str) -> tuple[float, float]:
    """Greatest load at a foot at any stage and combination, and under dead load alone. [lb]"""
    every = [
        c.push_lb[support][2]
        for stage in holding.stages
        for c in stage.carried
        if support in c.push_lb
    ]
    dead = [s.dead.push_lb[support][2] for s in holding.stages if support in s.dead.push_lb]
    return max(every, default=0.0), max(dead, default=0.0)


def plan_of(
    ask: ShoreAsk, line: ShoreLine, choice: Choice, header: Member, made: TempPosts, whole: Framing,
    stages: tuple[Stage, ...], holding: HoldingUp,
) -> ShorePlan:  # fmt: skip
    """Posts with sills and jacks, braces, words, and what an engineer must look at."""
    checks: list[Check] = []
    missing: list[Missing] = []
    engineer: list[EngineerNeeded] = []
    cautions = [*STANDING_CAUTIONS, *lift_cautions(ask)]
    posts = []
    for member, support, along in zip(made.members, made.supports, choice.posts_in, strict=True):
        ground = line.ground_at(along) or line.grounds[0]
        load, _ = _loads(holding, support.id)
        sill = _under(ask, member, load, ground, checks, missing, engineer, cautions)
        checks.append(_jack_check(ask, member.id, load))
        posts.append(
            ShorePost(
                member.id, along, line.at(along), member.stock, _cut(member, sill), load,
                load * ask.margin, sill, ground,
            )
        )  # fmt: skip
    braces = _braces(ask, header, posts)
    checks += [c for plan in braces for c in plan.checks]
    engineer += engineer_conditions(ask, posts)
    return ShorePlan(
        ask.id, line, choice.header, header.length_in, header.id, tuple(posts), braces,
        steps_of(ask, posts=len(posts), header_words=describe(choice.header)), marks_of(ask), STOPS,
        tuple(cautions), tuple(engineer), tuple(checks), tuple(missing), whole, stages, (),
    )  # fmt: skip


def _cut(post: Member, sill: Sill | None) -> float:
    """Length to cut: the sill that was chosen may be thicker than the one first assumed. [in]"""
    return post.length_in + SILL_GUESS_IN - (sill.stock.width_in if sill else SILL_GUESS_IN)


def _under(
    ask: ShoreAsk, post: Member, load: float, ground: Ground, checks: list[Check],
    missing: list[Missing], engineer: list[EngineerNeeded], cautions: list[Caution],
) -> Sill | None:  # fmt: skip
    """Sill of a post, and what its ground asks."""
    size = (post.stock.depth_in, post.stock.width_in)
    if ground.kind is GroundKind.DECK:
        return _on_deck(ask, post, load, ground, checks, engineer, size)
    sill, lines, open_ = pick_sill(
        post.id, load, stocks=ask.sills, post_in=size, ground=ground, duration=ask.duration
    )
    checks += lines
    if open_ is not None:
        missing.append(open_)
    elif sill is None:
        engineer.append(
            EngineerNeeded(post.id, "No usual sill spreads this load on the ground.", "S-037")
        )
    if ground.kind is GroundKind.SLAB and sill is not None:
        if ground.slab_in is None:
            missing.append(
                Missing(post.id, "slab punching", "thickness of the slab",
                        "Drill or look at an edge: how thick is the slab?", "S-065")
            )  # fmt: skip
            return sill
        area = (sill.length_in, sill.stock.depth_in)
        punching = slab_punching(
            post.id, load, sill_in=area, slab_in=ground.slab_in, slab_psi=ground.slab_psi
        )
        checks.append(punching)
        cautions.append(
            Caution("Nobody knows whether the ground under this slab is firm: sound it with a "
                    f"hammer before post {post.id!r} is loaded.", "S-065", post.id)
        )  # fmt: skip
    return sill


def _on_deck(
    ask: ShoreAsk, post: Member, load: float, ground: Ground, checks: list[Check],
    engineer: list[EngineerNeeded], size: tuple[float, float],
) -> Sill | None:  # fmt: skip
    """A post on a framed floor: only with what the floor may take."""
    if ground.most_lb is None:
        engineer.append(
            EngineerNeeded(post.id, "A framed floor carries this post: an engineer must say what "
                           "it may take, or post down to the ground below it.", "S-061")
        )  # fmt: skip
        return None
    checks.append(
        check(
            post.id, what="load on deck", formula="R <= load given for the deck",
            values=(Value("R", load, "lb", "S-062"),), source="S-066", result=load,
            limit=ground.most_lb, unit="lb", words=f"Load of post {post.id!r} on the deck",
        )
    )  # fmt: skip
    firm = replace(ground, kind=GroundKind.SLAB)
    sill, lines, _ = pick_sill(
        post.id, load, stocks=ask.sills, post_in=size, ground=firm, duration=ask.duration
    )
    checks += lines
    return sill


def _jack_check(ask: ShoreAsk, about: str, load: float) -> Check:
    """Rating of the jack against its load with margin."""
    return check(
        about, what="jack", formula="margin x R <= rating",
        values=(Value("R", load, "lb", "S-062"), Value("margin", ask.margin, "-", "S-060"),
                Value(f"rating ({ask.jack_rating_source})", ask.jack_lb, "lb", "S-066")),
        source="S-060", result=load * ask.margin, limit=ask.jack_lb, unit="lb",
        words=f"Jack of {about!r} with a margin of {ask.margin:g} (rule of thumb)",
    )  # fmt: skip


def _braces(ask: ShoreAsk, header: Member, posts: list[ShorePost]) -> tuple[BracePlan, ...]:
    """Braces along the header and across it."""
    force = sideways_force_lb(sum(p.load_lb for p in posts), edge_ft=header.length_in / IN_PER_FT)
    tall = max(p.length_in for p in posts)
    gap = min(b.along_in - a.along_in for a, b in pairwise(posts))
    rise = 0.8 * tall
    shapes = (
        ("along", BraceShape(rise, min(gap, rise), _held(rise, min(gap, rise)))),
        ("across", BraceShape(rise, 0.6 * rise, _held(rise, 0.6 * rise))),
    )
    return tuple(
        plan_braces(
            force, direction=direction, shape=shape, stock=ask.brace_stock,
            nail=nail("16d common"), duration=ask.duration, most=4 * len(posts),
        )
        for direction, shape in shapes
    )  # fmt: skip


def _held(rise_in: float, run_in: float) -> float:
    """Longest free length of a brace that is held in the middle and at the thirds as needed. [in]

    Sources
    -------
    S-014 : at most 75 times the thickness of a 2x, while building.
    """
    length = float((rise_in**2 + run_in**2) ** 0.5)
    parts = 1
    while length / parts > 75 * SILL_GUESS_IN:
        parts += 1
    return length / parts


def engineer_conditions(ask: ShoreAsk, posts: list[ShorePost]) -> list[EngineerNeeded]:
    """When a shore goes beyond what a carpenter's rules cover.

    Sources
    -------
    S-061 : no source; the limits are the program's own.
    """
    found = []
    tall = max(p.length_in for p in posts)
    if tall > TALLEST_IN:
        found.append(
            EngineerNeeded(ask.id, f"Posts of {tall / IN_PER_FT:.0f} ft are taller than 14 ft.",
                           "S-064")
        )  # fmt: skip
    heavy = max(p.load_lb for p in posts)
    if heavy > HEAVIEST_POST_LB:
        found.append(
            EngineerNeeded(ask.id, f"A post carries {heavy:,.0f} lb, over 10,000 lb.", "S-064")
        )
    if any("masonry" in a.lower() or "brick" in a.lower() for a in ask.above):
        found.append(EngineerNeeded(ask.id, "Masonry stands on what is lifted.", "S-064"))
    return found
