"""The framing at one stage, in elevation and in plan, with the load on each support."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from weatherlap.drawings.lettering import text_width, wrapped
from weatherlap.drawings.look import LOOK, Hatch, Look, fill_of
from weatherlap.drawings.marks import arrow_head, haloed
from weatherlap.drawings.svg import Drawing, Point, Value
from weatherlap.structure.model import Framing, Member, Point3
from weatherlap.structure.sections import whole_section
from weatherlap.structure.staging import StageResult

Plan = tuple[float, float]
Box = tuple[float, float, float, float]
Turn = Callable[[Point3], Plan]
FOOT = 26.0
FAR_AWAY = 0.35
LEAST_LB = 1.0


@dataclass(frozen=True, slots=True)
class View:
    """The way one looks: ``along`` runs to the right in both views (unit vector in plan)."""

    along: Plan

    def elevation(self, point: Point3) -> Plan:
        """Right and up, seen square to the line. [in]"""
        return point[0] * self.along[0] + point[1] * self.along[1], point[2]

    def plan(self, point: Point3) -> Plan:
        """Right and away, seen from above. [in]"""
        x, y = self.along
        return point[0] * x + point[1] * y, -point[0] * y + point[1] * x


@dataclass(frozen=True, slots=True)
class StageShow:
    """What to draw of a stage: who was taken out, who is new, what is wrong where.

    ``rows`` are members that stand in a row and are not named one by one. ``braces`` run along the
    temporary header.
    """

    gone: frozenset[str]
    new: frozenset[str]
    trouble: frozenset[str] = frozenset()
    rows: frozenset[str] = frozenset()
    braces: int = 0


@dataclass(frozen=True, slots=True)
class _Sheet:
    """A window on the page: inches to drawing units."""

    drawing: Drawing
    look: Look
    left: float
    base: float
    scale: float
    low: Plan

    def at(self, place: Plan) -> Point:
        return (
            self.left + (place[0] - self.low[0]) * self.scale,
            self.base - (place[1] - self.low[1]) * self.scale,
        )


def push_of(stage: StageResult, link: str) -> tuple[float, float, float]:
    """Load on a joint or support: under dead load, the most, and the most pull (negative). [lb]"""
    every = [c.push_lb[link][2] for c in stage.carried if link in c.push_lb]
    dead = stage.dead.push_lb[link][2] if link in stage.dead.push_lb else 0.0
    return dead, max(every, default=0.0), min(every, default=0.0)


def view_along(members: Iterable[Member]) -> View:
    """The view square to the longest lying beam or header."""
    lying = [m for m in members if not m.use.upright]
    beams = [m for m in lying if m.use.value in ("beam", "header")] or lying
    if not beams:
        return View((1.0, 0.0))
    longest = max(beams, key=lambda m: m.plan_length_in)
    dx = longest.end_in[0] - longest.start_in[0]
    dy = longest.end_in[1] - longest.start_in[1]
    size = math.hypot(dx, dy) or 1.0
    sign = -1.0 if dx < -1e-9 or (abs(dx) <= 1e-9 and dy < 0) else 1.0
    return View((sign * dx / size, sign * dy / size))


def stage_drawing(
    framing: Framing, stage: StageResult, *, show: StageShow, look: Look = LOOK
) -> str:
    """One stage: elevation left, plan right, the most load on each support in lb."""
    view = view_along(framing.members)
    title = f"Stage {stage.stage.id}: {stage.stage.title or stage.stage.kind}"
    about = "Elevation and plan of the framing with the load on each support in pounds."
    drawing = Drawing(look.width, 0.0, title=title, about=about, name=f"stage-{stage.stage.id}")
    here = [m for m in framing.members if m.id in stage.present or m.id in show.gone]
    boxes = _extent(framing.members, view)
    half = (look.width - 3 * look.margin) / 2
    scale = min(half / (box[2] - box[0]) for box in boxes)
    top = look.margin
    tall = max((box[3] - box[1]) * scale for box in boxes)
    for k, box in enumerate(boxes):
        left = look.margin + k * (half + look.margin)
        sheet = _Sheet(drawing, look, left, top + look.small + 6 + tall, scale, box[:2])
        head = ("Elevation, pounds at each foot", "Plan, pounds at each support")[k]
        drawing.text((left, top + look.small), head, look.small, fill=look.ink)
        _members(sheet, here, view, show, is_plan=k == 1)
        if k == 0:
            _braces(sheet, here, view, show)
            _names(sheet, here, view, show)
        _loads(sheet, framing, stage, view, is_plan=k == 1)
    drawing.height = top + look.small + 6 + tall + 1.6 * FOOT
    return drawing.svg()


def _extent(members: Sequence[Member], view: View) -> tuple[Box, Box]:
    """What both views must show. [in]"""
    points = [p for m in members for p in (m.start_in, m.end_in)]
    boxes = []
    for turn in (view.elevation, view.plan):
        us, vs = zip(*(turn(p) for p in points), strict=True)
        boxes.append((min(us) - 8.0, min(vs) - 4.0, max(us) + 8.0, max(vs) + 8.0))
    return boxes[0], boxes[1]


def _pen(member: Member, show: StageShow, look: Look) -> dict[str, Value]:
    """How a member is outlined."""
    if member.id in show.trouble:
        return {"stroke": look.alarm, "stroke_width": 2.4}
    if member.id in show.gone:
        return {"stroke": look.grey, "stroke_width": 0.9, "stroke_dasharray": "2 2.4"}
    if member.temporary:
        return {"stroke": look.ink, "stroke_width": 1.8, "stroke_dasharray": "7 2.4"}
    return {"stroke": look.ink, "stroke_width": 1.8 if member.id in show.new else 0.9}


def _members(
    sheet: _Sheet, members: Sequence[Member], view: View, show: StageShow, *, is_plan: bool
) -> None:
    """Every member as it shows, those that lie far off first."""
    turn = view.plan if is_plan else view.elevation
    order = sorted(members, key=lambda m: (not _points_away(m, view, is_plan), m.temporary))
    for member in order:
        shape = [sheet.at(p) for p in _shape(member, turn, is_plan=is_plan)]
        fill = sheet.look.paper
        if member.id in show.gone:
            fill = "none"
        elif member.id in show.new:
            fill = fill_of(sheet.drawing, Hatch.WOOD, strong=True)
        elif _points_away(member, view, is_plan):
            fill = "none"
        sheet.drawing.polygon(
            shape, fill=fill, data_member=member.id, **_pen(member, show, sheet.look)
        )
        if member.losses and member.id not in show.gone:
            _rot(sheet, member, turn)


def _points_away(member: Member, view: View, is_plan: bool) -> bool:
    """Whether a lying member runs away from the viewer in elevation."""
    if is_plan or member.use.upright:
        return False
    a, b = view.elevation(member.start_in), view.elevation(member.end_in)
    return abs(b[0] - a[0]) < FAR_AWAY * member.plan_length_in


def _shape(member: Member, turn: Turn, *, is_plan: bool) -> list[Plan]:
    """A member's outline in a view. [in]"""
    section = whole_section(member)
    a, b = turn(member.start_in), turn(member.end_in)
    long = math.dist(a, b)
    if member.use.upright and is_plan:
        w, d = section.width_in / 2, section.depth_in / 2
        return [(a[0] - w, a[1] - d), (a[0] + w, a[1] - d), (a[0] + w, a[1] + d),
                (a[0] - w, a[1] + d)]  # fmt: skip
    half = (section.width_in if is_plan or member.use.upright else section.depth_in) / 2
    is_end_on = not is_plan and abs(b[0] - a[0]) < FAR_AWAY * member.plan_length_in
    if is_end_on and not member.use.upright:
        half = section.width_in / 2
        low, high = min(a[1], b[1]) - section.depth_in / 2, max(a[1], b[1]) + section.depth_in / 2
        return [(a[0] - half, low), (a[0] + half, low), (a[0] + half, high), (a[0] - half, high)]
    nx, ny = (-(b[1] - a[1]) / long * half, (b[0] - a[0]) / long * half)
    return [(a[0] + nx, a[1] + ny), (b[0] + nx, b[1] + ny), (b[0] - nx, b[1] - ny),
            (a[0] - nx, a[1] - ny)]  # fmt: skip


def _rot(sheet: _Sheet, member: Member, turn: Turn) -> None:
    """Stretches that rot took, filled dark."""
    for loss in member.losses:
        a, b = turn(member.point_at(loss.from_in)), turn(member.point_at(loss.to_in))
        if math.dist(a, b) < 0.5:
            continue
        drawing = sheet.drawing
        drawing.line(
            sheet.at(a), sheet.at(b), stroke=sheet.look.alarm, stroke_width=4.0, opacity=0.7
        )


def _braces(sheet: _Sheet, members: Sequence[Member], view: View, show: StageShow) -> None:
    """Braces along the temporary header, leaning by turns one way and the other."""
    posts = sorted(
        (m for m in members if m.temporary and m.use.upright and m.id not in show.gone),
        key=lambda m: view.elevation(m.start_in)[0],
    )
    gaps = list(pairwise(posts))
    for k in range(min(show.braces, 2 * len(gaps))):
        a, b = gaps[k % len(gaps)]
        leans = (k % len(gaps) + k // len(gaps)) % 2 == 0
        low, high = (a, b) if leans else (b, a)
        sheet.drawing.line(
            sheet.at(view.elevation(low.point_at(0.1 * low.length_in))),
            sheet.at(view.elevation(high.point_at(0.9 * high.length_in))),
            stroke=sheet.look.grey, stroke_width=1.2, stroke_dasharray="7 2.4",
        )  # fmt: skip


def _names(sheet: _Sheet, members: Sequence[Member], view: View, show: StageShow) -> None:
    """The members' names in elevation: in lying ones, along posts; rows and ends-on have none."""
    size = sheet.look.small - 1.0
    taken: list[Box] = []
    for member in members:
        if member.id in show.gone | show.rows or _points_away(member, view, is_plan=False):
            continue
        a, b = view.elevation(member.start_in), view.elevation(member.end_in)
        x, y = sheet.at(((a[0] + b[0]) / 2, (a[1] + b[1]) / 2))
        half, rise = text_width(member.id, size) / 2, 0.5 * size
        upright = member.use.upright
        if upright:
            x += whole_section(member).width_in / 2 * sheet.scale + 0.8 * size
        box = (x - rise, y - half, x + rise, y + half) if upright else (
            x - half, y - rise, x + half, y + rise)  # fmt: skip
        if any(_hit(box, other) for other in taken):
            continue
        taken.append(box)
        turn: dict[str, str] = {"transform": f"rotate(-90 {x:.1f} {y:.1f})"} if upright else {}
        place = (x, y + 0.35 * size)
        haloed(sheet.drawing, place, member.id, size, text_anchor="middle", **turn)


@dataclass(frozen=True, slots=True)
class _Label:
    """A load to be written under a place. [drawing units]"""

    at: Point
    words: str
    is_pull: bool


def _loads(
    sheet: _Sheet, framing: Framing, stage: StageResult, view: View, *, is_plan: bool
) -> None:
    """The load on each support: arrows under feet in elevation, figures in both views."""
    members = {m.id: m for m in framing.members}
    labels = []
    for support in stage.supports:
        member = members[support.member]
        if not is_plan and not member.use.upright and _points_away(member, view, is_plan):
            continue
        turn = view.plan if is_plan else view.elevation
        _, most, pull = push_of(stage, support.id)
        at = sheet.at(turn(support.at_in))
        words = f"{most:,.0f}"
        if pull < -LEAST_LB:
            words += f" / {pull:,.0f}".replace("-", "\u2212")
        labels.append(_Label(at, words, pull < -LEAST_LB))
        if not is_plan:
            _foot(sheet, at)
    if is_plan:
        _plan_labels(sheet, labels)
    else:
        _foot_labels(sheet, labels)


def _foot(sheet: _Sheet, at: Point) -> None:
    """Ground under a foot and an arrow that pushes up."""
    x, y = at
    ink = sheet.look.ink
    sheet.drawing.line((x - 9, y + 1.5), (x + 9, y + 1.5), stroke=ink, stroke_width=1.6)
    sheet.drawing.line((x, y + 14), (x, y + 4), stroke=ink, stroke_width=1.4)
    arrow_head(sheet.drawing, (x, y + 3), (0, -1), size=6.5, ink=ink)


def _foot_labels(sheet: _Sheet, labels: list[_Label]) -> None:
    """Figures under the feet, in as many rows as they need."""
    ends: list[float] = []
    low = max((one.at[1] for one in labels), default=0.0)
    for one in sorted(labels, key=lambda q: q.at[0]):
        half = text_width(one.words, sheet.look.small) / 2 + 3
        row = next((k for k, end in enumerate(ends) if one.at[0] - half >= end), len(ends))
        if row == len(ends):
            ends.append(0.0)
        ends[row] = one.at[0] + half
        y = low + 14 + sheet.look.small * (row + 1)
        haloed(sheet.drawing, (one.at[0], y), one.words, sheet.look.small, text_anchor="middle")


def _plan_labels(sheet: _Sheet, labels: list[_Label]) -> None:
    """Figures beside the supports, each where it hits no other."""
    taken: list[Box] = []
    size = sheet.look.small - 1.5
    for one in sorted(labels, key=lambda q: (q.at[1], q.at[0])):
        half = text_width(one.words, size) / 2
        spots = [(0.0, -5.0), (0.0, size + 5), (0.0, -5.0 - size), (0.0, 2 * size + 5)]
        for dx, dy in spots:
            x, y = one.at[0] + dx, one.at[1] + dy
            box = (x - half, y - size, x + half, y)
            if not any(_hit(box, other) for other in taken):
                break
        taken.append(box)
        sheet.drawing.circle(one.at, 1.8, fill=sheet.look.ink)
        haloed(sheet.drawing, (x, y), one.words, size, text_anchor="middle")


def _hit(a: Box, b: Box) -> bool:
    """Whether two boxes overlap."""
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def trouble_drawing(
    members: Sequence[Member], named: frozenset[str], words: str, look: Look = LOOK
) -> str:
    """The framing as it stands in the job, with the members that are wrong in heavy line."""
    view = view_along(members)
    title = f"Where: {', '.join(sorted(named)) or 'the framing'}"
    drawing = Drawing(look.width, 0.0, title=title, about=words, name="trouble")
    boxes = _extent(members, view)
    half = (look.width - 3 * look.margin) / 2
    scale = min(half / (box[2] - box[0]) for box in boxes)
    tall = max((box[3] - box[1]) * scale for box in boxes)
    y = look.margin + look.plain
    for row in wrapped(words, look.plain, look.width - 2 * look.margin, most=5):
        drawing.text((look.margin, y), row, look.plain, fill=look.ink)
        y += look.plain + 4
    show = StageShow(frozenset(), frozenset(), named)
    for k, box in enumerate(boxes):
        left = look.margin + k * (half + look.margin)
        sheet = _Sheet(drawing, look, left, y + tall, scale, box[:2])
        _members(sheet, members, view, show, is_plan=k == 1)
        if k == 0:
            _names(sheet, members, view, show)
    drawing.height = y + tall + look.margin
    return drawing.svg()
