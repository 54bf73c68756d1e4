"""The edge of a porch roof: drip edge, fascia, soffit and gutter."""

from __future__ import annotations

import math
from collections.abc import Iterator

from weatherlap.building.details.courses import shingles
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
    up_to_sixteenth,
)

LIP_IN = 0.75
DRIP_LEG_IN = 1.5
GUTTER_WIDTH_IN = 5.0


def _draw(sizes: Sizes, wrong: str) -> list[Drawn]:
    width = sizes["width"]
    return [
        *_faces(sizes),
        *_edge(sizes, wrong),
        *_roof(sizes, wrong),
        _gutter(sizes),
        cut("section", "Through the edge of the roof", face_id="roof", at=width / 2),
    ]


def _length(sizes: Sizes) -> float:
    return up_to_sixteenth(sizes["roof_run"] * math.hypot(1.0, sizes["pitch"] / 12))


def _faces(sizes: Sizes) -> Iterator[Drawn]:
    width, eave, fascia = sizes["width"], sizes["eave_height"], sizes["fascia"]
    yield face(
        "roof",
        "roof",
        facing=180,
        tilt=tilt_deg(sizes["pitch"] / 12),
        origin=(0, 0, eave),
        size=(width, _length(sizes)),
    )
    yield face(
        "lip",
        "underside of the drip edge's nose",
        facing=180,
        tilt=180,
        origin=(0, LIP_IN, eave),
        size=(width, LIP_IN),
        comment="The roof stands out 3/4 in past the fascia.",
    )
    yield face(
        "fascia",
        "fascia",
        facing=180,
        tilt=90,
        origin=(0, LIP_IN, eave - fascia),
        size=(width, fascia),
    )
    soffit = sizes["soffit"]
    yield face(
        "soffit",
        "soffit",
        facing=180,
        tilt=180,
        origin=(0, LIP_IN + soffit, eave - fascia),
        size=(width, soffit),
    )


def _edge(sizes: Sizes, wrong: str) -> Iterator[Drawn]:
    width, fascia, soffit = sizes["width"], sizes["fascia"], sizes["soffit"]
    yield piece("sub-fascia", "sub-fascia", "bare-fascia", rect("fascia", 0, 0, width, fascia))
    yield piece("soffit", "soffit", "soffit-vented", rect("soffit", 0, 0, width, soffit))
    if wrong == "no-wrap":
        return
    yield piece(
        "fascia-wrap",
        "fascia wrap",
        "coil-wrap",
        rect("fascia", 0, 0, width, fascia - 0.25),
        rect("soffit", 0, soffit - 1, width, soffit),
        drip=wrong != "no-drip-on-wrap",
        comment="Bent in under the soffit, with a drip at the corner.",
    )


def _roof(sizes: Sizes, wrong: str) -> Iterator[Drawn]:
    width, length, fascia = sizes["width"], _length(sizes), sizes["fascia"]
    yield piece("deck", "roof deck", "roof-deck-plywood", rect("roof", 0, LIP_IN, width, length))
    if wrong != "no-drip-edge":
        yield piece(
            "drip-edge",
            "drip edge",
            "drip-edge",
            rect("roof", 0, 0, width, 2.5),
            rect("lip", 0, 0, width, LIP_IN),
            rect("fascia", 0, fascia - DRIP_LEG_IN, width, fascia),
            drip=True,
            behind=("fascia-wrap",) if wrong == "drip-edge-behind-wrap" else (),
            comment="On the deck, out past the fascia, and down over the top of the wrap.",
        )
    yield piece(
        "underlayment",
        "underlayment",
        "roof-underlayment",
        rect("roof", 0, LIP_IN, width, length),
    )
    foot = 0.0 if wrong == "no-drip-edge" else 0.25
    yield from shingles("roof", (0.0, width), length, foot=foot)


def _gutter(sizes: Sizes) -> Drawn:
    width = sizes["width"]
    at, low = LIP_IN - GUTTER_WIDTH_IN / 2, sizes["eave_height"] - 2
    fall = sixteenth(width / 192)
    return gutter("gutter", "gutter", line=((0, at, low), (width, at, low - fall)))


EAVE_EDGE = Detail(
    id="eave-edge",
    title="Edge of a porch roof",
    use="The eave of a roof with drip edge, wrapped fascia, soffit and gutter.",
    dimensions=(
        Dimension("width", 72, 24, 240, "length of the eave that is drawn"),
        Dimension("pitch", 4, 2, 12, "rise of the roof in 12 in"),
        Dimension("roof_run", 36, 12, 144, "level length of the roof, in from the eave"),
        Dimension("fascia", 7.25, 4, 11.25, "height of the fascia"),
        Dimension("soffit", 12, 4, 36, "depth of the soffit"),
        Dimension("eave_height", 108, 60, 240, "height of the eave over the ground"),
    ),
    variants=(
        Variant(
            "right",
            "The right way",
            "A drip edge whose nose stands free of the fascia and whose leg laps over the wrap.",
        ),
        Variant(
            "no-drip-edge",
            "No drip edge",
            "The shingles end over the fascia with no metal under them: water runs back.",
        ),
        Variant(
            "drip-edge-behind-wrap",
            "Drip edge behind the fascia wrap",
            "The wrap was put on over the leg of the drip edge instead of under it.",
        ),
        Variant(
            "no-drip-on-wrap",
            "No drip on the fascia wrap",
            "The wrap is bent in square under the soffit: water runs back on the soffit.",
        ),
        Variant(
            "no-wrap",
            "Fascia left bare",
            "The wrap is gone and the wood of the sub-fascia is out in the rain.",
        ),
    ),
    draw=_draw,
)
