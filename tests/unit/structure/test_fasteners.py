"""Yield equations, withdrawal, connections, ply nailing."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weatherlap.errors import InputError
from weatherlap.structure.connections import (
    FastenerSet,
    Fastening,
    RatedPart,
    connection_checks,
    uplift_capacity,
)
from weatherlap.structure.fasteners import (
    Lateral,
    Manner,
    Mode,
    Side,
    lag,
    lateral_value,
    nail,
    penetration_factor,
    screw,
    steel_bearing_psi,
    yield_loads,
)
from weatherlap.structure.model import Hold
from weatherlap.structure.ply_nailing import (
    PlyNailing,
    column_nailing_faults,
    ledger_spacing_in,
    ply_nailing_checks,
)
from weatherlap.structure.staging import as_found
from weatherlap.structure.withdrawal import (
    Moisture,
    wet_withdrawal_factor,
    withdrawal_lb_per_in,
    withdrawal_value,
)


@given(
    st.floats(0.1, 0.24), st.floats(0.7, 4.0), st.floats(0.5, 4.0), st.floats(2000, 6000),
    st.floats(2000, 6000),
)  # fmt: skip
def test_swapping_the_members_swaps_the_modes(d, lm, ls, fem, fes):
    """Main and side exchanged: Im and Is, IIIm and IIIs change places, II and IV stay."""
    a = yield_loads(d, main=Side(lm, fem), side=Side(ls, fes), bending_psi=9e4)
    b = yield_loads(d, main=Side(ls, fes), side=Side(lm, fem), bending_psi=9e4)
    for one, other in ((Mode.I_M, Mode.I_S), (Mode.III_M, Mode.III_S)):
        assert a[one] == pytest.approx(b[other], rel=1e-9)
    for mode in (Mode.II, Mode.IV):
        assert a[mode] == pytest.approx(b[mode], rel=1e-9)


def test_penetration_and_toe_nails():
    """Ten diameters full, six the least, between in proportion; a toe-nail takes 0.83."""
    n = nail("16d common")
    assert penetration_factor(n, penetration_in=1.62) == 1.0
    assert penetration_factor(n, penetration_in=1.296) == pytest.approx(0.8)
    assert penetration_factor(n, penetration_in=0.9) == 0.0
    face = lateral_value(Lateral(n, 0.5, 0.5, 1.5, 2.0))[0]
    toe = lateral_value(Lateral(n, 0.5, 0.5, 1.5, 2.0, Manner.TOE))[0]
    assert toe == pytest.approx(0.83 * face)
    assert lateral_value(Lateral(n, 0.5, 0.5, 1.5, 0.5))[0] == 0.0


def test_steel_side_plate_and_lag_turned_across_the_grain():
    """A steel side plate bears more than wood; a lag loses when loaded across the grain."""
    n = nail("10d common")
    wood = lateral_value(Lateral(n, 0.5, 0.5, 0.06, 1.48))[0]
    steel = lateral_value(
        Lateral(n, 0.5, 0.5, 0.06, 1.48, side_psi=steel_bearing_psi("A653 Gr 33"))
    )[0]
    assert steel > wood
    bolt = lag("1/2 lag", length_in=5, threaded_in=3)
    along, across = (
        lateral_value(Lateral(bolt, 0.5, 0.5, 1.5, 4.0, angle_deg=a))[0] for a in (0, 90)
    )
    assert across < 0.7 * along


def test_withdrawal_factors():
    """End grain holds no nail; a toe-nail 0.67; a nail in wood that dries a quarter; lags 0.75."""
    n, bolt = nail("16d common"), lag("1/2 lag", length_in=5, threaded_in=3)
    assert withdrawal_value(n, gravity=0.5, length_in=2, manner=Manner.END)[0] == 0.0
    full = withdrawal_value(n, gravity=0.5, length_in=2, manner=Manner.FACE)[0]
    toe = withdrawal_value(n, gravity=0.5, length_in=2, manner=Manner.TOE)[0]
    assert toe == pytest.approx(0.67 * full)
    assert withdrawal_value(bolt, gravity=0.5, length_in=3, manner=Manner.END)[0] == pytest.approx(
        0.75 * 3 * withdrawal_lb_per_in(bolt, gravity=0.5)
    )
    green = Moisture(wet_at_making=True)
    assert wet_withdrawal_factor(n, moisture=green) == 0.25
    assert wet_withdrawal_factor(bolt, moisture=green) == 1.0
    s = screw("No.10 screw", length_in=3, threaded_in=1.5)
    assert withdrawal_lb_per_in(s, gravity=0.5) == pytest.approx(135, abs=0.5)


def test_unknown_names_say_what_is_known():
    """An unknown nail, and a nail too thick for the table, are refused."""
    with pytest.raises(InputError, match="'17d common'"):
        nail("17d common")
    with pytest.raises(InputError, match="size or strength of 0"):
        yield_loads(0.1, main=Side(0.0, 4000), side=Side(1.5, 4000), bending_psi=9e4)


def test_tied_rafters_pull_on_their_nails(make_porch):
    """Under uplift the rafter joints pull; toe-nails, straps and nothing are told apart."""
    framing = make_porch(wind_up_psf=60, hold=Hold.TIED).framing
    stage = as_found(framing)
    up = next(c for c in stage.carried if c.upward)
    toe = FastenerSet(nail("16d common"), 3, 1.5, 1.17, Manner.TOE, pulls_out=True)
    strap = RatedPart("strap", "report 1", up_lb=500, duration=1.6)
    fastenings = {
        "r4-beam": Fastening("r4-beam", (toe,)),
        "r5-beam": Fastening("r5-beam", (), strap),
    }
    checks, missing = connection_checks(framing, stage=stage, carried=up, fastenings=fastenings)
    by = {(c.about, c.what): c for c in checks}
    assert by["r4-beam", "uplift"].limit == pytest.approx(
        3 * withdrawal_lb_per_in(toe.fastener, gravity=0.42) * 1.17 * 0.67 * 1.6, rel=1e-6
    )
    assert by["r5-beam", "uplift"].limit == 500
    assert any(m.about == "r3-beam" for m in missing)


def test_nails_and_a_part_are_not_added_up(make_porch):
    """The larger of nails and strap counts, and a rating is taken down to a longer load."""
    framing = make_porch(hold=Hold.TIED).framing
    joint = next(j for j in framing.joints if j.id == "r4-beam")
    toe = FastenerSet(nail("16d common"), 3, 1.5, 1.17, Manner.TOE, pulls_out=True)
    both = Fastening("r4-beam", (toe,), RatedPart("strap", "r", up_lb=500, duration=1.6))
    assert uplift_capacity(framing, joint, both, duration=1.6).pounds == 500
    assert uplift_capacity(framing, joint, both, duration=0.8).pounds == 250


def test_ply_nailing_side_load_and_schedule():
    """Two plies pass half the side load; 16d at 24 in in two rows keeps the schedule, 30 not."""
    good = ply_nailing_checks(
        "b", PlyNailing(nail("16d common"), 24, 2), plies=2, ply_in=1.5, gravity=0.5,
        side_load_plf=100, duration=1.0,
    )  # fmt: skip
    assert good[0].result == 50.0
    assert good[0].limit == pytest.approx(141 * 2 * 12 / 24 * 1.5 / 1.62, rel=0.02)
    assert good[1].holds
    wide = ply_nailing_checks(
        "b", PlyNailing(nail("16d common"), 30, 2), plies=2, ply_in=1.5, gravity=0.5,
        side_load_plf=0, duration=1.0,
    )  # fmt: skip
    assert not wide[1].holds


def test_16d_nails_are_too_short_for_three_plies():
    """A three-ply column needs 4 1/8 in: 16d fails by length, 30d does not."""
    short = column_nailing_faults(
        PlyNailing(nail("16d common"), 8, 2), plies=3, ply_in=1.5, width_in=5.5, end_in=2.6
    )
    assert any("4.125" in text for text in short)
    long = column_nailing_faults(
        PlyNailing(nail("30d common"), 8, 2), plies=3, ply_in=1.5, width_in=5.5, end_in=3.3
    )
    assert long == ()


def test_ledger_spacing_by_span():
    """1/2 in lags at 18 in to 10 ft, 15 in over that; over 18 ft is refused."""
    assert ledger_spacing_in(10.0, band="band_2x") == 18
    assert ledger_spacing_in(10.1, band="band_2x") == 15
    with pytest.raises(InputError, match="over 0 to 18 ft"):
        ledger_spacing_in(19.0, band="rim_1")
