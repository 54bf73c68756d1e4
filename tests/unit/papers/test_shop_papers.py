"""The papers of the shop: buy list as print, XLSX and CSV, cut lists with pictures."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from pathlib import Path
from xml.etree import ElementTree

import openpyxl
import pytest

from weatherlap.job.reading import read_job
from weatherlap.papers.leafpdf import leaf_pdf
from weatherlap.papers.shoppapers import bind

DEMO = Path(__file__).parents[3] / "demo/porch-corner.toml"


@pytest.fixture(scope="module")
def made():
    """The shop of the porch."""
    return bind(read_job(DEMO.read_text("utf-8")), own={}, on_the_way=lambda _: None)


def test_every_line_of_the_list_is_in_print_csv_and_workbook(made):
    """The three forms of the buy list hold the same lines."""
    rows = list(csv.DictReader(io.StringIO(made.files["buy-list.csv"].decode("utf-8-sig"))))
    names = [row["What"] for row in rows]
    rows_of_table = sorted(made.table["buy"], key=lambda row: row["stand_by"])
    assert names == [row["name"] for row in rows_of_table]
    assert [row["Buy"] for row in rows][-2:] == ["stand by", "stand by"]
    assert all(row["For"] for row in rows)
    (leaf,) = [leaf for leaf in made.leaves if leaf.name == "buy-list"]
    printed = [r[1] for p in leaf.parts for b in p.blocks for r in getattr(b, "rows", ())]
    assert sorted(printed) == sorted(names)
    with zipfile.ZipFile(io.BytesIO(made.files["buy-list.xlsx"])) as book:
        strings = book.read("xl/sharedStrings.xml").decode("utf-8")
        sheet = book.read("xl/worksheets/sheet1.xml").decode("utf-8")
    texts = {node.text for node in ElementTree.fromstring(strings).iter() if node.text}
    assert set(names) <= texts
    assert "SUMIF" in sheet


def test_the_workbook_opens_elsewhere_with_the_right_numbers(made):
    """Read by another library: each price is count times price each, and the sum is that of now."""
    book = openpyxl.load_workbook(io.BytesIO(made.files["buy-list.xlsx"]), data_only=True)
    heads, *rows, last = book.active.iter_rows(values_only=True)
    at = {head: k for k, head in enumerate(heads)}
    for row in rows:
        wanted = row[at["Count"]] * row[at["Price each, US$"]]
        assert row[at["Price, US$"]] == pytest.approx(wanted, abs=0.005)
    now = sum(row[at["Price, US$"]] for row in rows if row[at["Buy"]] == "now")
    assert last[at["Price, US$"]] == pytest.approx(now)
    assert now == pytest.approx(made.table["cost_usd"])


def test_the_workbook_is_the_same_each_time(made):
    """The same job gives the same bytes, whenever it is written."""
    again = bind(read_job(DEMO.read_text("utf-8")), own={}, on_the_way=lambda _: None)
    assert again.files["buy-list.xlsx"] == made.files["buy-list.xlsx"]


def test_an_id_is_no_formula():
    """A title that begins like a formula stays a text in CSV."""
    text = DEMO.read_text("utf-8").replace('"new porch beam"', '"=1+1"')
    found = bind(read_job(text), own={}, on_the_way=lambda _: None)
    assert ",=1+1" not in found.files["buy-list.csv"].decode("utf-8-sig")


def test_the_answer_is_json_and_adds_up(made):
    """The table can be written as JSON; the price is the sum of what is bought now."""
    table = json.loads(json.dumps(made.table))
    now = [row["usd"] for row in table["buy"] if not row["stand_by"]]
    assert table["cost_usd"] == pytest.approx(sum(now))
    assert table["prices_invented"] is True


def test_pictures_are_drawings_and_papers_are_typeset(made):
    """Each cut list but a roll's has a picture, and every leaf becomes a PDF."""
    for name, data in made.files.items():
        if name.startswith("cut-"):
            assert ElementTree.fromstring(data).tag.endswith("svg")
    assert any(name.startswith("cut-") for name in made.files)
    for leaf in made.leaves[:2]:
        assert leaf_pdf(leaf).startswith(b"%PDF")


def test_the_porch_says_what_its_crew_must_know(made):
    """Aluminum on the treated beam, the short lap beside the post, the sheet that stands by."""
    apart = made.table["touching"]["apart"]
    assert {row["inner"] for row in apart} >= {"new porch beam", "new post at the wall"}
    assert any(row["stand_by"] and row["good"] == "osb-4x8" for row in made.table["buy"])
    beams = [row for row in made.table["buy"] if row["good"] == "treated-2x10"]
    assert [(row["count"], row["length_in"]) for row in beams] == [(2, 120)]
