"""Each rule of docs/water.md on the smallest corner that shows it."""

from __future__ import annotations

import math

import pytest

from weatherlap.building.corner import build_corner
from weatherlap.errors import JobError
from weatherlap.job.reading import read_job
from weatherlap.water.hops import Cause, EndKind
from weatherlap.water.rain import site_rain
from weatherlap.water.trace import FIRST, SECOND, Trace, trace

WALL = """
[job]
title = "test"
[[face]]
id = "wall"
facing = 180
tilt = 90
origin = [0, 0, 0]
width = 96
height = 96
"""
SHEATHING = (
    '[[piece]]\nid = "wood"\nsheet = "absorbs"\non = [{ face = "wall", rect = [0, 0, 96, 96] }]\n'
)


def piece(name: str, sheet: str, *panels: str, more: str = "") -> str:
    """The TOML of a piece."""
    return f'[[piece]]\nid = "{name}"\nsheet = "{sheet}"\non = [{", ".join(panels)}]\n{more}\n'


def on(face: str, left: float, low: float, right: float, top: float, more: str = "") -> str:
    """The TOML of a rectangular panel."""
    return f'{{ face = "{face}", rect = [{left}, {low}, {right}, {top}]{more} }}'


def traced(text: str) -> Trace:
    """The trace of a job's text; what falls must equal what ends."""
    job = read_job(text)
    result = trace(build_corner(job), site_rain(job.site))
    assert result.out_lph == pytest.approx(result.in_lph, rel=1e-9)
    return result


def area(result: Trace, end: EndKind, layer: int = FIRST) -> float:
    """Catching area of one layer that ends in one way."""
    return result.area_in2(end, layer=layer)


def test_rain_on_the_upper_sheet_soaks_the_sheathing_behind_a_lower_one_laid_over_it() -> None:
    """All that lands on the upper sheet, from the lower one's top edge up, soaks the wood."""
    result = traced(
        WALL
        + SHEATHING
        + piece("upper", "resists", on("wall", 0, 46, 96, 96))
        + piece("lower", "resists", on("wall", 0, 0, 96, 52))
    )
    assert area(result, EndKind.SOAK) == pytest.approx((96 - 52) * 96)
    assert area(result, EndKind.CLEAR) == pytest.approx(52 * 96)
    (finding,) = result.findings
    assert finding.cause is Cause.WRONG_WAY
    assert [result.corner.pieces[p].id for p in finding.wets] == ["wood"]
    assert not result.clean


def test_turning_the_lap_round_with_behind_clears_the_corner() -> None:
    """`behind` lets the lower sheet lie under the upper one although it was laid later."""
    result = traced(
        WALL
        + SHEATHING
        + piece("upper", "resists", on("wall", 0, 46, 96, 96))
        + piece("lower", "resists", on("wall", 0, 0, 96, 52), more='behind = ["upper"]')
    )
    assert result.clean
    assert not result.findings


def test_a_lap_under_a_sixteenth_counts_as_none() -> None:
    """Sheets that overlap by 1/32 in leave the water between them."""
    result = traced(
        WALL
        + SHEATHING
        + piece("lower", "resists", on("wall", 0, 0, 96, 48 + 1 / 32))
        + piece("upper", "resists", on("wall", 0, 48, 96, 96))
    )
    assert area(result, EndKind.SOAK) == pytest.approx(48 * 96)
    assert result.findings[0].cause is Cause.TOO_SHORT


def test_a_lap_of_a_sixteenth_counts() -> None:
    """Sheets that overlap by 1/16 in pass the water on."""
    assert traced(
        WALL
        + SHEATHING
        + piece("lower", "resists", on("wall", 0, 0, 96, 48 + 1 / 16))
        + piece("upper", "resists", on("wall", 0, 48, 96, 96))
    ).clean


def test_a_piece_sealed_at_its_top_takes_the_water_over() -> None:
    """Tape along the top of a sheet laid over another turns the water onto it."""
    assert traced(
        WALL
        + SHEATHING
        + piece("upper", "resists", on("wall", 0, 46, 96, 96))
        + piece("lower", "resists", on("wall", 0, 0, 96, 52), more='sealed = ["top"]')
    ).clean


def test_a_butt_joint_with_sealant_passes_the_water_on() -> None:
    """A sealed top edge that only meets the sheet above catches its water."""
    assert traced(
        WALL
        + SHEATHING
        + piece("upper", "resists", on("wall", 0, 48, 96, 96))
        + piece("lower", "resists", on("wall", 0, 0, 96, 48), more='sealed = ["top"]')
    ).clean


def test_water_behind_a_sealed_lower_edge_is_held() -> None:
    """The share that gets behind siding cannot get out where its lower edge is caulked."""
    result = traced(
        WALL
        + SHEATHING
        + piece("barrier", "resists", on("wall", 0, 0, 96, 96))
        + piece("siding", "sheds", on("wall", 0, 8, 96, 96), more='sealed = ["bottom"]')
    )
    assert area(result, EndKind.HELD, SECOND) == pytest.approx(88 * 96)
    assert result.findings[0].cause is Cause.SEALED
    held = next(r for r in result.ends if r.end is EndKind.HELD)
    assert result.corner.pieces[held.piece or 0].id == "siding"
    assert held.flow_lph == pytest.approx(0.01 * result.in_lph * 88 / 96)


def test_nothing_behind_is_a_cavity() -> None:
    """Where no panel is, and behind a panel with nothing inside, water is in a cavity."""
    result = traced(WALL + piece("siding", "sheds", on("wall", 0, 48, 96, 96), more="passes = 0"))
    assert area(result, EndKind.CAVITY) == pytest.approx(96 * 96)
    assert {f.cause for f in result.findings} == {Cause.MISSING}


def test_an_open_piece_holds_nothing_back() -> None:
    """Rain on a vented piece lands on the next panel inside."""
    result = traced(
        WALL
        + SHEATHING
        + piece("vent", "open", on("wall", 0, 0, 96, 96), more='sealed = ["bottom"]')
    )
    assert area(result, EndKind.SOAK) == pytest.approx(96 * 96)


CHANNEL = "trough = {{ line = [[0, {a}], [96, {b}]]{more} }}"


def channel(a: float, b: float, more: str = "") -> str:
    """A wall with sheathing and a channel whose trough runs from height a to height b."""
    trough = ", " + CHANNEL.format(a=a, b=b, more=more)
    return (
        WALL
        + SHEATHING
        + piece("channel", "sheds", on("wall", 0, 20, 96, 96, trough), more="passes = 0")
    )


def test_a_trough_leads_to_its_low_end_and_leaves_by_rule_three() -> None:
    """All that a channel catches runs to its low end and drops onto the wood there."""
    result = traced(channel(30, 26))
    caught = (96 - 28) * 96
    assert area(result, EndKind.SOAK) >= caught
    soak = next(r for r in result.ends if r.end is EndKind.SOAK)
    assert result.corner.pieces[soak.piece or 0].id == "wood"


def test_a_level_trough_gives_half_to_each_open_end() -> None:
    """Halves go to both ends; one dammed end sends all to the other."""
    both = traced(channel(30, 30))
    one = traced(channel(30, 30, ', closed = ["start"]'))
    assert area(both, EndKind.SOAK) == pytest.approx(area(one, EndKind.SOAK))


def test_a_level_trough_dammed_at_both_ends_spills_where_the_water_comes_in() -> None:
    """With both ends closed the water goes on over the lip, and off the channel's foot."""
    text = channel(30, 30, ', closed = ["start", "end"]')
    result = traced(text)
    assert Cause.DAMMED in {f.cause for f in result.findings}


def roof_and_wall(*more: str, eave_z: float = 60.0, tilt: float = 30.0) -> str:
    """A wall (facing south) above a roof that falls south away from it."""
    run = 48 / math.cos(math.radians(tilt))
    z = eave_z
    top = z + 48 * math.tan(math.radians(tilt))
    return (
        f'[job]\ntitle = "t"\n[[face]]\nid = "wall"\nfacing = 180\ntilt = 90\n'
        f"origin = [0, 0, {top}]\nwidth = 96\nheight = 50\n"
        f'[[face]]\nid = "roof"\nfacing = 180\ntilt = {tilt}\norigin = [0, -48, {z}]\n'
        f"width = 96\nheight = {run}\n" + "".join(more)
    )


RUN = 48 / math.cos(math.radians(30))
ROOF = piece("deck", "absorbs", on("roof", 0, 0, 96, RUN)) + piece(
    "shingles", "sheds", on("roof", 0, 0, 96, RUN), more="passes = 0"
)
WALL_SKIN = piece("studs", "absorbs", on("wall", 0, 0, 96, 50)) + piece(
    "siding", "sheds", on("wall", 0, 2, 96, 50), more="passes = 0"
)


def test_wall_water_lands_on_the_roof_inside_the_cover_and_falls_clear() -> None:
    """With a flashing that goes round the fold the wall drains over the roof."""
    flashing = piece(
        "apron",
        "sheds",
        on("wall", 0, 0, 96, 6),
        on("roof", 0, RUN - 6, 96, RUN),
        more='passes = 0\nbehind = ["siding"]',
    )
    result = traced(roof_and_wall(ROOF, WALL_SKIN, flashing))
    assert result.clean
    assert area(result, EndKind.CLEAR) == pytest.approx(96 * (50 + RUN))


def test_without_a_flashing_the_wall_soaks_at_the_fold() -> None:
    """Water from behind the siding drops onto the studs above the fold."""
    result = traced(roof_and_wall(ROOF, WALL_SKIN))
    assert area(result, EndKind.SOAK) == pytest.approx(96 * 50)


def test_eave_water_falls_into_a_gutter_within_half_its_width() -> None:
    """A gutter 2 in out catches the eave if it is 5 in wide, not if it is 3 in wide."""
    for width, end in ((5, EndKind.GUTTER), (3, EndKind.CLEAR)):
        gutter = (
            '[[piece]]\nid = "gutter"\n'
            f"gutter = {{ line = [[0, -50, 58], [96, -50, 57.5]], width = {width} }}\n"
        )
        result = traced(roof_and_wall(ROOF, gutter))
        assert area(result, end) == pytest.approx(96 * RUN)


def test_an_overfull_gutter_spills_onto_what_lies_below() -> None:
    """A one-inch gutter cannot carry a big roof; the rest falls on."""
    gutter = (
        '[[piece]]\nid = "gutter"\ngutter = { line = [[0, -48, 58], [96, -48, 57.9]], width = 1 }\n'
    )
    result = traced(roof_and_wall(ROOF, gutter))
    assert 0 < area(result, EndKind.GUTTER) < 96 * RUN
    assert area(result, EndKind.GUTTER) + area(result, EndKind.CLEAR) == pytest.approx(96 * RUN)


def beam(*, drip: bool, cover: bool = False) -> str:
    """The front and the underside of a beam, wrapped in metal on the front only."""
    front = piece(
        "wrap", "sheds", on("front", 0, 0, 96, 12), more=f"passes = 0\ndrip = {str(drip).lower()}"
    )
    over = piece("board", "sheds", on("front", 0, 0, 96, 4), more="passes = 0\ndrip = true")
    return (
        '[job]\ntitle = "t"\n[[face]]\nid = "front"\nfacing = 180\ntilt = 90\norigin = [0, 0, 96]\n'
        'width = 96\nheight = 12\n[[face]]\nid = "under"\nfacing = 180\ntilt = 180\n'
        "origin = [0, 0, 96]\nwidth = 96\nheight = 6\n"
        + piece("timber", "absorbs", on("front", 0, 0, 96, 12), on("under", 0, 0, 96, 6))
        + front
        + (over if cover else "")
    )


def test_water_drops_from_a_free_drip_edge_and_clings_without_one() -> None:
    """Where an underside begins only a drip edge that nothing covers lets the water drop."""
    assert traced(beam(drip=True)).clean
    clings = traced(beam(drip=False))
    assert area(clings, EndKind.CLING) == pytest.approx(96 * 12)
    assert clings.findings[0].cause is Cause.NO_DRIP
    covered = traced(beam(drip=True, cover=True))
    assert area(covered, EndKind.CLING) == pytest.approx(96 * 8)


def test_water_stands_on_a_level_top() -> None:
    """Rain on a level face stands; on bare wood it soaks."""
    top = (
        '[job]\ntitle = "t"\n[[face]]\nid = "top"\nfacing = 0\ntilt = 0\norigin = [0, 0, 9]\n'
        "width = 10\nheight = 10\n"
    )
    metal = traced(top + piece("cap", "sheds", on("top", 0, 0, 10, 10), more="passes = 0"))
    assert area(metal, EndKind.STANDS) == pytest.approx(100)
    wood = traced(top + piece("sill", "absorbs", on("top", 0, 0, 10, 10)))
    assert area(wood, EndKind.SOAK) == pytest.approx(100)


def test_laps_in_a_circle_are_refused_by_name() -> None:
    """Three pieces each behind the next cannot be laid."""
    text = (
        WALL
        + piece("a", "sheds", on("wall", 0, 0, 50, 50))
        + piece("b", "sheds", on("wall", 0, 0, 50, 50))
        + piece("c", "sheds", on("wall", 0, 0, 50, 50), more='behind = ["a"]')
    )
    with pytest.raises(JobError, match="circle") as caught:
        traced(text)
    assert all(name in str(caught.value) for name in ("a", "b", "c"))


def test_two_pieces_each_behind_the_other_are_refused() -> None:
    """A circle of two is a circle."""
    text = (
        WALL
        + piece("a", "sheds", on("wall", 0, 0, 50, 50), more='behind = ["b"]')
        + piece("b", "sheds", on("wall", 0, 0, 50, 50), more='behind = ["a"]')
    )
    with pytest.raises(JobError, match="circle"):
        traced(text)
