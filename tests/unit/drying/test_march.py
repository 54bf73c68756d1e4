"""The march: what goes in, goes out or stays; nothing is made or lost."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from weatherlap.drying.air import saturation_pressure_pa
from weatherlap.drying.grid import Cells, lay_cells
from weatherlap.drying.march import Airs, Course, Leaks, State, march
from weatherlap.drying.materials import materials, middle_properties
from weatherlap.drying.model import Layer, Wall
from weatherlap.drying.stack import slab_of, stack_of
from weatherlap.errors import InputError

HOURS = 96
KEYS = sorted(materials())
SOLID = [key for key in KEYS if materials()[key].kind.value != "air"]


def steady(outside_c: float, outside_rh: float, inside_c: float, inside_rh: float) -> Airs:
    """The same two airs for all hours."""
    one = np.ones(HOURS)
    return Airs(
        outside_c * one, outside_rh * saturation_pressure_pa(outside_c) * one, 20.0 * one,
        1e-7 * one, 0.0 * one, inside_c * one, inside_rh * saturation_pressure_pa(inside_c) * one,
        8.0 * one, 2e-8 * one,
    )  # fmt: skip


def cells_of(*layers: tuple[str, float, float]) -> Cells:
    """Cells of layers given as material, thickness, air changes."""
    slabs = [
        slab_of(
            Layer(f"{n}", key, thick, air_changes_per_h=air), middle_properties(key), fineness=0.5
        )
        for n, (key, thick, air) in enumerate(layers)
    ]
    return lay_cells(slabs)


def start_at(cells: Cells, share: float) -> State:
    """Every cell at a share of the wetting path."""
    return State(np.full(cells.width.size, 1000.0 * share), np.full(cells.width.size, 12.0))


def assert_closed(course: Course, cells: Cells) -> None:
    """Books agree to a millionth of what is stored or moved."""
    books = course.books
    moved = (
        abs(books.water_in_kg_m2)
        + books.leaked_kg_m2
        + float(np.sum(cells.width * course.water_kg_m3))
    )
    assert abs(books.water_gap_kg_m2) + books.carried_kg_m2 <= 1e-6 * moved + 1e-7
    heat = abs(books.heat_in_j_m2) + float(np.sum(cells.heat_dry)) + 1e4
    assert abs(books.heat_gap_j_m2) <= 1e-3 * heat


@settings(max_examples=40, deadline=None)
@given(
    first=st.sampled_from(SOLID),
    middle=st.lists(
        st.tuples(st.sampled_from(KEYS), st.sampled_from([0.001, 0.01, 0.05]), st.just(0.0)),
        min_size=1,
        max_size=4,
    ),
    changes=st.sampled_from([0.0, 5.0, 500.0]),
    share=st.floats(0.02, 0.98),
    weather=st.tuples(
        st.floats(-25.0, 35.0), st.floats(0.05, 1.0), st.floats(5.0, 30.0), st.floats(0.1, 1.0)
    ),
    leak=st.sampled_from([0.0, 1e-6, 1e-3]),
)
def test_water_and_heat_close_for_any_stack(
    first: str,
    middle: list[tuple[str, float, float]],
    changes: float,
    share: float,
    weather: tuple[float, float, float, float],
    leak: float,
) -> None:
    """Whatever the layers, weather and leak: in plus leaked less drained is what is stored."""
    layers = [(first, 0.01, 0.0), ("air", 0.01, changes), *middle]
    cells = cells_of(*layers)
    shares = np.zeros((1, cells.width.size))
    shares[0, -1] = 1.0
    leaks = Leaks(np.full((HOURS, 1), leak), shares)
    course = march(cells, airs=steady(*weather), start=start_at(cells, share), leaks=leaks)
    assert_closed(course, cells)
    assert np.all(course.water_kg_m3 >= 0.0)
    assert np.all(course.water_kg_m3 <= cells.full_water() * (1.0 + 1e-9))
    assert np.all(np.isfinite(course.end.celsius))


def test_steady_heat_through_two_layers_by_hand() -> None:
    """In the end heat flows by the resistances in series: 1/20 + layers + 1/8."""
    cells = cells_of(("xps", 0.05, 0.0), ("xps", 0.05, 0.0))
    airs = steady(0.0, 0.3, 20.0, 0.1)
    middle = cells.layer_cells(1).start
    sides = np.array([middle - 1, middle])
    course = march(cells, airs=airs, start=start_at(cells, 0.1), watched=sides)
    conducts = materials()["xps"].conducts_w_m_k.middle
    flow = 20.0 / (1.0 / 20.0 + 0.1 / conducts + 1.0 / 8.0)
    between = flow * (1.0 / 20.0 + 0.05 / conducts)
    assert course.celsius[-1].mean() == pytest.approx(between, abs=0.02)


def test_steady_vapour_through_two_layers_by_hand() -> None:
    """At even temperature vapour settles by the resistances in series."""
    cells = cells_of(("glass-fibre", 0.05, 0.0), ("polyethylene", 0.00015, 0.0))
    airs = steady(20.0, 0.2, 20.0, 0.6)
    course = march(cells, airs=airs, start=start_at(cells, 0.1), watched=np.array([0]))
    assert course.humidity[-1, 0] == pytest.approx(0.2, abs=0.005)


def test_nothing_moves_at_rest() -> None:
    """A stack at rest with equal airs keeps its water."""
    cells = cells_of(("softwood", 0.038, 0.0))
    curves = slab_of(Layer("a", "softwood", 0.038), middle_properties("softwood")).curves
    n = cells.width.size
    start = State(np.full(n, curves.position_of_humidity(0.6)), np.full(n, 20.0))
    course = march(cells, airs=steady(20.0, 0.6, 20.0, 0.6), start=start)
    assert course.books.water_in_kg_m2 == pytest.approx(0.0, abs=1e-5)


def test_more_than_full_drains() -> None:
    """A leak into a full sheet runs out again and is entered as drained."""
    cells = cells_of(("softwood", 0.012, 0.0), ("polyethylene", 0.00015, 0.0), ("gypsum", 0.01, 0))
    at = cells.layer_cells(1).start
    shares = np.zeros((1, cells.width.size))
    shares[0, at] = 1.0
    leaks = Leaks(np.full((HOURS, 1), 1e-4), shares)
    course = march(
        cells, airs=steady(10.0, 0.8, 20.0, 0.5), start=start_at(cells, 0.2), leaks=leaks
    )
    assert course.books.leaked_kg_m2 == pytest.approx(1e-4 * 3600.0 * HOURS)
    assert course.books.drained_kg_m2 > 0.5 * course.books.leaked_kg_m2
    assert_closed(course, cells)


def test_venting_dries() -> None:
    """Air changes behind the cladding dry the sheathing faster."""
    left = []
    for changes in (0.0, 200.0):
        cells = cells_of(
            ("vinyl", 0.001, 0.0), ("air", 0.01, changes), ("osb", 0.011, 0.0),
            ("polyethylene", 0.00015, 0.0),
        )  # fmt: skip
        course = march(cells, airs=steady(15.0, 0.5, 20.0, 0.4), start=start_at(cells, 0.6))
        left.append(cells.layer_means(course.water_kg_m3)[2])
    assert left[1] < left[0] - 5.0


def test_the_same_input_gives_the_same_answer() -> None:
    """Two marches with the same input agree to the last bit."""
    stack = stack_of(Wall("w", (Layer("a", "softwood", 0.038),)))
    airs, start = steady(5.0, 0.8, 20.0, 0.4), start_at(stack.cells, 0.5)
    one, two = (march(stack.cells, airs=airs, start=start).water_kg_m3 for _ in range(2))
    assert np.array_equal(one, two)


@pytest.mark.parametrize(
    ("name", "value", "want"),
    [
        ("outside_c", np.nan, "a number for every hour"),
        ("outside_c", 400.0, "-60 to 90 C"),
        ("inside_film_w", 0.0, "more than 0"),
    ],
)
def test_impossible_airs_are_refused(name: str, value: float, want: str) -> None:
    """A gap, an impossible temperature or no film is refused before the march."""
    cells = cells_of(("softwood", 0.038, 0.0))
    airs = steady(10.0, 0.5, 20.0, 0.5)
    getattr(airs, name)[7] = value
    with pytest.raises(InputError, match=want):
        march(cells, airs=airs, start=start_at(cells, 0.3))
