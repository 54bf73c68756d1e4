"""A leaf as a PDF."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from weatherlap.papers.cautions import GOVERNS
from weatherlap.papers.findings import stamp_of
from weatherlap.papers.leaf import Block, Box, Column, Drawn, Grid, Items, Leaf, Part, Words
from weatherlap.papers.paper import Paper
from weatherlap.papers.titleblock import title_block
from weatherlap.papers.typeset import typeset
from weatherlap.sources import source

Table = dict[str, Any]
PT_PER_UNIT = 0.84
"""Points for a unit of a drawing, where it does not say how wide it stands. [pt]"""
WIDEST_PT = 514.0
TALLEST_PT = {Paper.LETTER: 560.0, Paper.A4: 610.0}
_VIEW_BOX = re.compile(r'viewBox="[-0-9.]+ [-0-9.]+ ([0-9.]+) ([0-9.]+)"')
_NARROW_CHARS = 9


def leaf_pdf(leaf: Leaf, *, paper: Paper = Paper.LETTER) -> bytes:
    """A leaf typeset on the drafting sheet.

    Parameters
    ----------
    paper : Paper
        Size of the sheets.
    """
    drawings: dict[str, str] = {}
    data: Table = {
        "sheet": paper.sheet,
        "paper_title": leaf.kind,
        "title": leaf.job_title,
        "block": title_block(leaf.about),
        "firm": _firm(leaf, drawings),
        "lead": list(leaf.lead),
        "parts": [_part(p, paper, drawings) for p in leaf.parts],
        "cautions": [{"head": c.head, "text": c.text, "source": c.source} for c in leaf.cautions],
        "governs": GOVERNS if leaf.cautions else "",
        "sources": [{"key": key, "text": source(key).short()} for key in _keys(leaf)],
    }
    return typeset("leaf", data, drawings=drawings, stamp=stamp_of(leaf.about.date))


def _keys(leaf: Leaf) -> list[str]:
    return sorted({*leaf.sources, *(c.source for c in leaf.cautions)})


def _firm(leaf: Leaf, drawings: dict[str, str]) -> Table | None:
    if leaf.firm is None:
        return None
    if leaf.firm.mark:
        drawings["mark.svg"] = leaf.firm.mark
    mark = "mark.svg" if leaf.firm.mark else ""
    return {"name": leaf.firm.name, "lines": list(leaf.firm.lines), "mark": mark}


def _part(part: Part, paper: Paper, drawings: dict[str, str]) -> Table:
    blocks = [_block(b, paper, drawings) for b in part.blocks]
    return {"head": part.head, "note": part.note, "new_page": part.new_page, "blocks": blocks}


def _block(block: Block, paper: Paper, drawings: dict[str, str]) -> Table:
    match block:
        case Words():
            return {"is": "words", "text": block.text, "strong": block.strong}
        case Items():
            return {"is": "items", "items": list(block.items), "numbered": block.numbered}
        case Box():
            return {"is": "box", "head": block.head, "items": list(block.items)}
        case Grid():
            return {"is": "grid", **_grid(block)}
        case Drawn():
            return {"is": "drawn", **_drawn(block, paper, drawings)}


def _grid(grid: Grid) -> Table:
    return {
        "heads": [c.head for c in grid.columns],
        "numeric": [c.numeric for c in grid.columns],
        "shares": list(_shares(grid)),
        "rows": [list(r) for r in grid.rows],
        "note": grid.note,
    }


def _shares(grid: Grid) -> Iterator[float]:
    """Widths against each other; nothing, for as wide as the texts, where they are all short."""
    for k, column in enumerate(grid.columns):
        yield 0.0 if _is_narrow(column, [r[k] for r in grid.rows]) else column.share


def _is_narrow(column: Column, texts: list[str]) -> bool:
    return max(map(len, [column.head, *texts])) <= _NARROW_CHARS


def _drawn(drawn: Drawn, paper: Paper, drawings: dict[str, str]) -> Table:
    file = f"drawing-{len(drawings)}.svg"
    drawings[file] = drawn.svg
    found = _VIEW_BOX.search(drawn.svg)
    if found is None:
        raise ValueError(f"the drawing {drawn.name!r} has no viewBox")
    wide, high = float(found[1]), float(found[2])
    asked = PT_PER_UNIT if drawn.width_in is None else 72.0 * drawn.width_in / wide
    scale = min(asked, WIDEST_PT / wide, TALLEST_PT[paper] / high)
    return {"file": file, "title": drawn.title, "width": wide * scale, "height": high * scale}
