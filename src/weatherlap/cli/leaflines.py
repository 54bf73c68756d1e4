"""A leaf on the terminal: the same words and tables, without its drawings."""

from __future__ import annotations

from rich.box import SIMPLE_HEAD
from rich.console import Console
from rich.table import Table
from rich.text import Text

from weatherlap.cli.answers import WIDTH, say, say_row
from weatherlap.papers.leaf import Block, Box, Drawn, Grid, Items, Leaf, Words

_MOST_WIDE = 118


def print_leaf(leaf: Leaf) -> None:
    """Print a leaf, plain answers first."""
    say(f"{leaf.job_title}: {leaf.kind}")
    for text in leaf.lead:
        print()
        say(text)
    for part in leaf.parts:
        _print_part(part.head, part.note, [b for b in part.blocks if not isinstance(b, Drawn)])
    if leaf.cautions:
        print("\nCautions")
        for caution in leaf.cautions:
            say_row(f"{caution.head}: {caution.text}")


def _print_part(head: str, note: str, blocks: list[Block]) -> None:
    if not blocks:
        return
    print(f"\n{head}")
    if note:
        say(note, indent="  ")
    for block in blocks:
        _print_block(block)


def _print_block(block: Block) -> None:
    match block:
        case Words():
            say(block.text, indent="  ")
        case Items():
            for number, text in enumerate(block.items, start=1):
                mark = f"{number}." if block.numbered else "-"
                say(f"{mark} {text}", indent="  ", hang="    ")
        case Box():
            say(f"! {block.head}", indent="  ")
            for text in block.items:
                say(f"- {text}", indent="    ", hang="      ")
        case Grid():
            _print_grid(block)
        case Drawn():
            pass


def _print_grid(grid: Grid) -> None:
    table = Table(box=SIMPLE_HEAD, pad_edge=False, show_edge=False)
    for column in grid.columns:
        table.add_column(
            Text(column.head), justify="right" if column.numeric else "left", overflow="fold"
        )
    for row in grid.rows:
        table.add_row(*(Text(text) for text in row))
    console = Console(highlight=False, width=_width())
    with console.capture() as caught:
        console.print(table)
    for line in caught.get().rstrip("\n").splitlines():
        print(f"  {line}".rstrip())
    if grid.note:
        say(grid.note, indent="  ", hang="  ")


def _width() -> int:
    """How wide a table may stand: as the terminal, or as a page that nobody watches."""
    console = Console()
    return max(WIDTH, console.width - 2) if console.is_terminal else _MOST_WIDE
