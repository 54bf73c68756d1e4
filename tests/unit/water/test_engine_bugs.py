"""Corners on which the trace once went wrong, found by the drop follower, made small."""

from __future__ import annotations

import pytest

from weatherlap.building.corner import build_corner
from weatherlap.job.model import Job
from weatherlap.water.hops import EndKind
from weatherlap.water.rain import site_rain
from weatherlap.water.trace import SECOND, trace

SLOPE = 36.86989764584402
WALL = {"id": "wall", "tilt": 90, "facing": 180, "origin": [0, 0, 0], "width": 12, "height": 10}
ROOF = {
    "id": "roof",
    "tilt": SLOPE,
    "facing": 180,
    "origin": [0, -8, -6],
    "width": 12,
    "height": 10,
}
SOUTH = [[8, 0], [14, 0], [14, 10], [0, 10]]
EAST = [[0, 0], [6, 0], [14, 10], [0, 10]]
VALLEY = [
    {"id": "south", "tilt": SLOPE, "facing": 180, "origin": [-8, 0, 0], "outline": SOUTH},
    {"id": "east", "tilt": SLOPE, "facing": 90, "origin": [0, -6, 0], "outline": EAST},
]


def traced(faces, *pieces):
    """The trace of a job made of faces and pieces."""
    job = Job.model_validate({"job": {"title": "small"}, "face": faces, "piece": pieces})
    return trace(build_corner(job), site_rain(job.site))


def piece(name, *panels, sheet="resists", **more):
    """A piece of panels: a face with a box or an outline, and perhaps a trough."""
    on = []
    for face, shape, *rest in panels:
        key = "outline" if isinstance(shape[0], list) else "rect"
        on.append({"face": face, key: shape, **({"trough": rest[0]} if rest else {})})
    return {"id": name, "sheet": sheet, "on": on, **more}


def held_by(result, layer=0):
    """The pieces that hold water of a layer."""
    rows = [r for r in result.ends if r.end is EndKind.HELD and r.layer == layer]
    return {result.corner.pieces[r.piece].id for r in rows}


def test_a_sealed_top_that_pinches_out_sideways_does_not_send_water_round():
    """Water that leaves the sealed piece runs on down the piece it was on before."""
    result = traced(
        [WALL],
        piece("skin", ["wall", [0, 0, 5.5, 10]]),
        piece("bead", ["wall", [[1, 7.5], [2, 7.5], [2, 8], [0, 8]]], sealed=["top"]),
    )
    assert result.area_in2(EndKind.STANDS) == 0
    assert result.area_in2(EndKind.CLEAR) == pytest.approx(55)


def test_the_outermost_of_several_sealed_edges_on_one_line_holds():
    """Two pieces sealed at the bottom on one line: the end names the outer one, on both layers."""
    result = traced(
        [WALL],
        piece("skin", ["wall", [0, 0, 12, 10]]),
        piece("inner", ["wall", [0, 0, 12, 1]], sheet="sheds", sealed=["bottom"]),
        piece("outer", ["wall", [0, 0, 12, 5]], sheet="sheds", sealed=["bottom"]),
    )
    assert held_by(result) == held_by(result, SECOND) == {"outer"}


def test_a_piece_with_a_far_panel_on_the_next_face_does_not_go_round_the_fold():
    """A sealed bottom at the fold is a real edge where the next panel is not at the fold."""
    metal = piece("metal", ["wall", [0, 0, 12, 1]], ["roof", [0, 0, 12, 1]], sealed=["bottom"])
    result = traced([WALL, ROOF], piece("barrier", ["wall", [0, 0, 12, 10]]), metal)
    assert result.area_in2(EndKind.HELD) == pytest.approx(12 * 9)


def test_a_trough_on_an_open_piece_is_left_out():
    """A dammed trough on a piece that holds nothing back does nothing."""
    trough = {"line": [[6.5, 1.75], [3.5, 1.25]], "closed": ["end"]}
    result = traced([WALL], piece("mesh", ["wall", [0, 0, 8, 3], trough], sheet="open"))
    assert result.area_in2(EndKind.CAVITY) == pytest.approx(120)


def test_a_piece_sealed_above_and_below_over_two_others_is_traced():
    """A sealed top over a narrow piece and the one behind it: all runs off."""
    result = traced(
        [{**ROOF, "width": 6}],
        piece("wide", ["roof", [1, 0, 6, 10]]),
        piece("narrow", ["roof", [3.5, 0.5, 4.5, 10]]),
        piece("low", ["roof", [0, 0, 6, 3.5]], sealed=["top", "bottom"]),
    )
    assert result.area_in2(EndKind.CLEAR) == pytest.approx(5 * 6.5 + 6 * 3.5)


def test_a_trough_on_an_underside_is_traced():
    """No rain falls on an underside; a trough there does no harm."""
    under = {**WALL, "id": "under", "tilt": 180}
    trough = {"line": [[5.75, 2.25], [0.75, 2.25]]}
    panel = ["under", [0, 0, 6, 4]]
    assert traced([under], piece("a", panel), piece("b", [*panel, trough])).clean


@pytest.mark.parametrize(
    "pieces",
    [
        pytest.param([piece("one", ["south", SOUTH], ["east", EAST])], id="one-piece"),
        pytest.param([piece("a", ["south", SOUTH]), piece("b", ["east", EAST])], id="two-pieces"),
    ],
)
def test_a_valley_covered_all_over_is_clean(pieces):
    """No strip at either end of the fold is lost."""
    assert traced(VALLEY, *pieces).clean


def test_what_covers_water_at_the_low_end_of_a_valley_goes_on_covering_it():
    """Water behind a sheet that goes on round onto a deck is behind it there."""
    deck = {"id": "deck", "tilt": 0, "facing": 180, "origin": [-2, -6, 0], "width": 8, "height": 8}
    result = traced(
        [*VALLEY, deck],
        piece("under", ["east", EAST]),
        piece(
            "over",
            ["south", SOUTH],
            ["east", [[0, 0], [6, 0], [7.6, 2], [0, 2]]],
            ["deck", [0, 0, 8, 8]],
        ),
    )
    cavity = [r for r in result.ends if r.end is EndKind.CAVITY and r.from_face == 0]
    assert sum(r.area_in2 for r in cavity) == pytest.approx(0.625 * 6.4**2, abs=0.1)


def test_a_panel_that_begins_further_up_a_valley_is_found():
    """Along a fold water drops to a panel that begins below where it landed.

    All of ``high`` between u 9.6 and 10.5 comes out on ``low``; edges within 1/16 in may count.
    """
    result = traced(
        VALLEY,
        piece("low", ["south", [[8, 0], [14, 0], [14, 10], [9, 10], [4, 5]]]),
        piece(
            "high",
            ["east", [[8.5, 4.5], [9.6, 4.5], [14, 10], [13.5, 10], [8.5, 7.5]]],
            ["south", [[3.5, 5.625], [5.5, 3.125], [5.5, 8.5], [4, 10], [3.5, 10]]],
        ),
    )
    clear = [r for r in result.ends if r.end is EndKind.CLEAR and r.from_face == 1]
    assert sum(r.area_in2 for r in clear) == pytest.approx(2.891, abs=0.25)


def test_pieces_that_lead_to_each_other_at_different_places_send_no_water_round():
    """The skin's water leaves it onto the sheet at the left; at the far right corner alone the
    sheet's foot meets the skin's sealed top.  What lands on the left 2 1/16 in comes clear, but for
    the bare corner under the sheet's foot there."""
    result = traced(
        [WALL],
        piece("sheet", ["wall", [[0, 0], [2, 0], [12, 10], [0, 10]]]),
        piece("skin", ["wall", [[0, 0], [1, 0], [12, 5.5], [12, 10], [0, 10]]], sealed=["top"]),
    )
    assert result.area_in2(EndKind.STANDS) == 0
    clear = 10 * (2 + 1 / 16) - 0.5 / 16**2
    assert result.area_in2(EndKind.CLEAR) == pytest.approx(clear)
    assert result.area_in2(EndKind.CAVITY) == pytest.approx(120 - clear)


def test_of_several_sealed_tops_on_one_line_the_outermost_takes_the_water():
    """Nothing comes between the seal on the outside and the sheet that both are stuck to."""
    result = traced(
        [WALL],
        piece("sheet", ["wall", [0, 0, 12, 10]]),
        piece("outer", ["wall", [0, 0, 12, 6]], sealed=["top"]),
        piece("inner", ["wall", [0, 0, 12, 6]], sheet="absorbs", sealed=["top"], behind=["outer"]),
    )
    assert result.area_in2(EndKind.CLEAR) == pytest.approx(120)


def test_a_piece_that_runs_past_its_own_corner_takes_the_water_along_a_valley():
    """The sheet under the upper one's end is cut into tiles there, but reaches past it."""
    result = traced(
        VALLEY,
        piece("deck", ["south", SOUTH], sheet="absorbs"),
        piece("east", ["east", EAST]),
        piece("low", ["south", [[8, 0], [14, 0], [14, 10], [4, 10], [2.4, 7]]]),
        piece("high", ["south", [[4, 5], [14, 5], [14, 10], [0, 10]]]),
    )
    assert result.area_in2(EndKind.SOAK) == 0
    assert result.clean


def test_edges_that_nearly_fall_together_do_not_lose_the_water_between():
    """The patch's foot and the skin's are one line but for the last digit."""
    foot = [[0, 4], [6, 0], [12, 4], [12, 10], [0, 10]]
    wall = {"id": "wall", "tilt": 90, "facing": 180, "origin": [0, -2.1, 12], "outline": foot}
    roof = {**ROOF, "origin": [2.25, -8, 0], "width": 8}
    line = [[-1, -2, 13], [4.25, -2, 11]]
    skin = [[3.5, 1.666666666666667], [6, 0], [9.75, 2.5], [12, 7], [12, 8], [3.5, 8]]
    patch = [[6.5, 0.33333333333333326], [8.25, 1.5], [6.5, 1.5]]
    result = traced(
        [wall, roof],
        piece("skin", ["wall", skin], sheet="sheds", passes=0),
        piece("patch", ["wall", patch], ["roof", [3.5, 0, 8, 10]], sheet="sheds"),
        {"id": "gutter", "sheet": "sheds", "gutter": {"line": line, "width": 1}},
    )
    behind = result.area_in2(EndKind.CLEAR, layer=SECOND)
    assert behind == pytest.approx(0.5 * 1.75 * (1.5 - 1 / 3))


def test_a_sealed_top_in_a_valley_takes_the_water_over():
    """Along the fold as on the face: a butt joint with sealant passes it on from sheet to sheet."""
    result = traced(
        VALLEY,
        piece("south", ["south", SOUTH]),
        piece("deck", ["east", EAST], sheet="absorbs"),
        piece("low", ["east", [[0, 0], [6, 0], [7.6, 2], [0, 2]]], sealed=["top"]),
        piece("high", ["east", [[0, 2], [7.6, 2], [14, 10], [0, 10]]]),
    )
    assert result.clean


def test_a_slanting_sealed_edge_holds_just_what_lands_over_it():
    """The seal slants up at 1 in 1 from the skin's foot to its head, 1/16 in short of either."""
    result = traced(
        [WALL],
        piece("skin", ["wall", [0, 0.5, 12, 4.5]]),
        piece(
            "trim",
            ["wall", [[0, 0], [6, 0], [12, 6], [12, 10], [0, 10]]],
            sheet="sheds",
            passes=0.25,
            sealed=["bottom"],
        ),
    )
    over = 4 / 16 + 0.5 * (4**2 - 1 / 16**2)
    assert result.area_in2(EndKind.HELD, layer=SECOND) == pytest.approx(over, abs=1e-6)
