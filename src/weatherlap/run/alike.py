"""The same question: a job with the firm's tables, told by what it holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from weatherlap.job.model import Job

NO_TABLES: Mapping[str, str] = {}


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked of a job: two that hold the same have the same answer, worked out once.

    The file that a job was read from counts too, as answers name its lines.
    """

    text: str
    read_from: tuple[str, str]
    tables: tuple[tuple[str, str], ...]
    job: Job = field(compare=False)

    @classmethod
    def of(cls, job: Job, own: Mapping[str, str] = NO_TABLES) -> Question:
        """The question that a job is with the firm's tables, each a text by its name."""
        read_from = (job.source.file, job.source.text)
        return cls(job.model_dump_json(), read_from, tuple(sorted(own.items())), job)

    @property
    def own(self) -> dict[str, str]:
        """The firm's tables by name."""
        return dict(self.tables)
