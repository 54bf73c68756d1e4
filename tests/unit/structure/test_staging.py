"""Stages of a porch: who carries what, when."""

import pytest

from weatherlap.errors import InputError
from weatherlap.structure.model import (
    Case,
    Condition,
    Framing,
    Hold,
    Joint,
    Lift,
    LineLoad,
    Loss,
    Member,
    PointLoad,
    Shim,
    Stage,
    StageKind,
    Stock,
    Support,
    Use,
)
from weatherlap.structure.staging import as_found, run_stages

HEADER = Stock(1.5, 9.25, 2, "SPF", "No.2")
TEMP = Stock(3.5, 3.5, 1, "SPF", "No.2")
FOUND = Stage("found", StageKind.AS_FOUND)


def with_shore(porch, y=24.0):
    """The porch with a header and three temporary posts in store."""
    members, joints, supports = [], [], []
    members.append(Member("hdr", Use.HEADER, (-6, y, 100), (198, y, 100), HEADER, temporary=True))
    for k, x in enumerate((24, 96, 168), 1):
        members.append(Member(f"t{k}", Use.POST, (x, y, 0), (x, y, 95), TEMP, temporary=True))
        joints.append(Joint(f"hdr-t{k}", "hdr", f"t{k}", (x, y, 95)))
        supports.append(Support(f"tf{k}", f"t{k}", (x, y, 0)))
    joints += [Joint(f"{r}-hdr", r, "hdr", (24 * k, y, 106)) for k, r in enumerate(porch.rafters)]
    f = porch.framing
    return Framing(
        (*f.members, *members), (*f.joints, *joints), (*f.supports, *supports), f.line_loads
    )


TEMPS = ("hdr", "t1", "t2", "t3")
SET = Stage("set", StageKind.POSTS_SET, puts_in=TEMPS)
LIFT = Stage("lift", StageKind.JACKED, lifts=tuple(Lift(f"tf{k}", 0.25) for k in (1, 2, 3)))
OUT = Stage("out", StageKind.OUT, takes_out=("beam",))
IN = Stage("in", StageKind.IN, puts_in=("new",))
OFF = Stage("off", StageKind.JACKS_OFF, takes_out=TEMPS)


def pushes(result, prefix):
    """Dead load at the links whose id begins so."""
    return {k: v[2] for k, v in result.dead.push_lb.items() if k.startswith(prefix)}


def test_posts_that_are_only_set_carry_only_themselves(porch):
    """Snug posts carry the header's and their own weight; the old posts carry what they did."""
    found, set_ = run_stages(with_shore(porch), (FOUND, SET), first=porch.first)
    assert pushes(set_, "f") == pytest.approx(pushes(found, "f"), rel=1e-3)
    weight = 28.5 / 1728 * (204 * 27.75 + 3 * 95 * 12.25)
    assert sum(pushes(set_, "tf").values()) == pytest.approx(weight, rel=1e-3)


def test_jacking_takes_the_load_off_the_beam_and_the_total_stays(porch):
    """After the lift the beam's posts carry only beam and posts; all feet together the same."""
    framing = with_shore(porch)
    set_, lift = run_stages(framing, (FOUND, SET, LIFT), first=porch.first)[1:]
    assert sum(pushes(lift, "f").values()) < 0.2 * sum(pushes(set_, "f").values())
    everything = [
        sum(v[2] for k, v in s.dead.push_lb.items() if k[0] in "fth" and "-" not in k)
        for s in (set_, lift)
    ]
    assert everything[0] == pytest.approx(everything[1], rel=1e-4)


def test_whole_exchange_ends_with_the_new_beam_carrying(porch):
    """Old beam out, new in, jacks off: the new beam carries what the old one did, plus its own."""
    results = run_stages(with_shore(porch), (FOUND, SET, LIFT, OUT, IN, OFF), first=porch.first)
    assert all(r.stands for r in results)
    before, after = (sum(pushes(r, "f").values()) for r in (results[0], results[-1]))
    heavier = (36.7 - 28.5) / 1728 * 27.75 * 192
    assert after - before == pytest.approx(heavier, rel=0.05)


def test_cutting_the_beam_without_a_shore_is_a_finding_not_a_crash(porch):
    """Without a shore the rafters have no load path once the beam is out."""
    result = run_stages(porch.framing, (FOUND, OUT), first=porch.first)[1]
    assert not result.stands
    assert set(porch.rafters) <= set(result.loose)


def test_what_only_rests_flies_in_the_wind(make_porch):
    """A roof that bears only is loose under uplift; one that is tied is not and its ties pull."""
    resting = as_found(make_porch(wind_up_psf=60).framing)
    assert resting.stands and "r4" in resting.flies
    tied = as_found(make_porch(wind_up_psf=60, hold=Hold.TIED).framing)
    assert not tied.flies
    up = next(c for c in tied.carried if c.upward)
    assert up.push_lb["r4-beam"][2] < -50


def two_plies(gap):
    """A sound ply and a hanging one over the same two posts, under a joist line."""
    ply = Stock(1.5, 9.25, 1, "SPF", "No.2")
    a = Member("a", Use.BEAM, (0, 0, 0), (120, 0, 0), ply, weight_pcf=1e-9)
    b = Member("b", Use.BEAM, (0, 1.5, 0), (120, 1.5, 0), ply, weight_pcf=1e-9)
    supports = [Support(f"{m}{k}", m, (x, y, 0), Hold.BEARS, gap if m == "b" else 0.0)
                for m, y in (("a", 0), ("b", 1.5)) for k, x in enumerate((0, 120))]  # fmt: skip
    joints = [Joint(f"a-b-{x}", "b", "a", (x, 0.75, 0), Hold.PINNED) for x in (30, 60, 90)]
    return Framing((a, b), tuple(joints), tuple(supports), (LineLoad("a", Case.DEAD, 200, 200),))


def test_a_ply_that_hangs_in_the_air_carries_nothing_at_its_ends():
    """A ply short of its bearing gives its share to the other until the gap closes."""
    far = as_found(two_plies(1.0)).dead.push_lb
    assert far["b0"][2] == 0.0 and far["a0"][2] == pytest.approx(1000, rel=1e-3)
    tight = as_found(two_plies(0.0)).dead.push_lb
    assert tight["b0"][2] > 100


def two_span(gap):
    """A beam over three posts, the middle one short by a gap."""
    stock = Stock(1.5, 9.25, 2, "SPF", "No.2")
    beam = Member("b", Use.BEAM, (0, 0, 0), (240, 0, 0), stock, weight_pcf=1e-9)
    post = Member("p", Use.POST, (120, 0, -60), (120, 0, 0), stock, weight_pcf=1e-9)
    supports = (
        Support("l", "b", (0, 0, 0)), Support("r", "b", (240, 0, 0)),
        Support("foot", "p", (120, 0, -60)),
    )  # fmt: skip
    joints = (Joint("mid", "b", "p", (120, 0, 0), gap_in=gap),)
    return Framing((beam, post), joints, supports, (LineLoad("b", Case.DEAD, 100, 100),))


def test_a_shim_closes_a_gap_and_then_lifts():
    """A short post carries nothing; a shim as thick as the gap past the sag brings load to it."""
    framing = two_span(2.0)
    first = frozenset({"b", "p"})
    shim = Stage("shim", StageKind.SHIMMED, shims=(Shim("mid", 2.0),))
    before, after = run_stages(framing, (FOUND, shim), first=first)
    assert before.dead.push_lb["mid"][2] == 0.0
    assert after.dead.push_lb["mid"][2] == pytest.approx(5 / 8 * 2000, rel=0.01)


def test_a_settled_foot_loses_load():
    """A negative lift is settlement: the foot that sinks by the free sag carries nothing more."""
    framing = two_span(0.0)
    sink = Stage("sink", StageKind.AS_FOUND, lifts=(Lift("foot", -2.0),))
    level, sunk = run_stages(framing, (FOUND, sink), first=frozenset({"b", "p"}))
    assert level.dead.push_lb["mid"][2] == pytest.approx(1250, rel=0.01)
    assert sunk.dead.push_lb["mid"][2] == pytest.approx(0.0, abs=0.01)


def test_a_member_that_is_gone_carries_nothing():
    """A post with the condition 'gone' leaves its beam to the others."""
    framing = two_span(0.0)
    gone = Framing(
        (framing.members[0], Member("p", Use.POST, (120, 0, -60), (120, 0, 0), HEADER,
                                    condition=Condition.GONE)),
        framing.joints, framing.supports, framing.line_loads,
    )  # fmt: skip
    dead = as_found(gone).dead.push_lb
    assert "mid" not in dead and dead["l"][2] == pytest.approx(1000, rel=1e-3)


@pytest.mark.parametrize(
    ("stage", "words"),
    [
        pytest.param(Stage("s", StageKind.OUT, takes_out=("x",)), "member 'x'", id="unknown"),
        pytest.param(Stage("s", StageKind.OUT, takes_out=("new",)), "not there", id="not-in"),
        pytest.param(
            Stage("s", StageKind.JACKED, lifts=(Lift("tf9", 0.1),)), "a lift at 'tf9'", id="lift"
        ),
        pytest.param(
            Stage("s", StageKind.SHIMMED, shims=(Shim("q", 0.1),)), "a shim at 'q'", id="shim"
        ),
    ],
)
def test_stages_that_name_what_is_not_there_are_refused(porch, stage, words):
    """A stage that names a wrong member, foot or joint says which."""
    with pytest.raises(InputError, match=words):
        run_stages(porch.framing, (FOUND, stage), first=porch.first)


POST_STOCK = Stock(3.5, 3.5, 1, "SPF", "No.2")


@pytest.mark.parametrize(
    ("make", "words"),
    [
        pytest.param(
            lambda: Member("z", Use.POST, (0, 0, 0), (0, 0, 0), POST_STOCK), "length of 0 in",
            id="zero-length",
        ),
        pytest.param(lambda: Stock(-1.5, 3.5, 1, "SPF", "No.2"), "width -1.5", id="negative"),
        pytest.param(
            lambda: Member("z", Use.POST, (0, 0, 0), (0, 0, 9), POST_STOCK,
                           condition=Condition.SOFT),
            "soft without a measured loss", id="soft-unmeasured",
        ),
        pytest.param(
            lambda: Member("z", Use.POST, (0, 0, 0), (0, 0, 9), POST_STOCK,
                           losses=(Loss(2, 20, top_in=1),)),
            "inside 0 to 9 in", id="loss-off-member",
        ),
        pytest.param(
            lambda: as_found(Framing((
                Member("b", Use.BEAM, (0, 0, 0), (99, 0, 0), POST_STOCK),
                Member("b", Use.BEAM, (0, 0, 0), (99, 0, 0), POST_STOCK)))),
            "same id twice", id="twice",
        ),
        pytest.param(
            lambda: as_found(Framing((Member("b", Use.BEAM, (0, 0, 0), (99, 0, 0), POST_STOCK),),
                                     supports=(Support("s", "b", (0, 90, 0)),))),
            "off the axis", id="support-off-axis",
        ),
        pytest.param(
            lambda: as_found(Framing((Member("b", Use.BEAM, (0, 0, 0), (99, 0, 0), POST_STOCK),),
                                     point_loads=(PointLoad("b", Case.DEAD, 5, 200.0),))),
            "a place 200 in along", id="load-off-member",
        ),
        pytest.param(
            lambda: as_found(Framing((Member("p", Use.POST, (0, 0, 0), (0, 0, 99), POST_STOCK),),
                                     line_loads=(LineLoad("p", Case.DEAD, 5, 5),))),
            "an upright member", id="plan-load-on-post",
        ),
    ],
)  # fmt: skip
def test_bad_framing_names_the_member(make, words):
    """Bad framing is refused with the member and what is wrong."""
    with pytest.raises(InputError, match=words):
        make()
