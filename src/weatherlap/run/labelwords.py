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
    """A piece's label; ``carried`` is what its code holds: its words, or the way to its page."""

    number: int
    title: str
    run: str
    face: str
    back: str
    edge: str
    carried: str


def labels(ordered: Ordered, *, link: str = "") -> tuple[Label, ...]:
    """A label for each piece that comes off and goes back.

    Parameters
    ----------
    link : str
        Address of the job's page in the web app; the codes then open the pieces' pages there.

    Raises
    ------
    InputError
        If nothing that comes off goes back.
    """
    rows = goes_back(ordered)
    if not rows:
        raise InputError(
            "labels",
            "nothing that comes off goes back",
            "a job in which pieces are put back",
            "New pieces need no label.",
        )
    laid = {ordered.repaired.pieces[s.piece].id: s for s in ordered.back.layings}
    found = ordered.found
    return tuple(_label(ordered, r, laid.get(found.pieces[r.piece].id), link) for r in rows)


def goes_back(ordered: Ordered) -> list[Removal]:
    """What comes off and goes back, in the order of coming off."""
    down = ordered.down
    return [r for r in down.removals if r.piece in down.off and r.fate is not Fate.SCRAPPED]


def piece_page(link: str, piece: str) -> str:
    """The address at which a job's page opens with a piece in hand."""
    return f"{link.rstrip('/')}?piece={piece}"


def _label(ordered: Ordered, row: Removal, laying: Laying | None, link: str) -> Label:
    found = ordered.found
    piece = found.pieces[row.piece]
    run = f"number {row.place_in_run} of the {piece.record.run}" if row.place_in_run else ""
    face = _face_words(found, row.piece)
    edge = "Stick it on the back, along the top edge at the left end."
    back = over = ""
    if laying is not None:
        back = f"Goes back as step {laying.number}"
        over = after_words(ordered, laying)
    lines = [
        ordered.job.job.title,
        f"{row.number}: {capital(piece.title)}",
        capital(run),
        face,
        f"{capital(row.fate.value)}.",
        f"{back}{over}." if back else "",
    ]
    carried = piece_page(link, piece.id) if link else "\n".join(filter(None, lines))
    return Label(row.number, capital(piece.title), run, face, back, edge, carried)


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
