"""Sizes of details: given as a tape reads, held to their range, clean at any of them."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from weatherlap.building.corner import build_corner
from weatherlap.building.details.model import RIGHT, Detail
from weatherlap.building.details.parts import sixteenth
from weatherlap.building.details.shelf import detail, details
from weatherlap.errors import InputError
from weatherlap.job.reading import read_job
from weatherlap.water.rain import site_rain
from weatherlap.water.trace import trace

each_detail = pytest.mark.parametrize("ready", details(), ids=lambda d: d.id)
EXAMPLES = 4


def any_sizes(ready: Detail) -> st.SearchStrategy[dict[str, float]]:
    """Sizes of a detail to the sixteenth, anywhere in their ranges."""
    return st.fixed_dictionaries(
        {
            d.name: st.integers(round(d.least_in * 16), round(d.most_in * 16)).map(
                lambda sixteenths: sixteenths / 16
            )
            for d in ready.dimensions
        }
    )


@each_detail
@settings(max_examples=EXAMPLES)
@given(data=st.data())
def test_the_right_way_is_clean_at_any_size(ready: Detail, data: st.DataObject) -> None:
    """Whatever the sizes, the right way traces clean and reads back as it was written."""
    sizes = data.draw(any_sizes(ready))
    job = ready.job(sizes)
    result = trace(build_corner(job), site_rain(job.site))
    assert result.clean, [f.text for f in result.findings]
    assert result.out_lph == pytest.approx(result.in_lph, rel=1e-9)
    assert read_job(ready.toml(sizes)) == job


@each_detail
@settings(max_examples=EXAMPLES)
@given(data=st.data())
def test_a_wrong_way_is_not_clean_at_any_size(ready: Detail, data: st.DataObject) -> None:
    """Whatever the sizes, each wrong version lets water in and reads back as it was written."""
    sizes = data.draw(any_sizes(ready))
    variant = data.draw(st.sampled_from([v.id for v in ready.variants if v.id != RIGHT]))
    job = ready.job(sizes, variant)
    result = trace(build_corner(job), site_rain(job.site))
    assert not result.clean
    assert result.findings
    assert read_job(ready.toml(sizes, variant)) == job


@each_detail
@pytest.mark.parametrize("end", ["least_in", "most_in"])
def test_every_range_can_be_used_to_its_ends(ready: Detail, end: str) -> None:
    """With all sizes at one end of their ranges the right way is whole and clean."""
    job = ready.job({d.name: getattr(d, end) for d in ready.dimensions})
    assert trace(build_corner(job), site_rain(job.site)).clean


@each_detail
def test_the_usual_sizes_are_inside_their_ranges(ready: Detail) -> None:
    """Each default lies between the least and the most, on a mark of the tape, with its words."""
    for d in ready.dimensions:
        assert d.least_in <= d.default_in <= d.most_in
        assert sixteenth(d.default_in) == d.default_in
        assert d.words


def test_sizes_are_given_as_a_tape_reads() -> None:
    """A size can be text with feet, inches and fractions, or millimetres, to the sixteenth."""
    sizes = detail("deck-ledger").sizes({"width": "6' 4 1/2\"", "deck_height": "800 mm"})
    assert sizes["width"] == 76.5
    assert sizes["deck_height"] == 31.5
    assert sizes["ledger_depth"] == 9.25


@pytest.mark.parametrize(
    ("given_sizes", "words"),
    [
        pytest.param({"width": "9 in"}, r"width: found 9\"; expected 2' to 20'", id="too-small"),
        pytest.param({"width": 241}, r"found 20' 1\"; expected 2' to 20'", id="too-large"),
        pytest.param({"width": "wide"}, r"width: found 'wide'; expected 2' to 20'", id="no-length"),
        pytest.param({"width": float("nan")}, r"width: found nan", id="not-a-number"),
        pytest.param({"with": 96}, r"no dimension 'with'.*Did you mean 'width'", id="unknown"),
    ],
)
def test_a_size_that_cannot_be_drawn_is_refused(
    given_sizes: dict[str, float | str], words: str
) -> None:
    """The error says which size of which detail, what was found and the range."""
    with pytest.raises(InputError, match=words) as error:
        detail("deck-ledger").job(given_sizes)
    assert "detail 'deck-ledger'" in str(error.value)


def test_an_unknown_variant_is_refused() -> None:
    """The error lists the variants that there are and the nearest."""
    with pytest.raises(InputError, match=r"no variant 'no-flash'.*right, no-flashing") as error:
        detail("deck-ledger").job(variant="no-flash")
    assert "Did you mean 'no-flashing'?" in str(error.value)
