"""The errors of the whole program.

* WeatherlapError        anything the program says to a person; exit 1
  + InputError           a value handed to an engine cannot be used; exit 2, page 422
    + JobError           the job file needs mending (one or more problems); exit 2, page 400
  + SourceError          a figure cites a key that is not in the register; exit 3, page 500
  + NoSolution           no plan of the kind asked for exists; exit 4, page 422

A building fault is never an exception: it is a finding in a result.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


class WeatherlapError(Exception):
    """Anything the program has to say to a person."""

    exit_code = 1

    def __reduce__(self) -> tuple[object, ...]:
        """Let it be told to another process with all that it carries."""
        return _told_again, (type(self), self.args, self.__dict__)


def _told_again(
    kind: type[WeatherlapError], args: tuple[object, ...], carried: dict[str, object]
) -> WeatherlapError:
    error = kind.__new__(kind, *args)
    error.__dict__.update(carried)
    return error


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing to mend: where it is, what was found, what would be right, what to do.

    ``line`` counts from 1; 0 means the place in the file is not known. ``key`` is the place in the
    job's data, where the one who found the problem does not know the file.
    """

    where: str
    found: str
    want: str
    do: str = ""
    file: str = ""
    line: int = 0
    key: tuple[str | int, ...] = ()

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}: " if self.file and self.line else ""
        if self.file and not self.line:
            place = f"{self.file}: "
        text = f"{place}{self.where}: {self.found}; expected {self.want}."
        return f"{text} {self.do}".rstrip()


class InputError(WeatherlapError):
    """A value cannot be used; says where, found, wanted and what to do."""

    exit_code = 2

    def __init__(
        self, where: str, found: str, want: str, do: str = "", *, key: tuple[str | int, ...] = ()
    ) -> None:
        self.problems: tuple[Problem, ...] = (Problem(where, found, want, do, key=key),)
        super().__init__(str(self.problems[0]))


class JobError(InputError):
    """The job file needs mending; carries every problem at once."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        WeatherlapError.__init__(self, "\n".join(str(p) for p in self.problems))


class SourceError(WeatherlapError):
    """A figure cites a source that the register does not hold."""

    exit_code = 3


class NoSolution(WeatherlapError):
    """No plan of the kind asked for exists; the message says what blocks it."""

    exit_code = 4
