"""Parts of a job with papers of their own, as pages, files and figures."""

import io
import json
import threading
import zipfile

import pytest

from weatherlap.errors import InputError
from weatherlap.papers import binder as binders
from weatherlap.papers.binder import Binder, Bound
from weatherlap.papers.cautions import OPENING_UP
from weatherlap.papers.leaf import Box, Column, Drawn, Grid, Items, Leaf, Part, Words
from weatherlap.web import making, parts
from weatherlap.web.clerk import Clerk, Own, print_of
from weatherlap.web.leafview import leaf_view

SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 400 100" role="img" '
    'aria-labelledby="t"><title id="t">Bar</title><defs><pattern id="p"/></defs>'
    '<rect fill="url(#p)" width="9" height="9"/></svg>'
)


@pytest.fixture
def hand():
    """Parts made up in a test exist in this process only."""
    return Own()


def bind(job, *, own, on_the_way):
    """A part with every kind of block."""
    on_the_way("Counting nails")
    if "bad" in own:
        raise InputError("nails", "there are none", "some")
    blocks = (
        Words("Nails <first>.", strong=True),
        Items(("one", "two"), numbered=True),
        Box("Mind", ("your thumb",)),
        Grid((Column("What"), Column("How many", numeric=True)), (("nail", "7"),), "All of them."),
        Drawn("bar", "A bar", SVG),
        Drawn("bar2", "A bar again", SVG),
    )
    leaf = Leaf(
        name="nails",
        kind="Nails",
        job_title=job.job.title,
        about=job.job,
        lead=("Seven nails.",),
        parts=(Part("Count", blocks),),
        cautions=OPENING_UP[:1],
    )
    return Bound((leaf,), {"nails": 7}, {"nails.csv": b"nail,7\n"})


@pytest.fixture
def nails(monkeypatch):
    """A binder with one part, which every job holds, and one that no job holds."""
    held = Binder("nails", "Nails", lambda _: True, __name__)
    other = Binder("screws", "Screws", lambda _: False, __name__)
    monkeypatch.setattr(parts, "BINDERS", (held, other))
    real = binders.importlib.import_module
    mine = type("Mine", (), {"bind": staticmethod(bind)})
    monkeypatch.setattr(
        binders.importlib, "import_module", lambda n: mine if n == __name__ else real(n)
    )


@pytest.mark.usefixtures("nails")
def test_a_part_shows_every_block_and_escapes_its_words(own, job):
    """The page has the lead, table, box, drawing and caution; text stays text."""
    page = own.get(f"/job/{job}/part/nails").text
    for words in ("Seven nails.", "Nails &lt;first&gt;.", "your thumb", "All of them.", "Ladders"):
        assert words in page
    assert page.count("<svg") >= 2 and 'id="t"' not in page


@pytest.mark.usefixtures("nails")
def test_the_job_page_lists_only_parts_that_the_job_holds(own, job):
    """A part without anything in the job is not shown, nor answered."""
    page = own.get(f"/job/{job}").text
    assert "/part/nails" in page and "/part/screws" not in page
    assert own.get(f"/job/{job}/part/screws").status_code == 404
    assert own.get(f"/api/jobs/{job}/parts").json() == [{"key": "nails", "title": "Nails"}]


@pytest.mark.usefixtures("nails")
def test_papers_and_files_of_a_part_can_be_taken(own, job):
    """The PDF, the loose file and the figures are those that the part gave."""
    assert own.get(f"/job/{job}/part/nails/nails.pdf").content.startswith(b"%PDF")
    got = own.get(f"/job/{job}/part/nails/files/nails.csv")
    assert got.content == b"nail,7\n" and got.headers["content-type"].startswith("text/csv")
    assert own.get(f"/job/{job}/part/nails/files/other.csv").status_code == 404
    told = own.get(f"/api/jobs/{job}/parts/nails").json()
    assert told["ready"] and told["table"] == {"nails": 7} and told["files"] == ["nails.csv"]


@pytest.mark.usefixtures("nails")
def test_the_firms_table_counts_at_once_and_a_reason_is_said(own, job):
    """A part that cannot be worked out with the firm's table says why on its page."""
    assert "Seven nails." in own.get(f"/job/{job}/part/nails").text
    assert own.put("/api/own/bad", json={"text": "x = 1"}).status_code == 200
    assert "there are none" in own.get(f"/job/{job}/part/nails").text
    assert own.delete("/api/own/bad").status_code == 204
    assert "Seven nails." in own.get(f"/job/{job}/part/nails").text


@pytest.mark.parametrize(
    ("name", "text"), [("costs", "x = "), ("costs", "a\x00"), ("Costs", "x = 1"), ("..", "x = 1")]
)
def test_a_table_that_is_none_is_refused(own, name, text):
    """Broken TOML and names that are none are answered with what is wrong."""
    answer = own.put(f"/api/own/{name}", json={"text": text})
    assert answer.status_code in (404, 405, 422)
    assert own.get("/api/own").json() == {}


@pytest.mark.usefixtures("nails")
def test_long_work_shows_a_page_that_says_how_far_it_is(own, job, monkeypatch):
    """While a part is being made its page has a progress element, and the API says what is done."""
    go = threading.Event()
    held = making.bound

    def slow(*args, **kw):
        kw["on_the_way"]("Sorting")
        go.wait(10)
        return held(*args, **kw)

    monkeypatch.setattr(making, "bound", slow)
    page = own.get(f"/job/{job}/part/nails").text
    assert "<progress" in page and "Sorting" in page
    told = own.get(f"/api/jobs/{job}/parts/nails").json()
    assert not told["ready"] and told["said"][-1] == "Sorting"
    go.set()
    assert own.get(f"/job/{job}/part/nails/files/nails.csv").status_code == 200


@pytest.mark.usefixtures("nails")
def test_the_packet_holds_the_job_file_and_every_paper(own, job, text):
    """One zip has the job file letter by letter, the findings sheet, the drawings."""
    assert "<progress" in own.get(f"/job/{job}/packet").text
    data = own.get(f"/job/{job}/packet.zip").content
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        names = packed.namelist()
        assert packed.read("job.toml").decode() == text
        assert set(json.loads(packed.read("findings.json"))["files"]) == {*names} - {"job.toml"}
    assert own.get(f"/job/{job}/packet.zip").content == data


def test_the_same_thing_is_made_once():
    """Two who ask for one thing get the same, made once; a fault is told to both."""
    clerk, count = Clerk(), []
    first = clerk.ask(("a",), lambda _: count.append(1) or 5)
    second = clerk.ask(("a",), lambda _: count.append(1) or 6)
    assert first.done.wait(5) and first is second
    assert first.result() == 5 and len(count) == 1
    wrong = clerk.ask(("b",), lambda _: 1 // 0)
    assert wrong.done.wait(5)
    with pytest.raises(ZeroDivisionError):
        wrong.result()
    clerk.close()


def test_the_clerk_forgets_the_oldest():
    """No more than so many finished things are kept."""
    clerk = Clerk(most=2)
    for n in range(5):
        assert clerk.ask((str(n),), lambda _: 1).done.wait(5)
    assert len(clerk._orders) <= 3
    clerk.close()


def test_other_tables_are_another_state():
    """The firm's tables are part of what a result is kept under."""
    assert print_of("a", {}) != print_of("a", {"b": ""}) != print_of("a", {"b": "c"})


@pytest.mark.usefixtures("nails")
def test_drawings_on_one_page_share_no_id(job, site):
    """Two drawings with the same ids get ids of their own, and their uses follow."""
    made = bind(site.desk.job(site.shelf.head(job).text), own={}, on_the_way=print)
    view = leaf_view(made.leaves[0], 3)
    one, two = (b["svg"] for b in view["parts"][0]["blocks"] if b["is"] == "drawn")
    assert 'id="l3d1-p"' in one and "url(#l3d1-p)" in one and 'aria-labelledby="l3d1-t"' in one
    assert 'id="l3d2-p"' in two
