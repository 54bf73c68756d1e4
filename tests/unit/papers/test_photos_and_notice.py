"""Photos in the close-out book and the notice of cancellation."""

from __future__ import annotations

import datetime
import hashlib
import io
import re
from dataclasses import replace

import pypdfium2
import pytest
from PIL import Image

from weatherlap.cli.pictures import with_pictures
from weatherlap.job.reading import read_job
from weatherlap.papers import closepapers, scopepapers
from weatherlap.papers.firmhead import firm_of
from weatherlap.papers.leaf import Drawn, Words
from weatherlap.papers.leafpdf import leaf_pdf
from weatherlap.papers.notice import notices
from weatherlap.papers.ownpictures import picture_name, picture_of, picture_text
from weatherlap.papers.promised import scope_for


@pytest.fixture(scope="module")
def page(request):
    """The job on the page of prices."""
    text = (request.config.rootpath / "docs/price.md").read_text("utf-8")
    return re.search(r"^```toml\n# sill.toml\n(.*?)^```", text, re.M | re.S)[1]


def jpeg(shade):
    """A small picture of one shade."""
    out = io.BytesIO()
    Image.new("RGB", (64, 40), (shade, 80, 80)).save(out, "JPEG")
    return out.getvalue()


def with_photos(page, shots):
    """The job with photos of the given names."""
    rows = [
        f'[[photo]]\nfile = "{name}"\nsha256 = "{hashlib.sha256(data).hexdigest()}"\n'
        f'step = "{step}"\ntext = "shot {name}"\n'
        for name, data, step in shots
    ]
    return read_job(page + "\n" + "\n".join(rows))


def silent(_):
    """Says nothing."""


def drawn_photos(leaf):
    """The rows of photos on a leaf."""
    return [b for p in leaf.parts if p.head == "Photos" for b in p.blocks if isinstance(b, Drawn)]


def test_photos_beside_the_job_stand_in_the_book(page, tmp_path):
    """Pictures whose hash still fits are set, three in a row, step by step."""
    shots = [(f"{k}.jpg", jpeg(10 * k), "protect" if k < 4 else "") for k in range(5)]
    job = with_photos(page, shots)
    for name, data, _ in shots:
        (tmp_path / name).write_bytes(data)
    own = with_pictures({}, job, tmp_path / "job.toml")
    leaf = closepapers.bind(job, own=own, on_the_way=silent).leaves[0]
    rows = drawn_photos(leaf)
    assert [row.svg.count("<image") for row in rows] == [3, 1, 1]
    assert rows[0].title.startswith("Step ") and "Lay sheets" in rows[0].title
    pdf = pypdfium2.PdfDocument(leaf_pdf(leaf))
    images = [o for p in pdf for o in p.get_objects() if o.type == 3]
    assert len(images) >= 5


def test_a_photo_in_its_folder_counts_a_changed_one_does_not(page, tmp_path):
    """A folder `photos` is looked into; a picture that was changed is listed, not shown."""
    shots = [("a.jpg", jpeg(1), ""), ("b.jpg", jpeg(2), "")]
    job = with_photos(page, shots)
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos/a.jpg").write_bytes(jpeg(1))
    (tmp_path / "b.jpg").write_bytes(jpeg(99))
    own = with_pictures({}, job, tmp_path / "job.toml")
    assert list(own) == [picture_name(job.photo[0].sha256)]
    leaf = closepapers.bind(job, own=own, on_the_way=silent).leaves[0]
    listed = next(p for p in leaf.parts if p.head == "List of photos")
    assert len(listed.blocks[0].rows) == 2
    assert "1 picture is not at hand" in listed.note


def test_only_jpegs_are_carried():
    """What is no JPEG, or no picture at all, is taken for not at hand."""
    assert picture_of({picture_name("x"): picture_text(jpeg(3))}, "x") == jpeg(3)
    assert picture_of({picture_name("x"): picture_text(b"<svg/>")}, "x") is None
    assert picture_of({picture_name("x"): "no base64!"}, "x") is None
    assert picture_of({}, "x") is None


def test_the_notice_stands_twice_bold_and_filled_in(page):
    """Two copies on pages of their own, in bold of ten points at least, with names and days."""
    scope = scope_for(read_job(page), {})
    own = {"firm": "name = 'Harrow and Daughter'\naddress = 'Mill Lane 9'\nphone = '555'"}
    parts = notices(scope, firm_of(own))
    assert len(parts) == 2 and all(p.new_page for p in parts)
    assert all(isinstance(b, Words) and b.strong for p in parts for b in p.blocks)
    text = " ".join(b.text for b in parts[0].blocks)
    assert "Harrow and Daughter, at Mill Lane 9, NOT LATER" in text and "555" not in text
    assert "THREE BUSINESS DAYS" in text
    signed = replace(scope, signed=datetime.date(2025, 9, 2), cancel_by=None)
    assert "Tuesday, September 2, 2025" in notices(signed, None)[0].blocks[0].text


def test_bold_words_are_ten_points_at_least(page):
    """The letters of the notice and of the statement by the signature are over ten points."""
    made = scopepapers.bind(read_job(page), own={}, on_the_way=silent)
    contract = next(x for x in made.leaves if x.name == "contract-sheet")
    pdf = pypdfium2.PdfDocument(leaf_pdf(contract))
    raw = pypdfium2.raw
    seen = set()
    for number in range(len(pdf)):
        text = pdf[number].get_textpage()
        whole = text.get_text_range()
        for words in ("without any Penalty", "You, the buyer, may cancel"):
            at = whole.find(words)
            if at >= 0:
                seen.add(words)
                assert raw.FPDFText_GetFontSize(text, at) >= 10.0
                assert raw.FPDFText_GetFontWeight(text, at) >= 600
    assert len(seen) == 2
