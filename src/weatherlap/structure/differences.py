"""Why a calculated member and the code's table do not say the same."""

from __future__ import annotations

from dataclasses import dataclass

from weatherlap.structure.model import Ceiling, Member
from weatherlap.structure.prescriptive import (
    SNOW_COLUMNS_PSF,
    TABLE_ROOF_LIVE_PSF,
    TableSays,
    full_height_studs,
    porch_girder,
    table_size,
)
from weatherlap.structure.results import Check, Figured, number
from weatherlap.structure.site import Exposure, Site
from weatherlap.units import IN_PER_FT, tape

TABLE_DEAD_PSF = 10.0
TABLE_LIVE_PSF = 40.0
NEAR_PSF = 0.5
MILD_WIND_MPH = 115.0
LONGEST_HEADER_FT = 18.0
MORE_SNOW = ("drift at the wall", "unbalanced snow, lee side", "rain on snow")


@dataclass(frozen=True, slots=True)
class Beside:
    """What the table says of a member, what the calculation says, and why they differ. [in]"""

    member: str
    table: TableSays
    span_in: float
    worst: Check
    reasons: tuple[str, ...]

    @property
    def sentence(self) -> str:
        """Both answers and the reasons."""
        word = {"deck post": "height", "ledger lag": "spacing"}.get(self.table.what, "span")
        fits = "within it" if self.span_in <= self.table.length_in + 0.5 else "more than it gives"
        why = "; ".join(self.reasons) or "nothing that was entered differs from the table's terms"
        return (
            f"{self.member}: the {self.table.what} table gives {tape(self.table.length_in)}, the "
            f"{word} is {tape(self.span_in)}, {fits}. Calculated: {self.worst.what} at "
            f"{100 * self.worst.ratio:.0f} % of its limit. Why they differ: {why}."
        )


def girder_beside(
    member: Member, *, span_in: float, depth_ft: float, site: Site, worst: Check,
    loads: tuple[Figured, ...],
) -> Beside | None:  # fmt: skip
    """The porch girder table beside a calculated beam; None where the table has no row.

    Parameters
    ----------
    span_in : float
        Longest span of the beam between its posts. [in]
    depth_ft : float
        House face to beam. [ft]

    Sources
    -------
    S-038 : Table R602.7(3): No.2, wet, 10 psf dead, ground snow over half the depth.
    """
    if site.ground_snow_psf is None:
        return None
    said = porch_girder(
        table_size(member.stock), species=member.stock.species, porch_depth_ft=depth_ft,
        ground_snow_psf=site.ground_snow_psf.value,
    )  # fmt: skip
    if said is None:
        return None
    return Beside(member.id, said, span_in, worst, _reasons(member, site, loads))


def header_beside(
    member: Member, said: TableSays, *, span_in: float, site: Site, worst: Check,
    loads: tuple[Figured, ...],
) -> Beside:  # fmt: skip
    """The table of wall headers beside a calculated header, with its studs at each end.

    Parameters
    ----------
    span_in : float
        Span between what carries it. [in]

    Sources
    -------
    S-039 : Table R602.7(1): No.2, dry, roof and ceiling over half the house; R602.7.5.
    """
    mild = (
        site.wind_mph is not None and site.wind_mph.value <= MILD_WIND_MPH
        and site.exposure is Exposure.B
    )  # fmt: skip
    span_ft = span_in / IN_PER_FT
    studs = f"jack studs at each end: {said.jack_studs}"
    if span_ft <= LONGEST_HEADER_FT:
        studs += f", full-height studs: {full_height_studs(span_ft, mild_wind=mild)}"
    found = [f"the table wants {studs}"]
    found += _snow_reasons(site, loads)
    if member.service.wet or member.service.incised:
        found.append("calculated wet or incised, the table takes dry wood")
    if member.stock.grade != "No.2":
        found.append(f"grade {member.stock.grade}, the table is for No.2")
    found.append("the table takes roof and ceiling over half the house, here it is as surveyed")
    return Beside(member.id, said, span_in, worst, tuple(found))


def rafter_beside(
    member: Member, said: TableSays, *, span_in: float, worst: Check, loads: tuple[Figured, ...]
) -> Beside:
    """The table of rafters beside a calculated one.

    Parameters
    ----------
    span_in : float
        Span on plan. [in]

    Sources
    -------
    S-046 : Table 2308.7.2(2): dry, repetitive, ceiling attached, live load alone on deflection.
    """
    found = []
    psf = {f.what: f.result for f in loads}
    dead = psf.get("dead load on plan")
    if dead is not None:
        found.append(f"dead load {number(round(dead, 1))} psf here, in the next column")
    live = psf.get("roof live load")
    if live is not None and abs(live - TABLE_ROOF_LIVE_PSF) > NEAR_PSF:
        found.append(f"roof live load {number(live)} psf here, 20 psf in the table")
    found += [
        f"{what} of up to {number(round(psf[what], 1))} psf is not in the table"
        for what in MORE_SNOW
        if psf.get(what)
    ]
    if member.service.wet or member.service.incised:
        found.append("calculated wet or incised, the table takes dry wood")
    if member.ceiling is not Ceiling.GYPSUM:
        found.append("the table limits live deflection to L/240 for a ceiling")
    found.append("the table has no deflection with creep, bearing, wind or overhang")
    return Beside(member.id, said, span_in, worst, tuple(found))


def ledger_beside(
    member: Member, said: TableSays, *, spacing_in: float, worst: Check, loads: tuple[Figured, ...]
) -> Beside:
    """The table of ledger lags beside the calculated lags.

    Parameters
    ----------
    spacing_in : float
        Widest distance from lag to lag. [in]

    Sources
    -------
    S-045 : half-inch lags into a 2x band, 40 psf live and 10 psf dead.
    """
    found = (
        *_deck_load_reasons(loads),
        "the table rests on tests of whole ledgers with sheathing between, the calculation on the "
        "yield equations of one lag",
    )
    return Beside(member.id, said, spacing_in, worst, found)


def deck_beside(
    member: Member, said: TableSays | None, *, span_in: float, worst: Check,
    loads: tuple[Figured, ...],
) -> Beside | None:  # fmt: skip
    """A deck table's answer beside a calculated joist, beam or post; None without a row.

    Parameters
    ----------
    span_in : float
        Longest span, or the height of a post. [in]

    Sources
    -------
    S-042, S-043, S-044 : deck tables: No.2, wet, 40 psf live and 10 psf dead.
    """
    if said is None:
        return None
    found = _deck_load_reasons(loads)
    return Beside(member.id, said, span_in, worst, (*found, *_wood_reasons(member)))


def _deck_load_reasons(loads: tuple[Figured, ...]) -> tuple[str, ...]:
    """Where the loads of a deck are not those of its tables."""
    psf = {f.what: f.result for f in loads}
    found = []
    dead, live = psf.get("dead load on plan"), psf.get("live load")
    if dead is not None and abs(dead - TABLE_DEAD_PSF) > NEAR_PSF:
        found.append(f"dead load {number(round(dead, 1))} psf here, 10 psf in the table")
    if live is not None and abs(live - TABLE_LIVE_PSF) > NEAR_PSF:
        found.append(f"live load {number(live)} psf here, 40 psf in the table")
    return tuple(found)


def _wood_reasons(member: Member) -> tuple[str, ...]:
    """Terms of the wood that are not the table's."""
    found = []
    if not member.service.wet:
        found.append("calculated dry, the table takes wet service")
    if member.stock.grade != "No.2":
        found.append(f"grade {member.stock.grade}, the table is for No.2")
    if member.stock.species != "SP" and not member.service.incised:
        found.append("not incised, the table takes incised wood but for Southern Pine")
    return tuple(found)


def _reasons(member: Member, site: Site, loads: tuple[Figured, ...]) -> tuple[str, ...]:
    """Every term of the table that is not what was calculated with."""
    found = []
    psf = {f.what: f.result for f in loads}
    dead = psf.get("dead load on plan")
    if dead is not None and abs(dead - TABLE_DEAD_PSF) > NEAR_PSF:
        found.append(f"dead load {number(round(dead, 1))} psf here, 10 psf in the table")
    found += _snow_reasons(site, loads)
    snow = psf.get("snow")
    live = psf.get("roof live load")
    if live is not None and snow is not None and live > snow:
        found.append(f"roof live load {number(live)} psf counts here, at a shorter duration")
    found += _wood_reasons(member)
    found.append(
        "the table gives the least span of four species groups and has no deflection with creep, "
        "bearing or uplift"
    )
    return tuple(found)


def _snow_reasons(site: Site, loads: tuple[Figured, ...]) -> tuple[str, ...]:
    """How the snow here differs from that of a table by ground snow."""
    assert site.ground_snow_psf is not None
    psf = {f.what: f.result for f in loads}
    ground = site.ground_snow_psf.value
    column = next((c for c in SNOW_COLUMNS_PSF if ground <= c), ground)
    found = []
    snow = psf.get("snow")
    if snow is not None:
        found.append(
            f"roof snow {number(round(snow, 1))} psf here, {column:g} psf of ground snow in the "
            "table's column"
        )
    found += [
        f"{what} of up to {number(round(psf[what], 1))} psf is not in the table"
        for what in MORE_SNOW
        if psf.get(what)
    ]
    return tuple(found)
