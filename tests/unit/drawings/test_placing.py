"""Labels and ringed letters are placed without collisions."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from weatherlap.drawings.placing import Placer, grown, shared_area, spread

PLACES = st.lists(st.tuples(st.floats(0, 300), st.floats(8, 30)), max_size=30)


@given(PLACES)
def test_spread_labels_do_not_overlap(rows):
    """Labels in a column keep their order and do not overlap."""
    wanted, sizes = [r[0] for r in rows], [r[1] for r in rows]
    places = spread(wanted, sizes, 0.0, 300.0)
    order = sorted(range(len(rows)), key=lambda i: places[i])
    for a, b in itertools.pairwise(order):
        assert places[b] - places[a] >= (sizes[a] + sizes[b]) / 2 - 1e-6
        assert wanted[a] <= wanted[b]


@given(PLACES)
def test_spread_labels_stay_in_their_column_if_they_fit(rows):
    """A column that is long enough holds all its labels."""
    sizes = [r[1] for r in rows]
    places = spread([r[0] for r in rows], sizes, 0.0, max(300.0, sum(sizes)))
    for place, size in zip(places, sizes, strict=True):
        assert place - size / 2 >= -1e-6
        assert place + size / 2 <= max(300.0, sum(sizes)) + 1e-6


def test_a_label_with_room_stays_where_it_is_wanted():
    """Labels far from each other are not moved."""
    assert spread([50.0, 150.0], [10.0, 10.0], 0.0, 200.0) == [50.0, 150.0]


@settings(max_examples=40)
@given(st.lists(st.tuples(st.floats(0, 200), st.floats(0, 200)), max_size=25))
def test_rings_never_touch(places):
    """However many findings lie in one place, their letters stand apart and in the frame."""
    placer = Placer((0.0, 0.0, 200.0, 200.0))
    rings = [r for p in places if (r := placer.ring(p, 10.0)) is not None]
    for i, a in enumerate(rings):
        assert 10 - 1e-6 <= a[0] <= 190 + 1e-6
        assert 10 - 1e-6 <= a[1] <= 190 + 1e-6
        for b in rings[:i]:
            assert math.dist(a, b) >= 20.0


def test_a_full_frame_says_so():
    """Where no ring fits any more, none is placed on top of another."""
    placer = Placer((0.0, 0.0, 50.0, 50.0))
    rings = [placer.ring((25.0, 25.0), 10.0) for _ in range(12)]
    assert rings[0] is not None
    assert rings[-1] is None


def test_every_ring_finds_a_place_while_there_is_one():
    """Sixty findings at one spot all get a letter in a frame that has room for them."""
    placer = Placer((0.0, 0.0, 400.0, 300.0))
    assert all(placer.ring((200.0, 150.0), 10.0) is not None for _ in range(60))


def test_taken_places_are_not_free():
    """What is taken stays taken, and beyond the frame nothing is free."""
    placer = Placer((0.0, 0.0, 100.0, 100.0))
    placer.take((10.0, 10.0, 20.0, 20.0))
    assert placer.free((30.0, 30.0, 40.0, 40.0))
    assert not placer.free((15.0, 15.0, 25.0, 25.0))
    assert not placer.free((90.0, 90.0, 110.0, 95.0))
    assert placer.free((20.0, 10.0, 30.0, 20.0))


def test_a_ring_rather_stands_off_the_layers():
    """A ring moves off a soft obstacle if there is room beside it."""
    placer = Placer((0.0, 0.0, 200.0, 200.0))
    placer.avoid((60.0, 0.0, 140.0, 200.0))
    x, _ = placer.ring((100.0, 100.0), 10.0)
    assert x <= 50.1 or x >= 149.9


@pytest.mark.parametrize(
    ("a", "b", "area"),
    [
        pytest.param((0, 0, 2, 2), (1, 1, 3, 3), 1.0, id="corner"),
        pytest.param((0, 0, 2, 2), (2, 0, 3, 3), 0.0, id="touching"),
        pytest.param((0, 0, 4, 4), (1, 1, 2, 3), 2.0, id="inside"),
    ],
)
def test_shared_area(a, b, area):
    """Boxes share what lies in both."""
    assert shared_area(a, b) == shared_area(b, a) == area
    assert shared_area(grown(a, 0.5), grown(b, 0.5)) > area
