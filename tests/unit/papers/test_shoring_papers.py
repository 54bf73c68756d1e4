"""The shoring sheet, its appendix and its drawings."""

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from weatherlap.job.reading import read_job
from weatherlap.papers.leaf import Grid, Words
from weatherlap.papers.shoringpapers import bind

DEMO = (Path(__file__).parents[3] / "demo" / "porch-corner.toml").read_text("utf-8")


def bound_of(text=DEMO):
    """The papers of a job."""
    return bind(read_job(text), own={}, on_the_way=lambda _: None)


@pytest.fixture(scope="module")
def papers():
    """The papers of the porch."""
    return bound_of()


def words_of(leaf):
    """Every word that a leaf says."""
    found = [*leaf.lead, *(c.text for c in leaf.cautions)]
    for part in leaf.parts:
        for block in part.blocks:
            if isinstance(block, Grid):
                found += [cell for row in block.rows for cell in row]
            elif isinstance(block, Words):
                found.append(block.text)
            else:
                found += list(getattr(block, "items", ()))
    return " ".join(found)


def test_a_sheet_and_an_appendix(papers):
    """Two leaves; a drawing for each stage, for joints, and for each lying member checked."""
    sheet, sums = papers.leaves
    names = [d.name for d in sheet.drawings()]
    assert names[:7] == [f"shoring-stage-{k}" for k in range(1, 8)]
    assert "shoring-joints" in names
    assert any(d.name == "lines-beam-new" for d in sums.drawings())
    for name, data in papers.files.items():
        assert name.endswith(".svg") and ElementTree.fromstring(data)


def test_nothing_is_called_approved_or_safe(papers):
    """No paper says approved or safe; both say who decides."""
    text = " ".join(words_of(leaf) for leaf in papers.leaves)
    assert not re.search(r"\bapproved\b|\bsafe\b", text, re.IGNORECASE)
    assert "licensed practice" in words_of(papers.leaves[0])


def test_the_loads_of_a_stage_are_written_on_its_drawing(papers):
    """The most load of each temporary foot stands on the drawing of the jacked stage."""
    svg = papers.files["shoring-stage-3.svg"].decode("utf-8")
    stage = papers.table["stages"][2]
    figures = [int(text.replace(",", "")) for text in re.findall(r">([0-9,]+)<", svg)]
    for one in stage["loads"]:
        if one["id"].startswith("shore-foot"):
            assert any(abs(written - one["most_lb"]) <= 1 for written in figures)


def test_every_line_of_the_appendix_has_formula_values_result_and_source(papers):
    """No cell of a check is empty but where the method ends."""
    for part in papers.leaves[1].parts:
        if part.head.startswith("Checks"):
            for row in part.blocks[0].rows:
                assert all(row), row


def test_what_is_wrong_is_drawn_with_its_member():
    """A joint of members that do not meet gives a leaf with the member in heavy line."""
    text = DEMO.replace(
        'lower = "beam"\nbearing = ["3 3/4', 'lower = "post-far"\nbearing = ["3 3/4'
    )
    made = bound_of(text)
    assert made.table["ok"] is False
    svg = made.files["shoring-trouble.svg"].decode("utf-8")
    assert re.search(r'data-member="rafter-1"[^>]*stroke-width="2.4"', svg)


def test_a_member_that_nothing_holds_leads_the_sheet():
    """No load path to the ground is the first thing that the sheet says."""
    lone = DEMO + (
        '\n[[member]]\nid = "lone"\nuse = "beam"\nline = [[0, 60, 120], [90, 60, 120]]\n'
        'size = "2x8"\nspecies = "SPF"\ngrade = "No.2"\n'
    )
    made = bound_of(lone)
    assert made.leaves[0].lead[0].startswith("Nothing holds up lone")


def test_members_and_units_are_written_on_the_drawings(papers):
    """Names along beam, posts and temporary posts, not on each rafter; both views say pounds."""
    svg = papers.files["shoring-stage-3.svg"].decode()
    said = re.findall(r"<text[^>]*>([^<]*)</text>", svg)
    assert {"beam", "post-far", "shore-header", "shore-post-1", "shore-post-2"} <= set(said)
    assert not any(word.startswith("rafter") for word in said)
    assert "Elevation, pounds at each foot" in said and "Plan, pounds at each support" in said


def test_braces_are_drawn_where_the_shore_stands(papers):
    """Leaning broken lines between the temporary posts, at no stage without them."""
    braces = 'stroke-width="1.2" stroke-dasharray="7 2.4"'
    drawn = [papers.files[f"shoring-stage-{k}.svg"].decode().count(braces) for k in (1, 3, 7)]
    assert drawn == [0, 2, 0]
