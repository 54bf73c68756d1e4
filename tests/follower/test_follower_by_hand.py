"""The drop follower against ends worked out by hand from docs/water.md, rule by rule."""

from __future__ import annotations

import pytest
from cornerscenes import SLOPE
from dropfollower import FIRST, SECOND, Follower

from weatherlap.job.model import Job

WALL = {"id": "wall", "tilt": 90, "facing": 180, "origin": [0, 0, 0], "width": 12, "height": 10}
ROOF = {
    "id": "roof",
    "tilt": SLOPE,
    "facing": 180,
    "origin": [0, -8, -6],
    "width": 12,
    "height": 10,
}


def piece(name, sheet, *panels, **more):
    """A piece; each panel is a face with a box, and perhaps a trough."""
    on = [{"face": face, "rect": rect, **(rest[0] if rest else {})} for face, rect, *rest in panels]
    return {"id": name, "sheet": sheet, "on": on, **more}


def line(a, b, **more):
    """A trough's line, too big to spill."""
    return {"trough": {"line": [a, b], "width": 20, "depth": 20, **more}}


def ends(faces, pieces, place, *, face=0, layer=FIRST, spills=None):
    """The ends of the drop at a place, by (kind, piece)."""
    job = Job.model_validate({"job": {"title": "by hand"}, "face": faces, "piece": pieces})
    rain = Follower(job, spills=spills).rain(face, place, layer)
    return None if rain is None else {end[:2]: share for end, share in rain[0].ends.items()}


WOOD = piece("wood", "absorbs", ("wall", [0, 0, 12, 10]))
UPPER = piece("upper", "resists", ("wall", [0, 4, 12, 10]))
LOWER = piece("lower", "resists", ("wall", [0, 0, 12, 6]))


@pytest.mark.parametrize(
    ("pieces", "place", "want"),
    [
        pytest.param([], (5.1, 5.1), ("cavity", None), id="bare"),
        pytest.param([WOOD], (5.1, 5.1), ("soak", "wood"), id="rain-on-wood"),
        pytest.param([UPPER, LOWER], (5.1, 5.1), ("clear", None), id="lower-outermost"),
        pytest.param([WOOD, UPPER, LOWER], (5.1, 8.1), ("soak", "wood"), id="wrong-way-round"),
        pytest.param([WOOD, LOWER, UPPER], (5.1, 8.1), ("clear", None), id="right-way-round"),
        pytest.param([UPPER], (5.1, 8.1), ("cavity", None), id="nothing-below"),
        pytest.param(
            [UPPER, {**LOWER, "behind": ["upper"]}], (5.1, 8.1), ("clear", None), id="behind"
        ),
        pytest.param(
            [UPPER, {**LOWER, "sealed": ["top"]}], (5.1, 8.1), ("clear", None), id="sealed-top"
        ),
        pytest.param(
            [WOOD, LOWER, {**UPPER, "sealed": ["bottom"]}],
            (5.1, 8.1),
            ("clear", None),
            id="its-own-seal-holds-nothing",
        ),
        pytest.param(
            [UPPER, piece("trim", "sheds", ("wall", [0, 5, 12, 7]), sealed=["bottom"])],
            (5.1, 8.1),
            ("held", "trim"),
            id="sealed-bottom",
        ),
        pytest.param(
            [WOOD, UPPER, piece("low", "sheds", ("wall", [0, 0, 12, 4]), sealed=["top"])],
            (5.1, 8.1),
            ("clear", None),
            id="butt-joint-with-sealant",
        ),
        pytest.param(
            [WOOD, UPPER, piece("mesh", "open", ("wall", [0, 0, 12, 10]))],
            (5.1, 8.1),
            ("soak", "wood"),
            id="open-holds-nothing",
        ),
    ],
)
def test_rules_on_one_wall(pieces, place, want):
    """Rules 1 to 4 and 8: running, going behind, leaving, coming out, soaking."""
    assert ends([WALL], pieces, place) == {want: 1.0}


def test_a_sealed_top_turns_out_only_the_water_on_the_piece_it_is_stuck_to():
    """A bead on the siding leaves the water behind the siding where it is."""
    pieces = [
        piece("barrier", "resists", ("wall", [0, 0, 12, 10])),
        piece("siding", "sheds", ("wall", [0, 4, 12, 10])),
        piece("bead", "sheds", ("wall", [0, 3, 12, 5]), sealed=["top", "bottom"]),
    ]
    assert ends([WALL], pieces, (5.1, 8.1)) == {("clear", None): 1.0}
    assert ends([WALL], pieces, (5.1, 8.1), layer=SECOND) == {("held", "bead"): 1.0}


def test_only_what_passes_has_a_second_layer():
    """A share that gets past a piece lands on the next one in; a barrier passes nothing."""
    skin = piece("skin", "sheds", ("wall", [0, 0, 12, 10]))
    assert ends([WALL], [WOOD, skin], (5.1, 8.1), layer=SECOND) == {("soak", "wood"): 1.0}
    assert ends([WALL], [skin], (5.1, 8.1), layer=SECOND) == {("cavity", None): 1.0}
    assert ends([WALL], [WOOD, UPPER], (5.1, 8.1), layer=SECOND) is None


def test_of_several_sealed_tops_on_one_line_the_outermost_takes_the_water():
    """The order in the file does not matter, only which lies outside."""
    inner = piece("inner", "absorbs", ("wall", [0, 0, 12, 6]), sealed=["top"], behind=["outer"])
    outer = piece("outer", "resists", ("wall", [0, 0, 12, 6]), sealed=["top"])
    sheet = piece("sheet", "resists", ("wall", [0, 0, 12, 10]))
    assert ends([WALL], [sheet, outer, inner], (5.1, 8.1)) == {("clear", None): 1.0}


def test_a_foot_less_than_a_sixteenth_over_a_sealed_edge_is_at_it():
    """A foot 1/32 in over an edge that is sealed shut is held there, one 1/8 in over it is not."""
    for up, want in ((1 / 32, ("held", "trim")), (1 / 8, ("cavity", None))):
        skin = piece("skin", "resists", ("wall", [0, 3 + up, 12, 10]))
        trim = piece("trim", "sheds", ("wall", [0, 3, 12, 7]), sealed=["bottom"])
        assert ends([WALL], [skin, trim], (5.1, 8.1)) == {want: 1.0}


def test_a_lip_less_than_a_sixteenth_over_the_place_of_landing_catches():
    """Water off the upper sheet lands 1/32 in under the lip and is caught; rain there is not."""
    trough = line([1, 4 + 1 / 32], [8, 5 + 1 / 32])
    pieces = [
        piece("left", "absorbs", ("wall", [0, 0, 4, 10])),
        piece("right", "absorbs", ("wall", [4, 0, 12, 10])),
        piece("low", "resists", ("wall", [0, 0, 12, 7], trough)),
        piece("high", "resists", ("wall", [0, 4.5, 12, 10])),
    ]
    assert ends([WALL], pieces, (4.5, 8.1)) == {("soak", "left"): 1.0}
    assert ends([WALL], pieces, (4.5, 4.49)) == {("clear", None): 1.0}


@pytest.mark.parametrize(
    ("trough", "want"),
    [
        pytest.param(line([1, 5], [8, 5]), {"left": 0.5, "right": 0.5}, id="level"),
        pytest.param(line([1, 5], [8, 5], closed=["start"]), {"right": 1.0}, id="level-one-dam"),
        pytest.param(
            line([1, 5], [8, 5], closed=["start", "end"]), {None: 1.0}, id="level-both-dammed"
        ),
        pytest.param(line([1, 4], [8, 5]), {"left": 1.0}, id="falls-left"),
        pytest.param(line([8, 4], [1, 5]), {"right": 1.0}, id="falls-right"),
        pytest.param(line([1, 4], [8, 5], closed=["start"]), {None: 1.0}, id="spills-at-its-dam"),
    ],
)
def test_troughs_lead_to_their_low_ends(trough, want):
    """Rule 5: level and sloping lines, open ends and dams."""
    pieces = [
        piece("left", "absorbs", ("wall", [0, 0, 4, 10])),
        piece("right", "absorbs", ("wall", [4, 0, 12, 10])),
        piece("skin", "resists", ("wall", [0, 0, 12, 10], trough)),
    ]
    found = ends([WALL], pieces, (5.1, 8.1))
    assert found == {("soak" if p else "clear", p): share for p, share in want.items()}


def test_what_a_trough_cannot_carry_goes_over_its_lip():
    """A quarter spills where it came in, the rest leaves at the low end."""
    skin = piece("skin", "resists", ("wall", [0, 0, 12, 10], line([1, 4], [8, 5])))
    found = ends([WALL], [WOOD, skin], (5.1, 8.1), spills={("trough", 0): 0.25})
    assert found == pytest.approx({("clear", None): 0.25, ("soak", "wood"): 0.75})


def test_water_goes_round_a_fold_on_its_piece():
    """Rule 6: a piece that goes on keeps its water, one that ends gives it to what lies there."""
    deck = piece("deck", "absorbs", ("roof", [0, 0, 12, 10]))
    bent = piece("bent", "sheds", ("wall", [0, 0, 12, 2]), ("roof", [0, 0, 12, 10]))
    short = piece("short", "sheds", ("wall", [0, 0, 12, 2]))
    assert ends([WALL, ROOF], [deck, bent], (5.1, 1.1)) == {("clear", None): 1.0}
    assert ends([WALL, ROOF], [deck, short], (5.1, 1.1)) == {("soak", "deck"): 1.0}


def test_what_covers_water_at_a_fold_goes_on_covering_it():
    """Rule 6: water behind a flashing on the wall is behind it on the roof."""
    shingles = piece("shingles", "sheds", ("roof", [0, 0, 12, 10]))
    barrier = piece("barrier", "resists", ("wall", [0, 0, 12, 10]))
    bent = piece("bent", "sheds", ("wall", [0, 0, 12, 2]), ("roof", [0, 8, 12, 10]))
    assert ends([WALL, ROOF], [shingles, barrier, bent], (5.1, 5.1)) == {("clear", None): 1.0}
    assert ends([WALL, ROOF], [barrier, bent, shingles], (5.1, 5.1)) == {("cavity", None): 1.0}


def test_a_roof_that_runs_into_a_wall_stops_its_water():
    """Rule 6: a fold in the middle of a wall; beside the roof the wall's water runs on."""
    roof = {**ROOF, "origin": [2, -8, -1.5], "width": 6}
    skin = piece("skin", "resists", ("wall", [0, 0, 12, 10]))
    assert ends([WALL, roof], [skin], (5.1, 8.1)) == {("cavity", None): 1.0}
    assert ends([WALL, roof], [skin], (9.1, 8.1)) == {("clear", None): 1.0}
    assert ends([WALL, roof], [skin], (5.1, 4.1)) == {("clear", None): 1.0}


def test_a_roof_beside_a_wall_takes_its_water_down_the_edge():
    """Rule 6: the roof falls along the fold; the water meets what lies at the roof's edge."""
    wall = {**WALL, "facing": 90}
    roof = {**ROOF, "origin": [0, 2, 1], "width": 6}
    skin = piece("skin", "resists", ("wall", [0, 0, 12, 10]))
    shingles = piece("shingles", "sheds", ("roof", [0, 3, 6, 10]))
    wet = piece("wet", "absorbs", ("roof", [0, 0, 1, 4]))
    other = piece("other", "absorbs", ("roof", [1, 0, 6, 4]))
    found = ends([wall, roof], [wet, other, skin, shingles], (8.1, 8.1))
    assert found == {("soak", "wet"): 1.0}


def test_a_level_fold_before_a_rising_face_stands():
    """Rule 6: a roof that falls to the foot of a wall."""
    roof = {**ROOF, "origin": [0, 0, 0]}
    wall = {**WALL, "facing": 0, "origin": [12, 0, 0]}
    pieces = [
        piece("shingles", "sheds", ("roof", [0, 0, 12, 10])),
        piece("stone", "resists", ("wall", [0, 0, 12, 10])),
    ]
    assert ends([roof, wall], pieces, (5.1, 8.1)) == {("stands", "stone"): 1.0}


def valley(south, east):
    """Two roofs that meet in a valley, with pieces as polygons on them."""
    faces = [
        {
            **ROOF,
            "id": "south",
            "origin": [-8, 0, 0],
            "outline": [[8, 0], [14, 0], [14, 10], [0, 10]],
        },
        {
            **ROOF,
            "id": "east",
            "facing": 90,
            "origin": [0, -6, 0],
            "outline": [[0, 0], [6, 0], [14, 10], [0, 10]],
        },
    ]
    for face in faces:
        face["width"] = face["height"] = None
    laid = [("south", s) for s in south] + [("east", s) for s in east]
    pieces = [
        {"id": f"{face}-{k}", "sheet": "resists", "on": [{"face": face, "outline": shape}]}
        for k, (face, shape) in enumerate(laid)
    ]
    return faces, pieces


def test_a_valley_leads_down_its_fold_from_panel_to_panel():
    """Rule 6: water of one roof runs along the fold on the other's panels to the eave."""
    south = [[8, 0], [14, 0], [14, 10], [0, 10]]
    low = [[0, 0], [6, 0], [10.8, 6], [0, 6]]
    high = [[10, 5], [14, 10], [10, 10]]
    assert ends(*valley([south], [low, high]), (3.1, 9.1)) == {("clear", None): 1.0}
    assert ends(*valley([south], [high, low]), (1.1, 9.1)) == {("cavity", None): 1.0}
    assert ends(*valley([south], [low]), (1.1, 9.1)) == {("cavity", None): 1.0}


def test_a_fall_goes_to_the_gutter_then_to_the_roof_below_then_clear():
    """Rule 7: the first gutter within half its width, else the first face below, else clear."""
    upper = {**ROOF, "id": "upper", "origin": [0, 0, 20]}
    lower = {**ROOF, "id": "lower", "origin": [4, -3.1, 0]}
    skin = piece("skin", "sheds", ("upper", [0, 0, 12, 10]))
    gutter = {
        "id": "gutter",
        "sheet": "sheds",
        "gutter": {"line": [[8, -1.5, 15], [12, -1.5, 15]], "width": 4},
    }
    wood = piece("wood", "absorbs", ("lower", [0, 0, 12, 10]))
    below = [upper, lower], [skin, wood, gutter]
    assert ends(*below, (9.1, 5.1)) == {("gutter", "gutter"): 1.0}
    assert ends(*below, (6.1, 5.1)) == {("soak", "wood"): 1.0}
    assert ends(*below, (2.1, 5.1)) == {("clear", None): 1.0}
    full = ends(*below, (9.1, 5.1), spills={("gutter", "gutter"): 0.5})
    assert full == {("gutter", "gutter"): 0.5, ("soak", "wood"): 0.5}


def test_a_fall_onto_the_rim_of_a_panel_lands_on_it():
    """The drop comes down where the cap's upper edge lies."""
    top = {**WALL, "id": "top", "tilt": 0, "origin": [0, -4, -20]}
    skin = piece("skin", "sheds", ("wall", [0, 0, 12, 10]))
    cap = piece("cap", "sheds", ("top", [0, 0, 12, 4]))
    assert ends([WALL, top], [skin, cap], (5.1, 5.1)) == {("stands", "cap"): 1.0}


def test_water_drops_at_an_underside_only_from_an_open_drip():
    """Rule 7: a drip edge that nothing covers lets the drops fall; else they cling."""
    under = {**WALL, "id": "under", "tilt": 180, "origin": [0, 10, 0]}
    skin = piece("skin", "sheds", ("wall", [0, 0, 12, 10]))
    cover = piece("cover", "sheds", ("wall", [0, 0, 12, 5]))
    assert ends([WALL, under], [skin], (5.1, 5.1)) == {("cling", "skin"): 1.0}
    drip = {**skin, "drip": True}
    assert ends([WALL, under], [drip], (5.1, 5.1)) == {("clear", None): 1.0}
    assert ends([WALL, under], [drip, cover], (5.1, 8.1)) == {("cling", "skin"): 1.0}


def test_rain_stands_on_a_level_top():
    """A level face keeps its water."""
    top = {**WALL, "id": "top", "tilt": 0}
    assert ends([top], [piece("cap", "sheds", ("top", [0, 0, 12, 10]))], (5.1, 5.1)) == {
        ("stands", "cap"): 1.0
    }


@pytest.mark.parametrize("across", [6.2, 6.36, 6.38, 6.45])
def test_a_sealed_top_a_hair_below_a_fold_takes_the_water_of_its_own_piece(across):
    """Water comes off a sheet on the wall less than 1/16 in above that sheet's own sealed top."""
    roof = {"id": "roof", "tilt": SLOPE, "facing": 180, "origin": [-6, -8, 0],
            "width": 6, "height": 10}  # fmt: skip
    wall = {"id": "wall", "tilt": 90, "facing": 270, "origin": [0, 0, 0],
            "outline": [[0, 6], [8, 0], [8, 10], [0, 10]]}  # fmt: skip
    deck = piece("deck", "sheds", ("roof", [4, 0.5, 6, 10]))
    apron = piece("apron", "sheds", ("roof", [0, 0, 6, 2]), sealed=["top"])
    apron["on"].append({"face": "wall", "outline": [[2.5, 4.125], [8, 0], [8, 5.5], [2.5, 5.5]]})
    assert ends([roof, wall], [deck, apron], (across, 4.4), face=1) == {("clear", None): 1.0}
