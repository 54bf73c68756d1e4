"""Bent pieces of a job: which ones, of what, how they are made, and what is refused."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytest import approx

from weatherlap.errors import InputError, JobError
from weatherlap.job.reading import read_job
from weatherlap.metal.model import Toward
from weatherlap.run.bentpieces import bent_pieces, holds_bent, only
from weatherlap.run.benttables import bent_table

DEMO = Path(__file__).parents[3] / "demo/porch-corner.toml"
BEAM = """
[job]
title = "a beam"
[[face]]
id = "front"
facing = 180
tilt = 90
origin = [0, 0, 0]
width = 300
height = 9
[[face]]
id = "under"
facing = 180
tilt = 180
origin = [0, 5, 0]
width = 300
height = 5
[[piece]]
id = "wrap"
what = "coil-wrap"
on = [{ face = "front", rect = [0, 0, 300, 9] }, { face = "under", rect = [0, 0, 300, 5] }]
"""
U = """
[[profile]]
id = "u"
length = 96
legs = [{ length = 4, turn = 90, toward = "back" }, { length = 1, turn = 90, toward = "back" },
        { length = 4 }]
"""


@pytest.fixture(scope="module")
def porch():
    """The porch, repaired."""
    return bent_pieces(read_job(DEMO.read_text("utf-8")), own={})


def one(text, name, **more):
    """One bent piece of a job."""
    (piece,) = only(bent_pieces(read_job(text), own={}, **more), name).pieces
    return piece


def test_the_porch_gives_its_wraps_and_profiles(porch):
    """What [[bent]] and [[profile]] name is bent; bought step flashing is not."""
    names = {piece.id for piece in porch.pieces}
    assert {"post-wrap", "beam-wrap-long", "fascia-wrap", "diverter", "beam-cap"} <= names
    assert not {name for name in names if name.startswith("step-")}
    assert porch.faulty == ()


def test_every_sheet_of_the_porch_can_be_made(porch):
    """Each piece has a bend order for what goes over the brake, as asked for or changed."""
    assert all(piece.making.possible for piece in porch.pieces)
    blocked = {p.id for p in porch.pieces if not p.making.plan.possible}
    assert blocked == {"drip-edge", "beam-cap"}


def test_a_long_beam_is_made_of_lengths_that_the_brake_takes():
    """A run of 300 in on a brake of 126 in comes in three lapped lengths, and is said so."""
    wrap = one(BEAM, "wrap")
    assert len(wrap.making.runs) == 3
    assert "brake" in wrap.making.fit.too_long
    lengths = [pattern.blank_in[0] for pattern in wrap.making.cuts[0].patterns]
    assert lengths == approx([(300 + 2) / 3] * 3)


def test_splices_from_elsewhere_are_taken():
    """Where somebody says how the run is spliced, the pieces are cut there."""
    wrap = one(BEAM, "wrap", splices={"wrap": ((0, 121), (120, 240), (239, 300))})
    lengths = [pattern.blank_in[0] for pattern in wrap.making.cuts[0].patterns]
    assert lengths == approx([121, 120, 61])


def test_edges_are_added_at_the_face_that_they_name():
    """A hem at the underside stands beyond its leg, one at the start before the front."""
    edges = """
[[bent]]
piece = "wrap"
edges = [{ at = "under", add = "hem", width = 0.5, toward = "back" },
         { at = "start", add = "return", width = 0.75, toward = "back" }]
"""
    wrap = one(BEAM + edges, "wrap")
    assert [leg.name for leg in wrap.making.wanted.legs] == ["return", "front", "under", "hem"]
    assert wrap.making.strip.girth_in == approx(0.75 + 9 + 5 + 0.5, abs=0.05)


def test_paint_inside_turns_every_bend_round():
    """The same wood wrapped with the paint inward closes over the finish, with the same girth."""
    out = one(BEAM, "wrap")
    inside = one(BEAM + '[[bent]]\npiece = "wrap"\npainted = "in"\n', "wrap")
    assert [b.toward for b in out.making.wanted.bends] == [Toward.BACK]
    assert [b.toward for b in inside.making.wanted.bends] == [Toward.FINISH]
    assert inside.girth_in == approx(out.girth_in)
    assert inside.ends == out.ends[::-1]


def test_a_channel_too_narrow_is_proven_and_a_way_out_is_laid_out():
    """A blocked U says that it is proven, and the sheet is for the first change that works."""
    u = one(BEAM + U, "u")
    assert u.making.plan.blocked.bends == (2,)
    assert u.making.changes
    assert u.making.possible


def test_a_girth_wider_than_the_coil_is_two_pieces():
    """Thirty inches of girth come out of a 24 in coil as two halves lapped on a leg."""
    wide = """
[[profile]]
id = "wide"
length = 40
legs = [{ length = 10, turn = 90, toward = "back" }, { length = 10, turn = 90, toward = "back" },
        { length = 10 }]
"""
    piece = one(BEAM + wide, "wide")
    assert "2 pieces" in piece.making.fit.too_wide
    widths = [cut.patterns[0].blank_in[1] for cut in piece.making.cuts]
    assert all(width < 24 for width in widths)
    assert sum(widths) == approx(piece.girth_in + 1)


def test_a_girth_of_three_widths_is_three_pieces():
    """Sixty inches of girth come out of a 24 in coil as three strips, each with its own order."""
    wide = """
[[profile]]
id = "wide"
length = 40
legs = [{ length = 20, turn = 90, toward = "back" }, { length = 20, turn = 90, toward = "finish" },
        { length = 20 }]
"""
    piece = one(BEAM + wide, "wide")
    assert [cut.profile.id for cut in piece.making.cuts] == ["wide A", "wide B", "wide C"]
    widths = [cut.patterns[0].blank_in[1] for cut in piece.making.cuts]
    assert widths == approx([cut.strip.girth_in for cut in piece.making.cuts])
    assert max(widths) < 24
    assert sum(widths) == approx(piece.girth_in + 2)
    assert piece.making.possible


def test_one_faulty_profile_does_not_spoil_the_others():
    """A profile whose legs cross is named with what to do; the wrap keeps its sheet."""
    crossing = """
[[profile]]
id = "knot"
length = 40
legs = [{ length = 4, turn = 90, toward = "back" }, { length = 2, turn = 90, toward = "back" },
        { length = 2, turn = 90, toward = "back" }, { length = 4 }]
"""
    bent = bent_pieces(read_job(BEAM + crossing), own={})
    assert [piece.id for piece in bent.pieces] == ["wrap"]
    ((name, problem),) = bent.faulty
    assert name == "knot"
    assert "leg 1 and leg 4 cross" in problem.found
    assert "make two pieces" in problem.do


def test_own_brake_and_metal_are_taken():
    """The firm's brake comes first in its table; a metal may bring a test strip for its K."""
    brake = """
[ours]
name = "short brake"
length_in = 50
throat_in = 18
least_clamp_in = 0.75
least_flange_in = 0.375
nose_deg = 40
bar_height_in = 1.25
bar_depth_in = 1.25
bar_lift_in = 2
bed_depth_in = 18
leaf_depth_in = 1.25
leaf_thick_in = 0.5
swing_deg = 135
springback_deg = 5
thickest_in = 0.032
"""
    metals = """
[ours]
name = "our coil"
thickness_in = 0.019
test_strip = { flat_in = 12.0, legs_in = [3.02, 3.02, 3.02, 3.02], angle_deg = 90 }
"""
    text = BEAM + '[[bent]]\npiece = "wrap"\nmetal = "ours"\n'
    bent = bent_pieces(read_job(text), own={"brake": brake, "metals": metals})
    (wrap,) = bent.pieces
    assert wrap.metal.k_factor == approx(0.38, abs=0.005)
    assert len(wrap.making.runs) == 7


@pytest.mark.parametrize(
    ("strip", "words"),
    [
        pytest.param("{ flat_in = 12.0 }", "legs_in", id="half-a-strip"),
        pytest.param('"12 in"', "flat_in", id="text"),
        pytest.param("{ flat_in = 'x', legs_in = [6, 6], angle_deg = 90 }", "'x'", id="no-number"),
        pytest.param("{ flat_in = 9.0, legs_in = [6, 6], angle_deg = 90 }", "K =", id="no-K"),
    ],
)
def test_a_bad_test_strip_is_refused(strip, words):
    """A test strip that is no strip says what one looks like."""
    metals = f'[a]\nname = "a"\nthickness_in = 0.019\ntest_strip = {strip}\n'
    with pytest.raises(InputError, match=words):
        bent_pieces(read_job(BEAM), own={"metals": metals})


@pytest.mark.parametrize(
    ("text", "words"),
    [
        pytest.param('[[bent]]\npiece = "wrop"\n', "Did you mean 'wrap'", id="no-piece"),
        pytest.param('[[bent]]\npiece = "wrap"\n' * 2, "has a ..bent.. already", id="twice"),
        pytest.param(
            '[[profile]]\nid = "p"\nlength = 9\nlegs = [{ length = 2 }, { length = 3 }]\n',
            "no `turn`", id="no-turn",
        ),
        pytest.param(
            '[[profile]]\nid = "p"\nlength = 9\nlegs = [{ length = 2, turn = 90 }]\n',
            "the last leg has a `turn`", id="turn-at-the-end",
        ),
        pytest.param(
            '[[profile]]\nid = "p"\nlength = -9\nlegs = [{ length = 2 }]\n', "length", id="negative"
        ),
        pytest.param(
            '[[profile]]\nid = "p"\ncount = 100000\nlength = 9\nlegs = [{ length = 2 }]\n',
            "count", id="absurd-count",
        ),
    ],
)  # fmt: skip
def test_bad_tables_are_refused_with_their_place(text, words):
    """Each mistake in the tables of bent metal is named when the job is read."""
    with pytest.raises(JobError, match=words):
        read_job(BEAM + text)


@pytest.mark.parametrize(
    ("bent", "words"),
    [
        pytest.param(
            'edges = [{ at = "roof", add = "hem", width = 0.5, toward = "back" }]',
            "'start' or 'end', 'front' or 'under'", id="no-such-edge",
        ),
        pytest.param('ends = [{ at = "top" }]', "'right' and 'left'", id="no-such-end"),
        pytest.param('metal = "gold"', "no sheet 'gold'", id="no-such-metal"),
        pytest.param('by_hand = [7]', "bend 7 by hand", id="no-such-bend"),
    ],
)  # fmt: skip
def test_a_bent_that_cannot_be_is_faulty(bent, words):
    """What a [[bent]] asks for and the piece does not have is said, with what there is."""
    found = bent_pieces(read_job(BEAM + f'[[bent]]\npiece = "wrap"\n{bent}\n'), own={})
    assert not found.pieces
    assert words in str(found.faulty[0][1])


def test_a_job_without_metal_holds_none():
    """Without pieces of coil and without tables there is nothing to bend."""
    assert holds_bent(read_job(BEAM))
    plain = read_job(BEAM.replace("coil-wrap", "vinyl-siding"))
    assert not holds_bent(plain)
    assert bent_pieces(plain, own={}).pieces == ()
    with pytest.raises(InputError, match="no bent piece 'x'"):
        only(bent_pieces(plain, own={}), "x")


def test_pieces_alike_are_one_kind():
    """Two wraps of the same size are one sheet with a count of two."""
    second = BEAM[BEAM.index("[[piece]]") :].replace('"wrap"', '"wrap-2"')
    bent = bent_pieces(read_job(BEAM + second), own={})
    (wrap,) = bent.pieces
    assert (wrap.count, wrap.pieces) == (2, ("wrap", "wrap-2"))


def test_the_table_holds_plain_values(porch):
    """The table for machines has each piece's order and outline."""
    table = bent_table(porch)
    assert len(table["pieces"]) == len(porch.pieces)
    wrap = next(p for p in table["pieces"] if p["id"] == "post-wrap")
    assert [step["bend"] for step in wrap["order"]["steps"]] == [3, 2, 1]
    assert len(wrap["made"][0]["patterns"][0]["outline"]) >= 8
