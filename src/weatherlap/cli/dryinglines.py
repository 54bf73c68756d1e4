"""Drying on the terminal."""

from __future__ import annotations

from weatherlap.cli.files import print_json
from weatherlap.cli.leaflines import print_leaf
from weatherlap.cli.progress import OnTheWay
from weatherlap.job.model import Job
from weatherlap.papers.dryingpapers import drying_leaf
from weatherlap.run.dryingout import Asked, drying_of
from weatherlap.run.dryingtables import drying_table


def print_drying(
    job: Job, *, weather: str | None, capacity: bool, band: bool, as_json: bool
) -> None:
    """Print what drying says of a job; tells how far it is on a terminal."""
    on_the_way = OnTheWay()

    def tell(what: str, done: int, total: int) -> None:
        filled = round(20 * done / max(total, 1))
        on_the_way(f"[{'#' * filled}{'.' * (20 - filled)}] {done} of {total}  {what}")

    try:
        asked = Asked(capacity=capacity, band=band)
        drying = drying_of(job, weather=weather, asked=asked, tell=tell)
    finally:
        on_the_way.done()
    if as_json:
        print_json({"job": job.job.title, **drying_table(drying)})
    else:
        print_leaf(drying_leaf(drying))
