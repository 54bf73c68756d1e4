"""Channels: shapes, level and falling, gutters and troughs, bad input."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from weatherlap.errors import InputError
from weatherlap.water import channels as ch
from weatherlap.water import hydraulics as hy
from weatherlap.water import roofdrains as rd

LPH_PER_GPM = 60 * 3.785411784
SIZES = st.floats(0.05, 500.0)


def measured(width_at, depth, *, rows=20000):
    """Area, wetted length and moment of a shape by adding thin strips of it."""
    edges = np.linspace(0.0, depth, rows + 1)
    widths = np.array([width_at(y) for y in edges])
    middle, step = (edges[1:] + edges[:-1]) / 2, depth / rows
    strip = (widths[1:] + widths[:-1]) / 2 * step
    sides = 2 * np.hypot(np.diff(widths) / 2, step).sum() + widths[0]
    return strip.sum(), sides, (strip * (depth - middle)).sum()


@pytest.mark.parametrize(
    ("section", "width_at", "depth"),
    [
        pytest.param(hy.box_section(0.1), lambda _: 0.1, 0.07, id="box"),
        pytest.param(
            hy.triangle_section(0.1, full_depth_m=0.05), lambda y: 2 * y, 0.04, id="triangle"
        ),
        pytest.param(
            hy.half_round_section(0.1),
            lambda y: 2 * math.sqrt(max(0.0, 0.05**2 - (0.05 - y) ** 2)),
            0.05,
            id="half-round",
        ),
        pytest.param(
            hy.half_round_section(0.1, full_depth_m=0.08),
            lambda y: 2 * math.sqrt(max(0.0, 0.05**2 - (0.05 - min(y, 0.05)) ** 2)),
            0.08,
            id="deep-half-round",
        ),
        pytest.param(
            hy.half_round_section(0.1, full_depth_m=0.02),
            lambda y: 2 * math.sqrt(max(0.0, 0.0725**2 - (0.0725 - y) ** 2)),
            0.02,
            id="shallow-half-round",
        ),
    ],
)
def test_sections_measure_as_thin_strips_do(section, width_at, depth):
    """Area, wetted length and moment agree with the same shape added up in thin strips."""
    filled = section(depth)
    area, wetted, moment = measured(width_at, depth)
    assert filled.area_m2 == approx(area, rel=1e-4)
    assert filled.wetted_m == approx(wetted, rel=1e-3)
    assert filled.moment_m3 == approx(moment, rel=1e-4)
    assert filled.top_m == approx(width_at(depth), rel=1e-6)


def test_level_box_without_friction_is_root_three():
    """Without friction the upper end of a level box stands at 3^(1/2) times critical depth."""
    section = hy.box_section(0.2)
    flow = hy.level_channel_m3_per_s(section, full_depth_m=0.1, run_m=5.0, n=1e-9)
    critical = hy.critical_flow_m3_per_s(section(0.1 / math.sqrt(3)))
    assert flow == approx(critical, rel=1e-6)


def test_level_triangle_without_friction():
    """Without friction a level V stands at 2.5^(1/3) times critical depth at its upper end."""
    section = hy.triangle_section(0.2, full_depth_m=0.1)
    flow = hy.level_channel_m3_per_s(section, full_depth_m=0.1, run_m=5.0, n=1e-9)
    assert flow == approx(hy.critical_flow_m3_per_s(section(0.1 / 2.5 ** (1 / 3))), rel=1e-6)


def test_level_channel_against_small_steps():
    """The closed form stays within 8 percent of the water's profile followed in small steps."""
    section, full, run, n = hy.box_section(0.127), 0.0635, 12.0, 0.012

    def upper_depth(flow):
        depth = (flow**2 / (9.81 * 0.127**2)) ** (1 / 3) * 1.001
        steps = 40000
        for k in range(steps):
            x = run * (1 - k / steps)
            here, q = section(depth), flow * x / run
            sf = (n * q / here.area_m2) ** 2 / here.radius_m ** (4 / 3)
            gain = 2 * q * (flow / run) / (9.81 * here.area_m2**2)
            froude = q**2 * here.top_m / (9.81 * here.area_m2**3)
            depth += (sf + gain) / (1 - froude) * run / steps
        return depth

    flow = hy.level_channel_m3_per_s(section, full_depth_m=full, run_m=run, n=n)
    assert upper_depth(0.92 * flow) < full < upper_depth(1.08 * flow)


def test_gutters_of_the_facts_page():
    """A 5 in half-round at 1/16 in/ft carries 60.5 gpm full, a 5 x 3.75 box 131 gpm."""
    half_round = ch.gutter_capacity_lph("half-round", 5, 2.5, 1.0, 192) / LPH_PER_GPM
    box = ch.gutter_capacity_lph("box", 5, 3.75, 1.0, 192) / LPH_PER_GPM
    assert half_round == approx(60.5, abs=0.05)
    assert box == approx(131, abs=0.6)


def test_code_allows_under_half_of_a_full_gutter():
    """The plumbing code's 5 in gutter takes less than half of what Manning gives full."""
    code = rd.code_gutter_gpm(5, fall_in_per_ft=1 / 16)
    assert 2 * code < ch.gutter_capacity_lph("half-round", 5, 2.5, 1.0, 192) / LPH_PER_GPM


@pytest.mark.parametrize(("across", "down", "gpm"), [(2, 3, 36.8), (3, 4, 73.5)])
def test_outlets_at_two_inches_of_head(across, down, gpm):
    """Outlets at 2 in of head pass what an orifice does when the rim is long enough."""
    flow = (
        hy.outlet_m3_per_s(across * down * 0.0254**2, rim_m=10.0, head_m=2 * 0.0254)
        * ch.LPH_PER_M3_PER_S
    )
    assert flow / LPH_PER_GPM == approx(gpm, abs=0.06)
    low = hy.outlet_m3_per_s(across * down * 0.0254**2, rim_m=0.254, head_m=0.005)
    assert low == approx(hy.weir_m3_per_s(0.254, head_m=0.005))


def test_dammed_trough_carries_nothing():
    """A trough with no open end carries nothing away."""
    assert ch.trough_capacity_lph(0.75, 0.5, 3.0, 96, open_ends=0) == 0


def test_level_trough_open_at_both_ends():
    """Half the run to each end: more than twice what one end carries."""
    one = ch.trough_capacity_lph(0.75, 0.5, 0, 96, open_ends=1)
    both = ch.trough_capacity_lph(0.75, 0.5, 0, 96, open_ends=2)
    assert both == approx(2 * ch.trough_capacity_lph(0.75, 0.5, 0, 48, open_ends=1))
    assert both > 2 * one


@given(SIZES, SIZES, st.floats(1.0, 1000.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_more_fall_never_carries_less(width, depth, run, a, b):
    """Capacity is above 0, finite, and grows with the fall."""
    low, high = sorted((a * run * 0.99, b * run * 0.99))
    little = ch.trough_capacity_lph(width, depth, low, run, open_ends=1)
    much = ch.trough_capacity_lph(width, depth, high, run, open_ends=1)
    assert 0 < little <= much * (1 + 1e-6) < math.inf


@given(SIZES, st.floats(1.0, 1000.0), st.floats(0.0, 20.0), st.sampled_from(["box", "half-round"]))
def test_a_wider_gutter_carries_more(width, run, fall, shape):
    """A gutter a tenth larger in both ways carries more."""
    fall = min(fall, 0.9 * run)
    small = ch.gutter_capacity_lph(shape, width, width / 2, fall, run)
    large = ch.gutter_capacity_lph(shape, 1.1 * width, 1.1 * width / 2, fall, run)
    assert large > small > 0


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: ch.trough_capacity_lph(0, 1, 0, 10, open_ends=1), "width_in: 0; expected"),
        (lambda: ch.trough_capacity_lph(1, math.nan, 0, 10, open_ends=1), "depth_in: nan"),
        (lambda: ch.trough_capacity_lph(1, 1, -1, 10, open_ends=1), "fall_in: -1"),
        (lambda: ch.trough_capacity_lph(1, 1, 0, math.inf, open_ends=1), "run_in: inf"),
        (lambda: ch.trough_capacity_lph(1, 1, 0, 10, open_ends=3), "open_ends: 3; expected 0, 1"),
        (lambda: ch.gutter_capacity_lph("ogee", 5, 3, 0, 10), "'ogee'; expected \"half-round\""),
        (lambda: hy.manning_m3_per_s(hy.Filled(1, 1, 1, 1), slope=-1), "slope: -1"),
        (lambda: hy.manning_m3_per_s(hy.Filled(1, 1, 1, 1), slope=1, n=0), "n: 0"),
        (lambda: rd.leader_gpm(0), "a diameter above 0 in"),
        (lambda: rd.leader_gpm(3, full=2), "a filling of 0 to 1"),
        (lambda: hy.weir_m3_per_s(1, head_m=-1), "0 m or more"),
        (lambda: hy.outlet_m3_per_s(-1, rim_m=1, head_m=1), "an area of 0 m2 or more"),
        (lambda: rd.runoff_gpm(-1, rain_in_per_h=1), ">= 0"),
        (lambda: rd.code_gutter_gpm(0, fall_in_per_ft=1), "> 0 and >= 0"),
    ],
)
def test_bad_values_are_named(call, words):
    """A value out of range is named with what would be right."""
    with pytest.raises(InputError, match=words):
        call()
