"""Published values of single nails and lags.

S-049: lateral value of a 16d common nail in Douglas Fir-Larch, 141 lb, given by structural
engineers; the other rows of the table from memory and recomputed. S-051: withdrawal, NDS Table
12.2A in city records for lags; 1380 G^2.5 D for nails.
"""

import pytest

from weatherlap.structure.fasteners import Lateral, lag, lateral_value, nail
from weatherlap.structure.withdrawal import withdrawal_lb_per_in

GRAVITY = (0.55, 0.50, 0.43, 0.42)


@pytest.mark.parametrize(
    ("name", "printed"),
    [
        ("8d common", (106, 97, 84, 82)),
        ("16d box", (113, 103, 89, 88)),
        ("16d common", (154, 141, 122, 120)),
    ],
)
def test_nails_in_single_shear(name, printed):
    """1 1/2 in side member, full penetration: to the printed pound or the next."""
    n = nail(name)
    for gravity, pounds in zip(GRAVITY, printed, strict=True):
        one, _, _ = lateral_value(Lateral(n, gravity, gravity, 1.5, 10 * n.diameter_in))
        assert one == pytest.approx(pounds, abs=1.0)


@pytest.mark.parametrize(
    ("name", "printed"), [("16d common", (50, 40, 27, 26)), ("8d common", (41, 32, 22, 21))]
)
def test_nail_withdrawal(name, printed):
    """Pounds per inch in side grain, to the printed pound."""
    for gravity, pounds in zip(GRAVITY, printed, strict=True):
        assert withdrawal_lb_per_in(nail(name), gravity=gravity) == pytest.approx(pounds, abs=0.6)


@pytest.mark.parametrize(
    ("name", "pine", "fir"), [("1/4 lag", 260, 225), ("3/8 lag", 352, 305), ("1/2 lag", 437, 378)]
)
def test_lag_withdrawal(name, pine, fir):
    """Pounds per inch of thread at G 0.55 and 0.50, to the printed pound."""
    one = lag(name, length_in=4, threaded_in=2)
    assert withdrawal_lb_per_in(one, gravity=0.55) == pytest.approx(pine, abs=0.6)
    assert withdrawal_lb_per_in(one, gravity=0.50) == pytest.approx(fir, abs=0.6)
