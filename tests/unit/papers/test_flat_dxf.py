"""DXF files of flat patterns, read back by a reader written from the format's group codes alone."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest
from pytest import approx
from shapely import Polygon

from weatherlap.job.reading import read_job
from weatherlap.papers.bendsheets import bend_leaves
from weatherlap.run.bentpieces import bent_pieces

DEMO = Path(__file__).parents[3] / "demo/porch-corner.toml"
INCHES = 1


@dataclass(frozen=True)
class Entity:
    """One entity: its kind, layer, points, text, and whether it is closed."""

    kind: str
    layer: str
    points: tuple[tuple[float, float], ...]
    text: str
    closed: bool


def pairs(text):
    """Group codes with their values, two lines each."""
    lines = text.splitlines()
    return [(int(code), value.strip()) for code, value in zip(lines[::2], lines[1::2], strict=True)]


def read_dxf(data):
    """Units and entities of a DXF file: the header's INSUNITS and what stands in ENTITIES."""
    groups = pairs(data.decode("utf-8"))
    units, section, rows, current = None, "", [], None
    for number, (code, value) in enumerate(groups):
        if code == 0 and value == "SECTION":
            section = groups[number + 1][1]
        elif code == 9 and value == "$INSUNITS":
            units = int(groups[number + 1][1])
        elif section == "ENTITIES" and code == 0:
            current = [(code, value)] if value != "ENDSEC" else None
            rows += [current] if current else []
        elif current is not None:
            current.append((code, value))
    return units, [_entity(row) for row in rows]


def _entity(row):
    values = dict(reversed(row))
    xs = [float(v) for c, v in row if c in (10, 11)]
    ys = [float(v) for c, v in row if c in (20, 21)]
    closed = values.get(0) == "LWPOLYLINE" and int(values.get(70, "0")) & 1 == 1
    points = tuple(zip(xs, ys, strict=True))
    return Entity(values[0], values.get(8, ""), points, values.get(1, ""), closed)


@pytest.fixture(scope="module")
def job():
    """The porch."""
    return read_job(DEMO.read_text("utf-8"))


@pytest.fixture(scope="module")
def made(job):
    """Its shop sheets, files and table."""
    return bend_leaves(job, {})


def test_dxf_files_hold_the_flat_patterns(made, job):
    """Read back, each file's closed outlines and bend lines are those of the flat pattern."""
    for piece in bent_pieces(job, own={}).pieces:
        (cut,) = piece.making.cuts
        units, entities = read_dxf(made[1][f"bend-{piece.id}.dxf"])
        assert units == INCHES
        outlines = [e for e in entities if e.layer == "CUT"]
        assert all(e.closed for e in outlines)
        areas = [Polygon(e.points).area for e in outlines]
        assert areas == approx([pattern.area_in2 for pattern in cut.patterns])
        for pattern, layer in ((cut.patterns[0], "BEND_UP"), (cut.patterns[0], "BEND_DOWN")):
            toward = "finish" if layer == "BEND_UP" else "back"
            lines = [e.points for e in entities if e.layer == layer and e.kind == "LINE"]
            wanted = [n for n in pattern.bend_lines if n.toward.value == toward]
            assert len(lines) == len(wanted)
            for points, line in zip(lines, wanted, strict=True):
                lengths = [x1 - x0 for (x0, _), (x1, _) in (points, (line.start, line.end))]
                assert lengths[0] == approx(lengths[1], abs=1e-6)


def test_dxf_files_are_the_same_each_time(made, job):
    """The same pattern gives the same bytes."""
    again = bend_leaves(job, {})[1]
    assert again == made[1]
