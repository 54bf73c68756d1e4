"""Wetting paths and cells."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from weatherlap.drying.curves import STEPS, make_curves
from weatherlap.drying.grid import Slab, graded_widths_m, lay_cells
from weatherlap.drying.materials import middle_properties, wetting_curves
from weatherlap.errors import InputError

HUMIDITY = np.array([0.0, 0.5, 1.0, 1.0])
WATER = np.array([0.0, 40.0, 120.0, 600.0])
NOTHING, OPEN = np.zeros(4), np.full(4, 1e-11)


def test_path_holds_humidity_while_water_rises() -> None:
    """Past saturation humidity stays at 1 and water goes on to full."""
    curves = make_curves(HUMIDITY, water=WATER, liquid_m2_s=NOTHING, permeability=OPEN)
    at = curves.position_of_water(400.0)
    row = curves.table[int(at)]
    assert row[1] == 1.0 and curves.full_kg_m3 == 600.0
    assert curves.water_at(np.array([at]))[0] == pytest.approx(400.0)


@given(share=st.floats(0.0, 0.999))
def test_position_turns_humidity_round(share: float) -> None:
    """The path position of a humidity has that humidity."""
    curves = wetting_curves(middle_properties("softwood"))
    at = curves.position_of_humidity(share)
    knot = min(int(at), STEPS - 1)
    row = curves.table[knot]
    assert row[1] + (at - knot) * row[5] == pytest.approx(share, abs=1e-9)


def test_liquid_potential_is_the_area_under_the_diffusivity() -> None:
    """With a constant diffusivity the potential is diffusivity times water."""
    curves = make_curves(HUMIDITY, water=WATER, liquid_m2_s=np.full(4, 2e-10), permeability=OPEN)
    assert curves.table[-1, 2] == pytest.approx(2e-10 * 600.0)


@pytest.mark.parametrize(
    ("humidity", "water", "permeability", "want"),
    [
        (HUMIDITY[::-1], WATER, OPEN, "both rising"),
        (HUMIDITY, WATER[::-1], OPEN, "both rising"),
        (HUMIDITY * 1.2, WATER, OPEN, "both rising"),
        (HUMIDITY, WATER, NOTHING, "more than 0 kg"),
    ],
)
def test_impossible_curves_are_refused(
    humidity: np.ndarray, water: np.ndarray, permeability: np.ndarray, want: str
) -> None:
    """Falling sorption, humidity over 1 or a permeability of nothing is refused."""
    with pytest.raises(InputError, match=want):
        make_curves(humidity, water=water, liquid_m2_s=NOTHING, permeability=permeability)


@given(thick=st.floats(1e-4, 1.0), count=st.integers(1, 60))
def test_slices_add_up(thick: float, count: int) -> None:
    """Slices of a layer add up to its thickness, thinnest at the faces, and mirror each other."""
    widths = graded_widths_m(thick, count=count)
    assert widths.sum() == pytest.approx(thick)
    assert widths == pytest.approx(widths[::-1])
    assert widths.min() == widths[0] > 0.0


def test_no_thickness_is_refused() -> None:
    """A layer of no thickness is refused, not divided by."""
    with pytest.raises(InputError, match="0 m in 8 slices"):
        graded_widths_m(0.0, count=8)


def slab(name: str, count: int) -> Slab:
    """A plain layer."""
    curves = make_curves(HUMIDITY, water=WATER, liquid_m2_s=NOTHING, permeability=OPEN)
    return Slab(name, curves, graded_widths_m(0.01, count=count), 1e6, 0.1)


def test_cells_keep_their_layers() -> None:
    """Layer slices, means and depths follow from the layers laid in order."""
    cells = lay_cells([slab("a", 4), slab("b", 6)])
    assert cells.layer_cells(1) == slice(4, 10)
    assert list(cells.layer_of()) == [0] * 4 + [1] * 6
    means = cells.layer_means(np.array([1.0] * 4 + [3.0] * 6))
    assert means == pytest.approx([1.0, 3.0])
    assert cells.centres_m()[-1] < cells.width.sum() == pytest.approx(0.02)
    assert cells.liquid_face[3] == 0.0 < cells.liquid_face[2]
    assert cells.full_water() == pytest.approx(600.0)


def test_two_layers_of_one_name_are_refused() -> None:
    """Layers need different ids, or answers could not be told apart."""
    with pytest.raises(InputError, match="a different id for each layer"):
        lay_cells([slab("a", 4), slab("a", 4)])


def test_a_single_cell_is_refused() -> None:
    """One cell has no two faces to go through."""
    with pytest.raises(InputError, match="at least two"):
        lay_cells([slab("a", 1)])
