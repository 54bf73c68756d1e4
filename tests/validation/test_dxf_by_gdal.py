"""Checks DXF files with GDAL's own reader of the format (source: the DXF driver of GDAL)."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pyogrio
import pytest
import shapely
from pytest import approx

from weatherlap.job.reading import read_job
from weatherlap.metal.model import Toward
from weatherlap.papers.bendsheets import leaf_files
from weatherlap.papers.dxf import flat_dxf
from weatherlap.run.bentpieces import bent_pieces

DEMO = Path(__file__).parents[2] / "demo"
SLACK_IN = 0.01
LAYERS = {"CUT", "BEND_UP", "BEND_DOWN", "MARKS"}
LONG = """
[job]
title = "A run in three lengths"

[[face]]
id = "wall"
facing = 180
tilt = 90
origin = [0, 0, 0]
width = "30 ft"
height = "8 ft"

[[profile]]
id = "run"
length = "26 ft"
legs = [
  { length = "6 in", turn = 90, toward = "back" },
  { length = "4 in", turn = 45, toward = "finish" },
  { length = "1 in" },
]
ends = [{ at = "left", tabs = [{ leg = 1, length = "1 in", toward = "finish" }] }]
"""


def read(data, folder):
    """Rows of (layer, line type, geometry, text) as the reader gives them."""
    file = folder / "flat.dxf"
    file.write_bytes(data)
    meta, _, shapes, columns = pyogrio.raw.read(file)
    fields = dict(zip(meta["fields"], columns, strict=True))
    kinds = fields.get("Linetype", np.full(len(shapes), None))
    return list(zip(fields["Layer"], kinds, shapely.from_wkb(shapes), fields["Text"], strict=True))


def on(rows, layer):
    """The geometry on a layer."""
    return [shape for name, _, shape, _ in rows if name == layer]


def assert_is_pattern(rows, patterns):
    """Outlines, bend lines and angles are those of the flat patterns, in their order."""
    assert {row[0] for row in rows} <= LAYERS
    outlines = on(rows, "CUT")
    assert len(outlines) == len(patterns)
    for outline, pattern in zip(outlines, patterns, strict=True):
        assert outline.is_closed
        sheet = shapely.Polygon(outline)
        assert sheet.is_valid
        assert sheet.area == approx(pattern.area_in2)
        assert sheet.length == approx(shapely.Polygon(pattern.outline).length)
        x0, y0, x1, y1 = sheet.bounds
        assert (x1 - x0, y1 - y0) == approx(pattern.blank_in)
    for layer, toward in (("BEND_UP", Toward.FINISH), ("BEND_DOWN", Toward.BACK)):
        wanted = [
            (number, line)
            for number, pattern in enumerate(patterns)
            for line in pattern.bend_lines
            if line.toward is toward
        ]
        lines = on(rows, layer)
        assert len(lines) == len(wanted)
        for line, (number, bend) in zip(lines, wanted, strict=True):
            assert line.length == approx(shapely.LineString((bend.start, bend.end)).length)
            assert shapely.Polygon(outlines[number]).buffer(SLACK_IN).covers(line)
    assert sum(text is not None and text.split()[0] in {"UP", "DOWN"} for *_, text in rows) == sum(
        len(pattern.bend_lines) for pattern in patterns
    )


@pytest.mark.parametrize("name", ["porch-corner", "deck-ledger", "window-sill"])
def test_flat_patterns_of_the_demos(name, tmp_path):
    """Each DXF of a demo holds closed outlines and bend lines of the flat patterns' lengths."""
    job = read_job((DEMO / f"{name}.toml").read_text("utf-8"))
    bent = bent_pieces(job, own={})
    files = leaf_files(bent, ())
    assert len(files) == sum(len(piece.making.cuts) for piece in bent.pieces)
    for piece in bent.pieces:
        for number, cut in enumerate(piece.making.cuts):
            mark = "" if len(piece.making.cuts) == 1 else f"-{'abc'[number]}"
            assert_is_pattern(read(files[f"bend-{piece.id}{mark}.dxf"], tmp_path), cut.patterns)


def test_several_lengths_in_one_file(tmp_path):
    """A run longer than the brake has an outline for each length, none over another."""
    (piece,) = bent_pieces(read_job(LONG), own={}).pieces
    (cut,) = piece.making.cuts
    assert len(cut.patterns) == 3
    rows = read(flat_dxf(cut.patterns, title="run"), tmp_path)
    assert_is_pattern(rows, cut.patterns)
    sheets = [shapely.Polygon(outline) for outline in on(rows, "CUT")]
    assert shapely.union_all(sheets).area == approx(sum(sheet.area for sheet in sheets))
    titles = [text for *_, text in rows if text and text.startswith("run: ")]
    assert len(titles) == 3
