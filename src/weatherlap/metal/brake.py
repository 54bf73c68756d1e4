"""The leaf brake that a crew owns, as sizes that can be measured on it.

Seen from its end: the hinge at (0, 0), the leaf in front (+x), the bed behind (-x) with the sheet
on it at y = 0, and the clamp bar on the sheet, from its nose at the hinge backward.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from weatherlap.errors import InputError
from weatherlap.metal.model import checked

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Brake:
    """Sizes of a leaf brake. [in, deg]

    ``throat_in`` is from the hinge to the first thing behind that stops the sheet;
    ``nose_deg`` the angle between bed and the front of the clamp bar; ``bar_height_in`` and
    ``bar_depth_in`` the bar's size, ``bar_lift_in`` how high it opens; ``bed_depth_in`` how far
    back the bed carries the sheet; ``least_clamp_in`` and ``least_flange_in`` the narrowest part
    that can be held and that the leaf can fold; ``swing_deg`` how far the leaf turns the metal.
    ``thickest_in`` is for aluminum. ``from_end`` says whether pieces can be slid in from its end.
    """

    name: str
    length_in: float
    throat_in: float
    least_clamp_in: float
    least_flange_in: float
    nose_deg: float
    bar_height_in: float
    bar_depth_in: float
    bar_lift_in: float
    bed_depth_in: float
    leaf_depth_in: float
    leaf_thick_in: float
    swing_deg: float
    springback_deg: float
    thickest_in: float
    from_end: bool = True
    invented: bool = False

    def __post_init__(self) -> None:
        for name in ("length_in", "throat_in", "bar_height_in", "bar_depth_in", "bed_depth_in"):
            checked(f"brake {self.name}, {name}", getattr(self, name), least=0.1, most=1000.0)
        for name in ("least_clamp_in", "least_flange_in", "bar_lift_in", "leaf_depth_in"):
            checked(f"brake {self.name}, {name}", getattr(self, name), least=0.01, most=100.0)
        checked(f"brake {self.name}, leaf_thick_in", self.leaf_thick_in, least=0.01, most=10.0)
        checked(f"brake {self.name}, thickest_in", self.thickest_in, least=0.004, most=0.5)
        for name, most in (("nose_deg", 90.0), ("swing_deg", 179.0), ("springback_deg", 30.0)):
            least = 0.0 if name == "springback_deg" else 10.0
            value = getattr(self, name)
            checked(f"brake {self.name}, {name}", value, least=least, most=most, unit="degrees")
        if self.nose_deg + self.swing_deg > 180.0:
            found = f"a swing of {self.swing_deg:g} and a nose of {self.nose_deg:g} degrees"
            raise InputError(f"brake {self.name}", found, "no more than 180 together")

    def bar(self) -> tuple[Point, ...]:
        """Outline of the clamp bar."""
        run = self.bar_height_in / math.tan(math.radians(self.nose_deg))
        depth, height = self.bar_depth_in, self.bar_height_in
        if run >= depth:
            return (0.0, 0.0), (-depth, height * depth / run), (-depth, 0.0)
        return (0.0, 0.0), (-run, height), (-depth, height), (-depth, 0.0)

    def bed(self) -> tuple[Point, ...]:
        """Outline of the bed, as deep as anything that could hang behind it."""
        low = -self.throat_in
        return (0.0, 0.0), (-self.bed_depth_in, 0.0), (-self.bed_depth_in, low), (0.0, low)

    def table(self) -> tuple[Point, ...]:
        """Outline of bed and leaf together at rest, as deep as the leaf is thick."""
        front, back, low = self.leaf_depth_in, -self.bed_depth_in, -self.leaf_thick_in
        return (front, 0.0), (back, 0.0), (back, low), (front, low)

    def leaf(self, angle_deg: float = 0.0) -> tuple[Point, ...]:
        """Outline of the leaf when turned up by an angle."""
        deep, thick = self.leaf_depth_in, -self.leaf_thick_in
        at_rest = (0.0, 0.0), (0.0, thick), (deep, thick), (deep, 0.0)
        return tuple(turned(point, angle_deg) for point in at_rest)


def turned(point: Point, angle_deg: float) -> Point:
    """A point turned about the hinge, counter-clockwise."""
    angle = math.radians(angle_deg)
    c, s = math.cos(angle), math.sin(angle)
    return point[0] * c - point[1] * s, point[0] * s + point[1] * c
