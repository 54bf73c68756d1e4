"""Shop sheets of bent metal, and their DXF files read back."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from pytest import approx

from weatherlap.job.reading import read_job
from weatherlap.papers.bendsheets import bend_leaves
from weatherlap.papers.leaf import Drawn, Grid
from weatherlap.papers.leafpdf import leaf_pdf
from weatherlap.run.bentpieces import bent_pieces

DEMO = Path(__file__).parents[3] / "demo/porch-corner.toml"


@pytest.fixture(scope="module")
def job():
    """The porch."""
    return read_job(DEMO.read_text("utf-8"))


@pytest.fixture(scope="module")
def made(job):
    """Its shop sheets, files and table."""
    return bend_leaves(job, {})


def leaf_of(made, name):
    """One of the sheets."""
    return next(leaf for leaf in made[0] if leaf.name == f"bend-{name}")


def test_each_piece_has_a_sheet_with_its_drawings(made, job):
    """Section, strip, steps and flat pattern stand on each sheet, and each drawing is XML."""
    names = {f"bend-{piece.id}" for piece in bent_pieces(job, own={}).pieces}
    assert {leaf.name for leaf in made[0]} == names
    for leaf in made[0]:
        kinds = {d.name.rsplit("-", 1)[-1] for d in leaf.drawings()}
        assert {"section", "strip", "steps", "flat"} <= kinds, leaf.name
        for drawn in leaf.drawings():
            assert ET.fromstring(drawn.svg).tag.endswith("svg")


def test_the_strip_has_running_sizes_from_one_edge(made):
    """Marks of the post wrap run from 0 to the girth, and name cut, up, down and hem."""
    (strip,) = [p for p in leaf_of(made, "post-wrap").parts if p.head == "Strip"]
    (grid,) = [b for b in strip.blocks if isinstance(b, Grid)]
    assert [row[0] for row in grid.rows] == ["cut", "bend up", "bend down", "hem down", "cut"]
    inches = [float(row[3]) for row in grid.rows]
    assert inches == sorted(inches)
    assert inches[-1] == approx(12.741, abs=0.001)
    assert [row[5] for row in grid.rows] == ["", "3", "2", "1", ""]


def test_a_blocked_piece_says_so_first(made):
    """The drip edge's sheet leads with the proof, and names the bend that blocks."""
    leaf = leaf_of(made, "drip-edge")
    assert "that is proven" in leaf.lead[1]
    words = str(leaf.parts)
    assert "needs a swing of 166.565 degrees, the leaf turns 135" in words
    assert "Way out" in words


def test_the_sheet_is_typeset(made):
    """A sheet becomes a PDF."""
    assert leaf_pdf(leaf_of(made, "diverter")).startswith(b"%PDF")


def test_the_table_is_plain_json(made):
    """The table goes into JSON as it is."""
    assert json.loads(json.dumps(made[2]))["not_made"] == []


def test_what_cannot_be_made_has_a_sheet_of_its_own(job):
    """A [[bent]] with an edge that is not there gives a sheet that says what would be right."""
    bent = job.bent[0].model_copy(update={"metal": "gold"})
    leaves, _, table = bend_leaves(job.model_copy(update={"bent": (bent, *job.bent[1:])}), {})
    assert leaves[-1].name == "bend-not-made"
    assert "no sheet 'gold'" in str(leaves[-1].parts)
    assert table["not_made"][0]["id"] == bent.piece


def test_drawings_stay_inside_their_sheet(made):
    """No text of a drawing begins outside it."""
    for leaf in made[0]:
        for part in leaf.parts:
            for drawn in (b for b in part.blocks if isinstance(b, Drawn)):
                root = ET.fromstring(drawn.svg)
                _, _, wide, high = map(float, root.get("viewBox").split())
                for text in root.iter("{http://www.w3.org/2000/svg}text"):
                    assert 0 <= float(text.get("x")) <= wide, drawn.name
                    assert 0 <= float(text.get("y")) <= high, drawn.name


def test_a_piece_that_stays_says_that_nothing_is_bought(made):
    """The post wrap is there already: its sheet says so; that of the new fascia wrap does not."""
    assert any(
        "no metal for it is on the buy list" in line for line in leaf_of(made, "post-wrap").lead
    )
    assert not any("buy list" in line for line in leaf_of(made, "fascia-wrap").lead)
    assert {p["id"]: p["new"] for p in made[2]["pieces"]}["post-wrap"] is False
