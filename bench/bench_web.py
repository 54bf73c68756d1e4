"""How long the web app takes: python bench/bench_web.py

On the big demo and on 200 pieces, with the app served by its own command: the first page, taps as
a thumb makes them (a piece is taken, the thumb decides for a second, then it taps), taps that
nobody could foresee, taps while every other part of the job is worked out, a list of 500 jobs, and
the memory of the server. With a browser (--browser PATH) also what the thumb feels, from the click
to the next picture. Times hold for a machine that does nothing else; the server's own computing
time, given beside them, holds on a busy one too.
"""

from __future__ import annotations

import argparse
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from http.client import HTTPConnection
from pathlib import Path
from typing import Any

from bigjobs import DEMO, rows_of_porches

from weatherlap.store.shelf import Shelf

TAPS = 12
DECIDES_S = 1.5
PROGRAM = "from weatherlap.cli import main; main()"


@dataclass(frozen=True, slots=True)
class Server:
    """A running app: where it is, and the number of its process."""

    port: int
    pid: int

    def ask(self, way: str, body: object = None) -> bytes:
        """What the app answers."""
        kind = {"content-type": "application/json"}
        sent = None if body is None else json.dumps(body)
        line = HTTPConnection("127.0.0.1", self.port)
        line.request("GET" if body is None else "POST", way, sent, kind)
        answer = line.getresponse().read()
        line.close()
        return answer

    def table(self, way: str, body: object = None) -> Any:
        """What the app answers, as figures."""
        return json.loads(self.ask(way, body))

    def computed_ms(self) -> float:
        """Computing time that the server has used, with its helpers. [ms]"""
        row = Path(f"/proc/{self.pid}/stat").read_text("utf-8").rpartition(")")[2].split()
        return 1000.0 * sum(map(int, row[11:15])) / os.sysconf("SC_CLK_TCK")

    def memory_mb(self, key: str) -> float:
        """Memory of the server: VmHWM at most, VmRSS now. [MB]"""
        rows = Path(f"/proc/{self.pid}/status").read_text("utf-8").splitlines()
        return next(int(r.split()[1]) for r in rows if r.startswith(f"{key}:")) / 1024


@contextmanager
def serving(folder: Path) -> Iterator[Server]:
    """The app as a user starts it, on a folder of its own."""
    command = [sys.executable, "-c", PROGRAM, "serve", "--port", "0", "--data", str(folder)]
    child = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    assert child.stdout is not None
    address = ""
    while not address.startswith("http"):
        address = child.stdout.readline().strip()
    port = int(address.rstrip("/").rpartition(":")[2])
    yield Server(port, child.pid)
    child.terminate()
    child.wait()


def timed(run: Callable[[], object]) -> float:
    """How long a call takes. [ms]"""
    began = time.perf_counter()
    run()
    return 1000.0 * (time.perf_counter() - began)


def taps(own: Server, job: str, *, foreseen: bool) -> tuple[list[float], float]:
    """Times of acts on one piece after another, and the server's computing for each. [ms]"""
    said = own.table(f"/api/jobs/{job}")
    face = said["findings"][0]["face"]
    base, pieces, spent = said["revision"], [p["id"] for p in said["pieces"]], []
    computed = 0.0
    for number in range(TAPS):
        act = {"do": "drip", "piece": pieces[(number * 11 + 3 + foreseen) % len(pieces)]}
        body: dict[str, Any] = {"base": base, "face": face}
        if foreseen:
            own.ask(f"/api/jobs/{job}/likely", {**body, "acts": [act]})
            time.sleep(DECIDES_S)
        before, began = own.computed_ms(), time.perf_counter()
        answer = own.table(f"/api/jobs/{job}/acts", {**body, "act": act})
        spent.append(1000.0 * (time.perf_counter() - began))
        computed += own.computed_ms() - before
        base = answer["job"]["revision"]
    return spent, computed / TAPS


def row(words: str, spent: list[float], computed_ms: float | None = None) -> None:
    """Print a line of the table."""
    more = "" if computed_ms is None else f", computing {computed_ms:.0f}"
    print(
        f"{words:34s}{statistics.median(spent):7.0f} ms, worst {max(spent):.0f}{more}", flush=True
    )


def felt(browser: str, own: Server, job: str) -> tuple[float, list[float]]:
    """First paint, and taps from the click to the next picture, in a real browser. [ms]"""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        made = play.chromium.launch(executable_path=browser, args=["--no-sandbox"])
        page = made.new_page(viewport={"width": 390, "height": 800})
        page.goto(f"http://127.0.0.1:{own.port}/job/{job}", wait_until="networkidle")
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


def parts(own: Server, job: str) -> None:
    """Ask for every part of a job, and tap while they are worked out."""
    asked = [f"/api/jobs/{job}/parts/{p['key']}" for p in own.table(f"/api/jobs/{job}/parts")]
    for way in asked:
        own.ask(way)
    spent, computed_ms = taps(own, job, foreseen=False)
    row("tap while parts are worked out", spent, computed_ms)
    asked.append(f"/api/jobs/{job}/packet")
    while not all(own.table(way)["ready"] for way in asked):
        time.sleep(0.2)


def measure(name: str, text: str, browser: str) -> None:
    """Measure one job on a store of its own."""
    with tempfile.TemporaryDirectory() as folder, serving(Path(folder)) as own:
        job = own.table("/api/jobs", {"text": text})["id"]
        first = timed(lambda: own.ask(f"/job/{job}"))
        print(f"{name}: {len(own.table(f'/api/jobs/{job}')['pieces'])} pieces")
        print(f"{'first page of the job':34s}{first:7.0f} ms")
        row("tap, foreseen", *taps(own, job, foreseen=True))
        row("tap, not foreseen", *taps(own, job, foreseen=False))
        if browser:
            paint, spent = felt(browser, own, job)
            print(f"{'first paint in the browser':34s}{paint:7.0f} ms")
            row("tap as felt in the browser", spent)
        shelf = Shelf(Path(folder))
        for _ in range(499):
            shelf.begin(text)
        shelf.close()
        row("list of 500 jobs", [timed(lambda: own.ask("/")) for _ in range(5)])
        print(f"{'memory at most, taps only':34s}{own.memory_mb('VmHWM'):7.0f} MB")
        parts(own, job)
        print(f"{'memory at most, all parts':34s}{own.memory_mb('VmHWM'):7.0f} MB\n", flush=True)


def main() -> None:
    """Measure the big demo, then three of it side by side."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--browser", default="", help="a Chromium, for what the thumb feels")
    browser = parser.parse_args().browser
    measure(DEMO.name, DEMO.read_text("utf-8"), browser)
    measure("three porch corners", rows_of_porches(3), browser)


if __name__ == "__main__":
    main()
