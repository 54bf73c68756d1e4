"""Cut lists on paper: pictures, tables in the order of cutting, shapes."""

from __future__ import annotations

from collections.abc import Iterator

from weatherlap.drawings.cutpictures import cut_picture
from weatherlap.drawings.cutshapes import shape_drawings
from weatherlap.papers.leaf import Block, Column, Drawn, Grid, Part, Words
from weatherlap.run.bentwords import shop_length
from weatherlap.run.shopwords import bound_words
from weatherlap.takeoff.cutlists import CutList, alike_bars
from weatherlap.takeoff.cutshapes import course_name
from weatherlap.takeoff.cutting.coil import CoilPlan
from weatherlap.takeoff.cutting.model import BarPlan
from weatherlap.takeoff.cutting.rolls import CoursePiece, RollPlan
from weatherlap.takeoff.cutting.sheets import SheetPlan
from weatherlap.units import tape

MOST_SHEET_PICTURES = 8
MOST_SHAPES = 24


def cut_part(cut: CutList) -> Part:
    """A cut list: its picture, its table in the order of cutting, its shapes, its proof."""
    blocks: list[Block] = []
    plan = cut.plan
    match plan:
        case BarPlan():
            blocks.append(_drawn(cut, cut_picture(cut)))
            blocks.append(_bar_grid(cut, plan))
        case CoilPlan():
            blocks.append(_drawn(cut, cut_picture(cut)))
            blocks.append(_coil_grid(cut, plan))
        case SheetPlan():
            blocks += _sheet_blocks(cut, plan)
        case RollPlan():
            blocks.append(_roll_grid(cut, plan))
    blocks += _shape_blocks(cut)
    return Part(cut.good.name, tuple(blocks), note=bound_words(cut))


def _drawn(cut: CutList, svg: str, *, number: int = 0) -> Drawn:
    end = f"-{number}" if number else ""
    return Drawn(f"cut-{cut.good.id}{end}", f"{cut.good.name}, in the order of cutting", svg)


def _bar_grid(cut: CutList, plan: BarPlan) -> Grid:
    columns = (
        Column("From", share=1.6), Column("Nr.", numeric=True), Column("Piece", share=3),
        Column("Length", numeric=True), Column("Cut at", numeric=True),
    )  # fmt: skip
    rows = []
    for bar in alike_bars(cut, plan.bars):
        for number, (name, length, mark) in enumerate(
            zip(bar.piece_ids, bar.lengths_in, bar.marks_in, strict=True), start=1
        ):
            head = f"{bar.times} x {bar.stock_id}" if number == 1 else ""
            rows.append((head, str(number), name, tape(length), tape(mark)))
    return Grid(columns, tuple(rows), "Cut at: measured from the squared end, saw cuts included.")


def _coil_grid(cut: CutList, plan: CoilPlan) -> Grid:
    columns = (
        Column("Section", share=1.6), Column("Strip", share=3), Column("Girth", numeric=True),
        Column("Length", numeric=True), Column("Rip at", numeric=True),
    )  # fmt: skip
    rows = []
    for number, section in enumerate(plan.sections, start=1):
        for place, ((name, girth, length), rip) in enumerate(
            zip(section.strips, section.rips_in, strict=True), start=1
        ):
            head = f"{section.times} x {tape(section.length_in)} ({number})" if place == 1 else ""
            rows.append(
                (head, cut.titles[name], shop_length(girth), tape(length), shop_length(rip))
            )
    return Grid(
        columns,
        tuple(rows),
        "Crosscut the section first, then rip; the painted side stays up. "
        f"{tape(plan.length_in)} of coil in all: {_coil_words(plan)}.",
    )


def _coil_words(plan: CoilPlan) -> str:
    """Which sections come off which coil."""
    rows = []
    for bar in plan.coils.bars:
        numbers = ", ".join(name.removeprefix("section ") for name in bar.piece_ids)
        word = "sections" if len(bar.piece_ids) > 1 else "section"
        rows.append(f"{word} {numbers} from the {bar.stock_id}")
    return "; ".join(rows)


def _sheet_blocks(cut: CutList, plan: SheetPlan) -> Iterator[Block]:
    for number, sheet in enumerate(plan.sheets[:MOST_SHEET_PICTURES], start=1):
        yield _drawn(cut, cut_picture(cut, sheet=sheet), number=number)
    columns = (
        Column("Sheet", share=1.4), Column("Nr.", numeric=True), Column("Piece", share=3),
        Column("Across", numeric=True), Column("Along", numeric=True),
    )  # fmt: skip
    rows = []
    for number, sheet in enumerate(plan.sheets, start=1):
        for place, p in enumerate(sheet.placed, start=1):
            head = f"{number}: {sheet.stock_id}" if place == 1 else ""
            sizes = (tape(p.width_in), tape(p.length_in))
            rows.append((head, str(place), cut.name_of(p.piece_id), *sizes))
    yield Grid(columns, tuple(rows), "Along: with the grain, the long way of the sheet.")


def _roll_grid(cut: CutList, plan: RollPlan) -> Grid:
    columns = (
        Column("Course", numeric=True), Column("On", share=3), Column("Up from", numeric=True),
        Column("Begins", numeric=True), Column("Length", numeric=True),
        Column("Roll", numeric=True),
    )  # fmt: skip
    rows = tuple(
        (
            str(p.course), _of_course(cut, p), tape(p.bottom_in), tape(p.from_in),
            tape(p.length_in), str(p.roll),
        )
        for p in plan.pieces
    )  # fmt: skip
    note = f"Begins: from the left end. {tape(plan.leftover_in)} stays on the last roll."
    return Grid(columns, rows, note)


def _of_course(cut: CutList, p: CoursePiece) -> str:
    """What a length off a roll covers, with its shape where it has one."""
    name = course_name(p.covered_id, p.course, p.from_in)
    return cut.name_of(name, whole_id=p.covered_id)


def _shape_blocks(cut: CutList) -> Iterator[Block]:
    """Drawings of the pieces that are no rectangles."""
    drawn = cut.shapes[:MOST_SHAPES]
    for number, svg in enumerate(shape_drawings(drawn, good=cut.good.name), start=1):
        name = f"cut-shapes-{cut.good.id}" + (f"-{number}" if number > 1 else "")
        yield Drawn(name, "Shapes to cut", svg)
    if len(cut.shapes) > len(drawn):
        yield Words(f"{len(cut.shapes) - len(drawn)} more shapes are in the DXF file.")
