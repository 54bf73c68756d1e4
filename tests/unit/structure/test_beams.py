"""Bending, shear, notches and deflection of beams against closed forms."""

import numpy as np
import pytest

from weatherlap.structure.member_checks import check_stage
from weatherlap.structure.model import (
    Case,
    Ceiling,
    Condition,
    Framing,
    Hold,
    Joint,
    LineLoad,
    Loss,
    Member,
    Notch,
    PointLoad,
    Service,
    Stock,
    Support,
    Use,
)
from weatherlap.structure.results import Verdict
from weatherlap.structure.staging import as_found

STOCK = Stock(1.5, 9.25, 2, "HF", "No.2")


def checks_of(framing, name="b"):
    """Checks of one member by kind."""
    found, _ = check_stage(framing, as_found(framing))
    return {c.what: c for c in found if c.about == name}


def test_simple_beam_bending_shear_and_sag(make_beam):
    """M = w L2 / 8, V at d from the hold, sag = 5 w L4 / (384 E I), each on its line."""
    framing = make_beam(STOCK, 144.0, [(Case.DEAD, 60), (Case.SNOW, 180)])
    found = checks_of(framing)
    w = 240 / 12
    assert found["bending"].result == pytest.approx(w * 144**2 / 8 / (2 * 21.390625), rel=1e-4)
    v = w * (72 - 9.26)
    assert found["shear"].result == pytest.approx(1.5 * v / 27.75, rel=1e-4)
    sag = 5 * 15 * 144**4 / (384 * 1.3e6 * 2 * 98.9316)
    assert found["live deflection"].result == pytest.approx(sag, rel=1e-3)
    assert found["live deflection"].limit == pytest.approx(144 / 240)
    assert found["deflection with creep"].result == pytest.approx(sag * (1 + 1.5 / 3), rel=1e-3)


def test_point_load_moment_is_exact():
    """A point load at a third: M = P a b / L, at the load."""
    beam = Member("b", Use.BEAM, (0, 0, 0), (120, 0, 0), STOCK, weight_pcf=1e-9, unbraced_in=0)
    framing = Framing(
        (beam,), (), (Support("l", "b", (0, 0, 0), Hold.PINNED), Support("r", "b", (120, 0, 0))),
        (), (PointLoad("b", Case.DEAD, 1000.0, 40.0),),
    )  # fmt: skip
    lines = as_found(framing).dead.lines["b"]
    k = int(np.argmax(lines.strong_lb_in))
    assert lines.strong_lb_in[k] == pytest.approx(1000 * 40 * 80 / 120, rel=1e-5)
    assert lines.along_in[k] == pytest.approx(40.0)


def test_overhang_hogs_and_counts_twice_its_length():
    """An overhang: top in tension w a2 / 2, deflection limit by twice the overhang."""
    beam = Member("b", Use.JOIST, (0, 0, 0), (132, 0, 0), STOCK, weight_pcf=1e-9, unbraced_in=0)
    framing = Framing(
        (beam,), (), (Support("l", "b", (0, 0, 0), Hold.TIED), Support("r", "b", (96, 0, 0))),
        (LineLoad("b", Case.LIVE, 240, 240, 96, 132),),
    )  # fmt: skip
    found = checks_of(framing)
    hog = found["bending, top in tension"]
    assert hog.result == pytest.approx(20 * 36**2 / 2 / (2 * 21.390625), rel=1e-3)
    assert found["live deflection"].limit == pytest.approx(2 * 36 / 240)


def test_gypsum_plaster_and_bare_rafters_have_their_limits(make_beam):
    """Floors and plaster 360, gypsum and others 240, steep bare rafters 180."""
    for ceiling, n in ((Ceiling.PLASTER, 360), (Ceiling.FLOOR, 360), (Ceiling.GYPSUM, 240)):
        framing = make_beam(STOCK, 144.0, [(Case.LIVE, 80)], ceiling=ceiling)
        assert checks_of(framing)["live deflection"].limit == pytest.approx(144 / n)
    rafter = Member("b", Use.RAFTER, (0, 0, 0), (96, 0, 48), STOCK, unbraced_in=0)
    framing = Framing(
        (rafter,), (),
        (Support("l", "b", (0, 0, 0), Hold.PINNED), Support("r", "b", (96, 0, 48))),
        (LineLoad("b", Case.ROOF_LIVE, 80, 80),),
    )  # fmt: skip
    limit = checks_of(framing)["live deflection"].limit
    assert limit == pytest.approx((96**2 + 48**2) ** 0.5 / 180, abs=1e-4)


def test_rot_raises_bending_and_sag(make_beam):
    """Two inches off the bottom over the middle: the moduli there are those of what is left."""
    loads = [(Case.DEAD, 60), (Case.SNOW, 100)]
    sound = checks_of(make_beam(STOCK, 144.0, loads))
    soft = checks_of(
        make_beam(STOCK, 144.0, loads, condition=Condition.SOFT,
                  losses=(Loss(48, 96, bottom_in=2.0),))
    )  # fmt: skip
    share = (9.25 / 7.25) ** 2
    assert soft["bending"].result == pytest.approx(sound["bending"].result * share, rel=1e-3)
    assert soft["live deflection"].result > 1.3 * sound["live deflection"].result


def test_end_notch_and_a_notch_too_deep(make_beam):
    """An end notch of a fifth is worked out by (dn/d)2; one of a third is outside the method."""
    loads = [(Case.LIVE, 200)]
    fine = checks_of(make_beam(STOCK, 144.0, loads, notches=(Notch(0.0, 1.85),)))
    line = fine["notch at 0 in"]
    dn = 9.25 - 1.85
    assert line.limit == pytest.approx(2 / 3 * 150 * 3.0 * dn * (dn / 9.25) ** 2, rel=1e-6)
    deep = checks_of(make_beam(STOCK, 144.0, loads, notches=(Notch(0.0, 3.1),)))
    assert deep["notch at 0 in"].verdict is Verdict.OUTSIDE


def test_unbraced_single_ply_loses_by_rolling(make_beam):
    """A single 2x12 without bracing has a CL under 1; braced all along it has none."""
    stock = Stock(1.5, 11.25, 1, "DF-L", "No.1")
    free = checks_of(make_beam(stock, 192.0, [(Case.DEAD, 50)], unbraced_in=None))["bending"]
    held = checks_of(make_beam(stock, 192.0, [(Case.DEAD, 50)]))["bending"]
    assert free.limit < 0.7 * held.limit
    assert any(v.symbol == "CL" for v in free.values)


def test_wet_service_softens(make_beam):
    """A beam in wet service bends a ninth more and its creep factor is 2."""
    loads = [(Case.DEAD, 60), (Case.SNOW, 100)]
    dry = checks_of(make_beam(STOCK, 144.0, loads))["live deflection"].result
    wet = checks_of(make_beam(STOCK, 144.0, loads, service=Service(wet=True)))
    assert wet["live deflection"].result == pytest.approx(dry / 0.9, rel=1e-3)


def test_a_joint_load_near_the_hold_counts_in_full():
    """A member that bears within the depth of the hold: shear there is not left out."""
    beam = Member("b", Use.BEAM, (0, 0, 0), (120, 0, 0), STOCK, weight_pcf=1e-9, unbraced_in=0)
    post = Member("p", Use.POST, (5, 0, 0), (5, 0, 40), STOCK, weight_pcf=1e-9)
    framing = Framing(
        (beam, post), (Joint("j", "p", "b", (5, 0, 0)),),
        (Support("l", "b", (0, 0, 0), Hold.PINNED), Support("r", "b", (120, 0, 0))),
        (), (PointLoad("p", Case.LIVE, 3000.0, 40.0),),
    )  # fmt: skip
    v = 3000 * 115 / 120
    assert checks_of(framing)["shear"].result == pytest.approx(1.5 * v / 27.75, rel=1e-3)
