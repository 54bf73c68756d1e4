"""What one more hole or reading is worth: what it saves on average, less what it costs."""

from __future__ import annotations

from dataclasses import dataclass

from weatherlap.errors import InputError
from weatherlap.money.damage import PUSH_SEEN, Hidden, Push, turned_by


@dataclass(frozen=True, slots=True)
class Stakes:
    """What is at stake over one piece. [USD]

    ``planned_usd`` is to make it good while everything stands open, ``late_usd`` to be surprised
    by it afterwards, ``look_usd`` to open it and push an awl in now.
    """

    planned_usd: float
    late_usd: float
    look_usd: float

    def __post_init__(self) -> None:
        """Refuse stakes that are negative."""
        if min(self.planned_usd, self.late_usd, self.look_usd) < 0:
            raise InputError("stakes", "a cost below 0", "costs of 0 or more")


@dataclass(frozen=True, slots=True)
class Worth:
    """What a look is worth. [USD]

    ``blind_usd`` is the mean cost of the better of the two courses without a look ("plan it" or
    "leave it"), ``knowing_usd`` that with one, ``worth_usd`` the difference less the look.
    """

    hidden: Hidden
    stakes: Stakes
    blind: str
    blind_usd: float
    knowing_usd: float

    @property
    def saved_usd(self) -> float:
        """What the look saves on average. [USD]"""
        return self.blind_usd - self.knowing_usd

    @property
    def worth_usd(self) -> float:
        """What is left of it after the look is paid. [USD]"""
        return self.saved_usd - self.stakes.look_usd


PLAN, LEAVE = "plan to mend it", "leave it closed"


def best_course(rotten: float, stakes: Stakes) -> tuple[str, float]:
    """The cheaper course on average at a chance of rot, and what it costs. [USD]"""
    leave = rotten * stakes.late_usd
    return (PLAN, stakes.planned_usd) if stakes.planned_usd < leave else (LEAVE, leave)


def worth_of_look(hidden: Hidden, stakes: Stakes) -> Worth:
    """What pushing an awl into a piece now is worth before the course is chosen.

    The look answers firm, soft or rotten as often as each comes in each state; after each answer
    the better course is taken. The value of a look is never below nothing; less its cost it may be.

    Sources
    -------
    E-008 : expected value of sample information.
    """
    now = hidden.after
    blind, blind_usd = best_course(now[2], stakes)
    knowing = 0.0
    for push in Push:
        seen = PUSH_SEEN[push]
        comes = sum(p * s for p, s in zip(now, seen, strict=True))
        if comes > 0:
            after = turned_by(now, seen)
            knowing += comes * best_course(after[2], stakes)[1]
    return Worth(hidden, stakes, blind, blind_usd, min(knowing, blind_usd))
