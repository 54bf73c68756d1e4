"""Load on some spans only, and ties that are loosened and fastened."""

import pytest

from weatherlap.structure.member_checks import check_stage
from weatherlap.structure.model import (
    Case,
    Framing,
    Hold,
    Joint,
    LineLoad,
    Member,
    Stage,
    StageKind,
    Stock,
    Support,
    Use,
)
from weatherlap.structure.partial import carried_spans, loaded_sets, partial_checks
from weatherlap.structure.staging import as_found, run_stages

SPAN = 96.0
BEAM = Stock(1.5, 9.25, 2, "SPF", "No.2")


def two_spans(case=Case.LIVE, plf=100.0):
    """A weightless beam over two equal spans."""
    beam = Member("b", Use.BEAM, (0, 0, 0), (2 * SPAN, 0, 0), BEAM, unbraced_in=0, weight_pcf=1e-9)
    supports = tuple(
        Support(f"s{k}", "b", (k * SPAN, 0, 0), Hold.PINNED if k == 0 else Hold.TIED,
                bearing_length_in=3.5, bearing_width_in=3.0)
        for k in range(3)
    )  # fmt: skip
    return Framing((beam,), (), supports, (LineLoad("b", case, plf, plf),))


def moment_of(checks, what):
    """The moment that stands in a check of bending. [lb in]"""
    line = next(c for c in checks if c.what == what)
    return next(v.value for v in line.values if v.symbol == "M")


def partial_of(framing):
    """The checks that partial loading makes worse."""
    stage = as_found(framing)
    plain, _ = check_stage(framing, stage)
    return plain, partial_checks(framing, stage, plain)


def test_one_loaded_span_of_two_bends_more():
    """Live load on one of two spans: 49/512 w L2 (closed form) against 9/128 w L2 on both."""
    plain, more = partial_of(two_spans())
    w_l2 = 100 / 12 * SPAN**2
    assert moment_of(plain, "bending") == pytest.approx(9 / 128 * w_l2, rel=2e-3)
    assert moment_of(more, "bending") == pytest.approx(49 / 512 * w_l2, rel=2e-3)
    assert "full on spans" in next(c for c in more if c.what == "bending").combination


def test_half_the_snow_stays_on_the_other_span():
    """Snow, half on one span: (49/512 + 9/128) / 2 of w L2 at the same place or a little more."""
    _, more = partial_of(two_spans(Case.SNOW))
    w_l2 = 100 / 12 * SPAN**2
    found = moment_of(more, "bending")
    assert 9 / 128 * w_l2 < found < 49 / 512 * w_l2
    assert found == pytest.approx((0.5 * 9 / 128 + 0.5 * 49 / 512) * w_l2, rel=0.01)


def test_a_beam_on_two_posts_has_no_partial_loading():
    """A simple span gives no spans to load in part."""
    framing = two_spans()
    simple = Framing(framing.members, (), framing.supports[:2], framing.line_loads)
    stage = as_found(simple)
    assert carried_spans(simple, stage, "b") == ()


def test_every_pattern_loads_some_and_not_all():
    """Patterns of two to five spans are proper and each is there once."""
    for count in range(2, 6):
        sets = loaded_sets(count)
        assert len(set(sets)) == len(sets)
        assert all(0 < len(s) < count for s in sets)


def test_a_loosened_tie_does_not_pull():
    """A tie pulls; it does not once it is loosened; it does again once it is fastened."""
    post = Member("p", Use.POST, (0, 0, 0), (0, 0, 90), Stock(5.5, 5.5, 1, "SP", "No.2"))
    beam = Member("b", Use.BEAM, (-48, 0, 95), (48, 0, 95), BEAM, unbraced_in=0)
    joint = Joint("b-p", "b", "p", (0, 0, 90), Hold.TIED, 0, 5.5, 3.0)
    supports = (
        Support("f", "p", (0, 0, 0), Hold.TIED),
        Support("l", "b", (-48, 0, 95), Hold.PINNED), Support("r", "b", (48, 0, 95)),
    )  # fmt: skip
    framing = Framing((post, beam), (joint,), supports, (LineLoad("b", Case.WIND_UP, -90, -90),))
    stages = (
        Stage("1", StageKind.AS_FOUND),
        Stage("2", StageKind.JACKED, frees=("b-p",)),
        Stage("3", StageKind.SHIMMED, fastens=("b-p",)),
    )
    pulls = [
        min(c.push_lb["b-p"][2] for c in r.carried if c.upward)
        for r in run_stages(framing, stages, first=frozenset({"p", "b"}))
    ]
    assert pulls[0] < -10 and pulls[2] < -10
    assert pulls[1] == pytest.approx(0.0, abs=1.0)
