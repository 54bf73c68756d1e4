"""One bend in the brake: how the half-made piece lies there, and what would be in the way."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from weatherlap.metal.brake import Brake, turned
from weatherlap.metal.girth import lay_flat, radius_of
from weatherlap.metal.model import End, Metal, Profile
from weatherlap.metal.sweep import (
    Point,
    Walls,
    enters,
    first_contact,
    lines_cross,
    walls_of,
)

Ask = Callable[[int, End, int, bool], str]

NEAR_IN = 1e-6
TAPE_IN = 1 / 64
"""What a tape does not tell: a flange or a hold short by less is taken. [in]"""
HEM_SWING_DEG = 120.0
TONGS_FROM_DEG = 90.0


@dataclass(frozen=True, slots=True)
class Turn:
    """A bend as the search sees it: signed turn, the gap of an open hem, its place."""

    turn_deg: float
    is_hem: bool
    gap_in: float


@dataclass(slots=True)
class Bench:
    """A profile at a brake. Lines are single, without thickness, from bend line to bend line.

    ``made`` is a set of finished bends as bits; above them the same again for bends that are left
    part-open at ``part_deg``. Everything asked is remembered: the same half of a piece comes back
    in many orders.
    """

    profile: Profile
    metal: Metal
    brake: Brake
    part_deg: float = 0.0
    spans_in: tuple[float, ...] = ()
    turns: tuple[Turn, ...] = ()
    bar: Walls = ()
    bed: Walls = ()
    table: Walls = ()
    _seen: dict[tuple[str, int, End, int, bool], str] = field(default_factory=dict)
    _lines: dict[tuple[int, End, int, bool], tuple[Point, ...]] = field(default_factory=dict)
    _sides: dict[tuple[int, End], int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        strip = lay_flat(self.profile, metal=self.metal)
        self.bar, self.bed = walls_of(self.brake.bar()), walls_of(self.brake.bed())
        self.table = walls_of(self.brake.table())
        self.spans_in = strip.spans_in
        self.turns = tuple(
            Turn(b.turn_deg, b.is_hem, 2 * radius_of(b, metal=self.metal) if b.is_hem else 0.0)
            for b in self.profile.bends
        )

    def opened(self, bend: int) -> int:
        """The bit of a bend that is left part-open."""
        return 1 << len(self.turns) + bend

    def after(self, bend: int, *, made: int, part: bool) -> int:
        """The piece after a bend is made, wholly or in part."""
        if part:
            return made | self.opened(bend)
        return (made | 1 << bend) & ~self.opened(bend)

    def stands_at(self, bend: int, *, made: int) -> float:
        """The angle that a bend has before it is made or closed. [deg]"""
        return self.part_deg if made & self.opened(bend) else 0.0

    def front_of(self, bend: int, end: End) -> tuple[int, ...]:
        """Bends between the line and the edge that faces the operator, nearest first."""
        if end is End.END:
            return tuple(range(bend + 1, len(self.turns)))
        return tuple(range(bend - 1, -1, -1))

    def lie(self, bend: int, *, end: End, made: int, front: bool) -> tuple[Point, ...]:
        """The part before (or behind) the line in the brake, flat at the line."""
        toward = end if front else other(end)
        key = (bend, toward, made & self._side(bend, toward), front)
        if key not in self._lines:
            up = math.copysign(1.0, self.turns[bend].turn_deg)
            heading, side = (0.0, up) if front else (180.0, -up)
            self._lines[key] = self._walk(bend, toward, made, (0.0, 0.0), heading, side)
        return self._lines[key]

    def _side(self, bend: int, end: End) -> int:
        """The bends on one side of a bend, as bits."""
        if (bend, end) not in self._sides:
            self._sides[bend, end] = sum(1 << n | self.opened(n) for n in self.front_of(bend, end))
        return self._sides[bend, end]

    def _walk(
        self, bend: int, toward: End, made: int, at: Point, heading: float, side: float
    ) -> tuple[Point, ...]:
        """Points from a bend's line to an edge, turned at bends as far as they are made."""
        points = [at]
        step = 1 if toward is End.END else 0
        for number in (bend, *self.front_of(bend, toward)):
            if number != bend and made >> number & 1:
                turn = self.turns[number]
                if turn.gap_in:
                    heading += side * math.copysign(90.0, turn.turn_deg)
                    at = _ahead(at, heading, turn.gap_in)
                    points.append(at)
                    heading += side * math.copysign(90.0, turn.turn_deg)
                else:
                    heading += side * turn.turn_deg
            elif number != bend and made & self.opened(number):
                heading += side * math.copysign(self.part_deg, self.turns[number].turn_deg)
            elif number != bend:
                points.pop()
            at = _ahead(at, heading, self.spans_in[number + step])
            points.append(at)
        return tuple(points)

    def why_not(self, bend: int, *, end: End, made: int, part: bool = False) -> str:
        """What keeps a bend from being made now with that edge in front; empty if nothing.

        ``part``: it is bent to ``part_deg`` only and left open.
        """
        key = ("whole", bend, end, made, part)
        found = self._seen.get(key)
        return self._once(*key, self._whole) if found is None else found

    def _whole(self, bend: int, end: End, made: int, part: bool) -> str:
        """The first reason of all: each half by itself, then both, then closing a hem."""
        own = self.opened(bend) & made
        ahead = self._side(bend, end) & made | own
        behind = self._side(bend, other(end)) & made
        return (
            self._once("front", bend, end, ahead, part, self._front)
            or self._once("back", bend, end, behind, False, self._back)
            or self._pair(bend, end, made, part)
            or ("" if part else self._hem(bend, end, made & ~own))
        )

    def _once(self, what: str, bend: int, end: End, made: int, part: bool, ask: Ask) -> str:
        key = (what, bend, end, made, part)
        if key not in self._seen:
            self._seen[key] = ask(bend, end, made, part)
        return self._seen[key]

    def swing_of(self, bend: int, *, part: bool = False) -> float:
        """How far the leaf is turned for a bend, springback included. [deg]

        A closed hem as far as it goes, an open one square: hand tongs do the rest.
        """
        turn, most = self.turns[bend], self.brake.swing_deg
        if part:
            return min(self.part_deg + self.brake.springback_deg, most)
        if turn.is_hem and not turn.gap_in:
            return most
        angle = TONGS_FROM_DEG if turn.is_hem else abs(turn.turn_deg)
        return min(angle + self.brake.springback_deg, most)

    def _need(self, bend: int, *, part: bool) -> float:
        """How far the leaf has to turn for a bend at least. [deg]"""
        turn = self.turns[bend]
        if part:
            return self.part_deg + self.brake.springback_deg
        if turn.is_hem and not turn.gap_in:
            return HEM_SWING_DEG
        angle = TONGS_FROM_DEG if turn.is_hem else abs(turn.turn_deg)
        return angle + self.brake.springback_deg

    def _front(self, bend: int, end: End, made: int, part: bool) -> str:
        """What the part in front meets: leaf, bar. The leaf lies under it at any angle."""
        brake, need = self.brake, self._need(bend, part=part)
        if need > brake.swing_deg + NEAR_IN:
            return f"needs a swing of {need:g} degrees, the leaf turns {brake.swing_deg:g}"
        line = self.lie(bend, end=end, made=made, front=True)
        flange = line[1][0]
        if flange < brake.least_flange_in - TAPE_IN:
            need_in = _in(brake.least_flange_in)
            return f'flange of {flange:.3f}" in front of the line, the leaf needs {need_in}'
        if _over_line(line, ahead=True):
            return "a folded leg lies over the line"
        if min(y for _, y in line) < -NEAR_IN and self._hangs(line):
            return "a leg that hangs down meets the leaf"
        swing, stands = self.swing_of(bend, part=part), self.stands_at(bend, made=made)
        if _highest(line) + math.radians(swing + brake.nose_deg) < math.pi:
            return ""
        risen = _risen(line, stands)
        touch = first_contact(risen, (*brake.bar(), (0.0, 0.0)), swing_deg=swing - stands)
        if enters(risen, self.bar) or touch is not None:
            at = stands + (touch or 0.0)
            return f"a leg in front meets the clamp bar at {at:.0f} degrees of the swing"
        return ""

    def _back(self, bend: int, end: End, made: int, part: bool) -> str:
        """What the part behind meets: bar, bed, throat."""
        del part
        brake = self.brake
        line = self.lie(bend, end=end, made=made, front=False)
        held = -line[1][0]
        if held < brake.least_clamp_in - TAPE_IN:
            return f'{held:.3f}" behind the line to hold, the bar needs {_in(brake.least_clamp_in)}'
        if _over_line(line, ahead=False):
            return "a folded leg lies over the line"
        deep = -min(x for x, _ in line)
        if deep > brake.throat_in + NEAR_IN:
            return f"{_in(deep)} behind the line, the throat takes {_in(brake.throat_in)}"
        if max(y for _, y in line) > NEAR_IN and enters(line, self.bar):
            return "a leg that stands up behind the line is under the clamp bar"
        if min(y for _, y in line) < -NEAR_IN and enters(line, self.bed):
            return "a leg that hangs down behind the line is in the bed"
        if not brake.from_end and self.slides_in(bend, end=end, made=made):
            return f"a leg behind stands higher than the bar lifts ({_in(brake.bar_lift_in)})"
        return ""

    def _hangs(self, line: Sequence[Point]) -> bool:
        """Whether the part in front reaches into the leaf or the bed below the sheet."""
        return enters(line, self.table) or enters(line, self.bed)

    def _pair(self, bend: int, end: End, made: int, part: bool) -> str:
        """Whether the swinging part meets the part that is held."""
        front = self.lie(bend, end=end, made=made, front=True)
        back = self.lie(bend, end=end, made=made, front=False)
        swing, stands = self.swing_of(bend, part=part), self.stands_at(bend, made=made)
        if _apart(front, back, swing_deg=swing):
            return ""
        risen = _risen(front, stands)
        if lines_cross(risen, back):
            return "the part in front and the part behind cross"
        touch = first_contact(risen, back, swing_deg=swing - stands)
        if touch is not None:
            at = stands + touch
            return f"the part in front meets the part behind at {at:.0f} degrees of the swing"
        return ""

    def _hem(self, bend: int, end: End, made: int) -> str:
        """Whether a closed hem can be pressed flat under the bar; an open one is closed by hand."""
        turn = self.turns[bend]
        if not turn.is_hem or turn.gap_in:
            return ""
        either = (self.pressed(bend, below=below, made=made) for below in (end, other(end)))
        solids = self.bar, self.bed, self.table
        if any(not any(enters(line, s) for line in lines for s in solids) for lines in either):
            return ""
        return "the hem cannot be pressed under the bar, formed legs are in the way"

    def pressed(self, bend: int, *, below: End, made: int) -> tuple[tuple[Point, ...], ...]:
        """Both sides of a hem pushed under the bar: the one below first."""
        up = math.copysign(1.0, self.turns[bend].turn_deg)
        under = min(*self.spans_in[bend : bend + 2], self.brake.bar_depth_in)
        at = (-under, 0.0)
        return (
            self._walk(bend, below, made, at, 0.0, up),
            self._walk(bend, other(below), made, at, 0.0, -up),
        )

    def slides_in(self, bend: int, *, end: End, made: int) -> bool:
        """Whether legs behind stand higher than the open bar: then it goes in from the end."""
        line = self.lie(bend, end=end, made=made, front=False)
        return max(y for _, y in line) > self.brake.bar_lift_in + NEAR_IN


def other(end: End) -> End:
    """The other edge."""
    return End.START if end is End.END else End.END


def _risen(front: tuple[Point, ...], stands_deg: float) -> tuple[Point, ...]:
    """The part in front as it stands before the swing."""
    return tuple(turned(p, stands_deg) for p in front) if stands_deg else front


def _apart(front: Sequence[Point], back: Sequence[Point], *, swing_deg: float) -> bool:
    """Whether a swing cannot come near: each stays on its side and their angles do not meet."""
    if any(x >= 0 for x, _ in back[1:]):
        return False
    lowest = min(math.atan2(y, x) % (2 * math.pi) for x, y in back[1:])
    return _highest(front) + math.radians(swing_deg) < lowest


def _highest(front: Sequence[Point]) -> float:
    """Greatest angle above the sheet at which the hinge sees the part in front.

    Full turn if any of it is above or behind the hinge, where its parts have to be looked at.
    """
    if any(x <= 0 for x, _ in front[1:]):
        return 2 * math.pi
    return max(math.atan2(y, x) for x, y in front[1:])


def _over_line(line: Sequence[Point], *, ahead: bool) -> bool:
    """Whether metal folded flat comes back over the line that is to be bent."""
    sign = 1.0 if ahead else -1.0
    flat = [sign * x for x, y in line if abs(y) < NEAR_IN]
    return min(flat) < -NEAR_IN


def _ahead(at: Point, heading_deg: float, far: float) -> Point:
    angle = math.radians(heading_deg)
    return at[0] + far * math.cos(angle), at[1] + far * math.sin(angle)


def _in(inches: float) -> str:
    return f'{inches:g}"' if inches == round(inches, 3) else f'{inches:.2f}"'
