"""Adjusted values of Missouri S&T CE 5260, solution pages 4.17 and 4.30 (S-002, S-003).

The pages give reference values inside strength-design conversions; here the values and the size
factor of a deep timber are checked, and the wet and stability forms of other printed solutions.
"""

import pytest

from weatherlap.structure.factors import size_factors
from weatherlap.structure.lumber import reference
from weatherlap.structure.model import Stock


def test_douglas_fir_no_1_dimension_and_timbers():
    """4.17: dimension 1000 675 180 625 1500 1.7e6 0.62e6; post 1200 825; beam 1350 675 925."""
    dim = reference(Stock(1.5, 9.25, 1, "DF-L", "No.1"))
    assert (dim.fb_psi, dim.ft_psi, dim.fv_psi, dim.fc_perp_psi, dim.fc_psi) == (
        1000, 675, 180, 625, 1500,
    )  # fmt: skip
    assert (dim.e_psi, dim.emin_psi) == (1.7e6, 0.62e6)
    post = reference(Stock(5.5, 5.5, 1, "DF-L", "No.1"))
    assert (post.fb_psi, post.ft_psi, post.fc_psi) == (1200, 825, 1000)
    beam = reference(Stock(5.5, 11.5, 1, "DF-L", "No.1"))
    assert (beam.fb_psi, beam.ft_psi, beam.fc_psi) == (1350, 675, 925)


def test_hem_fir_no_2():
    """4.30: dimension 850 525 150 405 1300 1.3e6; posts 575 375; beams 675 350, E 1.1e6."""
    dim = reference(Stock(1.5, 9.25, 1, "HF", "No.2"))
    assert (dim.fb_psi, dim.ft_psi, dim.fv_psi, dim.fc_perp_psi, dim.fc_psi, dim.e_psi) == (
        850, 525, 150, 405, 1300, 1.3e6,
    )  # fmt: skip
    assert reference(Stock(5.5, 5.5, 1, "HF", "No.2")).fb_psi == 575
    assert reference(Stock(5.5, 11.5, 1, "HF", "No.2")).fb_psi == 675


def test_deep_timber_size_factor():
    """4.30: CF = (12 / d)^(1/9) for timbers deeper than 12 in."""
    stock = Stock(5.5, 13.5, 1, "HF", "No.2")
    assert size_factors(stock, reference(stock))[0] == pytest.approx((12 / 13.5) ** (1 / 9))
