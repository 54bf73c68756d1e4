"""The papers of the shop: buy list and cut sheets, and the shop sheets of bent metal."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

from weatherlap.job.model import Job
from weatherlap.papers.bendsheets import bent_leaves, leaf_files
from weatherlap.papers.binder import Bound
from weatherlap.papers.buyfiles import buy_csv, buy_xlsx
from weatherlap.papers.cautions import Caution
from weatherlap.papers.cutparts import cut_part
from weatherlap.papers.jointparts import site_parts
from weatherlap.papers.leaf import Box, Column, Grid, Items, Leaf, Part, Words
from weatherlap.run.benttables import bent_table
from weatherlap.run.shopping import Shop, shop_job
from weatherlap.run.shoptables import shop_table
from weatherlap.run.shopwords import count_words, from_store, lead_words, spare_words
from weatherlap.takeoff.buying import BuyRow

MOST_NAMED = 3
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
    files |= dict(shape_files(shop))
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
    parts = (*(cut_part(cut) for cut in shop.cut), *site_parts(shop))
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


def shape_files(shop: Shop) -> Iterator[tuple[str, bytes]]:
    """The shapes of each cut list as a DXF file by name."""
    from weatherlap.papers.dxf import shapes_dxf  # slow to load, and only files need it

    for cut in (c for c in shop.cut if c.shapes):
        yield f"cut-shapes-{cut.good.id}.dxf", shapes_dxf(cut.shapes, title=cut.good.name)
