"""The side of a brick chimney on a roof slope."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from weatherlap.building.details.courses import RoofLine, shingles, step_flashing, steps
from weatherlap.building.details.model import Detail, Dimension, Sizes, Variant
from weatherlap.building.details.parts import (
    Drawn,
    Slant,
    cut,
    face,
    piece,
    rect,
    shape,
    sixteenth,
    tilt_deg,
    up_to_sixteenth,
)
from weatherlap.job.model import Edge

UPTURN_IN = 4.0
COUNTER_FOOT_IN = 1.0
COUNTER_TOP_IN = 6.0
CLEAR_IN = 0.25


@dataclass(frozen=True, slots=True)
class _Plan:
    """The side of the chimney and the roof beside it. [in]"""

    run: float
    rise: float
    top: float
    width: float
    length: float
    line: Slant

    @property
    def against(self) -> RoofLine:
        """The roof's edge along the chimney."""
        return RoofLine("side", "roof", self.line, self.run, self.length)

    def over(self, square: float) -> float:
        """A height over the roof, plumb, from one square to it."""
        return self.line.upright(square)


def _plan(sizes: Sizes) -> _Plan:
    run = sizes["depth"]
    rise = sixteenth(run * sizes["pitch"] / 12)
    return _Plan(
        run=run,
        rise=rise,
        top=rise + sizes["height"],
        width=sizes["roof_width"],
        length=up_to_sixteenth(math.hypot(run, rise)),
        line=Slant(0.0, 0.0, rise / run),
    )


def _draw(sizes: Sizes, wrong: str) -> list[Drawn]:
    plan = _plan(sizes)
    return [
        *_faces(plan),
        *_roof(plan),
        *_counter(plan, wrong),
        cut("section", "Across the roof and up the chimney", face_id="side", at=plan.run / 2),
    ]


def _side(plan: _Plan) -> list[tuple[float, float]]:
    return [(0.0, 0.0), (plan.run, plan.rise), (plan.run, plan.top), (0.0, plan.top)]


def _faces(plan: _Plan) -> Iterator[Drawn]:
    yield face(
        "side",
        "side of the chimney",
        facing=90,
        tilt=90,
        origin=(0, 0, 0),
        outline=_side(plan),
        comment="The heights are over the lowest corner of the chimney at the roof.",
    )
    yield face(
        "roof",
        "roof beside the chimney",
        facing=180,
        tilt=tilt_deg(plan.line.slope),
        origin=(0, 0, 0),
        size=(plan.width, plan.length),
    )


def _roof(plan: _Plan) -> Iterator[Drawn]:
    width, length = plan.width, plan.length
    yield piece("brick", "chimney", "chimney-brick", shape("side", _side(plan)))
    yield piece("deck", "roof deck", "roof-deck-plywood", rect("roof", 0, 0, width, length))
    yield piece(
        "underlayment",
        "underlayment",
        "roof-underlayment",
        rect("roof", CLEAR_IN, 0, width, length),
        comment="Deck and covering stay clear of the brick.",
    )
    up = plan.over(UPTURN_IN)
    flashings = [step_flashing(s, plan.against, out=UPTURN_IN, up=up) for s in steps(length)]
    yield from shingles("roof", (CLEAR_IN, width), length, between=flashings)


def _counter(plan: _Plan, wrong: str) -> Iterator[Drawn]:
    if wrong == "no-counter":
        return
    line, run = plan.line, plan.run
    foot = UPTURN_IN + 0.5 if wrong == "high-counter" else COUNTER_FOOT_IN
    low, high = plan.over(foot), plan.over(COUNTER_TOP_IN)
    open_top = wrong == "open-top"
    yield piece(
        "counter",
        "counter flashing",
        "counter-flashing",
        shape("side", line.band(0, run, low=low, high=high)),
        sealed=() if open_top else (Edge.TOP,),
        comment="Stuck to the face of the brick; the bead along its top has let go."
        if open_top
        else "Let into a joint and pointed, so that water on the brick runs out over it.",
    )


CHIMNEY_SIDE = Detail(
    id="chimney-side",
    title="Side of a chimney on a roof slope",
    use="Where shingles run up beside a brick chimney: step flashing and a counter flashing.",
    dimensions=(
        Dimension("pitch", 6, 3, 12, "rise of the roof in 12 in"),
        Dimension("depth", 32, 16, 96, "level depth of the chimney, up the roof"),
        Dimension("height", 30, 12, 120, "height of the chimney over the roof at its back"),
        Dimension("roof_width", 30, 12, 120, "how much of the roof is drawn, away from it"),
    ),
    variants=(
        Variant(
            "right",
            "The right way",
            "A step flashing with each course, and a counter flashing let into a joint over them.",
        ),
        Variant(
            "open-top",
            "Counter flashing open at its top",
            "The counter flashing is stuck to the face of the brick and its bead has let go: water "
            "on the brick runs in behind it.",
        ),
        Variant(
            "no-counter",
            "No counter flashing",
            "The step flashing stands against the brick with nothing over its edge.",
        ),
        Variant(
            "high-counter",
            "Counter flashing does not reach",
            "The counter flashing ends above the step flashing instead of over it.",
        ),
    ),
    draw=_draw,
)
