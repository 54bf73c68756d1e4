"""The whole story in a real browser, by thumb and by mouse: from a ready corner to its papers."""

from __future__ import annotations

import io
import shutil
import subprocess
import sys

import pytest
from PIL import Image
from playwright.sync_api import sync_playwright

CHROMIUM = shutil.which("chromium") or "chromium"
ARGS = [
    "--no-sandbox",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    "--disable-gpu",
]
SIZES = {"phone": (360, 740), "table": (1440, 900)}
PROGRAM = "from weatherlap.cli import main; main()"


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    """The address of an app that was started by its command."""
    folder = tmp_path_factory.mktemp("jobs")
    command = [sys.executable, "-c", PROGRAM, "serve", "--port", "0", "--data", str(folder)]
    child = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    assert child.stdout is not None
    address = ""
    while not address.startswith("http"):
        address = child.stdout.readline().strip()
    yield address.rstrip("/")
    child.terminate()
    child.wait(20)


@pytest.fixture(scope="module")
def browser():
    """Headless Chromium as Debian builds it."""
    with sync_playwright() as play:
        made = play.chromium.launch(executable_path=CHROMIUM, args=ARGS)
        yield made
        made.close()


@pytest.fixture(params=SIZES)
def page(browser, request):
    """A page on a phone and on a table's screen; a script's fault fails the test."""
    wide, high = SIZES[request.param]
    context = browser.new_context(
        viewport={"width": wide, "height": high}, has_touch=request.param == "phone"
    )
    made = context.new_page()
    faults = []
    made.on("pageerror", lambda error: faults.append(str(error)))
    yield made
    context.close()
    assert faults == []


def begin(page, served, *, variant="Barrier behind the step flashing"):
    """A job begun from the roof against a wall; gives its address."""
    page.goto(f"{served}/")
    page.get_by_role("link", name="Begin a job").click()
    page.get_by_role("link", name="Roof slope against a sided wall").click()
    page.get_by_text(variant, exact=True).click()
    page.get_by_role("button", name="Begin this job").click()
    page.wait_for_url("**/job/*")
    return page.url


def no_wider_than_the_screen(page):
    """Whether nothing makes the page scroll sideways."""
    return page.evaluate(
        "document.documentElement.scrollWidth <= document.documentElement.clientWidth"
    )


def test_from_a_ready_corner_to_its_papers(page, served):
    """Sizes are stepped, the wrong lap turned as a change, the finding goes, the papers come."""
    page.goto(f"{served}/begin/roof-side-wall")
    first = page.locator("#picture").inner_html()
    page.locator('[data-by="1"]').first.click()
    page.wait_for_timeout(800)
    assert page.locator("#picture").inner_html() != first
    begin(page, served)
    assert no_wider_than_the_screen(page)
    before = page.locator("#findings button[data-letter]").count()
    assert before > 0
    verdict = page.inner_text("#verdict")
    page.get_by_label("As repaired").check()
    page.locator("#findings button").first.click()
    page.locator("#findings .told button").first.click()
    wrong = page.locator(".lapline:has(.wrongway) button")
    wrong.first.wait_for()
    wrong.first.click()
    page.locator("#said", has_text="laid over").wait_for()
    assert page.inner_text("#verdict") != verdict
    assert page.locator("#findings button[data-letter]").count() < before
    assert page.locator("#board-name").inner_text().endswith("as repaired")
    page.get_by_label("Both, side by side").check()
    page.locator("#other-ink svg").wait_for()
    page.get_by_role("button", name="Undo").click()
    page.locator("#said", has_text="Undone").wait_for()
    assert page.inner_text("#verdict") == verdict
    with page.expect_download() as sheet:
        page.get_by_role("link", name="Findings sheet").click()
    assert sheet.value.path().read_bytes().startswith(b"%PDF")
    assert page.pdf().startswith(b"%PDF")
    assert no_wider_than_the_screen(page)


def test_a_reading_and_a_piece_by_touching_the_drawing(page, served):
    """A tap writes a reading where it fell; a drag lays a piece; both are on the drawing."""
    begin(page, served, variant="The right way")
    page.get_by_label("writes a reading").check()
    touch = page.locator("#ink .touch")
    touch.scroll_into_view_if_needed()
    box = touch.bounding_box()
    page.mouse.click(box["x"] + 0.45 * box["width"], box["y"] + 0.4 * box["height"])
    page.get_by_label("Percent").fill("27")
    page.get_by_role("button", name="Write it down").click()
    page.locator("#said", has_text="Read 27 %").wait_for()
    assert "27%" in page.locator("#ink svg").first.text_content().replace(" ", "")
    page.get_by_label("draws a new piece").check()
    touch.scroll_into_view_if_needed()
    box = touch.bounding_box()
    page.mouse.move(box["x"] + 0.4 * box["width"], box["y"] + 0.3 * box["height"])
    page.mouse.down()
    page.mouse.move(box["x"] + 0.6 * box["width"], box["y"] + 0.45 * box["height"], steps=4)
    page.mouse.up()
    page.get_by_label("Its name on the drawing").fill("Patch")
    page.get_by_label("What it is made of").select_option("step-flashing")
    page.get_by_role("button", name="Lay it").click()
    page.locator("#said", has_text="Patch laid").wait_for()
    assert page.locator('#ink path[data-piece="patch"]').count() == 1


def test_an_edge_is_moved_with_the_keyboard(page, served):
    """Arrow keys move the edge of the piece in hand by sixteenths, Enter keeps it."""
    begin(page, served, variant="The right way")
    page.locator("#piece-list summary").click()
    page.locator("#pieces button", has_text="iding").first.click()
    edge = page.locator('.grab[data-side="right"]')
    edge.focus()
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("ArrowLeft")
    page.locator("#said", has_text="right in 1/8").wait_for()
    page.keyboard.press("Enter")
    page.locator("#said", has_text="trimmed by 1/8").wait_for()


def test_what_is_entered_without_a_signal_is_sent_later(page, served):
    """Offline, a reading and a photo wait, counted; back on the network both are kept, once."""
    job = begin(page, served, variant="The right way").rsplit("/", 1)[1]
    photo = io.BytesIO()
    Image.new("RGB", (40, 30), "#555").save(photo, "JPEG")
    page.context.set_offline(True)
    touch = page.locator("#ink .touch")
    for tool, answer in (("writes a reading", "33"), ("puts a photo", None)):
        page.get_by_label(tool).check()
        touch.scroll_into_view_if_needed()
        box = touch.bounding_box()
        page.mouse.click(box["x"] + 0.5 * box["width"], box["y"] + 0.35 * box["height"])
        if answer:
            page.get_by_label("Percent").fill(answer)
            page.get_by_role("button", name="Write it down").click()
        else:
            file = {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": photo.getvalue()}
            page.locator("#ask-body input[type=file]").set_input_files(file)
            page.get_by_role("button", name="Keep it").click()
    page.locator("#waits", has_text="2 waiting to be sent").wait_for()
    page.context.set_offline(False)
    page.locator("#waits").wait_for(state="hidden", timeout=20_000)
    get = page.context.request.get
    assert get(f"{served}/api/jobs/{job}/file").text().count("[[reading]]") == 1
    assert len(get(f"{served}/api/jobs/{job}/photos").json()) == 1


def test_two_browsers_on_one_job(browser, page, served):
    """What the other one did in between is kept, and said."""
    url = begin(page, served, variant="The right way")
    other = browser.new_context().new_page()
    other.goto(url)
    for one, words in ((page, "as the first saw it"), (other, "as the second saw it")):
        one.get_by_label("writes damage").check()
        touch = one.locator("#ink .touch")
        touch.scroll_into_view_if_needed()
        box = touch.bounding_box()
        one.mouse.click(box["x"] + 0.5 * box["width"], box["y"] + 0.35 * box["height"])
        one.get_by_label("What you see").fill(words)
        one.get_by_role("button", name="Write it down").click()
        one.locator("#said", has_text="Damage written").wait_for()
    assert "somebody else did" in other.inner_text("#said")
    text = other.context.request.get(f"{served}/api/jobs/{url.rsplit('/', 1)[1]}/file").text()
    assert "first saw" in text and "second saw" in text
    other.context.close()


def test_controls_are_named_and_large(page, served):
    """Every control on the job page has a name, and buttons are at least 44 px high."""
    begin(page, served)
    page.locator("#piece-list summary").click()
    page.locator("#pieces button").first.click()
    bad = page.evaluate(
        """() => [...document.querySelectorAll("button, a.button, input, select, canvas")]
          .filter((e) => e.checkVisibility() && !e.closest("figure"))
          .filter((e) => {
            const label = e.labels?.length ? e.labels[0].textContent : "";
            const named = (e.getAttribute("aria-label") || label || e.textContent || "").trim();
            const box = (e.type === "radio" ? e.closest("label") : e).getBoundingClientRect();
            return !named || box.height < 43.5;
          }).map((e) => e.outerHTML.slice(0, 120))"""
    )
    assert bad == []
