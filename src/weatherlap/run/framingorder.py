"""Members of the frame among the pieces that come off: rotten ones, and what holds them up."""

from __future__ import annotations

from collections.abc import Iterator

from weatherlap.building.corner import Corner
from weatherlap.job.model import Do, Job

ROTTEN = ("soft", "gone")
SHORE = "It carries load: shore before it comes off."


def carrying_pieces(job: Job) -> frozenset[str]:
    """Ids of the pieces that are members of the surveyed frame."""
    return frozenset(m.piece for m in job.member if m.piece is not None)


def members_left_in(job: Job, found: Corner) -> Iterator[str]:
    """What is said of rotten members that no change takes out."""
    taken = {c.piece for c in job.change if c.do in (Do.REPLACE, Do.TAKE_AWAY)}
    for member in job.member:
        if member.condition not in ROTTEN or (member.piece is not None and member.piece in taken):
            continue
        if member.piece is not None and member.piece in found.piece_named:
            title = found.piece_named[member.piece].title
            yield (
                f"The {title} is surveyed as {member.condition} and no change takes it out: "
                "replace it, or say in the survey that it is sound."
            )
        else:
            yield (
                f"The {member.use} {member.id} is surveyed as {member.condition} and is not drawn "
                "as a piece, so that what covers it is not in the take-down: draw it, and give its "
                "id as `piece` of the member."
            )
