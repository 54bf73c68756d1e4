"""A small porch for the structure tests: nine rafters, a beam on three posts, a house wall."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from weatherlap.structure.model import (
    Case,
    Framing,
    Hold,
    Joint,
    LineLoad,
    Member,
    Stock,
    Support,
    Use,
)

BEAM = Stock(1.5, 9.25, 2, "SPF", "No.2")
NEW_BEAM = Stock(1.5, 9.25, 2, "SP", "No.2")
POST = Stock(5.5, 5.5, 1, "SP", "No.2")
RAFTER = Stock(1.5, 5.5, 1, "SPF", "No.2")


@dataclass(frozen=True)
class Porch:
    """The framing and who is there as found."""

    framing: Framing
    first: frozenset[str]
    rafters: tuple[str, ...]


def build_porch(*, hold=Hold.BEARS, wind_up_psf=0.0, beam=BEAM):
    """The porch; ``hold`` of all joints, with wind if it is over 0."""
    members = [
        Member("beam", Use.BEAM, (0, 0, 96), (192, 0, 96), beam),
        Member("new", Use.BEAM, (0, 0, 96), (192, 0, 96), NEW_BEAM),
    ]
    joints, supports, loads = [], [], []
    for k, x in enumerate((3, 96, 189), 1):
        members.append(Member(f"p{k}", Use.POST, (x, 0, 0), (x, 0, 91), POST))
        supports.append(
            Support(f"f{k}", f"p{k}", (x, 0, 0), hold, bearing_length_in=5.5,
                    bearing_width_in=5.5)
        )  # fmt: skip
        joints += [
            Joint(f"{b}-p{k}", b, f"p{k}", (x, 0, 91), hold, bearing_length_in=5.5,
                  bearing_width_in=3.0)
            for b in ("beam", "new")
        ]  # fmt: skip
    for k in range(9):
        x, name = 24 * k, f"r{k}"
        members.append(
            Member(name, Use.RAFTER, (x, 96, 120), (x, -12, 102), RAFTER, repetitive=True,
                   unbraced_in=0)
        )  # fmt: skip
        supports.append(
            Support(f"h{k}", name, (x, 96, 120), Hold.PINNED, bearing_length_in=1.5,
                    bearing_width_in=1.5)
        )  # fmt: skip
        joints += [
            Joint(f"{name}-{b}", name, b, (x, 0, 104), hold, bearing_length_in=3.0,
                  bearing_width_in=1.5)
            for b in ("beam", "new")
        ]  # fmt: skip
        loads.append(LineLoad(name, Case.DEAD, 30, 30))
        loads.append(LineLoad(name, Case.ROOF_LIVE, 40, 40))
        if wind_up_psf:
            loads.append(LineLoad(name, Case.WIND_UP, -2 * wind_up_psf, -2 * wind_up_psf))
    framing = Framing(tuple(members), tuple(joints), tuple(supports), tuple(loads))
    first = frozenset(m.id for m in members) - {"new"}
    return Porch(framing, first, tuple(f"r{k}" for k in range(9)))


@pytest.fixture
def make_porch():
    """The builder of the porch."""
    return build_porch


@pytest.fixture
def porch():
    """The porch whose members only rest on each other."""
    return build_porch()


def simple_beam(stock, span_in, loads, **kw):
    """A beam between two supports with loads in plf by case, without own weight."""
    own = {"weight_pcf": 1e-9, "unbraced_in": 0.0, **kw}
    use = own.pop("use", Use.BEAM)
    member = Member("b", use, (0, 0, 0), (span_in, 0, 0), stock, **own)
    supports = (
        Support("left", "b", (0, 0, 0), Hold.PINNED, bearing_length_in=3.5, bearing_width_in=3.0),
        Support("right", "b", (span_in, 0, 0), Hold.TIED, bearing_length_in=3.5,
                bearing_width_in=3.0),
    )  # fmt: skip
    return Framing((member,), (), supports, tuple(LineLoad("b", c, w, w) for c, w in loads))


@pytest.fixture
def make_beam():
    """The builder of a simple beam."""
    return simple_beam
