"""Wet lumber shrinks across the grain: how far a new beam comes down beside a dry one."""

from __future__ import annotations

from dataclasses import dataclass

from weatherlap.errors import InputError
from weatherlap.structure.lumber import SPECIES_NAMES
from weatherlap.structure.results import Figured, Value
from weatherlap.structure.tables import table

FIBRE_SATURATION_PERCENT = 30.0
GREEN_PERCENT = 200.0


@dataclass(frozen=True, slots=True)
class Shrinks:
    """A depth of wood that dries: least, likely and most shrinkage. [in]

    Flat-sawn faces follow the tangential value, quarter-sawn the radial one; lumber lies between.
    """

    least_in: float
    likely_in: float
    most_in: float
    figured: Figured


def shrinkage(
    depth_in: float, *, species: str, from_percent: float, to_percent: float, about: str = "depth"
) -> Shrinks:
    """Shrinkage across the grain of a depth between two moisture contents.

    Parameters
    ----------
    depth_in : float
        Depth now. [in]
    from_percent, to_percent : float
        Moisture content now and when dry in place. [%]

    Raises
    ------
    InputError
        Unknown species, a moisture content outside 0 to 200 %, or wood that takes up water.

    Sources
    -------
    S-063 : straight-line share of the shrinkage from 30 % to oven dry, radial and tangential.
    """
    rows = table("shrinkage")["percent"]
    if species not in rows:
        raise InputError("shrinkage", f"species {species!r}", f"one of {', '.join(SPECIES_NAMES)}")
    if not (0 <= to_percent <= from_percent <= GREEN_PERCENT and depth_in > 0):
        raise InputError(
            "shrinkage", f"{from_percent:g} to {to_percent:g} % over {depth_in:g} in",
            "a depth, and a moisture content that falls, within 0 to 200 %",
        )  # fmt: skip
    start, end = (min(p, FIBRE_SATURATION_PERCENT) for p in (from_percent, to_percent))
    share = (start - end) / FIBRE_SATURATION_PERCENT
    radial, tangential = rows[species]
    least, most = (depth_in * share * p / 100 for p in (radial, tangential))
    likely = (least + most) / 2
    values = (
        Value("depth", depth_in, "in", "S-066"), Value("from", from_percent, "%", "S-066"),
        Value("to", to_percent, "%", "S-066"), Value("radial", radial, "%", "S-063"),
        Value("tangential", tangential, "%", "S-063"),
    )  # fmt: skip
    figured = Figured(
        about, "shrinkage across the grain",
        "depth x (from - to) / 30 x mean of radial and tangential", values, "S-063", likely, "in",
    )  # fmt: skip
    return Shrinks(least, likely, most, figured)


@dataclass(frozen=True, slots=True)
class FinalLevel:
    """Where the top of a member comes to rest after it dries, against its neighbour. [in]"""

    set_high_in: float
    drops_in: float
    step_after_in: float
    words: str


def set_high(
    new: Shrinks, *, neighbour: Shrinks | None = None, step_now_in: float = 0.0
) -> FinalLevel:
    """How much to set a wet new member high so that it ends level with its dry neighbour.

    Parameters
    ----------
    step_now_in : float
        How much higher its top is set than the neighbour's now. [in]

    Sources
    -------
    S-063.
    """
    drop = new.likely_in - (neighbour.likely_in if neighbour else 0.0)
    after = step_now_in - drop
    words = (
        f"Dries down {new.likely_in:.2f} in ({new.least_in:.2f} to {new.most_in:.2f}); set its top "
        f"{drop:.2f} in high to end level. As set, it ends {abs(after):.2f} in "
        f"{'high' if after >= 0 else 'low'}."
    )
    return FinalLevel(drop, new.likely_in, after, words)
