"""The firm's own table of hours, or the invented one."""

from __future__ import annotations

from collections.abc import Mapping

from weatherlap.order.hours import CrewHours, invented_hours, read_hours


def rates_of(own: Mapping[str, str]) -> CrewHours:
    """The table ``rates`` of the firm's own, else the invented one that comes with the program.

    Raises
    ------
    InputError
        If the firm's table cannot be read.
    """
    return read_hours(own["rates"]) if "rates" in own else invented_hours()
