"""As found against as repaired, and which change did it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from weatherlap.drying.climate import Climate
from weatherlap.drying.model import Wall
from weatherlap.drying.wood import CLOSE_IN_PCT
from weatherlap.drying.year import LayerYear, Progress, WallYear, wall_year


@dataclass(frozen=True, slots=True, eq=False)
class ChangeEffect:
    """What one change alone does to the wettest layer of the wall as found.

    ``share`` is the part of the whole improvement in its mean moisture that this change brings
    by itself; shares need not add up to 1. None where the repair as a whole improves nothing.
    """

    name: str
    year: WallYear
    share: float | None


@dataclass(frozen=True, slots=True, eq=False)
class Comparison:
    """A wall as found and as repaired, and each change alone, strongest first."""

    sentence: str
    found: WallYear
    repaired: WallYear
    changes: tuple[ChangeEffect, ...]
    source_keys: tuple[str, ...]


def found_and_repaired(
    found: Wall,
    repaired: Wall,
    *,
    climate: Climate,
    alone: Mapping[str, Wall] | None = None,
    years: int = 1,
    progress: Progress | None = None,
) -> Comparison:
    """A wall as found and as repaired through the same year, and what each change does alone.

    Parameters
    ----------
    found : Wall
        As found, with its leaks.
    repaired : Wall
        As repaired.
    climate : Climate
        Weather.
    alone : mapping of str to Wall, optional
        The wall as found with one change each, by the name of the change.
    years : int
        Times the weather is gone through; the last time is reported.
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
    alone = alone or {}
    total = 2 + len(alone)
    years_found = wall_year(found, climate=climate, years=years)
    _tell(progress, 1, total)
    years_repaired = wall_year(repaired, climate=climate, years=years)
    _tell(progress, 2, total)
    effects = []
    for done, (name, wall) in enumerate(alone.items(), start=3):
        year = wall_year(wall, climate=climate, years=years)
        share = _share(years_found, year, years_repaired)
        effects.append(ChangeEffect(name, year, share))
        _tell(progress, done, total)
    effects.sort(key=lambda effect: -1e9 if effect.share is None else -effect.share)
    return Comparison(
        sentence=_sentence(years_found, years_repaired, effects),
        found=years_found,
        repaired=years_repaired,
        changes=tuple(effects),
        source_keys=tuple(dict.fromkeys(years_found.source_keys + years_repaired.source_keys)),
    )


def _tell(progress: Progress | None, done: int, total: int) -> None:
    """Report progress if anyone listens."""
    if progress is not None:
        progress(done, total)


def _same_layer(year: WallYear, layer_id: str) -> LayerYear:
    """The layer of an id in another wall; its wettest layer if it has none of that id."""
    return next((x for x in year.layers if x.layer_id == layer_id), year.worst())


def _share(found: WallYear, alone: WallYear, repaired: WallYear) -> float | None:
    """Part of the whole improvement of the wettest layer that one change brings."""
    worst = found.worst()
    whole = worst.year_mean_pct - _same_layer(repaired, worst.layer_id).year_mean_pct
    if whole <= 0.05:
        return None
    return (worst.year_mean_pct - _same_layer(alone, worst.layer_id).year_mean_pct) / whole


def _sentence(found: WallYear, repaired: WallYear, effects: list[ChangeEffect]) -> str:
    """The answer in words."""
    worst = found.worst()
    after = _same_layer(repaired, worst.layer_id)
    text = (
        f"{worst.layer_id}: over {CLOSE_IN_PCT:g} % for {worst.wet_hours / 24.0:.0f} days a year "
        f"as found, {after.wet_hours / 24.0:.0f} as repaired; mould index {worst.worst_mould:.1f} "
        f"as found, {after.worst_mould:.1f} as repaired."
    )
    if effects and effects[0].share is not None:
        share = 100.0 * effects[0].share
        text += f" What does most: {effects[0].name} ({share:.0f} % of it alone)."
    return text
