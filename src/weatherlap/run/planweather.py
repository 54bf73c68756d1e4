"""The weather of the place as the plan needs it: days with rain, days until bare wood is dry."""

from __future__ import annotations

from weatherlap.drying.climate import Climate
from weatherlap.drying.materials import Kind, material
from weatherlap.drying.open_drying import OpenMember, days_to_dry
from weatherlap.job.model import Job
from weatherlap.job.placing import placing
from weatherlap.job.workrecords import Work
from weatherlap.order.weather import USUAL_WET_DAYS, RainDays, persistence_of
from weatherlap.run.cornertasks import material_of
from weatherlap.run.dryweather import (
    WET_DAY_MM,
    climate_of,
    hour_of,
    months_of_days,
    rain_days_of,
)
from weatherlap.run.ordering import Ordered
from weatherlap.run.wetwood import wet_and_stays
from weatherlap.sources.catalogue import entry

M_PER_IN = 0.0254


def climate_for_plan(job: Job, weather: str | None) -> Climate | None:
    """The job's weather; None where it has none, or one in a file that is not at hand.

    Parameters
    ----------
    weather : str or None
        Text of the weather file, where the job names one.

    Raises
    ------
    InputError
        If the weather cannot be used.
    """
    if job.climate is None or (job.climate.weather_file is not None and weather is None):
        return None
    with placing(job):
        return climate_of(job.climate, weather=weather)


def rain_of(job: Job, work: Work, climate: Climate | None) -> tuple[RainDays, str]:
    """Days with rain in each month, how they hang together, and where that comes from, in words.

    Hours of a file also say how much a wet day makes the next one wet, where the job does not.
    """
    if work.wet_days:
        return RainDays(work.wet_days, work.persistence), "as the job says"
    assumed = RainDays(USUAL_WET_DAYS, work.persistence)
    in_file = job.climate is not None and job.climate.weather_file is not None
    if climate is None:
        why = "; the weather file was not at hand" if in_file else ""
        return assumed, f"an assumption: 10 in every month{why}"
    name = climate.place or "the place"
    counted = tuple(rain_days_of(climate))
    if not any(counted):
        return assumed, f"an assumption: 10 in every month; the weather of {name} holds no rain"
    if not in_file or "persistence" in work.model_fields_set:
        return RainDays(counted, work.persistence), f"from the weather of {name}"
    wet = climate.rain_mm_h.reshape(-1, 24).sum(axis=1) >= WET_DAY_MM
    days = RainDays(counted, round(persistence_of(wet, months_of_days()), 2))
    noted = "".join(f"; {row}" for row in climate.repairs if row.startswith("rain"))
    return days, (
        f"counted in the hours of {name}, {sum(counted):.0f} in the year, and so is how they hang "
        f"together{noted}"
    )


def drying_days(
    job: Job, ordered: Ordered, climate: Climate | None, *, opened: str
) -> dict[str, float]:
    """Days to 19 % of each wet piece that stays, by its id, open on one face. [days]

    Empty where the job says it itself or there is no climate; a piece that this air never dries
    is left out too.

    Parameters
    ----------
    opened : str
        The day on which it is laid bare, YYYY-MM-DD.
    """
    said = job.work is not None and job.work.drying_days is not None
    if said or climate is None:
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
