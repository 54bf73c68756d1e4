"""Papers of price and promises: what the client gets, what only the firm gets."""

from __future__ import annotations

import datetime
import json
import re
from dataclasses import replace

import icalendar
import pypdfium2
import pytest

from weatherlap.errors import InputError
from weatherlap.job.reading import read_job
from weatherlap.papers import closepapers, pricepapers, scopepapers
from weatherlap.papers.firmhead import checked_mark, firm_of
from weatherlap.papers.leaf import Grid, Items, Words
from weatherlap.papers.leafpdf import leaf_pdf
from weatherlap.papers.packet import bound_files, firm_files
from weatherlap.papers.paper import Paper
from weatherlap.papers.promised import scope_for
from weatherlap.papers.reminderfile import reminders_ics
from weatherlap.run.closing import Reminder

MARK = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><circle r="4"/></svg>'
FIRM = f"name = 'Harrow and Daughter'\naddress = 'Mill Lane 9'\nlicence = 'H-12'\nmark = '{MARK}'"


@pytest.fixture(scope="module")
def page(request):
    """The job on the page of prices."""
    text = (request.config.rootpath / "docs/price.md").read_text("utf-8")
    return re.search(r"^```toml\n# sill.toml\n(.*?)^```", text, re.M | re.S)[1]


@pytest.fixture(scope="module")
def job(page):
    """The job on the page of prices, read."""
    return read_job(page)


def silent(_):
    """Says nothing."""


def words_of(leaf):
    """All words on a leaf."""
    rows = [*leaf.lead]
    for part in leaf.parts:
        rows += [part.head, part.note]
        for block in part.blocks:
            if isinstance(block, Words):
                rows.append(block.text)
            elif isinstance(block, Items):
                rows += block.items
            elif isinstance(block, Grid):
                rows += [text for row in block.rows for text in row]
    return "\n".join(rows)


def test_the_client_never_gets_the_build_up(job):
    """Neither papers nor figures of the packet hold cost, overhead, profit or contingency."""
    scope = scope_for(job, {})
    files = bound_files(job, own={}, paper=Paper.LETTER, on_the_way=silent)
    assert {"scope-of-work.pdf", "contract-sheet.pdf", "scope.json"} <= files.keys()
    assert not [name for name in files if "price" in name or "build-up" in name]
    secret = re.compile(r"overhead|profit|contingency|markup|margin|P80|chance", re.I)
    made = scopepapers.bind(job, own={}, on_the_way=silent)
    table = dict(made.table) | {"missing": []}
    assert not secret.search(json.dumps(table))
    built = scope.pricing.built
    for leaf in made.leaves:
        assert not leaf.for_firm
        assert not secret.search(words_of(leaf)), leaf.name
        assert f"{built.likely_usd:,.2f}" not in words_of(leaf)


def test_the_firm_gets_it_apart(job):
    """The build-up stands among the firm's own files, and adds up to the price."""
    files = firm_files(job, own={}, paper=Paper.LETTER, on_the_way=silent)
    assert set(files) == {f"{pricepapers.NAME}.pdf", "price.json"}
    table = json.loads(files["price.json"])
    parts = ("likely", "contingency", "overhead", "profit", "tax", "allowances", "rounding")
    whole = sum(table[f"{part}_usd"] for part in parts)
    assert whole == pytest.approx(table["price_cents"] / 100)


def test_one_sum_shows_no_sections(job, page):
    """With one sum the contract sheet has no headings of the price; by section it has."""
    one = words_of(scopepapers.contract_leaf(scope_for(job, {}), None))
    assert "Putting back" not in one
    more = read_job(page.replace("one sum", "by section"))
    assert "Putting back" in words_of(scopepapers.contract_leaf(scope_for(more, {}), None))


def test_firm_and_words_are_the_firms_own(job):
    """Name, licence and own texts stand on the paper, and it typesets on Letter and A4."""
    own = {"firm": FIRM, "words": 'hidden = "What we find, we show {client}."'}
    leaf = scopepapers.bind(job, own=own, on_the_way=silent).leaves[0]
    assert "What we find, we show Bo Harrow." in words_of(leaf)
    for paper in Paper:
        document = pypdfium2.PdfDocument(leaf_pdf(leaf, paper=paper))
        text = document[0].get_textpage().get_text_range()
        assert "Harrow and Daughter" in text
        assert "H-12" in text


@pytest.mark.parametrize(
    "bad",
    [
        pytest.param("<script>alert(1)</script>", id="script"),
        pytest.param('<circle onload="x()"/>', id="handler"),
        pytest.param('<image href="http://example.org/a.png"/>', id="fetched"),
        pytest.param('<path style="fill:url(http://example.org)"/>', id="fetched-fill"),
        pytest.param("<!DOCTYPE svg>", id="doctype"),
    ],
)
def test_a_mark_that_runs_or_fetches_is_refused(bad):
    """A mark is a plain drawing: nothing in it runs or is fetched."""
    with pytest.raises(InputError, match="plain drawing"):
        checked_mark(MARK.replace("<circle", f"{bad}<circle"))


def test_a_firm_without_a_name_is_refused():
    """The firm's exact name is asked for; no table is no firm."""
    assert firm_of({}) is None
    with pytest.raises(InputError, match="exact legal name"):
        firm_of({"firm": "address = 'x'"})


def test_reminders_are_read_by_another_library():
    """Days, titles and long texts with commas and breaks come back as they were."""
    text = "Look, listen; press \\ with a thumb.\nThen " + "ä long word " * 20
    rows = [Reminder(datetime.date(2026, 3, 1), "Look", text)]
    raw = reminders_ics("Porch, Pellam; house", rows)
    assert max(len(line) for line in raw.split(b"\r\n")) <= 75
    events = icalendar.Calendar.from_ical(raw).walk("VEVENT")
    assert [e["DTSTART"].dt for e in events] == [datetime.date(2026, 3, 1)]
    assert str(events[0]["SUMMARY"]) == "Look: Porch, Pellam; house"
    assert str(events[0]["DESCRIPTION"]) == text
    assert events[0].walk("VALARM")


def test_the_close_out_book_has_its_days(job):
    """Warranty, looks and the reminder before its end stand in book and calendar."""
    made = closepapers.bind(job, own={}, on_the_way=silent)
    assert made.table["warranty_until"] == "2027-09-17"
    days = [r["day"] for r in made.table["reminders"]]
    assert days == ["2026-03-17", "2026-09-17", "2027-08-18"]
    events = icalendar.Calendar.from_ical(made.files["reminders.ics"]).walk("VEVENT")
    assert [e["DTSTART"].dt.isoformat() for e in events] == days


def test_a_leaf_for_the_firm_says_so(job):
    """The build-up is marked for the firm, whatever else it holds."""
    leaf = pricepapers.price_leaf(scope_for(job, {}), None)
    assert leaf.for_firm
    assert not replace(leaf, for_firm=False).for_firm
