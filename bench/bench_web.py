"""How long the web app takes: python bench/bench_web.py

On the big demo and on 200 pieces: the first page, taps as a thumb makes them (a piece is taken, the
thumb decides for a second, then it taps) and taps that nobody could foresee, a list of 500 jobs,
and the memory that it ends with. With a browser (--browser PATH) also what the thumb feels, from
the click to the next picture. Times hold for a machine that does nothing else.
"""

from __future__ import annotations

import argparse
import resource
import statistics
import tempfile
import threading
import time
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import uvicorn
from bigjobs import DEMO, rows_of_porches

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient

from weatherlap.web.app import make_app, site_at
from weatherlap.web.site import Site

TAPS = 12
PORT = 8799
DECIDES_S = 1.5


def timed(run: Callable[[], object]) -> float:
    """How long a call takes. [ms]"""
    began = time.perf_counter()
    run()
    return 1000.0 * (time.perf_counter() - began)


def settled(site: Site) -> None:
    """Wait until all that was foreseen is worked out."""
    site.foresight._hands.submit(int).result()


def taps(own: TestClient, site: Site, job: str, *, foreseen: bool) -> list[float]:
    """Times of acts on one piece after another. [ms]"""
    said = own.get(f"/api/jobs/{job}").json()
    face = said["findings"][0]["face"]
    base, pieces, spent = said["revision"], [p["id"] for p in said["pieces"]], []
    for number in range(TAPS):
        act = {"do": "drip", "piece": pieces[(number * 11 + 3 + foreseen) % len(pieces)]}
        body: dict[str, Any] = {"base": base, "face": face}
        if foreseen:
            own.post(f"/api/jobs/{job}/likely", json={**body, "acts": [act]})
            settled(site)
        began = time.perf_counter()
        answer = own.post(f"/api/jobs/{job}/acts", json={**body, "act": act})
        spent.append(1000.0 * (time.perf_counter() - began))
        base = answer.json()["job"]["revision"]
    return spent


def row(words: str, spent: list[float]) -> None:
    """Print a line of the table."""
    print(f"{words:34s}{statistics.median(spent):7.0f} ms, worst {max(spent):.0f}")


@contextmanager
def serving(site: Site) -> Iterator[str]:
    """A real server on this machine; gives where it is."""
    server = uvicorn.Server(uvicorn.Config(make_app(site), port=PORT, log_level="error"))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.05)
    yield f"http://127.0.0.1:{PORT}"
    server.should_exit = True
    thread.join()


def felt(browser: str, way: str, job: str) -> tuple[float, list[float]]:
    """First paint, and taps from the click to the next picture, in a real browser. [ms]"""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        made = play.chromium.launch(executable_path=browser, args=["--no-sandbox"])
        page = made.new_page(viewport={"width": 390, "height": 800})
        page.goto(f"{way}/job/{job}", wait_until="networkidle")
        paint = page.evaluate("performance.getEntriesByName('first-contentful-paint')[0].startTime")
        page.click("#piece-list summary")
        spent = []
        for number in range(TAPS):
            page.locator("#pieces button").nth(number * 5 + 2).click()
            time.sleep(DECIDES_S)
            page.evaluate("delete document.documentElement.dataset.tapMs")
            page.get_by_role("button", name="Bottom").first.click()
            page.wait_for_selector("html[data-tap-ms]")
            spent.append(float(page.evaluate("document.documentElement.dataset.tapMs")))
        made.close()
    return float(paint), spent


def measure(name: str, text: str, browser: str) -> None:
    """Measure one job on a store of its own."""
    with tempfile.TemporaryDirectory() as folder:
        site = site_at(Path(folder))
        own = TestClient(make_app(site), base_url="http://localhost", client=("127.0.0.1", 5000))
        job = own.post("/api/jobs", json={"text": text}).json()["id"]
        first = timed(lambda: own.get(f"/job/{job}"))
        print(f"{name}: {len(own.get(f'/api/jobs/{job}').json()['pieces'])} pieces")
        print(f"{'first page of the job':34s}{first:7.0f} ms")
        row("tap, foreseen", taps(own, site, job, foreseen=True))
        row("tap, not foreseen", taps(own, site, job, foreseen=False))
        if browser:
            with serving(site) as way:
                paint, spent = felt(browser, way, job)
            print(f"{'first paint in the browser':34s}{paint:7.0f} ms")
            row("tap as felt in the browser", spent)
        for _ in range(499):
            site.shelf.begin(text)
        row("list of 500 jobs", [timed(lambda: own.get("/")) for _ in range(5)])
        site.close()
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"{'memory at most':34s}{peak_mb:7.0f} MB\n")


def main() -> None:
    """Measure the big demo, then three of it side by side."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--browser", default="", help="a Chromium, for what the thumb feels")
    browser = parser.parse_args().browser
    measure(DEMO.name, DEMO.read_text("utf-8"), browser)
    measure("three porch corners", rows_of_porches(3), browser)


if __name__ == "__main__":
    main()
