"""A cut meets the faces, pieces and gutters that the plane meets, in their true places."""

from __future__ import annotations

import math

import pytest

from weatherlap.drawings.breaks import KEEP_IN, breaks_of
from weatherlap.drawings.cutting import cut_at


@pytest.fixture(scope="module")
def porch_cut(porch):
    """The porch cut through, 40 in right of the wall's corner."""
    return cut_at(porch.corner, 0, 40.0)


def strip_of(cut, corner, face):
    """The strip of a face in a cut."""
    return next(s for s in cut.strips if corner.faces[s.face].id == face)


def test_a_wall_is_cut_from_its_foot_to_its_top(wrong_lap):
    """A wall's strip has the wall's height, and each piece its own stretch, innermost first."""
    cut = cut_at(wrong_lap.corner, 0, 40.0)
    strip = cut.strips[0]
    assert (strip.start, strip.end) == ((0.0, 0.0), (0.0, 96.0))
    assert strip.normal == (1.0, 0.0)
    assert [(b.piece, b.start, b.end) for b in strip.bands] == [(0, 0, 96), (1, 46, 96), (2, 0, 52)]


def test_a_slope_keeps_its_angle(porch, porch_cut):
    """A 4-in-12 roof falls 4 in for every 12 in on the drawing, outward to the right."""
    roof = strip_of(porch_cut, porch.corner, "roof")
    (x0, z0), (x1, z1) = roof.start, roof.end
    assert (x0 - x1) / (z1 - z0) == pytest.approx(3.0, abs=1e-3)
    assert roof.length_in == pytest.approx(48 / math.cos(math.atan2(4, 12)), abs=1e-3)
    assert roof.normal[1] > 0.9


def test_a_face_that_falls_along_the_cut_face_is_cut_level(porch):
    """Seen through the side, the porch roof is cut along a level line."""
    wall_like = cut_at(porch.corner, 1, 40.0)
    assert strip_of(wall_like, porch.corner, "roof").length_in > 50
    side = next(f for f in porch.corner.faces if f.id == "ceiling")
    ceiling = strip_of(wall_like, porch.corner, side.id)
    assert ceiling.start[1] == ceiling.end[1] == 48.0
    assert ceiling.normal == (0.0, -1.0)


def test_strips_meet_at_the_folds(porch, porch_cut):
    """The roof's top and the ceiling's back end lie inside the wall; the rest meet at rims."""
    corner = porch.corner
    found = {
        (corner.faces[porch_cut.strips[j.a].face].id, corner.faces[porch_cut.strips[j.b].face].id):
        (round(j.a_at, 2), j.inside_a)
        for j in porch_cut.joints
    }  # fmt: skip
    assert found[("wall", "roof")] == (72.0, True)
    assert found[("wall", "ceiling")] == (48.0, True)
    assert {tuple(sorted(pair)) for pair in found} == {
        ("roof", "wall"), ("ceiling", "wall"), ("fascia", "roof"), ("ceiling", "fascia"),
    }  # fmt: skip


def test_a_gutter_is_cut_where_it_hangs(porch_cut):
    """The gutter falls half an inch over 96 in, so at 40 in it hangs 0.208 in below its start."""
    gutter = porch_cut.gutters[0]
    assert gutter.at == pytest.approx((50.5, 55 - 0.5 * 40 / 96))
    assert gutter.width_in == 5.0


def test_a_cut_beside_a_face_meets_nothing(porch):
    """A plane beyond the face's edge has no strip of it."""
    assert not cut_at(porch.corner, 0, 97.0).strips


def test_a_piece_behind_another_stands_inside_it(porch_reversed):
    """The order of bands follows what was slipped behind what, not the file."""
    corner = porch_reversed.corner
    wall = strip_of(cut_at(corner, 0, 40.0), corner, "wall")
    order = [corner.pieces[b.piece].id for b in wall.bands]
    assert order.index("barrier") < order.index("apron")


def test_a_quiet_stretch_is_left_out(wrong_lap):
    """Only where nothing begins or ends is a stretch left out, with something kept around it."""
    cut = cut_at(wrong_lap.corner, 0, 40.0)
    gaps = breaks_of(wrong_lap.corner, cut, places=[(0, 46.0)], pieces=frozenset())[0]
    assert [(g.low_in, g.high_in) for g in gaps] == [(4.0, 42.0), (56.0, 92.0)]


def test_nothing_that_happens_is_left_out(porch, porch_cut):
    """No piece's end, fold or place of a finding lies in a stretch that is left out."""
    told = frozenset(range(len(porch.corner.pieces)))
    places = [(0, 20.0)]
    rows = breaks_of(porch.corner, porch_cut, places=places, pieces=told)
    for number, (strip, gaps) in enumerate(zip(porch_cut.strips, rows, strict=True)):
        happens = [t for b in strip.bands for t in (b.start, b.end)]
        happens += [j.a_at for j in porch_cut.joints if j.a == number]
        happens += [t for k, t in places if k == number]
        for gap in gaps:
            assert not [t for t in happens if gap.low_in - KEEP_IN < t < gap.high_in + KEEP_IN]


def test_a_loop_of_faces_is_never_broken(porch, porch_cut):
    """The wall between roof and ceiling closes a loop with them, so it is drawn whole."""
    rows = breaks_of(porch.corner, porch_cut, places=[], pieces=frozenset())
    wall = next(k for k, s in enumerate(porch_cut.strips) if s.face == 0)
    assert not [g for g in rows[wall] if 48 <= g.low_in <= 72]
    assert [g for g in rows[wall] if g.high_in < 48]
