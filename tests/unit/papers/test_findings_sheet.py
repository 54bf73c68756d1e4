"""The findings sheet says all that was found, and nothing that local code decides."""

from __future__ import annotations

import re

import pypdfium2
import pytest

from weatherlap.building.details.shelf import detail
from weatherlap.papers.cautions import GOVERNS, OPENING_UP
from weatherlap.papers.findings import findings_sheet, stamp_of
from weatherlap.papers.paper import Paper
from weatherlap.papers.pictures import Picture, pictures
from weatherlap.run.opennext import open_next
from weatherlap.run.states import State
from weatherlap.run.told import tell
from weatherlap.run.verdict import verdict
from weatherlap.run.worked import Worked, work_out
from weatherlap.sources import source

PROMISES = re.compile(r"\b(approved|compliant|guaranteed|certified|(is|are) safe)\b", re.I)


@pytest.fixture(scope="module")
def found() -> Worked:
    """A roof that ends against a wall, without its diverter."""
    return work_out(detail("roof-side-wall").job(variant="no-diverter"))


@pytest.fixture(scope="module")
def drawn(found: Worked) -> tuple[Picture, ...]:
    """Its drawings."""
    return pictures(found, state=State.FOUND)


@pytest.fixture(scope="module")
def sheet(found: Worked, drawn: tuple[Picture, ...]) -> pypdfium2.PdfDocument:
    """Its findings sheet."""
    return pypdfium2.PdfDocument(findings_sheet(found, drawn))


def text_of(sheet: pypdfium2.PdfDocument) -> str:
    """All words of a sheet with single spaces, breaks for long words taken out."""
    words = " ".join(page.get_textpage().get_text_bounded() for page in sheet)
    return " ".join(words.replace("\u200b", "").split())


def test_every_finding_is_told(found: Worked, sheet: pypdfium2.PdfDocument) -> None:
    """Letter, title, cause, place, text and what to look at of each finding are on the sheet."""
    text = text_of(sheet)
    assert found.trace.findings
    for finding in found.trace.findings:
        told = tell(found, finding)
        cause = finding.cause.value
        assert f"{finding.letter} {told.title}." in text
        assert f"Cause {cause[:1].upper()}{cause[1:]}." in text
        for words in (told.place, finding.text, told.look, told.reaches):
            assert " ".join(words.split()) in text


def test_verdict_and_symptom_stand_on_the_first_sheet(
    found: Worked, sheet: pypdfium2.PdfDocument
) -> None:
    """Whoever reads one page only knows what was seen and what it comes to."""
    first = " ".join(sheet[0].get_textpage().get_text_bounded().split())
    assert " ".join(verdict(found.trace).split()) in first
    assert " ".join(found.job.job.symptom.split()) in first


def test_where_to_open_next_is_on_the_sheet(found: Worked, sheet: pypdfium2.PdfDocument) -> None:
    """Each look with what wet and what dry would mean."""
    text = text_of(sheet)
    looks = open_next(found).looks
    assert looks
    for look in looks:
        assert look.do in text
        assert look.wet_means in text
        assert look.dry_means in text


def test_cautions_and_who_decides_are_on_the_sheet(sheet: pypdfium2.PdfDocument) -> None:
    """Each caution with its source, and that local code and licensed practice decide."""
    text = text_of(sheet)
    assert GOVERNS in text
    for caution in OPENING_UP:
        assert f"{caution.head}. {caution.text} [{caution.source}]" in text


def test_every_cited_key_is_in_the_list_of_sources(sheet: pypdfium2.PdfDocument) -> None:
    """A key in brackets anywhere on the sheet stands with its title under Sources."""
    text = text_of(sheet)
    cited = set(re.findall(r"\[([A-Z]-\d{3})\]", text))
    listed = text[text.rindex("Sources") :]
    assert len(cited) > 8
    for key in cited:
        assert f"{key} {source(key).title}"[:40] in listed


def test_nothing_is_promised(sheet: pypdfium2.PdfDocument) -> None:
    """No word that work is fit or permitted."""
    assert not PROMISES.search(text_of(sheet))


def test_no_sheet_is_blank(sheet: pypdfium2.PdfDocument) -> None:
    """Each sheet, rendered, has ink inside its frame and above its title block."""
    for page in sheet:
        image = page.render(scale=1).to_pil().convert("L")
        wide, high = image.size
        inside = image.crop((45, 40, wide - 35, high - 90))
        dark = sum(inside.histogram()[:128])
        assert dark > 400


def test_every_sheet_has_its_number(sheet: pypdfium2.PdfDocument) -> None:
    """The title block numbers the sheets."""
    for number, page in enumerate(sheet, 1):
        assert f"{number} / {len(sheet)}" in page.get_textpage().get_text_bounded()


def test_drawings_are_on_the_sheet(
    found: Worked, drawn: tuple[Picture, ...], sheet: pypdfium2.PdfDocument
) -> None:
    """The faces with findings, each section and the exploded view stand on it by their headings."""
    text = text_of(sheet)
    for face in {f.face for f in found.trace.findings}:
        assert f"Elevation: {found.corner.faces[face].title}" in text
    for cut in found.job.cut:
        assert f"Section {cut.id}" in text
    assert "Exploded view" in text
    assert len({p.name for p in drawn}) == len(drawn)


def test_the_bytes_do_not_change(found: Worked, drawn: tuple[Picture, ...]) -> None:
    """The same job drawn and set twice gives the same bytes."""
    again = pictures(found, state=State.FOUND)
    assert [p.svg for p in again] == [p.svg for p in drawn]
    assert findings_sheet(found, again) == findings_sheet(found, drawn)


def test_a_corner_that_drains_has_a_sheet_too() -> None:
    """Without findings the sheet says so, shows the drawings and fits A4."""
    worked = work_out(detail("roof-side-wall").job())
    pdf = findings_sheet(worked, pictures(worked, state=State.FOUND), paper=Paper.A4)
    sheet = pypdfium2.PdfDocument(pdf)
    assert "runs off clear or into a gutter, on both layers" in text_of(sheet)
    assert sheet[0].get_size() == pytest.approx((595.276, 841.89), abs=0.01)


def test_without_a_cut_line_sections_go_through_the_worst_findings(found: Worked) -> None:
    """A job that names no cut gets a section through its worst finding."""
    bare = work_out(found.job.model_copy(update={"cut": ()}))
    names = [p.name for p in pictures(bare, state=State.FOUND)]
    assert "section-a" in names


def test_the_stamp_is_the_day_of_the_visit() -> None:
    """Noon of the job's day, a fixed day where it names none."""
    assert stamp_of("2026-11-25").isoformat() == "2026-11-25T12:00:00+00:00"
    assert stamp_of("").year == 2000
