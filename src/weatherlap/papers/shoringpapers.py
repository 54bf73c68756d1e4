"""The shoring sheet and the calculation appendix of a job."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from weatherlap.drawings.jointsketches import Sketch, joint_sketches
from weatherlap.drawings.memberlines import KINDS, lines_drawing
from weatherlap.drawings.stages import StageShow, push_of, stage_drawing
from weatherlap.errors import InputError, JobError, NoSolution
from weatherlap.job.model import Job
from weatherlap.papers.binder import Bound
from weatherlap.papers.cautions import Caution
from weatherlap.papers.leaf import Block, Box, Column, Drawn, Grid, Items, Leaf, Part, Words
from weatherlap.papers.shoringlead import asks_of, lead_of, tie_part
from weatherlap.papers.shoringsums import appendix
from weatherlap.papers.shoringtrouble import KIND, trouble
from weatherlap.run.families import Worst, family, phase_of, worst_of_each
from weatherlap.run.framingdrawn import drawable_members
from weatherlap.run.holdingup import HeldJob, hold_job
from weatherlap.run.lengthscut import Cut, cuts_of
from weatherlap.run.shoringtables import shoring_table
from weatherlap.structure.lumber import describe
from weatherlap.structure.results import number
from weatherlap.structure.shore_model import ShorePlan
from weatherlap.structure.uplift import UpliftLink
from weatherlap.units import tape

STAGE_WIDE_IN = 5.5
LINES_WIDE_IN = 4.9


def bind(job: Job, *, own: Mapping[str, str], on_the_way: Callable[[str], None]) -> Bound:
    """The papers of what holds the corner up; one that shows where it is wrong, if it is."""
    del own
    try:
        held = hold_job(job, on_the_way=on_the_way)
        cuts = cuts_of(job, held.surveyed)
    except JobError:
        raise
    except (InputError, NoSolution) as error:
        return trouble(job.job, drawable_members(job), str(error))
    on_the_way("Drawing the stages")
    drawn = stage_drawings(held)
    leaves = (_sheet(held, cuts, drawn), appendix(held, cuts, _line_drawings(held)))
    files = {f"{d.name}.svg": d.svg.encode("utf-8") for leaf in leaves for d in leaf.drawings()}
    return Bound(leaves, shoring_table(held, cuts), files)


def stage_drawings(held: HeldJob) -> tuple[Drawn, ...]:
    """A drawing of each stage."""
    new = frozenset(held.surveyed.puts_in)
    rows = frozenset(n for row in held.surveyed.rows.values() if len(row) > 3 for n in row)
    plans = held.plan.braces if held.plan is not None else ()
    braces = sum(b.count for b in plans if b.direction == "along")
    found = []
    for stage in held.holding.stages:
        show = StageShow(
            frozenset(stage.stage.takes_out), new,
            frozenset(f.about for f in held.holding.findings if f.stage == stage.stage.id)
            & frozenset(stage.loose),
            rows, braces,
        )  # fmt: skip
        svg = stage_drawing(held.holding.framing, stage, show=show)
        title = f"Stage {stage.stage.id}: {stage.stage.title}"
        found.append(Drawn(f"shoring-stage-{stage.stage.id}", title, svg, STAGE_WIDE_IN))
    return tuple(found)


def _line_drawings(held: HeldJob) -> tuple[Drawn, ...]:
    """Moment, shear and deflection of each lying member where it is worst; a row by its worst."""
    worst: dict[str, tuple[float, str]] = {}
    for c in held.holding.checks:
        if c.what in KINDS:
            row = family(c.about, held.surveyed.rows)
            worst[row] = max(worst.get(row, (0.0, c.about)), (c.ratio, c.about))
    found = []
    for _, name in worst.values():
        svg = lines_drawing(held.holding, held.holding.framing.member(name))
        if svg:
            title = f"Moment, shear and deflection of {name}"
            found.append(Drawn(f"lines-{name}", title, svg, LINES_WIDE_IN))
    return tuple(found)


def _sketches(held: HeldJob) -> Drawn | None:
    """Sketches of the joints and supports that stand at the end, one of each row."""
    last = held.holding.stages[-1]
    made = {f.link: f for f in held.survey.fastenings}
    found: dict[str, Sketch] = {}
    for link in last.links:
        name = family(link.id, held.surveyed.rows)
        own = [c for c in held.holding.checks if c.about == link.id and c.stage == last.stage.id]
        if name in found:
            continue
        worst = max(own, key=lambda c: c.ratio, default=None)
        says = "" if worst is None else f"{worst.what}: {100 * worst.ratio:.0f} %"
        stand = held.surveyed.support_of.get(link.id)
        found[name] = Sketch(name, link, made.get(link.id), says, stand.on if stand else "")
    if not found:
        return None
    svg = joint_sketches(held.holding.framing, tuple(found.values()))
    return Drawn("shoring-joints", "Joints and supports", svg, LINES_WIDE_IN)


def _sheet(held: HeldJob, cuts: tuple[Cut, ...], drawn: tuple[Drawn, ...]) -> Leaf:
    """The sheet that the crew works from."""
    parts = [*asks_of(held)]
    if held.plan is not None:
        parts.append(_temporary(held.plan))
        if held.plan.ties is not None:
            parts.append(tie_part(held.plan.ties, held.plan))
        if not held.falls:
            parts.append(_steps(held.plan))
    parts += [Part("The stages", tuple(_stage_blocks(held, drawn)), note=_STAGE_NOTE)]
    if held.caps:
        parts.append(_caps(held))
    if not held.falls:
        parts += [_members(held), _uplift(held)]
    if cuts:
        parts.append(_lengths(cuts))
    return Leaf(
        "shoring", KIND, held.job.job.title, held.job.job, lead_of(held), tuple(parts),
        _cautions(held), sources=("S-061", "S-064"),
    )  # fmt: skip


_STAGE_NOTE = (
    "Figures at supports are pounds: the most that any combination of loads puts there, and after "
    "the stroke the most pull of the wind. Heavy broken lines are temporary, light ones braces, "
    "dotted ones gone, shaded ones new; red is rot."
)


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
    """The drawing of each stage with what is done, and the loads of all stages."""
    for stage, picture in zip(held.holding.stages, drawn, strict=True):
        yield picture
        if stage.stage.frees:
            loosened = dict.fromkeys(family(n, held.surveyed.rows) for n in stage.stage.frees)
            yield Words(f"Loose at this stage: {', '.join(loosened)}.")
    yield _load_grid(held)


def _load_grid(held: HeldJob) -> Grid:
    """Most load on each support at each stage; of a row the one that carries most."""
    table: dict[str, dict[str, tuple[float, float, float]]] = {}
    for stage in held.holding.stages:
        for link in stage.supports:
            row = table.setdefault(family(link.id, held.surveyed.rows), {})
            new = push_of(stage, link.id)
            row[stage.stage.id] = max(row.get(stage.stage.id, new), new, key=lambda p: p[1])
    ids = [s.stage.id for s in held.holding.stages]
    columns = (Column("support", share=1.7), *(Column(f"stage {k}", numeric=True) for k in ids))
    rows = tuple((name, *(_load_words(row.get(k)) for k in ids)) for name, row in table.items())
    note = (
        "Pounds: under dead load alone, the most under any combination, and the pull of the wind."
    )
    return Grid(columns, rows, note=note)


def _load_words(push: tuple[float, float, float] | None) -> str:
    """Dead, most and pull of a support."""
    if push is None:
        return ""
    dead, most, pull = push
    tail = f", {pull:,.0f}" if pull < -1.0 else ""
    return f"{dead:,.0f} to {most:,.0f}{tail}"


def _members(held: HeldJob) -> Part:
    """The worst check of each member and joint that is left, tables and lighter stock beside it."""
    hardest: dict[str, Worst] = {}
    for worst in worst_of_each(held, held.holding.checks):
        if worst.phase is phase_of(held, held.holding.stages[-1].stage.id):
            name = family(worst.check.about, held.surveyed.rows)
            if name not in hardest or worst.check.ratio > hardest[name].check.ratio:
                hardest[name] = worst
    rows = tuple((name, *_worst_words(worst)) for name, worst in hardest.items())
    columns = (
        Column("member or joint", share=2.0), Column("worst check", share=2.0),
        Column("of its limit", numeric=True), Column("it", share=1.2),
    )  # fmt: skip
    beside = (*(b.sentence for b in held.beside), *held.notes, *(p.words for p in held.picks))
    blocks: tuple[Block, ...] = (Grid(columns, rows),)
    if beside:
        blocks = (*blocks, Items(beside))
    sketch = _sketches(held)
    head = "As found" if len(held.holding.stages) == 1 else "When the work is done"
    return Part(head, (*blocks, sketch) if sketch else blocks)


def _worst_words(worst: Worst) -> tuple[str, str, str]:
    """The check, its share of the limit, whether it holds."""
    c = worst.check
    share = "no capacity" if c.ratio == float("inf") else f"{100 * c.ratio:.0f} %"
    return c.what, share, c.verdict.value


def _uplift(held: HeldJob) -> Part:
    """The way of the uplift from roof to ground."""
    blocks: list[Block] = []
    for path in held.holding.uplift:
        blocks.append(Words(f"{path.combination}: {path.words}"))
        worst: dict[str, UpliftLink] = {}
        for x in path.links:
            name = family(x.link, held.surveyed.rows)
            if name not in worst or x.ratio > worst[name].ratio:
                worst[name] = x
        rows = tuple(
            (name, family(x.from_member, held.surveyed.rows), x.to, f"{x.pull_lb:,.0f} lb",
             "nobody knows" if x.holds_lb is None else f"{number(x.holds_lb)} lb")
            for name, x in worst.items()
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


def _caps(held: HeldJob) -> Part:
    """Lift needed to get a post out of its cap against lift available."""
    items = tuple(
        f"{lift.check.sentence} Taking the load off needs {tape(lift.unloads_in, sixteenths=32)}, "
        f"clearing the cap {tape(lift.clears_in)}."
        + ("" if lift.check.holds else " Cut the post or take the cap off instead of lifting more.")
        for lift in held.caps
    )
    return Part("Posts that stand in a cap or on a pin", (Items(items),))


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
