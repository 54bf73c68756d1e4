"""The hands of the web app in a real browser: ticks, awl, corners, changes, mend, signatures."""

from __future__ import annotations

import io
import re
import shutil
import socket
import threading
import time
from pathlib import Path

import pytest
import uvicorn
from PIL import Image
from playwright.sync_api import sync_playwright

from weatherlap.job.reading import read_job
from weatherlap.web.app import make_app, site_at

AXE = (Path(__file__).parents[1] / "support" / "axe" / "axe.min.js").read_text("utf-8")
DEMO = Path(__file__).parents[2] / "demo" / "window-sill.toml"
CHROMIUM = shutil.which("chromium") or "chromium"
ARGS = ["--no-sandbox", "--disable-background-networking", "--disable-component-update"]
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
LONG_MS = 120_000
TARGET_PX = 44


@pytest.fixture(scope="module")
def app(tmp_path_factory):
    """A running app: its parts, and its address."""
    site = site_at(tmp_path_factory.mktemp("jobs"))
    door = socket.create_server(("127.0.0.1", 0))
    server = uvicorn.Server(uvicorn.Config(make_app(site), log_level="error"))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [door]}, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    yield site, f"http://127.0.0.1:{door.getsockname()[1]}"
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


@pytest.fixture(params=[360, 1440], ids=["phone", "table"])
def page(browser, request):
    """A page on a phone and on a table's screen; a script's fault fails the test."""
    context = browser.new_context(
        viewport={"width": request.param, "height": 780}, has_touch=request.param == 360,
        color_scheme="light" if request.param == 360 else "dark",
    )  # fmt: skip
    made = context.new_page()
    made.set_default_timeout(LONG_MS)
    faults = []
    made.on("pageerror", lambda error: faults.append(str(error)))
    yield made
    context.close()
    assert faults == []


@pytest.fixture
def job(app):
    """A job of its own for each test, and how it reads now."""
    site, _ = app
    own = site.shelf.begin(DEMO.read_text("utf-8")).id
    return own, lambda: read_job(site.shelf.head(own).text)


def usable(page):
    """No rule of WCAG 2.2 AA is broken, nothing scrolls sideways, every target is wide enough."""
    page.evaluate(AXE)
    found = page.evaluate(
        "(tags) => axe.run(document, { runOnly: { type: 'tag', values: tags } })", TAGS
    )
    assert [(v["id"], n["html"][:140]) for v in found["violations"] for n in v["nodes"]] == []
    wide = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
    assert page.evaluate(wide) <= 0
    small = """(least) => [...document.querySelectorAll("main button, main select, main textarea,"
      + "main input:not([type=radio]):not([type=checkbox]), main summary, .pick, .segs label")]
      .filter((e) => e.offsetParent && (e.offsetHeight < least || e.offsetWidth < least))
      .map((e) => e.outerHTML.slice(0, 120))"""
    assert page.evaluate(small, TARGET_PX) == []


def touch_at(page, across, up):
    """Tap the drawing at shares of its width and height."""
    page.evaluate("document.querySelector('#ink').scrollIntoView({ block: 'center' })")
    page.wait_for_timeout(300)
    box = page.locator("#ink .touch").bounding_box()
    page.mouse.click(box["x"] + across * box["width"], box["y"] + (1 - up) * box["height"])


def test_work_is_ticked_with_and_without_a_signal_and_shown_by_photo(page, app, job):
    """A tick, one that waits for a signal, and a photo of a step all end in the job file."""
    own, now = job
    page.goto(f"{app[1]}/job/{own}/done")
    page.locator("#left .taskrow").first.wait_for()
    usable(page)
    page.get_by_role("button", name="Tick:").first.click()
    usable(page)
    page.get_by_label("Hours", exact=True).fill("1.5")
    page.get_by_label("Who").select_option("wren")
    page.get_by_role("button", name="Tick it").click()
    page.locator("#said", has_text="Written down").wait_for()
    assert [(d.person, d.spent_h, d.finished) for d in now().done] == [("wren", 1.5, True)]
    page.context.set_offline(True)
    page.get_by_role("button", name="Tick:").first.click()
    page.get_by_label("The task is done with this").uncheck()
    page.get_by_label("Hours", exact=True).fill("2")
    page.get_by_role("button", name="Tick it").click()
    page.locator("#waits", has_text="1 waiting to be sent").wait_for()
    page.context.set_offline(False)
    page.locator("#waits").wait_for(state="hidden")
    page.locator("#sum", has_text="3.5 h spent").wait_for()
    assert [d.finished for d in now().done] == [True, False]
    photo = io.BytesIO()
    Image.new("RGB", (40, 30), "#456").save(photo, "JPEG")
    page.get_by_role("button", name="Photo of it:").first.click()
    file = {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": photo.getvalue()}
    page.locator("#ask-body input[type=file]").set_input_files(file)
    page.get_by_label("Face").select_option("wall")
    page.get_by_label("What it shows").fill("Sheets are up")
    page.get_by_role("button", name="Keep it").click()
    page.get_by_text("Photos: Sheets are up").wait_for()
    (kept,) = now().photo
    assert (kept.face, kept.step) == ("wall", page.locator(".taskrow").first.get_attribute(
        "data-task"))  # fmt: skip
    page.get_by_role("button", name="Undo").click()
    page.locator("#said", has_text="Undone").wait_for()
    assert now().photo == ()


def test_an_answer_is_kept_and_a_change_order_drawn_up(page, app, job):
    """Signed, changed, declined with what follows; the page says that it is kept for good."""
    own, now = job
    page.goto(f"{app[1]}/job/{own}/agreed")
    page.locator("#answer").wait_for()
    usable(page)
    page.get_by_label("Who").fill("Jonas Eddery")
    page.get_by_role("button", name="Write the answer down").click()
    page.get_by_text("Contract: signed").wait_for()
    assert [(s.answer.value, s.by) for s in now().state] == [("signed", "Jonas Eddery")]
    page.goto(f"{app[1]}/job/{own}")
    page.locator("#change-list > summary").click()
    page.get_by_role("button", name="Add a change").click()
    usable(page)
    page.get_by_label("What is done").select_option("reuse")
    page.get_by_label("To which piece").select_option("siding-14")
    page.get_by_label("Why", exact=True).fill("To look behind it")
    page.get_by_role("button", name="Add it").click()
    page.locator("#changes", has_text="To look behind it").wait_for()
    page.goto(f"{app[1]}/job/{own}/agreed")
    page.get_by_text("Comes in").wait_for()
    page.get_by_label("Declined").check()
    page.get_by_label("What follows").fill("What lies behind is not seen.")
    usable(page)
    page.get_by_role("button", name="Write the answer down").click()
    page.get_by_text("Change order 1: declined").wait_for()
    page.wait_for_load_state("load")
    assert now().state[1].consequence == "What lies behind is not seen."
    page.locator("[data-allowance] input").first.fill("3")
    page.locator("[data-allowance] button").first.click()
    page.locator("[data-allowance]", has_text=re.compile("it (adds|gives back)")).first.wait_for()
    assert now().allowance[0].actual == 3


def test_the_mend_is_laid_by_one_tap(page, app, job):
    """The changes that the search proposes are the job's after one tap, seen as repaired."""
    own, now = job
    for number in range(len(now().change)):
        text = app[0].shelf.head(own).text
        body = {"base": number + 1, "act": {"do": "strike", "kind": "change", "number": 0}}
        app_way = f"{app[1]}/api/jobs/{own}/acts"
        assert page.request.post(app_way, data={**body, "key": "", "bare": True}).ok, text
    page.goto(f"{app[1]}/job/{own}/mend")
    page.get_by_role("button", name="Lay these changes", exact=True).wait_for()
    usable(page)
    page.get_by_role("button", name="Lay these changes", exact=True).click()
    page.locator("#board-name", has_text="as repaired").wait_for()
    assert len(now().change) > 0


def test_awl_and_corners_by_touch_and_the_crosshair_by_keys(page, app, job):
    """The awl where it was tapped; a piece by three corners; a reading placed with arrow keys."""
    own, now = job
    page.goto(f"{app[1]}/job/{own}?face=wall")
    page.get_by_label("pushes an awl in").check()
    touch_at(page, 0.5, 0.75)
    page.get_by_label("rotten", exact=True).check()
    page.get_by_role("button", name="Write it down").click()
    page.locator("#said", has_text="Awl: rotten").wait_for()
    assert now().pick[0].says.value == "rotten"
    page.get_by_label("draws a new piece").check()
    for across, up in ((0.45, 0.6), (0.6, 0.6), (0.5, 0.8)):
        touch_at(page, across, up)
    page.get_by_role("button", name="Close the outline").click()
    page.get_by_label("What it is made of").select_option("housewrap")
    page.get_by_label("Its name on the drawing").fill("Patch")
    page.get_by_role("button", name="Lay it").click()
    page.locator("#said", has_text="Patch laid").wait_for()
    patch = next(p for p in now().piece if p.title == "Patch")
    assert (patch.what, len(patch.on[0].outline)) == ("housewrap", 3)
    assert all(16 * x == round(16 * x) for corner in patch.on[0].outline for x in corner)
    page.get_by_label("writes a reading").check()
    page.locator("#ink .touch").focus()
    before = len(now().reading)
    for key in ("ArrowRight", "Shift+ArrowUp", "Enter"):
        page.keyboard.press(key)
    page.get_by_label("Percent").fill("31")
    page.keyboard.press("Enter")
    page.locator("#said", has_text="Read 31 %").wait_for()
    assert len(now().reading) == before + 1


def test_the_cut_line_moves_on_the_drawing(page, app, job):
    """Dragged by its foot, or with the arrow keys, the section follows the cut line."""
    own, _ = job
    page.goto(f"{app[1]}/job/{own}?face=wall")
    page.locator("#section svg").wait_for()
    page.evaluate("document.querySelector('#ink').scrollIntoView({ block: 'end' })")
    page.wait_for_timeout(500)
    before = page.locator(".cutgrab").get_attribute("aria-valuetext")
    box = page.locator(".cutgrab").bounding_box()
    assert min(box["width"], box["height"]) >= TARGET_PX - 1
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 30, y, steps=3)
    page.mouse.up()
    dragged = page.locator(".cutgrab").get_attribute("aria-valuetext")
    assert dragged != before
    page.locator(".cutgrab").focus()
    page.keyboard.press("ArrowLeft")
    assert page.locator(".cutgrab").get_attribute("aria-valuetext") != dragged
    shown = page.locator("#cut-at").inner_text()
    assert page.locator(".cutgrab").get_attribute("aria-valuetext") == f"{shown} from the left"


def test_a_photo_is_marked_with_the_keyboard_and_taken_off(page, app, job):
    """Enter begins and ends a ring, arrows lead it; taking the photo off is asked twice."""
    own, _ = job
    site, way = app
    photo = io.BytesIO()
    Image.new("RGB", (80, 60), "#764").save(photo, "JPEG")
    site.photos.add(own, photo.getvalue(), face="wall", at=(20.0, 30.0), words="Soft")
    page.goto(f"{way}/job/{own}?face=wall")
    page.locator("#notes > summary").click()
    page.get_by_role("button", name="Photo: Soft").click()
    page.get_by_label("Marks on the photo").focus()
    for key in ("Enter", "ArrowRight", "ArrowDown", "Enter"):
        page.keyboard.press(key)
    page.get_by_role("button", name="Keep the marks").click()
    page.locator("dialog[aria-label]").wait_for(state="detached")
    (mark,) = site.photos.of(own)[0].marks
    assert (mark["kind"], mark["spots"]) == ("ring", [[0.5, 0.5], [0.54, 0.54]])
    page.get_by_role("button", name="Photo: Soft").click()
    page.get_by_role("button", name="Take it off the job").click()
    page.get_by_role("button", name="Really take it off").click()
    page.locator("dialog[aria-label]").wait_for(state="detached")
    assert site.photos.of(own) == ()


def test_an_edge_on_a_slope_is_dragged_to_the_sixteenth(page, app, job):
    """On the top of the sill, no upright face, an edge follows the thumb in sixteenths."""
    own, now = job
    page.goto(f"{app[1]}/job/{own}?face=sill-top")
    page.locator("#piece-list > summary").click()
    before = now()
    name = next(p.id for p in before.piece if p.on and p.on[0].face == "sill-top")
    title = next(p.title for p in before.piece if p.id == name)
    page.locator("#pieces button", has_text=title).first.click()
    page.evaluate("document.querySelector('#ink').scrollIntoView({ block: 'center' })")
    page.wait_for_timeout(500)
    box = page.locator('.grab[data-side="left"]').bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 23, y, steps=4)
    page.mouse.up()
    page.locator("#said", has_text="trimmed by").wait_for()
    panel = next(p for p in now().piece if p.id == name).on[0]
    left = panel.rect[0] if panel.rect else min(u for u, _ in panel.outline)
    assert left > 0
    assert 16 * left == round(16 * left)
