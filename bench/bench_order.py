"""How long order, nights and mend take: a job of 1,000 pieces, and planted faults.

PYTHONPATH=src python bench/bench_order.py
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

from weatherlap.job.model import Job
from weatherlap.order.hours import invented_hours
from weatherlap.run.mending import mend_job
from weatherlap.run.ordering import nights_of, order_job
from weatherlap.water.mendcosts import invented_costs

COURSES, BAYS = 31, 8


def row(name: str, what: str, face: str, rect: tuple[float, ...], **more: Any) -> dict[str, Any]:
    """A piece of a job."""
    return {"id": name, "what": what, "on": [{"face": face, "rect": rect}], **more}


def wide_job() -> Job:
    """Four walls of eight bays each with sheathing, barrier and courses: 1,056 pieces."""
    faces, pieces, changes = [], [], []
    for wall in range(4):
        face = f"wall-{wall}"
        faces.append({"id": face, "facing": 180, "tilt": 90, "origin": [0, 400.0 * wall, 0],
                      "width": 48 * BAYS, "height": 8 * COURSES + 8})  # fmt: skip
        for bay in range(BAYS):
            u0, u1, top = 48 * bay, 48 * bay + 48, 8 * COURSES + 8
            name = f"{wall}-{bay}"
            pieces.append(row(f"sheathing-{name}", "osb", face, (u0, 0, u1, top)))
            pieces.append(row(f"barrier-{name}", "housewrap", face, (u0, 0, u1, top)))
            pieces += [
                row(f"course-{name}-{k}", "vinyl-siding", face, (u0, 8 * k, u1, 8 * k + 9))
                for k in range(COURSES)
            ]
        changes.append({"do": "replace", "piece": f"sheathing-{wall}-3"})
    return Job.model_validate(
        {"job": {"title": "wide"}, "face": faces, "piece": pieces, "change": changes}
    )


def planted(faults: int) -> Job:
    """A wall of five sheets with up to four laps the wrong way round."""
    sheets = [
        row(f"sheet-{k}", "housewrap", "wall", (0, 20 * k, 96, 20 * k + 24)) for k in range(5)
    ]
    for k in range(4):
        if k < faults:
            sheets[k + 1]["behind"] = [f"sheet-{k}"]
    face = {"id": "wall", "facing": 180, "tilt": 90, "origin": [0, 0, 0], "width": 96,
            "height": 104}  # fmt: skip
    wood = row("sheathing", "osb", "wall", (0, 0, 96, 104))
    return Job.model_validate({"job": {"title": "p"}, "face": [face], "piece": [wood, *sheets]})


def took(what: str, work: Callable[[], Any], most_s: float) -> Any:
    """Run once, print the CPU time against what is asked: the machine may have other work."""
    begun = time.process_time()
    result = work()
    spent = time.process_time() - begun
    print(f"{what}: {spent:.2f} s of CPU (asked: under {most_s:g} s)")
    return result


def order_and_nights(job: Job) -> int:
    """Order, least take-down and nights as the command gives them, other orders weighed too."""
    return len(nights_of(job, invented_hours()).rows)


def main() -> None:
    """Time everything, warm."""
    mend_job(planted(1), invented_costs())
    job = wide_job()
    print(f"{len(job.piece)} pieces")
    took("order and least take-down", lambda: order_job(job), 2.0)
    nights = took("order, take-down and nights", lambda: order_and_nights(job), 2.0)
    print(f"{nights} evenings")
    for faults in range(1, 5):
        answer = took(
            f"mend, {faults} planted", lambda n=faults: mend_job(planted(n), invented_costs()), 1.0
        )
        made = len(answer.best.remedies) if answer.best else None
        print(f"  {made} changes, proven least: {answer.proven}, {answer.tried} traces")


if __name__ == "__main__":
    main()
