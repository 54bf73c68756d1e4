"""The weather of the place as the plan needs it: days with rain, days until bare wood is dry."""

from __future__ import annotations

from weatherlap.drying.climate import Climate
from weatherlap.drying.materials import Kind, material
from weatherlap.drying.open_drying import OpenMember, days_to_dry
from weatherlap.job.model import Job
from weatherlap.job.workrecords import Work
from weatherlap.order.weather import USUAL_WET_DAYS, RainDays
from weatherlap.run.cornertasks import material_of
from weatherlap.run.dryweather import climate_of, hour_of, rain_days_of
from weatherlap.run.ordering import Ordered
from weatherlap.run.wetwood import wet_and_stays
from weatherlap.sources.catalogue import entry

M_PER_IN = 0.0254


def rain_of(job: Job, work: Work) -> tuple[RainDays, str]:
    """Days with rain in each month, and where they come from, in words."""
    if work.wet_days:
        return RainDays(work.wet_days, work.persistence), "as the job says"
    climate = _climate(job)
    if climate is None:
        return RainDays(USUAL_WET_DAYS, work.persistence), "an assumption: 10 in every month"
    name = climate.place or "the place"
    return RainDays(tuple(rain_days_of(climate)), work.persistence), f"from the weather of {name}"


def _climate(job: Job) -> Climate | None:
    """The job's weather; None where it has none, or one in a file that is not at hand."""
    if job.climate is None or job.climate.weather_file is not None:
        return None
    return climate_of(job.climate, weather=None)


def drying_days(job: Job, ordered: Ordered, *, opened: str) -> dict[str, float]:
    """Days to 19 % of each wet piece that stays, by its id, open on one face. [days]

    Empty where the job says it itself, has no climate, or one in a file that is not at hand; a
    piece that this air never dries is left out too.

    Parameters
    ----------
    opened : str
        The day on which it is laid bare, YYYY-MM-DD.
    """
    said = job.work is not None and job.work.drying_days is not None
    climate = None if said else _climate(job)
    if climate is None:
        return {}
    hour = hour_of(opened)
    days: dict[str, float] = {}
    for name, percent in wet_and_stays(ordered).items():
        piece = ordered.found.piece_named[name]
        made_of = material_of(piece)
        thick = entry(piece.record.what).thickness_in if piece.record.what else None
        if not made_of or thick is None or material(made_of).kind is not Kind.WOOD:
            continue
        member = OpenMember(piece.title, made_of, thick * M_PER_IN, percent, both_faces_open=False)
        time = days_to_dry(member, climate=climate, first_hour=hour)
        if time.days_to_close_in is not None:
            days[name] = round(time.days_to_close_in, 1)
    return days
