"""The close-out book: found, why, done with sections and photos, what to look at, until when."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from weatherlap.drawings.section import section
from weatherlap.drawings.shown import show
from weatherlap.job.model import CutLine, Do, Job
from weatherlap.money.changeorders import Answer
from weatherlap.order.takedown import main_face
from weatherlap.papers.binder import Bound
from weatherlap.papers.changeorderpapers import order_words
from weatherlap.papers.firmhead import firm_of
from weatherlap.papers.leaf import Box, Column, Drawn, Firm, Grid, Items, Leaf, Part
from weatherlap.papers.photoparts import photo_parts
from weatherlap.papers.promised import scope_for
from weatherlap.papers.reminderfile import reminders_ics
from weatherlap.papers.scopepapers import filled
from weatherlap.run.changeorder import orders_of
from weatherlap.run.closing import CloseOut, close_out
from weatherlap.run.places import capital, over, place_words
from weatherlap.run.scopetables import close_table
from weatherlap.run.states import State
from weatherlap.run.worked import Worked

MOST_SECTIONS = 3


def bind(job: Job, *, own: Mapping[str, str], on_the_way: Callable[[str], None]) -> Bound:
    """The close-out book and its reminders.

    Raises
    ------
    InputError, JobError, NoSolution
        If the job cannot be closed.
    """
    on_the_way("Closing out")
    done = close_out(scope_for(job, own))
    leaf = close_leaf(done, firm_of(own), plots=_plots(job, own), own=own)
    files = {"reminders.ics": reminders_ics(job.job.title, done.reminders)}
    files |= {
        f"{d.name}.svg": d.svg.encode("utf-8") for d in leaf.drawings() if d.name in _cuts(done)
    }
    return Bound((leaf,), close_table(done), files)


def _plots(job: Job, own: Mapping[str, str]) -> tuple[Drawn, ...]:
    """How wet the wood is through the year, where the job asks; loaded only then."""
    if job.climate is None or not job.dry:
        return ()
    from weatherlap.papers.dryingpapers import PLOT_WIDE_IN, moisture_pictures

    rows = moisture_pictures(job, own)
    return tuple(Drawn(f"closed-{p.name}", "", p.svg, width_in=PLOT_WIDE_IN) for p in rows)


def close_leaf(
    done: CloseOut,
    firm: Firm | None,
    *,
    plots: tuple[Drawn, ...] = (),
    own: Mapping[str, str] | None = None,
) -> Leaf:
    """The close-out book.

    Parameters
    ----------
    plots : tuple of Drawn
        How wet the wood is through the year.
    own : mapping or None
        Holds the small pictures of the photos.
    """
    said = done.scope.words.said("warranty", filled(done.scope, firm))
    return Leaf(
        name="close-out",
        kind="Close-out book",
        job_title=done.job.job.title,
        about=done.job.job,
        lead=(
            _water_words(done),
            f"The warranty runs from {done.ended.isoformat()} until "
            f"{done.warranty_until.isoformat()}. {said}",
        ),
        parts=tuple(_parts(done, plots, own or {})),
        sources=("E-015", "E-016"),
        firm=firm,
    )


def _water_words(done: CloseOut) -> str:
    if done.repaired.trace.clean:
        return "As repaired, all rain of both layers ends clear or in a gutter, as drawn here."
    count = len(done.repaired.trace.findings)
    noun = "place lets" if count == 1 else "places let"
    return f"As repaired, {count} {noun} water in still: see what was left."


def _parts(done: CloseOut, plots: tuple[Drawn, ...], own: Mapping[str, str]) -> Iterator[Part]:
    if done.undone:
        yield Part("Before it is closed", (Box("Not settled yet", done.undone),))
    found = tuple(
        f"{t.finding.letter}. {t.title}, at {t.place}. {t.reaches}".strip() for t in done.told
    )
    why = Items(found or ("Nothing lets water in as drawn.",))
    seen = tuple(f"{capital(d.text.rstrip('.'))}." for d in done.job.damage)
    blocks = (why, *((Items(seen),) if seen else ()))
    yield Part("What was found, and why", blocks, note=done.job.job.symptom)
    yield Part("What was done", (Items(tuple(x.text for x in done.scope.lines)),))
    left = [f.text for f in done.scope.findings if not f.is_cured]
    if left:
        yield Part("What was left", (Items(tuple(left)),))
    if done.job.state:
        yield _orders_part(done)
    yield from _layers(done.repaired)
    if plots:
        yield Part("How wet the wood is through the year", plots)
    yield Part(
        "Layer by layer",
        (_covered_layers(done),),
        note="What is covered now, so that nobody has to open it to know.",
    )
    yield from photo_parts(done, own)
    yield Part("What to look at after a storm", (Items(done.look_at),))
    dates = tuple((r.day.isoformat(), r.title) for r in done.reminders)
    yield Part("Days to remember", (Grid((Column("Day"), Column("What", share=3.0)), dates),))


def _orders_part(done: CloseOut) -> Part:
    rows = orders_of(done.scope).ledger.orders
    texts = tuple(
        f"{order_words(r)}{f' {r.consequence}' if r.answer is Answer.DECLINED else ''}"
        for r in rows
    )
    return Part("Change orders", (Items(texts or ("There were none.",)),))


def _cuts(done: CloseOut) -> set[str]:
    """Names of the sections through the repaired corner."""
    return {f"closed-{cut.id}" for cut in done.repaired.job.cut}


def _layers(repaired: Worked) -> Iterator[Part]:
    """Sections through the repaired corner."""
    cuts: tuple[CutLine, ...] = repaired.job.cut[:MOST_SECTIONS]
    if not cuts:
        return
    title = f"{repaired.job.job.title}, {State.REPAIRED.words}"
    shown = show(title, repaired.corner, trace=repaired.trace, readings=(), damages=(), cuts=cuts)
    drawn = tuple(
        Drawn(f"closed-{c.id}", c.title or f"section {c.id}", section(shown, c)) for c in cuts
    )
    yield Part("As it is now", drawn, new_page=True)


def _covered_layers(done: CloseOut) -> Grid:
    """What lies over and under each new or changed piece, from the inside out."""
    corner = done.repaired.corner
    named = {c.subject for c in done.job.change if c.do is not Do.REUSE}
    rows = []
    for piece in corner.pieces:
        face = main_face(corner, piece.index)
        if piece.id not in named or face < 0:
            continue
        own = [corner.panels[p] for p in piece.panels if corner.panels[p].face == face]
        middle = max(own, key=lambda p: p.polygon.area).polygon.representative_point()
        at = (middle.x, middle.y)
        layers = [corner.pieces[p].title for p in over(corner, face=face, at=at, piece=None)]
        where = place_words(corner, face=face, at=at)
        rows.append((capital(piece.title), where, " | ".join(reversed(layers))))
    columns = (
        Column("At the", share=1.5), Column("By tape", share=2.2),
        Column("From the inside out", share=3.5),
    )  # fmt: skip
    return Grid(columns, tuple(rows))
