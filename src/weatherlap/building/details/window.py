"""A window in lap siding: head, jambs and sill."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from shapely import Polygon, box, union_all

from weatherlap.building.details.courses import BOARDS, lap_siding
from weatherlap.building.details.model import Detail, Dimension, Sizes, Variant
from weatherlap.building.details.parts import (
    Drawn,
    bead,
    cut,
    face,
    piece,
    rect,
    tilt_deg,
    up_to_sixteenth,
)

HORN_IN = 1.0
SILL_OUT_IN = 2.0
SILL_FALL_IN = 0.375
SILL_THICK_IN = 1.25
DRIP_IN = 0.75
RAIL_IN = 2.0
OVER_FLASHING_IN = 0.375
BESIDE_IN = 0.25
UP_LEG_IN = 3.0


@dataclass(frozen=True, slots=True)
class _Plan:
    """The wall and the opening in it. [in]"""

    width: float
    height: float
    left: float
    right: float
    sill: float
    head: float
    casing: float

    @property
    def top(self) -> float:
        """Upper edge of the head casing."""
        return self.head + self.casing

    @property
    def sill_length(self) -> float:
        """The sill with its horns."""
        return self.right - self.left + 2 * (self.casing + HORN_IN)

    @property
    def sill_depth(self) -> float:
        """The top of the sill, up its slope."""
        return up_to_sixteenth(math.hypot(SILL_OUT_IN, SILL_FALL_IN))

    @property
    def out(self) -> tuple[float, float]:
        """Outer edges of the casing."""
        return self.left - self.casing, self.right + self.casing


def _plan(sizes: Sizes) -> _Plan:
    left = sizes["wall_beside"]
    right = left + sizes["window_width"]
    head = sizes["sill_height"] + sizes["window_height"]
    return _Plan(
        width=right + left,
        height=head + sizes["casing"] + sizes["wall_above"],
        left=left,
        right=right,
        sill=sizes["sill_height"],
        head=head,
        casing=sizes["casing"],
    )


def _draw(sizes: Sizes, wrong: str) -> list[Drawn]:
    plan = _plan(sizes)
    return [
        *_faces(plan),
        *_skin(plan),
        *_sill(plan, wrong),
        *_window(plan),
        *_head(plan, wrong),
        *lap_siding("wall", _siding_region(plan), BOARDS, comment="Cut round casing and sill."),
        *([_caulk(plan)] if wrong == "sealed-head" else []),
        cut("middle", "Through head and sill", face_id="wall", at=(plan.left + plan.right) / 2),
        cut("jamb", "Through the jamb casing", face_id="wall", at=plan.left - plan.casing / 2),
    ]


def _faces(plan: _Plan) -> Iterator[Drawn]:
    size = (plan.width, plan.height)
    yield face("wall", "wall", facing=180, tilt=90, origin=(0, 0, 0), size=size)
    start, low = plan.out[0] - HORN_IN, plan.sill - SILL_FALL_IN
    yield face(
        "sill-top",
        "top of the sill",
        facing=180,
        tilt=tilt_deg(SILL_FALL_IN / SILL_OUT_IN),
        origin=(start, -SILL_OUT_IN, low),
        size=(plan.sill_length, plan.sill_depth),
    )
    yield face(
        "sill-front",
        "front of the sill",
        facing=180,
        tilt=90,
        origin=(start, -SILL_OUT_IN, low - SILL_THICK_IN),
        size=(plan.sill_length, SILL_THICK_IN),
    )
    yield face(
        "sill-drip",
        "underside of the sill",
        facing=180,
        tilt=180,
        origin=(start, DRIP_IN - SILL_OUT_IN, low - SILL_THICK_IN),
        size=(plan.sill_length, DRIP_IN),
        comment="Only the part in front of the drip groove is drawn.",
    )


def _skin(plan: _Plan) -> Iterator[Drawn]:
    width, height = plan.width, plan.height
    yield piece(
        "sheathing",
        "sheathing",
        "osb",
        rect("wall", 0, 0, width, plan.sill),
        rect("wall", 0, plan.sill, plan.left, plan.head),
        rect("wall", plan.right, plan.sill, width, plan.head),
        rect("wall", 0, plan.head, width, height),
    )
    yield piece(
        "barrier-lower", "lower barrier sheet", "housewrap", rect("wall", 0, 0, width, plan.sill)
    )
    low, high = plan.sill - 4, plan.top + 5
    yield piece(
        "barrier-sides",
        "barrier sheet beside the window",
        "housewrap",
        rect("wall", 0, low, plan.left, high),
        rect("wall", plan.right, low, width, high),
    )


def _sill(plan: _Plan, wrong: str) -> Iterator[Drawn]:
    if wrong != "no-pan":
        yield piece(
            "sill-pan",
            "sill pan",
            "sill-pan",
            rect("wall", plan.left, plan.sill - 3, plan.right, plan.sill + RAIL_IN),
            comment="Laps over the barrier sheet below, its lower edge left loose.",
        )
    length = plan.sill_length
    yield piece(
        "sill",
        "sill",
        "window-sill-wood",
        rect("sill-top", 0, 0, length, plan.sill_depth),
        rect("sill-front", 0, 0, length, SILL_THICK_IN),
        rect("sill-drip", 0, 0, length, DRIP_IN),
        drip=wrong != "no-drip",
        passes=0.0,
        comment="One board without a joint, painted all round.",
    )


def _window(plan: _Plan) -> Iterator[Drawn]:
    left, right, sill, head = plan.left, plan.right, plan.sill, plan.head
    for name, inner, outer in (("left", left + 0.5, left - 4), ("right", right - 0.5, right + 4)):
        start, end = sorted((inner, outer))
        yield piece(
            f"tape-{name}",
            f"{name} jamb tape",
            "flashing-tape",
            rect("wall", start, sill - 2, end, head + 2),
        )
    yield piece(
        "window-frame",
        "lower rail of the frame",
        "window-frame",
        rect("wall", left, sill, right, sill + RAIL_IN),
    )
    yield piece(
        "window", "window", "window-glass", rect("wall", left, sill + RAIL_IN - 0.25, right, head)
    )
    yield piece(
        "tape-head",
        "head tape",
        "flashing-tape",
        rect("wall", left - 4, head - 0.5, right + 4, plan.top),
    )
    start, end = plan.out
    for name, from_u, to_u in (("left", start, left), ("right", right, end)):
        yield piece(
            f"casing-{name}",
            f"{name} casing",
            "trim-board",
            rect("wall", from_u, sill, to_u, head),
        )
    yield piece(
        "casing-head", "head casing", "trim-board", rect("wall", start, head, end, plan.top)
    )


def _head(plan: _Plan, wrong: str) -> Iterator[Drawn]:
    start, end = plan.out
    yield piece(
        "head-flashing",
        "head flashing",
        "head-flashing",
        rect(
            "wall",
            start - BESIDE_IN,
            plan.top - 0.5,
            end + BESIDE_IN,
            plan.top + UP_LEG_IN,
        ),
        comment="Down over the head casing, up behind the barrier sheet.",
    )
    under = wrong == "barrier-behind-flashing"
    yield piece(
        "barrier-upper",
        "upper barrier sheet",
        "housewrap",
        rect("wall", 0, plan.top + 0.75, plan.width, plan.height),
        behind=("head-flashing",) if under else (),
        comment="Slipped in behind the flashing." if under else "Laps over the flashing's up-leg.",
    )


def _siding_region(plan: _Plan) -> Polygon:
    start, end = plan.out
    taken = union_all(
        [
            box(start - BESIDE_IN, plan.sill, end + BESIDE_IN, plan.top + OVER_FLASHING_IN),
            box(
                start - HORN_IN,
                plan.sill - SILL_FALL_IN - SILL_THICK_IN,
                end + HORN_IN,
                plan.sill + OVER_FLASHING_IN,
            ),
        ]
    )
    return box(0, 0, plan.width, plan.height).difference(taken)


def _caulk(plan: _Plan) -> Drawn:
    start, end = plan.out
    low = plan.top
    return bead(
        "bead",
        rect("wall", start - BESIDE_IN, low, end + BESIDE_IN, low + 0.5),
        comment="From the siding down onto the head flashing.",
    )


WINDOW = Detail(
    id="window",
    title="Window in lap siding",
    use="Head, jambs and sill of a cased window with a wood sill.",
    dimensions=(
        Dimension("window_width", 30, 12, 120, "width of the opening"),
        Dimension("window_height", 36, 12, 96, "height of the opening"),
        Dimension("sill_height", 26, 12, 96, "height of the sill over the foot of the wall"),
        Dimension("casing", 3.5, 2.5, 7.25, "width of the casing"),
        Dimension("wall_beside", 16, 12, 96, "wall beside the opening, on each side"),
        Dimension("wall_above", 16, 8, 96, "wall above the head casing"),
    ),
    variants=(
        Variant(
            "right",
            "The right way",
            "A pan under the window, tape at the jambs, a head flashing under the upper barrier "
            "sheet, and a sill that slopes out to a drip.",
        ),
        Variant(
            "barrier-behind-flashing",
            "Barrier behind the head flashing",
            "The head flashing was nailed on over the barrier sheet instead of under it.",
        ),
        Variant(
            "sealed-head",
            "Siding caulked to the head flashing",
            "A bead of sealant between the siding and the head flashing: nothing behind can get "
            "out.",
        ),
        Variant(
            "no-pan",
            "No pan under the window",
            "What gets in at the joints of the frame drops into the wall below the window.",
        ),
        Variant(
            "no-drip",
            "No drip under the sill",
            "The groove under the sill is missing or full of paint: water runs back to the wall.",
        ),
    ),
    draw=_draw,
)
