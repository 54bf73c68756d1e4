"""The monthly method beside the march."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from weatherlap.drying.air import saturation_pressure_pa
from weatherlap.drying.condensation import (
    Month,
    Outcome,
    Ply,
    condensation_year,
    cut,
    month_rates,
    plies_of,
    tight_line,
)
from weatherlap.drying.model import Layer, Wall
from weatherlap.errors import InputError

COLD = (-20.0, -18.0, -10.0, -2.0, 3.0, 6.0, 8.0, 7.0, 2.0, -4.0, -12.0, -18.0)


def months(outside: tuple[float, ...], inside_rh: float) -> list[Month]:
    """Outside at 85 %, inside at 21 C and a humidity."""
    return [
        Month(
            t,
            0.85 * saturation_pressure_pa(t),
            21.0,
            inside_rh * saturation_pressure_pa(21.0),
            30.0,
        )
        for t in outside
    ]


@given(
    steps=st.lists(st.floats(0.1, 10.0), min_size=2, max_size=12),
    most=st.lists(st.floats(200.0, 3000.0), min_size=13, max_size=13),
    ends=st.tuples(st.floats(100.0, 2500.0), st.floats(100.0, 2500.0)),
)
def test_line_is_tight(steps: list[float], most: list[float], ends: tuple[float, float]) -> None:
    """The line never passes saturation, and bends up nowhere."""
    x = np.concatenate(([0.0], np.cumsum(steps)))
    bound = np.array(most[: x.size])
    line = tight_line(x, ends_pa=ends, most_pa=bound)
    assert np.all(line <= bound + 1e-9) or line[0] <= ends[0]
    slopes = np.diff(line) / np.diff(x)
    assert np.all(np.diff(slopes) >= -1e-6)


def test_cold_and_damp_stays_wet() -> None:
    """With a tight outside in a cold climate some condensate stays."""
    plies = (Ply("membrane", 0.001, 0.2, 50000.0), Ply("fibre", 0.14, 0.04, 1.0))
    year = condensation_year(plies, months=months(COLD, 0.6))
    assert year.outcome is Outcome.STAYS
    assert sum(year.held_kg_m2[-1]) > 0.1


def test_barrier_inside_keeps_it_dry() -> None:
    """The same with a vapour barrier inside has no condensation."""
    plies = (
        Ply("board", 0.012, 0.13, 50.0), Ply("fibre", 0.14, 0.04, 1.0),
        Ply("sheet", 0.0002, 0.33, 400000.0),
    )  # fmt: skip
    year = condensation_year(plies, months=months(COLD, 0.4))
    assert year.outcome is Outcome.NONE and year.most_kg_m2 == 0.0
    assert year.sentence == "By the monthly method: no condensation."


def test_vapour_balances() -> None:
    """What condenses is what comes in less what goes out."""
    interfaces = cut((Ply("a", 0.012, 0.13, 50.0), Ply("b", 0.14, 0.04, 1.0)))
    month = months(COLD, 0.5)[0]
    gain, pressure = month_rates(interfaces, month=month, wet=[False] * len(interfaces.names))
    air = np.array(interfaces.air_layer_m)
    flow = 2e-10 * np.diff(pressure) / np.diff(air)
    assert gain.sum() == pytest.approx(flow[-1] - flow[0], rel=1e-6)


def test_vented_cladding_is_left_out() -> None:
    """Plies of a wall begin inside its vented gap."""
    wall = Wall(
        "w",
        (
            Layer("siding", "vinyl", 0.001), Layer("gap", "air", 0.01, air_changes_per_h=100.0),
            Layer("osb", "osb", 0.0111), Layer("batt", "glass-fibre", 0.089),
        ),
    )  # fmt: skip
    assert [ply.name for ply in plies_of(wall)] == ["osb", "batt"]


@pytest.mark.parametrize(
    ("plies", "count", "want"),
    [
        ((), 12, "no layer"),
        ((Ply("a", 0.0, 0.1, 5.0),), 12, "layer a: a value not above zero"),
        ((Ply("a", 0.1, 0.1, 5.0),), 11, "11 months; expected twelve"),
    ],
)
def test_impossible_input_is_refused(plies: tuple[Ply, ...], count: int, want: str) -> None:
    """No layer, no thickness or eleven months are refused."""
    with pytest.raises(InputError, match=want):
        condensation_year(plies, months=months(COLD, 0.5)[:count])
