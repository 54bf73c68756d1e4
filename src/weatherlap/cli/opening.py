"""Where to open next, on the terminal."""

from __future__ import annotations

from weatherlap.cli.answers import say, say_row
from weatherlap.cli.files import print_json
from weatherlap.job.model import Job
from weatherlap.run.opennext import OpenNext, open_next
from weatherlap.run.opentables import open_next_table
from weatherlap.run.worked import work_out


def print_open_next(job: Job, *, as_json: bool) -> None:
    """Print where to open or meter next, and what each answer would mean."""
    worked = work_out(job)
    opened = open_next(worked)
    if as_json:
        print_json({"job": job.job.title, **open_next_table(worked, opened)})
        return
    say(f"{job.job.title}: open here next")
    print()
    say(opened.text)
    _print_causes(opened)
    for number, look in enumerate(opened.looks, 1):
        print()
        say(f"{number}. {look.do}", hang="   ")
        say(f"Wet:  {look.wet_means}", indent="   ", hang="         ")
        say(f"Dry:  {look.dry_means}", indent="   ", hang="         ")
        say(look.tells, indent="   ")


def _print_causes(opened: OpenNext) -> None:
    for cause in opened.weighed:
        say_row(f"{cause.name} ({cause.chance:.0%}): {cause.text}.")
