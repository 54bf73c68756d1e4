"""Checks against a general stiff solver (SciPy's LSODA) on the same equations, written apart."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import numpy as np
import pytest

from weatherlap.drying.climate import from_hour
from weatherlap.drying.march import Steps, march
from weatherlap.drying.model import Layer, Leak, Wall
from weatherlap.drying.normals import hourly_climate, place
from weatherlap.drying.sides import wall_airs
from weatherlap.drying.stack import leaks_of, stack_of, start_of

SPEC = importlib.util.spec_from_file_location(
    "stiff_reference", Path(__file__).with_name("stiff_reference.py")
)
assert SPEC is not None and SPEC.loader is not None
reference = importlib.util.module_from_spec(SPEC)
SPEC.loader.exec_module(reference)

HOURS = 36


def leaking_wall() -> Wall:
    """Siding, vented gap, barrier sheet, wet sheathing, insulation, lining; a leak on a morning."""
    leak = np.zeros(HOURS)
    leak[20:24] = 0.05
    return Wall(
        "wall",
        (
            Layer("siding", "cedar", 0.0127),
            Layer("gap", "air", 0.01, air_changes_per_h=50.0),
            Layer("wrap", "polyolefin-sheet", 0.0002),
            Layer("osb", "osb", 0.0111, start_pct=18.0),
            Layer("batt", "glass-fibre", 0.09),
            Layer("gypsum", "gypsum", 0.0127),
        ),
        facing_deg=180.0,
        leaks=(Leak("osb", leak),),
    )


@pytest.fixture(scope="module")
def both_answers() -> tuple[np.ndarray, np.ndarray]:
    """Layer means after 36 April hours: the engine's and the stiff solver's."""
    weather = from_hour(hourly_climate(place("boston-ma")), first_hour=2400, hours=HOURS)
    wall = leaking_wall()
    stack = stack_of(wall, fineness=0.35)
    airs, leaks = wall_airs(wall, climate=weather), leaks_of(stack, hours=HOURS)
    start = start_of(stack, airs=airs)
    fine = Steps(water_tolerance_kg_m3=0.1, longest_s=225.0)
    course = march(stack.cells, airs=airs, start=start, leaks=leaks, steps=fine)
    slow = reference.StiffReference(stack.cells, airs, leaks)
    water = slow.run(start, HOURS, rtol=1e-5, method="LSODA")
    return stack.cells.layer_means(course.water_kg_m3), stack.cells.layer_means(water)


@pytest.mark.parametrize(("layer", "name"), [(0, "siding"), (3, "osb"), (5, "gypsum")])
def test_layers_that_store_agree(
    both_answers: tuple[np.ndarray, np.ndarray], layer: int, name: str
) -> None:
    """Water of the layers that store agrees with the stiff solver within half a percent."""
    ours, theirs = both_answers
    assert ours[layer] == pytest.approx(theirs[layer], rel=0.005), name


def test_thin_layers_agree(both_answers: tuple[np.ndarray, np.ndarray]) -> None:
    """Gap, sheet and insulation, which follow the rest at once, agree within 3 %."""
    ours, theirs = both_answers
    assert ours[[1, 2, 4]] == pytest.approx(theirs[[1, 2, 4]], rel=0.03)
