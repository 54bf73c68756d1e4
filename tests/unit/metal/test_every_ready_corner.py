"""Every piece of every ready corner: a section and a flat pattern, or a reason."""

from __future__ import annotations

import pytest

from weatherlap.building.corner import build_corner
from weatherlap.building.details.shelf import details
from weatherlap.errors import InputError
from weatherlap.metal.along import profile_along
from weatherlap.metal.cutout import cut_out
from weatherlap.metal.model import Metal
from weatherlap.metal.round import course_of
from weatherlap.sources.catalogue import entry

COIL = Metal("coil", 0.019, 0.4)
METALS = {"aluminium", "steel", "copper", "lead-coated-copper"}


@pytest.mark.parametrize("detail", details(), ids=lambda detail: detail.id)
def test_metal_of_ready_corners_lies_flat(detail):
    """Each metal piece has a flat pattern as large as its panels, but for bends; or says why."""
    corner = build_corner(detail.job())
    for piece in corner.pieces:
        what = piece.record.what
        if not piece.panels or what is None or entry(what).material not in METALS:
            continue
        try:
            course = course_of(corner, piece.index)
            profile = profile_along(piece.id, course.points, finish_on_left=True)
            cut = cut_out(profile, course, before=0, metal=COIL)
        except InputError as error:
            assert piece.id in str(error)
            continue
        panels = sum(s.area for s in course.shapes) + sum(f.shape.area for f in course.flaps)
        if not cut.notes:
            long = course.length_in * len(course.shapes)
            assert abs(cut.pattern.area_in2 - panels) <= 0.03 * long + 0.01 * panels, piece.id
