"""Whatever corner is drawn, the drawings are well-formed and letter every finding."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from weatherlap.building.corner import build_corner
from weatherlap.drawings.elevation import elevation
from weatherlap.drawings.exploded import exploded
from weatherlap.drawings.section import section
from weatherlap.drawings.shown import show
from weatherlap.drawings.solid import geometry
from weatherlap.drawings.thumb import thumb
from weatherlap.job.model import (
    About,
    CutLine,
    FaceRecord,
    Job,
    PanelRecord,
    PieceRecord,
    Sheet,
    Site,
)
from weatherlap.water.rain import site_rain
from weatherlap.water.trace import trace

SPOTS = st.integers(0, 12).map(lambda n: 4.0 * n)


@st.composite
def corners(draw):
    """A wall with a roof that runs into it, and up to eight pieces somewhere on both."""
    tilt = draw(st.sampled_from([0.0, 14.0, 45.0]))
    facing = draw(st.sampled_from([180.0, 90.0]))
    origin = (0.0, -48.0, 10.0) if facing == 180.0 else (48.0, -48.0, 10.0)
    faces = (
        FaceRecord(id="wall", facing=180.0, tilt=90.0, origin=(0, 0, 0), width=48, height=48),
        FaceRecord(id="roof", facing=facing, tilt=tilt, origin=origin, width=48, height=48),
    )
    pieces = []
    for k in range(draw(st.integers(0, 8))):
        panels = []
        for face in draw(st.sampled_from([["wall"], ["roof"], ["wall", "roof"]])):
            u0, v0 = draw(SPOTS.filter(lambda x: x < 48)), draw(SPOTS.filter(lambda x: x < 48))
            u1 = draw(SPOTS.filter(lambda x, u0=u0: x > u0))
            v1 = draw(SPOTS.filter(lambda x, v0=v0: x > v0))
            panels.append(PanelRecord(face=face, rect=(u0, v0, u1, v1)))
        pieces.append(
            PieceRecord(
                id=f"p{k}",
                title=draw(st.sampled_from(["", "a & b", "<i>", f"course {k}", "x" * 90])),
                sheet=draw(st.sampled_from(list(Sheet))),
                on=tuple(panels),
                drip=draw(st.booleans()),
                sealed=draw(st.sampled_from([(), ("top",), ("bottom",)])),
            )
        )
    return Job(job=About(title="Any corner"), face=faces, piece=tuple(pieces))


@settings(max_examples=25)
@given(corners(), st.sampled_from(["wall", "roof"]), st.sampled_from([0.0, 13.0, 24.0, 48.0]))
def test_every_drawing_of_any_corner(seen, job, face, at):
    """Elevations, a section, the exploded view and the thumb can be drawn of any corner."""
    corner = build_corner(job)
    shown = show("Any <corner>", corner, trace=trace(corner, site_rain(Site())))
    letters = sorted(f.letter for f in shown.findings)
    lettered = []
    for one in corner.faces:
        drawing = seen(elevation(shown, one.id))
        assert not drawing.overlapping_rings()
        lettered += drawing.letters
    assert sorted(lettered) == letters
    cut = seen(section(shown, CutLine(id="S", face=face, at=at)))
    assert not cut.overlapping_rings()
    assert set(cut.letters) <= set(letters)
    assert seen(exploded(shown)).letters == letters
    assert seen(thumb(corner)).tree is not None
    assert len(geometry(shown)["pieces"]) == len(corner.pieces)
