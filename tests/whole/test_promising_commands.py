"""The commands of price and promises as people run them, on real files."""

from __future__ import annotations

import json
import re
import sys

import pytest
from PIL import ExifTags, Image

from weatherlap.cli.app import main


@pytest.fixture
def job_file(tmp_path, request):
    """The job on the page of prices, as a file."""
    text = (request.config.rootpath / "docs/price.md").read_text("utf-8")
    found = re.search(r"^```toml\n# sill.toml\n(.*?)^```", text, re.M | re.S)
    place = tmp_path / "sill.toml"
    place.write_text(found[1], "utf-8")
    return place


@pytest.fixture
def run(monkeypatch, capsys):
    """Runs a command and gives its exit code and what it printed."""

    def once(*words):
        monkeypatch.setattr(sys, "argv", ["weatherlap", *map(str, words)])
        with pytest.raises(SystemExit) as done:
            main()
        said = capsys.readouterr()
        return done.value.code, said.out, said.err

    return once


def test_sign_then_change_then_forge(job_file, run):
    """The contract is kept with a copy; a change is a change order; a forged price is refused."""
    code, out, _ = run("sign", job_file, "--by", "Bo Harrow", "--on", "2025-09-03", "--json")
    assert code == 0
    copy = json.loads(out)["copy"]
    assert (job_file.parent / copy).read_text("utf-8") == job_file.read_text("utf-8")
    code, _, said = run("sign", job_file, "--by", "Bo Harrow", "--on", "2025-09-03")
    assert code == 2
    assert "nothing differs" in said
    more = '\n[[task]]\nid = "sill"\ntext = "Mend the sill"\nhours = 6\n'
    job_file.write_text(job_file.read_text("utf-8") + more, "utf-8")
    code, out, _ = run("change-order", job_file, "--json")
    assert [x["key"] for x in json.loads(out)["not_signed"]["added"]] == ["task:sill"]
    code, _, said = run("sign", job_file, "--by", "Bo Harrow", "--answer", "declined")
    assert code == 2
    assert "nothing of what follows" in said
    text = job_file.read_text("utf-8")
    job_file.write_text(re.sub(r'price = "\d+\.', 'price = "1.', text, count=1), "utf-8")
    code, _, said = run("change-order", job_file)
    assert code == 2
    assert "it was changed after it was signed on 2025-09-03" in said


def test_packet_keeps_the_build_up_out(job_file, run, tmp_path):
    """The client's folder holds no build-up; the firm's folder beside it does."""
    code, out, _ = run("packet", job_file, "-o", tmp_path / "out")
    assert code == 0
    client = {p.name for p in (tmp_path / "out").iterdir()}
    firm = {p.name for p in (tmp_path / "out-for-the-firm-only").iterdir()}
    assert {"scope-of-work.pdf", "contract-sheet.pdf", "close-out.pdf", "reminders.ics"} <= client
    assert firm == {"price-build-up-firm-only.pdf", "price.json"}
    assert not [name for name in client if "price" in name]
    assert "For the firm's eyes only" in out


def test_scope_says_first_what_is_missing(job_file, run, tmp_path):
    """What has no line goes to the standard error; with --out the papers are written."""
    code, _, said = run("scope", job_file, "-o", tmp_path / "client")
    assert code == 0
    assert "before the work ends" in said
    names = {p.name for p in (tmp_path / "client").iterdir()}
    assert names == {"scope-of-work.pdf", "contract-sheet.pdf", "allowances.pdf"}


def test_own_cost_book_moves_the_price(job_file, run, tmp_path):
    """The book that is written can be edited and handed back."""
    book = tmp_path / "firm" / "costs.toml"
    code, out, _ = run("price", job_file, "--write-book", book, "--json")
    before = json.loads(out)["price_cents"]
    book.write_text(book.read_text("utf-8").replace(
        "other = 30.0", "other = 60.0"), "utf-8")  # fmt: skip
    code, out, _ = run("price", job_file, "--own", book.parent, "--json")
    assert code == 0
    assert json.loads(out)["price_cents"] > before
    code, _, said = run("price", job_file, "--write-book", book)
    assert code == 2
    assert "there is such a file" in said


def test_photos_keep_time_direction_and_hash(job_file, run, tmp_path):
    """What the camera wrote is written into the job; the same picture is not kept twice."""
    exif = Image.Exif()
    exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.DateTimeOriginal] = "2025:09:16 08:30:00"
    exif.get_ifd(ExifTags.IFD.GPSInfo)[ExifTags.GPS.GPSImgDirection] = 182.5
    picture = tmp_path / "soft.jpg"
    Image.new("RGB", (8, 8)).save(picture, exif=exif)
    code, out, _ = run("photo", job_file, picture, "--face", "wall", "--step", "dry", "--json")
    assert code == 0
    (row,) = json.loads(out)["photos"]
    assert (row["taken"], row["toward"], row["step"]) == ("2025-09-16 08:30:00", 182.5, "dry")
    code, _, said = run("photo", job_file, picture)
    assert (code, "in the job already" in said) == (2, True)
    code, _, said = run("photo", job_file, job_file)
    assert (code, "it is no picture" in said) == (2, True)
    code, out, _ = run("close", job_file, "--json")
    assert [p["file"] for p in json.loads(out)["photos"]] == ["soft.jpg"]


def test_a_photo_of_no_face_leaves_the_job_alone(job_file, run, tmp_path):
    """A face that there is not is refused, and nothing is written."""
    picture = tmp_path / "a.png"
    Image.new("RGB", (8, 8)).save(picture)
    before = job_file.read_bytes()
    code, _, said = run("photo", job_file, picture, "--face", "roof")
    assert code == 2
    assert "there is no face 'roof'" in said
    assert job_file.read_bytes() == before
