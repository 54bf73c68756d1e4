"""Stability factors of printed examples.

Wood column: Mechanics of Materials, 7th edition, solution 11.9-31 (a 3.5 x 7.25 in column, Fc 1000
psi, E 1,300,000 psi, KcE 0.3, c 0.8), read in a copy of the solutions. Beam: the ratio 2.83 of
example 5.3 of a structural engineering reference manual, whose CL an article gives as 0.974.
"""

import pytest

from weatherlap.structure.stability import beam_stability, column_stability, euler_stress

EMIN = 0.3 * 1.3e6 / 0.822


@pytest.mark.parametrize(
    ("feet", "slender", "phi", "cp", "kips"),
    [
        (6, 20.57, 0.9216, 0.6621, 16.8),
        (8, 27.43, 0.5184, 0.4464, 11.3),
        (10, 34.29, 0.3318, 0.3050, 7.7),
    ],
)
def test_wood_column_11_9_31(feet, slender, phi, cp, kips):
    """Slenderness, FcE/Fc, CP and allowable load at 6, 8 and 10 ft, to the printed digit."""
    ratio = feet * 12 / 3.5
    assert ratio == pytest.approx(slender, abs=0.005)
    assert euler_stress(EMIN, slenderness=ratio) / 1000 == pytest.approx(phi, abs=0.00005)
    ours = column_stability(1000.0, emin_psi=EMIN, slenderness=ratio)
    assert ours == pytest.approx(cp, abs=0.00005)
    assert 1000 * ours * 3.5 * 7.25 / 1000 == pytest.approx(kips, abs=0.05)


def test_beam_example_5_3():
    """FbE / Fb* = 2.83 gives CL 0.974."""
    fb, slender = 1000.0, 10.0
    emin = 2.83 * fb * slender**2 / 1.20
    assert beam_stability(fb, emin_psi=emin, slenderness=slender) == pytest.approx(
        0.974, abs=0.0006
    )
