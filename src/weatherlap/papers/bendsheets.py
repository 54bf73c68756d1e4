"""Shop sheets of bent metal: one for each profile, with its files."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from string import ascii_lowercase, ascii_uppercase
from typing import Any

from weatherlap.drawings.bending import section_drawing, steps_drawing, strip_drawing
from weatherlap.drawings.flatdrawing import flat_drawing
from weatherlap.job.model import Job
from weatherlap.metal.model import End
from weatherlap.metal.orders import BendStep
from weatherlap.metal.pictures import hand_words, step_pictures, strip_marks
from weatherlap.papers.cautions import Caution
from weatherlap.papers.leaf import Block, Box, Column, Drawn, Grid, Items, Leaf, Part, Words
from weatherlap.run.bentmaking import Cut
from weatherlap.run.bentpieces import Bent, BentPiece, bent_pieces
from weatherlap.run.benttables import bent_table
from weatherlap.run.bentwords import (
    blocked_words,
    fit_words,
    leg_rows,
    old_words,
    order_words,
    shop_length,
    size_words,
)
from weatherlap.run.places import capital
from weatherlap.units import tape

Table = dict[str, Any]
KIND = "Shop sheet"
SOURCES = ("M-001", "M-007", "M-012", "M-014", "M-016")
EDGES = Caution(
    "Cut edges",
    "Cut metal cuts: wear gloves and glasses, keep hands off the leaf while it swings, and two "
    "carry a long piece in wind.",
    "M-206",
)
MARKING = (
    "Measure every line from the start edge, never from the last line. Snip the ends of each "
    "line by 1/4 in, so that it shows on both sides. Bend a strip of scrap 1 in wide first and "
    "try it on the wood."
)


def bend_leaves(
    job: Job, own: Mapping[str, str]
) -> tuple[tuple[Leaf, ...], dict[str, bytes], Table]:
    """A shop sheet for each bent piece, its files (DXF, SVG) and the table for machines.

    Raises
    ------
    InputError
        If a table of the firm's, or a change of the job, cannot be used.
    """
    bent = bent_pieces(job, own=own)
    leaves = bent_leaves(job, bent)
    return leaves, leaf_files(bent, leaves), bent_table(bent)


def bent_leaves(job: Job, bent: Bent) -> tuple[Leaf, ...]:
    """A shop sheet for each bent piece, and one for all that cannot be made."""
    leaves = tuple(piece_leaf(job, bent, piece) for piece in bent.pieces)
    return (*leaves, _faulty_leaf(job, bent)) if bent.faulty else leaves


def leaf_files(bent: Bent, leaves: Sequence[Leaf]) -> dict[str, bytes]:
    """The loose files of shop sheets: every drawing as SVG, every flat pattern as DXF."""
    files = {f"{d.name}.svg": d.svg.encode("utf-8") for leaf in leaves for d in leaf.drawings()}
    return files | {name: data for piece in bent.pieces for name, data in piece_dxf(piece)}


def piece_dxf(piece: BentPiece) -> Iterator[tuple[str, bytes]]:
    """The flat patterns of a piece as DXF files by name."""
    from weatherlap.papers.dxf import flat_dxf  # slow to load, and only files need it

    for number, cut in enumerate(piece.making.cuts):
        mark = "" if len(piece.making.cuts) == 1 else f"-{ascii_lowercase[number]}"
        yield f"bend-{piece.id}{mark}.dxf", flat_dxf(cut.patterns, title=piece.title)


def piece_leaf(job: Job, bent: Bent, piece: BentPiece) -> Leaf:
    """The shop sheet of one bent piece."""
    how = piece.making
    parts = [_section(piece)]
    for number, cut in enumerate(how.cuts):
        mark = "" if len(how.cuts) == 1 else f" {ascii_uppercase[number]}"
        parts += list(_cut_parts(bent, piece, cut, mark))
    if proof := blocked_words(how):
        parts.insert(1, Part("Why not as asked for", (Box("Proven", proof),)))
    return Leaf(
        name=f"bend-{piece.id}",
        kind=KIND,
        job_title=job.job.title,
        about=job.job,
        lead=(
            f"{capital(piece.title)}: {size_words(piece)}",
            order_words(piece),
            *old_words(piece),
            *fit_words(how.fit),
            _brake_words(bent),
        ),
        parts=tuple(parts),
        cautions=(EDGES,),
        sources=tuple(sorted({*SOURCES, *piece.metal.source_keys})),
        for_firm=True,
    )


def _brake_words(bent: Bent) -> str:
    brake = bent.shop.brake
    text = (
        f"Brake: {brake.name}, {tape(brake.length_in)} long, throat {tape(brake.throat_in)}, "
        f"least hold {tape(brake.least_clamp_in)}, least flange {tape(brake.least_flange_in)}, "
        f"leaf to {brake.swing_deg:g}\u00b0."
    )
    return f"{text} Measure your own and give it as brake.toml." if brake.invented else text


def _section(piece: BentPiece) -> Part:
    how = piece.making
    name = f"bend-{piece.id}-section"
    drawn = Drawn(
        name, "The finished section", section_drawing(
            how.wanted, metal=piece.metal, name=name, title=f"Section of {piece.title}"
        ),
    )  # fmt: skip
    columns = (
        Column("leg", numeric=True), Column("on", share=2.0), Column("length", numeric=True),
        Column("measured"), Column("bend after it", share=2.0),
    )  # fmt: skip
    blocks: list[Block] = [drawn, Grid(columns, leg_rows(how.wanted))]
    if piece.notes:
        blocks.append(Items(tuple(f"{capital(n)}." for n in piece.notes)))
    if len(piece.pieces) > 1:
        blocks.append(Words(f"For {', '.join(piece.pieces)}."))
    return Part("Section", tuple(blocks))


def _cut_parts(bent: Bent, piece: BentPiece, cut: Cut, mark: str) -> Iterator[Part]:
    """Strip, order and flat pattern of what goes over the brake."""
    name = f"bend-{piece.id}{mark.replace(' ', '-').lower()}"
    marks = strip_marks(cut.profile, metal=piece.metal, plan=cut.plan)
    svg = strip_drawing(marks, name=f"{name}-strip", title=f"Strip of {piece.title}{mark}")
    rows = tuple(
        (
            m.mark.value, str(m.bend or ""), shop_length(m.at_in), f"{m.at_in:.3f}",
            _degrees(m.angle_deg) if m.angle_deg else "",
            ", ".join(str(n) for n in m.orders) or ("by hand" if m.bend else ""),
        )
        for m in marks
    )  # fmt: skip
    columns = (
        Column("mark"), Column("bend", numeric=True), Column("at", numeric=True),
        Column("inches", numeric=True), Column("angle", numeric=True), Column("order"),
    )  # fmt: skip
    strip = (Drawn(f"{name}-strip", "Marks, painted side up", svg), Grid(columns, rows))
    yield Part(f"Strip{mark}", strip, note=MARKING)
    yield _order(bent, piece, cut, mark, name)
    yield Part(f"Flat pattern{mark}", tuple(_flats(piece, cut, name)))


def _order(bent: Bent, piece: BentPiece, cut: Cut, mark: str, name: str) -> Part:
    if not cut.plan.possible:
        return Part(f"Bend order{mark}", (Words("No bend order exists for it."),))
    pictures = step_pictures(cut.profile, metal=piece.metal, brake=bent.shop.brake, plan=cut.plan)
    columns = (
        Column("step", numeric=True), Column("bend", numeric=True), Column("first", share=1.3),
        Column("up"), Column("edge out"), Column("line", numeric=True),
        Column("angle", numeric=True), Column("set to", numeric=True), Column("then", share=1.6),
    )  # fmt: skip
    note = (
        "Line: from the edge out. Edge out: the one that faces you over the leaf. Set to: with "
        f"{bent.shop.brake.springback_deg:g}\u00b0 for springback."
    )
    blocks: list[Block] = [Grid(columns, tuple(_step_row(s) for s in cut.plan.steps), note)]
    if words := hand_words(cut.plan, cut.profile):
        blocks.append(Words(words, strong=True))
    if pictures:
        svg = steps_drawing(pictures, name=f"{name}-steps", title=f"Steps of {piece.title}{mark}")
        blocks.append(Drawn(f"{name}-steps", "In the brake, step by step", svg))
    return Part(f"Bend order{mark}", tuple(blocks))


def _step_row(step: BendStep) -> tuple[str, ...]:
    moves = [
        words
        for words, needed in (
            ("turn over", step.flip), ("end for end", step.spin),
            ("slide in from the end", step.slide_in),
        )
        if needed
    ]  # fmt: skip
    then = "press flat under the bar" if step.press else ""
    then = "close to its gap with tongs" if step.tongs else then
    then = "leave it open" if step.stays_open else then
    begun = f"from {_degrees(step.from_deg)} to " if step.from_deg else ""
    return (
        str(step.number), str(step.bend), ", ".join(moves),
        "painted" if step.finish_up else "back",
        "start" if step.in_front is End.START else "end",
        shop_length(step.flange_in), begun + _degrees(step.angle_deg), _degrees(step.set_deg), then,
    )  # fmt: skip


def _degrees(angle: float) -> str:
    return f"{angle:.4g}\u00b0"


def _flats(piece: BentPiece, cut: Cut, name: str) -> Iterator[Block]:
    for number, pattern in enumerate(cut.patterns, 1):
        own = f"{name}-flat" if len(cut.patterns) == 1 else f"{name}-flat-{number}"
        long, wide = pattern.blank_in
        title = f"Blank {shop_length(wide)} by {shop_length(long)}"
        svg = flat_drawing(pattern, name=own, title=f"{piece.title}, {title}", ends=piece.ends)
        yield Drawn(own, title, svg)


def _faulty_leaf(job: Job, bent: Bent) -> Leaf:
    """What cannot be made, each with what would be right."""
    items = tuple(str(problem) for _, problem in bent.faulty)
    count = "1 piece" if len(items) == 1 else f"{len(items)} pieces"
    return Leaf(
        name="bend-not-made", kind=KIND, job_title=job.job.title, about=job.job,
        lead=(f"{count} of bent metal cannot be made as the job has it.",),
        parts=(Part("What is wrong", (Box("Not made", items),)),), for_firm=True,
    )  # fmt: skip
