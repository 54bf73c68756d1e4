"""Bends left part-open: which of them set a profile free that has no order in whole bends.

A bend may be made to a part of its angle, left so while others are made, and closed afterwards, on
the brake or by hand. What can be reached hangs on the set of bends made alone, not on faces and
edges, so that every such set is tried. One bend is open at a time.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from weatherlap.metal.brake import Brake
from weatherlap.metal.model import End, Metal, Profile
from weatherlap.metal.orders import PartBend
from weatherlap.metal.posture import Bench

PARTS_DEG = (120.0, 105.0, 90.0, 75.0, 60.0, 45.0, 30.0)
"""Angles that a bend is left at, where they are less than its own. [deg]"""
LEAST_LEFT_DEG = 10.0
"""So much is left to close at least, or it could be made whole. [deg]"""


@dataclass(frozen=True, slots=True)
class PartOpen:
    """The bends (from 1) that can be left part-open at angles, and how they are closed. [deg]

    ``angles_deg`` are all that were tried.
    """

    on_brake: tuple[PartBend, ...]
    by_hand: tuple[PartBend, ...]
    angles_deg: tuple[float, ...]


def part_open(profile: Profile, *, metal: Metal, brake: Brake) -> PartOpen:
    """Every bend and angle with which a profile can be made, one bend being left part-open.

    Parameters
    ----------
    profile : Profile
        What to bend. [in, deg]
    metal : Metal
        Thickness, K, radius. [in]
    brake : Brake
        The crew's brake. [in, deg]

    Returns
    -------
    PartOpen
        Those that the brake closes again, and those that the hand closes at the end. [deg]
    """
    angles = _angles(profile, brake)
    whole = (1 << len(profile.bends)) - 1
    plain = _reached({0}, Bench(profile, metal, brake), range(len(profile.bends)))
    on_brake, by_hand = [], []
    for angle in angles:
        bench = Bench(profile, metal, brake, angle)
        for bend, turn in enumerate(bench.turns):
            if abs(turn.turn_deg) < angle + LEAST_LEFT_DEG:
                continue
            others = tuple(n for n in range(len(bench.turns)) if n != bend)
            opened = _made_of(bench, plain, bend, part=True)
            layer = _reached(opened, bench, others)
            if (whole & ~(1 << bend)) | bench.opened(bend) in layer:
                by_hand.append(PartBend(bend + 1, angle, by_hand=True))
            closed = _made_of(bench, layer, bend, part=False) - plain
            if whole in _reached(closed, bench, others):
                on_brake.append(PartBend(bend + 1, angle))
    return PartOpen(tuple(on_brake), tuple(by_hand), angles)


def _angles(profile: Profile, brake: Brake) -> tuple[float, ...]:
    """Angles to leave bends at: in steps, and as far as the leaf turns where that is too little."""
    most = brake.swing_deg - brake.springback_deg
    turns = [bend.angle_deg for bend in profile.bends]
    steps = {a for a in PARTS_DEG if a <= most and any(t >= a + LEAST_LEFT_DEG for t in turns)}
    if any(t > most for t in turns):
        steps.add(most)
    return tuple(sorted(steps, reverse=True))


def _made_of(bench: Bench, sets: Collection[int], bend: int, *, part: bool) -> set[int]:
    """What becomes of half-made pieces when one bend is made, where it can be."""
    return {
        bench.after(bend, made=made, part=part)
        for made in sets
        if not made >> bend & 1 and _can(bench, bend, made, part=part)
    }


def _can(bench: Bench, bend: int, made: int, *, part: bool = False) -> bool:
    return any(not bench.why_not(bend, end=end, made=made, part=part) for end in End)


def _reached(starts: Collection[int], bench: Bench, bends: Collection[int]) -> set[int]:
    """Every half-made piece that whole bends lead to."""
    found, waiting = set(starts), list(starts)
    while waiting:
        made = waiting.pop()
        for bend in bends:
            after = made | 1 << bend
            if after not in found and _can(bench, bend, made):
                found.add(after)
                waiting.append(after)
    return found
