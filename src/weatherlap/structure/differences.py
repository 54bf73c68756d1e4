"""Why a calculated member and the code's table do not say the same."""

from __future__ import annotations

from dataclasses import dataclass

from weatherlap.structure.model import Member
from weatherlap.structure.prescriptive import TableSays, porch_girder, table_size
from weatherlap.structure.results import Check, Figured, number
from weatherlap.structure.site import Site
from weatherlap.units import tape

TABLE_DEAD_PSF = 10.0
TABLE_LIVE_PSF = 40.0
NEAR_PSF = 0.5


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
        word = "height" if self.table.what == "deck post" else "span"
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
    psf = {f.what: f.result for f in loads}
    found = []
    dead, live = psf.get("dead load on plan"), psf.get("live load")
    if dead is not None and abs(dead - TABLE_DEAD_PSF) > NEAR_PSF:
        found.append(f"dead load {number(round(dead, 1))} psf here, 10 psf in the table")
    if live is not None and abs(live - TABLE_LIVE_PSF) > NEAR_PSF:
        found.append(f"live load {number(live)} psf here, 40 psf in the table")
    return Beside(member.id, said, span_in, worst, (*found, *_wood_reasons(member)))


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
    assert site.ground_snow_psf is not None
    ground = site.ground_snow_psf.value
    column = next((c for c in (30.0, 50.0, 70.0) if ground <= c), ground)
    snow = psf.get("snow")
    if snow is not None:
        found.append(
            f"roof snow {number(round(snow, 1))} psf here, {column:g} psf of ground snow in the "
            "table's column"
        )
    more = ("drift at the wall", "unbalanced snow, lee side", "rain on snow")
    found += [
        f"{what} of up to {number(round(psf[what], 1))} psf is not in the table"
        for what in more
        if psf.get(what)
    ]
    live = psf.get("roof live load")
    if live is not None and snow is not None and live > snow:
        found.append(f"roof live load {number(live)} psf counts here, at a shorter duration")
    found += _wood_reasons(member)
    found.append(
        "the table gives the least span of four species groups and has no deflection with creep, "
        "bearing or uplift"
    )
    return tuple(found)
