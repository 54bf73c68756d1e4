"""An elevation shows what is seen of a face, its water, and the letters of its findings."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import shapely

from weatherlap.building.details.shelf import details
from weatherlap.drawings.elevation import elevation
from weatherlap.drawings.facemarks import thinned
from weatherlap.drawings.facewater import runs_on
from weatherlap.drawings.shown import compass, show, view_words
from weatherlap.drawings.stackview import stack_view
from weatherlap.errors import InputError
from weatherlap.job.reading import read_job
from weatherlap.run.worked import work_out
from weatherlap.water.hops import EndKind

DEMO = Path(__file__).parents[3] / "demo"
EVERY = [(d.id, v.id) for d in details() for v in d.variants]


@pytest.mark.parametrize("key", EVERY[::2], ids="-".join)
def test_each_finding_is_lettered_on_its_own_face(seen, key):
    """Over all elevations every finding has its letter once, on the face where it lies."""
    detail = next(d for d in details() if d.id == key[0])
    worked = work_out(detail.job(variant=key[1]))
    shown = show("Detail", worked.corner, trace=worked.trace, cuts=worked.job.cut)
    lettered = []
    for face in worked.corner.faces:
        drawing = seen(elevation(shown, face.id))
        assert not drawing.overlapping_rings()
        assert not drawing.outside()
        own = sorted(f.letter for f in shown.findings if f.face == face.index)
        assert drawing.letters == own
        lettered += drawing.letters
    assert sorted(lettered) == sorted(f.letter for f in shown.findings)


@pytest.mark.parametrize("name", ["porch-corner", "window-sill", "deck-ledger"])
def test_no_name_runs_off_the_sheet(seen, name):
    """Names that find no room on their pieces have a column beside the face on every demo job."""
    job = read_job((DEMO / f"{name}.toml").read_text("utf-8"))
    worked = work_out(job)
    shown = show("Job", worked.corner, trace=worked.trace, readings=job.reading, cuts=job.cut)
    for face in worked.corner.faces:
        assert seen(elevation(shown, face.id)).outside() == []


@pytest.mark.parametrize(
    ("face", "words"),
    [
        pytest.param("wall", "Looking north at the wall", id="south-wall"),
        pytest.param("roof", "Looking down square onto the roof, which falls south", id="roof"),
        pytest.param("ceiling", "Looking up at the ceiling", id="underside"),
    ],
)
def test_where_one_looks_is_said(porch, seen, face, words):
    """Under the title stands from where the face is seen."""
    assert words in seen(elevation(porch, face)).words
    assert view_words(porch.corner.face_named[face]) == words


@pytest.mark.parametrize(
    ("bearing", "word"),
    [(0.0, "north"), (359.0, "north"), (44.0, "northeast"), (90.0, "east"), (181.0, "south")],
)
def test_bearings_have_names(bearing, word):
    """A bearing is called by the nearest of eight words."""
    assert compass(bearing) == word


def test_what_is_covered_is_named_below(wrong_lap, seen):
    """Pieces that nothing shows of are listed, those that show are named on the drawing."""
    words = seen(elevation(wrong_lap, "wall")).words
    assert "Behind what is seen: sheathing." in words
    assert "barrier-upper" in words
    assert "barrier-lower" in words


def test_taking_a_piece_off_shows_what_is_behind(wrong_lap, seen):
    """With the lower sheet taken off, the sheathing behind it is seen and the heading says so."""
    lower = wrong_lap.corner.piece_named["barrier-lower"].index
    drawing = seen(elevation(wrong_lap, "wall", without=[lower]))
    assert "Taken off: barrier-lower." in drawing.words
    assert drawing.pieces() == {"sheathing", "barrier-upper"}


def test_what_is_seen_is_the_face_less_nothing(porch):
    """The visible parts of all pieces do not overlap and cover what the pieces cover."""
    for face in porch.corner.faces:
        view = stack_view(porch.corner, face.index)
        panels = [porch.corner.panels[p].polygon for p in porch.corner.panels_on[face.index]]
        visible = [p.seen for p in view.panels]
        whole = shapely.union_all(panels).area
        assert sum(v.area for v in visible) == pytest.approx(whole, rel=1e-6)


def test_covered_edges_lie_under_other_pieces(porch):
    """A covered edge runs where another piece lies outside, never where the piece is seen."""
    view = stack_view(porch.corner, 0)
    assert any(not p.covered_edges.is_empty for p in view.panels)
    for panel in view.panels:
        if panel.seen.area > 0 and not panel.covered_edges.is_empty:
            inside = shapely.buffer(panel.seen, -0.05)
            assert panel.covered_edges.intersection(inside).length < 1e-6


def test_a_wrong_lap_is_hatched_and_a_right_one_is_not(wrong_lap, porch, seen):
    """Only laps that a finding calls wrong are hatched as wrong."""
    assert "lap the wrong way round" in seen(elevation(wrong_lap, "wall")).words
    assert "lap the wrong way round" not in seen(elevation(porch, "wall")).words


def test_sizes_are_those_of_a_tape(wrong_lap, seen):
    """The heights of edges stand beside the face as a tape reads them."""
    words = seen(elevation(wrong_lap, "wall")).words
    for size in ("8'", "4' 4\"", "3' 10\""):
        assert size in words


def test_readings_and_damage_are_marked(porch, seen):
    """A moisture reading stands with its percent where it was taken, damage as a cross."""
    assert "27%" in seen(elevation(porch, "wall")).words
    assert "damage that was seen" in seen(elevation(porch, "ceiling")).words
    assert "damage that was seen" not in seen(elevation(porch, "wall")).words


def test_cut_lines_carry_their_letter(porch, seen):
    """A cut line is drawn on its own face only."""
    assert " A " in f" {seen(elevation(porch, 'wall')).words} "
    flags = [e for e in seen(elevation(porch, "roof")).tree.iter() if e.text == "A"]
    assert len(flags) <= 1


def test_folds_name_the_neighbours(porch, seen):
    """Every neighbour of a face is named, beside its fold or below the drawing."""
    words = seen(elevation(porch, "wall")).words
    assert "fold: roof" in words
    assert "fold: ceiling" in words


def test_trails_of_a_face_end_where_the_water_does(wrong_lap):
    """On the wrong lap one trail soaks, with its reach below, and one gets clear at the foot."""
    runs = runs_on(0, wrong_lap.trails)
    ends = {run.end: run for run in runs}
    assert set(ends) == {EndKind.SOAK, EndKind.CLEAR}
    assert ends[EndKind.SOAK].places[-1][1] == pytest.approx(46.0)
    assert ends[EndKind.SOAK].reach[-1][1] == pytest.approx(0.0)
    assert ends[EndKind.CLEAR].places[-1][1] == pytest.approx(0.0)


def test_trails_stand_side_by_side(wrong_lap):
    """Two trails down one wall are not drawn over each other."""
    a, b = (line.spots[0].u for line in wrong_lap.trails)
    assert abs(a - b) > 4.0


def test_all_the_rain_is_on_the_trails(porch):
    """The trails together carry the first layer's rain of the faces, but for what is tiny."""
    first = sum(t.flow_lph for t in porch.trails if t.layer == 0)
    rained = sum(row.flow_lph for row in porch.trace.ends if row.layer == 0)
    assert first == pytest.approx(rained, rel=0.02)


def test_same_face_same_bytes(porch):
    """Drawing twice gives the same bytes."""
    assert elevation(porch, "wall") == elevation(porch, "wall")


def test_an_unknown_face_is_refused(porch):
    """The error names the faces that there are."""
    with pytest.raises(InputError, match="one of wall, roof, fascia, ceiling"):
        elevation(porch, "attic")


@pytest.mark.parametrize(
    ("values", "kept"),
    [
        pytest.param([0, 1, 2, 50, 99, 100], [0, 50, 100], id="crowded"),
        pytest.param([5], [5], id="one"),
        pytest.param([], [], id="none"),
        pytest.param([0, 100], [0, 100], id="ends"),
    ],
)
def test_sizes_keep_their_distance(values, kept):
    """Ticks that would crowd are left out, the first and the last never."""
    assert thinned(values, apart=10.0) == kept


def test_numbers_of_courses_are_named_together(porch, seen):
    """Eight courses of siding have one name."""
    words = seen(elevation(porch, "wall")).words
    assert "siding 1 to 8" in words
    assert not re.search(r"siding-\d", words)
