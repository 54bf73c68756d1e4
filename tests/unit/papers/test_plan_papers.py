"""The papers of a plan: leaves, bar chart, day plans, calendars."""

from __future__ import annotations

import datetime
import re
from pathlib import Path

import icalendar
import pypdfium2
import pytest

from weatherlap.drawings.barchart import Bar, Fill, bar_chart
from weatherlap.job.reading import read_job
from weatherlap.papers.leafpdf import leaf_pdf
from weatherlap.papers.paper import Paper
from weatherlap.papers.plansheets import bind

DEMO = Path(__file__).parents[3] / "demo" / "porch-corner.toml"
DAY = datetime.date(2026, 4, 13)


@pytest.fixture(scope="module")
def bound():
    """The papers of the porch."""
    return bind(read_job(DEMO.read_bytes()), own={}, on_the_way=lambda _: None)


def events(data: bytes) -> list[icalendar.Event]:
    """The events of an iCalendar file, read by icalendar; its lines by RFC 5545."""
    text = data.decode("utf-8")
    assert "\r\n" in text
    assert not re.search(r"(?<!\r)\n", text)
    assert all(len(line.encode()) <= 75 for line in text.split("\r\n"))
    calendar = icalendar.Calendar.from_ical(data)
    assert calendar["VERSION"] == "2.0"
    events = calendar.walk("VEVENT")
    written = re.findall(r"\r\nDTSTART:(\d{8}T\d{6})\r\n", text)
    assert written == [f"{e['DTSTART'].dt:%Y%m%dT%H%M%S}" for e in events]
    return events


def test_each_of_the_crew_has_days_and_a_calendar(bound):
    """A schedule, a day plan each, a calendar of the whole and one each."""
    assert [leaf.name for leaf in bound.leaves] == ["plan", "day-plan-tobin", "day-plan-wren"]
    assert {"plan.ics", "day-plan-tobin.ics", "day-plan-wren.ics", "plan-bars.svg"} <= set(
        bound.files
    )


def test_the_calendar_is_that_of_the_plan(bound):
    """Every task has its event, from its begin on, once; ids differ; the last one ends with it."""
    rows = events(bound.files["plan.ics"])
    assert len({str(r["UID"]) for r in rows}) == len(rows)
    first = {str(r["UID"]).rsplit("-", 2)[0]: r["DTSTART"].dt for r in reversed(rows)}
    moment = datetime.datetime.fromisoformat
    assert first == {t["id"]: moment(t["begins"]) for t in bound.table["tasks"]}
    assert max(r["DTEND"].dt for r in rows) == max(moment(t["ends"]) for t in bound.table["tasks"])
    assert all(r["DTSTART"].dt < r["DTEND"].dt for r in rows)


def test_a_day_plan_holds_only_its_own(bound):
    """Wren is away on the seventeenth and has nothing there; what she does is in the plan."""
    wren = [t for t in bound.table["tasks"] if "wren" in t["hands"]]
    rows = events(bound.files["day-plan-wren.ics"])
    assert {str(r["SUMMARY"]) for r in rows} == {t["text"] for t in wren}
    assert datetime.date(2026, 4, 17) not in {r["DTSTART"].dt.date() for r in rows}


def test_the_chart_of_tasks_is_black_on_white(bound):
    """A bar for each task, grey only for shading."""
    svg = "".join(d.svg for d in bound.leaves[0].drawings())
    for task in bound.table["tasks"]:
        assert task["begins"].replace("T", " ") in svg
    colours = {c.lower() for c in re.findall(r"#[0-9a-fA-F]{6}", svg)}
    assert all(c[1:3] == c[3:5] == c[5:7] or c == "#e9e7e1" for c in colours)


@pytest.mark.parametrize("paper", list(Paper))
def test_papers_are_typeset(bound, paper):
    """Schedule and day plan on both sheets."""
    for leaf in bound.leaves[:2]:
        pages = pypdfium2.PdfDocument(leaf_pdf(leaf, paper=paper))
        text = "".join(page.get_textpage().get_text_range() for page in pages)
        assert "Apr" in text
        assert len(pages) <= 6


def test_bars_stand_where_their_days_are():
    """A bar of a whole day fills its column; a longer job has narrower columns."""
    begins = datetime.datetime(2026, 4, 13, 7, 30)
    bar = Bar("a & b", begins, datetime.datetime(2026, 4, 13, 16, 0), Fill.EMPTY, who="AP")
    for days in (1, 10, 60):
        last = DAY + datetime.timedelta(days - 1)
        svg = bar_chart(
            [bar], title="t", name="n", day_h=(7.5, 16.0), across=(DAY, last), resting=(last,)
        )
        box = re.search(r'<rect x="([\d.]+)" y="[\d.]+" width="([\d.]+)"[^>]*stroke="', svg)
        assert box is not None
        assert float(box[2]) == pytest.approx((612 * 0.58 - 1) / days, abs=0.1)
        assert "a &amp; b" in svg
