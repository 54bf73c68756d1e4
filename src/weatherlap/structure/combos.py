"""Load combinations for allowable stress, with the duration of each, and for strength."""

from __future__ import annotations

from dataclasses import dataclass

from weatherlap.structure.factors import DURATION
from weatherlap.structure.model import Case

SNOW_CASES = (Case.SNOW, Case.SNOW_UNBALANCED, Case.SNOW_SLIDING, Case.RAIN_ON_SNOW)


@dataclass(frozen=True, slots=True)
class Combination:
    """Cases with their factors; ``duration`` is that of the shortest load in it. [-]"""

    id: str
    parts: tuple[tuple[Case, float], ...]
    duration: float

    def factor(self, case: Case) -> float:
        """Factor of a case, 0 where it is not in. [-]"""
        return dict(self.parts).get(case, 0.0)


def _combination(parts: list[tuple[Case, float]]) -> Combination:
    """A combination named by its parts."""
    name = " + ".join(case.value if f == 1.0 else f"{f:g} {case.value}" for case, f in parts)
    return Combination(name, tuple(parts), max(DURATION[case] for case, _ in parts))


def asd_combinations(
    cases: frozenset[Case], *, snow_is_strength_level: bool = False
) -> tuple[Combination, ...]:
    """Allowable-stress combinations for the cases that are there.

    Each snow pattern stands for S by itself; sliding snow comes with the balanced load in its
    own pattern. Earthquake is not worked out here.

    Parameters
    ----------
    snow_is_strength_level : bool
        Whether the snow load is that of ASCE 7-22, which takes 0.7 in these combinations.

    Sources
    -------
    S-029 : ASCE 7, 2.4.1, combinations 1 to 7.
    """
    snow = 0.7 if snow_is_strength_level else 1.0
    d = (Case.DEAD, 1.0)
    roof: list[tuple[Case, float]] = [(c, snow) for c in SNOW_CASES if c in cases]
    if Case.ROOF_LIVE in cases:
        roof.insert(0, (Case.ROOF_LIVE, 1.0))
    live = Case.LIVE in cases
    made = [[d]]
    if live:
        made.append([d, (Case.LIVE, 1.0)])
    made += [[d, r] for r in roof]
    if live:
        made += [[d, (Case.LIVE, 0.75), (r, round(0.75 * f, 4))] for r, f in roof]
    for wind in (w for w in (Case.WIND_DOWN, Case.WIND_SIDE) if w in cases):
        made.append([d, (wind, 0.6)])
        with_live = [(Case.LIVE, 0.75)] if live else []
        made += [[d, *with_live, (r, round(0.75 * f, 4)), (wind, 0.45)] for r, f in roof]
    if Case.WIND_SIDE in cases:
        made.append([(Case.DEAD, 0.6), (Case.WIND_SIDE, 0.6)])
    if Case.WIND_UP in cases:
        made.append([(Case.DEAD, 0.6), (Case.WIND_UP, 0.6)])
    return tuple(_combination(parts) for parts in made)


def strength_combinations(
    cases: frozenset[Case], *, snow_is_strength_level: bool = False
) -> tuple[Combination, ...]:
    """Strength combinations, for anchors in concrete.

    Parameters
    ----------
    snow_is_strength_level : bool
        Whether the snow load is that of ASCE 7-22, which takes 1.0 and 0.3 here.

    Sources
    -------
    S-029 : ASCE 7, 2.3.2. S-032 : factors of ASCE 7-22 snow.
    """
    live = Case.LIVE in cases
    roof = [c for c in (Case.ROOF_LIVE, *SNOW_CASES) if c in cases]
    later = snow_is_strength_level

    def most(case: Case) -> float:
        return 1.0 if later and case in SNOW_CASES else 1.6

    def some(case: Case) -> float:
        return 0.3 if later and case in SNOW_CASES else 0.5

    made: list[list[tuple[Case, float]]] = [[(Case.DEAD, 1.4)]]
    with_live = [(Case.LIVE, 1.6)] if live else []
    made += [[(Case.DEAD, 1.2), *with_live, (r, some(r))] for r in roof] or (
        [[(Case.DEAD, 1.2), *with_live]] if live else []
    )
    made += [[(Case.DEAD, 1.2), (r, most(r)), *([(Case.LIVE, 1.0)] if live else [])] for r in roof]
    extra = [(Case.LIVE, 1.0)] if live else []
    for wind in (w for w in (Case.WIND_DOWN, Case.WIND_SIDE) if w in cases):
        with_wind = [(Case.DEAD, 1.2), (wind, 1.0), *extra]
        made += [[*with_wind, (r, some(r))] for r in roof] or [with_wind]
    if Case.WIND_SIDE in cases:
        made.append([(Case.DEAD, 0.9), (Case.WIND_SIDE, 1.0)])
    if Case.WIND_UP in cases:
        made.append([(Case.DEAD, 0.9), (Case.WIND_UP, 1.0)])
    return tuple(_combination(parts) for parts in made)
