"""The SVG writer: well-formed, byte-stable, plain attributes."""

from __future__ import annotations

import math
from xml.etree import ElementTree

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from weatherlap.drawings.svg import Drawing, escaped, number, points_text, rings_text

SVG = "{http://www.w3.org/2000/svg}"


@given(st.text(max_size=60))
def test_any_text_can_stand_in_a_drawing(words):
    """Whatever a title holds, the drawing is well-formed and gives back what XML can hold."""
    drawing = Drawing(10, 10, title=words, about=words, name=words)
    drawing.text((1, 1), words, 5.0, data_note=words)
    tree = ElementTree.fromstring(drawing.svg())
    kept = "".join(c for c in words if escaped(c)).replace("\r\n", "\n").replace("\r", "\n")
    assert tree.find(f"{SVG}title").text in (kept, kept or None)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        pytest.param(1.0, "1", id="whole"),
        pytest.param(-0.001, "0", id="no-minus-nought"),
        pytest.param(2.346, "2.35", id="two-decimals"),
        pytest.param(1e-9, "0", id="tiny"),
        pytest.param(-12.5, "-12.5", id="negative"),
        pytest.param(1234567.891, "1234567.89", id="large"),
    ],
)
def test_numbers_are_short_and_plain(value, text):
    """Numbers have at most two decimals and no exponent."""
    assert number(value) == text


@given(st.floats(-1e6, 1e6))
def test_numbers_are_near_what_they_stand_for(value):
    """A number in a drawing differs from the true one by at most half a hundredth."""
    assert math.isclose(float(number(value)), value, abs_tol=0.00501)


def test_signs_of_xml_are_escaped():
    """The signs that XML keeps for itself are written by their names."""
    assert escaped('<a & "b">') == "&lt;a &amp; &quot;b&quot;&gt;"


def test_control_signs_are_left_out():
    """What XML cannot hold does not reach the drawing."""
    assert escaped("a\x00b\x1bc\ud800d\ufffe") == "abcd"


def test_holes_stay_holes():
    """A polygon with a hole is written as two closed outlines filled even and odd."""
    shape = shapely.box(0, 0, 10, 10).difference(shapely.box(4, 4, 6, 6))
    drawing = Drawing(10, 10, title="t", about="a", name="n")
    drawing.shape(shape)
    assert rings_text(shape).count("Z") == 2
    assert 'fill-rule="evenodd"' in drawing.svg()


def test_lines_in_shapes_stay_open():
    """A line in a shape is not closed, and points in it are left out."""
    line = shapely.LineString([(0, 0), (1, 2)])
    both = shapely.GeometryCollection([line, shapely.Point(3, 3)])
    assert rings_text(both) == "M0 0L1 2"


def test_a_definition_is_made_once_under_the_drawings_name():
    """Ids begin with the drawing's name, so that several drawings can stand on one page."""
    drawing = Drawing(10, 10, title="t", about="a", name="my drawing")
    first = drawing.define("x", "pattern", "", width=1.0)
    assert first == drawing.define("x", "pattern", "", width=2.0) == "url(#my-drawing-x)"
    assert drawing.svg().count("<pattern") == 1


def test_a_drawing_says_what_it_is_to_those_who_cannot_see_it():
    """The drawing is an image with a title and a description that its ids point to."""
    tree = ElementTree.fromstring(Drawing(7, 5, title="T", about="D", name="n").svg())
    assert tree.get("role") == "img"
    ids = tree.get("aria-labelledby").split()
    assert [tree.find(f"{SVG}title").get("id"), tree.find(f"{SVG}desc").get("id")] == ids
    assert (tree.find(f"{SVG}title").text, tree.find(f"{SVG}desc").text) == ("T", "D")
    assert tree.get("viewBox") == "0 0 7 5"


def test_points_are_written_as_a_polyline_holds_them():
    """Points are pairs with a comma, parted by spaces."""
    assert points_text([(1, 2.5), (3.25, -0.0)]) == "1,2.5 3.25,0"
