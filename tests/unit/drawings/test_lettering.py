"""Text is measured, broken and cut so that it fits."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weatherlap.drawings.lettering import shortened, text_width, wrapped

WORDS = st.text(st.characters(min_codepoint=32, max_codepoint=0x2FF), max_size=80)


@pytest.mark.parametrize(
    ("text", "thousandths"),
    [
        pytest.param("i", 278, id="narrow"),
        pytest.param("M", 863, id="wide"),
        pytest.param("lap", 278 + 613 + 635, id="word"),
    ],
)
def test_width_is_that_of_the_font(text, thousandths):
    """Widths are DejaVu Sans's own advance widths (read from the font file's table)."""
    assert text_width(text, 1000.0) == pytest.approx(thousandths)


@given(WORDS, st.floats(20, 400))
def test_shortened_text_fits(text, room):
    """A shortened text is no wider than its room, and a short one is left alone."""
    found = shortened(text, 12.0, room)
    assert text_width(found, 12.0) <= room or found == "\u2026"
    if text_width(text, 12.0) <= room:
        assert found == text


@given(WORDS, st.floats(40, 400), st.integers(1, 5))
def test_wrapped_text_fits(text, room, most):
    """Broken text has no more lines than asked for, each within the room."""
    lines = wrapped(text, 12.0, room, most=most)
    assert len(lines) <= most
    assert all(text_width(line, 12.0) <= room for line in lines)


@given(WORDS)
def test_wrapping_keeps_every_word_where_there_is_room(text):
    """With enough lines no word is lost."""
    lines = wrapped(text, 12.0, 2000.0, most=200)
    assert " ".join(lines).split() == text.split()


def test_bold_text_is_wider():
    """Bold letters take more room."""
    assert text_width("Section", 12.0, bold=True) > text_width("Section", 12.0)
