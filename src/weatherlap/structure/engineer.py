"""When to ask a licensed engineer, and the cautions that stand with every result."""

from __future__ import annotations

from weatherlap.structure.model import Condition, Framing, Hold, Member, Use
from weatherlap.structure.results import Caution, Check, EngineerNeeded, Verdict
from weatherlap.structure.roof_model import Roof
from weatherlap.structure.sections import section_at, whole_section
from weatherlap.structure.staging import StageResult

LONGEST_SPAN_IN = 240.0
MOST_SECTION_LOST = 1 / 3
HEAVIEST_SUPPORT_LB = 15000.0
IN_PER_FT = 12.0

STANDING = (
    Caution("This is a worked calculation, not a permit drawing: local code and licensed practice "
            "decide.", "S-061"),
    Caution("Earthquake is not included. In seismic design categories C and higher, ask.", "S-064"),
    Caution("Design values marked from memory must be confirmed against the paper book before "
            "anything is built on them.", "S-064"),
    Caution("Hidden rot changes everything: stop and work it out again when more is found.",
            "S-061"),
)  # fmt: skip


def framing_cautions(framing: Framing) -> tuple[Caution, ...]:
    """Cautions for what was surveyed."""
    found = list(STANDING)
    for member in framing.members:
        if member.condition is Condition.WET and not member.service.wet:
            found.append(
                Caution(f"{member.id!r} was found wet but is worked out dry: dry it first, or mark "
                        "it as in wet service.", "S-010", member.id)
            )  # fmt: skip
        graded = member.stock.typed is None and member.stock.species != "SP"
        if member.service.treated and graded and not member.service.incised:
            found.append(
                Caution(f"{member.id!r} is treated {member.stock.species}: that is normally "
                        "incised, which takes a fifth off its strength.", "S-011", member.id)
            )  # fmt: skip
    return tuple(found)


def framing_needs_engineer(
    framing: Framing, *, stages: tuple[StageResult, ...], checks: tuple[Check, ...]
) -> tuple[EngineerNeeded, ...]:
    """Conditions beyond the method.

    Sources
    -------
    S-064 : limits are the program's own. S-047 : columns held at the bottom.
    """
    found = [_lost(m) for m in framing.members if _share_lost(m) > MOST_SECTION_LOST]
    found += [
        EngineerNeeded(c.about, c.sentence, c.source)
        for c in _once(checks)
        if c.verdict is Verdict.OUTSIDE
    ]
    long = [m for m in framing.members if _long(m)]
    found += [
        EngineerNeeded(m.id, f"{m.id!r} is {m.length_in / IN_PER_FT:.0f} ft long, over 20 ft "
                       "between ends.", "S-064")
        for m in long
    ]  # fmt: skip
    found += _heavy(stages)
    if not _held_sideways(framing):
        found.append(
            EngineerNeeded("framing", "Nothing ties the framing sideways to the house: its posts "
                           "would have to hold wind by themselves.", "S-047")
        )  # fmt: skip
    return tuple(found)


def sideways_wind(roof: Roof) -> tuple[Caution | EngineerNeeded, ...]:
    """What is said of wind along and against a porch roof: it is not in the method.

    Sources
    -------
    S-064 : the program's own limit: as far out as it is long along the house.
    """
    name = roof.area.id
    found: list[Caution | EngineerNeeded] = [
        Caution("Wind sideways on the roof's edge, beam, posts and rails is not worked out: the "
                "roof deck must be nailed as a stiff plate and tied along the house, or an "
                "engineer designs the bracing.", "S-064", name)
    ]  # fmt: skip
    if roof.area.wall_in is None:
        return tuple(found)
    (ax, ay), (bx, by) = roof.area.wall_in
    long = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5
    out = max(
        abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / long for x, y in roof.area.outline_in
    )
    if out > long:
        found.append(
            EngineerNeeded(name, f"{name!r} reaches out {out / IN_PER_FT:.1f} ft and is held along "
                           f"{long / IN_PER_FT:.1f} ft of wall: wind along the wall twists it.",
                           "S-064")
        )  # fmt: skip
    return tuple(found)


def _once(checks: tuple[Check, ...]) -> list[Check]:
    """Each kind of check of each member once."""
    return list({(c.about, c.what): c for c in checks}.values())


def _share_lost(member: Member) -> float:
    """Greatest share of the section modulus that rot took. [-]"""
    whole = whole_section(member).strong_modulus_in3
    left = [
        section_at(member, (loss.from_in + loss.to_in) / 2).strong_modulus_in3
        for loss in member.losses
    ]
    return 1.0 - min(left, default=whole) / whole


def _lost(member: Member) -> EngineerNeeded:
    """A member with more than a third gone."""
    return EngineerNeeded(
        member.id, f"{100 * _share_lost(member):.0f} % of the strength of {member.id!r} is gone "
        "where it is worst: replace it, or have an engineer look.", "S-064",
    )  # fmt: skip


def _long(member: Member) -> bool:
    """A lying member over 20 ft."""
    return member.use in (Use.BEAM, Use.HEADER) and member.length_in > LONGEST_SPAN_IN


def _heavy(stages: tuple[StageResult, ...]) -> list[EngineerNeeded]:
    """Supports with loads beyond a porch."""
    worst: dict[str, float] = {}
    for stage in stages:
        for carried in stage.carried:
            for support in stage.supports:
                push = carried.push_lb[support.id][2]
                worst[support.id] = max(worst.get(support.id, 0.0), push)
    return [
        EngineerNeeded(name, f"{push:,.0f} lb at {name!r}, over 15,000 lb.", "S-064")
        for name, push in worst.items()
        if push > HEAVIEST_SUPPORT_LB
    ]


def _held_sideways(framing: Framing) -> bool:
    """Whether a lying member is pinned or fixed to the house."""
    uses = {m.id: m.use for m in framing.members}
    return any(s.hold is not Hold.BEARS and not uses[s.member].upright for s in framing.supports)
