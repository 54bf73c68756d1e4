"""What a drawing shows: one state of a job, its water, what was read and seen on the wall."""

from __future__ import annotations

from dataclasses import dataclass

from weatherlap.building.corner import Corner, Face
from weatherlap.drawings.lanes import spaced_trails
from weatherlap.job.model import CutLine, Damage, Reading
from weatherlap.water.findings import Finding
from weatherlap.water.follow import TrailLine
from weatherlap.water.trace import Trace

_COMPASS = ("north", "northeast", "east", "southeast", "south", "southwest", "west", "northwest")


@dataclass(frozen=True, slots=True)
class Shown:
    """One state of a job to draw; without a trace only the pieces are drawn."""

    title: str
    corner: Corner
    trace: Trace | None = None
    trails: tuple[TrailLine, ...] = ()
    readings: tuple[Reading, ...] = ()
    damages: tuple[Damage, ...] = ()
    cuts: tuple[CutLine, ...] = ()

    @property
    def findings(self) -> tuple[Finding, ...]:
        """The findings, worst first."""
        return self.trace.findings if self.trace is not None else ()


def show(
    title: str,
    corner: Corner,
    *,
    trace: Trace | None = None,
    readings: tuple[Reading, ...] = (),
    damages: tuple[Damage, ...] = (),
    cuts: tuple[CutLine, ...] = (),
    most_trails: int | None = None,
) -> Shown:
    """Gather what the drawings of one state of a job show.

    Parameters
    ----------
    title : str
        The job's name and state, as the drawings print it.
    corner : Corner
        The state that is drawn.
    trace : Trace, optional
        The water on that same corner.
    most_trails : int, optional
        How many trails are followed at most, the heaviest first.
    """
    lines = spaced_trails(trace, most=most_trails) if trace is not None else ()
    return Shown(title, corner, trace, lines, readings, damages, cuts)


def compass(bearing_deg: float) -> str:
    """The nearest of eight compass words to a bearing. [deg]"""
    return _COMPASS[round(bearing_deg / 45.0) % 8]


def view_words(face: Face) -> str:
    """From where a face is seen: ``Looking north at the south wall``."""
    if face.looks_down:
        return f"Looking up at the {face.title}"
    if face.is_level:
        return f"Looking down on the {face.title}"
    if face.tilt_deg < 85.0:
        return f"Looking down square onto the {face.title}, which falls {compass(face.facing_deg)}"
    return f"Looking {compass(face.facing_deg + 180.0)} at the {face.title}"
