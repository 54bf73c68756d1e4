"""The papers of the shop: buy list and cut sheets, and the shop sheets of bent metal."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

from weatherlap.drawings.cutpictures import cut_picture
from weatherlap.job.model import Job
from weatherlap.papers.bendsheets import bent_leaves, leaf_files
from weatherlap.papers.binder import Bound
from weatherlap.papers.buyfiles import buy_csv, buy_xlsx
from weatherlap.papers.cautions import Caution
from weatherlap.papers.jointparts import site_parts
from weatherlap.papers.leaf import Block, Box, Column, Drawn, Grid, Items, Leaf, Part, Words
from weatherlap.run.benttables import bent_table
from weatherlap.run.bentwords import shop_length
from weatherlap.run.shopping import Shop, shop_job
from weatherlap.run.shoptables import shop_table
from weatherlap.run.shopwords import bound_words, count_words, from_store, lead_words, spare_words
from weatherlap.takeoff.buying import BuyRow
from weatherlap.takeoff.cutlists import CutList, alike_bars
from weatherlap.takeoff.cutting.coil import CoilPlan
from weatherlap.takeoff.cutting.model import BarPlan
from weatherlap.takeoff.cutting.rolls import RollPlan
from weatherlap.takeoff.cutting.sheets import SheetPlan
from weatherlap.units import tape

MOST_NAMED = 3
MOST_SHEET_PICTURES = 8
_SOURCES = ("M-301", "M-302", "M-303", "M-316")
_CUTTING = (
    Caution("Cut metal", "Cut edges are razors: gloves, sleeves, eyes covered.", "M-327"),
    Caution("Saws", "Measure before the cut; stand beside the line of the blade.", "M-327"),
)


def bind(job: Job, *, own: Mapping[str, str], on_the_way: Callable[[str], None]) -> Bound:
    """The papers of the shop.

    Raises
    ------
    InputError, JobError, NoSolution
        If the job cannot be taken off.
    """
    on_the_way("Taking off")
    shop = shop_job(job, own=own)
    on_the_way("Writing buy list and cut lists")
    leaves = (buy_leaf(shop), *((cut_leaf(shop),) if shop.cut else ()))
    table = shop_table(shop)
    files = {"buy-list.xlsx": buy_xlsx(shop), "buy-list.csv": buy_csv(shop)}
    files |= {f"{d.name}.svg": d.svg.encode("utf-8") for leaf in leaves for d in leaf.drawings()}
    if shop.bent.bent is not None:
        on_the_way("Bending")
        sheets = bent_leaves(job, shop.bent.bent)
        files |= leaf_files(shop.bent.bent, sheets)
        leaves = (*leaves, *sheets)
        table["bent"] = bent_table(shop.bent.bent)
    return Bound(leaves, table, files)


def buy_leaf(shop: Shop) -> Leaf:
    """The buy list, grouped by counter."""
    now = [row for row in shop.rows if not row.stand_by]
    later = [row for row in shop.rows if row.stand_by]
    groups = dict.fromkeys(row.counter for row in now)
    parts = [
        Part(group.value.capitalize(), (_buy_grid([r for r in now if r.counter is group]),))
        for group in groups
    ]
    if store := from_store(shop):
        parts.append(Part("Taken from what is there", (Items(store),)))
    if later:
        note = "Kept apart, in its wrapping: it goes back if the wood turns out to be sound."
        parts.append(Part("Stands by for hidden damage", (_buy_grid(later),), note=note))
    if any(row.good.usd_invented for row in shop.rows):
        words = "* an invented price: put your own into the catalogue of goods."
        parts[-1] = replace(parts[-1], blocks=(*parts[-1].blocks, Words(words)))
    if missing := (*shop.take_off.unknown, *shop.troubles):
        parts.append(Part("Not on the list", (Box("Left out, with the reason", missing),)))
    keys = {key for row in shop.take_off.sundries for key in row.source_keys}
    return Leaf(
        name="buy-list",
        kind="Buy list",
        job_title=shop.job.job.title,
        about=shop.job.job,
        lead=lead_words(shop),
        parts=tuple(parts),
        sources=tuple(sorted({*_SOURCES, *keys})),
        for_firm=True,
    )


def _buy_grid(rows: list[BuyRow]) -> Grid:
    columns = (
        Column("Count", share=1.1), Column("What", share=3.2), Column("For", share=3.0),
        Column("Needed", share=2.2), Column("lb", numeric=True), Column("US$", numeric=True),
    )  # fmt: skip
    lines = tuple(
        (
            count_words(row),
            row.name,
            _for_words(row),
            ", ".join(t for t in (row.need, spare_words(row)) if t),
            f"{row.total_lb:.0f}" if row.total_lb >= 1 else "under 1",
            f"{row.total_usd:,.2f}" + ("*" if row.good.usd_invented else ""),
        )
        for row in rows
    )
    return Grid(columns, lines)


def _for_words(row: BuyRow) -> str:
    named = list(row.pieces[:MOST_NAMED])
    more = len(row.pieces) - len(named)
    words = ", ".join(named) + (f" and {more} more" if more > 0 else "")
    return f"{words}: {row.why}" if words and row.why else words or row.why


def cut_leaf(shop: Shop) -> Leaf:
    """The cut lists, one under the other, each with its picture and its proof."""
    parts = (*(_cut_part(cut) for cut in shop.cut), *site_parts(shop))
    keys = {key for row in shop.touches.apart for key in row.judged.source_keys}
    keys |= {"M-020", "M-022", "M-325"} if shop.joints.movements else set()
    proven = sum(cut.plan.proven for cut in shop.cut)
    return Leaf(
        name="cut-lists",
        kind="Cut lists and joints",
        job_title=shop.job.job.title,
        about=shop.job.job,
        lead=(
            _proof_words(len(shop.cut), proven),
            "Cut in the order of the numbers, the longest first: a slip then still serves for a "
            "shorter piece. Nothing long is cut into what a short one serves.",
        ),
        parts=tuple(parts),
        cautions=_CUTTING,
        sources=tuple(sorted({"M-036", "M-037", "M-038", *keys})),
        for_firm=True,
    )


def _proof_words(count: int, proven: int) -> str:
    lists = "1 cut list" if count == 1 else f"{count} cut lists"
    if proven == count:
        return f"{lists}, proven: no cheaper way to cut exists."
    return f"{lists}, {proven} proven: no cheaper way to cut exists. The others say their gap."


def _cut_part(cut: CutList) -> Part:
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
            rows.append((head, str(place), cut.titles[p.piece_id], *sizes))
    yield Grid(columns, tuple(rows), "Along: with the grain, the long way of the sheet.")


def _roll_grid(cut: CutList, plan: RollPlan) -> Grid:
    columns = (
        Column("Course", numeric=True), Column("On", share=3), Column("Up from", numeric=True),
        Column("Length", numeric=True), Column("Roll", numeric=True),
    )  # fmt: skip
    rows = tuple(
        (str(p.course), cut.titles[p.covered_id], tape(p.bottom_in), tape(p.length_in), str(p.roll))
        for p in plan.pieces
    )
    return Grid(columns, rows, f"{tape(plan.leftover_in)} stays on the last roll.")
