"""Runs of like pieces, laid out between their taped marks."""

from __future__ import annotations

from dataclasses import dataclass

from weatherlap.errors import InputError
from weatherlap.job.model import Job
from weatherlap.job.placing import placing
from weatherlap.order.runs import Layout, Place, bite_text, lay_out, need_text
from weatherlap.run.tables import Table
from weatherlap.units import tape
from weatherlap.water.rain import site_rain


@dataclass(frozen=True, slots=True)
class LaidOut:
    """A run laid out, with the titles of its pieces in their order."""

    layout: Layout
    pieces: tuple[str, ...]
    ids: tuple[str, ...]

    @property
    def title(self) -> str:
        """What the run is called on sheets."""
        run = self.layout.run
        return run.title or run.id


def layouts(job: Job) -> tuple[LaidOut, ...]:
    """Every run of a job, laid out.

    Raises
    ------
    InputError
        If the job holds no run, or marks cannot hold their pieces.
    """
    if not job.run:
        raise InputError(
            "job",
            "it holds no run",
            "a [[run]] with its marks",
            'Write a [[run]], and run = "..." at each of its pieces.',
        )
    return tuple(laid_out(job, number) for number in range(len(job.run)))


def laid_out(job: Job, number: int) -> LaidOut:
    """One run of a job, by its number from 0, laid out.

    Raises
    ------
    JobError
        If its marks cannot hold its pieces; names the line of the mark.
    """
    run = job.run[number]
    own = [p for p in job.piece if p.run == run.id]
    with placing(job, ("run", number)):
        layout = lay_out(run, len(own), gust_m_per_s=site_rain(job.site).gust_m_per_s)
    return LaidOut(layout, tuple(p.title or p.id for p in own), tuple(p.id for p in own))


def stretch_words(place: Place) -> str:
    """How the lap of a piece is to be laid, or how wide it is ripped."""
    if place.rip_in is not None:
        return f"as it comes, piece ripped to show {tape(place.rip_in)}"
    if abs(place.stretch_in) < 1 / 32:
        return "as it comes"
    verb = "drawn out" if place.stretch_in > 0 else "closed"
    return f"{verb} {tape(abs(place.stretch_in))}"


def across_words(place: Place) -> tuple[str, str, str]:
    """Length across, bite kept and bite needed; dashes where there are no channels."""
    if place.cut_in is None or place.bite_in is None or place.need_in is None:
        return "–", "–", "–"
    return tape(place.cut_in), bite_text(place.bite_in), need_text(place.need_in)


def layouts_table(rows: tuple[LaidOut, ...]) -> list[Table]:
    """The runs as plain tables. [in]"""
    return [
        {
            "run": row.layout.run.id,
            "title": row.title,
            "pieces": [
                {
                    "number": p.number,
                    "piece": name,
                    "start_in": p.start_in,
                    "end_in": p.end_in,
                    "stretch_in": p.stretch_in,
                    "rip_in": p.rip_in,
                    "cut_in": p.cut_in,
                    "bite_in": p.bite_in,
                    "need_in": p.need_in,
                    "falls_out": p.falls_out,
                }
                for p, name in zip(row.layout.places, row.ids, strict=True)
            ],
            "warnings": list(row.layout.warnings),
        }
        for row in rows
    ]
