"""Which pieces of the repaired corner are new, and which go back as they were."""

from __future__ import annotations

from collections.abc import Sequence

from weatherlap.job.model import Change, Do, Job


def new_pieces(changes: Sequence[Change]) -> dict[str, str]:
    """The pieces that the changes make anew, each with why.

    A piece is new that is replaced, added, or made longer; one that is turned, trimmed, unsealed
    or reused is not bought.
    """
    found: dict[str, str] = {}
    for change in changes:
        name = change.subject
        if change.do is Do.TAKE_AWAY:
            found.pop(name, None)
        elif change.do in (Do.REPLACE, Do.ADD) or _longer(change):
            found.setdefault(name, change.why or _WHY[change.do])
    return found


def reused_pieces(changes: Sequence[Change]) -> tuple[str, ...]:
    """The pieces that come off and go back where they were."""
    return tuple(dict.fromkeys(c.subject for c in changes if c.do is Do.REUSE))


def buys(job: Job) -> bool:
    """Whether a job has anything to buy."""
    return bool(job.also or job.profile or new_pieces(job.change))


def _longer(change: Change) -> bool:
    return change.do is Do.EXTEND and change.by is not None and change.by > 0


_WHY = {Do.REPLACE: "replaced", Do.ADD: "added", Do.EXTEND: "made anew, longer"}
