"""Every page holds WCAG 2.2 AA as far as a machine can tell, by day and in the evening."""

from __future__ import annotations

import shutil
import socket
import threading
import time
from pathlib import Path

import pypdfium2
import pytest
import uvicorn
from playwright.sync_api import sync_playwright

from weatherlap.web.app import make_app, site_at

AXE = (Path(__file__).parents[1] / "support" / "axe" / "axe.min.js").read_text("utf-8")
DEMO = Path(__file__).parents[2] / "demo" / "window-sill.toml"
CHROMIUM = shutil.which("chromium") or "chromium"
ARGS = ["--no-sandbox", "--disable-background-networking", "--disable-component-update"]
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
PAGES = (
    "/",
    "/begin",
    "/begin/window",
    "/job/{job}",
    "/job/{job}/drawings",
    "/job/{job}/history",
    "/job/{job}/part/putting-right",
    "/job/{job}/part/shop",
    "/job/{job}/part/scope",
    "/job/{job}/part/plan",
    "/job/{job}/packet",
    "/own",
    "/share",
    "/pair",
)


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    """The address of an app with one job, and the job."""
    site = site_at(tmp_path_factory.mktemp("jobs"), links=["http://192.168.7.20:8740"])
    job = site.shelf.begin(DEMO.read_text("utf-8")).id
    site.own.put("costs", "a = 1")
    door = socket.create_server(("127.0.0.1", 0))
    server = uvicorn.Server(uvicorn.Config(make_app(site), log_level="error"))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [door]}, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    yield f"http://127.0.0.1:{door.getsockname()[1]}", job
    server.should_exit = True
    thread.join(10)
    site.close()


@pytest.fixture(scope="module")
def browser():
    """Headless Chromium as Debian builds it."""
    with sync_playwright() as play:
        made = play.chromium.launch(executable_path=CHROMIUM, args=ARGS)
        yield made
        made.close()


@pytest.fixture(params=[(360, "light"), (1440, "dark")], ids=["phone-day", "table-evening"])
def page(browser, request):
    """A page of one width on the day's or the evening's sheet."""
    wide, scheme = request.param
    context = browser.new_context(viewport={"width": wide, "height": 800}, color_scheme=scheme)
    made = context.new_page()
    made.set_default_timeout(120_000)
    yield made
    context.close()


def faults(page):
    """What axe finds on a page, each with where."""
    page.evaluate(AXE)
    found = page.evaluate(
        "(tags) => axe.run(document, { runOnly: { type: 'tag', values: tags } })", TAGS
    )
    return [(v["id"], n["html"][:140]) for v in found["violations"] for n in v["nodes"]]


def steady(page):
    """Wait until the drawing neither moves nor is drawn again."""
    page.locator("#board-name").scroll_into_view_if_needed()
    before = None
    while before != (before := page.evaluate("[scrollY, document.body.innerHTML.length]")):
        page.wait_for_timeout(700)


def test_every_page_can_be_used_by_everybody(page, served):
    """No page breaks a rule of WCAG 2.2 AA, and none scrolls sideways."""
    way, job = served
    found = {}
    for name in PAGES:
        page.goto(way + name.format(job=job))
        if "/part/" in name:
            page.locator(".leaf").first.wait_for()
        if "packet" in name:
            page.locator("#file").wait_for()
        page.wait_for_timeout(200)
        found[name] = faults(page)
        wide = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        assert page.evaluate(wide) <= 0, name
    assert {name: rows for name, rows in found.items() if rows} == {}


def test_a_piece_in_hand_and_a_question_can_be_used_by_everybody(page, served):
    """With a piece in hand, everything opened, and a question asked, the rules still hold."""
    way, job = served
    page.goto(f"{way}/job/{job}")
    for name in ("piece-list", "change-list", "notes", "next"):
        page.locator(f"#{name} > summary").click()
    page.locator("#pieces button").nth(2).click()
    page.locator("#findings button").first.click()
    page.locator("#findings .told p").first.wait_for()
    page.wait_for_load_state("networkidle")
    assert faults(page) == []
    page.get_by_label("writes damage").check()
    page.get_by_role("button", name="Undo").focus()
    steady(page)
    box = page.locator("#ink .touch").bounding_box()
    page.mouse.click(box["x"] + 0.5 * box["width"], box["y"] + 0.2 * box["height"])
    page.locator("#ask[open]").wait_for()
    assert faults(page) == []


def test_papers_that_are_folded_away_print(page, served):
    """A part of several papers shows its first; on paper all of them stand."""
    way, job = served
    page.goto(f"{way}/job/{job}/part/shop")
    page.locator(".leaf").first.wait_for()
    later = page.locator("details.moreleaf")
    assert later.count() > 0 and not later.first.evaluate("box => box.open")
    printed = pypdfium2.PdfDocument(page.pdf())
    words = " ".join(sheet.get_textpage().get_text_range() for sheet in printed)
    for head in page.locator("details.moreleaf .leafpart h2").all_text_contents():
        assert head.split()[0] in words
    assert not later.first.evaluate("box => box.open")
