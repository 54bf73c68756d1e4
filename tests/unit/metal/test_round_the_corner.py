"""Pieces that go round the folds of the corner: their legs, their flat pattern."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx
from shapely import Polygon

from weatherlap.building.corner import build_corner
from weatherlap.building.details.shelf import detail
from weatherlap.errors import InputError
from weatherlap.job.reading import read_job
from weatherlap.metal.along import profile_along
from weatherlap.metal.cutout import cut_out
from weatherlap.metal.model import Metal, Toward
from weatherlap.metal.round import course_of, mirrored

DEMO = Path(__file__).parents[3] / "demo/porch-corner.toml"
COIL = Metal("coil", 0.019, 0.4)
ARC_IN = 1.5707963 * 0.4 * 0.019


@pytest.fixture(scope="module")
def porch():
    """The porch corner as it was found."""
    return build_corner(read_job(DEMO.read_text("utf-8")))


def profile_of(corner, name):
    """The course of a piece and its profile without edges."""
    course = course_of(corner, corner.piece_named[name].index)
    return course, profile_along(name, course.points, finish_on_left=True, names=course.names)


def legs(profile):
    """Lengths of a profile's legs."""
    return [leg.length_in for leg in profile.legs]


def test_a_post_wrap_goes_from_the_wall_round_the_post(porch):
    """Legs on wall, front and side; the part of the wall's panel behind the post is no metal."""
    course, profile = profile_of(porch, "post-wrap")
    assert legs(profile) == approx([1.25, 5.5, 5.5])
    assert [(b.angle_deg, b.toward) for b in profile.bends] == [
        (approx(90), Toward.FINISH),
        (approx(90), Toward.BACK),
    ]
    assert "5 1/2" in course.hidden[0]
    assert course.length_in == approx(85)
    assert course.ends == ("top", "bottom")


def test_the_legs_of_a_post_wrap_end_where_their_panels_do(porch):
    """The flat is stepped at both ends as the three panels are: 85, 83 and 82 in long."""
    course, profile = profile_of(porch, "post-wrap")
    flat = cut_out(profile, course, before=0, metal=COIL).pattern
    shape = Polygon(flat.outline)
    for y, long in ((0.5, 85), (4, 83), (10, 82)):
        x0, _, x1, _ = shape.intersection(Polygon([(-9, y), (99, y), (99, y + 0.1)])).bounds
        assert x1 - x0 == approx(long, abs=0.01)
    assert flat.girths_in[0] == approx(12.25 + 2 * ARC_IN - 2 * 0.019)


def test_a_drip_edge_has_the_roofs_slope_in_its_first_bend(porch):
    """From a roof of 4 in 12 to a level underside the metal turns through 180 less 18.43."""
    _, profile = profile_of(porch, "drip-edge")
    assert [b.angle_deg for b in profile.bends] == [approx(161.565, abs=1e-3), approx(90)]
    assert legs(profile) == approx([2.5, 0.75, 1.5])


def test_a_panel_round_another_fold_becomes_a_flap(porch):
    """The half inch under the beam hangs on the end of the front leg, in one with it."""
    course, profile = profile_of(porch, "beam-wrap-end")
    (flap,) = course.flaps
    assert (flap.leg, flap.toward, flap.angle_deg) == (1, Toward.BACK, approx(90))
    flat = cut_out(profile, course, before=0, metal=COIL).pattern
    assert flat.blank_in[0] == approx(6 + 5.5 + ARC_IN)
    tab = [line for line in flat.bend_lines if line.bend == 0]
    assert [line.angle_deg for line in tab] == [approx(90)]
    assert tab[0].start[0] == approx(6 + ARC_IN / 2)


def test_step_flashing_follows_the_slope_of_its_panel(porch):
    """A step flashing's outline holds both slanting panels and the metal of its bend."""
    course, profile = profile_of(porch, "step-3")
    flat = cut_out(profile, course, before=0, metal=COIL).pattern
    panels = sum(shape.area for shape in course.shapes)
    assert flat.area_in2 == approx(panels, rel=0.01)
    assert len(flat.outline) == 8


def test_a_panel_that_touches_none_is_named(porch):
    """The fascia wrap's panel on the wall hangs on no other, and is left out by name."""
    course, _ = profile_of(porch, "fascia-wrap")
    assert course.apart == ("side wall of the house",)


def test_seen_from_the_other_side_it_is_mirrored(porch):
    """With the paint inside, ends change places and the outline is turned about its length."""
    course, _ = profile_of(porch, "post-wrap")
    other = mirrored(course)
    assert other.ends == ("bottom", "top")
    assert other.shapes[1].bounds[0] == approx(course.length_in - course.shapes[1].bounds[2])
    assert mirrored(other).shapes[2].equals(course.shapes[2])


def box(wide, deep, high, *, facing=180, under=True):
    """A job of a beam: its front, and its underside or its top."""
    tilt, z = (180, 0) if under else (0, high)
    return f"""
[job]
title = "a beam"
[[face]]
id = "front"
facing = {facing}
tilt = 90
origin = [0, 0, 0]
width = {wide}
height = {high}
[[face]]
id = "other"
facing = {facing}
tilt = {tilt}
origin = {[0, deep, 0] if under else [0, 0, z]}
width = {wide}
height = {deep}
[[piece]]
id = "wrap"
what = "coil-wrap"
on = [{{ face = "front", rect = [0, 0, {wide}, {high}] }},
      {{ face = "other", rect = [0, 0, {wide}, {deep}] }}]
"""


@settings(max_examples=40)
@given(st.integers(4, 96), st.integers(1, 20), st.integers(1, 20), st.booleans())
def test_a_box_is_wrapped_for_the_sum_of_its_sides(wide, deep, high, under):
    """Over an outside corner the girth is both sides and the arc of one bend, whatever way."""
    corner = build_corner(read_job(box(wide, deep, high, under=under)))
    course, profile = profile_of(corner, "wrap")
    assert legs(profile) == approx([high, deep])
    assert profile.bends[0].toward is Toward.BACK
    assert course.length_in == approx(wide)
    flat = cut_out(profile, course, before=0, metal=COIL)
    assert flat.pattern.blank_in == approx((wide, high + deep + ARC_IN))
    assert flat.pattern.area_in2 == approx(wide * (high + deep + ARC_IN))


def test_three_ways_from_one_panel_are_two_pieces():
    """A panel with others at three parallel folds has no section, and says what to do."""
    text = (
        box(40, 5, 5)
        + """
[[face]]
id = "shelf"
facing = 180
tilt = 0
origin = [0, -5, 2]
width = 40
height = 5
[[face]]
id = "top"
facing = 180
tilt = 0
origin = [0, 0, 5]
width = 40
height = 5
[[piece]]
id = "star"
what = "coil-wrap"
on = [{ face = "front", rect = [0, 0, 40, 5] }, { face = "other", rect = [0, 0, 40, 5] },
      { face = "shelf", rect = [0, 0, 40, 5] }, { face = "top", rect = [0, 0, 40, 5] }]
"""
    )
    corner = build_corner(read_job(text))
    with pytest.raises(InputError, match=r"more than two ways.*Make it of two pieces"):
        course_of(corner, corner.piece_named["star"].index)


def test_undersides_on_both_sides_of_a_post_are_one_leg():
    """A beam wrap over a post has two undersides in one plane, bends beside the post, a tongue."""
    corner = build_corner(detail("wrapped-beam-on-post").job())
    course, profile = profile_of(corner, "beam-wrap-right")
    assert sorted(legs(profile)) == approx([5.5, 9.25])
    assert sorted(course.folds[0]) == [approx((0, 24)), approx((29.5, 43.5))]
    flat = cut_out(profile, course, before=0, metal=COIL).pattern
    assert [line.bend for line in flat.bend_lines] == [1, 1]
    long = sorted(line.end[0] - line.start[0] for line in flat.bend_lines)
    assert long == approx([14, 24], abs=0.1)
    slot = Polygon(flat.outline).bounds
    full = (slot[2] - slot[0]) * (slot[3] - slot[1])
    assert full - flat.area_in2 == approx(5.5 * (5.5 - 0.5), abs=0.2)


STACKED = """
[job]
title = "A band of two faces over a soffit"
[[face]]
id = "upper"
facing = 180
tilt = 90
origin = [0, 0, 100]
width = 96
height = 6
[[face]]
id = "lower"
facing = 180
tilt = 90
origin = [0, 0, 93]
width = 96
height = 7
[[face]]
id = "soffit"
facing = 180
tilt = 180
origin = [0, 8, 93]
width = 96
height = 8
[[piece]]
id = "wrap"
what = "coil-wrap"
on = [{ face = "upper", rect = [0, 0, 96, 6] }, { face = "lower", rect = [0, 0, 96, 7] },
      { face = "soffit", rect = [0, 0, 96, 8] }]
"""


def test_faces_that_follow_one_another_in_one_plane_are_one_leg():
    """A band on two faces, one above the other, is one leg of both heights, bent to the soffit."""
    course, profile = profile_of(build_corner(read_job(STACKED)), "wrap")
    assert legs(profile) == approx([13, 8])
    assert course.faces == (("upper", "lower"), ("soffit",))
    assert course.names[0] == "upper and lower"
    flat = cut_out(profile, course, before=0, metal=COIL).pattern
    assert flat.area_in2 == approx(96 * (21 + ARC_IN))
    assert len(flat.outline) == 4


def test_a_flat_piece_on_two_faces_of_one_plane_stays_flat():
    """Without a fold the two panels are one flat sheet."""
    text = STACKED.replace(',\n      { face = "soffit", rect = [0, 0, 96, 8] }', "")
    course, profile = profile_of(build_corner(read_job(text)), "wrap")
    assert legs(profile) == approx([13])
    assert course.length_in == approx(96)
