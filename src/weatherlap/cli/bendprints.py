"""Shop sheets of bent metal, printed and written."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from weatherlap.cli.answers import say
from weatherlap.cli.files import print_json, write_beside
from weatherlap.cli.leaflines import print_leaf
from weatherlap.errors import InputError, JobError
from weatherlap.job.model import Job
from weatherlap.papers.bendsheets import bent_leaves, leaf_files
from weatherlap.papers.leaf import Leaf
from weatherlap.papers.paper import Paper
from weatherlap.run.bentpieces import Bent, bent_pieces, only
from weatherlap.run.benttables import bent_table
from weatherlap.run.bentwords import old_words, order_words, size_words
from weatherlap.run.places import capital


def print_bends(
    job: Job,
    piece: str | None,
    *,
    out: Path | None,
    own: Mapping[str, str],
    paper: Paper,
    as_json: bool,
) -> None:
    """Print the bent pieces of a job, or one shop sheet; write them into a folder if asked.

    Raises
    ------
    InputError
        If the job has no such piece, or the one asked for cannot be made.
    """
    bent = bent_pieces(job, own=own)
    if piece is not None:
        bent = only(bent, piece)
        if bent.faulty:
            raise JobError([problem for _, problem in bent.faulty])
    leaves = bent_leaves(job, bent)
    if out is not None:
        _write(out, bent, leaves, paper)
    if as_json:
        print_json(bent_table(bent))
    elif piece is not None:
        for leaf in leaves:
            print_leaf(leaf)
    else:
        _print_list(bent)
    if out is not None and not as_json:
        sheets = "1 shop sheet" if len(leaves) == 1 else f"{len(leaves)} shop sheets"
        print(f"\nWrote {sheets}, with DXF files and drawings.")


def _write(folder: Path, bent: Bent, leaves: Sequence[Leaf], paper: Paper) -> None:
    """The sheets as PDF, with drawings and DXF files."""
    from weatherlap.papers.leafpdf import leaf_pdf  # slow to load, and only files need it

    files = {f"{leaf.name}.pdf": leaf_pdf(leaf, paper=paper) for leaf in leaves}
    for name, data in (files | leaf_files(bent, leaves)).items():
        write_beside(folder / name, data)


def _print_list(bent: Bent) -> None:
    if not bent.pieces and not bent.faulty:
        raise InputError(
            "job", "it holds no bent metal", "a [[bent]], a [[profile]] or new pieces of coil",
            "See docs/bending.md.",
        )  # fmt: skip
    for one in bent.pieces:
        print(f"{one.id}")
        say(f"{capital(one.title)}: {size_words(one)}", indent="  ")
        for words in (order_words(one), *old_words(one)):
            say(words, indent="  ")
        print()
    for _, problem in bent.faulty:
        say(f"! {problem}")
