"""The sheets of putting right: every step, its section, runs, nights and cautions are on them."""

from __future__ import annotations

from pathlib import Path

import pypdfium2
import pytest

from weatherlap.drawings.stepsection import step_section
from weatherlap.job.reading import read_job
from weatherlap.papers.orderfiles import order_files
from weatherlap.papers.paper import Paper
from weatherlap.run.ordering import order_job

DEMO = Path(__file__).parents[3] / "demo"


def job(name: str):  # type: ignore[no-untyped-def]
    """A demo job."""
    return read_job((DEMO / f"{name}.toml").read_text("utf-8"))


def words(pdf: bytes) -> str:
    """All the words of a PDF in one line."""
    document = pypdfium2.PdfDocument(pdf)
    return " ".join(" ".join(p.get_textpage().get_text_range() for p in document).split())


@pytest.mark.parametrize("paper", list(Paper))
def test_the_sheets_of_the_porch_say_it_all(paper: Paper) -> None:
    """Each piece of take-down and put-back, the traps, the short panel and the covers are there."""
    porch = job("porch-corner")
    files = order_files(porch, paper=paper)
    text = words(files["putting-right.pdf"])
    ordered = order_job(porch)
    for row in ordered.down.removals:
        assert ordered.found.pieces[row.piece].title.lower() in text.lower()
    assert "Easily done in the wrong order" in text
    assert "Piece 8 can fall out in wind" in text
    assert "Evening of day 1" in text and "Hang a cover on the side wall" in text
    assert "Local code and licensed practice decide" in text
    assert order_files(porch, paper=paper) == files


def test_a_job_without_changes_has_no_such_sheets() -> None:
    """Nothing is printed where nothing is to be put right."""
    porch = job("porch-corner").model_copy(update={"change": ()})
    assert order_files(porch, paper=Paper.LETTER) == {}


def test_the_small_section_shows_the_piece_black_and_only_what_stands_there() -> None:
    """One piece is black; pieces laid later are not drawn; each step has its drawing."""
    ordered = order_job(job("window-sill"))
    corner = ordered.repaired
    numbers = {s.piece: s.number for s in ordered.back.layings}
    for step in ordered.back.layings:
        there = {p.index for p in corner.pieces if numbers.get(p.index, 0) <= step.number}
        svg = step_section(corner, step.piece, there=there, numbers=numbers)
        assert svg.count('fill="#111111"') >= 1
        later = {n for n in numbers.values() if n > step.number}
        assert not [n for n in later if f">{n}</text>" in svg]
        assert f">{step.number}</text>" in svg
