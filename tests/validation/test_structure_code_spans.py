"""Spans of the code's tables, worked out anew by the engine with the method that each table uses.

Sources in the register: S-038 porch girders, S-039 wall headers, S-041 and S-042 deck beams, S-043
deck posts, S-044 deck joists, S-046 rafters. Where a row differs, the reason is said with it.
"""

from __future__ import annotations

import pytest

from weatherlap.structure.member_checks import check_stage
from weatherlap.structure.model import (
    Case,
    Ceiling,
    Framing,
    Hold,
    LineLoad,
    Member,
    PointLoad,
    Service,
    Stock,
    Support,
    Use,
)
from weatherlap.structure.staging import as_found
from weatherlap.structure.tables import table

STRENGTH = ("bending", "shear")
LIVE = (*STRENGTH, "live deflection")
ALL_SPECIES = ("DF-L", "HF", "SPF", "SP")
DEPTH_OF = {"6": 5.5, "8": 7.25, "10": 9.25, "12": 11.25}


def feet(text):
    """Inches of ``10-5``."""
    whole, inches = text.split("-")
    return 12 * int(whole) + int(inches)


def worst_ratio(stock, span, loads, kinds, **member):
    """The worst ratio of some checks of a simple beam without own weight."""
    beam = Member("b", member.pop("use", Use.BEAM), (0, 0, 0), (span, 0, 0), stock,
                  unbraced_in=0, weight_pcf=1e-9, **member)  # fmt: skip
    supports = (Support("l", "b", (0, 0, 0), Hold.PINNED), Support("r", "b", (span, 0, 0)))
    framing = Framing((beam,), (), supports, tuple(LineLoad("b", c, w, w) for c, w in loads))
    found, _ = check_stage(framing, as_found(framing))
    return max(c.ratio for c in found if c.about == "b" and c.what in kinds)


def longest(stock, loads, kinds, **member):
    """The longest span at which nothing is worked over its limit. [in]"""
    low, high = 12.0, 420.0
    while high - low > 0.1:
        middle = (low + high) / 2
        over = worst_ratio(stock, middle, loads, kinds, **dict(member)) > 1
        low, high = (low, middle) if over else (middle, high)
    return low


def wet(species):
    """Wet service; all but Southern Pine incised."""
    return Service(wet=True, incised=species != "SP")


def plies_of(size):
    """Plies and depth of ``2-2x10``."""
    plies, rest = size.split("-")
    return int(plies), DEPTH_OF[rest.split("x")[1]]


@pytest.mark.parametrize(
    "row", table("prescriptive")["porch_girder"], ids=lambda r: r["size"] + r["load"]
)
def test_porch_girders(row):
    """S-038: No.2, wet, incised but for Southern Pine, pg + 10 over half the porch: to 2 in."""
    plies, depth = plies_of(row["size"])
    floor = row["load"] == "floor"
    live = (Case.LIVE, 40.0) if floor else (Case.SNOW, float(row["load"]))
    for porch, printed in zip(row["porch_ft"], row["span_in"], strict=True):
        width = porch / 2
        loads = [(Case.DEAD, 10 * width), (live[0], live[1] * width)]
        ceiling = Ceiling.FLOOR if floor else Ceiling.NONE
        spans = [
            longest(Stock(1.5, depth, plies, sp, "No.2"), loads, LIVE, service=wet(sp),
                    ceiling=ceiling)
            for sp in ALL_SPECIES
        ]  # fmt: skip
        assert min(spans) == pytest.approx(printed, abs=2.0)


@pytest.mark.parametrize(
    "row", table("prescriptive")["header"], ids=lambda r: f"{r['size']}-{r['snow_psf']}"
)
def test_wall_headers(row):
    """S-039: No.2 dry, 20 psf dead and 0.7 pg over half the building and a 2 ft eave: to 4 in.

    The method is not printed with the table; this one was found to fit. Ours is up to 4 in short.
    """
    plies, depth = plies_of(row["size"])
    for building, printed in zip(row["building_ft"], row["span_in"], strict=True):
        width = building / 2 + 2
        loads = [(Case.DEAD, 20 * width), (Case.SNOW, 0.7 * row["snow_psf"] * width)]
        spans = [
            longest(Stock(1.5, depth, plies, sp, "No.2"), loads, STRENGTH) for sp in ALL_SPECIES
        ]
        assert min(spans) == pytest.approx(printed, abs=4.0)


RAFTERS = (
    ("DF-L", "SS", 10, "10-5 16-4 21-7 b b", 0.03), ("DF-L", "SS", 20, "10-5 16-4 21-7 b b", 0.03),
    ("DF-L", "No.1", 10, "10-0 15-9 20-10 b b", 0.0),
    ("DF-L", "No.1", 20, "10-0 15-4 19-5 23-9 b", 0.0),
    ("DF-L", "No.3", 10, "8-7 12-6 15-10 19-5 22-6", 0.03),
    ("DF-L", "No.3", 20, "7-5 10-10 13-9 16-9 19-6", 0.03),
    ("HF", "SS", 10, "9-10 15-6 20-5 b b", 0.0), ("HF", "SS", 20, "9-10 15-6 20-5 b b", 0.0),
    ("SP", "No.1", 10, "9-10 15-6 20-5 26-0 26-0", 0.0),
    ("SP", "No.1", 20, "9-10 15-6 19-10 23-2 26-0", 0.0),
    ("SPF", "No.2", 10, "9-5 14-9 19-6 24-10 b", 0.0),
    ("SPF", "No.2", 20, "9-5 14-4 18-2 22-3 25-9", 0.0),
)  # fmt: skip


@pytest.mark.parametrize(("species", "grade", "dead", "row", "short"), RAFTERS)
def test_rafters(species, grade, dead, row, short):
    """S-046: 12 in apart, 20 psf roof live, L/240 live, to the inch; "b" and 26-0 are the cap.

    The printed DF-L SS and No.3 rows are up to 3 % short of a plain calculation: they fit a bending
    value of 1450 and 500; the reason was not found.
    """
    rows = [
        r["span_in"] for r in table("prescriptive")["rafter"]
        if r["species"] == species and r["grades"] == [grade] and r["dead_psf"] == dead
    ]  # fmt: skip
    assert rows == [312 if p == "b" else feet(p) for p in row.split()]
    for depth, printed in zip((3.5, 5.5, 7.25, 9.25, 11.25), row.split(), strict=True):
        span = longest(
            Stock(1.5, depth, 1, species, grade), [(Case.DEAD, dead), (Case.ROOF_LIVE, 20)],
            ("bending", "live deflection"), use=Use.RAFTER, repetitive=True,
            ceiling=Ceiling.GYPSUM,
        )  # fmt: skip
        if printed in ("b", "26-0"):
            assert span >= 312 - 1
            continue
        assert -1.0 <= span - feet(printed) <= 1.0 + short * feet(printed)


@pytest.mark.parametrize(
    "row", table("prescriptive")["deck_joist"], ids=lambda r: f"{r['species'][0]}-{r['size']}"
)
def test_deck_joists(row):
    """S-044: 40 psf live, 10 dead, wet, incised but for Southern Pine, L/360: to the inch."""
    depth = DEPTH_OF[row["size"].split("x")[1]]
    for spacing, printed in zip(row["spacing_in"], row["span_in"], strict=True):
        loads = [(Case.DEAD, 10 * spacing / 12), (Case.LIVE, 40 * spacing / 12)]
        spans = [
            longest(Stock(1.5, depth, 1, sp, "No.2"), loads, ("bending", "live deflection"),
                    service=wet(sp), use=Use.JOIST, repetitive=True, ceiling=Ceiling.FLOOR)
            for sp in row["species"]
        ]  # fmt: skip
        assert min(min(spans), 216) == pytest.approx(printed, abs=1.0)


DCA6 = (
    ("2-2x6", "6-8 5-8 5-1 4-7 4-3 4-0 3-9"), ("2-2x10", "10-1 8-9 7-9 7-1 6-6 6-1 5-9"),
    ("3-2x8", "10-7 9-3 8-3 7-6 6-11 6-5 6-1"),
)  # fmt: skip


@pytest.mark.parametrize(("size", "row"), DCA6)
def test_deck_beams_of_the_guide(size, row):
    """S-041: Southern Pine, joists with a quarter overhang, 50 psf, wet: to 3 1/2 in.

    The guide's overhang and rounding are not printed with the row; three plies come out 2 to 3 in
    short because no repetitive factor is taken here.
    """
    plies, depth = plies_of(size)
    for joist, printed in zip((6, 8, 10, 12, 14, 16, 18), row.split(), strict=True):
        width = 0.75 * joist
        span = longest(
            Stock(1.5, depth, plies, "SP", "No.2"),
            [(Case.DEAD, 10 * width), (Case.LIVE, 40 * width)], LIVE, service=wet("SP"),
            ceiling=Ceiling.FLOOR,
        )  # fmt: skip
        assert span == pytest.approx(feet(printed), abs=3.5)


@pytest.mark.parametrize(
    "row", table("prescriptive")["deck_beam"], ids=lambda r: f"{r['species'][0]}-{r['size']}"
)
def test_deck_beams_of_the_code(row):
    """S-042: the code's deck beams within 6 %, but for the two-ply rows of the other species.

    Those (from memory) are 14 to 18 % shorter than a plain calculation; the reason was not found,
    and the shorter, printed span is what the tool shows beside its own.
    """
    plies, depth = plies_of(row["size"])
    others = "SP" not in row["species"]
    for joist, printed in zip(row["joist_ft"], row["span_in"], strict=True):
        width = 0.75 * joist
        loads = [(Case.DEAD, 10 * width), (Case.LIVE, 40 * width)]
        spans = [
            longest(Stock(1.5, depth, plies, sp, "No.2"), loads, LIVE, service=wet(sp),
                    ceiling=Ceiling.FLOOR)
            for sp in row["species"]
        ]  # fmt: skip
        ratio = min(spans) / printed
        low, high = (1.12, 1.28) if others and plies == 2 else (0.94, 1.06)
        assert low <= ratio <= high


@pytest.mark.parametrize("row", table("prescriptive")["deck_post"], ids=lambda r: r["size"])
def test_deck_posts(row):
    """S-043: 50 psf on the area, wet No.2 Southern Pine: printed 0 to 2 in under ours."""
    width, depth = {"4x4": (3.5, 3.5), "4x6": (3.5, 5.5), "6x6": (5.5, 5.5), "8x8": (7.5, 7.5)}[
        row["size"]
    ]
    stock = Stock(width, depth, 1, "SP", "No.2")

    def ratio(height, area):
        post = Member("p", Use.POST, (0, 0, 0), (0, 0, height), stock, Service(wet=True),
                      weight_pcf=1e-9)  # fmt: skip
        framing = Framing((post,), (), (Support("f", "p", (0, 0, 0), Hold.PINNED),), (),
                          (PointLoad("p", Case.LIVE, 50 * area, height),))  # fmt: skip
        found, _ = check_stage(framing, as_found(framing))
        return next(c.ratio for c in found if c.what == "compression")

    for area, printed in zip(row["area_ft2"], row["height_in"], strict=True):
        if printed == 168:
            assert ratio(168, area) <= 1.0
        else:
            assert ratio(printed, area) <= 1.0 < ratio(printed + 2.5, area)
