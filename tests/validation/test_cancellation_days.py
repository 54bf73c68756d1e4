"""Days of the cancellation rule (16 CFR 429) over holidays, and federal holidays as published.

The federal personnel office publishes the days on which each year's holidays are kept; the ones
typed here are from memory of those lists.
"""

from __future__ import annotations

import datetime

import pytest

from weatherlap.money.holidays import federal_holidays, is_business_day, last_day_to_cancel

D = datetime.date

KEPT = {
    2021: ["01-01", "01-18", "02-15", "05-31", "06-18", "07-05", "09-06", "10-11", "11-11",
           "11-25", "12-24"],
    2024: ["01-01", "01-15", "02-19", "05-27", "06-19", "07-04", "09-02", "10-14", "11-11",
           "11-28", "12-25"],
    2025: ["01-01", "01-20", "02-17", "05-26", "06-19", "07-04", "09-01", "10-13", "11-11",
           "11-27", "12-25"],
    2026: ["01-01", "01-19", "02-16", "05-25", "06-19", "07-03", "09-07", "10-12", "11-11",
           "11-26", "12-25"],
}  # fmt: skip


@pytest.mark.parametrize("year", KEPT)
def test_published_holidays(year):
    """The days kept in a year are those of the published list."""
    assert [f"{h.kept:%m-%d}" for h in federal_holidays(year)] == KEPT[year]


@pytest.mark.parametrize(
    ("signed", "last"),
    [
        pytest.param(D(2025, 10, 20), D(2025, 10, 23), id="plain-monday"),
        pytest.param(D(2025, 10, 23), D(2025, 10, 27), id="saturday-counts-sunday-not"),
        pytest.param(D(2026, 11, 25), D(2026, 11, 30), id="thanksgiving"),
        pytest.param(D(2025, 12, 24), D(2025, 12, 29), id="christmas"),
        pytest.param(D(2026, 7, 1), D(2026, 7, 7), id="fourth-on-a-saturday-kept-on-friday"),
        pytest.param(D(2021, 12, 30), D(2022, 1, 5), id="new-year-on-a-saturday"),
        pytest.param(D(2023, 11, 9), D(2023, 11, 15), id="veterans-day-on-a-saturday"),
        pytest.param(D(2022, 6, 17), D(2022, 6, 22), id="juneteenth-on-a-sunday"),
    ],
)
def test_third_business_day(signed, last):
    """The last day is the third that is neither a Sunday nor a federal holiday, by hand."""
    assert last_day_to_cancel(signed) == last


def test_the_period_never_has_fewer_days_than_asked():
    """Over eleven years, exactly three business days lie after signing up to the last day."""
    day = D(2020, 1, 1)
    while day < D(2031, 1, 1):
        last = last_day_to_cancel(day)
        span = [day + datetime.timedelta(days=k) for k in range(1, (last - day).days + 1)]
        assert sum(map(is_business_day, span)) == 3
        assert is_business_day(last)
        day += datetime.timedelta(days=1)
