"""As found against as repaired, and which change did it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from weatherlap.drying.climate import Climate
from weatherlap.drying.model import Wall
from weatherlap.drying.wood import CLOSE_IN_PCT
from weatherlap.drying.year import LayerYear, Progress, WallYear, wall_year

LEAST_GAIN_PCT = 0.05


@dataclass(frozen=True, slots=True, eq=False)
class LeftOut:
    """The wall as repaired with one change left out.

    ``share`` is the part of the whole improvement in the mean moisture of the layer that was
    wettest as found that is lost without this change; shares need not add up to 1. None where the
    repair as a whole improves nothing.
    """

    name: str
    year: WallYear
    share: float | None


@dataclass(frozen=True, slots=True, eq=False)
class Comparison:
    """A wall as found and as repaired, and each change left out, the one that counts most first."""

    sentence: str
    found: WallYear
    repaired: WallYear
    left_out: tuple[LeftOut, ...]
    source_keys: tuple[str, ...]


def found_and_repaired(
    found: Wall,
    repaired: Wall,
    *,
    climate: Climate,
    without: Mapping[str, Wall] | None = None,
    years_found: int = 1,
    progress: Progress | None = None,
) -> Comparison:
    """A wall as found and as repaired through the same year, and without each change in turn.

    Parameters
    ----------
    found : Wall
        As found, with its leaks.
    repaired : Wall
        As repaired.
    climate : Climate
        Weather.
    without : mapping of str to Wall, optional
        The wall as repaired with one change left out, by the name of the change.
    years_found : int
        Times the weather is gone through as found; the last time is reported. What was done is
        looked at in the first year after it.
    progress : callable, optional
        Called with walls done and walls in all.

    Returns
    -------
    Comparison
        The answer in words, then both years and the changes.

    Raises
    ------
    InputError
        If a wall cannot be worked out.

    Sources
    -------
    D-012 : equations. D-009, D-010 : mould.
    """
    without = without or {}
    total = 2 + len(without)
    year_found = wall_year(found, climate=climate, years=years_found)
    _tell(progress, 1, total)
    year_repaired = wall_year(repaired, climate=climate)
    _tell(progress, 2, total)
    rows = []
    for done, (name, wall) in enumerate(without.items(), start=3):
        year = wall_year(wall, climate=climate)
        rows.append(LeftOut(name, year, _share(year_found, year, year_repaired)))
        _tell(progress, done, total)
    rows.sort(key=lambda row: -1e9 if row.share is None else -row.share)
    return Comparison(
        sentence=_sentence(year_found, year_repaired, rows),
        found=year_found,
        repaired=year_repaired,
        left_out=tuple(rows),
        source_keys=tuple(dict.fromkeys(year_found.source_keys + year_repaired.source_keys)),
    )


def _tell(progress: Progress | None, done: int, total: int) -> None:
    """Report progress if anyone listens."""
    if progress is not None:
        progress(done, total)


def same_layer(year: WallYear, layer_id: str) -> LayerYear:
    """The layer of an id in another wall; its wettest layer if it has none of that id."""
    return next((x for x in year.layers if x.layer_id == layer_id), year.worst())


def _share(found: WallYear, without: WallYear, repaired: WallYear) -> float | None:
    """Part of the whole improvement of the wettest layer that is lost without one change."""
    worst = found.worst()
    after = same_layer(repaired, worst.layer_id).year_mean_pct
    whole = worst.year_mean_pct - after
    if whole <= LEAST_GAIN_PCT:
        return None
    return (same_layer(without, worst.layer_id).year_mean_pct - after) / whole


def _sentence(found: WallYear, repaired: WallYear, rows: list[LeftOut]) -> str:
    """The answer in words."""
    worst = found.worst()
    after = same_layer(repaired, worst.layer_id)
    text = (
        f"{worst.layer_id}: over {CLOSE_IN_PCT:g} % for {worst.wet_hours / 24.0:.0f} days a year "
        f"as found, {after.wet_hours / 24.0:.0f} as repaired; mould index {worst.worst_mould:.1f} "
        f"as found, {after.worst_mould:.1f} as repaired."
    )
    if rows and rows[0].share is not None:
        share = 100.0 * rows[0].share
        text += f" What does most: {rows[0].name} (without it {share:.0f} % of the gain is lost)."
    return text
