"""Typesetting: same input, same bytes; text is only ever text; sheets have their sizes."""

from __future__ import annotations

import datetime

import pypdfium2
import pytest

from weatherlap.job.reading import read_job
from weatherlap.papers.findings import sheet_data
from weatherlap.papers.paper import Paper
from weatherlap.papers.typeset import typeset
from weatherlap.run.states import State
from weatherlap.run.worked import work_out

JOB = """
[job]
title = "{title}"
symptom = "{symptom}"
[[face]]
id = "wall"
tilt = 90
origin = [0, 0, 0]
width = 96
height = 96
[[piece]]
id = "wood"
sheet = "absorbs"
on = [{{ face = "wall", rect = [0, 0, 96, 96] }}]
"""
COMMANDS = "#panic() #import x *bold* _it_ $x^2$ @ref <tag> // no /* no */ = head - list `raw`"


def sheet(title: str = "A wall", symptom: str = "wet", paper: Paper = Paper.LETTER) -> bytes:
    """A findings sheet without drawings."""
    worked = work_out(read_job(JOB.format(title=title, symptom=symptom)))
    data = sheet_data(worked, state=State.FOUND, paper=paper) | {"drawings": []}
    return typeset("findings", data)


def text_of(pdf: bytes) -> str:
    """All words of a PDF with single spaces."""
    pages = pypdfium2.PdfDocument(pdf)
    words = " ".join(page.get_textpage().get_text_bounded() for page in pages)
    return " ".join(words.replace("\u200b", "").split())


def test_same_input_gives_the_same_bytes() -> None:
    """Two runs give one file."""
    assert sheet() == sheet()


def test_the_day_is_the_only_clock() -> None:
    """The PDF says the time that it was given, not the time of the run."""
    data = {"sheet": "a4", "paper_title": "x", "title": "y", "place": "", "date": ""}
    worked = work_out(read_job(JOB.format(title="t", symptom="")))
    data = sheet_data(worked, state=State.FOUND, paper=Paper.A4) | {"drawings": []}
    day = datetime.datetime(2026, 11, 25, 12, tzinfo=datetime.UTC)
    assert b"20261125" in typeset("findings", data, stamp=day)
    assert b"20000101" in typeset("findings", data)


def test_text_is_never_taken_for_a_command() -> None:
    """Signs that the typesetter knows come out as they were written."""
    text = text_of(sheet(symptom=COMMANDS))
    assert COMMANDS in text


@pytest.mark.parametrize(
    ("paper", "size"),
    [
        pytest.param(Paper.LETTER, (612.0, 792.0), id="letter-8.5-by-11-in"),
        pytest.param(Paper.A4, (595.276, 841.89), id="a4-210-by-297-mm"),
    ],
)
def test_sheets_have_their_size(paper: Paper, size: tuple[float, float]) -> None:
    """Letter is 8.5 by 11 inches, A4 210 by 297 mm (ISO 216)."""
    for page in pypdfium2.PdfDocument(sheet(paper=paper)):
        assert page.get_size() == pytest.approx(size, abs=0.01)


@pytest.mark.parametrize(
    "title",
    [
        pytest.param("W" * 200, id="one-long-word"),
        pytest.param("a" * 99 + " " + "ß" * 100, id="two-long-words"),
        pytest.param("Water " * 33, id="many-words"),
    ],
)
def test_nothing_runs_off_the_sheet(title: str) -> None:
    """However long a word is, every letter stays inside the frame."""
    for page in pypdfium2.PdfDocument(sheet(title=title, symptom="x" * 2000)):
        words = page.get_textpage()
        for k in range(words.count_chars()):
            left, bottom, right, top = words.get_charbox(k)
            assert left >= 35
            assert right <= page.get_width() - 26
            assert bottom >= 20
            assert top <= page.get_height() - 20


def test_signs_that_cannot_be_printed_are_left_out() -> None:
    """Control signs do not reach the page, other scripts do."""
    worked = work_out(read_job(JOB.format(title="A wall", symptom="Größe \\u0007Ω½ 2×4")))
    data = sheet_data(worked, state=State.FOUND, paper=Paper.LETTER) | {"drawings": []}
    assert "Größe Ω½ 2×4" in text_of(typeset("findings", data))
