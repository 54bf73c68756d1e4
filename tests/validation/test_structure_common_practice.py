"""What carpenters do, and whether the numbers agree (S-061: common practice, no source)."""

from weatherlap.structure.member_checks import check_stage
from weatherlap.structure.model import (
    Case,
    Framing,
    Hold,
    LineLoad,
    Member,
    Service,
    Stock,
    Support,
    Use,
)
from weatherlap.structure.post_lift import USUAL_CAP_LIFT_IN, post_lift
from weatherlap.structure.staging import as_found


def porch_beam(stock, places):
    """A wet treated 16 ft beam with 4 ft of roof: 10 psf dead, 30 psf snow."""
    beam = Member("b", Use.BEAM, (0, 0, 0), (192, 0, 0), stock, Service(wet=True), unbraced_in=0)
    supports = tuple(
        Support(f"p{k}", "b", (x, 0, 0), Hold.TIED, 0.0, 5.5, 3.0) for k, x in enumerate(places)
    )
    loads = (LineLoad("b", Case.DEAD, 40, 40), LineLoad("b", Case.SNOW, 120, 120))
    framing = Framing((beam,), (), supports, loads)
    return check_stage(framing, as_found(framing))[0]


def test_a_16_ft_pair_of_2x10_is_a_usual_porch_beam():
    """Two Southern Pine 2x10 in one 16 ft length over three posts carry an 8 ft porch."""
    pair = Stock(1.5, 9.25, 2, "SP", "No.2")
    assert all(c.holds for c in porch_beam(pair, (3, 96, 189)))


def test_the_same_pair_does_not_span_16_ft_alone():
    """Without its middle post the same pair is worked over its limit."""
    pair = Stock(1.5, 9.25, 2, "SP", "No.2")
    assert any(not c.holds for c in porch_beam(pair, (3, 189)))


def test_a_post_cap_hides_a_quarter_inch():
    """A lift of 1/8 in does not free a post from a cap that hides 1/4 in; 3/8 in may."""
    cap = {"unloads_in": 0.06, "clears_in": USUAL_CAP_LIFT_IN}
    assert not post_lift("post", available_in=0.125, **cap).check.holds
    assert post_lift("post", available_in=0.375, **cap).check.holds
