"""Wind tables: Kz (S-033) and the code's roof tie-down (S-036)."""

import pytest

from weatherlap.structure.site import Exposure
from weatherlap.structure.wind import exposure_coefficient, tie_down_lb, velocity_pressure


@pytest.mark.parametrize(
    ("height", "b", "c", "d"),
    [
        (15, 0.57, 0.85, 1.03), (20, 0.62, 0.90, 1.08), (25, 0.66, 0.94, 1.12),
        (30, 0.70, 0.98, 1.16), (40, 0.76, 1.04, 1.22),
    ],
)  # fmt: skip
def test_exposure_coefficients(height, b, c, d):
    """Kz to the printed digit (0.945 at 25 ft in C prints as 0.94)."""
    for exposure, printed in ((Exposure.B, b), (Exposure.C, c), (Exposure.D, d)):
        assert exposure_coefficient(height, exposure=exposure) == pytest.approx(printed, abs=0.006)


def test_velocity_pressure_by_hand():
    """0.00256 x 0.85 x 0.85 x 115 squared = 24.5 psf at 15 ft in exposure C."""
    assert velocity_pressure(115, kz=0.85) == pytest.approx(24.46, abs=0.01)


@pytest.mark.parametrize(
    ("spacing", "span", "speed", "rise", "printed"),
    [
        (12, 12, 110, 4, 48), (12, 24, 115, 6, 79), (16, 32, 120, 4, 178), (16, 42, 140, 6, 370),
        (24, 12, 130, 4, 190), (24, 24, 120, 4, 216), (24, 32, 140, 6, 444),
    ],
)  # fmt: skip
def test_tie_down_rows(spacing, span, speed, rise, printed):
    """Printed rows, those at 24 in as twice the 12 in ones: to a pound or two."""
    ours = tie_down_lb(
        speed, roof_span_ft=span, spacing_in=spacing, rise_per_12=rise, exposure=Exposure.B,
        roof_height_ft=20,
    )  # fmt: skip
    assert ours == pytest.approx(printed, abs=2.0)


def test_tie_down_between_rows():
    """Between speeds and spans the straight line: 12 in, 18 ft, 112.5 mph."""
    ours = tie_down_lb(
        112.5, roof_span_ft=18, spacing_in=12, rise_per_12=4, exposure=Exposure.B,
        roof_height_ft=20,
    )  # fmt: skip
    assert ours == pytest.approx((48 + 59 + 71 + 89) / 4)
