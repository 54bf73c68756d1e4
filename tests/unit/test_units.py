"""Lengths, rain, speed and loads: read and printed."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weatherlap.units import (
    LoadKind,
    UnitError,
    gallons,
    load_text,
    millimetres,
    parse_area_rate,
    parse_length,
    parse_load,
    parse_number,
    parse_rain,
    parse_speed,
    rain_text,
    speed_text,
    tape,
    tape_words,
)


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("12' 4 1/2\"", 148.5),
        ("12' 4 1/2", 148.5),
        ("12'4 1/2\"", 148.5),
        ("12'-4 1/2\"", 148.5),
        ("12' - 4 1/2\"", 148.5),
        ("12 ft 4 1/2 in", 148.5),
        ("12 ft. 4.5 in.", 148.5),
        ("12 feet, 4-1/2 inches", 148.5),
        ("12′ 4½″", 148.5),
        ("12’ 4 ½”", 148.5),
        ('4-1/2"', 4.5),
        ("4 1/2 in", 4.5),
        ('3/4"', 0.75),
        ("¾", 0.75),
        ("3⁄4 in", 0.75),
        ('-3/4"', -0.75),
        ("− 4'", -48.0),
        ("8'", 96.0),
        ("2 1/2'", 30.0),
        ("1 foot", 12.0),
        ("46", 46.0),
        (".5 in", 0.5),
        ("4''", 4.0),
        ("254 mm", 10.0),
        ("25.4 cm", 10.0),
        ("0.254 m", 10.0),
        ("0.254 metres", 10.0),
        ("254 Millimeters", 10.0),
    ],
)
def test_length_text_reads(text: str, inches: float) -> None:
    """Text as a tape reads, or metric, must give its inches."""
    assert parse_length(text) == pytest.approx(inches, abs=1e-12)


@pytest.mark.parametrize(
    "value",
    [
        "", " ", "-", "'", '"', "a", "8 foott", "12 4 1/2", "4 3/2", "1/0", "5' 12\"", "5' 18\"",
        "1 1/2' 3\"", "1.5' 3\"", "1e3", "nan", "inf", "3 m 2", "3,2 m", "1,200 mm", "--4", "4 lb",
        "12'-", "5-6", "4 1/2 1/2", "٣ in", "9" * 500, "8' 6\" 2", "\x00",
        True, False, None, [1], {"a": 1}, math.nan, math.inf, -math.inf, 10**400,
    ],
)  # fmt: skip
def test_nonsense_is_no_length(value: object) -> None:
    """Anything else must be refused as a ValueError that says what would be right."""
    with pytest.raises(ValueError, match="expected"):
        parse_length(value)  # type: ignore[arg-type]


def test_numbers_are_inches() -> None:
    """A plain number must stand for inches."""
    assert parse_length(46) == 46.0
    assert parse_length(-1.25) == -1.25


@given(st.text(max_size=30))
def test_any_text_reads_or_is_refused(text: str) -> None:
    """No text may give anything but a finite length or a UnitError."""
    try:
        assert math.isfinite(parse_length(text))
    except UnitError as error:
        assert error.want


@given(st.text(alphabet="0123456789'\"/- .inftmc½", max_size=20))
def test_tape_like_text_reads_or_is_refused(text: str) -> None:
    """Text of a tape's own letters may give nothing but a length or a UnitError."""
    try:
        assert math.isfinite(parse_length(text))
    except UnitError as error:
        assert error.want


@pytest.mark.parametrize(
    ("inches", "text"),
    [
        (148.5, "12' 4 1/2\""),
        (96, "8'"),
        (0, '0"'),
        (-0.001, '0"'),
        (0.75, '3/4"'),
        (-4.5, '-4 1/2"'),
        (-148.5, "-12' 4 1/2\""),
        (12.0625, "1' 1/16\""),
        (11.99, "1'"),
        (11.96, '11 15/16"'),
        (5.03, '5"'),
        (5.04, '5 1/16"'),
    ],
)
def test_tape_prints(inches: float, text: str) -> None:
    """A length must print as a tape reads, to the nearest sixteenth."""
    assert tape(inches) == text


def test_tape_shows_the_parts_asked_for() -> None:
    """A finer tape must print finer parts, and words may stand for the marks."""
    assert tape(5.03125, sixteenths=32) == '5 1/32"'
    assert tape_words(148.5) == "12 ft 4 1/2 in"


def test_tape_refuses_what_is_no_length() -> None:
    """A length that is not finite cannot be printed."""
    with pytest.raises(UnitError):
        tape(math.nan)


@given(st.integers(min_value=-(10**7), max_value=10**7))
def test_sixteenths_come_back(sixteenths: int) -> None:
    """Every whole sixteenth must print as text that reads back as itself."""
    inches = sixteenths / 16
    assert parse_length(tape(inches)) == inches
    assert parse_length(tape_words(inches)) == inches


@given(st.floats(min_value=-1e5, max_value=1e5))
def test_tape_is_within_half_a_sixteenth(inches: float) -> None:
    """What a tape prints must lie within 1/32 in of the length."""
    assert abs(parse_length(tape(inches)) - inches) <= 1 / 32 + 1e-9


@pytest.mark.parametrize(
    ("text", "mm_per_h"),
    [("4 in/h", 101.6), ("100 mm/h", 100), ("1 1/2 in/hr", 38.1), ("2 inches per hour", 50.8)],
)
def test_rain_reads(text: str, mm_per_h: float) -> None:
    """Rain with its unit must give mm/h."""
    assert parse_rain(text) == pytest.approx(mm_per_h)


@pytest.mark.parametrize(
    ("text", "mm"), [("44 in", 1117.6), ("1100 mm", 1100), ("44 in a year", 1117.6), ('10"', 254)]
)
def test_a_years_rain_reads(text: str, mm: float) -> None:
    """A year's rain with its unit must give mm."""
    assert parse_area_rate(text) == pytest.approx(mm)


@pytest.mark.parametrize(
    ("text", "mps"),
    [("25 mph", 11.176), ("12 m/s", 12), ("36 km/h", 10), ("36 kph", 10), ("9 knots", 4.63)],
)
def test_speed_reads(text: str, mps: float) -> None:
    """A speed with its unit must give m/s."""
    assert parse_speed(text) == pytest.approx(mps)


@pytest.mark.parametrize("read", [parse_rain, parse_area_rate, parse_speed])
@pytest.mark.parametrize(
    "value", [4, 4.0, "4", True, None, "", "in", "-4 in/h", "4 psf", "4 lb", "99999999 in/h"]
)
def test_a_quantity_needs_its_own_unit(read, value) -> None:  # type: ignore[no-untyped-def]
    """A bare number, another unit, a negative or an absurd amount must be refused."""
    with pytest.raises(UnitError, match="expected"):
        read(value)


@pytest.mark.parametrize(
    ("text", "kind", "load"),
    [
        ("30 psf", LoadKind.AREA, 30),
        ("30 lb/ft2", LoadKind.AREA, 30),
        ("30 lb/sq ft", LoadKind.AREA, 30),
        ("1 kPa", LoadKind.AREA, 20.8854),
        ("200 plf", LoadKind.LINE, 200),
        ("1 kN/m", LoadKind.LINE, 68.5218),
        ("1200 lbs", LoadKind.POINT, 1200),
        ("1 kip", LoadKind.POINT, 1000),
        ("1 kN", LoadKind.POINT, 224.809),
    ],
)
def test_load_reads(text: str, kind: LoadKind, load: float) -> None:
    """A load must give psf, plf or lb (factors of NIST SP 811, from memory)."""
    assert parse_load(text, kind=kind) == pytest.approx(load, rel=1e-5)


@pytest.mark.parametrize("kind", list(LoadKind))
@pytest.mark.parametrize("text", ["30 psf", "200 plf", "1200 lb", "1 kPa", "1 kN/m", "1 kN"])
def test_a_load_has_one_kind(text: str, kind: LoadKind) -> None:
    """A load's unit must be taken for its own kind and refused for the others."""
    own = {
        "psf": "area", "kPa": "area", "plf": "line", "kN/m": "line", "lb": "point", "kN": "point",
    }[text.split()[1]]  # fmt: skip
    if own == kind.value:
        assert parse_load(text, kind=kind) > 0
    else:
        with pytest.raises(UnitError, match="not one of this kind"):
            parse_load(text, kind=kind)


def test_a_plain_number_is_plain() -> None:
    """Text and true or false must not pass for a number."""
    assert parse_number(3) == 3.0
    for value in ("3", True, math.nan):
        with pytest.raises(UnitError):
            parse_number(value)  # type: ignore[arg-type]


def test_papers_print_both_systems() -> None:
    """Printed quantities must carry their unit in either system."""
    assert millimetres(126) == "3200 mm"
    assert rain_text(101.6) == "4 in/h"
    assert rain_text(101.6, metric=True) == "102 mm/h"
    assert speed_text(11.176) == "25 mph"
    assert speed_text(11.176, metric=True) == "11.2 m/s"
    assert load_text(30, kind=LoadKind.AREA) == "30 psf"
    assert load_text(30, kind=LoadKind.AREA, metric=True) == "1.44 kPa"
    assert load_text(1200, kind=LoadKind.POINT) == "1,200 lb"
    assert gallons(3.785411784) == 1.0
