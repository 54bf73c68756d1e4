"""The drawings of a job, each under the name of its file."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from weatherlap.drawings.elevation import elevation
from weatherlap.drawings.exploded import exploded
from weatherlap.drawings.section import section
from weatherlap.drawings.shown import Shown, show
from weatherlap.errors import InputError
from weatherlap.job.model import CutLine
from weatherlap.run.states import State
from weatherlap.run.worked import Worked

MOST_SECTIONS = 2
"""Sections drawn where the job names no cut line."""
MOST_TRAILS = 60
_NOT_NAME = re.compile(r"[^a-z0-9]+")


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing: the name of its file without ending, what it shows, its SVG.

    ``face`` is the face of an elevation, by number.
    """

    name: str
    title: str
    svg: str
    face: int | None = None


def pictures(
    worked: Worked, *, state: State, on_the_way: Callable[[str], None] = lambda _: None
) -> tuple[Picture, ...]:
    """Elevations of every face with pieces, sections and the exploded view.

    Parameters
    ----------
    worked : Worked
        The worked-out state of the job.
    state : State
        Which state that is, for the headings.
    on_the_way : callable
        Told before each drawing what is drawn.
    """
    cuts = worked.job.cut or _cuts_at_findings(worked)
    shown = show(
        f"{worked.job.job.title}, {state.words}",
        worked.corner,
        trace=worked.trace,
        readings=worked.job.reading,
        damages=worked.job.damage,
        cuts=cuts,
        most_trails=MOST_TRAILS,
    )
    return tuple(_told(_drawn(shown, cuts), on_the_way))


def picture_dxf(worked: Worked, picture: Picture) -> bytes:
    """The elevation that a picture shows, as a DXF file in inches.

    Raises
    ------
    InputError
        If the picture is no elevation.
    """
    from weatherlap.papers.elevationdxf import elevation_dxf

    if picture.face is None:
        raise InputError(picture.name, "it is no elevation", "the elevation of a face")
    findings = worked.trace.findings
    return elevation_dxf(worked.corner, picture.face, findings, title=picture.title)


def _told(
    rows: Iterator[tuple[str, str, Callable[[], str], int | None]],
    on_the_way: Callable[[str], None],
) -> Iterator[Picture]:
    taken: set[str] = set()
    for name, title, draw, face in rows:
        on_the_way(f"Drawing: {title}")
        yield Picture(_own_name(name, taken), title, draw(), face)


def _drawn(
    shown: Shown, cuts: tuple[CutLine, ...]
) -> Iterator[tuple[str, str, Callable[[], str], int | None]]:
    for face in shown.corner.faces:
        if shown.corner.panels_on[face.index]:
            yield (
                f"elevation-{face.id}",
                f"elevation of the {face.title}",
                lambda f=face.id: elevation(shown, f),  # type: ignore[misc]
                face.index,
            )
    for cut in cuts:
        title = f"section {cut.id}"
        yield f"section-{cut.id}", title, lambda c=cut: section(shown, c), None  # type: ignore[misc]
    yield "exploded", "the corner drawn apart", lambda: exploded(shown), None


def _cuts_at_findings(worked: Worked) -> tuple[CutLine, ...]:
    """Cut lines through the worst findings, where the job names none."""
    found: list[CutLine] = []
    for finding in worked.trace.findings:
        face = worked.corner.faces[finding.face]
        new = all(c.face != face.id or abs(c.at - finding.at[0]) > 1.0 for c in found)
        if new and not face.is_level and len(found) < MOST_SECTIONS:
            title = f"through finding {finding.letter}"
            found.append(CutLine(id=finding.letter, face=face.id, at=finding.at[0], title=title))
    return tuple(found)


def _own_name(name: str, taken: set[str]) -> str:
    """A plain file name that no other drawing has."""
    plain = _NOT_NAME.sub("-", name.lower()).strip("-")[:60]
    own, number = plain, 1
    while own in taken:
        number += 1
        own = f"{plain}-{number}"
    taken.add(own)
    return own
