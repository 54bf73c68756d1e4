"""A leaf as a page shows it: the same record that is typeset, with its drawings inline."""

from __future__ import annotations

import re
from typing import Any

from weatherlap.papers.cautions import GOVERNS
from weatherlap.papers.leaf import Block, Box, Drawn, Grid, Items, Leaf, Words
from weatherlap.sources import source

Table = dict[str, Any]
_ID = re.compile(r'\bid="([^"]+)"')
_USE = re.compile(r'(url\(#|href="#)([^")]+)')
_LABELLED = re.compile(r'\b(aria-(?:labelledby|describedby))="([^"]+)"')
_VIEW_BOX = re.compile(r'viewBox="[-0-9.]+ [-0-9.]+ ([0-9.]+) ([0-9.]+)"')
CSS_PX_PER_IN = 96.0
UNIT_PX = 1.15
"""Pixels for a unit of a drawing, where it does not say how wide it stands. [px]"""


def leaf_view(leaf: Leaf, number: int) -> Table:
    """A leaf for the page's template; ``number`` tells its drawings from those of other leaves."""
    view = _View(f"l{number}")
    return {
        "name": leaf.name,
        "kind": leaf.kind,
        "title": leaf.job_title,
        "about": leaf.about,
        "firm": leaf.firm,
        "for_firm": leaf.for_firm,
        "mark": view.own_ids(leaf.firm.mark) if leaf.firm and leaf.firm.mark else "",
        "lead": leaf.lead,
        "parts": [
            {
                "head": part.head,
                "note": part.note,
                "new_page": part.new_page,
                "blocks": [view.block(b) for b in part.blocks],
            }
            for part in leaf.parts
        ],
        "cautions": leaf.cautions,
        "governs": GOVERNS if leaf.cautions else "",
        "sources": [(key, source(key).short()) for key in _keys(leaf)],
    }


def _keys(leaf: Leaf) -> list[str]:
    return sorted({*leaf.sources, *(c.source for c in leaf.cautions)})


class _View:
    """Blocks of one leaf; every drawing gets ids of its own, as several stand on one page."""

    def __init__(self, prefix: str) -> None:
        self._prefix, self._drawings = prefix, 0

    def block(self, block: Block) -> Table:
        match block:
            case Words():
                return {"is": "words", "text": block.text, "strong": block.strong}
            case Items():
                return {"is": "items", "items": block.items, "numbered": block.numbered}
            case Box():
                return {"is": "box", "head": block.head, "items": block.items}
            case Grid():
                return {"is": "grid", "columns": block.columns, "rows": block.rows,
                        "note": block.note}  # fmt: skip
            case Drawn():
                width = _width_px(block)
                return {"is": "drawn", "svg": self.own_ids(block.svg), "title": block.title,
                        "name": block.name, "width": width}  # fmt: skip

    def own_ids(self, svg: str) -> str:
        """A drawing whose ids no other drawing of the page has, without its XML head."""
        self._drawings += 1
        own = f"{self._prefix}d{self._drawings}-"
        svg = svg[svg.index("<svg") :]
        svg = _ID.sub(lambda m: f'id="{own}{m[1]}"', svg)
        svg = _USE.sub(lambda m: f"{m[1]}{own}{m[2]}", svg)
        return _LABELLED.sub(lambda m: f'{m[1]}="{_all(own, m[2])}"', svg)


def _all(own: str, names: str) -> str:
    return " ".join(f"{own}{name}" for name in names.split())


def _width_px(drawn: Drawn) -> int:
    """How wide a drawing stands where there is room. [px]"""
    if drawn.width_in is not None:
        return round(CSS_PX_PER_IN * drawn.width_in)
    found = _VIEW_BOX.search(drawn.svg)
    return round(UNIT_PX * float(found[1])) if found else 600
