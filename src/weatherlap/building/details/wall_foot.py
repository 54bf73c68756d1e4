"""The foot of a sided wall above grade or a slab."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import box

from weatherlap.building.details.courses import BOARDS, lap_siding
from weatherlap.building.details.model import Detail, Dimension, Sizes, Variant
from weatherlap.building.details.parts import Drawn, cut, face, piece, rect

PLATE_IN = 1.5
LAP_IN = 1.0
SLAB_TILT_DEG = 1.2
"""About 1/4 in a foot. [deg]"""


def _draw(sizes: Sizes, wrong: str) -> list[Drawn]:
    width, slab = sizes["width"], sizes["slab"]
    rise = slab * 0.0209424
    toward = wrong == "slab-falls-to-wall"
    return [
        face("wall", "wall", facing=180, tilt=90, origin=(0, 0, 0), size=(width, sizes["height"])),
        face(
            "slab",
            "slab",
            facing=0 if toward else 180,
            tilt=SLAB_TILT_DEG,
            origin=(width, 0, 0) if toward else (0, -slab, -rise),
            size=(width, slab),
            comment="Falls 1/4 in a foot toward the wall."
            if toward
            else "Falls 1/4 in a foot away from the wall.",
        ),
        piece("slab", "slab", "concrete", rect("slab", 0, 0, width, slab)),
        *_wall(sizes, wrong),
        cut("section", "Through the wall and the slab", face_id="wall", at=width / 2),
    ]


def _wall(sizes: Sizes, wrong: str) -> Iterator[Drawn]:
    width, height, top = sizes["width"], sizes["height"], sizes["foundation"]
    foot = top - LAP_IN
    yield piece("foundation", "foundation", "concrete", rect("wall", 0, 0, width, top))
    yield piece("plate", "sill plate", "sill-plate", rect("wall", 0, top, width, top + PLATE_IN))
    yield piece("sheathing", "sheathing", "osb", rect("wall", 0, top, width, height))
    yield piece(
        "starter-flashing",
        "starter flashing",
        "weep-screed",
        rect("wall", 0, foot, width, top + 3.5),
        drip=True,
        comment="Laps 1 in over the foundation; its holes let water out behind the siding.",
    )
    short, under = wrong == "short-barrier", wrong == "barrier-behind-flashing"
    yield piece(
        "barrier",
        "barrier sheet",
        "housewrap",
        rect("wall", 0, top + (5.0 if short else 1.0), width, height),
        behind=("starter-flashing",) if under else (),
        comment={
            "short-barrier": "Stops above the flashing.",
            "barrier-behind-flashing": "Slipped in behind the flashing.",
        }.get(wrong, "Laps over the flashing."),
    )
    yield from lap_siding(
        "wall",
        box(0, foot, width, height),
        BOARDS,
        sealed=(1,) if wrong == "sealed-siding" else (),
    )


WALL_FOOT = Detail(
    id="wall-foot",
    title="Foot of a wall above a slab",
    use="The lowest courses of a sided wall over the foundation, with a slab or paving in front.",
    dimensions=(
        Dimension("width", 72, 24, 240, "width of the wall"),
        Dimension("height", 48, 24, 144, "height of the wall over the slab"),
        Dimension("foundation", 8, 7, 18, "height of the foundation over the slab"),
        Dimension("slab", 36, 12, 144, "how far the slab is drawn, out from the wall"),
    ),
    variants=(
        Variant(
            "right",
            "The right way",
            "The barrier laps over a starter flashing that laps over the foundation, and the "
            "siding ends 6 in or more above the slab.",
        ),
        Variant(
            "barrier-behind-flashing",
            "Barrier behind the starter flashing",
            "The flashing was nailed over the barrier sheet instead of under it.",
        ),
        Variant(
            "short-barrier",
            "Barrier stops short",
            "The barrier sheet was cut off above the flashing.",
        ),
        Variant(
            "sealed-siding",
            "Siding caulked to the foundation",
            "The lower edge of the first course is caulked: water behind it cannot get out.",
        ),
        Variant(
            "slab-falls-to-wall",
            "Slab falls to the wall",
            "The slab has settled and leads its water against the foundation, where it stands.",
        ),
    ),
    draw=_draw,
)
