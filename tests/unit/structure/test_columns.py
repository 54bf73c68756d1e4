"""Posts, built-up columns, combined stresses and bearing."""

import pytest

from weatherlap.structure.bearing import bearing_at_angle, grain_angle_deg
from weatherlap.structure.member_checks import check_stage
from weatherlap.structure.model import (
    Case,
    Condition,
    Framing,
    Hold,
    Joint,
    LineLoad,
    Loss,
    Member,
    PointLoad,
    Service,
    Stock,
    Support,
    Use,
)
from weatherlap.structure.results import Verdict
from weatherlap.structure.stability import column_stability
from weatherlap.structure.staging import as_found


def post_framing(stock, height, load, **kw):
    """A post that stands on the ground with a load on its head."""
    post = Member("p", Use.POST, (0, 0, 0), (0, 0, height), stock, weight_pcf=1e-9, **kw)
    foot = Support("f", "p", (0, 0, 0), Hold.PINNED, bearing_length_in=stock.depth_in,
                   bearing_width_in=stock.total_width_in)  # fmt: skip
    return Framing((post,), (), (foot,), (), (PointLoad("p", Case.LIVE, load, height),))


def checks_of(framing, about):
    """Checks of one member or link by kind."""
    found, _ = check_stage(framing, as_found(framing))
    return {c.what: c for c in found if c.about == about}


def test_post_stress_and_limit():
    """P / A against Fc* CP of the thinner way."""
    found = checks_of(post_framing(Stock(3.5, 3.5, 1, "SP", "No.2"), 96, 5000), "p")["compression"]
    fc = 1450.0
    cp = column_stability(fc, emin_psi=510000, slenderness=96 / 3.5)
    assert found.result == pytest.approx(5000 / 12.25, rel=1e-6)
    assert found.limit == pytest.approx(fc * cp, rel=1e-6)


def test_too_slender_is_outside_but_a_shore_may_go_further():
    """le/d of 55 is outside for a post, worked out for a temporary one; 80 is outside for both."""
    stock = Stock(1.5, 5.5, 1, "SPF", "No.2")
    held = {"brace_weak_in": 1.5 * 55}
    assert checks_of(post_framing(stock, 96, 500, **held), "p")["compression"].verdict is (
        Verdict.OUTSIDE
    )
    temporary = checks_of(post_framing(stock, 96, 500, temporary=True, **held), "p")
    assert temporary["compression"].verdict is not Verdict.OUTSIDE
    far = checks_of(post_framing(stock, 120, 500, temporary=True), "p")["compression"]
    assert far.verdict is Verdict.OUTSIDE


def test_nailed_column_is_weaker_than_solid_but_not_than_its_plies():
    """Three nailed plies take 0.6 of CP the weak way, and never less than each ply alone."""
    solid = checks_of(post_framing(Stock(4.5, 5.5, 1, "HF", "No.1"), 96, 5000), "p")
    plies = Stock(1.5, 5.5, 3, "HF", "No.2")
    nailed = checks_of(post_framing(plies, 96, 5000), "p")["compression"]
    bolted = checks_of(post_framing(plies, 96, 5000, bolted=True), "p")["compression"]
    assert nailed.limit < bolted.limit
    assert bolted.limit / nailed.limit == pytest.approx(0.75 / 0.6, rel=1e-6)
    short = checks_of(post_framing(plies, 12, 5000), "p")["compression"]
    fc = 1300 * 1.1
    alone = fc * column_stability(fc, emin_psi=470000, slenderness=12 / 1.5)
    assert short.limit >= alone - 1e-6
    assert solid["compression"].holds


def test_load_off_centre_bends_the_post():
    """An eccentric load adds the 6e/d term; more eccentricity is worse."""
    stock = Stock(5.5, 5.5, 1, "SP", "No.2")
    ratios = [
        checks_of(post_framing(stock, 96, 6000, eccentricity_in=e), "p")[
            "compression with bending"
        ].ratio
        for e in (0.5, 1.5)
    ]
    assert ratios[1] > ratios[0] > (6000 / 30.25 / 525) ** 2


def test_stud_in_wind():
    """A stud with roof load and side wind: moment w H2 / 8 in the combined check, H/120 sag."""
    stock = Stock(1.5, 5.5, 1, "SPF", "No.2")
    stud = Member("s", Use.STUD, (0, 0, 0), (0, 0, 96), stock, weight_pcf=1e-9, brace_weak_in=0.0)
    plate = Member("t", Use.BEAM, (-8, 0, 96), (8, 0, 96), stock, weight_pcf=1e-9)
    framing = Framing(
        (stud, plate), (Joint("j", "t", "s", (0, 0, 96), Hold.TIED),),
        (Support("foot", "s", (0, 0, 0), Hold.PINNED), Support("k", "t", (8, 0, 96), Hold.TIED),
         Support("m", "t", (-8, 0, 96), Hold.TIED)),
        (LineLoad("s", Case.WIND_SIDE, 40, 40, direction=(1, 0, 0)),),
        (PointLoad("t", Case.DEAD, 500, 8.0),),
    )  # fmt: skip
    found = checks_of(framing, "s")
    assert found["deflection in wind"].limit == pytest.approx(96 / 120)
    sag = 5 * (0.42 * 40 / 12) * 96**4 / (384 * 1.4e6 * 20.797)
    assert found["deflection in wind"].result == pytest.approx(sag, rel=1e-3)
    worst = found["compression with bending"]
    bending = next(v.value for v in worst.values if v.symbol == "fb1")
    assert bending == pytest.approx(0.6 * 40 / 12 * 96**2 / 8 / 7.5625, rel=1e-3)


def test_rot_at_the_foot_of_a_post_counts_over_its_whole_length():
    """A post with an inch off its sides is judged by its smallest section."""
    stock = Stock(5.5, 5.5, 1, "SP", "No.2")
    rot = {"condition": Condition.SOFT, "losses": (Loss(0, 8, sides_in=1.0),)}
    sound = checks_of(post_framing(stock, 96, 6000), "p")["compression"]
    soft = checks_of(post_framing(stock, 96, 6000, **rot), "p")["compression"]
    assert soft.result == pytest.approx(sound.result * 5.5 / 4.5)
    assert soft.ratio > sound.ratio


def beam_on_post(length=3.5, width=3.0, *, on_metal=False, wet=False, shim=None):
    """A beam across a post: 4,000 lb in its middle."""
    beam = Member("b", Use.BEAM, (-20, 0, 0), (20, 0, 0), Stock(1.5, 9.25, 2, "HF", "No.2"),
                  Service(wet=wet), weight_pcf=1e-9)  # fmt: skip
    post = Member("p", Use.POST, (0, 0, -60), (0, 0, 0), Stock(3.5, 3.5, 1, "HF", "No.2"),
                  weight_pcf=1e-9)  # fmt: skip
    joint = Joint("j", "b", "p", (0, 0, 0), bearing_length_in=length, bearing_width_in=width,
                  on_metal=on_metal, shim_area_in2=shim)  # fmt: skip
    return Framing(
        (beam, post), (joint,), (Support("f", "p", (0, 0, -60), Hold.PINNED),), (),
        (PointLoad("b", Case.DEAD, 2000, 20.0), PointLoad("b", Case.LIVE, 2000, 20.0)),
    )  # fmt: skip


def test_beam_squashed_by_post_with_bearing_area_factor():
    """Fc-perp Cb = 405 (3.5 + 0.375) / 3.5, 0.67 of it wet."""
    dry = checks_of(beam_on_post(), "j")["bearing on b"]
    assert dry.result == pytest.approx(4000 / 10.5)
    assert dry.limit == pytest.approx(405 * 3.875 / 3.5)
    wet = checks_of(beam_on_post(wet=True), "j")["bearing on b"]
    assert wet.limit == pytest.approx(0.67 * dry.limit)


def test_shims_smaller_than_the_bearing_count():
    """A 2 x 3 in shim stack carries the load on 6 in2."""
    assert checks_of(beam_on_post(shim=6.0), "j")["bearing on b"].result == pytest.approx(4000 / 6)


def test_end_grain_without_a_plate_takes_three_quarters():
    """The post's end grain is limited to 0.75 Fc*, all of it on a steel plate."""
    plain = checks_of(beam_on_post(), "j")["bearing on p"].limit
    plate = checks_of(beam_on_post(on_metal=True), "j")["bearing on p"].limit
    assert plain == pytest.approx(0.75 * plate) == pytest.approx(0.75 * 1300 * 1.15)


def test_short_bearing_fails_and_an_unmeasured_one_is_asked_for():
    """Less than 1 1/2 in fails the least length; no size at all stops the check and says what."""
    assert not checks_of(beam_on_post(length=1.25), "j")["bearing length"].holds
    framing = beam_on_post(length=0.0)
    _, missing = check_stage(framing, as_found(framing))
    assert "Measure how much" in next(m.ask for m in missing if m.about == "j")


def test_bearing_at_an_angle_lies_between():
    """Hankinson: along the grain at 0 degrees, across at 90, falling between."""
    values = [bearing_at_angle(1300.0, across_psi=405.0, angle_deg=a) for a in (0, 30, 60, 90)]
    assert values[0] == pytest.approx(1300) and values[-1] == pytest.approx(405)
    assert values == sorted(values, reverse=True)
    rafter = Member("r", Use.RAFTER, (0, 0, 0), (120, 0, 40), Stock(1.5, 5.5, 1, "HF", "No.2"))
    assert grain_angle_deg(rafter) == pytest.approx(71.57, abs=0.01)
