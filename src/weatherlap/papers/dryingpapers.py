"""The papers of drying: answers first, then each spot with its plots and layers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from weatherlap.drawings.dryplots import moisture_plot, mould_plot, open_plot, profile_plot
from weatherlap.drying.model import Layer
from weatherlap.drying.wood import wetness
from weatherlap.errors import InputError, JobError, NoSolution
from weatherlap.job.model import Job
from weatherlap.papers.binder import Bound
from weatherlap.papers.cautions import Caution
from weatherlap.papers.leaf import Block, Column, Drawn, Grid, Items, Leaf, Part, Words
from weatherlap.papers.pictures import Picture
from weatherlap.run.alike import Question
from weatherlap.run.dryingout import Drying, Read, SpotDried, StateYear, Tell, drying_of
from weatherlap.run.dryingtables import drying_table
from weatherlap.run.dryingtold import (
    answers,
    band_texts,
    days_text,
    layer_name,
    reading_text,
    spot_texts,
    states_of,
)
from weatherlap.run.dryweather import WEATHER, weather_text
from weatherlap.run.once import once
from weatherlap.run.places import capital

KEY = "drying"
MOST_KEPT = 2
PLOT_WIDE_IN = 4.9
"""How wide a plot stands on paper, so that two and a table go on a sheet. [in]"""
_HEADS = {"D-037": "Heaters", "D-038": "Mould"}
METHOD = (
    "One-dimensional heat and moisture through the layers at the spot, hour by hour: vapour, "
    "liquid, storage, latent heat, sun and sky, and an air gap where a cladding stands off. What "
    "the trace of the rain soaks at the spot is let in as the rain drives onto the face. It says "
    "nothing about air leaking through the wall. The meter decides on the site."
)


def bind(job: Job, *, own: Mapping[str, str], on_the_way: Callable[[str], None]) -> Bound:
    """The papers of drying, worked out from the job.

    Raises
    ------
    InputError
        If the weather or a spot cannot be used.
    """

    def tell(what: str, done: int, total: int) -> None:
        on_the_way(f"Drying: {what} ({done} of {total})")

    return bound_drying(_worked_out(_Asked.of(job, own, tell)))


@dataclass(frozen=True, slots=True)
class _Asked:
    """A question, and who is told how far its answer is."""

    question: Question
    tell: Tell = field(compare=False)

    @classmethod
    def of(cls, job: Job, own: Mapping[str, str], tell: Tell) -> _Asked:
        """What is asked of a job's drying, which goes by no table but the weather."""
        return cls(Question.of(job, {k: t for k, t in own.items() if k == WEATHER}), tell)


@once(MOST_KEPT)
def _worked_out(asked: _Asked) -> Drying:
    """The drying of a job; several papers of a packet show it."""
    question = asked.question
    return drying_of(question.job, weather=weather_text(question.own), tell=asked.tell)


def moisture_pictures(job: Job, own: Mapping[str, str]) -> tuple[Picture, ...]:
    """The moisture of each spot through the year, for other papers of the job.

    None where the job asks nothing about drying, or it cannot be worked out: its own paper says
    why.
    """
    if job.climate is None or not job.dry:
        return ()
    try:
        drying = _worked_out(_Asked.of(job, own, lambda *_: None))
    except (InputError, JobError, NoSolution):
        return ()
    return tuple(
        Picture(
            f"dry-{s.spot.id}-moisture",
            f"Moisture through the year: {s.spot.title or s.spot.id}",
            moisture_plot(drying, s),
        )
        for s in drying.spots
    )


def bound_drying(drying: Drying) -> Bound:
    """The papers of a drying run that was already made."""
    leaf = drying_leaf(drying)
    files = {f"{d.name}.svg": d.svg.encode("utf-8") for d in leaf.drawings()}
    return Bound((leaf,), drying_table(drying), files)


def drying_leaf(drying: Drying) -> Leaf:
    """Everything about drying on one paper."""
    parts = [_spot_part(drying, dried) for dried in drying.spots]
    if drying.read:
        parts.append(_readings_part(drying.read))
    parts.append(_weather_part(drying))
    return Leaf(
        name=KEY,
        kind="Drying",
        job_title=drying.job.job.title,
        about=drying.job.job,
        lead=answers(drying),
        parts=tuple(parts),
        cautions=_cautions(drying),
        sources=drying.source_keys,
    )


def _spot_part(drying: Drying, dried: SpotDried) -> Part:
    """One spot: what was looked at, the plots, the layers."""
    blocks: list[Block] = []
    if dried.opened:
        blocks.append(_open_grid(dried))
    for number, opened in enumerate(dried.opened, start=1):
        name = f"dry-{dried.spot.id}-open-{number}"
        blocks.append(Drawn(name, "", open_plot(dried, opened), width_in=PLOT_WIDE_IN))
    blocks.append(_wood_grid(dried))
    blocks.append(Items(spot_texts(dried)))
    if bands := band_texts(dried):
        blocks.append(Items(bands))
    plots = (
        ("moisture", moisture_plot(drying, dried)),
        ("profile", profile_plot(dried)),
        ("mould", mould_plot(drying, dried)),
    )
    blocks += [
        Drawn(f"dry-{dried.spot.id}-{name}", "", svg, width_in=PLOT_WIDE_IN) for name, svg in plots
    ]
    blocks.append(_layers_grid(dried.found, "As found"))
    if dried.repaired is not None and dried.repaired.spotted.wall.layers != _layers(dried.found):
        blocks.append(_layers_grid(dried.repaired, "As repaired"))
    return Part(
        head=capital(dried.spot.title or dried.spot.id),
        blocks=tuple(blocks),
        note=f"At {dried.place}. Behind it: {dried.spot.inside}.",
        new_page=True,
    )


def _layers(state: StateYear) -> tuple[Layer, ...]:
    return state.spotted.wall.layers


def _open_grid(dried: SpotDried) -> Grid:
    rows = tuple(
        (
            opened.record.title,
            time.aid.value,
            f"{opened.meter.moisture_pct:.0f}",
            days_text(time.days_to_close_in),
            days_text(time.days_to_dry),
        )
        for opened in dried.opened
        for time in opened.times
    )
    columns = (
        Column("Laid bare", share=2.0), Column("Helped by", share=1.4),
        Column("Begins at, %", numeric=True), Column("To 19 %", share=1.6),
        Column("To 16 %", share=1.6),
    )  # fmt: skip
    return Grid(columns, rows, note="Across the grain only; ends dry faster. Sheltered from rain.")


def _wood_grid(dried: SpotDried) -> Grid:
    rows = tuple(
        (
            name,
            layer_name(state, layer.layer_id),
            f"{layer.most_pct:.0f}",
            f"{layer.wet_hours / 24.0:.0f}",
            f"{layer.worst_mould:.1f}",
            f"{layer.rot.new_rot_h / 24.0:.0f}",
        )
        for state, name in states_of(dried)
        for layer in state.year.layers
    )
    columns = (
        Column("State", share=1.4), Column("Wood", share=2.0), Column("Wettest, %", numeric=True),
        Column("Days over 19 %", numeric=True), Column("Mould, 0 to 6", numeric=True),
        Column("Days to rot in", numeric=True),
    )  # fmt: skip
    note = "Days to rot in: at 26 % or more and between 50 and 95 F."
    return Grid(columns, rows, note=note)


def _layers_grid(state: StateYear, name: str) -> Grid:
    rows = tuple(
        (
            layer_name(state, x.id),
            x.material,
            f"{x.thickness_m / 0.0254:.3g}",
            f"{x.air_changes_per_h:g}" if x.material == "air" else "",
            "" if x.start_pct is None else f"{x.start_pct:.0f}",
        )
        for x in state.spotted.wall.layers
    )
    columns = (
        Column(f"{name}, outside to inside", share=2.4), Column("Taken as", share=1.5),
        Column("Thick, in", numeric=True), Column("Air changes an hour", numeric=True),
        Column("Begins at, %", numeric=True),
    )  # fmt: skip
    return Grid(columns, rows)


def _readings_part(read: tuple[Read, ...]) -> Part:
    rows = tuple(
        (
            r.piece,
            r.place,
            f"{r.reading.percent:g}",
            f"{1.8 * r.celsius + 32:.0f}",
            reading_text(r),
            wetness(r.meter.moisture_pct).value,
        )
        for r in read
    )
    columns = (
        Column("Wood", share=1.4), Column("Where", share=3.0), Column("Read, %", numeric=True),
        Column("Wood at, F", numeric=True), Column("Means", share=1.8), Column("So", share=1.2),
    )  # fmt: skip
    note = (
        "Corrected for the temperature of the wood (the month's mean where it was not measured), "
        "and for its species where the job names one; the meter's own table goes first."
    )
    return Part("What the meter read", (Grid(columns, rows, note=note),))


def _weather_part(drying: Drying) -> Part:
    climate = drying.climate
    blocks: list[Block] = [Words(METHOD)]
    if climate.repairs:
        blocks.append(Items(tuple(capital(r) + "." for r in climate.repairs)))
    rain = climate.yearly_rain_mm / 25.4
    note = f"Weather of {climate.place}: {rain:.0f} in of rain a year."
    return Part("How it was worked out", tuple(blocks), note=note)


def _cautions(drying: Drying) -> tuple[Caution, ...]:
    """The cautions of the engine, each once."""
    found = [c for s in drying.spots for o in s.opened for t in o.times for c in t.cautions]
    for dried in drying.spots:
        found += [c for state, _ in states_of(dried) for c in state.year.cautions]
    rows = [Caution(_HEADS.get(c.source, "Drying"), c.text, c.source) for c in found]
    return tuple(dict.fromkeys(rows))
