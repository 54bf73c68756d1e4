"""A deck ledger on a sided wall."""

from __future__ import annotations

import math
from collections.abc import Iterator

from shapely import box

from weatherlap.building.details.courses import BOARDS, lap_siding
from weatherlap.building.details.model import Detail, Dimension, Sizes, Variant
from weatherlap.building.details.parts import (
    Drawn,
    cut,
    face,
    piece,
    rect,
    tilt_deg,
    up_to_sixteenth,
)

LEDGER_IN = 1.5
LIP_IN = 0.5
FALL_IN = 0.375
UPTURN_IN = 4.5
SIDING_CLEAR_IN = 3.0


def _draw(sizes: Sizes, wrong: str) -> list[Drawn]:
    width, flashed = sizes["width"], wrong != "no-flashing"
    fall = FALL_IN if flashed and wrong != "level-flashing" else 0.0
    lip = LIP_IN if flashed else 0.0
    return [
        *_faces(sizes, fall=fall, lip=lip),
        *_inner(sizes, fall=fall, lip=lip),
        *([_flashing(width, wrong, fall=fall)] if flashed else []),
        *_outer(sizes, wrong),
        cut("section", "Through the wall and the ledger", face_id="wall-above", at=width / 2),
    ]


def _faces(sizes: Sizes, *, fall: float, lip: float) -> Iterator[Drawn]:
    width, top = sizes["width"], sizes["deck_height"]
    depth = LEDGER_IN + lip
    yield face(
        "wall-above",
        "wall above the ledger",
        facing=180,
        tilt=90,
        origin=(0, 0, top),
        size=(width, sizes["wall_above"]),
    )
    yield face(
        "ledger-top",
        "top of the ledger",
        facing=180,
        tilt=tilt_deg(fall / depth),
        origin=(0, -depth, top - fall),
        size=(width, _up(depth, fall)),
        comment="The front of the ledger is hidden by the deck and not drawn.",
    )
    if lip:
        yield face(
            "lip",
            "underside of the flashing's lip",
            facing=180,
            tilt=180,
            origin=(0, -LEDGER_IN, top - fall),
            size=(width, lip),
        )
    yield face(
        "wall-below",
        "wall below the ledger",
        facing=180,
        tilt=90,
        origin=(0, 0, 0),
        size=(width, top - sizes["ledger_depth"]),
    )


def _up(depth: float, fall: float) -> float:
    """The top of the ledger with the lip, up its slope. [in]"""
    return up_to_sixteenth(math.hypot(depth, fall))


def _inner(sizes: Sizes, *, fall: float, lip: float) -> Iterator[Drawn]:
    width, high = sizes["width"], sizes["wall_above"]
    low = sizes["deck_height"] - sizes["ledger_depth"]
    yield piece(
        "sheathing",
        "sheathing",
        "osb",
        rect("wall-above", 0, 0, width, high),
        rect("wall-below", 0, 0, width, low),
    )
    yield piece(
        "barrier-lower",
        "lower barrier sheet",
        "housewrap",
        rect("wall-below", 0, 0, width, low),
        rect("wall-above", 0, 0, width, UPTURN_IN + 2),
        comment="Runs on behind the ledger.",
    )
    depth = _up(LEDGER_IN + lip, fall)
    yield piece("ledger", "ledger", "ledger", rect("ledger-top", 0, lip, width, depth))


def _flashing(width: float, wrong: str, *, fall: float) -> Drawn:
    return piece(
        "ledger-flashing",
        "ledger flashing",
        "ledger-flashing",
        rect("wall-above", 0, 0, width, UPTURN_IN),
        rect("ledger-top", 0, 0, width, _up(LEDGER_IN + LIP_IN, fall)),
        rect("lip", 0, 0, width, LIP_IN),
        drip=wrong != "no-drip",
        comment="Over the ledger, up the wall, and out past its front.",
    )


def _outer(sizes: Sizes, wrong: str) -> Iterator[Drawn]:
    width, high = sizes["width"], sizes["wall_above"]
    under = wrong == "barrier-behind-flashing"
    yield piece(
        "barrier-upper",
        "upper barrier sheet",
        "housewrap",
        rect("wall-above", 0, 2, width, high),
        behind=("ledger-flashing",) if under else (),
        comment="Slipped in behind the flashing." if under else "Laps over the flashing's upturn.",
    )
    low = sizes["deck_height"] - sizes["ledger_depth"]
    yield from lap_siding("wall-below", box(0, 0, width, low), BOARDS, name="siding-below")
    yield from lap_siding(
        "wall-above",
        box(0, SIDING_CLEAR_IN, width, high),
        BOARDS,
        name="siding-above",
        sealed=(1,) if wrong == "sealed-siding" else (),
        comment="Stops 2 in above the deck boards.",
    )


DECK_LEDGER = Detail(
    id="deck-ledger",
    title="Deck ledger on a sided wall",
    use="A board bolted to the wall that carries a deck, with a flashing over it.",
    dimensions=(
        Dimension("width", 96, 24, 240, "length of the ledger that is drawn"),
        Dimension("deck_height", 36, 20, 144, "height of the top of the ledger over the ground"),
        Dimension("ledger_depth", 9.25, 5.5, 11.25, "depth of the ledger"),
        Dimension("wall_above", 40, 16, 144, "wall above the ledger"),
    ),
    variants=(
        Variant(
            "right",
            "The right way",
            "The flashing goes up the wall behind the upper barrier sheet, slopes out over the "
            "ledger and ends in a free drip.",
        ),
        Variant(
            "no-flashing",
            "No flashing over the ledger",
            "The ledger was bolted on through the siding's line with nothing over its top.",
        ),
        Variant(
            "barrier-behind-flashing",
            "Barrier behind the flashing",
            "The flashing was put on over the barrier sheet instead of under it.",
        ),
        Variant(
            "level-flashing",
            "Flashing without fall",
            "The flashing lies level on the ledger and holds water.",
        ),
        Variant(
            "no-drip",
            "No drip on the flashing",
            "The edge of the flashing was cut off flat: water runs back under it to the ledger.",
        ),
        Variant(
            "sealed-siding",
            "Siding caulked to the flashing",
            "The lower edge of the first course is caulked: water behind it cannot get out.",
        ),
    ),
    draw=_draw,
)
