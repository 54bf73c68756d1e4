"""The whole answer for a corner: every line printable, every source known, gaps asked for."""

import math
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from weatherlap.sources.register import source, sources
from weatherlap.structure.anchors import AnchorGroup, Slab
from weatherlap.structure.connections import Fastening, RatedPart
from weatherlap.structure.dead import LoadLayer
from weatherlap.structure.fasteners import nail
from weatherlap.structure.holding import hold_corner, hold_up
from weatherlap.structure.model import (
    Case,
    Condition,
    Framing,
    Hold,
    LineLoad,
    Loss,
    Member,
    Service,
    Stage,
    StageKind,
    Stock,
    Support,
    Use,
)
from weatherlap.structure.ply_nailing import PlyNailing
from weatherlap.structure.results import Value, Verdict, number
from weatherlap.structure.roof_model import Roof, UpperRoof
from weatherlap.structure.site import Exposure, Site, Stated
from weatherlap.structure.survey import AnchoredBase, NailedPlies, Survey
from weatherlap.structure.tributary import Area

FOUND = Stage("found", StageKind.AS_FOUND)
SITE = Site(
    Stated(30, "city"), wind_mph=Stated(115, "city"), exposure=Exposure.B, roof_height_ft=12
)


def survey(make_porch, *, site=SITE, **kw):
    """The tied porch with its roof against a house wall."""
    porch = make_porch(hold=Hold.TIED)
    framing = Framing(porch.framing.members, porch.framing.joints, porch.framing.supports)
    area = Area("porch", ((-12, -12), (204, -12), (204, 96), (-12, 96)), porch.rafters,
                ((0, 96), (192, 96)))  # fmt: skip
    roof = Roof(area, 9.5, (LoadLayer("asphalt shingles"), LoadLayer("plywood", 0.5)),
                eave_to_ridge_ft=9, lower_length_ft=9, upper=UpperRoof(10, 30))  # fmt: skip
    return Survey(framing, site, (FOUND,), porch.first, (roof,), **kw)


def test_every_line_can_be_printed_and_followed(make_porch):
    """Each check has formula, figures, result, limit, ratio, sentence; each source is known."""
    held = hold_corner(survey(make_porch))
    assert len(held.checks) > 50
    for line in held.checks:
        source(line.source)
        assert line.sentence and line.stage == "found"
        if math.isfinite(line.ratio):
            assert line.formula and line.values
            assert line.ratio == pytest.approx(line.result / line.limit)
        for value in line.values:
            source(value.source)
    for figure in held.figured:
        source(figure.source)
        assert figure.values and figure.sentence
    for missing in held.missing:
        source(missing.source)
    for caution in (*held.cautions, *held.engineer):
        source(caution.source)


def test_nothing_is_ever_called_approved_or_safe(make_porch):
    """No sentence of the result says approved or safe."""
    held = hold_corner(survey(make_porch))
    words = " ".join(
        [c.sentence for c in held.checks] + [c.text for c in held.cautions]
        + [e.why for e in held.engineer] + [f.text for f in held.findings]
    )  # fmt: skip
    assert not re.search(r"\bapproved\b|\bsafe\b", words, re.IGNORECASE)


def test_every_structural_source_is_cited():
    """Each S source is cited somewhere in the room, and each cited one is in the register."""
    from importlib.resources import files

    room = files("weatherlap.structure")
    text = "".join(p.read_text("utf-8") for p in room.iterdir() if p.name.endswith(".py"))
    text += "".join(p.read_text("utf-8") for p in (room / "data").iterdir())
    cited = set(re.findall(r"S-\d{3}", text))
    held = {k for k in sources() if k.startswith("S-")}
    assert cited <= held
    assert held <= cited


def test_missing_site_values_stop_their_checks_only(make_porch):
    """Without snow there is no snow combination, yet the dead and roof live checks stand."""
    held = hold_corner(survey(make_porch, site=Site()))
    combos = {c.combination for c in held.checks}
    assert "D + Lr" in combos and not any("S" in c for c in combos)
    assert {"ground snow load", "design wind speed"} <= {m.value for m in held.missing}


def test_uplift_is_followed_to_the_weakest_link(make_porch):
    """With all links but one rated the path is complete and the small one is the weakest."""
    plain = survey(make_porch)
    ids = [j.id for j in plain.framing.joints] + [s.id for s in plain.framing.supports]
    strong = RatedPart("strap", "report", up_lb=5000, side_lb=5000, duration=1.6)
    weak = RatedPart("old strap", "report", up_lb=150, side_lb=5000, duration=1.6)
    fastenings = tuple(Fastening(i, (), weak if i == "beam-p2" else strong) for i in ids)
    held = hold_corner(survey(make_porch, fastenings=fastenings))
    path = held.uplift[0]
    assert path.links and path.weakest.link == "beam-p2"
    assert "beam-p2" in path.words
    levels = [one.level for one in path.links]
    assert levels == sorted(levels, reverse=True)
    open_ = hold_corner(survey(make_porch)).uplift[0]
    assert open_.missing and open_.weakest.holds_lb is None


def test_anchors_are_pulled_by_strength_loads(make_porch):
    """The base's anchors are checked under 0.9 D + 1.0 W, and pullout is asked for."""
    anchors = AnchorGroup("base 2", 0.5, 2.4, 0.16, 110000.0, "maker's report", across=2,
                          spacing_x_in=3.0)  # fmt: skip
    base = AnchoredBase("f2", anchors, Slab(3000.0, 4.0))
    held = hold_corner(survey(make_porch, bases=(base,)))
    mine = [c for c in held.checks if c.about == "base 2"]
    assert any(c.combination == "0.9 D + Wu" for c in mine)
    assert any(m.about == "base 2" for m in held.missing)


def test_ply_nailing_is_checked_with_the_side_load(make_porch):
    """A beam whose joists hang on one ply has its seam checked and its schedule."""
    nailed = NailedPlies("beam", PlyNailing(nail("10d box"), 16, 2), side_share=1.0)
    held = hold_corner(survey(make_porch, plies=(nailed,)))
    kinds = {c.what for c in held.checks if c.about == "beam"}
    assert {"ply nailing, load from one side", "ply nailing, schedule"} <= kinds


def test_engineer_conditions_are_named(porch):
    """A post with half its section gone, and framing that nothing ties to the house, need one."""
    members = tuple(
        Member(m.id, m.use, m.start_in, m.end_in, m.stock, condition=Condition.SOFT,
               losses=(Loss(0, 10, sides_in=3.0, top_in=1.0),))
        if m.id == "p2"
        else m
        for m in porch.framing.members
    )  # fmt: skip
    framing = Framing(members, porch.framing.joints, porch.framing.supports,
                      porch.framing.line_loads)  # fmt: skip
    held = hold_up(framing, (FOUND,), first=porch.first)
    assert any(e.about == "p2" and "gone" in e.why for e in held.engineer)
    lone = Framing(
        (Member("p", Use.POST, (0, 0, 0), (0, 0, 90), Stock(5.5, 5.5, 1, "SP", "No.2")),),
        (), (Support("f", "p", (0, 0, 0)),),
    )  # fmt: skip
    alone = hold_up(lone, (FOUND,), first=frozenset({"p"}))
    assert any("sideways" in e.why for e in alone.engineer)


def test_cautions_for_wet_and_treated_lumber(make_beam):
    """Wood found wet but worked dry, and treated wood without incising, get a caution."""
    framing = make_beam(
        Stock(1.5, 9.25, 2, "HF", "No.2"), 96, [(Case.DEAD, 50)], condition=Condition.WET,
        service=Service(treated=True),
    )  # fmt: skip
    held = hold_up(framing, (FOUND,), first=frozenset({"b"}))
    text = " ".join(c.text for c in held.cautions)
    assert "found wet" in text and "incised" in text


def test_numbers_print_as_engineers_read_them():
    """Thousands whole with commas, small ones to four digits, units beside."""
    assert number(12345.6) == "12,346"
    assert number(0.123456) == "0.1235"
    assert number(math.inf) == "no limit"
    assert Value("fb", 1234.5, "psi", "S-013").text() == "fb = 1,234 psi"
    assert Value("CD", 1.15, "-", "S-009").text() == "CD = 1.15"


@settings(max_examples=25, deadline=None)
@given(
    st.floats(30.0, 220.0), st.sampled_from(["DF-L", "HF", "SPF", "SP"]),
    st.sampled_from([3.5, 5.5, 7.25, 9.25, 11.25]), st.integers(1, 3), st.floats(20.0, 900.0),
    st.booleans(),
)  # fmt: skip
def test_any_simple_beam_is_judged_without_a_crash(span, species, depth, plies, plf, wet):
    """Any beam of the tables gives checks with finite figures, or says what is outside."""
    beam = Member(
        "b", Use.BEAM, (0, 0, 0), (span, 0, 0), Stock(1.5, depth, plies, species, "No.2"),
        service=Service(wet=wet),
    )  # fmt: skip
    supports = (Support("l", "b", (0, 0, 0), Hold.PINNED), Support("r", "b", (span, 0, 0)))
    loads = (LineLoad("b", Case.DEAD, plf / 3, plf / 3), LineLoad("b", Case.SNOW, plf, plf))
    held = hold_up(Framing((beam,), (), supports, loads), (FOUND,), first=frozenset({"b"}))
    kinds = {c.what for c in held.checks}
    assert {"shear", "bending"} <= kinds
    for line in held.checks:
        assert line.verdict is Verdict.OUTSIDE or math.isfinite(line.ratio)
        assert not math.isnan(line.ratio)
