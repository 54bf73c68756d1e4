"""Elevations: one face seen square on, with its pieces, laps, trails and findings."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable, Sequence
from functools import partial
from itertools import pairwise

from weatherlap.building.corner import Corner, Face
from weatherlap.drawings.facemarks import (
    FLAG,
    draw_cuts,
    draw_fold_names,
    draw_folds,
    draw_sizes,
    draw_trough,
    flag_rows,
    fold_row,
    sizes_width,
)
from weatherlap.drawings.facepieces import all_fit, draw_laps, draw_names, draw_panels
from weatherlap.drawings.facewater import FaceRun, draw_runs, runs_on
from weatherlap.drawings.look import LOOK, Look, hatch_of
from weatherlap.drawings.marks import (
    damage_mark,
    meter_mark,
    north_arrow,
    ring_radius,
    scale_bar,
)
from weatherlap.drawings.naming import names
from weatherlap.drawings.page import KeyRow, Page, end_rows, hatch_rows, mark_rows
from weatherlap.drawings.placing import Box, Placer
from weatherlap.drawings.rings import draw_rings
from weatherlap.drawings.shown import Shown, view_words
from weatherlap.drawings.stackview import OnPage, StackView, stack_view
from weatherlap.drawings.svg import Drawing, Point
from weatherlap.drawings.trails import flow_rows
from weatherlap.errors import InputError
from weatherlap.water.findings import Finding
from weatherlap.water.hops import Cause

COLUMN = 104.0
TALLEST = 500.0
NORTH_UNDER_DEG = 60.0
_TOP_AIR = 30.0
_RIGHT = 30.0


def elevation(
    shown: Shown,
    face_id: str,
    *,
    without: Collection[int] = (),
    prefix: str = "",
    look: Look = LOOK,
) -> str:
    """A face square on as SVG: pieces, laps, trails, ends, findings, readings and sizes.

    Parameters
    ----------
    face_id : str
        The face that is seen.
    without : collection of int
        Pieces that are taken off, to show what lies behind them.
    prefix : str
        Begins every id in the drawing, where two states stand on one page.

    Raises
    ------
    InputError
        If the corner has no such face.
    """
    face = shown.corner.face_named.get(face_id)
    if face is None:
        known = ", ".join(f.id for f in shown.corner.faces)
        raise InputError(f"face {face_id!r}", "no such face", f"one of {known}")
    view = stack_view(shown.corner, face.index, without=without)
    title, words = f"Elevation: {face.title}", f"{view_words(face)}."
    name, about = f"{prefix}elevation-{face.id}", f"{shown.title}. {words}"
    lines = [shown.title, words, *_off_words(shown.corner, without)]
    sizes = _sizes(shown.corner, face, view)
    left = sizes_width(v - sizes[0][0] for v in sizes[0])
    for right in (_RIGHT, COLUMN):
        page = Page(look, name=name, title=title, about=about)
        top = page.heading(title, lines)
        on, box = _place(face, page, top, left=left, right=right)
        top += FLAG * max((row for _, row in flag_rows(shown.cuts, face, on)), default=0)
        on, box = _place(face, page, top, left=left, right=right)
        if right == COLUMN or all_fit(shown.corner, view, on):
            drawn, beside = _draw(page, shown, face, view, on, box)
            if right == COLUMN or not beside:
                break
    return drawn


def _off_words(corner: Corner, without: Collection[int]) -> list[str]:
    listed = ", ".join(n.words for n in names(corner, without))
    return [f"Taken off: {listed}."] if listed else []


def _place(face: Face, page: Page, top: float, *, left: float, right: float) -> tuple[OnPage, Box]:
    """The scale and place of a face on the page, with room for sizes and names beside it."""
    u0, v0, u1, v1 = face.outline.bounds
    room = page.room - left - right
    scale = min(room / (u1 - u0), TALLEST / (v1 - v0))
    wide, high = (u1 - u0) * scale, (v1 - v0) * scale
    x = page.look.margin + left + (0.5 * (room - wide) if right < COLUMN else 0.0)
    bottom = top + _TOP_AIR + high
    on = OnPage(scale, x, bottom, u0, v0)
    return on, (x, bottom - high, x + wide, bottom)


def _draw(
    page: Page, shown: Shown, face: Face, view: StackView, on: OnPage, box: Box
) -> tuple[str, bool]:
    """All from the face's outline to the key, back to front; whether names stand beside it."""
    drawing, corner = page.drawing, shown.corner
    lap_rows = _pieces(drawing, shown, face, view, on)
    placer = Placer((box[0] - 4, box[1] - 24, box[2] + 9, box[3] + 12))
    for flag in draw_cuts(drawing, flag_rows(shown.cuts, face, on), on, box):
        placer.take(flag)
    runs = runs_on(face.index, shown.trails)
    ends = draw_runs(drawing, runs, on, placer)
    _keep_trails_clear(placer, runs, on)
    marks = _marks(shown, face, on, placer)
    rings = _rings(shown, face, on, placer)
    folds, unnamed = draw_folds(drawing, corner, face, on, placer)
    column = (box[2] + 10, box[1], box[2] + 10 + COLUMN, box[3])
    covered, beside = draw_names(drawing, corner, view, on, placer, column=column)
    draw_fold_names(drawing, folds)
    draw_sizes(drawing, on, box, *_sizes(corner, face, view))
    for draw, at in marks:
        draw(drawing, at)
    crowded = draw_rings(drawing, rings)
    words = {
        "Folds also lead to": unnamed,
        "Behind what is seen": covered,
        "Findings on other faces": [f.letter for f in shown.findings if f.face != face.index],
        "Findings on this face without room for their letters": crowded,
    }
    lines = [f"{label}: {', '.join(rows)}." for label, rows in words.items() if rows]
    end = _foot(page, face, on, box, lines)
    rows = hatch_rows(hatch_of(corner.pieces[p.piece]) for p in view.panels if p.seen.area > 0)
    rows += lap_rows + fold_row(drawn=bool(corner.contacts_of[face.index]))
    rows += flow_rows([r.flow_lph for r in runs], [r.layer for r in runs]) + end_rows(ends)
    rows += mark_rows(
        findings=bool(rings),
        readings=any(r.face == face.id for r in shown.readings),
        damages=any(d.face == face.id for d in shown.damages),
    )
    return page.finish(page.key(end, rows)), beside


def _pieces(
    drawing: Drawing, shown: Shown, face: Face, view: StackView, on: OnPage
) -> list[KeyRow]:
    """The face with its pieces, laps and troughs; gives the key rows of the laps."""
    outline = on.shape(face.outline)
    drawing.shape(outline, fill=LOOK.pale)
    draw_panels(drawing, shown.corner, view, on)
    wrong = {
        (f.upper, f.lower)
        for f in shown.findings
        if f.cause is Cause.WRONG_WAY and f.upper is not None and f.lower is not None
    }
    rows = draw_laps(drawing, shown.corner, view, on, wrong_pairs=wrong)
    drawing.shape(outline, fill="none", **LOOK.outline.attributes())
    for panel in view.panels:
        for trough in shown.corner.panels[panel.panel].troughs:
            draw_trough(drawing, trough, on)
    return rows


def _keep_trails_clear(placer: Placer, runs: Sequence[FaceRun], on: OnPage) -> None:
    """Names and letters rather stay off the trails."""
    for run in runs:
        points = [on.point(*p) for p in run.places]
        for (x0, y0), (x1, y1) in pairwise(points):
            if abs(x1 - x0) < 4 or abs(y1 - y0) < 4:
                placer.take((min(x0, x1) - 2, min(y0, y1), max(x0, x1) + 2, max(y0, y1)))


def _rings(
    shown: Shown, face: Face, on: OnPage, placer: Placer
) -> list[tuple[Finding, Point, Point | None]]:
    """The findings on this face, each with its place and the place of its ringed letter."""
    rows = []
    for f in shown.findings:
        if f.face == face.index:
            at, radius = on.point(*f.at), ring_radius(f.letter)
            rows.append((f, at, placer.ring(at, radius, least=1.7 * radius)))
    return rows


def _marks(
    shown: Shown, face: Face, on: OnPage, placer: Placer
) -> list[tuple[Callable[[Drawing, Point], None], Point]]:
    """Damage and moisture readings on this face: how each is drawn, and where."""
    rows: list[tuple[Callable[[Drawing, Point], None], Point]] = []
    for d in (d for d in shown.damages if d.face == face.id):
        x, y = on.point(*d.at)
        rows.append((damage_mark, (x, y)))
        placer.take((x - 6, y - 6, x + 6, y + 6))
    for r in (r for r in shown.readings if r.face == face.id):
        x, y = on.point(*r.at)
        rows.append((partial(meter_mark, percent=r.percent), (x, y)))
        placer.take((x - 5, y - 6, x + 40, y + 6))
    return rows


def _sizes(corner: Corner, face: Face, view: StackView) -> tuple[list[float], list[float]]:
    """Heights and distances worth a tick: the face's own and those of visible pieces. [in]"""
    u0, v0, u1, v1 = face.outline.bounds
    ups, rights = [v0, v1], [u0, u1]
    runs = {p for n in names(corner, [p.piece for p in view.panels]) for p in n.pieces[1:]}
    for panel in view.panels:
        if panel.piece in runs or panel.seen.is_empty:
            continue
        a, b, c, d = corner.panels[panel.panel].polygon.bounds
        rights += [a, c]
        ups += [b, d]
    return _apart(ups), _apart(rights)


def _apart(values: Iterable[float]) -> list[float]:
    return sorted({round(v * 16) / 16 for v in values})


def _foot(page: Page, face: Face, on: OnPage, box: Box, words: Sequence[str]) -> float:
    """Scale bar, north and notes under the drawing; gives the place below them."""
    bottom = box[3] + 46
    scale_bar(page.drawing, (page.look.margin + 8, bottom), on.units_per_in, room=120.0)
    if face.tilt_deg < NORTH_UNDER_DEG or face.looks_down:
        turn = math.degrees(math.atan2(face.frame.right[1], face.frame.up[1]))
        north_arrow(page.drawing, (page.look.width - page.look.margin - 24, bottom + 10), turn)
    return page.notes(bottom + 20, words)
