"""A leaf: what a paper says, before anybody decides whether it is typeset, shown or printed plain.

One record for all doors: the typesetter makes a PDF of it, the web app a page, the terminal lines.
"""

from __future__ import annotations

from dataclasses import dataclass

from weatherlap.job.model import About
from weatherlap.papers.cautions import Caution


@dataclass(frozen=True, slots=True)
class Words:
    """A paragraph."""

    text: str
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Items:
    """A list, numbered where the order counts."""

    items: tuple[str, ...]
    numbered: bool = False


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a grid; ``share`` is its width against the others. [-]"""

    head: str
    numeric: bool = False
    share: float = 1.0


@dataclass(frozen=True, slots=True)
class Grid:
    """A table: every row holds one text for each column."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse rows that do not fit the columns: a fault of the program."""
        for row in self.rows:
            if len(row) != len(self.columns):
                raise ValueError(f"a row of {len(row)} texts under {len(self.columns)} columns")


@dataclass(frozen=True, slots=True)
class Drawn:
    """A drawing as SVG; ``name`` is that of its file without ending.

    ``width_in`` is how wide it stands on paper; without it, as wide as its letters need. [in]
    """

    name: str
    title: str
    svg: str
    width_in: float | None = None


@dataclass(frozen=True, slots=True)
class Box:
    """A framed warning."""

    head: str
    items: tuple[str, ...]


Block = Words | Items | Grid | Drawn | Box


@dataclass(frozen=True, slots=True)
class Part:
    """A heading and what stands under it."""

    head: str
    blocks: tuple[Block, ...]
    note: str = ""
    new_page: bool = False


@dataclass(frozen=True, slots=True)
class Firm:
    """The firm as it stands at the head of its papers; ``mark`` is an SVG.

    ``address`` is the part of its lines that a letter needs.
    """

    name: str
    lines: tuple[str, ...] = ()
    mark: str = ""
    address: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Leaf:
    """One paper: the answers in plain sentences first, then its parts.

    ``name`` is that of its file without ending, ``kind`` what the paper is ("Shoring"),
    ``sources`` are keys of the register. ``for_firm`` keeps it out of what the client gets.
    """

    name: str
    kind: str
    job_title: str
    about: About
    lead: tuple[str, ...]
    parts: tuple[Part, ...] = ()
    cautions: tuple[Caution, ...] = ()
    sources: tuple[str, ...] = ()
    firm: Firm | None = None
    for_firm: bool = False

    def drawings(self) -> tuple[Drawn, ...]:
        """Every drawing on it, in order."""
        return tuple(b for p in self.parts for b in p.blocks if isinstance(b, Drawn))
