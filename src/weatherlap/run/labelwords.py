"""What the label of each piece that goes back says."""

from __future__ import annotations

from dataclasses import dataclass

from weatherlap.building.corner import Corner
from weatherlap.errors import InputError
from weatherlap.order.aims import Fate
from weatherlap.order.putback import Laying
from weatherlap.order.takedown import Removal, main_face
from weatherlap.run.ordering import Ordered
from weatherlap.run.ordertold import after_words
from weatherlap.run.places import capital
from weatherlap.units import tape


@dataclass(frozen=True, slots=True)
class Label:
    """A piece's label; ``carried`` is the text in its code."""

    number: int
    title: str
    run: str
    face: str
    edge: str
    carried: str


def labels(ordered: Ordered) -> tuple[Label, ...]:
    """A label for each piece that comes off and goes back.

    Raises
    ------
    InputError
        If nothing that comes off goes back.
    """
    down = ordered.down
    rows = [r for r in down.removals if r.piece in down.off and r.fate is not Fate.SCRAPPED]
    if not rows:
        raise InputError(
            "labels",
            "nothing that comes off goes back",
            "a job in which pieces are put back",
            "New pieces need no label.",
        )
    laid = {ordered.repaired.pieces[s.piece].id: s for s in ordered.back.layings}
    found = ordered.found
    return tuple(_label(ordered, r, laid.get(found.pieces[r.piece].id)) for r in rows)


def _label(ordered: Ordered, row: Removal, laying: Laying | None) -> Label:
    found = ordered.found
    piece = found.pieces[row.piece]
    run = f"number {row.place_in_run} of the {piece.record.run}" if row.place_in_run else ""
    face = _face_words(found, row.piece)
    edge = "Stick it on the back, along the top edge at the left end."
    back = ""
    if laying is not None:
        back = f"Goes back as step {laying.number}{after_words(ordered, laying)}."
    lines = [
        ordered.job.job.title,
        f"{row.number}: {capital(piece.title)}",
        capital(run),
        face,
        f"{capital(row.fate.value)}.",
        back,
    ]
    return Label(row.number, capital(piece.title), run, face, edge, "\n".join(filter(None, lines)))


def _face_words(corner: Corner, piece: int) -> str:
    """The face a piece lies on, and where its lower left corner is."""
    face = main_face(corner, piece)
    if face < 0:
        return "Hangs free."
    side = corner.faces[face]
    own = [corner.panels[p].polygon.bounds for p in corner.pieces[piece].panels
           if corner.panels[p].face == face]  # fmt: skip
    left, foot, _, _ = side.outline.bounds
    u = tape(min(b[0] for b in own) - left)
    v = tape(min(b[1] for b in own) - foot)
    return f"{capital(side.title)}: left edge {u} right, foot {v} up."
