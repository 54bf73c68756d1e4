"""The trace: rain on the corner followed to its ends, on both layers."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from weatherlap.building.corner import Corner
from weatherlap.building.laps import check_order
from weatherlap.water.catch import FIRST, LAYER_NAMES, SECOND, rained_on
from weatherlap.water.channels import gutter_capacity_lph, trough_capacity_lph
from weatherlap.water.findings import Finding, findings_of
from weatherlap.water.flows import AREA, DESIGN, YEAR, Flows, Hub, Rows, hubs_of_steps, run_flows
from weatherlap.water.hops import End, EndKind, IntoGutter, IntoTrough
from weatherlap.water.outlets import trough_fall_in
from weatherlap.water.rain import SiteRain
from weatherlap.water.starts import Start, starts
from weatherlap.water.sweeps import no_sweeps
from weatherlap.water.ways import Ways, find_ways

SLIVER_IN2 = 1e-6
"""Ends of less area than this are rounding, not water. [in2]"""


@dataclass(frozen=True, slots=True)
class EndRow:
    """Rain on an area of one face that ends in one way. [in2, L/h, L/year]

    Faces and pieces are numbers in the corner; ``layer`` is 0 (first) or 1 (second).
    """

    from_face: int
    layer: int
    end: EndKind
    piece: int | None
    on_face: int
    area_in2: float
    flow_lph: float
    per_year_l: float

    @property
    def layer_name(self) -> str:
        """ "first" or "second"."""
        return LAYER_NAMES[self.layer]


@dataclass(frozen=True)
class Trace:
    """What the rain does on one state of the corner."""

    corner: Corner
    rain: SiteRain
    ends: tuple[EndRow, ...]
    findings: tuple[Finding, ...]
    in_lph: float
    out_lph: float
    ways: Ways
    flows: Flows
    starts: tuple[Start, ...]
    gutter_lph: dict[int, float]

    @property
    def clean(self) -> bool:
        """Whether all water of both layers ends clear or in a gutter."""
        return not any(row.end.is_trouble for row in self.ends)

    @cached_property
    def spilling(self) -> frozenset[IntoTrough | IntoGutter]:
        """Troughs and gutters over whose lip more than half of what reaches them goes on."""
        share = self.flows.spill[:, 0]
        return frozenset(
            s.what
            for t, s in enumerate(self.ways.trails.steps)
            if isinstance(s.what, IntoTrough | IntoGutter) and share[t] > 0.5
        )

    def area_in2(self, end: EndKind, *, layer: int = FIRST) -> float:
        """Catching area of one layer whose water ends in one way. [in2]"""
        return sum(r.area_in2 for r in self.ends if r.end is end and r.layer == layer)


@no_sweeps
def trace(corner: Corner, rain: SiteRain, *, before: Trace | None = None) -> Trace:
    """Follow the rain on a corner, both layers, to its ends.

    Parameters
    ----------
    before : Trace, optional
        That of a corner which differs little, which saves time; the result is the same.

    Raises
    ------
    JobError
        If laps go round in a circle on a face.
    """
    check_order(corner)
    ways = find_ways(corner, before=None if before is None else before.ways)
    begin_list = starts(ways)
    begin, rained = _begin(corner, rain, begin_list, len(ways.trails.steps))
    keys, hub_of = hubs_of_steps(ways.trails)
    hubs = [_hub(ways, key) for key in keys]
    flows = run_flows(ways.trails, begin, hubs, hub_of, rain.usual_share)
    rows = _rows(flows.ends)
    return Trace(
        corner=corner,
        rain=rain,
        ends=rows,
        findings=findings_of(corner, ways, flows, hub_of),
        in_lph=rained,
        out_lph=sum(r.flow_lph for r in rows),
        ways=ways,
        flows=flows,
        starts=tuple(begin_list),
        gutter_lph=_reaching(keys, hub_of, flows),
    )


def _reaching(
    keys: list[IntoTrough | IntoGutter], hub_of: dict[int, int], flows: Flows
) -> dict[int, float]:
    """Water that reaches each gutter in the design rain, by number of its piece. [L/h]"""
    found: dict[int, float] = {}
    for trail, hub in hub_of.items():
        key = keys[hub]
        if isinstance(key, IntoGutter):
            flow = float(flows.of_trail[trail, DESIGN].sum())
            found[key.piece] = found.get(key.piece, 0.0) + flow
    return found


def _begin(corner: Corner, rain: SiteRain, begin: list[Start], count: int) -> tuple[Rows, float]:
    """The rain that sets out on each trail, and all rain that falls on the corner. [L/h]"""
    design = [rain.design_lph_per_in2(f.facing_deg, f.tilt_deg) for f in corner.faces]
    year = [rain.year_l_per_in2(f.facing_deg, f.tilt_deg) for f in corner.faces]
    rows = np.zeros((count, 3, 2 * len(corner.faces)))
    for s in begin:
        group = 2 * s.face + s.layer
        rows[s.trail, AREA, group] += s.area_in2
        rows[s.trail, DESIGN, group] += s.area_in2 * s.share * design[s.face]
        rows[s.trail, YEAR, group] += s.area_in2 * s.share * year[s.face]
    rained = sum(f.outline.area * design[f.index] for f in corner.faces if rained_on(f))
    return rows, rained


def _hub(ways: Ways, key: IntoTrough | IntoGutter) -> Hub:
    if isinstance(key, IntoGutter):
        gutter = ways.lay.corner.pieces[key.piece].gutter
        assert gutter is not None
        (x0, y0, z0), (x1, y1, z1) = gutter.start, gutter.end
        run = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
        capacity = gutter_capacity_lph(
            gutter.shape, gutter.width_in, gutter.depth_in, abs(z1 - z0), run
        )
        end = End(EndKind.GUTTER, key.piece, -1)
        return Hub(capacity, (), end)
    _, trough = ways.lay.troughs[key.trough]
    run = ((trough.start[0] - trough.end[0]) ** 2 + (trough.start[1] - trough.end[1]) ** 2) ** 0.5
    outlets = tuple(ways.outlet_trails[key.trough])
    capacity = trough_capacity_lph(
        trough.width_in,
        trough.depth_in,
        abs(trough_fall_in(ways.lay, key.trough)),
        run,
        open_ends=max(len(outlets), 1),
    )
    return Hub(capacity, outlets, None)


def _rows(ends: dict[End, Rows]) -> tuple[EndRow, ...]:
    found = []
    for end, rows in ends.items():
        for group in np.flatnonzero(rows[AREA] > SLIVER_IN2).tolist():
            face, layer = divmod(group, 2)
            on_face = end.face if end.face >= 0 else face
            area, flow, year = rows[:, group].tolist()
            found.append(EndRow(face, layer, end.kind, end.piece, on_face, area, flow, year))
    found.sort(
        key=lambda r: (r.from_face, r.layer, r.end, r.piece is None, r.piece or 0, r.on_face)
    )
    return tuple(found)


__all__ = ["FIRST", "SECOND", "EndRow", "Trace", "trace"]
