"""The shoring sheet and the calculation appendix of a job."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from weatherlap.drawings.memberlines import lines_drawing
from weatherlap.drawings.stages import StageShow, push_of, stage_drawing
from weatherlap.job.model import Job
from weatherlap.papers.binder import Bound
from weatherlap.papers.cautions import Caution
from weatherlap.papers.leaf import Block, Box, Column, Drawn, Grid, Items, Leaf, Part, Words
from weatherlap.papers.shoringsums import appendix
from weatherlap.run.holdingup import HeldJob, hold_job
from weatherlap.run.lengthscut import Cut, cuts_of
from weatherlap.run.shoringtables import shoring_table
from weatherlap.structure.lumber import describe
from weatherlap.structure.results import number
from weatherlap.structure.shore_model import ShorePlan, ShorePost
from weatherlap.structure.staging import StageResult
from weatherlap.units import tape

KIND = "Shoring"
STAGE_WIDE_IN = 6.2
LINES_WIDE_IN = 6.2


def bind(job: Job, *, own: Mapping[str, str], on_the_way: Callable[[str], None]) -> Bound:
    """The papers of what holds the corner up."""
    del own
    held = hold_job(job, on_the_way=on_the_way)
    cuts = cuts_of(job, held.surveyed)
    on_the_way("Drawing the stages")
    drawn = stage_drawings(held)
    leaves = (_sheet(held, cuts, drawn), appendix(held, cuts, _line_drawings(held)))
    files = {f"{d.name}.svg": d.svg.encode("utf-8") for leaf in leaves for d in leaf.drawings()}
    return Bound(leaves, shoring_table(held, cuts), files)


def stage_drawings(held: HeldJob) -> tuple[Drawn, ...]:
    """A drawing of each stage."""
    new = frozenset(held.surveyed.puts_in)
    found = []
    for stage in held.holding.stages:
        show = StageShow(
            frozenset(stage.stage.takes_out), new,
            frozenset(f.about for f in held.holding.findings if f.stage == stage.stage.id)
            & frozenset(stage.loose),
        )  # fmt: skip
        svg = stage_drawing(held.holding.framing, stage, show=show)
        title = f"Stage {stage.stage.id}: {stage.stage.title}"
        found.append(Drawn(f"shoring-stage-{stage.stage.id}", title, svg, STAGE_WIDE_IN))
    return tuple(found)


def _line_drawings(held: HeldJob) -> tuple[Drawn, ...]:
    """Moment, shear and deflection of each checked lying member, where it is worst."""
    found = []
    for member in held.holding.framing.members:
        svg = lines_drawing(held.holding, member)
        if svg:
            title = f"Moment, shear and deflection of {member.id}"
            found.append(Drawn(f"lines-{member.id}", title, svg, LINES_WIDE_IN))
    return tuple(found)


def _sheet(held: HeldJob, cuts: tuple[Cut, ...], drawn: tuple[Drawn, ...]) -> Leaf:
    """The sheet that the crew works from."""
    parts = [*_asks(held)]
    if held.plan is not None:
        parts += [_temporary(held.plan), _steps(held.plan)]
    parts += [Part("The stages", tuple(_stage_blocks(held, drawn)), note=_STAGE_NOTE)]
    parts += [_members(held), _uplift(held)]
    if cuts:
        parts.append(_lengths(cuts))
    return Leaf(
        "shoring", KIND, held.job.job.title, held.job.job, _lead(held), tuple(parts),
        _cautions(held), sources=("S-061", "S-064"),
    )  # fmt: skip


_STAGE_NOTE = (
    "Figures at supports are pounds: the most that any combination of loads puts there, and after "
    "the stroke the most pull of the wind. Broken lines are temporary or gone, shaded ones new, red "
    "is rot."
)


def _lead(held: HeldJob) -> tuple[str, ...]:
    """The answer in plain sentences."""
    worst = held.holding.failing
    last = held.holding.stages[-1].stage.id
    kept = [c for c in worst if c.stage in ("", last)]
    lines = []
    if held.plan is not None:
        posts = " and ".join(_post_words(p) for p in held.plan.posts)
        who = "Your places" if held.moved else "Proposed"
        lines.append(
            f"{who}: a {describe(held.plan.header)} header on {len(held.plan.posts)} temporary "
            f"posts along line {held.plan.line.id!r}: {posts}."
        )
    if kept:
        lines.append(f"When the work is done {len(kept)} checks do not hold. {kept[0].sentence}")
    else:
        lines.append("When the work is done every check that could be made holds.")
    on_way = [c for c in worst if c.stage not in ("", last)]
    if on_way:
        lines.append(
            f"On the way {len(on_way)} checks do not hold, the worst at stage {on_way[0].stage}: "
            f"{on_way[0].sentence}"
        )
    lines.append(
        "This is a worked calculation for those who do the work and those who check it. Local code "
        "and licensed practice decide."
    )
    return tuple(lines)


def _post_words(post: ShorePost) -> str:
    return f"{tape(post.along_in)} along, {post.load_lb:,.0f} lb"


def _asks(held: HeldJob) -> list[Part]:
    """What stops: questions to the building department, conditions for an engineer, findings."""
    plan = held.plan
    missing = (*held.holding.missing, *(plan.missing if plan else ()))
    engineer = (*held.holding.engineer, *(plan.engineer if plan else ()))
    blocks: list[Block] = []
    if engineer:
        whys = tuple(dict.fromkeys(e.why for e in engineer))
        blocks.append(Box("Ask a licensed engineer", whys))
    if missing:
        asks = tuple(dict.fromkeys(f"{m.what} of {m.about}: {m.ask}" for m in missing))
        blocks.append(Box("These checks are stopped until somebody says", asks))
    found = _grouped(held)
    if found:
        blocks.append(Box("Take care", found))
    return [Part("Before anything is lifted", tuple(blocks))] if blocks else []


def _grouped(held: HeldJob) -> tuple[str, ...]:
    """Findings, members of one stage together."""
    names = {s.stage.id: s for s in held.holding.stages}
    found = []
    for stage in names.values():
        where = f"stage {stage.stage.id} ({stage.stage.title})"
        if stage.loose:
            found.append(
                f"Nothing holds up {_names(stage.loose)} at {where}: no load path to the ground."
            )
        flies = [n for n in stage.flies if n not in stage.loose]
        if flies:
            found.append(
                f"Nothing holds down {_names(flies)} when the wind lifts at {where}: work on a "
                "calm day, or tie it down before it is left."
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


def _temporary(plan: ShorePlan) -> Part:
    """Posts, header, sills, jacks, braces."""
    columns = (
        Column("post", share=1.2), Column("along the line", numeric=True),
        Column("stock", share=1.3), Column("cut to", numeric=True),
        Column("most load", numeric=True), Column("jack of at least", numeric=True),
        Column("on", share=2.4),
    )  # fmt: skip
    rows = tuple(
        (
            p.id, tape(p.along_in), describe(p.stock), tape(p.length_in), f"{p.load_lb:,.0f} lb",
            f"{p.jack_need_lb:,.0f} lb", p.sill.words if p.sill else p.ground.kind.value,
        )
        for p in plan.posts
    )  # fmt: skip
    braces = tuple(
        f"{b.count} braces {b.direction} the header, {describe(b.stock)}, {tape(b.length_in)} "
        f"long, {b.nails_each_end} {b.nail} nails at each end."
        for b in plan.braces
    )
    header = f"Header {describe(plan.header)}, {tape(plan.header_length_in)} long."
    others = tuple(
        f"Next best: {describe(c.header)} on posts at "
        f"{', '.join(tape(v) for v in c.posts_in)} along {c.line!r}."
        for c in plan.others
    )
    blocks: tuple[Block, ...] = (Grid(columns, rows), Items((header, *braces, *others)))
    return Part("Temporary support", blocks)


def _steps(plan: ShorePlan) -> Part:
    """Order, marks, when to stop."""
    return Part(
        "Order of the work",
        (
            Items(tuple(s.text for s in plan.steps), numbered=True),
            Box("Stop when", plan.stops),
            Words("Marks to read before, during and after", strong=True),
            Items(plan.marks),
        ),
    )


def _stage_blocks(held: HeldJob, drawn: tuple[Drawn, ...]) -> Iterable[Block]:
    """The drawing of each stage with what is done, and the loads."""
    for stage, picture in zip(held.holding.stages, drawn, strict=True):
        yield picture
        if stage.stage.frees:
            yield Words(f"Loosened here: {_names(stage.stage.frees)}.")
        yield _load_grid(stage)


def _load_grid(stage: StageResult) -> Grid:
    """Loads on supports and on joints of beams with posts, in pounds."""
    rows = []
    for link in stage.supports:
        dead, most, pull = push_of(stage, link.id)
        rows.append((link.id, link.member, f"{dead:,.0f}", f"{most:,.0f}", f"{min(pull, 0.0):,.0f}"))
    columns = (
        Column("support", share=1.6), Column("carries", share=1.4), Column("dead", numeric=True),
        Column("most", numeric=True), Column("pull", numeric=True),
    )  # fmt: skip
    return Grid(columns, tuple(rows), note="Pounds.")


def _members(held: HeldJob) -> Part:
    """The worst check of each member and joint that is left, and whether it holds."""
    last = held.holding.stages[-1]
    worst: dict[str, tuple[float, str, str]] = {}
    for c in held.holding.checks:
        if c.stage not in ("", last.stage.id):
            continue
        if c.about not in worst or c.ratio > worst[c.about][0]:
            worst[c.about] = (c.ratio, c.what, c.verdict.value)
    rows = tuple(
        (name, what, "no capacity" if ratio == float("inf") else f"{100 * ratio:.0f} %", says)
        for name, (ratio, what, says) in worst.items()
    )
    columns = (
        Column("member or joint", share=2.0), Column("worst check", share=2.0),
        Column("of its limit", numeric=True), Column("it", share=1.2),
    )  # fmt: skip
    return Part("When the work is done", (Grid(columns, rows),))


def _uplift(held: HeldJob) -> Part:
    """The way of the uplift from roof to ground."""
    blocks: list[Block] = []
    for path in held.holding.uplift:
        blocks.append(Words(f"{path.combination}: {path.words}"))
        rows = tuple(
            (x.link, x.from_member, x.to, f"{x.pull_lb:,.0f} lb",
             "nobody knows" if x.holds_lb is None else f"{number(x.holds_lb)} lb")
            for x in path.links
        )  # fmt: skip
        if rows:
            columns = (
                Column("link", share=2.0), Column("from", share=1.3), Column("to", share=1.3),
                Column("pulls", numeric=True), Column("holds", numeric=True),
            )  # fmt: skip
            blocks.append(Grid(columns, rows))
    if not blocks:
        blocks.append(Words("No wind was asked for, so no uplift was followed."))
    return Part("The way of the uplift, roof to ground", tuple(blocks))


def _lengths(cuts: tuple[Cut, ...]) -> Part:
    """Lengths to cut and shims."""
    columns = (
        Column("what", share=1.2), Column("kind"), Column("cut or set", share=3.2),
        Column("note", share=2.0),
    )  # fmt: skip
    rows = tuple((c.id, c.what, c.words, c.note) for c in cuts)
    return Part("Lengths to cut", (Grid(columns, rows),))


def _cautions(held: HeldJob) -> tuple[Caution, ...]:
    """Every caution once, each with its rule."""
    every = (*(held.plan.cautions if held.plan else ()), *held.holding.cautions)
    return tuple(
        Caution(c.about or "Holding up", c.text, c.source)
        for c in {c.text: c for c in every}.values()
    )
