"""Section properties, whole and with parts lost to rot. Plies add; they do not act as one."""

from __future__ import annotations

from dataclasses import dataclass

from weatherlap.errors import InputError
from weatherlap.structure.model import Loss, Member


@dataclass(frozen=True, slots=True)
class Section:
    """A solid section or plies side by side. [in]

    ``strong`` bends across the depth, ``weak`` across the width of each ply by itself.
    """

    width_in: float
    depth_in: float
    plies: int = 1

    @property
    def ply_in(self) -> float:
        """Width of one ply. [in]"""
        return self.width_in / self.plies

    @property
    def area_in2(self) -> float:
        """Area of all plies. [in2]"""
        return self.width_in * self.depth_in

    @property
    def strong_modulus_in3(self) -> float:
        """S = b d2 / 6. [in3]"""
        return self.width_in * self.depth_in**2 / 6

    @property
    def strong_inertia_in4(self) -> float:
        """I = b d3 / 12. [in4]"""
        return self.width_in * self.depth_in**3 / 12

    @property
    def weak_modulus_in3(self) -> float:
        """S across the width, ply by ply. [in3]"""
        return self.plies * self.depth_in * self.ply_in**2 / 6

    @property
    def weak_inertia_in4(self) -> float:
        """I across the width, ply by ply. [in4]"""
        return self.plies * self.depth_in * self.ply_in**3 / 12

    @property
    def torsion_in4(self) -> float:
        """Torsion constant, ply by ply. [in4]

        Sources
        -------
        S-062 : rectangle, J = a b3 (1/3 - 0.21 (b/a)(1 - b4/(12 a4))).
        """
        thin, wide = sorted((self.ply_in, self.depth_in))
        share = 1 / 3 - 0.21 * (thin / wide) * (1 - thin**4 / (12 * wide**4))
        return self.plies * wide * thin**3 * share


def whole_section(member: Member) -> Section:
    """Section without any loss; a member laid flat bends across its thickness. [in]

    Raises
    ------
    InputError
        Several plies laid flat.
    """
    stock = member.stock
    if not member.flat:
        return Section(stock.total_width_in, stock.depth_in, stock.plies)
    if stock.plies > 1:
        raise InputError(f"member {member.id!r}", "plies laid flat", "one ply, or plies on edge")
    return Section(stock.depth_in, stock.width_in)


def section_at(member: Member, along_in: float) -> Section:
    """Section at a distance from the start, less what rot took there. [in]

    Raises
    ------
    InputError
        Losses that leave nothing.

    Sources
    -------
    S-064 : what is left is taken as a plain rectangle of sound plies.
    """
    section = whole_section(member)
    for loss in member.losses:
        if loss.from_in - 1e-9 <= along_in <= loss.to_in + 1e-9:
            section = _less(section, loss, member.id)
    return section


def _less(section: Section, loss: Loss, name: str) -> Section:
    """A section less a loss."""
    plies = section.plies - loss.plies_gone
    width = section.ply_in * plies - loss.sides_in
    depth = section.depth_in - loss.top_in - loss.bottom_in
    if plies < 1 or width <= 0 or depth <= 0:
        raise InputError(
            f"member {name!r}, loss at {loss.from_in:g} in", "nothing left of the section",
            "some wood left", "If it carries nothing there, give the member the condition 'gone'.",
        )  # fmt: skip
    return Section(width, depth, plies)
