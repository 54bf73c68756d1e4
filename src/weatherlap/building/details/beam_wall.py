"""A beam that runs into a sided wall."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from shapely import Polygon

from weatherlap.building.details.courses import BOARDS, lap_siding
from weatherlap.building.details.model import Detail, Dimension, Sizes, Variant
from weatherlap.building.details.parts import (
    Drawn,
    bead,
    cut,
    face,
    piece,
    rect,
    shape,
    tilt_deg,
    up_to_sixteenth,
)
from weatherlap.shape.frames import Place

UPTURN_IN = 4.0
BARRIER_OVER_IN = 1.5
SIDING_OVER_IN = 2.0
SADDLE_OUT_IN = 6.0
LEG_IN = 1.5
FALL_IN = 0.5
SHORT_OF_WALL_IN = 0.25
BESIDE_IN = 0.25


@dataclass(frozen=True, slots=True)
class _Plan:
    """The wall, and the beam at its right end. [in]"""

    wall: float
    low: float
    top: float
    width: float
    length: float
    height: float
    fall: float

    @property
    def far(self) -> float:
        """The right end of the wall, at the far side of the beam."""
        return self.wall + self.width

    @property
    def slope_length(self) -> float:
        """The top of the beam, up its slope."""
        return up_to_sixteenth(math.hypot(self.width, self.fall))

    @property
    def depth(self) -> float:
        """The side of the beam."""
        return self.top - self.low

    def over(self, inches: float) -> tuple[Place, Place]:
        """The line that lies so far over the top of the beam on the wall."""
        return (self.wall, self.top + inches), (self.far, self.top + self.fall + inches)


def _plan(sizes: Sizes, wrong: str) -> _Plan:
    top = sizes["beam_height"] + sizes["beam_depth"]
    return _Plan(
        wall=sizes["wall_beside"],
        low=sizes["beam_height"],
        top=top,
        width=sizes["beam_width"],
        length=sizes["beam_length"],
        height=top + sizes["wall_above"],
        fall=0.0 if wrong == "level-top" else FALL_IN,
    )


def _draw(sizes: Sizes, wrong: str) -> list[Drawn]:
    plan = _plan(sizes, wrong)
    return [
        *_faces(plan),
        *_inner(plan),
        *_metal(plan, wrong),
        *_outer(plan, wrong),
        cut(
            "section",
            "Through the wall and along the beam",
            face_id="wall",
            at=plan.wall + plan.width / 2,
        ),
    ]


def _wall_outline(plan: _Plan) -> list[Place]:
    near, far = plan.over(0.0)
    return [
        (0.0, 0.0),
        (plan.far, 0.0),
        (plan.far, plan.low),
        (plan.wall, plan.low),
        near,
        far,
        (plan.far, plan.height),
        (0.0, plan.height),
    ]


def _faces(plan: _Plan) -> Iterator[Drawn]:
    yield face(
        "wall",
        "wall",
        facing=180,
        tilt=90,
        origin=(0, 0, 0),
        outline=_wall_outline(plan),
        comment="Drawn to the far side of the beam, whose end takes a bite out of it.",
    )
    yield face(
        "beam-top",
        "top of the beam",
        facing=270,
        tilt=tilt_deg(plan.fall / plan.width),
        origin=(plan.wall, 0, plan.top),
        size=(plan.length, plan.slope_length),
    )
    yield face(
        "beam-side",
        "side of the beam",
        facing=270,
        tilt=90,
        origin=(plan.wall, 0, plan.low),
        size=(plan.length, plan.depth),
    )
    yield face(
        "beam-under",
        "underside of the beam",
        facing=270,
        tilt=180,
        origin=(plan.far, 0, plan.low),
        size=(plan.length, plan.width),
    )


def _inner(plan: _Plan) -> Iterator[Drawn]:
    yield piece("sheathing", "sheathing", "osb", shape("wall", _wall_outline(plan)))
    top = plan.top + BARRIER_OVER_IN + 4
    sheet = [*_wall_outline(plan)[:4], (plan.wall, top), (0.0, top)]
    yield piece("barrier-lower", "lower barrier sheet", "housewrap", shape("wall", sheet))
    yield piece(
        "beam",
        "beam",
        "beam",
        rect("beam-top", 0, 0, plan.length, plan.slope_length),
        rect("beam-side", 0, 0, plan.length, plan.depth),
        rect("beam-under", 0, 0, plan.length, plan.width),
    )


def _metal(plan: _Plan, wrong: str) -> Iterator[Drawn]:
    length, deep, depth = plan.length, plan.slope_length, plan.depth
    yield piece(
        "wrap",
        "beam wrap",
        "coil-wrap",
        rect("beam-side", 0, 0, length, depth),
        rect("beam-under", 0, 0, length, plan.width),
        drip=wrong != "no-drip",
        comment="With a drip at its lower corner.",
    )
    if wrong != "no-saddle":
        near, far = plan.over(0.0)
        near_top, far_top = plan.over(UPTURN_IN)
        yield piece(
            "saddle",
            "saddle flashing",
            "apron-flashing",
            shape("wall", [near, far, far_top, near_top]),
            rect("beam-top", 0, 0, SADDLE_OUT_IN, deep),
            rect("beam-side", 0, depth - LEG_IN, SADDLE_OUT_IN, depth),
            comment="Over the end of the beam and up the wall.",
        )
    yield piece(
        "cap",
        "beam cap",
        "cap-flashing",
        rect("beam-top", SHORT_OF_WALL_IN, 0, length, deep),
        rect("beam-side", SHORT_OF_WALL_IN, depth - LEG_IN, length, depth),
        comment="Ends 1/4 in short of the wall, with a leg down over the wrap.",
    )


def _outer(plan: _Plan, wrong: str) -> Iterator[Drawn]:
    under = wrong == "barrier-behind-flashing"
    near, far = plan.over(0.0 if wrong == "no-saddle" else BARRIER_OVER_IN)
    comments = {
        "no-saddle": "Cut off at the top of the beam.",
        "barrier-behind-flashing": "Slipped in behind the saddle.",
    }
    yield piece(
        "barrier-upper",
        "upper barrier sheet",
        "housewrap",
        shape("wall", [(0, near[1]), near, far, (plan.far, plan.height), (0, plan.height)]),
        behind=("saddle",) if under else (),
        comment=comments.get(wrong, "Laps over the saddle's upturn."),
    )
    beside = plan.wall - BESIDE_IN
    gap = [
        (beside, plan.low),
        (plan.wall, plan.low),
        *plan.over(0.0),
        *reversed(plan.over(SIDING_OVER_IN)),
        (beside, plan.top + SIDING_OVER_IN),
    ]
    region = Polygon(_wall_outline(plan)).difference(Polygon(gap))
    yield from lap_siding("wall", region, BOARDS, comment="Stops 2 in clear of the beam's top.")
    if wrong == "sealed-siding":
        low = [*plan.over(SIDING_OVER_IN - 0.25), *reversed(plan.over(SIDING_OVER_IN + 0.25))]
        yield bead("bead", shape("wall", low), comment="Along the lower edge of the siding.")


BEAM_WALL = Detail(
    id="beam-into-wall",
    title="Beam running into a sided wall",
    use="The end of a metal-wrapped beam out in the rain, where it meets the siding.",
    dimensions=(
        Dimension("beam_width", 5.5, 3, 12, "width of the beam"),
        Dimension("beam_depth", 9.25, 5.5, 18, "depth of the beam"),
        Dimension("beam_length", 48, 12, 240, "how much of the beam is drawn"),
        Dimension("beam_height", 24, 8, 240, "height of its underside over the foot of the wall"),
        Dimension("wall_beside", 24, 12, 120, "wall beside the beam"),
        Dimension("wall_above", 30, 12, 120, "wall above the beam"),
    ),
    variants=(
        Variant(
            "right",
            "The right way",
            "A saddle flashing over the beam's end, its upturn behind the upper barrier sheet.",
        ),
        Variant(
            "no-saddle",
            "No saddle flashing",
            "The cap of the beam stops at the wall with nothing turned up behind the siding.",
        ),
        Variant(
            "barrier-behind-flashing",
            "Barrier behind the saddle",
            "The saddle was nailed on over the barrier sheet instead of under it.",
        ),
        Variant(
            "level-top",
            "Beam top without fall",
            "The top of the beam is level: water stands on the cap and against the wall.",
        ),
        Variant(
            "no-drip",
            "No drip on the wrap",
            "The wrap is bent in square under the beam: water runs back along the underside.",
        ),
        Variant(
            "sealed-siding",
            "Siding caulked over the beam",
            "A bead along the lower edge of the siding: water behind it cannot get out.",
        ),
    ),
    draw=_draw,
)
