"""Walls: what is refused, how layers become slabs."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from weatherlap.drying.model import Layer, Leak, Place, Wall, check_wall
from weatherlap.drying.stack import FLOODED_KG_M3, leaks_of, stack_of
from weatherlap.drying.venting import GAPS, Cladding
from weatherlap.errors import InputError
from weatherlap.sources.register import sources

GOOD = Wall("w", (Layer("siding", "cedar", 0.0127), Layer("osb", "osb", 0.0111)))


def with_layer(layer: Layer) -> Wall:
    """The good wall with one more layer inside."""
    return replace(GOOD, layers=(*GOOD.layers, layer))


@pytest.mark.parametrize(
    ("wall", "want"),
    [
        (replace(GOOD, layers=()), "no layer"),
        (with_layer(Layer("x", "osb", 0.0)), "layer x: 0 m thick; expected more than 0"),
        (with_layer(Layer("x", "osb", -0.01)), "-0.01 m thick"),
        (with_layer(Layer("x", "osb", float("nan"))), "nan m thick"),
        (with_layer(Layer("x", "unobtainium", 0.01)), "no data for drying"),
        (with_layer(Layer("x", "osb", 0.01, air_changes_per_h=5.0)), "only in an air layer"),
        (with_layer(Layer("x", "air", 0.01, air_changes_per_h=-5.0)), "-5 air changes"),
        (with_layer(Layer("x", "gypsum", 0.01, start_pct=12.0)), "start_humidity_pct for what"),
        (with_layer(Layer("x", "osb", 0.01, start_pct=400.0)), "400 % at the start"),
        (with_layer(Layer("x", "osb", 0.01, start_humidity_pct=120.0)), "120 % air"),
        (with_layer(Layer("x", "osb", 0.01, permeance_perm=(0.0, 1.0))), "permeance 0 to 1 perm"),
        (replace(GOOD, layers=(Layer("gap", "air", 0.01), *GOOD.layers)), "on the outside"),
        (replace(GOOD, sun_share=1.5), "sun share of 0 to 1"),
        (replace(GOOD, leaks=(Leak("osb", np.zeros(3)),)), "leak of 3 hours into osb"),
        (replace(GOOD, leaks=(Leak("osb", np.full(24, -1.0)),)), "below zero"),
        (replace(GOOD, leaks=(Leak("nope", np.zeros(24)),)), "no layer 'nope'"),
    ],
)
def test_impossible_walls_are_refused(wall: Wall, want: str) -> None:
    """Each fault of a wall is named with the layer and what would be right."""
    with pytest.raises(InputError, match=want):
        check_wall(wall, hours=24)


def test_good_wall_passes() -> None:
    """A wall of known layers is taken, and its wood is known."""
    check_wall(GOOD, hours=24)
    assert GOOD.wooden() == ("siding", "osb")


def test_thick_wood_has_three_zones() -> None:
    """A beam is kept by outer skin, core and inner skin; their widths add up."""
    wall = Wall("beam", (Layer("beam", "softwood", 0.14),))
    stack = stack_of(wall)
    assert list(stack.zone_layer) == [0, 0, 0]
    assert sum(stack.zone_width_m) == pytest.approx(0.14)
    assert stack.zone_width_m[0] == pytest.approx(0.008, abs=0.004)


def test_gap_that_does_not_drain_can_fill() -> None:
    """A sealed gap holds water to the brim, a drained one only a film."""
    gap = Layer("gap", "air", 0.01)
    drained, sealed = (
        stack_of(with_layer(replace(gap, drains=drains))).cells.full_water()[-1]
        for drains in (True, False)
    )
    assert sealed == FLOODED_KG_M3
    assert drained * 0.01 == pytest.approx(0.1)


@pytest.mark.parametrize("place", list(Place))
def test_leak_lands_where_it_is_put(place: Place) -> None:
    """A leak's shares add up to one in its layer: outer cell, inner cell or all."""
    wall = replace(GOOD, leaks=(Leak("osb", np.full(24, 3.6), place),))
    stack = stack_of(wall)
    leaks = leaks_of(stack, hours=24)
    where = stack.cells.layer_cells(1)
    cells = {
        Place.OUTER_FACE: [where.start],
        Place.INNER_FACE: [where.stop - 1],
        Place.THROUGHOUT: list(range(where.start, where.stop)),
    }[place]
    assert list(np.flatnonzero(leaks.share[0])) == cells
    assert leaks.share[0].sum() == pytest.approx(1.0)
    assert leaks.kg_m2_s[0, 0] == pytest.approx(0.001)


def test_finer_slices_change_little() -> None:
    """Twice the slices are laid when asked for."""
    assert stack_of(GOOD, fineness=2.0).cells.width.size > 1.9 * stack_of(GOOD).cells.width.size


def test_gaps_behind_claddings() -> None:
    """Lapped siding vents most, brick less, a tight cladding hardly at all; each has a source."""
    lapped, brick, tight = (GAPS[c].air_changes_per_h for c in Cladding)
    assert lapped.low >= brick.high > tight.high
    assert all(set(gap.source_keys) <= sources().keys() for gap in GAPS.values())


def test_own_permeance_replaces_the_tables() -> None:
    """A given permeance sets the vapour resistance of the layer."""
    wall = with_layer(Layer("x", "polyolefin-sheet", 0.0002, permeance_perm=(10.0, 10.0)))
    table = stack_of(wall).slabs[-1].curves.table
    assert 0.0002 * table[0, 3] == pytest.approx(1.0 / (10.0 * 57.2e-12))
