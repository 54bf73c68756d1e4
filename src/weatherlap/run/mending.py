"""The cheapest mend of a job, by the firm's table of costs."""

from __future__ import annotations

from collections.abc import Callable

from weatherlap.job.model import Job
from weatherlap.water.mend import MendAnswer, mend
from weatherlap.water.mendcosts import MendCosts
from weatherlap.water.rain import site_rain


def mend_job(
    job: Job, costs: MendCosts, *, go_on: Callable[[int, float], bool] | None = None
) -> MendAnswer:
    """The cheapest set of changes after which the corner as found drains. [USD]

    ``go_on`` is told (traces so far, bound in USD) and stops the search by answering False.
    """
    return mend(job, site_rain(job.site), costs, go_on=go_on)
