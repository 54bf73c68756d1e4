"""The rain of the plan: from the job, from the months, or counted in the hours of a file."""

from __future__ import annotations

import datetime

import numpy as np
import pytest

from weatherlap.job.reading import read_job
from weatherlap.job.workrecords import Work
from weatherlap.order.weather import RainDays, persistence_of, sampled_wet
from weatherlap.run.dryweather import months_of_days
from weatherlap.run.planweather import climate_for_plan, rain_of

JOB = """[job]
title = "Wall"

[[face]]
id = "wall"
facing = 180
tilt = 90
origin = [0, 0, 0]
width = 96
height = 96

[climate]
weather_file = "hours.csv"
latitude = 42.5
name = "Quillhaven"
"""


def hours(wet: set[int], *, rain: str = "0.02") -> str:
    """A year of hours in which it rains at noon of some days."""
    rows = ["temperature [F], humidity [%], wind [mph], rain [in]"]
    rows += [f"50,60,5,{rain if h % 24 == 12 and h // 24 in wet else '0'}" for h in range(8760)]
    return "\n".join(rows)


def rain(text: str | None, work: Work | None = None):
    """Days with rain of the job with a weather file."""
    job = read_job(JOB)
    return rain_of(job, work or Work(), climate_for_plan(job, text))


def test_days_with_rain_are_counted_in_the_file():
    """Every second day of January, no other: 16 days there, none in July."""
    days, words = rain(hours(set(range(0, 31, 2))))
    assert days.wet_days == (16.0, *(0.0,) * 11)
    assert days.persistence == 0.0
    assert "counted in the hours of Quillhaven, 16 in the year" in words


def test_a_trace_of_rain_makes_no_wet_day():
    """Under 0.01 in a day counts as none (the threshold of the decay index, D-011)."""
    _, words = rain(hours(set(range(365)), rain="0.005"))
    assert "an assumption: 10 in every month; the weather of Quillhaven holds no rain" in words


def test_a_file_that_is_not_at_hand_is_said():
    """The plan is made all the same."""
    days, words = rain(None)
    assert days.wet_days == (10.0,) * 12
    assert "the weather file was not at hand" in words


def test_what_the_job_says_goes_first():
    """Its own days, and its own persistence."""
    own = Work.model_validate({"wet_days": [5] * 12})
    assert rain(hours({1}), own)[0].wet_days == (5.0,) * 12
    kept = Work.model_validate({"persistence": 0.4})
    assert rain(hours({1, 2, 3}), kept)[0].persistence == 0.4


@pytest.mark.parametrize("told", [0.0, 0.3, 0.6])
def test_persistence_is_found_again_in_days_drawn_with_it(told: float):
    """400 years of the chain itself: what was put in comes out."""
    chain = RainDays((10.0,) * 12, told)
    wet = sampled_wet(chain, datetime.date(2025, 1, 1), 365, runs=400, seed=5)
    found = np.mean([persistence_of(year, months_of_days()) for year in wet])
    assert found == pytest.approx(told, abs=0.03)


def test_days_all_alike_hang_together_by_nothing():
    """A year without a wet day, and one without a dry one."""
    months = months_of_days()
    assert persistence_of(np.zeros(365, dtype=bool), months) == 0.0
    assert persistence_of(np.ones(365, dtype=bool), months) == 0.0
