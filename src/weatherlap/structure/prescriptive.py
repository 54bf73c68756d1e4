"""What the code's tables would say beside a calculated member; rows that are not held are not."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from weatherlap.errors import InputError
from weatherlap.structure.lumber import size_name
from weatherlap.structure.model import Stock
from weatherlap.structure.tables import table
from weatherlap.units import tape

SNOW_COLUMNS_PSF = (30.0, 50.0, 70.0)
TABLE_SPECIES = ("DF-L", "HF", "SPF", "SP")


@dataclass(frozen=True, slots=True)
class TableSays:
    """A prescriptive span or height with its table and terms. [in]"""

    what: str
    length_in: float
    source: str
    note: str
    jack_studs: int = 0

    @property
    def sentence(self) -> str:
        """The table's answer in words."""
        return f"{self.what}: {tape(self.length_in)}. {self.note}"


def table_size(stock: Stock) -> str:
    """A stock as the tables name it: ``2-2x10``, ``6x6``."""
    return f"{stock.plies}-{size_name(stock)}" if stock.plies > 1 else size_name(stock)


def _between(x: float, marks: list[float], values: list[float]) -> float | None:
    """Straight-line value; None outside the printed columns."""
    for (a, va), (b, vb) in pairwise(zip(marks, values, strict=True)):
        if a <= x <= b:
            return va + (x - a) / (b - a) * (vb - va)
    return None


def _rows(kind: str, size: str) -> list[dict[str, Any]]:
    """Rows of a table for a size."""
    return [row for row in table("prescriptive")[kind] if row["size"] == size]


def _snow_column(ground_snow_psf: float) -> float | None:
    """The snow column that covers a ground snow load. [psf]"""
    return next((c for c in SNOW_COLUMNS_PSF if ground_snow_psf <= c), None)


def porch_girder(
    size: str, *, species: str, porch_depth_ft: float, ground_snow_psf: float | None
) -> TableSays | None:
    """Span of a porch girder; ``ground_snow_psf`` None for a porch floor. [in]

    Parameters
    ----------
    porch_depth_ft : float
        House face to girder. [ft]
    ground_snow_psf : float or None
        Ground snow load; under 30 uses the 30 psf column. [psf]

    Sources
    -------
    S-038 : Table R602.7(3), straight-line between depths.
    """
    if species not in TABLE_SPECIES or porch_depth_ft <= 0:
        return None
    column = "floor"
    if ground_snow_psf is not None:
        snow = _snow_column(ground_snow_psf)
        if snow is None:
            return None
        column = f"{snow:g}"
    for row in _rows("porch_girder", size):
        if row["load"] == column:
            depth = max(porch_depth_ft, row["porch_ft"][0])
            span = _between(depth, row["porch_ft"], row["span_in"])
            note = "No.2, wet service; depth from house face to girder; 8 ft column for less."
            return None if span is None else TableSays("porch girder", span, row["source"], note)
    return None


def wall_header(
    size: str, *, species: str, building_width_ft: float, ground_snow_psf: float,
    braced_top: bool = True,
) -> TableSays | None:  # fmt: skip
    """Span of a header in an exterior wall under roof and ceiling, with jack studs. [in]

    Parameters
    ----------
    building_width_ft : float
        Width across the ridge. [ft]
    ground_snow_psf : float
        Ground snow load; under 30 uses 30. [psf]
    braced_top : bool
        Whether joists or plates hold its top; if not, 2x8 and deeper take 0.70.

    Sources
    -------
    S-039 : Table R602.7(1).
    """
    snow = _snow_column(ground_snow_psf)
    if species not in TABLE_SPECIES or snow is None or building_width_ft <= 0:
        return None
    for row in _rows("header", size):
        if row["snow_psf"] == snow:
            width = max(building_width_ft, row["building_ft"][0])
            span = _between(width, row["building_ft"], row["span_in"])
            if span is None:
                return None
            deep = size.rsplit("x", 1)[-1] in ("8", "10", "12")
            share = 1.0 if braced_top or not deep else 0.70
            jacks = next(
                n for w, n in zip(row["building_ft"], row["jacks"], strict=True) if width <= w
            )
            return TableSays("header", span * share, row["source"], "No.2.", int(jacks))
    return None


def deck_beam(size: str, *, species: str, joist_span_ft: float) -> TableSays | None:
    """Span of a deck beam, joists on one side, 40 psf. [in]

    Parameters
    ----------
    joist_span_ft : float
        Joist span. [ft]

    Sources
    -------
    S-042 : Table R507.5, next longer joist span. S-041 : an older table, a few inches shorter.
    """
    for row in _rows("deck_beam", size):
        if species in row["species"]:
            for joist, span in zip(row["joist_ft"], row["span_in"], strict=True):
                if 0 < joist_span_ft <= joist:
                    return TableSays("deck beam", float(span), row["source"], "No.2, wet, 40 psf.")
    return None


def deck_joist(size: str, *, species: str, spacing_in: float) -> TableSays | None:
    """Span of a deck joist without overhang, 40 psf. [in]

    Parameters
    ----------
    spacing_in : float
        Spacing; the next wider column. [in]

    Sources
    -------
    S-044 : Table R507.6.
    """
    for row in _rows("deck_joist", size):
        if species in row["species"]:
            for wide, span in zip(row["spacing_in"], row["span_in"], strict=True):
                if 0 < spacing_in <= wide:
                    return TableSays("deck joist", float(span), row["source"], "No.2, wet, 40 psf.")
    return None


def deck_post_height(size: str, *, species: str, area_ft2: float) -> TableSays | None:
    """Height of a deck post, 40 psf. [in]

    Parameters
    ----------
    area_ft2 : float
        Tributary area; the next larger row. [ft2]

    Sources
    -------
    S-043 : Table R507.4, 2021.
    """
    for row in _rows("deck_post", size):
        if species in row["species"]:
            for area, height in zip(row["area_ft2"], row["height_in"], strict=True):
                if 0 < area_ft2 <= area:
                    note = "No.2 Southern Pine, wet, 40 psf live and 10 dead."
                    return TableSays("deck post", float(height), row["source"], note)
    return None


TABLE_ROOF_LIVE_PSF = 20.0


def rafter(
    size: str, *, species: str, grade: str, spacing_in: float, dead_psf: float,
    ground_snow_psf: float | None,
) -> TableSays | None:  # fmt: skip
    """Span of a rafter on plan under 20 psf of roof live load, ceiling attached. [in]

    Parameters
    ----------
    spacing_in : float
        Spacing; the rows that are held are for 12 in. [in]
    dead_psf : float
        Dead load; the next column of 10 and 20 psf. [psf]
    ground_snow_psf : float or None
        Ground snow load: over 20 psf another table, not held here, holds. [psf]

    Sources
    -------
    S-046 : Table 2308.7.2(2).
    """
    if ground_snow_psf is not None and ground_snow_psf > TABLE_ROOF_LIVE_PSF:
        return None
    for row in _rows("rafter", size):
        fits = row["species"] == species and grade in row["grades"]
        if fits and spacing_in <= row["spacing_in"] + 0.5 and dead_psf <= row["dead_psf"]:
            note = f"{row['dead_psf']} psf dead, 20 psf roof live, on plan."
            return TableSays("rafter", float(row["span_in"]), row["source"], note)
    return None


def full_height_studs(header_span_ft: float, *, mild_wind: bool) -> int:
    """King studs at each end of a header. [-]

    Parameters
    ----------
    header_span_ft : float
        Span. [ft]
    mild_wind : bool
        115 mph or less in exposure B.

    Raises
    ------
    InputError
        Over 18 ft.

    Sources
    -------
    S-039 : R602.7.5.
    """
    rows = ((4, 1, 1), (6, 2, 1), (8, 2, 1), (10, 3, 2), (12, 3, 2), (14, 3, 2), (16, 4, 2),
            (18, 4, 2))  # fmt: skip
    for span, full, mild in rows:
        if 0 < header_span_ft <= span:
            return mild if mild_wind else full
    raise InputError("header", f"a span of {header_span_ft:g} ft", "over 0 to 18 ft")
