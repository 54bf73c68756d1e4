"""Story pole and labels measured in the PDF, and their codes read by another program."""

from __future__ import annotations

import ctypes
from pathlib import Path

import pypdfium2
import pypdfium2.raw as raw
import pytest
import zxingcpp

from weatherlap.errors import InputError
from weatherlap.job.model import Job
from weatherlap.job.reading import read_job
from weatherlap.papers.labels import label_sheets
from weatherlap.papers.paper import Paper
from weatherlap.papers.pole import TILE_IN, long_pole, tiled_pole
from weatherlap.run.labelwords import labels
from weatherlap.run.ordering import order_job
from weatherlap.run.polemarks import Along, Mark, Pole, story_pole
from weatherlap.run.states import State

TENTH_MM = 0.1 / 25.4
PT_PER_IN = 72.0
DEMO = Path(__file__).parents[3] / "demo"


def porch() -> Job:
    """The big demo job."""
    return read_job((DEMO / "porch-corner.toml").read_text("utf-8"))


def strokes(page: pypdfium2.PdfPage) -> list[tuple[float, float, float, float]]:
    """The straight lines of a page as (x0, y0, x1, y1) from the lower left corner. [in]"""
    rows = []
    for item in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
        matrix = item.get_matrix()
        points = []
        for k in range(raw.FPDFPath_CountSegments(item.raw)):
            segment = raw.FPDFPath_GetPathSegment(item.raw, k)
            x, y = ctypes.c_float(), ctypes.c_float()
            raw.FPDFPathSegment_GetPoint(segment, x, y)
            points.append(matrix.on_point(x.value, y.value))
        if len(points) == 2:
            (x0, y0), (x1, y1) = points
            rows.append(tuple(v / PT_PER_IN for v in (x0, y0, x1, y1)))
    return rows


def level(rows: list[tuple[float, float, float, float]], length: float) -> list[float]:
    """Heights of the level lines of a length on a page. [in]"""
    return sorted(y0 for x0, y0, x1, y1 in rows
                  if abs(y0 - y1) < 1e-4 and abs(abs(x1 - x0) - length) < TENTH_MM)  # fmt: skip


def two_marks(length: float) -> Pole:
    """A pole with marks 12 in apart."""
    marks = tuple(Mark(12.0 * k, f"mark {k}") for k in range(int(length // 12) + 1))
    return Pole("Job", "wall", "held upright", length, marks)


def test_twelve_inches_are_twelve_inches_on_the_long_page() -> None:
    """Marks 12 in apart lie 12 in apart in the PDF to 0.1 mm, on the whole length."""
    page = pypdfium2.PdfDocument(long_pole(two_marks(144.0)))[0]
    places = level(strokes(page), 1.0)
    assert len(places) == 13
    for k, y in enumerate(places):
        assert y - places[0] == pytest.approx(12.0 * k, abs=TENTH_MM)


@pytest.mark.parametrize("paper", list(Paper))
def test_the_check_bar_measures_six_inches(paper: Paper) -> None:
    """Every sheet has one bar of 6 in to 0.1 mm."""
    document = pypdfium2.PdfDocument(tiled_pole(two_marks(40.0), paper=paper))
    assert len(document) == 3
    for page in document:
        assert len(level(strokes(page), 6.0)) == 1


@pytest.mark.parametrize("paper", list(Paper))
def test_tiles_join_at_their_crosses(paper: Paper) -> None:
    """The crosses of a full stretch stand 9 in apart, so that stretches join to the full length."""
    page = pypdfium2.PdfDocument(tiled_pole(two_marks(40.0), paper=paper))[0]
    arms = sorted({round(y, 3) for y in level(strokes(page), 0.4)})
    assert arms[-1] - arms[0] == pytest.approx(TILE_IN, abs=TENTH_MM)
    width, height = page.get_size()
    assert all(
        0 <= x <= width / PT_PER_IN and 0 <= y <= height / PT_PER_IN
        for x0, y0, x1, y1 in strokes(page)
        for x, y in ((x0, y0), (x1, y1))
    )


def test_a_pole_longer_than_a_page_can_be_is_split() -> None:
    """Over 190 in there are several pages, none over 14,400 points."""
    document = pypdfium2.PdfDocument(long_pole(two_marks(400.0)))
    assert len(document) == 3
    assert max(page.get_height() for page in document) <= 14400


def test_pole_of_the_porch_has_courses_folds_and_gutter_at_their_heights() -> None:
    """The upright pole on the wall shows courses every 8 in, the roof's fold and the gutter."""
    pole = story_pole(porch(), face="wall", along=Along.UP, at_in=None, state=State.REPAIRED)
    at = {m.text: m.at_in for m in pole.marks}
    courses = [m for m in pole.marks if "siding course" in m.text]
    assert [m.at_in for m in courses] == pytest.approx([8.0 * k for k in range(18)])
    assert [m.number for m in courses][12:16] == [4, 3, 2, 1]
    assert at["gutter, high end"] == 94.75
    assert any("fold to the porch roof" in text for text in at)
    assert pole.length_in == 144


def test_level_pole_shows_the_taped_mark_and_the_joints_of_the_run() -> None:
    """On the soffit the joint of the fourth panel stands on its taped mark at 48 1/2 in."""
    pole = story_pole(porch(), face="soffit", along=Along.RIGHT, at_in=4.0, state=State.FOUND)
    mark = next(m for m in pole.marks if "taped mark: 4" in m.text)
    assert mark.at_in == 48.5
    assert "left edge of soffit panel 5" in mark.text


@pytest.mark.parametrize(
    ("face", "at_in", "says"),
    [
        pytest.param("roof-2", None, "there is no 'roof-2'", id="face"),
        pytest.param("wall", 500.0, "expected 0 to 8' 4", id="off-the-face"),
    ],
)
def test_a_pole_off_the_corner_is_refused(face: str, at_in: float | None, says: str) -> None:
    """The message names the faces, or the room that there is."""
    with pytest.raises(InputError, match=says):
        story_pole(porch(), face=face, along=Along.UP, at_in=at_in, state=State.FOUND)


def test_printed_codes_are_read_back() -> None:
    """Each code on the first sheet of labels decodes to the words of its label."""
    rows = labels(order_job(porch()))
    page = pypdfium2.PdfDocument(label_sheets(rows))[0]
    read = zxingcpp.read_barcodes(page.render(scale=300 / PT_PER_IN).to_pil())
    assert sorted(r.text for r in read) == sorted(r.carried for r in rows[:10])


def test_codes_can_open_the_piece_in_the_web_app() -> None:
    """With the address of the job's page each printed code leads to it with its piece in hand."""
    page_of_job = "https://192.168.7.20:8740/job/0123456789abcdef"
    rows = labels(order_job(porch()), link=page_of_job)
    page = pypdfium2.PdfDocument(label_sheets(rows))[0]
    read = {r.text for r in zxingcpp.read_barcodes(page.render(scale=150 / PT_PER_IN).to_pil())}
    assert len(read) == 10
    assert f"{page_of_job}?piece=siding-16" in read
    assert read == {r.carried for r in rows[:10]}


def test_labels_are_of_what_goes_back_with_take_down_numbers() -> None:
    """Scrapped and bent pieces have none; number, run place, face and step stand on it."""
    ordered = order_job(porch())
    rows = labels(ordered)
    titles = [r.title for r in rows]
    assert "Porch beam" not in titles and "Upper barrier sheet" not in titles
    numbers = {ordered.found.pieces[r.piece].title: r.number for r in ordered.down.removals}
    assert all(numbers[r.title[0].lower() + r.title[1:]] == r.number for r in rows)
    panel = next(r for r in rows if r.title == "Soffit panel 3")
    assert panel.run == "number 3 of the soffit"
    assert panel.face == "Soffit: left edge 2' right, foot 0\" up."
    assert panel.back.startswith("Goes back as step ") and panel.back in panel.carried


def test_the_same_job_gives_the_same_bytes() -> None:
    """Pole and labels do not change from print to print."""
    rows = labels(order_job(porch()))
    assert label_sheets(rows) == label_sheets(rows)
    assert tiled_pole(two_marks(30.0)) == tiled_pole(two_marks(30.0))
