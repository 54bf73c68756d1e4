"""Charts: axes with units, lines told apart without colour, nothing outside its field."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET

import pytest

from weatherlap.drawings.chart import DASHES, Axis, Bands, Chart, Curve, Limit, draw_chart

SVG = "{http://www.w3.org/2000/svg}"


def chart(*curves: Curve, bands: Bands | None = None) -> ET.Element:
    """A chart of some curves, parsed."""
    drawn = draw_chart(
        Chart(
            name="c", title="Moisture", about="About it.",
            across=Axis("days", 0.0, 100.0, ((0.0, "0"), (100.0, "100"))),
            up=Axis("moisture, %", 0.0, 40.0, ((0.0, "0"), (40.0, "40"))),
            curves=curves, limits=(Limit(19.0, "19 %: may be closed in"),), bands=bands,
        )
    )  # fmt: skip
    return ET.fromstring(drawn)


def texts(root: ET.Element) -> list[str]:
    """Everything that is written on a drawing."""
    return [t.text or "" for t in root.iter(f"{SVG}text")]


def test_axes_name_what_they_measure():
    """Both axes carry their title with its unit, and the limit its words."""
    words = texts(chart(Curve("a", ((0.0, 10.0), (100.0, 30.0)))))
    assert {"days", "moisture, %", "19 %: may be closed in", "Moisture"} <= set(words)


def test_lines_differ_without_colour():
    """Five lines have five kinds of dashes, and each its letter on the line and in the key."""
    curves = [Curve(f"line {k}", ((0.0, 5.0 * k), (100.0, 30.0)), k) for k in range(5)]
    root = chart(*curves)
    lines = [p.get("stroke-dasharray") for p in root.iter(f"{SVG}polyline")]
    assert len(set(lines)) == 5 == len(set(DASHES))
    letters = [w for w in texts(root) if re.fullmatch("[a-e]", w)]
    assert sorted(letters) == sorted("abcde" * 2)


@pytest.mark.parametrize("value", [-50.0, 500.0])
def test_lines_stay_in_their_field(value: float):
    """Values past the axis are drawn at its end, not outside the drawing."""
    root = chart(Curve("a", ((0.0, 10.0), (50.0, value), (100.0, 10.0))))
    (line,) = root.iter(f"{SVG}polyline")
    heights = [float(p.split(",")[1]) for p in (line.get("points") or "").split()]
    assert min(heights) >= 40.0 and max(heights) <= 40.0 + 190.0


def test_a_smooth_line_is_thinned_but_keeps_its_shape():
    """A wave of 2000 points keeps its height in far fewer of them."""
    wave = tuple((k / 20.0, 20.0 + 10.0 * math.sin(k / 100.0)) for k in range(2000))
    root = chart(Curve("wave", wave))
    (line,) = root.iter(f"{SVG}polyline")
    points = [tuple(map(float, p.split(","))) for p in (line.get("points") or "").split()]
    assert 20 < len(points) < 400
    high, low = min(y for _, y in points), max(y for _, y in points)
    assert low - high == pytest.approx(190.0 * 20.0 / 40.0, abs=1.0)


def test_layers_are_numbered_and_named():
    """Strips carry their numbers below the field, and the key their names."""
    words = texts(
        chart(
            Curve("a", ((0.0, 1.0), (90.0, 2.0))),
            bands=Bands((0.0, 30.0, 100.0), ("siding", "gap")),
        )
    )
    assert "1  siding" in words and "2  gap" in words
    assert {"1", "2"} <= set(words)
