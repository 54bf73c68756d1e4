"""Published values of single nails and lags.

S-049: lateral value of a 16d common nail in Douglas Fir-Larch, 141 lb, given by structural
engineers; the other rows of the table from memory and recomputed. S-051: withdrawal, NDS Table
12.2A in city records for lags; 1380 G^2.5 D for nails.
"""

import pytest

from weatherlap.structure.fasteners import Lateral, group_factor, lag, lateral_value, nail
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


@pytest.mark.parametrize(
    ("area", "printed"),
    [
        (5, (0.98, 0.92, 0.84, 0.75, 0.68, 0.61, 0.55, 0.50, 0.45, 0.41, 0.38)),
        (12, (0.99, 0.96, 0.92, 0.87, 0.81, 0.76, 0.70, 0.65, 0.61, 0.57, 0.53)),
    ],
)
def test_group_action(area, printed):
    """S-069: NDS Table 11.3.6A, As/Am 0.5, 1 in at 4 in, E 1.4e6, 2 to 12 in a row; from memory."""
    found = [
        group_factor(n, diameter_in=1, apart_in=4, side=1.4e6 * area, main=2.8e6 * area)
        for n in range(2, 13)
    ]
    assert found == pytest.approx(printed, abs=0.005)
    assert group_factor(1, diameter_in=1, apart_in=4, side=1e6, main=1e6) == 1.0
    assert group_factor(9, diameter_in=0.2, apart_in=4, side=1e6, main=1e6) == 1.0
