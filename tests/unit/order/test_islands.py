"""Islands: groups of faces traced by themselves give what the whole corner gives."""

from __future__ import annotations

from typing import Any

import pytest

from weatherlap.building.corner import build_corner
from weatherlap.job.model import Job
from weatherlap.order.islands import Islands
from weatherlap.order.nights import Watch
from weatherlap.water.rain import site_rain
from weatherlap.water.trace import trace


def face(name: str, tilt: float, origin: tuple[float, float, float]) -> dict[str, Any]:
    """A face of 4 x 4 ft that looks south."""
    return {"id": name, "facing": 180, "tilt": tilt, "origin": origin, "width": 48, "height": 48}


def row(name: str, on: str, sheet: str = "absorbs", **more: Any) -> dict[str, Any]:
    """A piece over the lower half of a face."""
    return {"id": name, "sheet": sheet, "on": [{"face": on, "rect": [0, 0, 48, 24]}], **more}


def job_of(faces: list[dict[str, Any]], pieces: list[dict[str, Any]]) -> Job:
    """A job of some faces and pieces."""
    return Job.model_validate({"job": {"title": "i"}, "face": faces, "piece": pieces})


APART = [face("a", 90, (0, 0, 0)), face("b", 90, (400, 0, 0)), face("c", 90, (800, 0, 0))]


def test_walls_that_stand_apart_are_islands() -> None:
    """Three walls far apart are three islands, each with its own pieces."""
    job = job_of(APART, [row("p", "a"), row("q", "b")])
    islands = Islands(job, job.piece)
    assert [[f.id for f in one.face] for one in islands.jobs] == [["a"], ["b"], ["c"]]
    assert [[p.id for p in row] for row in islands.split(job.piece)] == [["p"], ["q"], []]


def test_a_piece_on_two_faces_and_a_behind_join_them() -> None:
    """Faces are one island if a piece lies on both, or one piece names another as outside it."""
    on = [{"face": "a", "rect": [0, 0, 9, 9]}, {"face": "b", "rect": [0, 0, 9, 9]}]
    job = job_of(APART, [{"id": "p", "sheet": "sheds", "on": on}, row("q", "c", behind=["p"])])
    assert len(Islands(job, job.piece).jobs) == 1


def test_a_roof_joins_what_can_drip_on_it() -> None:
    """A wall right above a roof is of its island though they do not touch; one apart is not."""
    faces = [face("wall", 90, (0, 0, 200)), face("roof", 30, (0, -10, 0)), APART[1]]
    islands = Islands(job_of(faces, []), ())
    assert [[f.id for f in one.face] for one in islands.jobs] == [["wall", "roof"], ["b"]]


def test_islands_together_get_as_wet_as_the_whole() -> None:
    """Water in trouble is the same traced island by island or all at once."""
    faces = [*APART[:2], face("roof", 30, (0, -60, 0))]
    pieces = [row("p", "a"), row("q", "b", "resists"), row("r", "roof"), row("s", "b", "sheds")]
    job = job_of(faces, pieces)
    rain = site_rain(job.site)
    whole = sum(r.per_year_l for r in trace(build_corner(job), rain).ends if r.end.is_trouble)
    assert whole > 0
    assert Watch(job, rain, share=1.0).wet_l(job.piece) == pytest.approx(whole, rel=1e-12)
