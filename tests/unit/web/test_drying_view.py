"""Drying in the browser: its own view with plots, its print, its figures, its weather."""

from __future__ import annotations

import time

import pytest

PATIENCE_S = 90.0


@pytest.fixture
def porch(own, demo_text):
    """The id of the porch on the shelf."""
    return own.post("/api/jobs", json={"text": demo_text}).json()["id"]


def view(own, job):
    """The view of drying once it is worked out."""
    until = time.monotonic() + PATIENCE_S
    while time.monotonic() < until:
        answer = own.get(f"/job/{job}/part/drying")
        assert answer.status_code == 200
        if "dry-patch-moisture" in answer.text or "not worked out" in answer.text:
            return answer.text
        time.sleep(0.3)
    raise AssertionError("the view was not there in time")


def test_the_view_shows_answers_and_plots(own, porch):
    """Answers first, then the plots of each spot as drawings in the page."""
    page = view(own, porch)
    assert page.index("Left open to the air in October") < page.index(
        "Through the wall: wall sheathing"
    )
    for name in ("wall-foot", "patch", "beam-end"):
        assert f"dry-{name}-mould" in page


def test_the_print_and_the_files(own, porch):
    """The view's paper prints as PDF, and each plot can be taken as a file."""
    view(own, porch)
    pdf = own.get(f"/job/{porch}/part/drying/drying.pdf")
    assert pdf.status_code == 200 and pdf.content.startswith(b"%PDF")
    plot = own.get(f"/job/{porch}/part/drying/files/dry-patch-moisture.svg")
    assert plot.status_code == 200 and b"<svg" in plot.content


def test_weather_that_is_not_there_is_said(own, demo_text):
    """A job that names a weather file is told what to do, on the page."""
    begin = demo_text.index('months = """')
    end = demo_text.index('"""', begin + 12) + 3
    text = demo_text[:begin] + 'weather_file = "station.csv"' + demo_text[end:]
    job = own.post("/api/jobs", json={"text": text}).json()["id"]
    page = view(own, job)
    assert "station.csv" in page and "was not handed over" in page
