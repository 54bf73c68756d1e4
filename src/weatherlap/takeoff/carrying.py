"""What it weighs, and what the rack takes in how many trips."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from weatherlap.errors import InputError
from weatherlap.takeoff.buying import BuyRow
from weatherlap.units import tape


@dataclass(frozen=True, slots=True)
class Load:
    """What is carried. [lb, in]

    ``on_rack_lb`` rides on the rack in ``trips`` trips, never fewer than ``least_trips``; the
    rest rides inside. ``delivered`` does not fit the rack, each with why.
    """

    total_lb: float
    on_rack_lb: float
    longest_in: float
    trips: int
    least_trips: int
    delivered: tuple[str, ...]


def rack_load(rows: Sequence[BuyRow], *, length_in: float, load_lb: float) -> Load:
    """Weights of a buy list, and the trips that the rack takes.

    Parameters
    ----------
    rows : sequence of BuyRow
        What is bought. [lb, in]
    length_in, load_lb : float
        The longest thing and the greatest load that the rack takes. [in, lb]

    Returns
    -------
    Load
        Weights, trips, and what has to be delivered.

    Raises
    ------
    InputError
        If the rack takes nothing.
    """
    if not (length_in > 0 and load_lb > 0):
        raise InputError("rack", f"{length_in:g} in, {load_lb:g} lb", "a length and a load above 0")
    on_rack = [row for row in rows if row.good.rack]
    delivered = []
    loads: list[float] = []
    for row in on_rack:
        if row.length_in > length_in + 1e-6:
            over = f"{tape(row.length_in)} long on a rack of {tape(length_in)}"
            delivered.append(f"{row.name}: {over}; have it delivered or cut at the yard")
        elif row.lb > load_lb:
            delivered.append(f"{row.name}: {row.lb:.0f} lb on a rack for {load_lb:.0f} lb")
        else:
            loads += [row.lb] * row.count
    fits = sum(loads)
    return Load(
        total_lb=sum(row.total_lb for row in rows),
        on_rack_lb=fits,
        longest_in=max((row.length_in for row in on_rack), default=0.0),
        trips=_trips(loads, load_lb),
        least_trips=math.ceil(fits / load_lb - 1e-9),
        delivered=tuple(delivered),
    )


def _trips(loads: Sequence[float], load_lb: float) -> int:
    """Trips when the heaviest goes first, each onto the first trip that still takes it."""
    room: list[float] = []
    for load in sorted(loads, reverse=True):
        for number, left in enumerate(room):
            if load <= left + 1e-9:
                room[number] = left - load
                break
        else:
            room.append(load_lb - load)
    return len(room)
