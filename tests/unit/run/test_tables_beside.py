"""What the code's tables say beside a wall header and rafters, and engineered lumber."""

import pytest

from weatherlap.errors import JobError
from weatherlap.job.reading import read_job
from weatherlap.run.holdingup import hold_job
from weatherlap.structure.lumber import describe

WALL = """[job]
title = "Window head, north wall"
by = "Tobin Marsh"

[[face]]
id = "roof"
facing = 180
tilt = 22.62
origin = [0, 0, 96]
width = 96
height = 182

[[piece]]
id = "deck"
what = "roof-deck-plywood"
on = [{ face = "roof", rect = [0, 0, 96, 182] }]

[[piece]]
id = "shingles"
what = "asphalt-shingle"
on = [{ face = "roof", rect = [0, 0, 96, 182] }]

[framing]
roof_height = "14 ft"
building_width = "24 ft"

[framing.ground_snow]
value = "30 psf"
said_by = "building department, by phone"

[framing.wind]
value = "110 mph"
said_by = "building department, by phone"

[framing.exposure]
value = "B"
said_by = "building department, by phone"

[[member]]
id = "rafter"
use = "rafter"
line = [[0, 0, 96], [0, 168, 166]]
edge = "top"
size = "2x8"
species = "SPF"
grade = "No.2"
count = 7
step = [16, 0, 0]
braced = 0
repetitive = true
ceiling = "gypsum"

[[member]]
id = "header"
use = "header"
line = [[11, 12, 90], [85, 12, 90]]
edge = "bottom"
size = "2-2x10"
species = "SPF"
grade = "No.2"
condition = "soft"
losses = [{ start = 0, end = 10, bottom = "2 in" }]
braced = 16
replaced = true
new = { size = "2-2x10", species = "SPF", grade = "No.2" }

[[member]]
id = "plate"
use = "beam"
line = [[-8, 12, 99.25], [104, 12, 99.25]]
edge = "bottom"
size = "2-2x4"
species = "SPF"
grade = "No.2"
braced = 0

[[member]]
id = "jack"
use = "stud"
line = [[13, 12, 3], [13, 12, 90]]
size = "2-2x4"
species = "SPF"
grade = "Stud"
count = 2
step = [70, 0, 0]
held_sideways = 0

[[member]]
id = "stud"
use = "stud"
line = [[0, 12, 3], [0, 12, 99.25]]
size = "2x4"
species = "SPF"
grade = "Stud"
count = 2
step = [96, 0, 0]
held_sideways = 0

[[joint]]
upper = "rafter"
lower = "plate"
bearing = [3.5, 1.5]
nails = [{ nail = "16d common", count = 3, side = 1.5, into = 1.5, driven = "toe" }]

[[joint]]
upper = "plate"
lower = "stud"
hold = "tied"
nails = [{ nail = "16d common", count = 2, side = 1.5, into = 2, driven = "end grain" }]

[[joint]]
upper = "plate"
lower = "header"
at = [48, 12, 99.25]
bearing = [62, 3]
nails = [{ nail = "16d common", count = 8, side = 1.5, into = 2, pulls_out = true }]

[[joint]]
upper = "header"
lower = "jack"
bearing = [3, 3]
nails = [{ nail = "16d common", count = 4, side = 1.5, into = 1.5, driven = "toe" }]

[[support]]
member = "jack"
id = "sole"
hold = "tied"
nails = [{ nail = "16d common", count = 4, side = 1.5, into = 1.5, driven = "toe" }]

[[support]]
member = "stud"
id = "sole-stud"
hold = "tied"
nails = [{ nail = "16d common", count = 4, side = 1.5, into = 1.5, driven = "toe" }]

[[support]]
member = "rafter"
id = "ridge"
end = "upper"
hold = "pinned"
bearing = [1.5, 1.5]

[[carried]]
face = "roof"
by = ["rafter"]
gable = true
heated = true
wall = "none"
wind = { route = "typed", up = 18, down = 10, said_by = "engineer's letter" }
"""
LVL = (
    'values = { name = "LVL 1.8E", source = "report 123 (invented)", fb_psi = 2600, fv_psi = 285, '
    "fc_perp_psi = 750, ft_psi = 1555, fc_psi = 2510, e_psi = 1800000, emin_psi = 914880, "
    "depth_exponent = 0.111, gravity = 0.5 }"
)
NEW = 'new = { size = "2-2x10", species = "SPF", grade = "No.2" }'


def held_of(text):
    """A job's framing worked out."""
    return hold_job(read_job(text), on_the_way=lambda _: None)


def test_the_header_table_stands_beside_a_wall_header():
    """IRC R602.7(1), 2-2x10, 24 ft, 30 psf: 6-10 on two jack studs; R602.7.5: 2, or 1 if mild."""
    held = held_of(WALL)
    said = next(b for b in held.beside if b.member == "header-new")
    assert said.table.length_in == 82 and said.span_in == pytest.approx(70)
    assert "jack studs at each end: 2, full-height studs: 1" in said.sentence
    windy = held_of(WALL.replace('value = "110 mph"', 'value = "120 mph"'))
    assert "full-height studs: 2" in windy.beside[0].sentence


def test_a_cripple_wall_takes_three_tenths_off():
    """A top that nothing holds: 0.70 of the span, by the footnote."""
    loose = WALL.replace("braced = 16", 'braced = "6 ft"')
    assert held_of(loose).beside[0].table.length_in == pytest.approx(0.7 * 82)


def test_a_table_that_does_not_say_is_named():
    """Without the width, and for a size or a spacing that no held row has, that is said."""
    notes = " ".join(held_of(WALL.replace('building_width = "24 ft"\n', "")).notes)
    assert "`building_width`" in notes and "2x8 at 16 in" in notes
    wide = held_of(WALL.replace('building_width = "24 ft"', 'building_width = "40 ft"'))
    assert any("no 2-2x10 for 40 ft" in n for n in wide.notes)


def test_the_rafter_table_stands_beside_its_row():
    """IBC 2308.7.2(2): SPF No.2 2x8 at 12 in, 10 psf dead: 19 ft 6; not where more snow lies."""
    light = WALL.replace('value = "30 psf"', 'value = "20 psf"').replace("step = [16", "step = [12")
    light = light.replace("count = 7", "count = 9")
    (said,) = [b for b in held_of(light).beside if b.member.startswith("rafter")]
    assert said.table.length_in == 19 * 12 + 6
    assert said.span_in == pytest.approx(156, abs=1)


def test_stock_that_the_work_leaves_strained_is_not_picked():
    """What is picked holds at the end of the work too, not only in the unstrained frame."""
    held = held_of(WALL.replace(NEW, 'new = { species = "SPF", grade = "No.2" }'))
    last = held.holding.stages[-1].stage.id
    own = [c for c in held.holding.checks if c.about == "header-new" and c.stage == last]
    assert own and all(c.holds for c in own)


def test_a_stud_in_a_sheathed_wall_is_held_sideways():
    """A 2x4 of 8 ft is too slender across its thin side unless the sheathing holds it."""
    bare = held_of(WALL.replace("held_sideways = 0\n", ""))
    assert any("slenderness 64" in e.why for e in bare.holding.engineer)
    assert not any("slenderness" in e.why for e in held_of(WALL).holding.engineer)


def test_engineered_lumber_needs_no_stamp():
    """With the report's values neither species nor grade is asked, and its name is printed."""
    text = WALL.replace(NEW, f'new = {{ size = "2-1 3/4 in x 9 1/2 in", {LVL} }}')
    member = held_of(text).holding.framing.member("header-new")
    assert describe(member.stock) == "2-1.75 in x 9.5 in LVL 1.8E"


@pytest.mark.parametrize(
    ("new", "said"),
    [
        pytest.param('new = { size = "2-2x10", grade = "No.2" }', "species of the", id="stamp"),
        pytest.param(f"new = {{ {LVL} }}", "engineered lumber without a size", id="size"),
        pytest.param(f'new = {{ size = "2x10", wet = true, {LVL} }}', "wet service", id="wet"),
    ],
)
def test_lumber_without_stamp_or_report_is_refused(new, said):
    """Each is named with its line."""
    with pytest.raises(JobError, match=said) as caught:
        read_job(WALL.replace(NEW, new), file="wall.toml")
    line = 1 + WALL[: WALL.index(NEW)].count("\n")
    assert [p.line for p in caught.value.problems] == [line]


def test_only_uprights_are_held_sideways():
    """A lying member's edge is held by `braced`."""
    with pytest.raises(JobError, match="`braced`"):
        read_job(WALL.replace("braced = 16", "braced = 16\nheld_sideways = 0"))
