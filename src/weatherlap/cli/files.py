"""Files at the door: read a job, write beside and rename, and say what is wrong."""

from __future__ import annotations

import json
import os
import sys
import tempfile
from pathlib import Path

from weatherlap.errors import InputError, JobError, Problem, WeatherlapError
from weatherlap.job.model import Job
from weatherlap.job.reading import read_job

MOST_SHOWN = 30


def read_job_file(path: Path) -> Job:
    """The job in a file.

    Raises
    ------
    JobError
        If the file cannot be read, or names everything that is wrong in it.
    """
    try:
        text = path.read_bytes()
    except FileNotFoundError:
        raise _cannot(path, "there is no such file", "the path of a job file") from None
    except IsADirectoryError:
        raise _cannot(path, "this is a folder", "the path of a job file") from None
    except OSError as error:
        why = error.strerror or "it cannot be read"
        raise _cannot(path, why, "a file that can be read") from None
    return read_job(text, file=str(path))


def _cannot(path: Path, found: str, want: str) -> JobError:
    return JobError([Problem(where="file", found=found, want=want, file=str(path))])


def write_beside(path: Path, data: bytes) -> None:
    """Write a file whole or not at all: beside its place first, then renamed into it.

    Raises
    ------
    InputError
        If the folder cannot be made or written to.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, beside = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        try:
            with os.fdopen(handle, "wb") as out:
                out.write(data)
                out.flush()
                os.fsync(out.fileno())
            Path(beside).chmod(0o644)
            Path(beside).replace(path)
        except BaseException:
            Path(beside).unlink(missing_ok=True)
            raise
    except OSError as error:
        why = error.strerror or "it cannot be written"
        raise InputError(str(path), why, "a folder that can be written to") from None


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
        ] or [{"where": "", "found": str(error), "want": "", "do": "", "file": "", "line": 0}]
        print(json.dumps({"problems": rows}, ensure_ascii=False, indent=1))
        return
    for problem in problems[:MOST_SHOWN]:
        print(problem, file=sys.stderr)
    if len(problems) > MOST_SHOWN:
        print(f"... and {len(problems) - MOST_SHOWN} more.", file=sys.stderr)
    if not problems:
        print(error, file=sys.stderr)
