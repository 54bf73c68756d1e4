"""The way of the uplift from roof to ground, link by link, weakest link named."""

from __future__ import annotations

from dataclasses import dataclass

from weatherlap.structure.connections import Fastening, uplift_capacity
from weatherlap.structure.inspect_at import LEAST_PUSH_LB
from weatherlap.structure.model import Framing, Joint, Support
from weatherlap.structure.results import Check, Missing, Value, check
from weatherlap.structure.staging import Carried, StageResult


@dataclass(frozen=True, slots=True)
class UpliftLink:
    """One link of the way down: what pulls, what holds; None where nobody knows. [lb]"""

    link: str
    level: int
    from_member: str
    to: str
    pull_lb: float
    holds_lb: float | None
    check: Check | None

    @property
    def ratio(self) -> float:
        """Pull over what holds; unknown counts as infinite."""
        if self.holds_lb is None:
            return float("inf")
        return self.pull_lb / self.holds_lb if self.holds_lb > 0 else float("inf")


@dataclass(frozen=True, slots=True)
class UpliftPath:
    """All links that pull under one combination, roof first; ``loose`` members fly off."""

    combination: str
    links: tuple[UpliftLink, ...]
    weakest: UpliftLink | None
    loose: tuple[str, ...]
    missing: tuple[Missing, ...]
    words: str


def uplift_paths(
    framing: Framing, stage: StageResult, *, fastenings: dict[str, Fastening]
) -> tuple[UpliftPath, ...]:
    """The way of the uplift under every combination in which the wind lifts.

    Sources
    -------
    S-029 : 0.6 D + 0.6 W.
    """
    return tuple(_path(framing, stage, c, fastenings) for c in stage.carried if c.upward)


def _depths(stage: StageResult) -> dict[str, int]:
    """How many links from the ground each member is; 0 stands on the ground."""
    depth = {s.member: 0 for s in stage.supports}
    for _ in range(len(stage.joints) + 1):
        for joint in stage.joints:
            below = depth.get(joint.lower)
            if below is not None:
                depth[joint.upper] = min(depth.get(joint.upper, 99), below + 1)
    return depth


def _path(
    framing: Framing, stage: StageResult, carried: Carried, fastenings: dict[str, Fastening]
) -> UpliftPath:
    """One combination."""
    depth = _depths(stage)
    links: list[UpliftLink] = []
    missing: list[Missing] = []
    for link in stage.links:
        pull = -carried.push_lb[link.id][2]
        if pull > LEAST_PUSH_LB:
            links.append(_link(framing, stage, carried, link, pull, fastenings, depth, missing))
    links.sort(key=lambda one: (-one.level, one.link))
    weakest = max(links, key=lambda one: (one.ratio, one.pull_lb), default=None)
    return UpliftPath(
        carried.combination.id, tuple(links), weakest, carried.loose, tuple(missing),
        _words(weakest, carried.loose),
    )  # fmt: skip


def _link(
    framing: Framing, stage: StageResult, carried: Carried, link: Joint | Support, pull: float,
    fastenings: dict[str, Fastening], depth: dict[str, int], missing: list[Missing],
) -> UpliftLink:  # fmt: skip
    """One link that pulls."""
    to = link.lower if isinstance(link, Joint) else "ground or house"
    level = depth.get(link.owner, 0) if isinstance(link, Joint) else 0
    fastening = fastenings.get(link.id)
    duration = carried.combination.duration
    held = fastening and uplift_capacity(framing, link, fastening, duration=duration)
    if not held:
        missing.append(
            Missing(link.id, "uplift", "what ties it down and its rating",
                    f"Look what fastens {link.owner!r} to {to!r}: nails, strap, cap or base, and "
                    "type the rating of a part from its report.", "S-064")
        )  # fmt: skip
        return UpliftLink(link.id, level, link.owner, to, pull, None, None)
    line = check(
        link.id, what="uplift", formula=f"T <= {held.formula}",
        values=(Value("T", pull, "lb", "S-062"), *held.values), source=held.source, result=pull,
        limit=held.pounds, unit="lb", words=f"Uplift of {link.owner!r} at {link.id!r}",
        combination=carried.combination.id, stage=stage.stage.id,
    )  # fmt: skip
    return UpliftLink(link.id, level, link.owner, to, pull, held.pounds, line)


def _words(weakest: UpliftLink | None, loose: tuple[str, ...]) -> str:
    """The weakest link in words."""
    if loose:
        names = ", ".join(loose[:6])
        return f"Nothing holds down {names}: only their weight keeps them there."
    if weakest is None:
        return "Dead load holds everything down; no link pulls."
    if weakest.holds_lb is None:
        return f"Nobody knows what holds {weakest.link!r}: {weakest.pull_lb:,.0f} lb pull there."
    return (
        f"Weakest link: {weakest.link!r}, {weakest.pull_lb:,.0f} lb pull against "
        f"{weakest.holds_lb:,.0f} lb."
    )
