"""What takes long to make, as things that can be handed to a helper."""

from __future__ import annotations

import io
import time
import zipfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from weatherlap.job.model import Job
from weatherlap.job.reading import read_job
from weatherlap.papers.binder import Binder, Bound, bound
from weatherlap.papers.packet import packet_files
from weatherlap.papers.paper import Paper
from weatherlap.run.states import State
from weatherlap.run.worked import in_state, work_out

if TYPE_CHECKING:  # what a making needs is loaded where it is made, not by the pages
    from weatherlap.money.changeorders import Promise
    from weatherlap.money.promises import Allowance

FIRST_DATE = (1980, 1, 1, 0, 0, 0)
"""Files in a packet carry no day of their own: same job, same bytes."""
SEARCH_S = 60.0
"""How long a mend is searched; what was found by then is shown, with its bound. [s]"""
Say = Callable[[str], None]
Table = dict[str, Any]


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


@dataclass(frozen=True, slots=True)
class TasksMaking:
    """The plan's table of a job."""

    job: Job
    own: Mapping[str, str]

    def __call__(self, say: Say) -> Table:
        """Make it; ``say`` is told what is being done."""
        from weatherlap.papers.planned import planned_for
        from weatherlap.run.plantables import plan_table

        say("Placing the tasks in the crew's days")
        return plan_table(planned_for(self.job, self.own, tell=say))


@dataclass(frozen=True, slots=True)
class MendMaking:
    """The cheapest mend of a job as a table; ``costs`` is the firm's own table, if it has one."""

    job: Job
    costs: str | None

    def __call__(self, say: Say) -> Table:
        """Search it; ``say`` is told how far that is."""
        from weatherlap.run.mending import mend_job
        from weatherlap.run.ordertables import mend_table
        from weatherlap.water.mendcosts import invented_costs, read_costs

        table = invented_costs() if self.costs is None else read_costs(self.costs)
        begun = time.monotonic()

        def go_on(tried: int, bound: float) -> bool:
            say(f"Searching: {tried} traces, nothing below {bound:,.0f} USD")
            return time.monotonic() - begun < SEARCH_S

        return mend_table(self.job.job.title, mend_job(self.job, table, go_on=go_on))


@dataclass(frozen=True, slots=True)
class Agreed:
    """The states of a job and how it stands now; ``orders`` is None while nothing is signed."""

    states: tuple[Promise, ...]
    orders: Table | None
    now: Promise
    has_news: bool
    missing: tuple[str, ...]
    allowances: tuple[Allowance, ...]


@dataclass(frozen=True, slots=True)
class AgreedMaking:
    """What is agreed on a job, and how it stands now."""

    job: Job
    own: Mapping[str, str]

    def __call__(self, say: Say) -> Agreed:
        """Work it out; ``say`` is told what is being done."""
        from weatherlap.papers.promised import scope_for
        from weatherlap.run.changeorder import orders_of, promises_of, state_now
        from weatherlap.run.scopetables import orders_table

        say("Working out scope, price and days")
        scope = scope_for(self.job, self.own)
        states = promises_of(self.job)
        orders = orders_of(scope) if states else None
        return Agreed(
            states=states,
            orders=None if orders is None else orders_table(orders),
            now=state_now(scope, day=""),
            has_news=orders is None or orders.open_now is not None,
            missing=tuple(scope.missing),
            allowances=tuple(scope.pricing.allowances),
        )
