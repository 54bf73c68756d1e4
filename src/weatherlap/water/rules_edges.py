"""Rules on edges: drip edges, end dams, sealed bottoms, ledgers, barrier gaps, ground."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from shapely import Polygon

from weatherlap.building.corner import Face, Panel
from weatherlap.building.laps import LapKind
from weatherlap.job.model import Sheet
from weatherlap.shape.frames import Place
from weatherlap.sources.rulebook import rule
from weatherlap.water.kinds import (
    COVERS_SHEATHING,
    GROUND_UP_TO_DEG,
    Kind,
    is_roof,
    is_wall,
)
from weatherlap.water.lapphysics import wind_head_mm
from weatherlap.water.rulings import RuleResult, Setting, asks, inch_text, judge

MM_PER_IN = 25.4
SLIVER_IN = 1 / 32
GROUND_REACH_IN = 24.0
NEAR_GROUND_IN = 12.0
DAM_SHARE = 0.2


def edge_rules(setting: Setting) -> Iterator[RuleResult]:
    """Every rule on edges and clearances that is not at a wall's foot."""
    yield from _sealed_bottoms(setting)
    yield from _drip_edges(setting)
    yield from _end_dams(setting)
    yield from _ledgers(setting)
    yield from _barrier_gaps(setting)
    yield from _ground(setting)


def _sealed_bottoms(setting: Setting) -> Iterator[RuleResult]:
    for piece in setting.corner.pieces:
        if not piece.sealed_bottom or piece.sheet is not Sheet.SHEDS or not piece.panels:
            continue
        panel = setting.corner.panels[piece.panels[0]]
        yield judge(
            "lower-edge-sealed",
            measured_in=0.0,
            text=(
                f"The lower edge of {piece.title} is sealed: water behind it cannot get out. "
                "Cut the seal away."
            ),
            pieces=(piece.index,),
            face=panel.face,
            at=_foot(panel.polygon),
            ok=False,
        )


def _foot(polygon: Polygon) -> Place:
    """The middle of a shape's lower edge. [in]"""
    u0, v0, u1, _ = polygon.bounds
    return (u0 + u1) / 2, v0


def _spread(polygon: Polygon) -> tuple[float, float]:
    u0, v0, u1, v1 = polygon.bounds
    return u1 - u0, v1 - v0


def _drip_edges(setting: Setting) -> Iterator[RuleResult]:
    corner, kinds = setting.corner, setting.kinds
    along_eave: dict[tuple[int, int], bool] = {}
    for piece in corner.pieces:
        if not kinds[piece.index] & Kind.DRIP_EDGE:
            continue
        panels = [corner.panels[p] for p in piece.panels]
        roof = [p for p in panels if is_roof(corner.faces[p.face])]
        for panel in roof:
            wide, high = _spread(panel.polygon)
            along_eave[piece.index, panel.face] = wide >= high
        yield from _drip_edge_legs(setting, piece.index, panels, roof)
    if along_eave:
        yield from _drip_edge_laps(setting, along_eave)


def _drip_edge_laps(
    setting: Setting, along_eave: dict[tuple[int, int], bool]
) -> Iterator[RuleResult]:
    """Laps of drip edges with each other and with the underlayment."""
    corner, kinds = setting.corner, setting.kinds
    for lap in setting.laps:
        outer, inner = kinds[lap.outer], kinds[lap.inner]
        if outer & inner & Kind.DRIP_EDGE and lap.kind is not LapKind.COVER:
            measured = lap.length_in if lap.kind is LapKind.SIDE else lap.height_in
            if is_roof(corner.faces[lap.face]):
                yield judge(
                    "drip-edge-lap",
                    measured_in=measured,
                    text=(
                        f"{setting.name(lap.outer)} laps {inch_text(measured)} over "
                        f"{setting.name(lap.inner)}; {asks('drip-edge-lap')}."
                    ),
                    pieces=(lap.outer, lap.inner),
                    face=lap.face,
                    at=lap.at,
                )
        elif outer & Kind.DRIP_EDGE and inner & Kind.BARRIER:
            eave = along_eave.get((lap.outer, lap.face))
            yield from _order(setting, lap.outer, lap.inner, eave, lap.face, lap.at, over=False)
        elif inner & Kind.DRIP_EDGE and outer & Kind.BARRIER:
            eave = along_eave.get((lap.inner, lap.face))
            yield from _order(setting, lap.inner, lap.outer, eave, lap.face, lap.at, over=True)


def _drip_edge_legs(
    setting: Setting, piece: int, panels: list[Panel], roof: list[Panel]
) -> Iterator[RuleResult]:
    """How far a drip edge reaches up the deck and, at an eave, below the sheathing."""
    eave = False
    for panel in roof:
        wide, high = _spread(panel.polygon)
        eave = wide >= high
        leg = panel.polygon.area / max(wide, high)
        yield judge(
            "drip-edge-up",
            measured_in=leg,
            text=(
                f"{setting.name(piece)} runs {inch_text(leg)} up the deck; {asks('drip-edge-up')}."
            ),
            pieces=(piece,),
            face=panel.face,
            at=_foot(panel.polygon),
        )
    for panel in panels:
        wide, high = _spread(panel.polygon)
        if eave and is_wall(setting.corner.faces[panel.face]) and wide >= high:
            leg = panel.polygon.area / wide
            yield judge(
                "drip-edge-down",
                measured_in=leg,
                text=(
                    f"{setting.name(piece)} reaches {inch_text(leg)} below the sheathing; "
                    f"{asks('drip-edge-down')}."
                ),
                pieces=(piece,),
                face=panel.face,
                at=_foot(panel.polygon),
            )


def _order(
    setting: Setting, drip: int, sheet: int, eave: bool | None, face: int, at: Place, *, over: bool
) -> Iterator[RuleResult]:
    """Underlayment over the drip edge at an eave, under it at a rake."""
    if eave is None:
        return
    place, where = ("over" if over else "under"), ("the eave" if eave else "the rake")
    wanted = "over" if eave else "under"
    yield judge(
        "drip-edge-order",
        measured_in=0.0,
        text=(
            f"{setting.name(sheet)} lies {place} {setting.name(drip)} at {where}; "
            f"{rule('drip-edge-order').asked_by} wants it {wanted}."
        ),
        pieces=(drip, sheet),
        face=face,
        at=at,
        ok=over is eave,
    )


def _end_dams(setting: Setting) -> Iterator[RuleResult]:
    """Head flashings and pans with a trough: both its ends are to be bent up."""
    need = max(
        rule("end-dam").value,
        wind_head_mm(setting.rain.gust_m_per_s, share=DAM_SHARE) / MM_PER_IN,
    )
    for panel in setting.corner.panels:
        if not panel.troughs or not setting.kinds[panel.piece] & (Kind.HEAD_FLASHING | Kind.PAN):
            continue
        for trough in panel.troughs:
            closed = trough.closed_start and trough.closed_end
            height = trough.depth_in if closed else 0.0
            state = f"are {inch_text(height)} high" if closed else "are not both bent up"
            yield judge(
                "end-dam",
                measured_in=height,
                required_in=need,
                text=(
                    f"The ends of {setting.name(panel.piece)} {state}; the site's gust holds up "
                    f'{inch_text(need)} of water, and Canadian practice makes dams 1" high.'
                ),
                pieces=(panel.piece,),
                face=panel.face,
                at=trough.start if not trough.closed_start else trough.end,
            )


def _ledgers(setting: Setting) -> Iterator[RuleResult]:
    """Each deck ledger: the length of it that a flashing outside and above it covers."""
    kinds, corner = setting.kinds, setting.corner
    cover: dict[tuple[int, int], list[tuple[float, float, int]]] = {}
    for lap in setting.laps:
        if kinds[lap.inner] & Kind.LEDGER and kinds[lap.outer] & Kind.FLASHING:
            half = lap.length_in / 2
            row = cover.setdefault((lap.inner, lap.face), [])
            row.append((lap.at[0] - half, lap.at[0] + half, lap.outer))
    for piece in corner.pieces:
        if not kinds[piece.index] & Kind.LEDGER or not piece.panels:
            continue
        panels = [corner.panels[p] for p in piece.panels]
        main = max(panels, key=lambda panel: _spread(panel.polygon)[0])
        length = _spread(main.polygon)[0]
        rows = [(covered_in(row), row) for (p, _), row in cover.items() if p == piece.index]
        best, row = max(rows, key=lambda pair: pair[0], default=(0.0, []))
        flashing = sorted({p for _, _, p in row})
        yield judge(
            "ledger-flashing",
            measured_in=best,
            required_in=length,
            text=(
                f"Flashing laps over {inch_text(best)} of {piece.title}, which is "
                f"{inch_text(length)} long; {rule('ledger-flashing').asked_by} wants all of it "
                "kept dry."
            ),
            pieces=(piece.index, *flashing),
            face=main.face,
            at=_foot(main.polygon),
        )


def covered_in(rows: list[tuple[float, float, int]]) -> float:
    """Length that intervals cover together. [in]"""
    total, reached = 0.0, -np.inf
    for start, end, _ in sorted(rows):
        total += max(0.0, end - max(start, reached))
        reached = max(reached, end)
    return total


def _barrier_gaps(setting: Setting) -> Iterator[RuleResult]:
    """Places behind siding where wood or sheathing has neither barrier nor flashing over it."""
    for face in setting.corner.faces:
        if not is_wall(face) or not setting.panels(face.index, Kind.SIDING):
            continue
        if not setting.panels(face.index, Kind.ABSORBS):
            continue
        siding = setting.union(face.index, Kind.SIDING)
        backed = siding.intersection(setting.union(face.index, Kind.ABSORBS))
        bare = backed.difference(setting.union(face.index, COVERS_SHEATHING))
        gaps = [g for g in shapely.get_parts(bare.buffer(-SLIVER_IN)) if g.area > 0]
        if not gaps and backed.area > 0:
            yield judge(
                "barrier-continuous",
                measured_in=0.0,
                text=f"Behind the siding of {face.title} the barrier has no gap.",
                pieces=(),
                face=face.index,
                at=_foot(siding.envelope),
            )
        for gap in gaps:
            yield _barrier_gap(setting, face, gap)


def _barrier_gap(setting: Setting, face: Face, gap: Polygon) -> RuleResult:
    spot = gap.representative_point()
    siding = setting.near(face.index, Kind.SIDING, to=spot, reach_in=0.0)
    pieces = tuple(dict.fromkeys(setting.corner.panels[p].piece for p in siding))
    wide, high = (side + 2 * SLIVER_IN for side in _spread(gap))
    name = setting.name(pieces[0]) if pieces else "the siding"
    return judge(
        "barrier-continuous",
        measured_in=min(wide, high),
        text=(
            f"Behind {name} is no barrier over {inch_text(wide)} by {inch_text(high)}; "
            f"{rule('barrier-continuous').asked_by} wants it without a gap."
        ),
        pieces=pieces,
        face=face.index,
        at=(spot.x, spot.y),
        ok=False,
    )


def _ground(setting: Setting) -> Iterator[RuleResult]:
    """How high wood stands over soil and over slabs beside it."""
    corner = setting.corner
    wood = [
        p
        for p in corner.panels
        if setting.kinds[p.piece] & Kind.WOODEN and corner.faces[p.face].tilt_deg > GROUND_UP_TO_DEG
    ]
    ground = [
        p
        for p in corner.panels
        if setting.kinds[p.piece] & (Kind.SOIL | Kind.PAVING)
        and corner.faces[p.face].tilt_deg < GROUND_UP_TO_DEG
    ]
    if not wood or not ground:
        return
    lowest = np.array([min(_in_space(corner.faces[p.face], p.polygon), key=_z) for p in wood])
    for top in ground:
        over = _heights_over(corner.faces[top.face], top.polygon, lowest)
        yield from _clear_of(setting, top, wood, over)


def _z(point: tuple[float, float, float]) -> float:
    return point[2]


def _in_space(face: Face, polygon: Polygon) -> list[tuple[float, float, float]]:
    return [face.frame.to_space(u, v) for u, v in polygon.exterior.coords]


def _heights_over(
    face: Face, polygon: Polygon, points: np.ndarray[tuple[int, int], np.dtype[np.float64]]
) -> list[float]:
    """Height of each point over the ground, infinite where it is not beside it. [in]"""
    plan = Polygon([p[:2] for p in _in_space(face, polygon)])
    away = shapely.distance(shapely.points(points[:, :2]), plan)
    origin, normal = np.array(face.frame.origin), np.array(face.frame.normal)
    height = (points - origin) @ normal / normal[2]
    return [float(h) for h in np.where(away <= GROUND_REACH_IN, height, np.inf)]


def _clear_of(
    setting: Setting, top: Panel, wood: list[Panel], over: list[float]
) -> Iterator[RuleResult]:
    soil = bool(setting.kinds[top.piece] & Kind.SOIL)
    key = "wood-to-soil" if soil else "wood-to-paving"
    least: dict[int, tuple[float, Panel]] = {}
    for panel, height in zip(wood, over, strict=True):
        if abs(height) <= NEAR_GROUND_IN and height < least.get(panel.piece, (np.inf,))[0]:
            least[panel.piece] = (height, panel)
    for piece, (height, panel) in least.items():
        yield judge(
            key,
            measured_in=height,
            text=(
                f"{setting.name(piece)} ends {inch_text(height)} above {setting.name(top.piece)}; "
                f"{asks(key)}, or wood that does not rot."
            ),
            pieces=(piece, top.piece),
            face=panel.face,
            at=_foot(panel.polygon),
        )
