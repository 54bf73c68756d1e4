"""The exploded view shows near before far, and everything in space can be read by a program."""

from __future__ import annotations

import json

import numpy as np
import pytest

from weatherlap.building.details.shelf import details
from weatherlap.drawings.behind import Sheet3, back_to_front
from weatherlap.drawings.exploded import exploded, view_of
from weatherlap.drawings.shown import show
from weatherlap.drawings.solid import geometry, levels, moves, plates
from weatherlap.drawings.thumb import busiest_face, thumb
from weatherlap.run.worked import work_out

TOWARD = (0.0, -1.0, 0.0)


def square(y, *, x=0.0, z=0.0, size=10.0, rank=0):
    """An upright square that faces south."""
    corners = ((x, y, z), (x + size, y, z), (x + size, y, z + size), (x, y, z + size))
    return Sheet3(corners, (0.0, -1.0, 0.0), rank)


def on_page(sheets):
    """The sheets as seen from the south."""
    return [np.array([(x, -z) for x, _, z in s.corners]) for s in sheets]


def order_of(sheets):
    """Their drawing order."""
    return back_to_front(sheets, toward=TOWARD, flat=on_page(sheets))


def test_the_farther_sheet_is_drawn_first():
    """Of parallel sheets the one farther from the viewer comes first, whatever their order."""
    assert order_of([square(-5), square(0), square(-10)]) == [1, 0, 2]


def test_sheets_in_one_plane_keep_their_lap_order():
    """Of sheets in one plane the outer one by rank is drawn over the inner one."""
    assert order_of([square(0, rank=2), square(0, x=5, rank=1)]) == [1, 0]


def test_a_shelf_before_a_wall_is_drawn_over_it():
    """A level sheet that stands out from a wall toward the viewer is drawn after the wall."""
    wall = square(0, size=20)
    shelf = Sheet3(((5, 0, 5), (15, 0, 5), (15, -8, 5.5), (5, -8, 5.5)), (0.0, 0.06, 1.0), 0)
    assert order_of([shelf, wall]) == [1, 0]


def test_nothing_to_order_gives_nothing():
    """No sheets, no order."""
    assert back_to_front([], toward=TOWARD, flat=[]) == []


def test_outer_pieces_move_further(porch):
    """Each piece moves out further than those it lies over, and courses of one kind together."""
    corner = porch.corner
    depth = levels(corner)
    at = {p.id: depth[p.index] for p in corner.pieces}
    assert at["wall-sheathing"] < at["apron"] < at["barrier"] < at["siding-1"]
    assert len({at[f"siding-{i}"] for i in range(1, 9)}) == 1


def test_a_bent_piece_moves_as_one(porch):
    """The apron, on wall and roof, moves out and up at once."""
    x, y, z = moves(porch.corner)[porch.corner.piece_named["apron"].index]
    assert x == pytest.approx(0.0, abs=1e-9)
    assert y < 0 < z


def test_a_gutter_has_three_sides(porch):
    """A gutter is drawn as back, bottom and front."""
    gutter = porch.corner.piece_named["gutter"].index
    assert sum(p.piece == gutter for p in plates(porch.corner)) == 3


def test_the_view_sees_the_outside(porch):
    """The view is from the side that the faces look to, and from above."""
    view = view_of(porch.corner)
    assert view.toward[1] < 0 < view.toward[2]
    assert np.dot(view.right, view.up) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("detail", details(), ids=lambda d: d.id)
def test_every_detail_is_exploded(seen, detail):
    """Every finding has its letter, letters stand apart, and every piece is drawn."""
    for variant in detail.variants[:3]:
        worked = work_out(detail.job(variant=variant.id))
        shown = show("Detail", worked.corner, trace=worked.trace)
        drawing = seen(exploded(shown))
        assert drawing.letters == sorted(f.letter for f in shown.findings)
        assert not drawing.overlapping_rings()
        assert not drawing.outside()
        assert drawing.pieces() == {p.id for p in worked.corner.pieces if p.panels or p.gutter}


def test_same_view_same_bytes(porch):
    """Drawing twice gives the same bytes."""
    assert exploded(porch) == exploded(porch)


def test_geometry_is_plain_and_true(wrong_lap):
    """The record for a 3D view is plain JSON, holds the true corners and the way out."""
    found = json.loads(json.dumps(geometry(wrong_lap)))
    assert found["unit"] == "in"
    upper = next(p for p in found["pieces"] if p["id"] == "barrier-upper")
    assert sorted(map(tuple, upper["panels"][0]["rings"][0])) == [
        (0.0, 0.0, 46.0), (0.0, 0.0, 96.0), (96.0, 0.0, 46.0), (96.0, 0.0, 96.0),
    ]  # fmt: skip
    assert upper["move"][1] < 0
    assert found["findings"][0]["letter"] == "A"
    assert found["findings"][0]["at"] == [48.0, 0.0, 46.0]
    soaked = next(t for t in found["trails"] if t["end"] == "soak")
    assert soaked["pieces"][soaked["soaked_from"]] == "sheathing"
    assert len(soaked["points"]) == len(soaked["pieces"])


def test_a_thumb_is_small_and_wordless(porch, seen):
    """A thumb shows the busiest face without words, letters or trails."""
    svg = thumb(porch.corner, title="Low roof <1>")
    drawing = seen(svg)
    assert busiest_face(porch.corner).id == "roof"
    assert drawing.words == ""
    assert not drawing.rings
    assert "shingle-1" in drawing.pieces()
    assert "Low roof &lt;1&gt;" in svg
    assert drawing.tree.get("viewBox") == "0 0 160 120"
