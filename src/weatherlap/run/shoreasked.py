"""What a job asks of its temporary support, as the structure room takes it."""

from __future__ import annotations

from weatherlap.errors import InputError
from weatherlap.job.loadrecords import GroundRecord, ShoreLineRecord
from weatherlap.job.loads import parse_size
from weatherlap.job.model import Job
from weatherlap.run.framingmembers import Surveyed
from weatherlap.structure.model import Shim, Stock
from weatherlap.structure.shore_model import Blocked, ShoreAsk, ShoreLine
from weatherlap.structure.sills import Ground, GroundKind

WEEK_DURATION = 1.25
LONGER_DURATION = 1.0
NAME = "shore"


def wants_shore(job: Job, surveyed: Surveyed) -> bool:
    """Whether members go out, or the job says where a header may run."""
    return bool(job.shore.line) and bool(surveyed.replaces or job.shore.carries)


def shore_ask(job: Job, surveyed: Surveyed, *, is_strength_level: bool) -> ShoreAsk:
    """The question to the search.

    Raises
    ------
    InputError
        Nothing to carry, or nowhere for posts to stand.
    """
    shore = job.shore
    carries = surveyed.named(shore.carries) or _on_what_goes(surveyed)
    if not carries:
        raise InputError(
            "shore", "nothing that rests on what is taken out", "`carries`, what is held up"
        )
    soil = job.framing.soil
    return ShoreAsk(
        NAME, tuple(_line(x, soil.value if soil else None) for x in shore.line), carries,
        surveyed.replaces, surveyed.puts_in,
        headers=tuple(_stock(s) for s in shore.headers),
        posts=tuple(_stock(s) for s in shore.posts), jack_lb=shore.jack,
        tie_lb=shore.tie, tie_rating_source=shore.tie_by,
        jack_height_in=shore.jack_height, jack_rating_source=shore.jack_by, margin=shore.margin,
        lift_in=shore.lift, most_lift_in=shore.most_lift, most_posts=shore.most_posts,
        duration=LONGER_DURATION if shore.stays_long else WEEK_DURATION,
        snow_is_strength_level=is_strength_level, above=shore.above, shims=shims_of(surveyed),
    )  # fmt: skip


def _on_what_goes(surveyed: Surveyed) -> tuple[str, ...]:
    """Members that rest on something that is taken out and are not taken out themselves."""
    gone = set(surveyed.replaces)
    stay = [
        j.upper for j in surveyed.joints
        if j.lower in gone and j.upper not in gone and j.upper not in surveyed.puts_in
    ]  # fmt: skip
    return tuple(dict.fromkeys(stay))


def shims_of(surveyed: Surveyed) -> tuple[Shim, ...]:
    """Shims that close the gaps left over the members that stay or come in."""
    gone = set(surveyed.replaces)
    return tuple(
        Shim(j.id, j.gap_in)
        for j in surveyed.joints
        if j.upper in surveyed.puts_in and j.lower not in gone and j.gap_in > 0
    )


def _stock(size: str) -> Stock:
    """Lumber for the shore, taken as SPF No.2."""
    plies, thick, deep = parse_size(size)
    return Stock(thick, deep, plies, "SPF", "No.2")


def _line(record: ShoreLineRecord, soil_psf: float | None) -> ShoreLine:
    """A line along which a header may run."""
    (ax, ay), (bx, by) = record.start, record.end
    length = float(((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5)
    return ShoreLine(
        record.id, record.start, record.end,
        tuple(_ground(g, length, soil_psf) for g in record.ground),
        tuple(Blocked(b.start, b.end, b.why) for b in record.blocked),
    )  # fmt: skip


def _ground(record: GroundRecord, length_in: float, soil_psf: float | None) -> Ground:
    """A stretch of ground."""
    kind = GroundKind(record.what)
    typed = soil_psf if kind is GroundKind.SOIL and record.soil is None else None
    return Ground(
        kind, record.start, length_in if record.end is None else record.end, record.height,
        soil=record.soil, soil_psf=typed, slab_in=record.slab, slab_psi=record.slab_psi,
        most_lb=record.most,
    )  # fmt: skip
