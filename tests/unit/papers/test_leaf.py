"""Leaves and the binder: what a paper says, typeset, printed plain, or told why not."""

from __future__ import annotations

import sys
from types import ModuleType

import pypdfium2
import pytest

from weatherlap.cli.leaflines import print_leaf
from weatherlap.errors import InputError
from weatherlap.job.model import About, FaceRecord, Job
from weatherlap.papers.binder import Binder, bound
from weatherlap.papers.cautions import OPENING_UP
from weatherlap.papers.leaf import (
    Block,
    Box,
    Column,
    Drawn,
    Firm,
    Grid,
    Items,
    Leaf,
    Part,
    Words,
)
from weatherlap.papers.leafpdf import leaf_pdf
from weatherlap.papers.paper import Paper

SVG = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20"><path d="M0 0L40 20"/></svg>'
ABOUT = About(title="Sill at the north wall", place="Lantern Row 3", date="2025-10-14")
BLOCKS: tuple[Block, ...] = (
    Words("A #strong[plain] paragraph."),
    Items(("first thing", "second thing"), numbered=True),
    Grid((Column("Support"), Column("Load", numeric=True)), (("P1", "1,850 lb"),), note="Rounded."),
    Drawn("sketch", "A sketch of it", SVG),
    Box("Stop when", ("it cracks",)),
)


def a_leaf(*blocks: Block, firm: Firm | None = None) -> Leaf:
    """A leaf with one part."""
    part = Part("What it carries", blocks, note="From the survey.")
    lead = ("Two posts carry the beam.",)
    return Leaf(
        "test", "Test sheet", ABOUT.title, ABOUT, lead, (part,), OPENING_UP[:1], ("C-007",), firm
    )


def words_of(pdf: bytes) -> str:
    """All text of a PDF."""
    document = pypdfium2.PdfDocument(pdf)
    return "\n".join(page.get_textpage().get_text_range() for page in document)


@pytest.mark.parametrize("paper", list(Paper))
def test_everything_on_a_leaf_is_printed(paper: Paper) -> None:
    """Lead, heads, blocks, cautions, sources and the firm stand in the PDF; signs stay signs."""
    firm = Firm("Alder Lane Exteriors", ("Quillhaven",), SVG)
    said = words_of(leaf_pdf(a_leaf(*BLOCKS, firm=firm), paper=paper))
    for text in (
        "Two posts carry the beam.", "What it carries", "From the survey.", "#strong[plain]",
        "second thing", "1,850 lb", "Rounded.", "A sketch of it", "Stop when", "it cracks",
        "Alder Lane Exteriors", OPENING_UP[0].head, "C-007", "Test sheet", "Lantern Row 3",
    ):  # fmt: skip
        assert text in said


def test_the_same_leaf_gives_the_same_bytes() -> None:
    """Nothing of the day or the machine is in the PDF."""
    assert leaf_pdf(a_leaf(*BLOCKS)) == leaf_pdf(a_leaf(*BLOCKS))


def test_a_leaf_is_printed_plain(capsys: pytest.CaptureFixture[str]) -> None:
    """The terminal gets the words and tables without drawings, and no line ends in blanks."""
    print_leaf(a_leaf(*BLOCKS))
    said = capsys.readouterr().out
    for text in ("Two posts carry the beam.", "1. first thing", "1,850 lb", "! Stop when"):
        assert text in said
    assert "sketch" not in said
    assert all(line == line.rstrip() for line in said.splitlines())


def test_a_row_must_fit_its_columns() -> None:
    """A row with a text too many is refused when it is made."""
    with pytest.raises(ValueError, match="a row of 2 texts under 1 columns"):
        Grid((Column("One"),), (("a", "b"),))


def test_a_part_that_cannot_be_worked_out_says_why(monkeypatch: pytest.MonkeyPatch) -> None:
    """The reason stands on a leaf and in the figures; nothing is thrown."""
    module = ModuleType("weatherlap.papers.made_for_test")

    def bind(job: Job, **_: object) -> None:
        raise InputError("member B1", "its grade is not known", "a grade", f"See {job.job.title}.")

    module.bind = bind  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, module.__name__, module)
    face = FaceRecord(id="wall", tilt=90, origin=(0, 0, 0), width=96, height=96)
    binder = Binder("test", "Test", lambda _: True, module.__name__)
    made = bound(binder, Job(job=ABOUT, face=(face,)), own={})
    assert made.table["ok"] is False
    assert "member B1: its grade is not known" in words_of(leaf_pdf(made.leaves[0]))
