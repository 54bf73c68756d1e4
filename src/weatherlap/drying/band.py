"""The same wall with materials drawn from their ranges: results as a band."""

from __future__ import annotations

from collections.abc import Mapping
from concurrent.futures import Future, ThreadPoolExecutor, as_completed
from dataclasses import dataclass, replace

import numpy as np

from weatherlap.drying.air import Array
from weatherlap.drying.climate import Climate
from weatherlap.drying.materials import DRAWN, Properties, properties_at
from weatherlap.drying.model import Aid, Layer, Wall
from weatherlap.drying.mould import VISIBLE_INDEX
from weatherlap.drying.open_drying import OpenMember, days_to_dry
from weatherlap.drying.wood import CLOSE_IN_PCT, DRY_PCT
from weatherlap.drying.year import Progress, WallYear, wall_year
from weatherlap.errors import InputError

VENTING_FACTOR = 3.0
PERCENTILES = (10.0, 50.0, 90.0)
MOST_DRAWS = 4096


@dataclass(frozen=True, slots=True)
class Spread:
    """Ten, fifty and ninety of a hundred draws are at or under these."""

    low: float
    middle: float
    high: float


@dataclass(frozen=True, slots=True, eq=False)
class LayerBand:
    """One layer of wood over all draws.

    ``daily_pct`` has shape (3, days): 10, 50 and 90 % of the draws of each day's mean moisture.
    """

    layer_id: str
    most_pct: Spread
    wet_days: Spread
    mould: Spread
    daily_pct: Array


@dataclass(frozen=True, slots=True, eq=False)
class Band:
    """A wall through the year over draws from the ranges of its materials and venting."""

    sentence: str
    wall: Wall
    layers: tuple[LayerBand, ...]
    draws: int
    seed: int
    source_keys: tuple[str, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Draw:
    """One choice: properties by layer id, and a factor on every air change."""

    choice: Mapping[str, Properties]
    venting: float


def draw_walls(wall: Wall, *, draws: int, seed: int) -> tuple[Draw, ...]:
    """Choices of properties that cover every range evenly.

    Parameters
    ----------
    wall : Wall
        Its layers' materials; layers of one material share a draw.
    draws : int
        How many.
    seed : int
        Of the random numbers.

    Returns
    -------
    tuple of Draw
        Each range is cut into as many strips as there are draws, and each strip is used once.

    Raises
    ------
    InputError
        If there is not at least one draw, or more than 4096.

    Sources
    -------
    D-020 : air changes are known to a factor, here of 3 each way.
    """
    if not 1 <= draws <= MOST_DRAWS:
        raise InputError("band", f"{draws} draws", f"1 to {MOST_DRAWS}")
    keys = list(dict.fromkeys(layer.material for layer in wall.layers))
    generator = np.random.default_rng(seed)
    columns = DRAWN * len(keys) + 1
    strips = np.stack([generator.permutation(draws) for _ in range(columns)], axis=1)
    shares = (strips + generator.random((draws, columns))) / draws
    found = []
    for row in shares:
        parts = {
            key: properties_at(
                key, shares=tuple(float(x) for x in row[DRAWN * k : DRAWN * k + DRAWN])
            )
            for k, key in enumerate(keys)
        }
        choice = {layer.id: parts[layer.material] for layer in wall.layers}
        found.append(Draw(choice, float(VENTING_FACTOR ** (2.0 * row[-1] - 1.0))))
    return tuple(found)


def drawn_year(wall: Wall, draw: Draw, *, climate: Climate, years: int = 1) -> WallYear:
    """A wall through the year with one draw; see ``wall_year``."""
    layers = tuple(
        replace(layer, air_changes_per_h=draw.venting * layer.air_changes_per_h)
        for layer in wall.layers
    )
    return wall_year(replace(wall, layers=layers), climate=climate, years=years, choice=draw.choice)


def year_band(
    wall: Wall,
    *,
    climate: Climate,
    draws: int = 64,
    seed: int = 1,
    years: int = 1,
    workers: int = 1,
    progress: Progress | None = None,
) -> Band:
    """A wall through the year as a band over its materials' ranges.

    Parameters
    ----------
    wall : Wall
        Layers and leaks.
    climate : Climate
        Weather.
    draws : int
        How many choices of properties.
    seed : int
        Of the random numbers; the same seed gives the same band.
    years : int
        Times the weather is gone through.
    workers : int
        Threads that share the draws; the answer does not depend on it.
    progress : callable, optional
        Called with draws done and draws in all.

    Returns
    -------
    Band
        10, 50 and 90 % of the draws.

    Raises
    ------
    InputError
        If the wall cannot be worked out, or there is no draw or no worker.

    Sources
    -------
    D-012, D-020, D-023.
    """
    if workers < 1:
        raise InputError("band", f"{workers} workers", "1 or more")
    choices = draw_walls(wall, draws=draws, seed=seed)
    found: dict[int, _Kept] = {}
    with ThreadPoolExecutor(max_workers=workers) as pool:
        waiting: dict[Future[_Kept], int] = {
            pool.submit(_kept, wall, draw, climate, years): k for k, draw in enumerate(choices)
        }
        for future in as_completed(waiting):
            found[waiting[future]] = future.result()
            if progress is not None:
                progress(len(found), draws)
    kept = [found[k] for k in range(draws)]
    layers = tuple(_layer_band(k, kept) for k in range(len(kept[0].ids)))
    return Band(_sentence(wall, layers, draws), wall, layers, draws, seed, kept[0].source_keys)


@dataclass(frozen=True, slots=True, eq=False)
class _Kept:
    """What a band needs of one draw; one row a layer."""

    ids: tuple[str, ...]
    most_pct: Array
    wet_days: Array
    mould: Array
    daily_pct: Array
    source_keys: tuple[str, ...]


def _kept(wall: Wall, draw: Draw, climate: Climate, years: int) -> _Kept:
    """One draw worked out and cut down to what the band needs."""
    year = drawn_year(wall, draw, climate=climate, years=years)
    days = climate.hours // 24
    daily = [x.mean_pct[: 24 * days].reshape(days, 24).mean(axis=1) for x in year.layers]
    return _Kept(
        ids=tuple(x.layer_id for x in year.layers),
        most_pct=np.array([x.most_pct for x in year.layers]),
        wet_days=np.array([x.wet_hours / 24.0 for x in year.layers]),
        mould=np.array([x.worst_mould for x in year.layers]),
        daily_pct=np.stack(daily),
        source_keys=year.source_keys,
    )


def _spread(values: Array) -> Spread:
    """10, 50 and 90 % of some values."""
    return Spread(*(float(v) for v in np.percentile(values, PERCENTILES)))


def _layer_band(layer: int, kept: list[_Kept]) -> LayerBand:
    """One layer over all draws."""
    return LayerBand(
        layer_id=kept[0].ids[layer],
        most_pct=_spread(np.array([k.most_pct[layer] for k in kept])),
        wet_days=_spread(np.array([k.wet_days[layer] for k in kept])),
        mould=_spread(np.array([k.mould[layer] for k in kept])),
        daily_pct=np.percentile([k.daily_pct[layer] for k in kept], PERCENTILES, axis=0),
    )


@dataclass(frozen=True, slots=True)
class DaysBand:
    """Days to 19 % and to 16 % over draws, None unless nine draws of ten get there in time."""

    sentence: str
    close_in: Spread | None
    dry: Spread | None
    draws: int
    seed: int
    source_keys: tuple[str, ...]


def days_band(
    member: OpenMember,
    *,
    climate: Climate,
    first_hour: int = 0,
    aid: Aid = Aid.NONE,
    draws: int = 64,
    seed: int = 1,
    progress: Progress | None = None,
) -> DaysBand:
    """Days until a bare piece of wood is dry enough, over the ranges of its material.

    Parameters
    ----------
    member : OpenMember
        What wood, how thick, how wet.
    climate : Climate
        Weather of a year.
    first_hour : int
        Hour of the year at which it was opened. [h]
    aid : Aid
        Fan or heater.
    draws : int
        How many choices of properties.
    seed : int
        Of the random numbers.
    progress : callable, optional
        Called with draws done and draws in all.

    Returns
    -------
    DaysBand
        10, 50 and 90 % of the draws.

    Raises
    ------
    InputError
        If a value cannot be used.

    Sources
    -------
    D-023, D-036.
    """
    wall = Wall(member.name, (Layer(member.name, member.material, member.thickness_m),))
    close_in: list[float] = []
    dry: list[float] = []
    keys: tuple[str, ...] = ("D-023",)
    for done, draw in enumerate(draw_walls(wall, draws=draws, seed=seed), start=1):
        time = days_to_dry(
            member, climate=climate, first_hour=first_hour, aid=aid,
            chosen=draw.choice[member.name],
        )  # fmt: skip
        close_in.append(np.inf if time.days_to_close_in is None else time.days_to_close_in)
        dry.append(np.inf if time.days_to_dry is None else time.days_to_dry)
        keys = time.source_keys
        if progress is not None:
            progress(done, draws)
    first, second = _days_spread(close_in), _days_spread(dry)
    helped = "" if aid is Aid.NONE else f" with {aid}"
    sentence = (
        f"{member.name} at {member.start_pct:g} %, open{helped}: {_between(first)} to "
        f"{CLOSE_IN_PCT:g} %, {_between(second)} to {DRY_PCT:g} %."
    )
    return DaysBand(sentence, first, second, draws, seed, keys)


def _days_spread(days: list[float]) -> Spread | None:
    """10, 50 and 90 % of days; None if the 90 % never get there."""
    ordered = np.percentile(np.array(days), PERCENTILES, method="higher")
    return Spread(*(float(d) for d in ordered)) if np.all(np.isfinite(ordered)) else None


def _between(spread: Spread | None) -> str:
    """A spread of days in words."""
    if spread is None:
        return "too long to tell"
    low, high = round(spread.low), round(spread.high)
    return f"{low} to {high} days" if high > low else f"{low} days"


def _sentence(wall: Wall, layers: tuple[LayerBand, ...], draws: int) -> str:
    """The answer in words."""
    worst = max(layers, key=lambda layer: layer.most_pct.middle)
    most, days = worst.most_pct, worst.wet_days
    mould = max(layer.mould.high for layer in layers)
    seen = "could be seen" if mould >= VISIBLE_INDEX else "stays out of sight"
    return (
        f"{wall.name}, over the ranges of its materials ({draws} draws): {worst.layer_id} goes up "
        f"to {most.low:.0f} to {most.high:.0f} % and is over {CLOSE_IN_PCT:g} % for {days.low:.0f} "
        f"to {days.high:.0f} days; mould {seen}."
    )
