"""Elevations as DXF files, read back by ezdxf and measured against the corner."""

from __future__ import annotations

import io

import ezdxf
import pytest
from shapely import Polygon

from weatherlap.building.details.shelf import detail
from weatherlap.errors import InputError
from weatherlap.papers.pictures import picture_dxf, pictures
from weatherlap.run.states import State
from weatherlap.run.worked import work_out

INCHES = 1
"""The unit code of inches in a DXF header ($INSUNITS), by the format's reference."""


@pytest.fixture(scope="module")
def worked():
    """A roof against a wall, found with a lap the wrong way."""
    return work_out(detail("roof-side-wall").job(variant="no-diverter"))


@pytest.fixture(scope="module")
def drawn(worked):
    """Its drawings."""
    return pictures(worked, state=State.FOUND)


def test_what_is_seen_covers_the_face_once(worked, drawn):
    """Outlines of what is seen are closed, in inches, and add up to what the pieces cover."""
    picture = next(p for p in drawn if p.face is not None)
    document = ezdxf.read(io.StringIO(picture_dxf(worked, picture).decode("utf-8")))
    assert document.header["$INSUNITS"] == INCHES
    space = document.modelspace()
    rings = space.query('LWPOLYLINE[layer=="PIECES"]')
    assert all(ring.closed for ring in rings)
    seen = sum(Polygon([(x, y) for x, y, *_ in ring.get_points()]).area for ring in rings)
    (outline,) = space.query('LWPOLYLINE[layer=="FACE"]')
    face = Polygon([(x, y) for x, y, *_ in outline.get_points()])
    own = worked.corner.faces[picture.face].outline
    assert face.area == pytest.approx(own.area, abs=1e-6)
    panels = [worked.corner.panels[p].polygon for p in worked.corner.panels_on[picture.face]]
    covered = panels[0]
    for panel in panels[1:]:
        covered = covered.union(panel)
    assert seen == pytest.approx(covered.area, rel=0.01)
    names = {text.dxf.text for text in space.query("TEXT")}
    letters = {f.letter for f in worked.trace.findings if f.face == picture.face}
    assert letters <= names
    assert len(space.query("CIRCLE")) == len(letters)


def test_same_bytes_and_no_elevation_of_a_section(worked, drawn):
    """The same elevation gives the same bytes; a section is refused in words."""
    picture = next(p for p in drawn if p.face is not None)
    assert picture_dxf(worked, picture) == picture_dxf(worked, picture)
    with pytest.raises(InputError, match="it is no elevation"):
        picture_dxf(worked, next(p for p in drawn if p.face is None))
