"""Nails between the plies of beams and columns, and lags of a deck ledger."""

from __future__ import annotations

from dataclasses import dataclass

from weatherlap.errors import InputError
from weatherlap.structure.fasteners import Fastener, Lateral, lateral_value
from weatherlap.structure.results import Check, Value, check
from weatherlap.structure.tables import table

IN_PER_FT = 12.0


@dataclass(frozen=True, slots=True)
class PlyNailing:
    """Nails between the plies of a built-up beam: each row along the whole length. [in]"""

    fastener: Fastener
    spacing_in: float
    rows: int


def ply_nailing_checks(
    about: str, nailing: PlyNailing, *, plies: int, ply_in: float, gravity: float,
    side_load_plf: float, duration: float,
) -> list[Check]:  # fmt: skip
    """Nails of a built-up beam: against the schedule, and for load that comes on one side.

    Parameters
    ----------
    plies : int
        Plies. [-]
    ply_in : float
        Thickness of a ply. [in]
    gravity : float
        Specific gravity. [-]
    side_load_plf : float
        Load that hangs on an outer ply; what sits on top loads all plies alike. [plf]
    duration : float
        Load duration factor. [-]

    Raises
    ------
    InputError
        Fewer than two plies, or no rows.

    Sources
    -------
    S-048 : schedule. S-049 : first seam carries (n - 1) / n of the side load.
    """
    if plies < 2 or nailing.rows < 1 or nailing.spacing_in <= 0:
        raise InputError(f"ply nailing of {about!r}", "no plies or rows to nail", "2 plies, 1 row")
    through = min(nailing.fastener.length_in - ply_in, ply_in)
    one, _, values = lateral_value(
        Lateral(nailing.fastener, gravity, gravity, ply_in, max(through, 0.0), angle_deg=90.0)
    )
    per_ft = one * duration * nailing.rows * IN_PER_FT / nailing.spacing_in
    share = (plies - 1) / plies
    side = check(
        about, what="ply nailing, load from one side", formula="w (n - 1)/n <= rows Z CD 12/s",
        values=(
            Value("w", side_load_plf, "plf", "S-062"), Value("n", plies, "-", "S-066"), *values,
            Value("rows", nailing.rows, "-", "S-066"),
            Value("s", nailing.spacing_in, "in", "S-066"),
            Value("CD", duration, "-", "S-009"),
        ),
        source="S-049", result=side_load_plf * share, limit=per_ft, unit="plf",
        words=f"Load through the first seam of {about!r}",
    )  # fmt: skip
    return [side, _schedule_check(about, nailing)]


def _schedule_check(about: str, nailing: PlyNailing) -> Check:
    """Spacing against the code's schedule, by the nail of the schedule that is not thicker."""
    rows = table("fasteners")["ply_schedule"]
    nails = table("fasteners")["nail"]
    fit = [r for r in rows if nails[r["nail"]][0] <= nailing.fastener.diameter_in + 1e-9]
    spacing = max((float(r["spacing_in"]) for r in fit), default=0.0)
    enough = nailing.rows >= 2
    return check(
        about, what="ply nailing, schedule", formula="s <= spacing of the schedule, two rows",
        values=(Value("s", nailing.spacing_in, "in", "S-066"),
                Value("rows", nailing.rows, "-", "S-066")),
        source="S-048", result=nailing.spacing_in, limit=spacing if enough else 0.0, unit="in",
        words=f"Nail spacing between plies of {about!r}",
    )  # fmt: skip


def column_nailing_faults(nailing: PlyNailing, *, plies: int, ply_in: float, width_in: float,
                          end_in: float) -> tuple[str, ...]:  # fmt: skip
    """Rules of a nailed built-up column that are not kept, in words.

    Parameters
    ----------
    plies : int
        Plies. [-]
    ply_in, width_in : float
        Thickness and width of a ply. [in]
    end_in : float
        Distance of the last nail from the end. [in]

    Sources
    -------
    S-020 : 15.3.3.
    """
    d, s = nailing.fastener.diameter_in, nailing.spacing_in
    need = ply_in * (plies - 1) + 0.75 * ply_in
    rules = (
        (2 <= plies <= 5, "two to five plies"),
        (ply_in >= 1.5, "plies at least 1 1/2 in thick"),
        (nailing.fastener.length_in >= need - 1e-9, f"nails at least {need:g} in long"),
        (15 * d <= end_in <= 18 * d, f"last nail {15 * d:.2f} to {18 * d:.2f} in from the end"),
        (20 * d <= s <= 6 * ply_in, f"spacing {20 * d:.2f} to {6 * ply_in:g} in along a row"),
        (nailing.rows >= 2 or width_in <= 3 * ply_in, "two rows where wider than three plies"),
    )
    return tuple(text for kept, text in rules if not kept)


def ledger_spacing_in(joist_span_ft: float, *, band: str) -> float:
    """Most spacing of 1/2 in lags in a deck ledger. [in]

    Parameters
    ----------
    joist_span_ft : float
        Joist span. [ft]
    band : str
        "band_2x", "rim_1_1_8" or "rim_1".

    Raises
    ------
    InputError
        A span over 18 ft or an unknown band.

    Limits
    ------
    40 psf live, 10 dead; ledger at least 2x8 treated No.2, not over brick or stone veneer.

    Sources
    -------
    S-045 : Table R507.9.1.3(1).
    """
    rows = table("fasteners")["ledger"]
    if band not in rows or band == "joist_span_ft":
        raise InputError("ledger", f"band {band!r}", "band_2x, rim_1_1_8 or rim_1")
    for span, spacing in zip(rows["joist_span_ft"], rows[band], strict=True):
        if 0 < joist_span_ft <= span:
            return float(spacing)
    raise InputError("ledger", f"a joist span of {joist_span_ft:g} ft", "over 0 to 18 ft")
