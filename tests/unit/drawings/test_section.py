"""A section names every piece, shows the water where it runs and letters what was found."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from weatherlap.building.details.shelf import details
from weatherlap.drawings.cutting import cut_at
from weatherlap.drawings.naming import names
from weatherlap.drawings.section import lay_out, section
from weatherlap.drawings.sectiondetail import gutter_boxes
from weatherlap.drawings.sectionwater import Chart, cut_trails
from weatherlap.drawings.shown import show
from weatherlap.errors import InputError
from weatherlap.job.model import CutLine
from weatherlap.run.worked import work_out
from weatherlap.water.hops import EndKind

EVERY = [(d.id, v.id) for d in details() for v in d.variants]


def charted(shown, face=0, at=40.0):
    """The chart of a section and its trails."""
    laid = lay_out(shown, cut_at(shown.corner, face, at), room=240.0)
    boxes = gutter_boxes(laid.cut, laid.placed, laid.units_per_in)
    chart = Chart(shown.corner, laid.cut, laid.placed, laid.lines, boxes)
    return chart, cut_trails(shown.trace, chart)


def line_named(chart, piece):
    """The layer line of a piece."""
    return next(x for x in chart.lines if chart.corner.pieces[x.piece].id == piece)


@pytest.fixture(scope="module")
def worked_details():
    """Every detail in every variant, worked out and gathered for drawing."""
    found = {}
    for d in details():
        for v in d.variants:
            w = work_out(d.job(variant=v.id))
            found[d.id, v.id] = show("Detail", w.corner, trace=w.trace, cuts=w.job.cut)
    return found


@pytest.mark.parametrize("key", EVERY, ids="-".join)
def test_every_detail_is_cut(worked_details, seen, key):
    """Each section names its pieces, letters or lists each finding, and keeps letters apart."""
    shown = worked_details[key]
    for cut in shown.cuts:
        drawing = seen(section(shown, cut))
        assert not drawing.overlapping_rings()
        assert not drawing.outside()
        listed = re.findall(r"Not at this cut: finding ([A-Z, ]+)\.", drawing.words)
        elsewhere = listed[0].split(", ") if listed else []
        assert sorted(drawing.letters + elsewhere) == sorted(f.letter for f in shown.findings)
        for name in names(shown.corner, [shown.corner.piece_named[p].index
                                         for p in drawing.pieces()]):  # fmt: skip
            assert name.words.split()[0] in drawing.words


@pytest.mark.parametrize("which", ["wrong_lap", "porch", "porch_reversed"])
def test_same_job_same_bytes(request, which):
    """Drawing twice gives the same bytes."""
    shown = request.getfixturevalue(which)
    assert section(shown, shown.cuts[0]) == section(shown, shown.cuts[0])


def test_water_on_the_upper_sheet_runs_in_behind_the_lower_one(wrong_lap):
    """The trail of a wrong lap passes between the two sheets and soaks the sheathing below."""
    chart, trails = charted(wrong_lap)
    behind = next(t for t in trails if t.end is EndKind.SOAK)
    upper, lower = line_named(chart, "barrier-upper"), line_named(chart, "barrier-lower")
    foot = upper.outer[0][2]
    passing = next(x for x, y in behind.points if abs(y - foot) < 1.0)
    assert lower.inner[-1][2] < foot < lower.inner[0][2]
    assert upper.outer[0][1] < passing < lower.inner[-1][1]
    assert behind.wet
    assert chart.corner.pieces[chart.lines[behind.wet[0].line].piece].id == "sheathing"


def test_water_on_the_lower_sheet_runs_down_outside(wrong_lap):
    """Rain on the lower sheet stays on its outer side and gets clear."""
    chart, trails = charted(wrong_lap)
    outside = next(t for t in trails if t.end is EndKind.CLEAR)
    lower = line_named(chart, "barrier-lower")
    assert all(x > min(p[1] for p in lower.outer) for x, _ in outside.points)
    assert outside.falls


def test_the_letter_points_to_the_lap(wrong_lap):
    """Finding A's place is where the upper sheet ends, behind the lower one."""
    chart, trails = charted(wrong_lap)
    ((crossing, at),) = [c for t in trails for c in t.crossings]
    upper = line_named(chart, "barrier-upper")
    assert crossing.upper == upper.piece
    assert at[1] == pytest.approx(upper.wet[0][2])


def test_barrier_over_the_apron_sheds_and_behind_it_leaks(porch, porch_reversed):
    """With the barrier over the apron second-layer water lands on the apron, else behind it."""
    for shown, on_apron in ((porch, True), (porch_reversed, False)):
        _, trails = charted(shown)
        second = next(
            t for t in trails if t.layer == 1 and t.begins.piece == shown.corner.piece_named[
                "barrier"].index
        )  # fmt: skip
        apron = shown.corner.piece_named["apron"].index
        assert (apron in {s.piece for s in second.spots}) is on_apron
        letters = {f.letter for f in shown.findings if f.lower == apron}
        assert bool(letters) is not on_apron


def test_a_piece_round_a_fold_is_one_outline(porch, seen):
    """The apron's two legs meet at the fold and are drawn as one bent piece."""
    drawing = seen(section(porch, porch.cuts[0]))
    outlines = [e for e in drawing.tree.iter() if e.get("data-piece") == "apron"]
    assert len(outlines) == 1
    assert outlines[0].get("d").count("M") == 1


def test_a_long_wall_is_broken_and_says_so(wrong_lap, seen):
    """Stretches that are left out are told of under the drawing."""
    assert "is left out" in seen(section(wrong_lap, wrong_lap.cuts[0])).words


def test_signs_in_titles_are_escaped(draw_text, porch_job):
    """A title with the signs of XML stands in the drawing as written."""
    shown = draw_text(porch_job(title="Bath & <porch>"))
    svg = section(shown, shown.cuts[0])
    assert "Bath &amp; &lt;porch&gt;" in svg
    assert "<porch>" not in svg
    ElementTree.fromstring(svg)


def test_without_water_only_the_pieces_are_drawn(porch, seen):
    """A state without a trace is drawn with its layers and no trails."""
    bare = show("Only pieces", porch.corner, cuts=porch.cuts)
    drawing = seen(section(bare, porch.cuts[0]))
    assert not drawing.rings
    assert "apron" in drawing.pieces()
    assert not [e for e in drawing.tree.iter() if e.get("data-layer")]


@pytest.mark.parametrize(
    ("cut", "words"),
    [
        pytest.param(CutLine(id="X", face="attic", at=3), "no face 'attic'", id="no-face"),
        pytest.param(CutLine(id="X", face="wall", at=400), "does not cut face 'wall'", id="beside"),
    ],
)
def test_a_cut_that_meets_nothing_is_refused(porch, cut, words):
    """A cut that is off the face says so and names the cut."""
    with pytest.raises(InputError, match=words) as error:
        section(porch, cut)
    assert "cut 'X'" in str(error.value)


def test_looking_along_the_wall(porch, seen):
    """A south wall cut through is seen looking east, with the outside on the right."""
    assert "Looking east, outside on the right" in seen(section(porch, porch.cuts[0])).words


def test_water_that_runs_out_of_the_page_is_marked(draw_text, seen):
    """On a roof that falls along the wall the water leaves the section toward the viewer."""
    text = """
    [job]
    title = "Side"
    [[face]]
    id = "wall"
    facing = 180
    tilt = 90
    origin = [0, 0, 0]
    width = 120
    height = 120
    [[face]]
    id = "roof"
    facing = 90
    tilt = 30
    origin = [72, -48, 40]
    width = 48
    height = 80
    [[piece]]
    id = "siding"
    sheet = "sheds"
    passes = 0
    on = [{ face = "wall", rect = [0, 0, 120, 120] }]
    [[piece]]
    id = "shingles"
    sheet = "sheds"
    passes = 0
    on = [{ face = "roof", rect = [0, 0, 48, 80] }]
    """
    drawing = seen(section(draw_text(text), CutLine(id="S", face="wall", at=40)))
    assert "water runs on" in drawing.words


def test_two_states_can_stand_on_one_page(porch):
    """With a prefix each, no id of one drawing is an id of the other."""
    ids = [
        set(re.findall(r' id="([^"]+)"', section(porch, porch.cuts[0], prefix=p)))
        for p in ("found-", "repaired-")
    ]
    assert ids[0]
    assert not ids[0] & ids[1]
