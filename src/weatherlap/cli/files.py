"""Files at the door: read a job, write whole files or none, and say what is wrong."""

from __future__ import annotations

import json
import os
import shutil
import sys
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from weatherlap.errors import InputError, JobError, Problem, WeatherlapError

if TYPE_CHECKING:
    from weatherlap.job.model import Job

MOST_SHOWN = 30
LONGEST_SHOWN = 120
_OURS = (".pdf", ".svg", ".json", ".dxf", ".xlsx", ".csv", ".ics")


def read_job_file(place: Path) -> Job:
    """The job in a file.

    Raises
    ------
    JobError
        If the file cannot be read, or names everything that is wrong in it.
    """
    from weatherlap.job.reading import LARGEST_BYTES, read_job

    try:
        with place.open("rb") as file:
            text = file.read(LARGEST_BYTES + 1)
    except FileNotFoundError:
        raise _cannot(place, "there is no such file", "a job file") from None
    except IsADirectoryError:
        raise _cannot(place, "this is a folder", "a job file") from None
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or "it cannot be opened"
        raise _cannot(place, why.lower(), "a file that can be read") from None
    if len(text) > LARGEST_BYTES:
        raise _cannot(place, "it is larger than 20 MB", "a job file of 20 MB at most")
    return read_job(text, file=shown_place(place))


def shown_place(place: Path) -> str:
    """A place as it is printed: without signs that a terminal would obey, cut if very long."""
    plain = "".join(sign if sign.isprintable() else "?" for sign in str(place))
    return plain if len(plain) <= LONGEST_SHOWN else f"...{plain[-LONGEST_SHOWN:]}"


def _cannot(place: Path, found: str, want: str) -> JobError:
    return JobError([Problem("job file", found, want, file=shown_place(place))])


@contextmanager
def _writing(place: Path) -> Iterator[None]:
    """What the system says of a place that cannot be written to, as an error for people."""
    try:
        yield
    except (OSError, ValueError) as error:
        why = (getattr(error, "strerror", None) or "it cannot be written").lower()
        do = "Nothing was written."
        raise InputError(shown_place(place), why, "a place that can be written to", do) from None


def write_beside(place: Path, data: bytes) -> None:
    """Write a file whole or not at all: beside its place first, then renamed into it.

    Raises
    ------
    InputError
        If the place cannot be written to.
    """
    with _writing(place):
        if place.is_dir():
            raise IsADirectoryError(21, "there is a folder of that name")
        place.parent.mkdir(parents=True, exist_ok=True)
        handle, beside = tempfile.mkstemp(dir=place.parent, prefix=f".{place.name[:40]}.")
        os.close(handle)
        try:
            _write_through(Path(beside), data)
            Path(beside).replace(place)
        except BaseException:
            Path(beside).unlink(missing_ok=True)
            raise


def _write_through(place: Path, data: bytes) -> None:
    with place.open("wb") as out:
        out.write(data)
        out.flush()
        os.fsync(out.fileno())
    place.chmod(0o644)


def write_packet(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write all files of a packet or none: into a folder of their own, then renamed into place.

    A folder that holds an earlier packet keeps what is not of the packet.

    Raises
    ------
    InputError
        If the folder cannot be written to.
    """
    with _writing(folder):
        if folder.exists() and not folder.is_dir():
            raise NotADirectoryError(20, "there is a file of that name, not a folder")
        near = folder if folder.exists() else folder.parent
        near.mkdir(parents=True, exist_ok=True)
        beside = Path(tempfile.mkdtemp(dir=near, prefix=f".{folder.name[:40]}."))
        try:
            for name, data in files.items():
                _write_through(beside / name, data)
            _into_place(beside, folder, files)
        finally:
            shutil.rmtree(beside, ignore_errors=True)


def _into_place(beside: Path, folder: Path, files: Mapping[str, bytes]) -> None:
    if not folder.exists():
        beside.chmod(0o755)
        beside.rename(folder)
        return
    stale = _listed(folder) - files.keys()
    for name in files:
        (beside / name).replace(folder / name)
    for name in stale:
        (folder / name).unlink(missing_ok=True)


def _listed(folder: Path) -> set[str]:
    """The files that an earlier packet in a folder says it wrote."""
    from weatherlap.papers.packet import LISTING

    try:
        names = json.loads((folder / LISTING).read_text("utf-8"))["files"]
        return {n for n in names if n == Path(n).name and Path(n).suffix in _OURS}
    except (OSError, ValueError, KeyError, TypeError):
        return set()


def print_json(table: Mapping[str, object] | list[object]) -> None:
    """Print a table as JSON, with plain signs only where the output takes no others."""
    plain = (sys.stdout.encoding or "").lower().replace("-", "") != "utf8"
    print(json.dumps(table, ensure_ascii=plain, indent=1))


def say_problems(error: WeatherlapError, *, as_json: bool) -> None:
    """Print what is wrong: plainly on stderr, or as JSON on stdout."""
    problems = error.problems if isinstance(error, InputError) else ()
    if as_json:
        rows = [
            {
                "file": p.file,
                "line": p.line,
                "where": p.where,
                "found": p.found,
                "want": p.want,
                "do": p.do,
            }
            for p in problems
        ] or [{"file": "", "line": 0, "where": "", "found": str(error), "want": "", "do": ""}]
        print_json({"ok": False, "problems": rows})
        return
    for problem in problems[:MOST_SHOWN]:
        print(problem, file=sys.stderr)
    if len(problems) > MOST_SHOWN:
        print(f"... and {len(problems) - MOST_SHOWN} more.", file=sys.stderr)
    if not problems:
        print(error, file=sys.stderr)
