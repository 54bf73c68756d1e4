"""Where temporary posts may go: all sensible places, the lightest header that works over them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from weatherlap.errors import InputError
from weatherlap.structure.combos import Combination
from weatherlap.structure.factors import strength
from weatherlap.structure.frame import Array
from weatherlap.structure.header_beam import HeaderForces, HeaderLoads, header_forces
from weatherlap.structure.lumber import describe, weight_pcf
from weatherlap.structure.model import (
    Framing,
    Hold,
    Joint,
    Member,
    Stage,
    StageKind,
    Stock,
    Support,
    Use,
)
from weatherlap.structure.sections import whole_section
from weatherlap.structure.shore_model import Choice, ShoreAsk, ShoreLine
from weatherlap.structure.sills import GroundKind
from weatherlap.structure.stability import MOST_SLENDER_WHILE_BUILDING, column_stability
from weatherlap.structure.staging import run_stages

IN3_PER_FT3 = 1728.0
LEAST_GAP_IN = 24.0
MOST_OVERHANG_IN = 30.0
MOST_CHOICES = 4000
CHUNK = 1000
POST_HALF_IN = 2.75
HEADER_PAST_IN = 6.0


@dataclass(frozen=True, slots=True)
class Crossing:
    """A carried member over a shore line: where along it, and its underside there. [in]"""

    member: str
    along_in: float
    axis_z_in: float
    under_z_in: float
    width_in: float


@dataclass(frozen=True, slots=True)
class LineLoads:
    """What a shore line would carry, by combination."""

    line: ShoreLine
    crossings: tuple[Crossing, ...]
    loads: tuple[tuple[Combination, Array], ...]


def crossings(framing: Framing, ask: ShoreAsk, line: ShoreLine) -> tuple[Crossing, ...]:
    """Where carried members cross a line, in order along it. [in]"""
    found = []
    for name in ask.carries:
        member = framing.member(name)
        hit = _plan_hit(member, line)
        if hit is None:
            continue
        along, t = hit
        z = member.start_in[2] + t * (member.end_in[2] - member.start_in[2])
        half = whole_section(member).depth_in / 2 * member.length_in / member.plan_length_in
        found.append(Crossing(name, along, z, z - half, whole_section(member).width_in))
    return tuple(sorted(found, key=lambda c: c.along_in))


def _plan_hit(member: Member, line: ShoreLine) -> tuple[float, float] | None:
    """Distance along the line and share along the member where they cross in plan."""
    (x0, y0), (x1, y1) = line.start_in, line.end_in
    ax, ay, _ = member.start_in
    bx, by, _ = member.end_in
    rx, ry, sx, sy = bx - ax, by - ay, x1 - x0, y1 - y0
    cross = rx * sy - ry * sx
    if abs(cross) < 1e-9:
        return None
    t = ((x0 - ax) * sy - (y0 - ay) * sx) / cross
    u = ((x0 - ax) * ry - (y0 - ay) * rx) / cross
    if not (-1e-9 <= t <= 1 + 1e-9 and -1e-9 <= u <= 1 + 1e-9):
        return None
    return u * line.length_in, t


def line_loads(
    framing: Framing, ask: ShoreAsk, line: ShoreLine, *, first: frozenset[str]
) -> LineLoads:
    """What each carried member puts on a line once the old beam is out, by combination. [lb]

    Parameters
    ----------
    first : frozenset of str
        Ids of the members that are there before the work.

    Raises
    ------
    InputError
        Nothing crosses the line.

    Sources
    -------
    S-062 : frame with firm supports along the line.
    """
    over = crossings(framing, ask, line)
    if len(over) < 2:
        raise InputError(
            f"shore line {line.id!r}", f"{len(over)} carried members cross it", "two or more",
            "Move the line, or name in `carries` under [shore] what the header lies across; "
            f"held now: {', '.join(ask.carries[:6])}.",
        )  # fmt: skip
    props = tuple(
        Support(f"line-{c.member}", c.member, (*line.at(c.along_in), c.axis_z_in), Hold.BEARS)
        for c in over
    )
    kept = frozenset(first) - set(ask.replaces)
    trial = Framing(
        framing.members, framing.joints, (*framing.supports, *props), framing.line_loads,
        framing.point_loads,
    )  # fmt: skip
    result = run_stages(
        trial,
        (Stage("line", StageKind.OUT),),
        first=kept,
        snow_is_strength_level=ask.snow_is_strength_level,
    )[0]
    if not result.stands:
        raise InputError(
            f"shore line {line.id!r}", f"{result.loose[0]!r} would not stand on it",
            "a line that holds everything up", "Move the line, or carry that member too.",
        )  # fmt: skip
    loads = tuple(
        (
            c.combination,
            np.array([max(c.push_lb[p.id][2], 0.0) for p in props]),
        )
        for c in result.carried
        if not c.upward
    )
    return LineLoads(line, over, loads)


def post_places(ask: ShoreAsk, line: ShoreLine) -> list[float]:
    """Places of the grid where a post may stand. [in]"""
    steps = int(line.length_in // ask.grid_in)
    found = []
    for k in range(steps + 1):
        along = min(k * ask.grid_in + (line.length_in - steps * ask.grid_in) / 2, line.length_in)
        ground = line.ground_at(along)
        firm = ground is not None and (ground.kind is not GroundKind.DECK or ask.deck_carries)
        if firm and not line.is_blocked(along, half_in=POST_HALF_IN):
            found.append(along)
    return found


def post_choices(
    places: list[float], *, count: int, reach: tuple[float, float], most_gap_in: float
) -> Array:
    """Sets of post places whose gaps are sensible, shape (n, count). [in]

    Parameters
    ----------
    places : list of float
        Where posts may stand. [in]
    count : int
        Posts. [-]
    reach : tuple
        First and last place that must be carried. [in]
    most_gap_in : float
        Widest gap between posts. [in]

    Sources
    -------
    S-059 : about 5 ft apart.
    S-064 : gaps from 24 in to 1.8 of the mean, overhangs to 30 in; a coarser grid if too many.
    """
    first, last = reach
    mean = (last - first) / max(count - 1, 1)
    widest = min(1.8 * mean, most_gap_in) + 1e-6
    stride = 1
    while True:
        found = _grow(places[::stride], count, first, last, widest)
        if len(found) <= MOST_CHOICES or stride > 4:
            return np.array(found, dtype=float).reshape(-1, count)
        stride += 1


def _grow(
    places: list[float], count: int, first: float, last: float, widest: float
) -> list[tuple[float, ...]]:
    """Sets of places built from left to right."""
    sets: list[tuple[float, ...]] = [(p,) for p in places if p <= first + MOST_OVERHANG_IN]
    for _ in range(count - 1):
        sets = [(*s, p) for s in sets for p in places if LEAST_GAP_IN <= p - s[-1] <= widest]
        if len(sets) > 40 * MOST_CHOICES:
            return sets
    return [s for s in sets if s[-1] >= last - MOST_OVERHANG_IN]


def post_limit_lb(stock: Stock, header: Stock, *, height_in: float, duration: float) -> float:
    """Load that a temporary post takes. [lb]

    Parameters
    ----------
    height_in : float
        Height of the post. [in]
    duration : float
        Load duration factor. [-]

    Sources
    -------
    S-014 : column. S-012 : header squashed by the post.
    """
    post = Member("p", Use.POST, (0, 0, 0), (0, 0, height_in), stock, temporary=True)
    s = strength(post, duration=duration)
    slender = height_in / min(stock.width_in, stock.depth_in)
    if slender > MOST_SLENDER_WHILE_BUILDING:
        return 0.0
    cp = column_stability(s.fc_star.value, emin_psi=s.emin.value, slenderness=slender)
    column = s.fc_star.value * cp * stock.width_in * stock.depth_in
    beam = Member("h", Use.HEADER, (0, 0, 0), (99, 0, 0), header)
    area = min(stock.width_in, header.total_width_in) * stock.depth_in
    return min(column, strength(beam, duration=1.0).fc_perp.value * area)


def _header_ratio(header: Stock, forces: HeaderForces, duration: float) -> Array:
    """How hard a header is worked in bending and shear, by choice."""
    member = Member("h", Use.HEADER, (0, 0, 0), (99, 0, 0), header)
    s, section = strength(member, duration=duration), whole_section(member)
    moment = np.maximum(forces.sagging_lb_in, forces.hogging_lb_in)
    bending = moment / (s.fb_star.value * section.strong_modulus_in3)
    shear = 1.5 * forces.shear_lb / (section.area_in2 * s.fv.value)
    return np.maximum(bending, shear)


@dataclass(frozen=True, slots=True)
class LineSite:
    """What every choice along one line shares. [in]"""

    carried: LineLoads
    height_in: float


def best_choices(ask: ShoreAsk, at: LineSite, *, keep: int = 3) -> list[Choice]:
    """The best choices along a line: fewest posts, then the lightest header and posts.

    Parameters
    ----------
    keep : int
        How many to return. [-]

    Sources
    -------
    S-064 : order of preference. S-060 : jack rating over its load.
    """
    places = post_places(ask, at.carried.line)
    over = at.carried.crossings
    reach = (over[0].along_in, over[-1].along_in)
    found: list[Choice] = []
    for count in range(2, ask.most_posts + 1):
        posts = post_choices(places, count=count, reach=reach, most_gap_in=ask.most_gap_in)
        for header in ask.headers:
            if len(posts) and len(found) < keep:
                found += _works(ask, at, posts, header, keep - len(found))
        if len(found) >= keep:
            break
    return found


def why_none(ask: ShoreAsk, at: LineSite) -> str:
    """What stands in the way along a line that has no choice: places, header, jacks or posts."""
    line, over = at.carried.line, at.carried.crossings
    places = post_places(ask, line)
    if len(places) < 2:
        return f"line {line.id!r} has {len(places)} free places for posts, and needs two"
    reach = (over[0].along_in, over[-1].along_in)
    sets = [
        post_choices(places, count=n, reach=reach, most_gap_in=ask.most_gap_in)
        for n in range(2, ask.most_posts + 1)
    ]
    sets = [s for s in sets if len(s)]
    if not sets:
        return (
            f"along line {line.id!r} the free places leave gaps over {ask.most_gap_in:g} in, or "
            f"ends over {MOST_OVERHANG_IN:g} in past the last post"
        )
    return _hardest(ask, at, sets)


def _hardest(ask: ShoreAsk, at: LineSite, sets: list[Array]) -> str:
    """What is overworked where the heaviest header stands on its best places."""
    header, line = ask.headers[-1], at.carried.line
    ratio = need = np.inf
    for posts in sets:
        header_worst, most = _demand(ask, at, posts, header)
        ratio = min(ratio, float(header_worst.min()))
        need = min(need, float(most.max(axis=1).min()) * ask.margin)
    if need > ask.jack_lb:
        return (
            f"along line {line.id!r} the jack that carries most would have to be rated {need:,.0f} "
            f"lb with its margin of {ask.margin:g}; the jacks are rated {ask.jack_lb:,.0f} lb"
        )
    if not np.isfinite(ratio):
        return f"along line {line.id!r} the header lifts off a post at every choice of places"
    if ratio > 1.0:
        return (
            f"along line {line.id!r} the heaviest header, {describe(header)}, is worked to "
            f"{100 * ratio:.0f} % at the best places"
        )
    return f"along line {line.id!r} no post that is given takes its load over the height there"


def _works(ask: ShoreAsk, at: LineSite, posts: Array, header: Stock, keep: int) -> list[Choice]:
    """Choices that work with a header, evenest first, with the lightest post that takes them."""
    by_duration: list[tuple[float, Array]] = []
    worst, most = _demand(ask, at, posts, header, by_duration)
    worst = np.maximum(worst, most.max(axis=1) * ask.margin / ask.jack_lb)
    ok = np.nonzero(worst <= 1.0)[0]
    found: list[Choice] = []
    for k in ok[np.argsort(worst[ok], kind="stable")][: 4 * keep]:
        asked = [(duration, float(load[k])) for duration, load in by_duration]
        post = _lightest_post(ask, header, at.height_in, asked)
        if post is not None and len(found) < keep:
            found.append(
                Choice(
                    at.carried.line.id, tuple(float(p) for p in posts[k]), header, post,
                    float(worst[k]), tuple(float(v) for v in most[k]),
                )
            )  # fmt: skip
    return found


def _demand(
    ask: ShoreAsk, at: LineSite, posts: Array, header: Stock,
    by_duration: list[tuple[float, Array]] | None = None,
) -> tuple[Array, Array]:  # fmt: skip
    """How hard the header is worked and the most load on each post, by choice of places.

    The greatest post load under each duration is put into ``by_duration``.
    """
    worst = np.zeros(len(posts))
    most = np.zeros(posts.shape)
    for combination, loads in at.carried.loads:
        duration = min(combination.duration, ask.duration)
        forces = _forces(posts, loads, header, at.carried)
        worst = np.maximum(worst, _header_ratio(header, forces, duration))
        worst = np.where(forces.reaction_lb.min(axis=1) < 0, np.inf, worst)
        most = np.maximum(most, forces.reaction_lb)
        if by_duration is not None:
            by_duration.append((duration, forces.reaction_lb.max(axis=1)))
    return worst, most


def _lightest_post(
    ask: ShoreAsk, header: Stock, height_in: float, asked: list[tuple[float, float]]
) -> Stock | None:
    """The first post stock that takes its load at every duration."""
    for stock in ask.posts:
        if all(
            load <= post_limit_lb(stock, header, height_in=height_in, duration=duration)
            for duration, load in asked
        ):
            return stock
    return None


def _forces(posts: Array, loads: Array, header: Stock, carried: LineLoads) -> HeaderForces:
    """Header forces of all choices, in chunks that fit the memory."""
    pcf = weight_pcf(header, wet=False, treated=False)
    over = carried.crossings
    setup = HeaderLoads(
        np.array([c.along_in for c in over]), loads,
        pcf / IN3_PER_FT3 * header.total_width_in * header.depth_in,
        over[0].along_in - HEADER_PAST_IN, over[-1].along_in + HEADER_PAST_IN,
    )  # fmt: skip
    parts = [header_forces(posts[k : k + CHUNK], setup) for k in range(0, len(posts), CHUNK)]
    return HeaderForces(
        np.concatenate([p.reaction_lb for p in parts]),
        np.concatenate([p.sagging_lb_in for p in parts]),
        np.concatenate([p.hogging_lb_in for p in parts]),
        np.concatenate([p.shear_lb for p in parts]),
    )


def header_joints(
    header_id: str, over: tuple[Crossing, ...], line: ShoreLine, *, width_in: float
) -> tuple[Joint, ...]:
    """Joints of the carried members on the header. [in]

    Parameters
    ----------
    width_in : float
        Width of the header. [in]
    """
    return tuple(
        Joint(
            f"{c.member}-{header_id}", c.member, header_id, (*line.at(c.along_in), c.axis_z_in),
            Hold.BEARS, bearing_length_in=width_in, bearing_width_in=c.width_in,
        )
        for c in over
    )  # fmt: skip
