"""An engineering firm's roof-step drift worked two ways (S-031, S-032).

Washington, upwind roof 40 ft, step 4 ft: by ASCE 7-16 with pg 25 psf the peak is about 53 psf; by
ASCE 7-22 with pg 63 psf and W2 0.45 about 89 psf.
"""

import pytest

from weatherlap.structure.snow import (
    drift_against_wall,
    drift_height_7_16_ft,
    drift_height_7_22_ft,
    flat_roof_snow,
    snow_density_pcf,
)


def test_by_asce_7_16():
    """pf 17.5, density 17.25, hd 2.08 ft, drift 35.8, peak 53.3 psf."""
    pf = flat_roof_snow(25, exposure=1, thermal=1, importance=1)
    density = snow_density_pcf(25)
    hd = drift_height_7_16_ft(25, fetch_ft=40)
    drift = drift_against_wall(hd, windward_ft=0, balanced_psf=pf, step_ft=4, density_pcf=density)
    assert (pf, density) == pytest.approx((17.5, 17.25), abs=0.005)
    assert hd == pytest.approx(2.08, abs=0.005)
    assert drift.peak_psf == pytest.approx(35.8, abs=0.08)
    assert pf + drift.peak_psf == pytest.approx(53.3, abs=0.08)


def test_by_asce_7_22():
    """pf 44.1 and the drift of W2 0.45 peak at about 89 psf."""
    pf = flat_roof_snow(63, exposure=1, thermal=1, importance=1)
    density = snow_density_pcf(63)
    hd = drift_height_7_22_ft(63, fetch_ft=40, winter_wind=0.45)
    drift = drift_against_wall(hd, windward_ft=0, balanced_psf=pf, step_ft=4, density_pcf=density)
    assert pf + drift.peak_psf == pytest.approx(89, abs=0.6)
