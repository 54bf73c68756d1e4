"""Shapes of pieces that are no rectangles: against the gable that they are cut for."""

from __future__ import annotations

import html
import io
import math
import re

import ezdxf
import pytest
import shapely
from ezdxf import recover
from pytest import approx
from shapely import Polygon

from weatherlap.drawings.cutshapes import shape_drawings
from weatherlap.job.reading import read_job
from weatherlap.papers.shoppapers import cut_leaf, shape_files
from weatherlap.run.shopping import shop_job
from weatherlap.takeoff.cutting.rolls import Covered, Roll, RollRules, plan_rolls

GABLE = """
[job]
title = "a gable"
[[face]]
id = "gable"
facing = 180
tilt = 90
origin = [0, 0, 96]
outline = [[0, 0], [288, 0], [288, 12], [144, 108], [0, 12]]
"""
WHOLE = [(0, 0), (288, 0), (288, 12), (144, 108), (0, 12)]


def new_piece(what, outline, name="it"):
    """A piece on the gable that is replaced."""
    corners = [list(p) for p in outline]
    return (
        f'[[piece]]\nid = "{name}"\nwhat = "{what}"\non = [{{ face = "gable", outline = {corners} '
        f'}}]\n[[change]]\ndo = "replace"\npiece = "{name}"\n'
    )


def shop_of(*pieces):
    """The shop of pieces on the gable."""
    return shop_job(read_job(GABLE + "".join(pieces)))


def test_courses_off_a_roll_are_as_long_as_the_gable_is_wide_there():
    """The second course of a gable of 8 in 12 begins 33 in from its end, by the slope.

    34 in up, 22 in of it above the wall: 22 x 12 / 8 = 33 in on either side.
    """
    (cut,) = shop_of(new_piece("housewrap", WHOLE)).cut
    first, second, *_ = cut.plan.pieces
    assert (first.from_in, first.length_in) == (0, 288)
    assert second.bottom_in == 34
    assert second.from_in == approx(33)
    assert second.length_in == approx(288 - 66)


def test_lengths_off_a_roll_cover_the_gable():
    """All shapes laid where their courses begin cover the gable; none reaches beyond it."""
    shop = shop_of(new_piece("housewrap", WHOLE))
    (cut,) = shop.cut
    assert [s.number for s in cut.shapes] == [1, 2, 3, 4]
    assert not [p for p in cut.plan.pieces if p.length_in > 288]
    laid = [
        shapely.affinity.translate(Polygon(shape.outline), piece.from_in, piece.bottom_in)
        for shape, piece in zip(cut.shapes, cut.plan.pieces, strict=True)
    ]
    assert shapely.union_all(laid).symmetric_difference(Polygon(WHOLE)).area < 1


def test_a_gap_is_run_over_and_a_wide_one_parts_the_course():
    """A door of 3 ft is run over and cut out; a gate of 10 ft leaves two lengths."""
    roll = Roll("wrap", 36.0, 1980.0, 75.0)
    for gap, stretches in ((36.0, 1), (120.0, 2)):
        right = 60.0 + gap
        outline = (
            (0.0, 0.0), (60.0, 0.0), (60.0, 80.0), (right, 80.0), (right, 0.0), (300.0, 0.0),
            (300.0, 96.0), (0.0, 96.0),
        )  # fmt: skip
        plan = plan_rolls(
            (Covered("wall", 300.0, 96.0, outline=outline),), rolls=(roll,), rules=RollRules()
        )
        assert len([p for p in plan.pieces if p.course == 1]) == stretches


def test_a_rake_board_has_its_slope_cuts():
    """A board along a rake of 8 in 12, cut plumb at both ends: 33.7 degrees off square.

    atan(8 / 12) = 33.69 degrees.
    """
    high = 6.7
    rake = [(0, 12 - high), (0, 12), (144, 108), (144, 108 - high)]
    (cut,) = shop_of(new_piece("trim-board", rake)).cut
    (shape,) = cut.shapes
    long, wide = shape.size_in
    assert wide == approx(high * math.cos(math.atan(8 / 12)))
    assert long == approx(math.hypot(144, 96) + high * math.sin(math.atan(8 / 12)))
    (svg,) = shape_drawings(cut.shapes, good=cut.good.name)
    assert svg.count("33.7\N{DEGREE SIGN} off square") == 2


def test_a_notched_patch_is_drawn_with_every_corner():
    """A sheathing patch with a notch: its corners stand as running sizes on the drawing."""
    patch = [(0, 0), (96, 0), (96, 30), (60, 30), (60, 48), (0, 48)]
    shop = shop_of(new_piece("osb", [(x + 96, y) for x, y in patch]))
    (cut,) = shop.cut
    (shape,) = cut.shapes
    assert shape.outline == tuple((float(x), float(y)) for x, y in patch)
    (svg,) = shape_drawings(cut.shapes, good=cut.good.name)
    shown = set(re.findall(r">([0-9][^<]*)</text>", html.unescape(svg)))
    assert {"5'", "8'", "2' 6\"", "4'", '0"'} <= shown
    leaf = cut_leaf(shop)
    assert [d.name for d in leaf.drawings()] == ["cut-osb-4x8-1", "cut-shapes-osb-4x8"]
    grid = leaf.parts[0].blocks[1]
    assert grid.rows[0][2] == "it, shape 1"
    assert [row.pieces for row in shop.rows if row.good.id == "osb-4x8"] == [("it",)]


def test_a_rectangle_needs_no_shape():
    """A square patch has its sizes in the table and no drawing of its own."""
    (cut,) = shop_of(new_piece("osb", [(0, 0), (96, 0), (96, 12), (0, 12)])).cut
    assert cut.shapes == ()


def test_lengths_of_a_raked_course_are_cut_where_it_is_joined():
    """Pieces of a course with a joint in it: together they are the course, laps counted twice."""
    course = [(0, 0), (288, 0), (280.5, 5), (7.5, 5)]
    (cut,) = shop_of(new_piece("fibre-cement-siding", course)).cut
    assert sum(s.count for s in cut.shapes) == 2
    areas = sum(Polygon(s.outline).area * s.count for s in cut.shapes)
    assert areas <= Polygon(course).area + 1
    assert all(s.size_in[0] <= 144 for s in cut.shapes)


def test_the_dxf_holds_each_shape_closed_and_to_size():
    """Read back by a CAD library: one closed outline a shape, in inches, with its own corners."""
    shop = shop_of(new_piece("housewrap", WHOLE))
    ((name, data),) = shape_files(shop)
    assert name == "cut-shapes-housewrap-3x165.dxf"
    document, auditor = recover.read(io.BytesIO(data))
    assert not auditor.has_errors
    assert document.units == ezdxf.units.IN
    rings = [e for e in document.modelspace() if e.dxftype() == "LWPOLYLINE"]
    assert all(ring.closed and ring.dxf.layer == "CUT" for ring in rings)
    areas = [Polygon([(x, y) for x, y, *_ in ring.get_points()]).area for ring in rings]
    wanted = [Polygon(shape.outline).area for shape in shop.cut[0].shapes]
    assert areas == pytest.approx(wanted)
