"""The lap rules: what a corner's laps, clearances and flashings measure against what is asked.

The rules stand in ``weatherlap.sources.rulebook``, each with its section and source.  Local code
and the makers' instructions govern.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from weatherlap.building.corner import Corner
from weatherlap.building.laps import Lap
from weatherlap.building.laps import laps as laps_of
from weatherlap.water.rain import SiteRain
from weatherlap.water.rules_edges import edge_rules
from weatherlap.water.rules_folds import fold_rules
from weatherlap.water.rules_gutters import gutter_rules
from weatherlap.water.rules_laps import lap_rules
from weatherlap.water.rulings import RuleResult, Setting
from weatherlap.water.sweeps import no_sweeps


@no_sweeps
def check_rules(
    corner: Corner,
    *,
    rain: SiteRain,
    laps: Sequence[Lap] | None = None,
    gutter_lph: Mapping[int, float] | None = None,
) -> tuple[RuleResult, ...]:
    """Every rule that applies to the corner, kept or not.

    Parameters
    ----------
    corner : Corner
        The corner.
    rain : SiteRain
        Rain and gust of the site.
    laps : sequence of Lap or None
        The corner's laps, where they are at hand already. [in]
    gutter_lph : mapping or None
        Water that reaches each gutter in the design rain, by number of its piece; if not given
        it is worked out from the plan area of the roofs above. [L/h]

    Returns
    -------
    tuple of RuleResult
        What is not kept first, code before practice before physics; then what is kept.

    Sources
    -------
    W-101 to W-119 : code sections and practice. W-013, W-014, W-016 : gutters, rise, gust.
    """
    setting = Setting(corner, laps_of(corner) if laps is None else laps, rain, gutter_lph)
    found = [
        *lap_rules(setting),
        *fold_rules(setting),
        *edge_rules(setting),
        *gutter_rules(setting),
    ]
    rank = {"code": 0, "practice": 1, "physics": 2}
    return tuple(sorted(found, key=lambda r: (r.ok, rank[r.basis])))


def broken(results: Sequence[RuleResult]) -> tuple[RuleResult, ...]:
    """The results of rules that are not kept, in the same order."""
    return tuple(r for r in results if not r.ok)
