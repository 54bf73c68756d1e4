"""What stands on top of the shoring sheet: the answer, and what comes before anything else."""

from __future__ import annotations

from collections.abc import Iterable

from weatherlap.papers.leaf import Block, Box, Column, Grid, Items, Part
from weatherlap.run.families import family
from weatherlap.run.holdingup import HeldJob
from weatherlap.structure.lumber import describe
from weatherlap.structure.results import Check
from weatherlap.structure.shore_model import ShorePlan, ShorePost, TieDown
from weatherlap.structure.sills import GroundKind
from weatherlap.units import tape


def lead_of(held: HeldJob) -> tuple[str, ...]:
    """The answer in plain sentences; where something falls, that alone."""
    proposed = _proposed(held)
    falls = next((s for s in held.holding.stages if s.loose), None)
    if falls is not None:
        where = f"stage {falls.stage.id} ({falls.stage.title})"
        told = (
            f"Nothing holds up {_names(falls.loose)} at {where}: no load path to the ground. The "
            "drawing shows it in heavy line. Add the joint or support that is there, or hold it "
            "up at that stage: until then no check of this sheet counts.",
        )
        return (*told, *proposed, _CLOSING)
    return (*proposed, *_whether_it_holds(held), _CLOSING)


_CLOSING = (
    "This is a worked calculation for those who do the work and those who check it. Local code "
    "and licensed practice decide."
)


def _proposed(held: HeldJob) -> tuple[str, ...]:
    """The temporary support in a sentence, if there is any."""
    if held.plan is None:
        return ()
    posts = " and ".join(_post_words(p) for p in held.plan.posts)
    who = "Your places" if held.moved else "Proposed"
    return (
        f"{who}: a {describe(held.plan.header)} header on {len(held.plan.posts)} temporary "
        f"posts along line {held.plan.line.id!r}: {posts}.",
    )


def _whether_it_holds(held: HeldJob) -> tuple[str, ...]:
    """Whether what was checked holds at the end and on the way, and what could not be checked."""
    worst = held.holding.failing
    last = held.holding.stages[-1].stage.id
    kept = [c for c in worst if c.stage in ("", last)]
    on_way = [c for c in worst if c.stage not in ("", last)]
    when = "As found" if len(held.holding.stages) == 1 else "When the work is done"
    lines = []
    if kept:
        lines.append(f"{when} {_counted(kept)} not hold. {kept[0].sentence}")
    else:
        lines.append(f"{when} every check that could be made holds.")
    if on_way:
        lines.append(
            f"On the way {_counted(on_way)} not hold, the worst at stage {on_way[0].stage}: "
            f"{on_way[0].sentence}"
        )
    if _missing(held):
        lines.append("Some checks are stopped until somebody answers the questions below.")
    return tuple(lines)


def _counted(checks: list[Check]) -> str:
    """How many checks, with their verb."""
    return "one check does" if len(checks) == 1 else f"{len(checks)} checks do"


def _missing(held: HeldJob) -> tuple[str, ...]:
    """What stops checks, each question once, of a row once."""
    every = (*held.holding.missing, *(held.plan.missing if held.plan else ()))
    rows = held.surveyed.rows
    return tuple(dict.fromkeys(family(f"{m.what} of {m.about}: {m.ask}", rows) for m in every))


def _post_words(post: ShorePost) -> str:
    return f"{tape(post.along_in)} along, {post.load_lb:,.0f} lb"


def asks_of(held: HeldJob) -> list[Part]:
    """What stops: questions to the building department, conditions for an engineer, findings."""
    plan = held.plan
    missing = _missing(held)
    engineer = (*held.holding.engineer, *(plan.engineer if plan else ()))
    blocks: list[Block] = []
    if engineer:
        whys = tuple(dict.fromkeys(family(e.why, held.surveyed.rows) for e in engineer))
        blocks.append(Box("Ask a licensed engineer", whys))
    if missing:
        blocks.append(Box("These checks are stopped until somebody says", missing))
    found = _grouped(held)
    if found:
        blocks.append(Box("Take care", found))
    return [Part("Before anything is lifted", tuple(blocks))] if blocks else []


def _grouped(held: HeldJob) -> tuple[str, ...]:
    """Findings, members of one stage together."""
    names = {s.stage.id: s for s in held.holding.stages}
    tied = held.plan is not None and held.plan.ties is not None
    found = []
    for stage in names.values():
        where = f"stage {stage.stage.id} ({stage.stage.title})"
        if stage.loose:
            found.append(
                f"Nothing holds up {_names(stage.loose)} at {where}: no load path to the ground."
            )
        if stage.flies and not tied:
            flies = _names(n for n in stage.flies if n not in stage.loose)
            found.append(
                f"Nothing but its weight holds down {flies} when the wind lifts at {where}: work "
                "on a calm day, or tie it down before it is left."
            )
    if tied:
        at = [s.stage.id for s in names.values() if s.flies]
        when = f"stage {at[0]}" if len(at) == 1 else f"stages {', '.join(at)}"
        found.append(
            "Nothing but weight holds down the shore and what it carries when the wind lifts at "
            f"{when}: the ties of 'Tie-down' are on before then."
        )
    found += [f.text for f in held.holding.findings if not f.stage]
    return tuple(found)


def _names(names: Iterable[str]) -> str:
    """Ids, those of a row by its first and last."""
    rows: dict[str, list[str]] = {}
    for name in names:
        stem, _, tail = name.rpartition("-")
        rows.setdefault(stem if tail.isdigit() else name, []).append(name)
    words = [v[0] if len(v) == 1 else f"{v[0]} to {v[-1]}" for v in rows.values()]
    return ", ".join(words)


def tie_part(ties: TieDown, plan: ShorePlan) -> Part:
    """What holds the shore down in the wind while the old ties are loose."""
    ground = {p.id: p.ground.kind for p in plan.posts}
    columns = (
        Column("beside", share=1.3), Column("pull", numeric=True),
        Column("strap or cable, working load", numeric=True, share=1.4),
        Column("to", share=2.4), Column("or ballast on it", numeric=True, share=1.8),
    )  # fmt: skip
    rows = tuple(
        (
            p.post, f"{p.pull_lb:,.0f} lb", f"{p.pull_lb:,.0f} lb or more",
            f"{_ANCHORS[ground[p.post]]} rated {p.pull_lb:,.0f} lb up or more",
            f"{p.ballast_lb:,.0f} lb, {p.bags} bags of 80 lb",
        )
        for p in ties.posts
    )  # fmt: skip
    items = []
    if ties.nails:
        items.append(f"Each carried member to the header: {ties.nails} {ties.nail} toe-nails.")
    elif ties.member_lb > 0:
        items.append(
            f"Each carried member to the header: a strap rated {ties.member_lb:,.0f} lb or more; "
            "toe-nails do not hold that."
        )
    if ties.loose:
        items.append(f"Not held by these ties: {_names(ties.loose)}. Tie it to what stands.")
    items.append(_BALLAST)
    return Part("Tie-down", (Grid(columns, rows), Items(tuple(items))), note=_TIE_NOTE)


_ANCHORS = {
    GroundKind.SLAB: "an anchor in the slab",
    GroundKind.SOIL: "a ground anchor",
    GroundKind.DECK: "framing below the deck, not its boards,",
}
_TIE_NOTE = (
    "Pounds at the full design wind, 0.6 D + 0.6 W, from the stages at which the old ties are "
    "loose. Ratings are those of the tag or the report, its own margin in them."
)
_BALLAST = (
    "Ballast hangs from the header or lies on a frame that the strap goes round; only 0.6 of its "
    "weight counts. An old thin slab may lift with its anchor: ballast does not."
)
