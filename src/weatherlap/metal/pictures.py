"""The metal in the brake at each step, and the marks on the strip: lines for a drawing."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from weatherlap.metal.brake import Brake, turned
from weatherlap.metal.girth import lay_flat
from weatherlap.metal.model import End, Metal, Profile, Toward
from weatherlap.metal.orders import BendPlan, BendStep
from weatherlap.metal.posture import Bench
from weatherlap.metal.sweep import Point


@dataclass(frozen=True, slots=True)
class StepPicture:
    """One bend seen from the end of the brake: hinge at (0, 0), operator to the right. [in]

    ``held`` stays; ``before`` and ``after`` are the part in front at rest and swung.
    """

    step: BendStep
    held: tuple[Point, ...]
    before: tuple[Point, ...]
    after: tuple[Point, ...]
    bar: tuple[Point, ...]
    bed: tuple[Point, ...]
    leaf: tuple[Point, ...]


def step_pictures(
    profile: Profile, *, metal: Metal, brake: Brake, plan: BendPlan
) -> tuple[StepPicture, ...]:
    """A picture for each step of a plan."""
    bench = Bench(profile, metal, brake, plan.part.angle_deg if plan.part is not None else 0.0)
    made = 0
    found = []
    for step in plan.steps:
        bend, end = step.bend - 1, step.in_front
        front = bench.lie(bend, end=end, made=made, front=True)
        swing = min(step.angle_deg, step.set_deg)
        before = tuple(turned(point, step.from_deg) for point in front)
        found.append(
            StepPicture(
                step=step,
                held=bench.lie(bend, end=end, made=made, front=False),
                before=before,
                after=tuple(turned(point, swing) for point in front),
                bar=brake.bar(),
                bed=brake.bed(),
                leaf=brake.leaf(swing),
            )
        )
        made = bench.after(bend, made=made, part=step.stays_open)
    return tuple(found)


class Mark(StrEnum):
    """What a mark across the strip asks for, with the painted side up."""

    CUT = "cut"
    BEND_UP = "bend up"
    BEND_DOWN = "bend down"
    HEM_UP = "hem up"
    HEM_DOWN = "hem down"


@dataclass(frozen=True, slots=True)
class StripMark:
    """A mark on the strip, from the start edge, painted side up. [in, deg]

    ``orders`` are the bend's places in the order, two where it is left part-open at first; none
    for a cut or where it is left to the hand.
    """

    at_in: float
    mark: Mark
    angle_deg: float
    orders: tuple[int, ...]
    bend: int


def strip_marks(profile: Profile, *, metal: Metal, plan: BendPlan) -> tuple[StripMark, ...]:
    """Marks of a strip with running dimensions from its start edge.

    Sources
    -------
    M-014 : cut, bend and bend from the other side are marked from one edge.
    """
    strip = lay_flat(profile, metal=metal)
    marks = [StripMark(0.0, Mark.CUT, 0.0, (), 0)]
    for number, (line, bend) in enumerate(zip(strip.lines_in, profile.bends, strict=True), 1):
        up = bend.toward is Toward.FINISH
        if bend.is_hem:
            kind = Mark.HEM_UP if up else Mark.HEM_DOWN
        else:
            kind = Mark.BEND_UP if up else Mark.BEND_DOWN
        orders = tuple(step.number for step in plan.steps if step.bend == number)
        marks.append(StripMark(line, kind, bend.angle_deg, orders, number))
    return (*marks, StripMark(strip.girth_in, Mark.CUT, 0.0, (), 0))


def step_words(step: BendStep) -> str:
    """A step in words, as the shop sheet prints it."""
    moves = []
    if step.flip:
        moves.append("turn it over")
    if step.spin:
        moves.append("end for end")
    if step.slide_in:
        moves.append("slide it in from the end of the brake")
    side = "painted side up" if step.finish_up else "painted side down"
    edge = "start edge" if step.in_front is End.START else "end edge"
    moves.append(f"{side}, {edge} to you, line {step.flange_in:.3f} in from that edge")
    if step.stays_open:
        moves.append(f"bend {step.angle_deg:g} degrees only (set {step.set_deg:g}), leave it open")
    elif step.press:
        moves.append("fold as far as the leaf goes, then press the hem flat under the bar")
    elif step.tongs:
        moves.append(f"fold it to {step.set_deg:g} degrees, then close it to its gap by hand")
    else:
        begun = f" from {step.from_deg:g}" if step.from_deg else ""
        moves.append(f"bend{begun} to {step.angle_deg:g} degrees (set {step.set_deg:g})")
    text = "; ".join(moves)
    return text[0].upper() + text[1:] + "."


def hand_words(plan: BendPlan, profile: Profile) -> str:
    """What is left to the hand after the brake; empty where nothing is."""
    if not plan.by_hand:
        return ""
    if plan.part is not None and plan.part.by_hand:
        bend = profile.bends[plan.part.bend - 1]
        to = "flat" if bend.is_hem else f"to {bend.angle_deg:.4g}\u00b0"
        return (
            f"Last, by hand: close bend {plan.part.bend} from {plan.part.angle_deg:g}\u00b0 {to}."
        )
    return f"Last, by hand: bend {', '.join(str(n) for n in plan.by_hand)}."


def block_words(plan: BendPlan) -> tuple[str, ...]:
    """Why no order exists, line by line; nothing where one does."""
    if plan.blocked is None:
        return ()
    made = ", ".join(str(bend) for bend in plan.blocked.furthest) or "none"
    lines = [
        f"No bend order exists on this brake: all {plan.states} half-made states that can be "
        f"reached were tried. The furthest has these bends made: {made}."
    ]
    for reason in plan.blocked.reasons:
        edge = "start edge" if reason.in_front is End.START else "end edge"
        lines.append(f"Bend {reason.bend} with the {edge} in front: {reason.text}.")
    return tuple(lines)
