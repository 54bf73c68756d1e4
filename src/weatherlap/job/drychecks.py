"""What makes the tables of drying whole: weather that is there, and said once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from weatherlap.job.problems import Fault


def dry_faults(data: Mapping[str, Any]) -> Iterator[Fault]:
    """What does not hold together in the tables of drying, on the plain data of a job."""
    climate = data.get("climate")
    if isinstance(climate, Mapping):
        yield from _climate_faults(climate)
    elif data.get("dry"):
        yield Fault(
            ("dry",),
            "the job has no [climate]",
            "the weather of the place",
            'For instance [climate] with place = "boston-ma".',
        )


def _climate_faults(climate: Mapping[str, Any]) -> Iterator[Fault]:
    given = [key for key in ("place", "months", "weather_file") if climate.get(key) is not None]
    if len(given) != 1:
        found = f"found {' and '.join(f'`{key}`' for key in given)}" if given else "found none"
        yield Fault(("climate",), found, "one of `place`, `months` and `weather_file`")
    if climate.get("months") is not None and climate.get("latitude") is None:
        do = "For instance latitude = 42.4."
        yield Fault(("climate", "latitude"), "missing", "the latitude beside `months`", do)
