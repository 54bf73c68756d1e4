"""Take-off: new pieces become parts of goods, with their laps, shapes and fasteners."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from weatherlap.building.corner import build_corner
from weatherlap.job.changes import Change
from weatherlap.job.reading import read_job
from weatherlap.sources.goods import own_goods
from weatherlap.takeoff.extents import extent_of, shape_of
from weatherlap.takeoff.fixing import along_run, edge_nails
from weatherlap.takeoff.newpieces import new_pieces
from weatherlap.takeoff.quantities import Known, sheet_rows, take_off

DEMO = Path(__file__).parents[3] / "demo/porch-corner.toml"
GOODS = own_goods()
KNOWN = Known(GOODS, {}, {})
WALL = """
[job]
title = "a wall"
[[face]]
id = "wall"
facing = 180
tilt = 90
origin = [0, 0, 0]
width = 240
height = 96
"""


def taken(*pieces):
    """The take-off of pieces on a wall of 20 ft by 8 ft."""
    corner = build_corner(read_job(WALL + "\n".join(pieces)))
    return take_off(corner, [p.id for p in corner.pieces], KNOWN)


def piece(what, rect, name="it"):
    """A piece on the wall."""
    on = f'on = [{{ face = "wall", rect = {list(rect)} }}]'
    return f'[[piece]]\nid = "{name}"\nwhat = "{what}"\n{on}\n'


def nails(found):
    """How many of each sundry."""
    return {row.good.id: row.units for row in found.sundries}


@pytest.fixture(scope="module")
def porch():
    """The porch corner as found."""
    return build_corner(read_job(DEMO.read_text("utf-8")))


@pytest.mark.parametrize(
    ("name", "length_in", "width_in"),
    [("post", 84.25, 5.5), ("channel", 64.57, 2.37), ("drip-edge", 96, 2.5), ("siding-1", 47.5, 9)],
)
def test_length_is_along_the_longest_side(porch, name, length_in, width_in):
    """A post is as long as it is tall, a channel along a slope as long as the slope."""
    extent = extent_of(porch, porch.piece_named[name])
    assert (extent.length_in, extent.width_in) == approx((length_in, width_in), abs=0.01)


def test_a_wrap_s_girth_is_the_sum_of_its_faces(porch):
    """Without a profile the girth is what lies on the faces, and turned-in ends add length."""
    fascia = extent_of(porch, porch.piece_named["fascia-wrap"])
    assert (fascia.girth_in, fascia.turned_in) == approx((8, 1.25), abs=0.01)


def test_siding_drawn_as_one_piece_is_taken_by_courses():
    """8 ft of wall at 8 in of exposure are 12 courses, each as long as the wall."""
    parts = taken(piece("vinyl-siding", (0, 0, 240, 96))).parts
    assert len(parts) == 12
    assert {p.length_in for p in parts} == {240}
    assert len({p.id for p in parts}) == 12


def test_siding_round_an_opening_is_taken_on_both_sides():
    """A window splits the courses beside it."""
    around = "[[0,0],[240,0],[240,96],[0,96],[0,72],[192,72],[192,24],[0,24]]"
    text = (
        f'[[piece]]\nid = "s"\nwhat = "vinyl-siding"\non = [{{face = "wall", outline = {around}}}]'
    )
    parts = taken(text).parts
    assert sorted({p.length_in for p in parts}) == [48, 240]
    assert sum(p.area_in2 for p in parts) == approx(240 * 96 - 192 * 48)


def test_shingles_are_counted_by_the_course_and_nailed_by_fours():
    """A course of 20 ft takes 7 strip shingles of 39 3/8 in, each with 4 nails."""
    found = taken(piece("asphalt-shingle", (0, 0, 240, 13.25)))
    assert found.parts[0].units == math.ceil(240 / 39.375) == 7
    assert nails(found) == {"nail-roof": 28}


def test_sheathing_is_laid_in_rows_with_joints_broken():
    """20 ft by 8 ft take rows of 48 in with 1/8 in between, no joint over another."""
    parts = taken(piece("osb", (0, 0, 240, 96))).parts
    assert all(p.length_in <= 96 and p.width_in <= 48 for p in parts)
    gaps = 240 * 96 - sum(p.area_in2 for p in parts)
    assert 0 < gaps < 0.01 * 240 * 96
    lower = {p.length_in for p in parts[:3]}
    upper = {p.length_in for p in parts[3:]}
    assert lower != upper


@settings(max_examples=60, deadline=None)
@given(st.floats(1, 400), st.floats(1, 300))
def test_sheets_cover_what_they_are_laid_on(width, height):
    """No rectangle is left bare but for the gaps, and no sheet is larger than sold."""
    good = GOODS.good["osb-4x8"]
    wall = shapely.box(0, 0, width, height)
    rows = list(sheet_rows(wall, good))
    union = shapely.union_all(rows)
    bare = wall.difference(union.buffer(good.joint_in / 2 + 1e-6, join_style="mitre"))
    assert bare.area < 2.0
    for one in rows:
        u0, v0, u1, v1 = one.bounds
        assert u1 - u0 <= good.length_in + 1e-6 and v1 - v0 <= good.width_in + 1e-6


def test_soffit_panels_stand_side_by_side():
    """20 ft of soffit 16 in deep are 20 panels of 12 in, each cut to 16 in."""
    (part,) = taken(piece("soffit-vented", (0, 0, 240, 12))).parts
    assert (part.count, part.length_in) == (20, 12)


def test_studs_drawn_as_one_are_members_apart():
    """Studs over 20 ft stand 16 in apart, one more than the spaces."""
    (part,) = taken(piece("stud", (0, 0, 240, 96))).parts
    assert part.count * part.length_in in (16 * 96, 7 * 240)


def test_a_built_up_beam_has_two_plies_and_one_joint_to_nail():
    """The 3 in beam of the catalogue is two members, nailed along their one joint."""
    found = taken(piece("beam", (0, 0, 120, 9.25)))
    assert (found.parts[0].count, found.parts[0].good.id) == (2, "lumber-2x10")
    assert nails(found)["nail-10d"] == along_run(120, every_in=6)


def test_only_treated_lumber_is_brushed_at_its_ends():
    """A treated ledger takes preservative, an untreated stud does not."""
    assert "preservative-quart" in nails(taken(piece("ledger", (0, 0, 120, 9.25))))
    assert "preservative-quart" not in nails(taken(piece("rim-joist", (0, 0, 120, 9.25))))


def test_what_says_no_what_is_told():
    """A piece without an entry is named with the way out, and nothing is guessed."""
    text = '[[piece]]\nid = "x"\nsheet = "sheds"\non = [{face = "wall", rect = [0, 0, 9, 9]}]\n'
    found = taken(text)
    assert not found.parts
    assert "[[made_of]]" in found.unknown[0]


@pytest.mark.parametrize(
    ("outline", "words"),
    [
        ([(0, 0), (10, 0), (10, 5), (0, 5)], "square"),
        ([(0, 0), (10, 0), (10, 5), (0, 3)], "raked, 4 corners"),
        ([(0, 0), (10, 0), (10, 5), (5, 5), (5, 2), (0, 2)], "notched, 6 corners"),
    ],
)
def test_a_cut_shape_is_named(outline, words):
    """Square, raked and notched parts are told apart; those not square keep their corners."""
    shape, corners = shape_of(shapely.Polygon(outline))
    assert shape == words
    assert len(corners) == (0 if words == "square" else len(outline))


def test_edge_nails_of_a_full_sheet():
    """M-304 by hand: 4 x 8 ft, supports 16 in apart: 48 round the edges, 5 x 3 between."""
    assert edge_nails(48, 96, edge_in=6, field_in=12, supports_in=16) == 48 + 5 * 3


@pytest.mark.parametrize(("length", "every", "count"), [(16, 16, 2), (17, 16, 3), (3, 16, 2)])
def test_fasteners_stand_at_both_ends(length, every, count):
    """No two are farther apart than the rule, and a short piece still has two."""
    assert along_run(length, every_in=every) == count


def change(**keys):
    """A change record."""
    return Change.model_validate(keys)


def test_which_pieces_are_new():
    """Replaced, added and lengthened pieces are new; turned, trimmed and reused ones are not."""
    on = {"face": "f", "rect": [0, 0, 1, 1]}
    rows = [
        change(do="replace", piece="a"),
        change(do="extend", piece="b", face="f", side="left", by=1),
        change(do="extend", piece="c", face="f", side="left", by=-1),
        change(do="reuse", piece="d"),
        change(do="turn", piece="e", over="a"),
        change(do="add", new={"id": "g", "what": "osb", "on": [on]}),
        change(do="replace", piece="h"),
        change(do="take-away", piece="h"),
    ]  # fmt: skip
    assert sorted(new_pieces(rows)) == ["a", "b", "g"]
