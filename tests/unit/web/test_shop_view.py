"""The shop in the browser: buy list, cut lists and the sheets of bent metal, with their files."""

from __future__ import annotations

import io
import time

import openpyxl
import pytest

PATIENCE_S = 90.0


@pytest.fixture
def porch(own, demo_text):
    """The id of the porch on the shelf."""
    return own.post("/api/jobs", json={"text": demo_text}).json()["id"]


def view(own, job):
    """The view of the shop once it is worked out."""
    until = time.monotonic() + PATIENCE_S
    while time.monotonic() < until:
        answer = own.get(f"/job/{job}/part/shop")
        assert answer.status_code == 200
        if "Stands by for hidden damage" in answer.text or "not worked out" in answer.text:
            return answer.text
        time.sleep(0.3)
    raise AssertionError("the view was not there in time")


def test_the_view_holds_lists_and_bend_sheets(own, porch):
    """What is bought comes first, then what is cut, then a sheet for each bent piece."""
    page = view(own, porch)
    heads = ["new porch beam (SP No.2)", "What must be kept apart", "In the brake, step by step"]
    places = [page.index(head) for head in heads]
    assert places == sorted(places)
    for name in ("bend-fascia-wrap-strip", "bend-fascia-wrap-steps", "bend-fascia-wrap-flat"):
        assert name in page


def test_prints_and_files_are_served(own, porch):
    """A bend sheet prints as PDF; DXF and workbook come as files."""
    view(own, porch)
    base = f"/job/{porch}/part/shop"
    pdf = own.get(f"{base}/bend-fascia-wrap.pdf")
    assert pdf.status_code == 200 and pdf.content.startswith(b"%PDF")
    dxf = own.get(f"{base}/files/bend-fascia-wrap.dxf")
    assert dxf.status_code == 200 and b"BEND_DOWN" in dxf.content
    book = openpyxl.load_workbook(io.BytesIO(own.get(f"{base}/files/buy-list.xlsx").content))
    names = [row[3] for row in book.active.iter_rows(min_row=2, values_only=True)]
    assert "Treated lumber 2x10, 10'" in names
