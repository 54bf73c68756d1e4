"""A metal-wrapped beam on a wrapped post."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from weatherlap.building.details.model import Detail, Dimension, Sizes, Variant
from weatherlap.building.details.parts import (
    Drawn,
    cut,
    face,
    piece,
    rect,
    sixteenth,
    tilt_deg,
    up_to_sixteenth,
)

FALL_IN = 0.5
FOOT_IN = 2.0
LAP_IN = 2.0
LEG_IN = 1.5
GAP_IN = 0.375
TAB_IN = 0.5
SLAB_OUT_IN = 24.0
SLAB_FALL_IN = 0.5


@dataclass(frozen=True, slots=True)
class _Plan:
    """The beam over the post; heights are over the foot of the post. [in]"""

    width: float
    deep: float
    low: float
    top: float
    left: float
    right: float

    @property
    def cap_depth(self) -> float:
        """The top of the beam, up its slope."""
        return up_to_sixteenth(math.hypot(self.deep, FALL_IN))

    @property
    def joint(self) -> float:
        """Where the two lengths of the beam's wrap meet."""
        return sixteenth(self.left / 2)


def _plan(sizes: Sizes) -> _Plan:
    left = sizes["beam_left"]
    right = left + sizes["post"]
    low = sizes["post_height"]
    return _Plan(
        width=right + sizes["beam_right"],
        deep=sizes["beam_width"],
        low=low,
        top=low + sizes["beam_depth"],
        left=left,
        right=right,
    )


def _draw(sizes: Sizes, wrong: str) -> list[Drawn]:
    plan = _plan(sizes)
    return [
        *_faces(plan),
        *_other_faces(plan),
        *_slab_face(plan),
        *_wood(plan),
        *_metal(plan, wrong),
        cut(
            "at-post",
            "Through the beam and the post",
            face_id="front",
            at=(plan.left + plan.right) / 2,
        ),
        cut("beside-post", "Through the beam beside the post", face_id="front", at=plan.left / 4),
    ]


def _faces(plan: _Plan) -> Iterator[Drawn]:
    left, right, low, deep = plan.left, plan.right, plan.low, plan.deep
    yield face(
        "top",
        "top of the beam",
        facing=180,
        tilt=tilt_deg(FALL_IN / deep),
        origin=(0, -deep, FOOT_IN + plan.top),
        size=(plan.width, plan.cap_depth),
    )
    yield face(
        "front",
        "front of beam and post",
        facing=180,
        tilt=90,
        origin=(0, -deep, FOOT_IN),
        outline=[
            (left, 0),
            (right, 0),
            (right, low),
            (plan.width, low),
            (plan.width, plan.top),
            (0, plan.top),
            (0, low),
            (left, low),
        ],
        comment="Beam and post are flush, so they are one face.",
    )


def _other_faces(plan: _Plan) -> Iterator[Drawn]:
    left, right, low, deep = plan.left, plan.right, plan.low, plan.deep
    for name, start, size in (("left", 0.0, left), ("right", right, plan.width - right)):
        yield face(
            f"under-{name}",
            f"underside of the beam, {name} of the post",
            facing=180,
            tilt=180,
            origin=(start, 0, FOOT_IN + low),
            size=(size, deep),
        )
    yield face(
        "post-left",
        "left side of the post",
        facing=270,
        tilt=90,
        origin=(left, 0, FOOT_IN),
        size=(deep, low),
    )
    yield face(
        "post-right",
        "right side of the post",
        facing=90,
        tilt=90,
        origin=(right, -deep, FOOT_IN),
        size=(deep, low),
    )


def _slab_face(plan: _Plan) -> Iterator[Drawn]:
    run = plan.deep + SLAB_OUT_IN
    yield face(
        "slab",
        "slab",
        facing=180,
        tilt=tilt_deg(SLAB_FALL_IN / run),
        origin=(0, -run, -SLAB_FALL_IN),
        size=(plan.width, run),
        comment="The post stands off the slab on a metal base 2 in high.",
    )
    yield piece("slab", "slab", "concrete", rect("slab", 0, 0, plan.width, run))


def _wood(plan: _Plan) -> Iterator[Drawn]:
    left, right, low, deep = plan.left, plan.right, plan.low, plan.deep
    yield piece(
        "post",
        "post",
        "post",
        rect("front", left, 0, right, low),
        rect("post-left", 0, 0, deep, low),
        rect("post-right", 0, 0, deep, low),
    )
    yield piece(
        "beam",
        "beam",
        "beam",
        rect("top", 0, 0, plan.width, plan.cap_depth),
        rect("front", 0, low, plan.width, plan.top),
        rect("under-left", 0, 0, left, deep),
        rect("under-right", 0, 0, plan.width - right, deep),
    )


def _metal(plan: _Plan, wrong: str) -> Iterator[Drawn]:
    left, right, low, deep = plan.left, plan.right, plan.low, plan.deep
    yield piece(
        "post-wrap",
        "post wrap",
        "coil-wrap",
        rect("front", left, 0, right, low + LEG_IN),
        rect("post-left", 0, 0, deep, low),
        rect("post-right", 0, 0, deep, low),
        comment="Goes 1 1/2 in up behind the wrap of the beam; its foot is open.",
    )
    yield from _beam_wrap(plan, wrong)
    tucked = wrong == "cap-behind-wrap"
    yield piece(
        "cap",
        "beam cap",
        "cap-flashing",
        rect("top", 0, 0, plan.width, plan.cap_depth),
        rect("front", 0, plan.top - LEG_IN, plan.width, plan.top),
        behind=("beam-wrap-left", "beam-wrap-right") if tucked else (),
        comment=(
            "Its leg was tucked in behind the wrap."
            if tucked
            else "Its leg hangs down over the wrap."
        ),
    )


def _beam_wrap(plan: _Plan, wrong: str) -> Iterator[Drawn]:
    """The wrap of the beam, in two lengths that lap."""
    left, right, low, deep = plan.left, plan.right, plan.low, plan.deep
    joint, drip = plan.joint, wrong != "no-drip"
    is_open = wrong == "open-joint"
    yield piece(
        "beam-wrap-left",
        "left length of the beam wrap",
        "coil-wrap",
        rect("front", 0, low, joint, plan.top),
        rect("under-left", 0, 0, joint, deep),
        drip=drip,
    )
    start = joint + GAP_IN if is_open else joint - LAP_IN
    yield piece(
        "beam-wrap-right",
        "right length of the beam wrap",
        "coil-wrap",
        rect("front", start, low, plan.width, plan.top),
        rect("front", left, low - TAB_IN, right, low),
        rect("under-left", start, 0, left, deep),
        rect("under-right", 0, 0, plan.width - right, deep),
        drip=drip,
        behind=("post-wrap",) if wrong == "beam-wrap-behind-post-wrap" else (),
        comment="Does not reach the other length." if is_open else "Laps over the other length.",
    )


BEAM_POST = Detail(
    id="wrapped-beam-on-post",
    title="Metal-wrapped beam on a wrapped post",
    use="A beam out in the rain with a cap, wrapped in trim coil like the post under it.",
    dimensions=(
        Dimension("beam_width", 5.5, 3, 12, "width of the beam, front to back"),
        Dimension("beam_depth", 9.25, 5.5, 18, "depth of the beam"),
        Dimension("beam_left", 24, 12, 120, "beam left of the post"),
        Dimension("beam_right", 24, 6, 120, "beam right of the post"),
        Dimension("post", 5.5, 3.5, 12, "width of the post"),
        Dimension("post_height", 84, 24, 144, "height of the post"),
    ),
    variants=(
        Variant(
            "right",
            "The right way",
            "Cap over wrap, wrap of the beam over wrap of the post, each with a free lower edge.",
        ),
        Variant(
            "beam-wrap-behind-post-wrap",
            "Beam wrap behind the post wrap",
            "The post was wrapped last: its wrap stands in front of the wrap of the beam.",
        ),
        Variant(
            "cap-behind-wrap",
            "Cap behind the wrap",
            "The leg of the cap was tucked in behind the wrap on the front of the beam.",
        ),
        Variant(
            "open-joint",
            "Open joint in the beam wrap",
            "The two lengths of wrap do not reach each other: wood shows in the joint.",
        ),
        Variant(
            "no-drip",
            "No drip on the beam wrap",
            "The wrap is bent in square under the beam: water runs back along the underside.",
        ),
    ),
    draw=_draw,
)
