"""How long the web app takes: python bench/bench_web.py [JOB.toml]

Prints the median and worst time of a tap (an act on a job, traced again, with the face drawn),
of the first page of the job, of a list of 500 jobs, and the memory that it ends with.
"""

from __future__ import annotations

import resource
import statistics
import sys
import tempfile
import time
import warnings
from collections.abc import Callable
from pathlib import Path

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient

from weatherlap.web.app import make_app, site_at

DEMO = Path(__file__).parents[1] / "demo" / "porch-corner.toml"
TAPS = 10


def timed(run: Callable[[], object]) -> float:
    """How long a call takes. [ms]"""
    began = time.perf_counter()
    run()
    return 1000.0 * (time.perf_counter() - began)


def main(place: Path) -> None:
    """Measure on a store of its own."""
    text = place.read_text("utf-8")
    with tempfile.TemporaryDirectory() as folder:
        site = site_at(Path(folder))
        app = make_app(site)
        own = TestClient(app, base_url="http://localhost", client=("127.0.0.1", 5000))
        job = own.post("/api/jobs", json={"text": text}).json()["id"]
        first = timed(lambda: own.get(f"/job/{job}"))
        said = own.get(f"/api/jobs/{job}").json()
        pieces, face = [p["id"] for p in said["pieces"]], said["findings"][0]["face"]
        taps = []
        for number in range(TAPS):
            act = {"do": "drip", "piece": pieces[number % len(pieces)]}
            body = {"base": number + 1, "act": act, "face": face}
            taps.append(timed(lambda b=body: own.post(f"/api/jobs/{job}/acts", json=b)))  # type: ignore[misc]
        for _ in range(499):
            site.shelf.begin(text)
        listed = timed(lambda: own.get("/"))
        site.shelf.close()
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"{place.name}: {len(pieces)} pieces")
    print(f"first page of the job  {first:7.0f} ms")
    print(f"tap, median            {statistics.median(taps):7.0f} ms, worst {max(taps):.0f} ms")
    print(f"list of 500 jobs       {listed:7.0f} ms")
    print(f"memory at most         {peak_mb:7.0f} MB")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else DEMO)
