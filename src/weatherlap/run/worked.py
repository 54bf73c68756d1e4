"""The worked-out job: one state of the corner with everything that follows from it."""

from __future__ import annotations

from dataclasses import dataclass

from weatherlap.building.corner import Corner, build_corner
from weatherlap.job.model import Job
from weatherlap.water.rain import SiteRain, site_rain
from weatherlap.water.rules import check_rules
from weatherlap.water.rulings import RuleResult
from weatherlap.water.trace import Trace, trace


@dataclass(frozen=True)
class Worked:
    """A job with its corner, the trace of the rain and the lap rules."""

    job: Job
    corner: Corner
    rain: SiteRain
    trace: Trace
    rules: tuple[RuleResult, ...]


def work_out(job: Job) -> Worked:
    """Build the corner of a job, follow the rain and check the lap rules.

    Raises
    ------
    JobError
        If laps go round in a circle on a face.
    """
    corner = build_corner(job)
    rain = site_rain(job.site)
    result = trace(corner, rain)
    rules = check_rules(corner, rain=rain, gutter_lph=result.gutter_lph)
    return Worked(job, corner, rain, result, rules)
