"""Reference values, names and weights of stock."""

import pytest

from weatherlap.errors import InputError
from weatherlap.structure.lumber import Book, describe, nominal, reference, size_name, weight_pcf
from weatherlap.structure.model import Stock, TypedValues
from weatherlap.structure.tables import table


def test_every_emin_follows_from_its_e():
    """Emin = E (1 - 1.645 x 0.25) 1.03 / 1.66, to 10,000 psi, in every row of the tables."""
    for kind in ("dimension", "timber"):
        for row in table("lumber")[kind]:
            e, emin = row["values"][5:]
            assert abs(e * (1 - 1.645 * 0.25) * 1.03 / 1.66 - emin) <= 5000 + 1e-6


def test_a_4x4_is_dimension_lumber_and_a_6x6_a_timber():
    """The same species and grade has about half the compression in the timber table."""
    small = reference(Stock(3.5, 3.5, 1, "DF-L", "No.2"))
    large = reference(Stock(5.5, 5.5, 1, "DF-L", "No.2"))
    assert (small.book, small.fc_psi) == (Book.DIMENSION, 1350)
    assert (large.book, large.fc_psi) == (Book.TIMBER, 700)


def test_timbers_over_two_inches_deeper_are_beams():
    """A 6x8 is a post and timber, a 6x10 a beam and stringer."""
    assert reference(Stock(5.5, 7.5, 1, "DF-L", "No.1")).fb_psi == 1200
    assert reference(Stock(5.5, 9.5, 1, "DF-L", "No.1")).fb_psi == 1350


def test_southern_pine_goes_by_width():
    """Southern Pine No.2 has its size in the table: 2x4, 2x6, 2x10, 2x12."""
    found = [reference(Stock(1.5, d, 1, "SP", "No.2")).fb_psi for d in (3.5, 5.5, 9.25, 11.25)]
    assert found == [1100, 1000, 800, 750]


def test_wide_stud_grade_uses_no_3():
    """A Stud grade 2x8 takes the values of No.3."""
    wide = reference(Stock(1.5, 7.25, 1, "HF", "Stud"))
    assert wide.fb_psi == reference(Stock(1.5, 7.25, 1, "HF", "No.3")).fb_psi


@pytest.mark.parametrize(
    ("stock", "words"),
    [
        pytest.param(Stock(1.5, 5.5, 1, "oak", "No.2"), "species 'oak'", id="species"),
        pytest.param(Stock(1.5, 5.5, 1, "HF", "No.9"), "grade 'No.9'", id="grade"),
        pytest.param(Stock(0.75, 5.5, 1, "HF", "No.2"), "thickness of 0.75 in", id="board"),
        pytest.param(Stock(5.5, 9.5, 1, "SPF", "No.2"), "grade 'No.2'", id="no-such-timber"),
    ],
)
def test_stock_outside_the_tables_is_refused(stock, words):
    """Stock that no table holds is refused with what it found, never guessed."""
    with pytest.raises(InputError, match=words):
        reference(stock)


def test_engineered_lumber_uses_typed_values_only():
    """Typed values pass through with their source; one of 0 is refused."""
    typed = TypedValues(2600, 285, 750, 1900, 2500, 2.0e6, 1.0e6, 0.136, 0.5, "report")
    ref = reference(Stock(1.75, 9.5, 2, "LVL", "2.0E", typed))
    assert (ref.fb_psi, ref.fv_psi, ref.book) == (2600, 285, Book.TYPED)
    bad = TypedValues(0, 285, 750, 1900, 2500, 2.0e6, 1.0e6, 0.136, 0.5, "report")
    with pytest.raises(InputError, match="0 or less"):
        reference(Stock(1.75, 9.5, 2, "LVL", "2.0E", bad))


@pytest.mark.parametrize(
    ("dressed", "name"), [(1.5, 2), (3.5, 4), (7.25, 8), (7.5, 8), (9.25, 10), (10.0, 12)]
)
def test_nominal_widths(dressed, name):
    """Dressed and full-sawn widths go to the nominal row that is not too kind."""
    assert nominal(dressed) == name


def test_names_and_weights():
    """A built-up beam is named as the trade names it; wet treated wood weighs 45 pcf."""
    stock = Stock(1.5, 9.25, 2, "SPF", "No.2")
    assert describe(stock) == "2-2x10 SPF No.2"
    assert size_name(Stock(1.7, 9.8, 1, "SPF", "No.2")) == "1.7 in x 9.8 in"
    assert weight_pcf(stock, wet=False, treated=False) == 28.5
    assert weight_pcf(stock, wet=True, treated=False) == 45.0
