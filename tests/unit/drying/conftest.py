"""A year of weather and two small walls for the drying tests."""

from __future__ import annotations

import numpy as np
import pytest

from weatherlap.drying.climate import Climate, driving_rain_kg_m2_h
from weatherlap.drying.model import Layer, Leak, Wall
from weatherlap.drying.normals import hourly_climate, place

LEAK_SHARE = 0.05


@pytest.fixture(scope="session")
def boston() -> Climate:
    """Boston's year, made from its monthly normals."""
    return hourly_climate(place("boston-ma"))


@pytest.fixture(scope="session")
def rain(boston: Climate) -> np.ndarray:
    """Rain on a wall that looks south."""
    return driving_rain_kg_m2_h(boston, facing_deg=180.0)


@pytest.fixture(scope="session")
def tight_wall(rain: np.ndarray) -> Wall:
    """As found: painted siding tight on felt, leaking sheathing, insulation, lining."""
    return Wall(
        "as found",
        (
            Layer("paint", "alkyd-paint", 0.00015),
            Layer("siding", "cedar", 0.0127),
            Layer("felt", "asphalt-felt", 0.0008),
            Layer("sheathing", "osb", 0.0111),
            Layer("batt", "glass-fibre", 0.089),
            Layer("gypsum", "gypsum", 0.0127),
        ),
        facing_deg=180.0,
        leaks=(Leak("sheathing", LEAK_SHARE * rain),),
    )


@pytest.fixture(scope="session")
def vented_wall() -> Wall:
    """As repaired: vinyl over a vented gap and a housewrap, the same behind, no leak."""
    return Wall(
        "as repaired",
        (
            Layer("siding", "vinyl", 0.001),
            Layer("gap", "air", 0.01, air_changes_per_h=200.0),
            Layer("wrap", "polyolefin-sheet", 0.0002),
            Layer("sheathing", "osb", 0.0111),
            Layer("batt", "glass-fibre", 0.089),
            Layer("gypsum", "gypsum", 0.0127),
        ),
        facing_deg=180.0,
    )
