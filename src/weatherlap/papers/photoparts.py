"""The photos of a job on its close-out book: small and in order, then the list with hashes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from weatherlap.drawings.photorow import IN_A_ROW, Shot, photo_row
from weatherlap.job.moneyrecords import PhotoRecord
from weatherlap.papers.leaf import Column, Drawn, Grid, Part
from weatherlap.papers.ownpictures import picture_of
from weatherlap.run.closing import CloseOut

SHORT_HASH = 12
ROW_WIDE_IN = 6.9
NOTE = "The hash shows whether a file is still the picture that was taken."


def photo_parts(done: CloseOut, own: Mapping[str, str]) -> Iterator[Part]:
    """The pictures that are at hand, step by step, and the list of all photos."""
    if not done.photos:
        return
    rows = tuple(_rows(done))
    drawn = tuple(_drawn(rows, done, own))
    missing = sum(picture_of(own, photo.sha256) is None for _, _, photo in rows)
    if drawn:
        yield Part("Photos", drawn, new_page=True)
    note = NOTE
    if missing:
        noun = "picture is" if missing == 1 else "pictures are"
        note += f" {missing} {noun} not at hand or changed since: kept in the list only."
    yield Part("List of photos", (_grid(rows),), note=note)


Row = tuple[int, str, PhotoRecord]


def _rows(done: CloseOut) -> Iterator[Row]:
    number = 0
    for step, photos in done.photos:
        for photo in photos:
            number += 1
            yield number, step, photo


def _drawn(rows: Sequence[Row], done: CloseOut, own: Mapping[str, str]) -> Iterator[Drawn]:
    titles = {s.task: f"Step {s.number}: {s.text}" for s in done.scope.steps}
    for step, photos in done.photos:
        shots = [
            Shot(n, jpeg, _words(p))
            for n, s, p in rows
            if s == step and p in photos and (jpeg := picture_of(own, p.sha256)) is not None
        ]
        for first in range(0, len(shots), IN_A_ROW):
            name = f"photos-{shots[first].number}"
            title = "" if first else titles.get(step, step or "No step named")
            svg = photo_row(name, shots[first : first + IN_A_ROW])
            yield Drawn(name, title, svg, width_in=ROW_WIDE_IN)


def _words(photo: PhotoRecord) -> str:
    toward = "" if photo.toward is None else f"toward {photo.toward:.0f}°"
    facts = [photo.text, f"face {photo.face}" if photo.face else "", photo.taken, toward]
    return "; ".join(f for f in facts if f) or photo.file


def _grid(rows: Sequence[Row]) -> Grid:
    texts = tuple(
        (
            str(number),
            step or "no step",
            p.file,
            p.face or "–",
            p.taken or "–",
            "–" if p.toward is None else f"{p.toward:.0f}°",
            p.text,
            p.sha256[:SHORT_HASH],
        )
        for number, step, p in rows
    )
    columns = (
        Column("", numeric=True), Column("Step", share=1.4), Column("File", share=1.6),
        Column("Face"), Column("Taken", share=1.2), Column("Toward", numeric=True),
        Column("Shows", share=2.0), Column("Hash", share=1.3),
    )  # fmt: skip
    return Grid(columns, texts)
