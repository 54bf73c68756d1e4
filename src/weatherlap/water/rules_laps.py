"""Rules on laps: which way round, how high, how far past an upright joint, against the gust."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache

from weatherlap.building.laps import Lap, LapKind
from weatherlap.units import speed_text
from weatherlap.water.kinds import Kind, is_roof, is_wall, of_one_layer, sheds_water
from weatherlap.water.lapphysics import lap_needed_mm
from weatherlap.water.rulings import RuleResult, Setting, asks, inch_text, judge

MM_PER_IN = 25.4
FOUR_IN_12_DEG = math.degrees(math.atan2(4, 12)) - 0.05
SHARE_VENTED = 0.2
SHARE_LAPPED = 0.3
SHARE_TIGHT = 1.0
LEAST_SHARE_OF_WIDTH = 0.5


def lap_rules(setting: Setting) -> Iterator[RuleResult]:
    """Every rule that is read off one lap alone."""
    kinds, faces = setting.kinds, setting.corner.faces
    for lap in setting.laps:
        face = faces[lap.face]
        if not sheds_water(face) or lap.kind is LapKind.COVER:
            continue
        outer, inner = kinds[lap.outer], kinds[lap.inner]
        both = outer & inner
        if both & Kind.BARRIER:
            yield _sheet_lap(setting, lap, roof=is_roof(face))
        if lap.kind is not LapKind.HEAD:
            continue
        if both & (Kind.WOOD_LAP | Kind.FIBRE_CEMENT_LAP):
            yield _siding_lap(setting, lap, wood=bool(both & Kind.WOOD_LAP))
        if not lap.right_way:
            if of_one_layer(outer, inner):
                yield from _wrong_way(setting, lap)
        elif is_wall(face) and _seen(outer, inner):
            yield _against_gust(setting, lap, face.tilt_deg)


def _sheet_lap(setting: Setting, lap: Lap, *, roof: bool) -> RuleResult:
    """A lap of two barrier sheets on a wall, or of two underlayments on a roof."""
    upright = lap.kind is LapKind.SIDE
    low = setting.corner.faces[lap.face].tilt_deg < FOUR_IN_12_DEG
    if roof:
        head = "underlayment-lap-low" if low else "underlayment-lap"
        key = "underlayment-end" if upright else head
    else:
        key = "barrier-joint" if upright else "barrier-lap"
    upper, lower = setting.name(lap.upper), setting.name(lap.lower)
    if upright:
        laps = f"{upper} laps {inch_text(lap.length_in)} past {lower}"
        measured = lap.length_in
    elif lap.right_way:
        laps = f"{upper} laps {inch_text(lap.height_in)} over {lower}"
        measured = lap.height_in
    else:
        laps = (
            f"{upper} runs {inch_text(lap.height_in)} down behind {lower}, so nothing laps over it"
        )
        measured = 0.0
    return judge(
        key,
        measured_in=measured,
        text=f"{laps}; {asks(key)}.",
        pieces=(lap.upper, lap.lower),
        face=lap.face,
        at=lap.at,
    )


def _siding_lap(setting: Setting, lap: Lap, *, wood: bool) -> RuleResult:
    key = "wood-siding-lap" if wood else "fibre-cement-lap"
    upper, lower = setting.name(lap.upper), setting.name(lap.lower)
    rabbet = ' (1/2" if it is rabbeted)' if wood else ""
    return judge(
        key,
        measured_in=lap.height_in,
        text=f"{upper} laps {inch_text(lap.height_in)} with {lower}; {asks(key)}{rabbet}.",
        pieces=(lap.upper, lap.lower),
        face=lap.face,
        at=lap.at,
    )


def _wrong_way(setting: Setting, lap: Lap) -> Iterator[RuleResult]:
    """A lap of two pieces of one layer whose upper piece lies behind the lower."""
    if not _is_lap_of_edges(setting, lap):
        return
    upper, lower = setting.name(lap.upper), setting.name(lap.lower)
    ok = setting.corner.pieces[lap.lower].sealed_top
    if ok:
        text = (
            f"{upper} runs behind {lower}: only the seal on the top edge of {lower} keeps water "
            "out, and a seal is not to be the only defence."
        )
    else:
        text = f"{upper} runs behind {lower}: water on it goes in behind. Turn the lap round."
    yield judge(
        "lap-way",
        measured_in=lap.height_in,
        text=text,
        pieces=(lap.upper, lap.lower),
        face=lap.face,
        at=lap.at,
        ok=ok,
    )


def _is_lap_of_edges(setting: Setting, lap: Lap) -> bool:
    """Whether two pieces lap along their edges, and do not only touch at their ends."""
    widths = []
    for piece in (lap.upper, lap.lower):
        for index in setting.corner.pieces[piece].panels:
            panel = setting.corner.panels[index]
            if panel.face == lap.face:
                u0, _, u1, _ = panel.polygon.bounds
                widths.append(u1 - u0)
    return bool(lap.length_in >= LEAST_SHARE_OF_WIDTH * min(widths))


def _seen(outer: int, inner: int) -> bool:
    """Whether wind blows at a lap: boards over boards, or over the upturn of a level flashing."""
    if outer & inner & (Kind.SIDING | Kind.UNNAMED):
        return True
    return bool(outer & Kind.SIDING and inner & Kind.LEVEL_FLASHING)


def _share(kind: int) -> float:
    """Part of the wind's pressure that acts across a piece. [-]"""
    if kind & Kind.TIGHT:
        return SHARE_TIGHT
    return SHARE_VENTED if kind & Kind.VENTED else SHARE_LAPPED


@lru_cache(maxsize=1024)
def _need(gust_m_per_s: float, share: float, tilt_deg: float) -> tuple[float, str]:
    """Height that a lap needs, and how that comes about. [in]"""
    need = lap_needed_mm(gust_m_per_s, share=share, tilt_deg=tilt_deg) / MM_PER_IN
    return need, (
        f"a gust of {speed_text(gust_m_per_s)} that acts by {share:.0%} with rise in a "
        f'1/16" gap, which need {inch_text(need)}'
    )


def _against_gust(setting: Setting, lap: Lap, tilt_deg: float) -> RuleResult:
    """Whether a lap of two shedding pieces is higher than wind and capillary rise reach."""
    need, cause = _need(setting.rain.gust_m_per_s, _share(setting.kinds[lap.outer]), tilt_deg)
    holds = "holds" if lap.height_in >= need else "too low for"
    return judge(
        "lap-holds-gust",
        measured_in=lap.height_in,
        required_in=need,
        text=(
            f"{setting.name(lap.upper)} laps {inch_text(lap.height_in)} over "
            f"{setting.name(lap.lower)}: {holds} {cause}."
        ),
        pieces=(lap.upper, lap.lower),
        face=lap.face,
        at=lap.at,
    )
