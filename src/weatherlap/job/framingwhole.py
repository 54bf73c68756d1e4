"""What makes the framing of a job whole: lengths, losses on their members, keys that belong."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from weatherlap.job.framingrecords import MemberRecord, NewStock
from weatherlap.job.lines import Path
from weatherlap.job.loadrecords import FitRecord
from weatherlap.job.loads import parse_size
from weatherlap.job.problems import Fault

SHORTEST_IN = 0.5
UPRIGHT = ("post", "stud", "brace")
_NEEDS = {
    "post": ("member", "foot", "under"),
    "shims": ("levels",),
    "beam": ("member", "clear"),
    "jack stud": ("foot", "under"),
    "seat": ("member", "seat"),
    "shrinkage": ("member", "percent"),
}


def member_names(id_: str, count: object) -> tuple[str, ...]:
    """The ids under which a member or the members of a row are known."""
    if isinstance(count, int) and 1 < count <= 200:
        return (id_, *(f"{id_}-{k}" for k in range(1, count + 1)))
    return (id_,)


def framing_faults(
    members: Mapping[int, MemberRecord], fits: Mapping[int, FitRecord]
) -> Iterator[Fault]:
    """Members and lengths to cut that are right key by key and yet cannot be."""
    for number, member in members.items():
        yield from _member_faults(("member", number), member)
    for number, fit in fits.items():
        for key in _NEEDS[fit.what]:
            if not getattr(fit, key):
                path: Path = ("fit", number)
                yield Fault(path, f"a {fit.what} to cut has no `{key}`", f"`{key}`")


def _stamp_faults(path: Path, stock: MemberRecord | NewStock) -> Iterator[Fault]:
    """Lumber has a grade stamp, engineered lumber the values of its report and a size."""
    if stock.values is not None:
        if stock.size is None:
            yield Fault(
                (*path, "size"), "engineered lumber without a size", "its size",
                "The search picks sizes of graded lumber alone.",
            )  # fmt: skip
        if stock.wet and not stock.values.wet_allowed:
            yield Fault(
                (*path, "wet"), "engineered lumber in wet service",
                "dry service, or `wet_allowed` where the report says so",
            )  # fmt: skip
        return
    for key in ("species", "grade"):
        if getattr(stock, key) is None:
            yield Fault(
                (*path, key), "missing", f"the {key} of the grade stamp",
                "For engineered lumber give `values`, from its maker's report.",
            )  # fmt: skip


def _member_faults(path: Path, member: MemberRecord) -> Iterator[Fault]:
    """Ends apart, losses and notches on the member, a row with a step."""
    yield from _stamp_faults(path, member)
    if member.new is not None:
        yield from _stamp_faults((*path, "new"), member.new)
    length = math.dist(*member.line)
    if length < SHORTEST_IN:
        yield Fault(
            (*path, "line"), f"its two ends are {length:g} in apart",
            f"a length of at least {SHORTEST_IN:g} in", "Mend one of the two ends.",
        )  # fmt: skip
        return
    yield from _loss_faults(path, member, length)
    for k, notch in enumerate(member.notches):
        if notch.at > length:
            yield Fault(
                (*path, "notches", k, "at"), f"found {notch.at:g} in",
                f"a place on the member, 0 to {length:.1f} in",
            )  # fmt: skip
    if member.count > 1 and math.hypot(*member.step) < SHORTEST_IN:
        yield Fault(
            (*path, "count"), f"a row of {member.count} without a step",
            "`step`, from each to the next", "For instance step = [16, 0, 0].",
        )  # fmt: skip
    if member.condition == "soft" and not member.losses:
        yield Fault(
            (*path, "condition"), "soft without a measured loss", "`losses`, as probed",
            'Probe it with an awl: losses = [{ start = 0, end = "12 in", bottom = "2 in" }].',
        )  # fmt: skip
    if member.held_sideways is not None and member.use not in UPRIGHT:
        yield Fault(
            (*path, "held_sideways"), f"found it on a {member.use}", "it on a post, stud or brace",
            "What holds a lying member's edge is `braced`.",
        )  # fmt: skip
    if member.new is not None and not member.replaced and member.piece is None:
        yield Fault(
            (*path, "new"), "found `new` on a member that is not replaced",
            "`replaced = true`, or the `piece` that a change replaces",
        )  # fmt: skip


def _loss_faults(path: Path, member: MemberRecord, length: float) -> Iterator[Fault]:
    """Losses lie on the member and leave something of it."""
    plies, thick, deep = parse_size(member.size)
    for k, loss in enumerate(member.losses):
        at: Path = (*path, "losses", k)
        if not loss.start < loss.end <= length + 1e-6:
            yield Fault(
                at, f"a stretch {loss.start:g} to {loss.end:g} in",
                f"a stretch within 0 to {length:.1f} in, its start before its end",
            )  # fmt: skip
        elif (
            loss.plies >= plies
            or loss.top + loss.bottom >= deep
            or loss.sides >= thick * (plies - loss.plies)
        ):
            yield Fault(
                at, "a loss that leaves nothing of the section", "some sound wood",
                'If it carries nothing there, say condition = "gone".',
            )  # fmt: skip
