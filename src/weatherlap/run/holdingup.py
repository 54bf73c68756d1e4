"""A job's framing worked out: loads, temporary support, stages, checks, lengths to cut."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from weatherlap.errors import InputError, NoSolution
from weatherlap.job.model import Job
from weatherlap.run.caplifts import cap_lifts
from weatherlap.run.framingjoints import bases_of, fastenings_of, plies_of
from weatherlap.run.framingloads import bare_rows, roofs_and_decks, site_of
from weatherlap.run.framingmembers import Surveyed, survey_members
from weatherlap.run.picking import Lightest, lightest, with_picked
from weatherlap.run.shoreasked import NAME, shore_ask, wants_shore
from weatherlap.run.tablesbeside import tables_beside
from weatherlap.run.worked import corner_of
from weatherlap.structure.differences import Beside
from weatherlap.structure.holding import HoldingUp, hold_corner, loaded
from weatherlap.structure.model import Framing, Stage, StageKind, Stock
from weatherlap.structure.post_lift import PostLift
from weatherlap.structure.shore_model import Choice, ShoreAsk, ShoreLine, ShorePlan
from weatherlap.structure.shore_search import crossings
from weatherlap.structure.shoring import Shored, build_shore, propose_shoring
from weatherlap.structure.site import SnowEdition
from weatherlap.structure.staging import run_stages
from weatherlap.structure.survey import Survey
from weatherlap.units import tape

MOST_PICKS = 4
FOUND = Stage("1", StageKind.AS_FOUND, title="As found")


@dataclass(frozen=True)
class HeldJob:
    """A job's framing through its stages; ``plan`` is the temporary support, if any is asked."""

    job: Job
    surveyed: Surveyed
    survey: Survey
    holding: HoldingUp
    plan: ShorePlan | None
    moved: bool
    picks: tuple[Lightest, ...] = ()
    beside: tuple[Beside, ...] = ()
    notes: tuple[str, ...] = ()
    caps: tuple[PostLift, ...] = ()

    @property
    def falls(self) -> tuple[str, ...]:
        """Members that nothing holds up at one of the stages."""
        return tuple(dict.fromkeys(name for s in self.holding.stages for name in s.loose))


def has_framing(job: Job) -> bool:
    """Whether a job holds framing to be checked."""
    return bool(job.member)


def hold_job(job: Job, *, on_the_way: Callable[[str], None]) -> HeldJob:
    """Work out what holds a job's corner up, as found and through the work.

    Parameters
    ----------
    on_the_way : callable
        Told what is being done.

    Raises
    ------
    InputError
        Framing that cannot be worked out, named with its member.
    NoSolution
        No temporary support holds the load.
    """
    surveyed = survey_members(job)
    on_the_way("Loads from faces and pieces")
    roofs, decks = roofs_and_decks(job, corner_of(job), surveyed)
    survey = Survey(
        Framing(surveyed.members, surveyed.joints, surveyed.supports), site_of(job.framing),
        (FOUND,), surveyed.first, roofs, decks, fastenings_of(surveyed), bases_of(surveyed),
        plies_of(job, surveyed),
    )  # fmt: skip
    framing, _ = loaded(survey)
    held = _with_lightest(job, surveyed, survey, framing, on_the_way)
    stopped = (*bare_rows(job, surveyed), *held.holding.missing)
    held = replace(held, holding=replace(held.holding, missing=stopped))
    tables = tables_beside(held.holding, survey, building_width_in=job.framing.building_width)
    caps = (
        cap_lifts(held.surveyed, held.holding.framing, held.plan, most_in=job.shore.most_lift)
        if held.plan is not None
        else ()
    )
    beside = _one_of_each_row(tables.beside, held.surveyed)
    return replace(held, beside=beside, notes=tuple(tables.notes), caps=caps)


def _one_of_each_row(found: list[Beside], surveyed: Surveyed) -> tuple[Beside, ...]:
    """Of the members of a row the one that is worked hardest."""
    row_of = {name: row for row, names in surveyed.rows.items() for name in names}
    kept: dict[tuple[str, str], Beside] = {}
    for one in found:
        key = (row_of.get(one.member, one.member), one.table.what)
        if key not in kept or one.worst.ratio > kept[key].worst.ratio:
            kept[key] = one
    return tuple(kept.values())


def _with_lightest(
    job: Job, surveyed: Surveyed, survey: Survey, framing: Framing,
    on_the_way: Callable[[str], None],
) -> HeldJob:  # fmt: skip
    """The stages with the lightest new stock that holds there too.

    Stock is picked in the finished frame, unstrained; where the work leaves a strain in it that it
    does not take, the next heavier is tried.
    """
    is_late = survey.site.snow_edition is SnowEdition.ASCE_7_22
    too_light: dict[str, Stock] = {}
    for _ in range(MOST_PICKS):
        on_the_way("The lightest stock that works")
        picks = lightest(framing, surveyed, is_late=is_late, too_light=too_light)
        chosen, loads = with_picked(surveyed, framing, picks)
        stocked = replace(survey, framing=replace(loads, line_loads=()))
        held = replace(_held(job, chosen, stocked, loads, on_the_way), picks=picks)
        failed = _failed_picks(held)
        if not failed:
            break
        too_light |= failed
    return held


def _failed_picks(held: HeldJob) -> dict[str, Stock]:
    """Stock that was picked and does not hold at the end of the work."""
    last = held.holding.stages[-1].stage.id
    bad = {c.about for c in held.holding.failing if c.stage == last}
    return {
        p.member: p.picked.stock
        for p in held.picks
        if p.picked is not None and p.member in held.surveyed.picked and p.member in bad
    }


def _held(
    job: Job, surveyed: Surveyed, survey: Survey, framing: Framing,
    on_the_way: Callable[[str], None],
) -> HeldJob:  # fmt: skip
    """The stages: only as found, or through the work with its temporary support.

    Where something does not stand as found, nothing but that is said.
    """
    is_late = survey.site.snow_edition is SnowEdition.ASCE_7_22
    found = run_stages(framing, (FOUND,), first=surveyed.first, snow_is_strength_level=is_late)[0]
    if not found.stands:
        return HeldJob(job, surveyed, survey, hold_corner(survey), None, moved=False)
    if not wants_shore(job, surveyed):
        whole = replace(survey, stages=_plain_stages(surveyed))
        return HeldJob(job, surveyed, whole, hold_corner(whole), None, moved=False)
    ask = shore_ask(job, surveyed, is_strength_level=is_late)
    on_the_way("Places for temporary posts")
    shored = _shored(job, framing, ask, surveyed.first)
    on_the_way("Stages and checks")
    whole = replace(survey, stages=shored.plan.stages, framing=_unloaded(survey, shored.plan))
    return HeldJob(
        job,
        surveyed,
        whole,
        hold_corner(whole, held=shored.holding),
        shored.plan,
        moved=bool(job.temporary),
    )


def _plain_stages(surveyed: Surveyed) -> tuple[Stage, ...]:
    """As found, and as it will stand, where nobody said how it is held meanwhile."""
    if not surveyed.puts_in:
        return (FOUND,)
    after = Stage(
        "2", StageKind.IN, puts_in=surveyed.puts_in, takes_out=surveyed.replaces,
        title="New members in",
    )  # fmt: skip
    return (FOUND, after)


def _unloaded(survey: Survey, plan: ShorePlan) -> Framing:
    """The framing with its shore, its loads still to come."""
    return replace(plan.framing, line_loads=survey.framing.line_loads)


def _check_places(line: ShoreLine, places: tuple[float, ...]) -> None:
    """Refuse a post in a stretch that is kept free, or where nobody said what is under it."""
    for at in places:
        where = f"temporary post {tape(at)} along line {line.id!r}"
        kept = next((b for b in line.blocked if b.from_in <= at <= b.to_in), None)
        if kept is not None:
            raise InputError(
                where, f"a place that is kept free: {kept.why}",
                f"a place outside {tape(kept.from_in)} to {tape(kept.to_in)}",
                "Move the post, or take the stretch out of `blocked`.",
            )  # fmt: skip
        if line.ground_at(at) is None:
            raise InputError(
                where, "no ground", "a stretch of `ground` that reaches there",
                "Say what the post stands on.",
            )  # fmt: skip


def _shored(job: Job, framing: Framing, ask: ShoreAsk, first: frozenset[str]) -> Shored:
    """The proposed shore, or the user's own places with the lightest header that was found."""
    if not job.temporary:
        return propose_shoring(framing, ask, first=first)
    names = {t.line for t in job.temporary}
    lines = {line.id: line for line in ask.lines}
    if len(names) > 1 or not names <= set(lines):
        raise InputError(
            "temporary", f"posts on {', '.join(sorted(names))}",
            f"all of them on one of the lines {', '.join(lines)}",
        )  # fmt: skip
    line = lines[names.pop()]
    places = tuple(sorted(t.at for t in job.temporary))
    if len(places) < 2 or places[-1] > line.length_in:
        raise InputError(
            "temporary", f"{len(places)} posts, the last {places[-1]:g} in along",
            f"two or more posts within 0 to {line.length_in:g} in of line {line.id!r}",
        )  # fmt: skip
    _check_places(line, places)
    over = crossings(framing, ask, line)
    for header in ask.headers:
        for post in ask.posts:
            choice = Choice(line.id, places, header, post, 0.0, ())
            shored = build_shore(framing, ask, line, over, choice, first=first)
            if shored.holds or (header, post) == (ask.headers[-1], ask.posts[-1]):
                return shored
    raise NoSolution(f"shoring {NAME!r}: no header or post to try.")
