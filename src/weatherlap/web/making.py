"""What takes long to make, as things that can be handed to a helper."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from weatherlap.job.model import Job
from weatherlap.job.reading import read_job
from weatherlap.papers.binder import Binder, Bound, bound
from weatherlap.papers.packet import packet_files
from weatherlap.papers.paper import Paper
from weatherlap.run.states import State
from weatherlap.run.worked import in_state, work_out

FIRST_DATE = (1980, 1, 1, 0, 0, 0)
"""Files in a packet carry no day of their own: same job, same bytes."""
Say = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class PartMaking:
    """The papers of one part of a job."""

    binder: Binder
    job: Job
    own: Mapping[str, str]

    def __call__(self, say: Say) -> Bound:
        """Make them; ``say`` is told what is being done."""
        return bound(self.binder, self.job, own=self.own, on_the_way=say)


@dataclass(frozen=True, slots=True)
class PacketMaking:
    """Everything about a job as one zip file; ``text`` is its file, ``job`` has all photos."""

    text: str
    job: Job
    own: Mapping[str, str]
    state: State
    paper: Paper

    def __call__(self, say: Say) -> bytes:
        """Make it; ``say`` is told what is being done."""
        say("Following the water")
        worked = work_out(in_state(read_job(self.text), self.state))
        files = packet_files(
            self.job, worked, state=self.state, paper=self.paper, own=self.own, on_the_way=say
        )
        return zipped({"job.toml": self.text.encode("utf-8"), **files})


def zipped(files: Mapping[str, bytes]) -> bytes:
    """Files as one zip: same files, same bytes."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, data in files.items():
            info = zipfile.ZipInfo(name, FIRST_DATE)
            info.compress_type = zipfile.ZIP_DEFLATED
            packed.writestr(info, data)
    return out.getvalue()
