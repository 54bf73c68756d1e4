"""A roof slope that ends against a sided wall, with a gutter below."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from shapely import Polygon

from weatherlap.building.details.courses import (
    VINYL,
    RoofLine,
    lap_siding,
    shingles,
    step_flashing,
    steps,
)
from weatherlap.building.details.model import Detail, Dimension, Sizes, Variant
from weatherlap.building.details.parts import (
    Drawn,
    Slant,
    cut,
    face,
    gutter,
    piece,
    rect,
    shape,
    sixteenth,
    tilt_deg,
    trough,
    up_to_sixteenth,
)
from weatherlap.job.model import Edge
from weatherlap.shape.frames import Place

UPTURN_IN = 4.0
SHORT_UPTURN_IN = 1.0
SIDING_CLEAR_IN = 2.0
DIVERTER_IN = 3.0
WRAP_LAP_IN = 4.0


@dataclass(frozen=True, slots=True)
class _Plan:
    """Where things are on the wall and the roof. [in]"""

    wrong: str
    eave: float
    eave_height: float
    far: float
    far_height: float
    top: float
    width: float
    length: float
    line: Slant

    @property
    def diverted(self) -> bool:
        """Whether there is a diverter at the foot of the roof."""
        return self.wrong != "no-diverter"

    @property
    def foot(self) -> float:
        """Where the flashing of the roof begins on the wall."""
        return self.eave - DIVERTER_IN if self.diverted else self.eave

    @property
    def foot_height(self) -> float:
        """The top of the diverter, just below the eave."""
        return self.eave_height - 0.25

    @property
    def upturn(self) -> float:
        """Height of the step flashing over the roof, plumb."""
        short = self.wrong == "short-upturn"
        return self.line.upright(SHORT_UPTURN_IN if short else UPTURN_IN)

    @property
    def barrier_over(self) -> float:
        """Height of the barrier's lower edge over the roof, plumb."""
        return self.line.upright(SIDING_CLEAR_IN - 0.5)

    @property
    def channel_over(self) -> float:
        """Height of the channel over the roof, plumb."""
        return self.line.upright(SIDING_CLEAR_IN)

    @property
    def against(self) -> RoofLine:
        """The roof's edge along the wall."""
        return RoofLine("wall", "roof", self.line, self.far, self.length)


def _plan(sizes: Sizes, wrong: str) -> _Plan:
    eave, high = sizes["wall_past"], sizes["eave_height"]
    run = sizes["roof_run"]
    rise = sixteenth(run * sizes["pitch"] / 12)
    return _Plan(
        wrong=wrong,
        eave=eave,
        eave_height=high,
        far=eave + run,
        far_height=high + rise,
        top=high + rise + sizes["wall_above"],
        width=sizes["roof_width"],
        length=up_to_sixteenth(math.hypot(run, rise)),
        line=Slant(eave, high, rise / run),
    )


def _draw(sizes: Sizes, wrong: str) -> list[Drawn]:
    plan = _plan(sizes, wrong)
    return [
        *_faces(plan),
        *_inner_skin(plan),
        *_roof(plan),
        *_outer_skin(plan),
        _gutter(plan),
        cut("wall-cut", "Through the wall beside the eave", face_id="wall", at=plan.eave - 1.5),
        cut("roof-cut", "Through the roof and the gutter", face_id="roof", at=plan.width / 2),
    ]


def _wall_outline(plan: _Plan) -> list[Place]:
    return [
        (0.0, 0.0),
        (plan.eave, 0.0),
        (plan.eave, plan.eave_height),
        (plan.far, plan.far_height),
        (plan.far, plan.top),
        (0.0, plan.top),
    ]


def _faces(plan: _Plan) -> Iterator[Drawn]:
    yield face(
        "wall",
        "side wall",
        facing=90,
        tilt=90,
        origin=(0, 0, 0),
        outline=_wall_outline(plan),
        comment="Below the roof the wall is inside the house and not drawn.",
    )
    yield face(
        "roof",
        "roof",
        facing=180,
        tilt=tilt_deg(plan.line.slope),
        origin=(0, plan.eave, plan.eave_height),
        size=(plan.width, plan.length),
    )
    if plan.diverted:
        yield face(
            "diverter",
            "diverter",
            facing=90,
            tilt=45,
            origin=(DIVERTER_IN, plan.foot, plan.foot_height - DIVERTER_IN),
            size=(DIVERTER_IN + 0.25, 4.25),
            comment="The foot of the flashing is turned out, away from the wall, into the gutter.",
        )


def _inner_skin(plan: _Plan) -> Iterator[Drawn]:
    yield piece("sheathing", "sheathing", "osb", shape("wall", _wall_outline(plan)))
    if plan.diverted:
        top = plan.eave_height + plan.barrier_over + WRAP_LAP_IN
        comment = "Goes up behind the diverter and the sheet above."
    else:
        top, comment = plan.foot_height, "Stops at the roof line."
    yield piece(
        "barrier-lower",
        "lower barrier sheet",
        "housewrap",
        rect("wall", 0, 0, plan.eave, top),
        comment=comment,
    )


def _roof(plan: _Plan) -> Iterator[Drawn]:
    width, length = plan.width, plan.length
    yield piece("deck", "roof deck", "roof-deck-plywood", rect("roof", 0, 0, width, length))
    yield piece("drip-edge", "drip edge", "drip-edge", rect("roof", 0, 0, width, 2.5), drip=True)
    yield piece(
        "underlayment", "underlayment", "roof-underlayment", rect("roof", 0, 0, width, length)
    )
    flashings = [
        step_flashing(step, plan.against, out=UPTURN_IN, up=plan.upturn) for step in steps(length)
    ]
    if plan.diverted:
        flashings[0] = _diverter(plan)
    yield from shingles("roof", (0.0, width), length, between=flashings)


def _diverter(plan: _Plan) -> Drawn:
    """The first flashing, whose foot is turned out into the gutter."""
    first = steps(plan.length)[0]
    foot, right = plan.foot, plan.against.across(first.high)
    up = plan.line.upright(UPTURN_IN)
    upturn = [
        (foot, plan.foot_height),
        (plan.eave, plan.foot_height),
        (plan.eave, plan.eave_height),
        plan.line.foot(right),
        plan.line.mark(right, over=up),
        (plan.eave, plan.eave_height + up),
        (foot, plan.eave_height + up),
    ]
    return piece(
        "diverter",
        "diverter",
        "kick-out",
        shape("wall", upturn),
        rect("roof", 0, 0, UPTURN_IN, first.high),
        rect("diverter", 0, 0, DIVERTER_IN + 0.25, 4.25),
        drip=True,
        comment="Laid on the starter, before the first course. Its upturn catches the channel.",
    )


def _outer_skin(plan: _Plan) -> Iterator[Drawn]:
    line, top = plan.line, plan.top
    low = (plan.eave, plan.eave_height + plan.barrier_over)
    names = ["diverter" if plan.diverted else "step-0"]
    names += [f"step-{s.number}" for s in steps(plan.length)[1:]]
    under = plan.wrong == "barrier-behind-flashing"
    sheet = [
        (0, low[1]),
        low,
        line.mark(plan.far, over=plan.barrier_over),
        (plan.far, top),
        (0, top),
    ]
    yield piece(
        "barrier-upper",
        "upper barrier sheet",
        "housewrap",
        shape("wall", sheet),
        behind=names if under else (),
        comment="Slipped in behind the flashing." if under else "Laps over the flashing's upturn.",
    )
    yield _channel(plan)
    yield from lap_siding(
        "wall", _siding_region(plan), VINYL, comment="The siding stands in the channel."
    )


def _channel(plan: _Plan) -> Drawn:
    line, over = plan.line, plan.channel_over
    foot = plan.foot + 0.5 if plan.diverted else plan.eave - 0.5
    corners = line.band(foot, plan.far, low=over, high=over + 2.5)
    return piece(
        "channel",
        "receiving channel",
        "receiving-channel",
        shape("wall", corners, trough=trough(*corners[:2])),
        sealed=(Edge.BOTTOM,) if plan.wrong == "sealed-channel" else (),
        comment="Its low end empties on the diverter."
        if plan.diverted
        else "Its low end stops behind the siding.",
    )


def _siding_region(plan: _Plan) -> Polygon:
    """Where there is siding: clear of the roof, and round the diverter."""
    line, over, foot = plan.line, plan.channel_over + 0.25, plan.foot
    notch = [
        (plan.far, line.at(plan.far)),
        line.mark(plan.far, over=over),
        line.mark(foot, over=over),
    ]
    if plan.diverted:
        notch += [(foot, plan.foot_height), (plan.eave, plan.foot_height)]
    notch += [(plan.eave, plan.eave_height)]
    return Polygon(_wall_outline(plan)).difference(Polygon(notch))


def _gutter(plan: _Plan) -> Drawn:
    fall = sixteenth(plan.width / 192)
    at, low = plan.eave - 2, plan.eave_height - 4
    return gutter(
        "gutter",
        "gutter",
        line=((1, at, low), (plan.width, at, low + fall)),
        comment="Hung with its fall toward the wall end, 1 in clear of the siding.",
    )


ROOF_SIDE_WALL = Detail(
    id="roof-side-wall",
    title="Roof slope against a sided wall",
    use="Where the eave of a roof stops at a wall that goes on beside and above it, and a gutter "
    "takes the water.",
    dimensions=(
        Dimension("pitch", 4, 3, 10, "rise of the roof in 12 in"),
        Dimension("roof_run", 48, 24, 144, "level length of the roof along the wall"),
        Dimension("roof_width", 36, 12, 120, "how much of the roof is drawn, away from the wall"),
        Dimension("wall_past", 16, 8, 96, "wall that goes on past the eave"),
        Dimension("wall_above", 24, 12, 96, "wall above the highest point of the roof"),
        Dimension("eave_height", 24, 8, 120, "height of the eave over the foot of the wall"),
    ),
    variants=(
        Variant(
            "right",
            "The right way",
            "Step flashing with each course, the barrier over its upturn, a diverter at the foot.",
        ),
        Variant(
            "no-diverter",
            "No diverter at the eave",
            "The channel stops behind the siding at the eave, nothing turns the water out into "
            "the gutter, and the lower barrier sheet was cut off at the roof line.",
        ),
        Variant(
            "barrier-behind-flashing",
            "Barrier behind the step flashing",
            "The step flashing was nailed over the barrier sheet instead of under it.",
        ),
        Variant(
            "short-upturn",
            "Step flashing too low",
            "The flashing turns up 1 in only and ends below the barrier sheet.",
        ),
        Variant(
            "sealed-channel",
            "Channel caulked to the flashing",
            "A bead of sealant along the lower edge of the channel: nothing behind can get out.",
        ),
    ),
    draw=_draw,
)
