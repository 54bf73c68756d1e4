"""The packet of a job into a folder."""

from __future__ import annotations

import ctypes
import sys
from collections.abc import Mapping
from pathlib import Path

from weatherlap.cli.answers import say
from weatherlap.cli.files import print_json, write_packet
from weatherlap.cli.progress import OnTheWay
from weatherlap.job.model import Job
from weatherlap.papers.orderfiles import SHEETS
from weatherlap.papers.packet import LISTING, SHEET, firm_files, packet_files
from weatherlap.papers.paper import Paper
from weatherlap.run.states import State
from weatherlap.run.verdict import verdict
from weatherlap.run.worked import in_state, work_out

FOR_FIRM = "-for-the-firm-only"
"""What the folder beside the packet ends with: price build-up and the like."""


HEAPS = 2
_SET_HEAPS = -8  # M_ARENA_MAX of malloc.h


def _share_heaps() -> None:
    """Let threads share heaps where each would have one of its own: a packet needs 40 MB less."""
    if sys.platform == "linux":
        setting = getattr(ctypes.CDLL(None), "mallopt", None)
        if setting is not None:
            setting(_SET_HEAPS, HEAPS)


def write_findings(
    job: Job,
    folder: Path,
    *,
    state: State,
    paper: Paper,
    own: Mapping[str, str],
    as_json: bool,
) -> None:
    """Work a job out and write its packet; then say what was written."""
    _share_heaps()
    on_the_way = OnTheWay()
    try:
        on_the_way("Following the water")
        worked = work_out(in_state(job, state))
        files = packet_files(job, worked, state=state, paper=paper, own=own, on_the_way=on_the_way)
        on_the_way("Writing")
        write_packet(folder, files)
        private = firm_files(job, own=own, paper=paper, on_the_way=on_the_way)
        apart = folder.with_name(f"{folder.resolve().name}{FOR_FIRM}")
        if private:
            write_packet(apart, private)
    finally:
        on_the_way.done()
    if as_json:
        print_json(
            {
                "ok": True,
                "folder": str(folder),
                "files": list(files),
                "clean": worked.trace.clean,
                "findings": len(worked.trace.findings),
                "for_the_firm_only": [str(apart / name) for name in private],
            }
        )
        return
    say(verdict(worked.trace))
    drawings = sum(name.endswith(".svg") for name in files)
    sheets = " and ".join(str(folder / n) for n in (SHEET, SHEETS) if n in files)
    say(f"Wrote {sheets}, {drawings} drawings and {LISTING}.")
    if private:
        say(f"For the firm's eyes only, apart from it: {apart}.")
