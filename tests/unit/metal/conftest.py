"""Metal and brakes that the tests of bending share."""

from __future__ import annotations

import pytest

from weatherlap.metal.brake import Brake
from weatherlap.metal.model import Metal
from weatherlap.metal.tables import brakes


@pytest.fixture(scope="session")
def coil() -> Metal:
    """Trim coil, bent sharp."""
    return Metal("coil", 0.019, 0.4)


@pytest.fixture(scope="session")
def brake() -> Brake:
    """The example brake."""
    return brakes()["example"]
