"""Lap rules on small corners: each rule kept and broken, and where a rule does not apply."""

from __future__ import annotations

import inspect
import math
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from weatherlap.building.corner import build_corner
from weatherlap.building.laps import laps
from weatherlap.job.model import Job, Sheet, Site
from weatherlap.sources.catalogue import catalogue
from weatherlap.sources.register import sources
from weatherlap.sources.rulebook import Basis, rule, rulebook
from weatherlap.units import tape
from weatherlap.water import rules_edges, rules_folds, rules_gutters, rules_laps
from weatherlap.water.kinds import Kind, kind_of
from weatherlap.water.rain import site_rain
from weatherlap.water.rules import broken, check_rules

RAIN = site_rain(Site())
WALL = {"id": "wall", "facing": 180, "tilt": 90, "origin": [0, 0, 0], "width": 240, "height": 200}
SLOPE = math.degrees(math.atan2(4, 12))


def corner_of(faces, *pieces):
    """A corner of faces and of pieces (id, keys) in stack order."""
    rows = [{"id": name, **keys} for name, keys in pieces]
    return build_corner(Job.model_validate({"job": {"title": "t"}, "face": faces, "piece": rows}))


def sheet(kind, *rects, face="wall", **keys):
    """Keys of a piece with a catalogue entry and rectangles on a face."""
    return {"what": kind, "on": [{"face": face, "rect": list(r)} for r in rects], **keys}


def results(corner, key, **options):
    """Results of one rule on a corner."""
    return [r for r in check_rules(corner, rain=RAIN, **options) if r.rule == key]


def one(corner, key, **options):
    """The only result of a rule on a corner."""
    (found,) = results(corner, key, **options)
    return found


# --- barrier and underlayment ---------------------------------------------------------------


def test_reversed_laps_of_the_smallest_example():
    """Six inches of barrier the wrong way round count for nothing, and are called reversed."""
    corner = corner_of(
        [WALL],
        ("sheathing", {"sheet": "absorbs", "on": [{"face": "wall", "rect": [0, 0, 96, 96]}]}),
        ("upper", {"sheet": "resists", "on": [{"face": "wall", "rect": [0, 46, 96, 96]}]}),
        ("lower", {"sheet": "resists", "on": [{"face": "wall", "rect": [0, 0, 96, 52]}]}),
    )
    lap, way = one(corner, "barrier-lap"), one(corner, "lap-way")
    assert (lap.measured_in, lap.required_in, lap.ok) == (0.0, 2.0, False)
    assert (way.measured_in, way.ok, way.pieces) == (6.0, False, (1, 2))
    assert "runs behind lower" in way.text
    assert "2015" in lap.source
    assert "R703.2" in lap.text


@pytest.mark.parametrize(("lap_in", "ok"), [(1.0, False), (1.9, False), (2.0, True), (6.0, True)])
def test_barrier_lap(lap_in, ok):
    """An upper sheet over the lower needs two inches."""
    corner = corner_of(
        [WALL],
        ("lower", sheet("housewrap", (0, 0, 96, 50))),
        ("upper", sheet("housewrap", (0, 50 - lap_in, 96, 96))),
    )
    found = one(corner, "barrier-lap")
    assert found.measured_in == approx(lap_in)
    assert (found.ok, found.required_in, found.basis) == (ok, 2.0, Basis.CODE)
    assert results(corner, "lap-way") == []


@pytest.mark.parametrize(("joint_in", "ok"), [(4.0, False), (6.0, True)])
def test_barrier_joint(joint_in, ok):
    """Sheets side by side need six inches."""
    corner = corner_of(
        [WALL],
        ("left", sheet("felt-15", (0, 0, 60, 40))),
        ("right", sheet("felt-15", (60 - joint_in, 0, 120, 40))),
    )
    found = one(corner, "barrier-joint")
    assert (found.measured_in, found.ok) == (approx(joint_in), ok)
    assert tape(joint_in) in found.text


def test_sealed_top_is_noted():
    """A reversed lap that only a seal keeps dry is let pass with a word on the seal."""
    corner = corner_of(
        [WALL],
        ("upper", sheet("housewrap", (0, 46, 96, 96))),
        ("lower", sheet("flashing-tape", (0, 40, 96, 52), sealed=["top"])),
    )
    found = one(corner, "lap-way")
    assert found.ok
    assert "only the seal" in found.text


def test_barrier_and_siding_are_not_one_layer():
    """A barrier sheet that starts higher than the siding over it is no reversed lap."""
    corner = corner_of(
        [WALL],
        ("upper", sheet("housewrap", (0, 46, 96, 96))),
        ("siding", sheet("panel-siding", (0, 0, 96, 60))),
    )
    assert results(corner, "lap-way") == []


def test_slanting_flashing_behind_siding_is_no_lap():
    """A step flashing whose upturn ends above a board that covers it is not called reversed."""
    corner = side_corner(("steps", bent(0, 100)))
    assert results(corner, "lap-way") == []


def test_siding_behind_a_head_flashing():
    """Siding that runs down behind the upturn of a head flashing is called reversed."""
    corner = corner_of(
        [WALL],
        ("siding", sheet("wood-siding", (39, 50, 81, 58))),
        ("head", sheet("head-flashing", (39, 48, 81, 52))),
    )
    assert not one(corner, "lap-way").ok


def test_a_touch_at_the_ends_is_no_lap_of_edges():
    """Siding that covers the end of a head flashing beside a window is no reversed lap."""
    corner = corner_of(
        [WALL],
        ("head", sheet("head-flashing", (39, 48, 81, 52))),
        ("course", sheet("wood-siding", (0, 44, 40, 51))),
        ("over", sheet("wood-siding", (39, 47, 81, 51))),
    )
    assert [r.pieces for r in results(corner, "lap-way")] == [(0, 2)]


@pytest.mark.parametrize(
    ("pitch", "lap_in", "key", "ok"),
    [
        (4, 2, "underlayment-lap", True),
        (4, 1, "underlayment-lap", False),
        (3, 6, "underlayment-lap-low", False),
        (3, 19, "underlayment-lap-low", True),
    ],
)
def test_underlayment_lap(pitch, lap_in, key, ok):
    """On a roof the lap asked depends on the slope."""
    roof = ROOF | {"tilt": math.degrees(math.atan2(pitch, 12))}
    corner = corner_of(
        [roof],
        ("lower", sheet("felt-15", (0, 0, 100, 36), face="roof")),
        ("upper", sheet("felt-15", (0, 36 - lap_in, 100, 72), face="roof")),
    )
    assert one(corner, key).ok is ok


def test_underlayment_end_lap():
    """Underlayment end to end needs four inches."""
    corner = corner_of(
        [{**WALL, "id": "roof", "tilt": SLOPE}],
        ("a", sheet("felt-15", (0, 0, 50, 36), face="roof")),
        ("b", sheet("felt-15", (47, 0, 100, 36), face="roof")),
    )
    found = one(corner, "underlayment-end")
    assert (found.measured_in, found.ok) == (approx(3.0), False)


def test_barrier_gap_behind_siding():
    """A hole in the barrier behind siding is found with its size; flashing fills it."""
    stack = [
        ("osb", sheet("osb", (0, 0, 96, 96))),
        ("wrap", sheet("housewrap", (0, 0, 96, 40), (0, 50, 96, 96))),
        ("siding", sheet("wood-siding", (0, 0, 96, 96))),
    ]
    found = one(corner_of([WALL], *stack), "barrier-continuous")
    assert not found.ok
    assert found.measured_in == approx(10.0)
    assert found.pieces == (2,)
    assert 40 < found.at[1] < 50
    patch = ("patch", sheet("self-adhered-membrane", (0, 38, 96, 52)))
    assert one(corner_of([WALL], *stack[:2], patch, stack[2]), "barrier-continuous").ok


def test_barrier_rule_needs_wood_behind():
    """Siding with nothing behind it that soaks asks for no barrier."""
    corner = corner_of([WALL], ("siding", sheet("wood-siding", (0, 0, 96, 96))))
    assert results(corner, "barrier-continuous") == []


# --- siding ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("what", "key", "lap_in", "ok"),
    [
        ("wood-siding", "wood-siding-lap", 0.75, False),
        ("wood-siding", "wood-siding-lap", 1.0, True),
        ("fibre-cement-siding", "fibre-cement-lap", 1.0, False),
        ("fibre-cement-siding", "fibre-cement-lap", 1.25, True),
    ],
)
def test_lap_siding(what, key, lap_in, ok):
    """Wood laps an inch, fibre cement an inch and a quarter."""
    corner = corner_of(
        [WALL],
        ("a", sheet(what, (0, 0, 96, 8))),
        ("b", sheet(what, (0, 8 - lap_in, 96, 16 - lap_in))),
    )
    found = one(corner, key)
    assert (found.ok, found.measured_in) == (ok, approx(lap_in))


def test_vinyl_has_no_lap_of_its_own():
    """Vinyl locks: the lap rules of boards do not apply."""
    corner = corner_of(
        [WALL],
        ("a", sheet("vinyl-siding", (0, 0, 96, 8))),
        ("b", sheet("vinyl-siding", (0, 7.5, 96, 16))),
    )
    assert not results(corner, "wood-siding-lap") + results(corner, "fibre-cement-lap")


@pytest.mark.parametrize(("gust", "ok"), [("20 mph", True), ("120 mph", False)])
def test_lap_against_the_gust(gust, ok):
    """An inch of board lap holds a breeze and not a storm; the figure is the physics."""
    corner = corner_of(
        [WALL],
        ("a", sheet("wood-siding", (0, 0, 96, 8))),
        ("b", sheet("wood-siding", (0, 7, 96, 15))),
    )
    rain = site_rain(Site(wind_pressure=gust))
    (found,) = [r for r in check_rules(corner, rain=rain) if r.rule == "lap-holds-gust"]
    head_mm = 0.3 * 0.613 * (float(gust.split()[0]) * 0.44704) ** 2 / 9.79
    assert found.required_in == approx((head_mm + 2 * 0.0728 / 9790 / 0.0015 * 1000) / 25.4)
    assert (found.ok, found.basis) == (ok, Basis.PHYSICS)
    assert gust in found.text


def test_a_sealed_lower_edge_is_named():
    """A shedding piece sealed at its bottom breaks the rule; a barrier or an open edge does not."""
    corner = corner_of(
        [WALL],
        ("wrap", sheet("housewrap", (0, 0, 96, 96), sealed=["bottom"])),
        ("a", sheet("wood-siding", (0, 0, 96, 8), sealed=["bottom"])),
        ("b", sheet("wood-siding", (0, 7, 96, 15))),
    )
    found = one(corner, "lower-edge-sealed")
    assert (found.pieces, found.ok) == ((1,), False)


# --- a roof's side against a wall --------------------------------------------------------------

ROOF = {
    "id": "roof", "facing": 270, "tilt": SLOPE, "origin": [60, 0, 100], "width": 120, "height": 100,
}  # fmt: skip
COS, SIN = math.cos(math.radians(SLOPE)), math.sin(math.radians(SLOPE))


def along(start, end, low, high):
    """A strip of the wall beside the roof's side, from and to along it, low and high above it."""
    (a, b), (c, d) = [(60 + t * COS, 100 + t * SIN) for t in (start, end)]
    across = (-SIN, COS)
    return [
        [a + low * across[0], b + low * across[1]],
        [c + low * across[0], d + low * across[1]],
        [c + high * across[0], d + high * across[1]],
        [a + high * across[0], b + high * across[1]],
    ]


def bent(start, end, *, up=4.0, out=4.0, what="step-flashing", trough=None):
    """A flashing bent from the roof up the wall along part of the fold."""
    wall = {"face": "wall", "outline": along(start, end, 0, up)}
    if trough:
        wall["trough"] = {"line": trough}
    return {"what": what, "on": [{"face": "roof", "rect": [0, start, out, end]}, wall]}


def siding_from(low):
    """Siding above the roof's side, from some height over it, in one piece."""
    return {"what": "wood-siding", "on": [{"face": "wall", "outline": along(-20, 95, low, 60)}]}


def side_corner(*flashings, low=2.0, faces=(WALL, ROOF)):
    """A shingled roof whose side runs up along a sided wall."""
    return corner_of(
        list(faces),
        ("osb", sheet("osb", (0, 0, 240, 200))),
        ("wrap", sheet("housewrap", (0, 0, 240, 200))),
        ("shingles", sheet("asphalt-shingle", (0, 0, 120, 100), face="roof")),
        *flashings,
        ("siding", siding_from(low)),
    )


@pytest.mark.parametrize(("up", "out", "ok"), [(4, 4, (True, True)), (2, 3, (False, False))])
def test_base_flashing_legs(up, out, ok):
    """Each leg of the base flashing is measured across the fold."""
    corner = side_corner(("steps", bent(0, 100, up=up, out=out)))
    high, wide = one(corner, "base-flashing-up"), one(corner, "base-flashing-out")
    assert (high.measured_in, wide.measured_in) == (approx(up, abs=0.05), approx(out, abs=0.05))
    assert (high.ok, wide.ok) == ok
    assert one(corner, "flashing-behind-siding").ok


def test_a_bare_stretch_is_named():
    """Where no flashing is bent round the fold beside siding, the stretch is given."""
    corner = side_corner(("low", bent(0, 40)), ("high", bent(55, 100)))
    bare = [r for r in results(corner, "base-flashing-up") if r.measured_in == 0]
    assert len(bare) == 1
    assert tape(15.0) in bare[0].text
    assert bare[0].at == (approx(60 + 47.5 * COS, abs=0.1), approx(100 + 47.5 * SIN, abs=0.1))


def test_no_flashing_at_all():
    """With no flashing the whole side is bare."""
    found = one(side_corner(), "base-flashing-up")
    assert (found.measured_in, found.ok) == (0.0, False)
    assert tape(100) in found.text


def test_no_flashing_at_a_chimney():
    """A masonry wall beside a roof wants base flashing too."""
    corner = corner_of(
        [WALL, ROOF],
        ("brick", sheet("chimney-brick", (60, 0, 240, 200))),
        ("shingles", sheet("asphalt-shingle", (0, 0, 120, 100), face="roof")),
    )
    assert not one(corner, "base-flashing-up").ok


def test_flashing_over_the_siding():
    """Flashing whose upright leg lies over the siding breaks the rule."""
    corner = corner_of(
        [WALL, ROOF],
        ("shingles", sheet("asphalt-shingle", (0, 0, 120, 100), face="roof")),
        ("siding", siding_from(2.0)),
        ("steps", bent(0, 100)),
    )
    found = one(corner, "flashing-behind-siding")
    assert not found.ok
    assert "lies over" in found.text


@pytest.mark.parametrize(("gap", "ok"), [(0.0, False), (0.5, False), (1.0, True), (2.5, True)])
def test_siding_above_a_roof(gap, ok):
    """Siding ends an inch above the roof; less than two is remarked on."""
    corner = side_corner(("steps", bent(0, 100)), low=gap)
    found = one(corner, "siding-to-roof")
    assert found.measured_in == approx(gap, abs=0.05)
    assert found.ok is ok
    assert ("is better" in found.text) is (gap < 2)


def test_diverter_missing():
    """An eave that ends at a wall that goes on needs a diverter at its foot."""
    found = one(side_corner(("steps", bent(0, 100))), "diverter")
    assert (found.ok, found.measured_in, found.pieces) == (False, 0.0, ())
    assert found.at == (approx(60, abs=0.1), approx(100, abs=0.1))


def test_diverter_there():
    """A kick-out at the foot keeps the rule, so does a flashing with a short trough."""
    kick = ("kick", bent(0, 6, what="kick-out"))
    assert one(side_corner(("steps", bent(6, 100)), kick), "diverter").ok
    lip = ("lip", bent(0, 8, what="apron-flashing", trough=[[60.5, 101], [66, 103]]))
    found = one(side_corner(("steps", bent(8, 100)), lip), "diverter")
    assert found.ok
    assert found.pieces == (4,)


def test_a_channel_is_no_diverter():
    """The long channel along a roof's side leads water down the wall: it is not a diverter."""
    run = (
        "run",
        bent(0, 100, up=1, out=1, what="receiving-channel", trough=[[60, 100.5], [154, 132]]),
    )
    assert not one(side_corner(("steps", bent(0, 100)), run), "diverter").ok


def test_no_diverter_where_the_wall_ends():
    """An eave at the end of its wall needs none."""
    short = {**WALL, "origin": [60, 0, 0], "width": 180}
    corner = corner_of(
        [short, ROOF],
        ("shingles", sheet("asphalt-shingle", (0, 0, 120, 100), face="roof")),
        ("siding", {"what": "wood-siding", "on": [{"face": "wall", "rect": [0, 160, 180, 200]}]}),
    )
    assert results(corner, "diverter") == []


def test_no_roofing_no_roof_rules():
    """Faces alone, without roofing, raise none of the roof's rules."""
    corner = corner_of([WALL, ROOF], ("siding", siding_from(0.0)))
    assert check_rules(corner, rain=RAIN) == ()


# --- ledges, ledgers, ground --------------------------------------------------------------------

LEDGE = {"id": "ledge", "facing": 180, "tilt": 5, "origin": [40, -2, 100], "width": 40, "height": 2}


@pytest.mark.parametrize(("gap", "ok"), [(0.0, False), (0.25, True), (0.5, True)])
def test_siding_above_a_head_flashing(gap, ok):
    """Siding stays a quarter inch above the flashing on a ledge, three eighths is better."""
    rise = 100 + 2 * math.sin(math.radians(5))
    corner = corner_of(
        [WALL, {**LEDGE, "origin": [40, -2 * math.cos(math.radians(5)), 100]}],
        (
            "head",
            {
                "what": "head-flashing",
                "on": [
                    {"face": "wall", "rect": [40, rise, 80, rise + 4]},
                    {"face": "ledge", "rect": [0, 0, 40, 2]},
                ],
            },
        ),
        ("siding", sheet("wood-siding", (0, rise + gap, 240, 180))),
    )
    found = one(corner, "siding-to-flashing")
    assert found.measured_in == approx(gap, abs=0.02)
    assert found.ok is ok
    assert ("is better" in found.text) is (gap < 0.375)


@pytest.mark.parametrize(("cover", "ok"), [((0, 120), True), ((0, 100), False), (None, False)])
def test_deck_ledger(cover, ok):
    """All of a ledger's length wants flashing outside and above it."""
    pieces = [("ledger", sheet("ledger", (0, 50, 120, 59)))]
    if cover:
        flashing = sheet("ledger-flashing", (cover[0], 58, cover[1], 63))
        pieces.append(("cap", flashing))
    found = one(corner_of([WALL], *pieces), "ledger-flashing")
    assert (found.ok, found.required_in) == (ok, approx(120))
    assert found.measured_in == approx(cover[1] if cover else 0.0)


@pytest.mark.parametrize(
    ("what", "foot", "key", "ok"),
    [
        ("concrete", 1.0, "wood-to-paving", False),
        ("concrete", 2.0, "wood-to-paving", True),
        ("soil", 4.0, "wood-to-soil", False),
        ("soil", 6.0, "wood-to-soil", True),
    ],
)
def test_wood_above_ground(what, foot, key, ok):
    """Wood stands two inches above paving and six above soil, measured upright."""
    ground = {"id": "ground", "facing": 180, "tilt": 1, "width": 240, "height": 60}
    run = 60 * math.cos(math.radians(1))
    corner = corner_of(
        [WALL, {**ground, "origin": [0, -run, 10 - 60 * math.sin(math.radians(1))]}],
        ("top", sheet(what, (0, 0, 240, 60), face="ground")),
        ("siding", sheet("wood-siding", (0, 10 + foot, 240, 60))),
        ("high", sheet("wood-siding", (0, 59, 240, 160))),
        ("vinyl", sheet("vinyl-siding", (0, 10, 240, 11))),
    )
    found = one(corner, key)
    assert found.pieces == (1, 0)
    assert found.measured_in == approx(foot, abs=0.02)
    assert found.ok is ok


@pytest.mark.parametrize(
    ("closed", "depth", "ok"),
    [(["start", "end"], 1.0, True), (["start"], 1.0, False), (["start", "end"], 0.1, False)],
)
def test_end_dams(closed, depth, ok):
    """Both ends of a head flashing's trough are bent up, as high as the gust holds water."""
    piece = {
        "what": "head-flashing",
        "on": [
            {
                "face": "wall",
                "rect": [0, 50, 40, 54],
                "trough": {"line": [[0, 51], [40, 51]], "closed": closed, "depth": depth},
            }
        ],
    }
    found = one(corner_of([WALL], ("head", piece)), "end-dam")
    assert found.ok is ok
    storm = site_rain(Site(wind_pressure="100 mph"))
    corner = corner_of([WALL], ("head", piece))
    (high,) = [r for r in check_rules(corner, rain=storm) if r.rule == "end-dam"]
    assert found.required_in == 0.25
    assert high.required_in == approx(0.2 * 0.613 * 44.704**2 / 9.79 / 25.4, rel=1e-6)


# --- drip edge and gutters ---------------------------------------------------------------------

FASCIA = {
    "id": "fascia",
    "facing": 270,
    "tilt": 90,
    "origin": [60, 0, 94],
    "width": 120,
    "height": 6,
}


def eave_corner(*, up=2.5, down=1.5, lap=2.0, over=True):
    """Two lengths of drip edge at an eave, with underlayment over or under them."""

    def piece(start, end):
        return {
            "what": "drip-edge",
            "on": [
                {"face": "roof", "rect": [start, 0, end, up]},
                {"face": "fascia", "rect": [start, 6 - down, end, 6]},
            ],
        }

    felt = ("felt", sheet("felt-15", (0, 0, 120, 36), face="roof"))
    drips = [("d1", piece(0, 60)), ("d2", piece(60 - lap, 120))]
    return corner_of([ROOF, FASCIA], *([*drips, felt] if over else [felt, *drips]))


def test_drip_edge_at_an_eave():
    """Two inches up the deck, a quarter below the sheathing, laps of two, underlayment over."""
    corner = eave_corner()
    for key, measured in (("drip-edge-up", 2.5), ("drip-edge-down", 1.5), ("drip-edge-lap", 2.0)):
        found = results(corner, key)
        assert found, key
        assert all(r.ok and r.measured_in == approx(measured, abs=0.01) for r in found), key
    assert all(r.ok for r in results(corner, "drip-edge-order"))


def test_drip_edge_wrong():
    """Each measure too small, and the underlayment under it, is named."""
    corner = eave_corner(up=1.0, down=0.125, lap=1.0, over=False)
    for key in ("drip-edge-up", "drip-edge-down", "drip-edge-lap", "drip-edge-order"):
        found = results(corner, key)
        assert found, key
        assert not any(r.ok for r in found), key


def test_drip_edge_at_a_rake():
    """At a rake the underlayment goes under the drip edge."""
    felt = ("felt", sheet("felt-15", (0, 0, 120, 36), face="roof"))
    rake = ("rake", sheet("drip-edge", (118, 0, 120, 36), face="roof"))
    assert one(corner_of([ROOF], felt, rake), "drip-edge-order").ok
    assert not one(corner_of([ROOF], rake, felt), "drip-edge-order").ok


def gutter(*, y=(0.0, -120.0), z=(98.0, 97.0), width=5.0):
    """A gutter below the eave."""
    line = [[59.5, y[0], z[0]], [59.5, y[1], z[1]]]
    return {"what": "gutter-5", "gutter": {"line": line, "width": width}}


def gutter_corner(**keys):
    """A roof with a gutter."""
    shingles = ("shingles", sheet("asphalt-shingle", (0, 0, 120, 100), face="roof"))
    return corner_of([ROOF], shingles, ("gutter", gutter(**keys)))


def test_gutter_that_serves():
    """A 5 in gutter with an inch of fall along the whole eave keeps all three rules."""
    corner = gutter_corner()
    for key in ("gutter-fall", "gutter-size", "gutter-reach"):
        assert one(corner, key).ok, key
    flow_gpm = RAIN.design_lph_per_in2(270, SLOPE) * 12000 / (60 * 3.785411784)
    assert f"brings {flow_gpm:.1f}" in one(corner, "gutter-size").text


def test_gutter_wrong():
    """A short, level and narrow gutter breaks all three."""
    corner = gutter_corner(y=(-10, -120), z=(98, 98), width=1.0)
    fall, size, reach = (one(corner, f"gutter-{k}") for k in ("fall", "size", "reach"))
    assert (fall.measured_in, fall.required_in) == (0.0, approx(110 / 192))
    assert (reach.measured_in, reach.required_in) == (approx(110), approx(119))
    assert not (fall.ok or size.ok or reach.ok)
    assert size.required_in > 1.0


def test_gutter_of_the_width_asked_just_carries():
    """A gutter as wide as the rule asks keeps the rule, one a tenth narrower does not."""
    need = one(gutter_corner(), "gutter-size").required_in
    assert one(gutter_corner(width=need), "gutter-size").ok
    assert not one(gutter_corner(width=0.9 * need), "gutter-size").ok


def test_flow_from_the_trace_is_used():
    """Where the trace knows what reaches the gutter, its flow is taken."""
    corner = gutter_corner()
    assert not one(corner, "gutter-size", gutter_lph={1: 1e5}).ok
    assert results(corner, "gutter-size", gutter_lph={}) == []


# --- all rules -----------------------------------------------------------------------------------


def test_every_rule_has_a_source_and_a_title():
    """The rule book cites the register and says what a rule is."""
    for key, row in rulebook().items():
        assert row.source in sources(), key
        assert row.title, key
        assert row.unit in ("in", "in/ft"), key
    assert rule("barrier-lap").asked_by == "IRC R703.2"


def test_every_rule_can_speak():
    """Each rule of the book is given by some code: none stands there for show."""
    modules = (rules_edges, rules_folds, rules_gutters, rules_laps)
    text = "".join(inspect.getsource(module) for module in modules)
    assert not [key for key in rulebook() if f'"{key}"' not in text]


def test_every_entry_has_traits():
    """Each catalogue entry is classed without an error, and siding is not an opening."""
    for what, known in catalogue().items():
        kind = kind_of(what, Sheet(known.sheet))
        assert not (kind & Kind.SIDING and kind & Kind.OPENING), what
    assert kind_of("vinyl-siding", Sheet.SHEDS) & Kind.SIDING
    assert not kind_of("drainage-mat", Sheet.OPEN) & Kind.BARRIER


def test_broken_come_first():
    """What is not kept comes before what is, code before practice before physics."""
    corner = side_corner(low=0.5)
    found = check_rules(corner, rain=RAIN)
    order = [(r.ok, ["code", "practice", "physics"].index(r.basis)) for r in found]
    assert order == sorted(order)
    assert broken(found) == tuple(r for r in found if not r.ok)


BOX = st.tuples(st.integers(0, 90), st.integers(0, 90), st.integers(1, 60), st.integers(1, 60))


@settings(max_examples=40)
@given(st.lists(st.tuples(st.sampled_from(sorted(catalogue())), BOX), max_size=12))
def test_any_stack_can_be_judged(stack):
    """Whatever is laid on a wall and a roof, rules answer with finite figures and true places."""
    pieces = [
        (f"p{k}", sheet(what, (u, v, u + w, v + h), face=("wall", "roof")[k % 2]))
        for k, (what, (u, v, w, h)) in enumerate(stack)
    ]
    corner = corner_of([WALL, {**ROOF, "height": 200, "width": 200}], *pieces)
    for r in check_rules(corner, rain=RAIN):
        assert math.isfinite(r.measured_in)
        assert math.isfinite(r.required_in)
        assert r.text.endswith(".")
        assert r.source
        assert all(0 <= p < len(corner.pieces) for p in r.pieces)


def seconds_for(rows):
    """Processor time of the rules on ten pieces of siding a row, and on the laps between them."""
    pieces = [("osb", sheet("osb", (0, 0, 800, rows * 7 + 8)))]
    for k in range(rows):
        for c in range(10):
            box = (c * 80, k * 7, c * 80 + 80, k * 7 + 8)
            pieces.append((f"s{k}-{c}", sheet("wood-siding", box)))
    corner = corner_of([{**WALL, "width": 800, "height": rows * 7 + 8}], *pieces)
    found = laps(corner)
    best = math.inf
    for _ in range(3):
        begin = time.process_time()
        check_rules(corner, rain=RAIN, laps=found)
        best = min(best, time.process_time() - begin)
    return best


def test_the_rules_take_time_as_the_pieces_grow():
    """Ten times the pieces take well under thirty times the time; by pairs it would be hundred."""
    assert seconds_for(200) < 30 * seconds_for(20) + 0.05
