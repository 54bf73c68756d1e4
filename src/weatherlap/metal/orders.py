"""Bend order: the sequence, turned over and end for end as needed, that a leaf brake can make.

The search is over sets of finished bends, the face up and the edge in front. It is exhaustive: the
order found costs the least handling, and where none is found every state that can be reached has
been tried. Each bend is made to its full angle in one go; one bend may be named that is left
part-open and closed later.
"""

from __future__ import annotations

from collections.abc import Iterator, Set
from dataclasses import dataclass, field
from heapq import heappop, heappush

from weatherlap.errors import InputError
from weatherlap.metal.brake import Brake
from weatherlap.metal.girth import lay_flat
from weatherlap.metal.model import End, Metal, Profile
from weatherlap.metal.posture import Bench
from weatherlap.metal.section import check_folds

MOST_BENDS = 14
FLIP_COST, SPIN_COST, SLIDE_COST = 1.0, 1.0, 0.5
LATE_HEM_COST = 0.01
AGAIN_COST = 1.0
"""Going back to a bend that was left part-open."""


@dataclass(frozen=True, slots=True)
class PartBend:
    """A bend (from 1) left part-open and closed later. [deg]

    ``by_hand``: it is closed by hand after the brake has made all others.
    """

    bend: int
    angle_deg: float
    by_hand: bool = False


@dataclass(frozen=True, slots=True)
class BendStep:
    """One bend on the brake. Bends count from 1 at the start edge. [in, deg]

    ``line_in`` is from the start edge, ``flange_in`` from the line to the edge in front, both on
    the flat strip. ``angle_deg`` is what the step bends it to, from ``from_deg``; ``stays_open``
    says that it is closed later. ``set_deg`` is the angle with springback. ``flip`` and ``spin``
    say what is done to the piece before it; ``slide_in`` that it goes in from the brake's end;
    ``press`` that the hem is closed under the bar, ``tongs`` that it is closed by hand to its gap.
    """

    number: int
    bend: int
    line_in: float
    flange_in: float
    angle_deg: float
    set_deg: float
    finish_up: bool
    in_front: End
    flip: bool
    spin: bool
    slide_in: bool
    press: bool
    tongs: bool
    from_deg: float = 0.0
    stays_open: bool = False


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a bend cannot be made with one of the edges in front. Bends count from 1."""

    bend: int
    in_front: End
    text: str


@dataclass(frozen=True, slots=True)
class Blocked:
    """Proof that no order exists: where the furthest one stops, and what is never reached."""

    furthest: tuple[int, ...]
    reasons: tuple[Reason, ...]
    never: tuple[int, ...]

    @property
    def bends(self) -> tuple[int, ...]:
        """The bends that block, from 1."""
        return tuple(sorted({reason.bend for reason in self.reasons}))


@dataclass(frozen=True, slots=True)
class BendPlan:
    """The order with the least handling, or what blocks every order.

    ``by_hand`` are bends (from 1) left to the hand after the brake, wholly or as ``part`` says.
    ``states`` counts the half-made pieces that were tried.
    """

    profile_id: str
    steps: tuple[BendStep, ...]
    by_hand: tuple[int, ...]
    handling: float
    states: int
    blocked: Blocked | None
    part: PartBend | None = None

    @property
    def possible(self) -> bool:
        """Whether the brake can make it."""
        return self.blocked is None


State = tuple[int, bool | None, End | None]
Move = tuple[int, bool]
"""A bend, and whether it is left part-open."""


@dataclass(slots=True)
class _Search:
    """Cheapest way to each state, by Dijkstra's method."""

    bench: Bench
    wanted: int
    part: int | None = None
    cost: dict[State, float] = field(default_factory=dict)
    before: dict[State, tuple[State, Move]] = field(default_factory=dict)

    def run(self) -> State | None:
        """The cheapest finished state, or None when all that can be reached has been tried."""
        start: State = (0, None, None)
        self.cost[start] = 0.0
        heap: list[tuple[float, int, State]] = [(0.0, 0, start)]
        count = 0
        while heap:
            cost, _, state = heappop(heap)
            if cost > self.cost[state] + 1e-12:
                continue
            if state[0] == self.wanted:
                return state
            for move, after, extra in self._next(state):
                if cost + extra < self.cost.get(after, float("inf")) - 1e-12:
                    count += 1
                    self.cost[after] = cost + extra
                    self.before[after] = (state, move)
                    heappush(heap, (cost + extra, count, after))
        return None

    def _moves(self, made: int) -> Iterator[Move]:
        """What could come next, whether or not it can be made."""
        for bend in range(len(self.bench.turns)):
            if made >> bend & 1:
                continue
            opened = self.bench.opened(bend)
            if (self.wanted >> bend & 1) and not self.wanted & opened:
                yield bend, False
            if bend == self.part and not made & opened:
                yield bend, True

    def _next(self, state: State) -> Iterator[tuple[Move, State, float]]:
        made, up, front = state
        turns = self.bench.turns
        moves = tuple(self._moves(made))
        hems = any(turns[bend].is_hem for bend, _ in moves)
        for bend, part in moves:
            finish_up = turns[bend].turn_deg > 0
            late = LATE_HEM_COST if hems and not turns[bend].is_hem else 0.0
            for end in End:
                if self.bench.why_not(bend, end=end, made=made, part=part):
                    continue
                extra = late + FLIP_COST * (up is not None and up is not finish_up)
                extra += SPIN_COST * (front is not None and front is not end)
                extra += SLIDE_COST * self.bench.slides_in(bend, end=end, made=made)
                extra += AGAIN_COST * part
                after = self.bench.after(bend, made=made, part=part)
                yield (bend, part), (after, finish_up, end), extra

    def chain(self, state: State) -> list[tuple[State, Move, State]]:
        """(state before, move, state after) from the flat strip on."""
        steps = []
        while state in self.before:
            earlier, move = self.before[state]
            steps.append((earlier, move, state))
            state = earlier
        return steps[::-1]


def bend_order(
    profile: Profile, *, metal: Metal, brake: Brake, by_hand: frozenset[int] = frozenset(),
    part: PartBend | None = None,
) -> BendPlan:  # fmt: skip
    """The bend order with the least handling, or the proof that none exists.

    Parameters
    ----------
    profile : Profile
        What to bend. [in, deg]
    metal : Metal
        Thickness, K, radius. [in]
    brake : Brake
        The crew's brake. [in, deg]
    by_hand : frozenset of int
        Bends, counted from 1, that are left for hand tongs at the end.
    part : PartBend, optional
        A bend that may be left part-open meanwhile, or has to be at the end. [deg]

    Returns
    -------
    BendPlan
        Steps, or what blocks.

    Raises
    ------
    InputError
        If the profile crosses itself, the metal is too thick for the brake, there are too many
        bends to search, or ``by_hand`` or ``part`` names a bend that is not there.
    """
    left = {part.bend} if part is not None and part.by_hand else set()
    hands = tuple(sorted(by_hand | left))
    _check(profile, metal, brake, {*hands, *((part.bend,) if part is not None else ())})
    bench = Bench(profile, metal, brake, part.angle_deg if part is not None else 0.0)
    everything = (1 << len(bench.turns)) - 1
    wanted = everything & ~sum(1 << (n - 1) for n in hands)
    wanted |= sum(bench.opened(n - 1) for n in left)
    search = _Search(bench, wanted, part.bend - 1 if part is not None else None)
    done = search.run()
    if done is None:
        blocked = _blocked(search)
        return BendPlan(profile.id, (), hands, 0.0, len(search.cost), blocked, part)
    steps = tuple(
        _step(bench, number, *moves) for number, moves in enumerate(search.chain(done), 1)
    )
    return BendPlan(profile.id, steps, hands, search.cost[done], len(search.cost), None, part)


def _check(profile: Profile, metal: Metal, brake: Brake, named: Set[int]) -> None:
    where = f"profile {profile.id}"
    check_folds(profile, metal=metal)
    if metal.thickness_in > brake.thickest_in + 1e-9:
        raise InputError(
            where, f'{metal.name} of {metal.thickness_in:g}"',
            f'at most {brake.thickest_in:g}" for the brake {brake.name}',
            "Take thinner metal or have it bent.",
        )  # fmt: skip
    if len(profile.bends) > MOST_BENDS:
        raise InputError(
            where, f"{len(profile.bends)} bends", f"at most {MOST_BENDS}",
            "Make it of two pieces, lapped on a flat.",
        )  # fmt: skip
    wrong = sorted(n for n in named if not 1 <= n <= len(profile.bends))
    if wrong:
        raise InputError(
            where, f"bend {wrong[0]} by hand or part-open", f"1 to {len(profile.bends)}"
        )


def _step(bench: Bench, number: int, before: State, move: Move, after: State) -> BendStep:
    made, up, front = before
    bend, part = move
    _, finish_up, end = after
    assert finish_up is not None and end is not None
    strip = lay_flat(bench.profile, metal=bench.metal)
    line = strip.lines_in[bend]
    turn = bench.turns[bend]
    return BendStep(
        number=number,
        bend=bend + 1,
        line_in=line,
        flange_in=strip.girth_in - line if end is End.END else line,
        angle_deg=bench.part_deg if part else abs(turn.turn_deg),
        set_deg=bench.swing_of(bend, part=part),
        finish_up=finish_up,
        in_front=end,
        flip=up is not None and up is not finish_up,
        spin=front is not None and front is not end,
        slide_in=bench.slides_in(bend, end=end, made=made),
        press=turn.is_hem and not turn.gap_in and not part,
        tongs=turn.is_hem and turn.gap_in > 0 and not part,
        from_deg=bench.stands_at(bend, made=made),
        stays_open=part,
    )


def _blocked(search: _Search) -> Blocked:
    """The furthest states and what keeps each missing bend from being made there."""
    whole = (1 << len(search.bench.turns)) - 1
    reached = {made for made, _, _ in search.cost if made <= whole}
    furthest = max(sorted(reached), key=int.bit_count)
    missing = [n for n in range(len(search.bench.turns)) if (search.wanted & ~furthest) >> n & 1]
    reasons = tuple(
        Reason(n + 1, end, search.bench.why_not(n, end=end, made=furthest))
        for n in missing
        for end in End
    )
    ever = 0
    for made in reached:
        ever |= made
    never = tuple(n + 1 for n in range(len(search.bench.turns)) if (search.wanted & ~ever) >> n & 1)
    done = tuple(n + 1 for n in range(len(search.bench.turns)) if furthest >> n & 1)
    return Blocked(done, reasons, never)
