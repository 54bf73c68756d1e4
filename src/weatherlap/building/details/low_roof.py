"""A bay roof or another low roof that ends under a wall."""

from __future__ import annotations

import math
from collections.abc import Iterator

from shapely import box

from weatherlap.building.details.courses import BOARDS, lap_siding, shingles
from weatherlap.building.details.model import Detail, Dimension, Sizes, Variant
from weatherlap.building.details.parts import (
    Drawn,
    cut,
    face,
    gutter,
    piece,
    rect,
    sixteenth,
    tilt_deg,
)

UPTURN_IN = 4.5
SHORT_UPTURN_IN = 1.0
APRON_IN = 5.0
SIDING_CLEAR_IN = 2.0


def _draw(sizes: Sizes, wrong: str) -> list[Drawn]:
    width, run = sizes["width"], sizes["roof_run"]
    slope = sizes["pitch"] / 12
    foot, length = sizes["wall_foot"], sixteenth(run * math.hypot(1.0, slope))
    eave_height = sixteenth(foot - run * slope)
    fall = sixteenth(width / 192)
    gutter_at = -run - 1.5
    return [
        face(
            "wall",
            "wall",
            facing=180,
            tilt=90,
            origin=(0, 0, foot),
            size=(width, sizes["wall_above"]),
            comment="The wall begins at the roof; below it is the inside of the house.",
        ),
        face(
            "roof",
            "low roof",
            facing=180,
            tilt=tilt_deg(slope),
            origin=(0, -run, eave_height),
            size=(width, length),
        ),
        *_roof(width, length),
        *_wall(width, sizes["wall_above"], length, wrong),
        gutter(
            "gutter",
            "gutter",
            line=((0, gutter_at, eave_height - 2), (width, gutter_at, eave_height - 2 - fall)),
        ),
        cut("section", "Through the wall, the roof and the gutter", face_id="wall", at=width / 2),
    ]


def _roof(width: float, length: float) -> Iterator[Drawn]:
    yield piece("deck", "roof deck", "roof-deck-plywood", rect("roof", 0, 0, width, length))
    yield piece("drip-edge", "drip edge", "drip-edge", rect("roof", 0, 0, width, 2.5), drip=True)
    yield piece(
        "underlayment", "underlayment", "roof-underlayment", rect("roof", 0, 0, width, length)
    )
    yield from shingles("roof", (0.0, width), length)


def _wall(width: float, height: float, length: float, wrong: str) -> Iterator[Drawn]:
    yield piece("sheathing", "sheathing", "osb", rect("wall", 0, 0, width, height))
    upturn = SHORT_UPTURN_IN if wrong == "short-upturn" else UPTURN_IN
    if wrong != "no-apron":
        yield piece(
            "apron",
            "apron flashing",
            "apron-flashing",
            rect("wall", 0, 0, width, upturn),
            rect("roof", 0, length - APRON_IN, width, length),
            comment="Over the top course of shingles and up the wall.",
        )
    under = wrong == "barrier-behind-flashing"
    yield piece(
        "barrier",
        "barrier sheet",
        "housewrap",
        rect("wall", 0, SIDING_CLEAR_IN - 0.5, width, height),
        behind=("apron",) if under else (),
        comment="Slipped in behind the apron." if under else "Laps over the apron's upturn.",
    )
    yield from lap_siding(
        "wall",
        box(0, SIDING_CLEAR_IN, width, height),
        BOARDS,
        sealed=(1,) if wrong == "sealed-siding" else (),
        comment="Stops 2 in clear of the roof.",
    )


LOW_ROOF = Detail(
    id="low-roof-under-wall",
    title="Low roof under a wall",
    use="The top of a bay roof or a porch roof against the wall above it, with an apron flashing.",
    dimensions=(
        Dimension("width", 72, 24, 240, "width of the wall and the roof"),
        Dimension("pitch", 4, 3, 12, "rise of the roof in 12 in"),
        Dimension("roof_run", 36, 12, 144, "level length of the roof, out from the wall"),
        Dimension("wall_above", 36, 16, 120, "wall above the roof"),
        Dimension("wall_foot", 108, 60, 240, "height of the top of the roof over the ground"),
    ),
    variants=(
        Variant(
            "right",
            "The right way",
            "The apron lies over the top course and turns up 4 1/2 in behind the barrier sheet.",
        ),
        Variant(
            "barrier-behind-flashing",
            "Barrier behind the apron",
            "The apron was nailed over the barrier sheet instead of under it.",
        ),
        Variant(
            "no-apron",
            "No apron flashing",
            "The siding stops above the shingles with nothing to lead its water onto them.",
        ),
        Variant(
            "short-upturn",
            "Apron too low",
            "The apron turns up 1 in only and ends below the barrier sheet.",
        ),
        Variant(
            "sealed-siding",
            "Siding caulked to the apron",
            "The lower edge of the first course is caulked: water behind it cannot get out.",
        ),
    ),
    draw=_draw,
)
