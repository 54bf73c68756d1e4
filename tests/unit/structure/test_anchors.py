"""Screw anchors in concrete."""

import pytest

from weatherlap.errors import InputError
from weatherlap.structure.anchor_checks import anchor_checks
from weatherlap.structure.anchors import (
    AnchorGroup,
    AnchorLoad,
    Slab,
    breakout_area_ratio,
    nominal_breakout,
    screw_effective_depth,
)


def group(**kw):
    """A half-inch screw anchor."""
    given = {
        "name": "base", "diameter_in": 0.5, "effective_in": 2.5, "steel_area_in2": 0.16,
        "steel_psi": 110000.0, "report": "maker's report", "pullout_lb": 4000.0,
    }  # fmt: skip
    return AnchorGroup(**{**given, **kw})


SLAB = Slab(3000.0, 6.0)


def by_what(checks):
    """Checks by kind."""
    return {c.what: c for c in checks}


def test_one_anchor_far_from_edges_by_hand():
    """17 sqrt(3000) 2.5^1.5 = 3,681 lb cracked; 1.4 times that uncracked; phi 0.65."""
    checks, missing = anchor_checks(group(), SLAB, AnchorLoad(1000.0))
    found = by_what(checks)["concrete breakout in tension"]
    assert found.limit == pytest.approx(0.65 * 17 * 3000**0.5 * 2.5**1.5, rel=1e-9)
    assert not missing
    plain = nominal_breakout(group(), Slab(3000.0, 6.0, cracked=False), AnchorLoad(1.0))
    assert plain.design_lb == pytest.approx(1.4 * 17 * 3000**0.5 * 2.5**1.5)


def test_an_edge_takes_area_and_its_factor():
    """An edge at 3 in: area (3 + 3.75) 7.5 / 56.25, factor 0.7 + 0.3 x 3 / 3.75."""
    slab = Slab(3000.0, 6.0, edges_in=(3.0, None, None, None))
    assert breakout_area_ratio(group(), slab) == pytest.approx((3 + 3.75) / 7.5)
    full = nominal_breakout(group(), SLAB, AnchorLoad(1.0)).design_lb
    near = nominal_breakout(group(), slab, AnchorLoad(1.0)).design_lb
    assert near / full == pytest.approx(0.9 * (0.7 + 0.3 * 0.8))


def test_two_anchors_share_their_cones():
    """Two anchors 4 in apart: area ratio (4 + 7.5) / 7.5; far apart it is 2 and no more."""
    close = group(across=2, spacing_x_in=4.0)
    assert breakout_area_ratio(close, SLAB) == pytest.approx(11.5 / 7.5)
    assert breakout_area_ratio(group(across=2, spacing_x_in=40.0), SLAB) == pytest.approx(2.0)


def test_shear_toward_an_edge_breaks_it():
    """Shear toward an edge at 4 in is limited by that edge, away from it by pryout or steel."""
    slab = Slab(3000.0, 6.0, edges_in=(None, 4.0, None, None))
    toward = by_what(anchor_checks(group(), slab, AnchorLoad(0.0, 500.0))[0])
    away = by_what(anchor_checks(group(), slab, AnchorLoad(0.0, -500.0))[0])
    assert "concrete breakout in shear" in toward
    assert "concrete breakout in shear" not in away
    root = 3000**0.5 * 4**1.5
    vb = min(7 * (2.5 / 0.5) ** 0.2 * 0.5**0.5 * root, 9 * root)
    assert toward["concrete breakout in shear"].limit == pytest.approx(0.70 * vb, rel=1e-9)


def test_tension_with_shear():
    """Both over 0.2: the ratios add up to at most 1.2; one under 0.2 leaves the other whole."""
    both = by_what(anchor_checks(group(), SLAB, AnchorLoad(1500.0, 1200.0))[0])[
        "tension with shear"
    ]
    assert both.limit == 1.2
    one = by_what(anchor_checks(group(), SLAB, AnchorLoad(1500.0, 20.0))[0])["tension with shear"]
    assert one.limit == 1.0


def test_missing_pullout_is_asked_for():
    """Without Np from the report the check of pullout is stopped and says what to type."""
    checks, missing = anchor_checks(group(pullout_lb=None), SLAB, AnchorLoad(1000.0))
    assert "pullout" not in by_what(checks)
    assert "Np from the report" in missing[0].ask


@pytest.mark.parametrize(
    ("anchor", "slab", "words"),
    [
        pytest.param({"effective_in": 3.0}, Slab(3000, 4.0), "hef 3 in in a slab of 4", id="thin"),
        pytest.param({}, Slab(1500, 6.0), "1500 psi", id="weak-concrete"),
        pytest.param({"across": 3, "spacing_x_in": 4}, SLAB, "one or two each way", id="three"),
        pytest.param({"across": 2, "spacing_x_in": 1.0}, SLAB, "3 da", id="close"),
        pytest.param({}, Slab(3000, 6.0, edges_in=(2.0, None, None, None)), "6 da", id="edge"),
        pytest.param({"breakout_k": 30.0}, SLAB, "kc 30", id="kc"),
    ],
)
def test_outside_the_rules_is_refused(anchor, slab, words):
    """Thin slabs, weak concrete, odd groups and near edges are refused by name."""
    with pytest.raises(InputError, match=words):
        anchor_checks(group(**anchor), slab, AnchorLoad(100.0))


def test_effective_depth_of_a_screw():
    """0.85 of the depth less half a pitch and the tip; a 4 in slab takes at most 2.67 in."""
    assert screw_effective_depth(3.25, thread_pitch_in=0.3, tip_in=0.2) == pytest.approx(2.465)
    anchor_checks(group(effective_in=2.66), Slab(3000, 4.0), AnchorLoad(1.0))
