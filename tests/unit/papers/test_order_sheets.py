"""The sheets of putting right: every step, its section, runs, nights and cautions are on them."""

from __future__ import annotations

import json
import re
from importlib.resources import files
from pathlib import Path

import pypdfium2
import pytest

from weatherlap.drawings.stepsection import step_section
from weatherlap.job.reading import read_job
from weatherlap.papers.orderfiles import order_files
from weatherlap.papers.ordersheets import sheet_words, step_drawings
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
    made = order_files(porch, paper=paper)
    text = words(made["putting-right.pdf"])
    ordered = order_job(porch)
    for row in ordered.down.removals:
        assert ordered.found.pieces[row.piece].title.lower() in text.lower()
    assert "Easily done in the wrong order" in text
    assert "Piece 8 can fall out in wind" in text
    assert "Evening of day 1" in text and "Hang a cover on the side wall" in text
    assert "Local code and licensed practice decide" in text
    assert order_files(porch, paper=paper) == made
    assert "Then let the upper barrier sheet down for good" in text
    assert "Goes back as step" in words(made["labels.pdf"])
    assert "This bar must measure 6 in" in words(made["story-pole.pdf"])


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
        assert len(re.findall(r'<path [^>]*fill="#111111"', svg)) == 1
        later = {n for n in numbers.values() if n > step.number}
        assert not [n for n in later if f">{n} " in svg]
        assert f'font-weight="bold">{step.number} ' in svg


def test_pieces_of_a_run_that_are_laid_alike_are_one_step() -> None:
    """Eight soffit panels, one after the other onto the same, have one row and one drawing."""
    ordered = order_job(job("porch-corner"))
    drawn = dict(step_drawings(ordered))
    rows = sheet_words(ordered, None, (), set(drawn), "", ())["back"]
    (panels,) = [r for r in rows if r["title"] == "Soffit panel 1 to 8"]
    first, last = map(int, panels["number"].split("-"))
    assert last - first == 7 and panels["file"] == f"step-{first}.svg" in drawn
    steps = [n for r in rows for n in _numbers(r["number"])]
    assert steps == [s.number for s in ordered.back.layings]


def _numbers(text: str) -> range:
    first, _, last = text.partition("-")
    return range(int(first), int(last or first) + 1)


def test_the_small_section_lies_as_its_face_does() -> None:
    """An underside is drawn level: its black piece is wider than high; a wall's is not."""
    ordered = order_job(job("porch-corner"))
    corner = ordered.repaired
    numbers = {s.piece: s.number for s in ordered.back.layings}
    there = {p.index for p in corner.pieces}
    for piece, level in (("soffit-1", True), ("siding-1", False)):
        svg = step_section(corner, corner.piece_named[piece].index, there=there, numbers=numbers)
        path = svg.split('fill="#111111" stroke')[0].rsplit('d="', 1)[1].split('"')[0]
        spots = [tuple(map(float, xy.split())) for xy in path.strip("MZ").split("L")]
        wide, high = (max(v) - min(v) for v in zip(*spots, strict=True))
        assert (wide > high) is level


def test_a_run_that_does_not_fit_does_not_spoil_the_sheets() -> None:
    """Where the marks of a run cannot hold its pieces, the sheet says so and holds all the rest."""
    porch = job("porch-corner")
    run = porch.run[0].model_copy(update={"end": porch.run[0].end * 3, "marks": ()})
    bad = porch.model_copy(update={"run": (run, *porch.run[1:])})
    made = order_files(bad, paper=Paper.LETTER)
    figures = json.loads(made["putting-right.json"])
    assert figures["take_down"] and figures["nights"]
    (why,) = figures["not_worked_out"]
    assert run.id in why and "each of" in why
    text = words(made["putting-right.pdf"])
    assert "Not worked out" in text and "Put-back" in text


def test_the_nights_say_whose_hours_they_go_by() -> None:
    """With the firm's own table the sheet says so; without it that the hours are invented."""
    porch = job("porch-corner")
    own = files("weatherlap.order").joinpath("data/hours.toml").read_text("utf-8")
    mine = order_files(porch, own={"rates": own}, paper=Paper.LETTER)
    assert "hours from your own table" in words(mine["putting-right.pdf"])
    shipped = order_files(porch, paper=Paper.LETTER)
    assert "invented table" in words(shipped["putting-right.pdf"])


def test_an_order_that_cannot_be_found_is_a_sheet_that_says_why() -> None:
    """Changes that cannot be made give a sheet with the reason, not an error."""
    porch = job("porch-corner")
    change = porch.change[0].model_copy(update={"piece": "no-such-piece"})
    bad = porch.model_copy(update={"change": (change,)})
    made = order_files(bad, paper=Paper.LETTER)
    assert set(made) == {"putting-right.pdf", "putting-right.json"}
    assert "there is no piece" in words(made["putting-right.pdf"])
