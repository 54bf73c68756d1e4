"""A job's spots: their layers, their water, and what the answers say."""

from __future__ import annotations

from pathlib import Path

import pytest

from weatherlap.building.corner import build_corner
from weatherlap.drying.model import Aid
from weatherlap.errors import InputError
from weatherlap.job.model import Job
from weatherlap.job.reading import read_job
from weatherlap.run.dryingout import Drying, drying_of
from weatherlap.run.dryingtables import drying_table
from weatherlap.run.dryingtold import answers, days_text, spot_texts, water_text
from weatherlap.run.dryleaks import KG_M2_PER_L_IN2, Wetted
from weatherlap.run.dryspots import GAP, spot_wall
from weatherlap.run.dryweather import climate_of, hour_of, month_of
from weatherlap.run.worked import work_out
from weatherlap.water.hops import EndKind

WALL = """
[job]
title = "Wet wall"
date = 2026-04-20
[site]
rain_year = "44 in"
[[face]]
id = "wall"
title = "west wall"
facing = 270
tilt = 90
origin = [0, 0, 0]
width = 96
height = 96
[[piece]]
id = "sheathing"
what = "plywood"
on = [{ face = "wall", rect = [0, 0, 96, 96] }]
[[piece]]
id = "upper"
what = "housewrap"
on = [{ face = "wall", rect = [0, 46, 96, 96] }]
[[piece]]
id = "lower"
what = "housewrap"
on = [{ face = "wall", rect = [0, 0, 96, 52] }]
[[piece]]
id = "siding"
title = "vinyl siding"
what = "vinyl-siding"
sealed = ["bottom"]
on = [{ face = "wall", rect = [0, 0, 96, 96] }]
[[reading]]
face = "wall"
at = [44, 40]
piece = "sheathing"
percent = 26
wood = "68 F"
[[change]]
do = "turn"
piece = "upper"
over = "lower"
[[change]]
do = "unseal"
piece = "siding"
edge = "bottom"
[climate]
place = "boston-ma"
[[dry]]
id = "mid"
title = "middle of the wall"
face = "wall"
at = [48, 42]
behind = [
  { material = "glass-fibre", thickness = 3.5, title = "insulation" },
  { material = "gypsum", thickness = 0.5 },
  { material = "latex-paint", thickness = 0.004 },
]
[[dry.open]]
title = "stud"
thickness = 1.5
percent = 28
wood = "68 F"
[[dry]]
id = "foot"
face = "wall"
at = [48, 4]
behind = [
  { material = "glass-fibre", thickness = 3.5 },
  { material = "gypsum", thickness = 0.5 },
  { material = "latex-paint", thickness = 0.004 },
]
"""


@pytest.fixture(scope="module")
def job() -> Job:
    """A wall with a reversed lap under siding that is caulked at its foot."""
    return read_job(WALL)


@pytest.fixture(scope="module")
def dried(job: Job) -> Drying:
    """Everything about it."""
    return drying_of(job)


class TestLeaks:
    """What of the trace's water gets to a spot."""

    def test_the_strips_hold_all_that_soaks(self, job: Job):
        """Water over all strips of the piece is what the trace says soaks."""
        worked = work_out(job)
        soaked = sum(r.per_year_l for r in worked.trace.ends if r.end is EndKind.SOAK)
        strips = Wetted(worked.trace).strips
        assert soaked > 0.0
        assert sum(s.per_year_l for s in strips) == pytest.approx(soaked, rel=1e-6)

    def test_spread_over_its_width_and_a_foot(self, job: Job):
        """Water that comes in along a lap wets each inch of it alike, a foot down."""
        worked = work_out(job)
        soaked = sum(r.per_year_l for r in worked.trace.ends if r.end is EndKind.SOAK)
        leak = Wetted(worked.trace).soaks_at(face=0, at=(48.0, 42.0), piece=0)
        assert leak is not None
        expected = soaked / (96.0 * 12.0) * KG_M2_PER_L_IN2
        assert leak.kg_m2 == pytest.approx(expected, rel=0.02)

    def test_dry_where_it_does_not_run(self, job: Job):
        """Over the lap, and far below where it was taken up, nothing soaks."""
        wetted = Wetted(work_out(job).trace)
        assert wetted.soaks_at(face=0, at=(48.0, 80.0), piece=0) is None
        assert wetted.soaks_at(face=0, at=(48.0, 4.0), piece=0) is None

    def test_held_water_wets_the_foot_only(self, job: Job):
        """Water held by the caulked foot is found within a foot of it."""
        wetted = Wetted(work_out(job).trace)
        assert wetted.held_at(face=0, at=(48.0, 4.0), piece=3) is not None
        assert wetted.held_at(face=0, at=(48.0, 42.0), piece=3) is None


class TestSpots:
    """The stack at a spot."""

    def test_layers_from_outside_to_inside(self, dried: Drying):
        """Pieces in stack order with the gap behind the siding, then what lies behind."""
        state = dried.spots[0].found.spotted
        names = [x.id for x in state.wall.layers]
        assert names == ["siding", GAP, "lower", "sheathing"] + [f"behind {k}" for k in (1, 2, 3)]
        assert state.wall.layer("sheathing").thickness_m == pytest.approx(0.0127)
        assert state.names["behind 1"] == "insulation"

    def test_a_caulked_foot_shuts_the_gap(self, dried: Drying):
        """Sealed, the gap has no air change and does not drain; open, it does both."""
        shut = dried.spots[1].found.spotted.wall.layer(GAP)
        assert dried.spots[1].repaired is not None
        free = dried.spots[1].repaired.spotted.wall.layer(GAP)
        assert (shut.air_changes_per_h, shut.drains) == (0.0, False)
        assert free.air_changes_per_h > 50.0 and free.drains

    def test_kept_wood_begins_as_it_was_read(self, dried: Drying):
        """As repaired the sheathing begins at the corrected reading, as it stays in."""
        assert dried.spots[0].repaired is not None
        layer = dried.spots[0].repaired.spotted.wall.layer("sheathing")
        assert layer.start_pct == pytest.approx(26.0)

    def test_a_piece_of_nothing_known_is_refused(self):
        """A piece without a catalogue entry has no thickness: the message names it."""
        text = WALL.replace('what = "plywood"', 'sheet = "absorbs"')
        other = read_job(text)
        worked = work_out(other)
        with pytest.raises(InputError, match="'sheathing' does not say what it is made of"):
            spot_wall(
                other.dry[0], worked.corner, Wetted(worked.trace),
                climate_of(other.climate, weather=None),
            )  # fmt: skip

    def test_a_bare_place_is_refused(self):
        """A spot that no piece covers is an error."""
        text = WALL.replace("rect = [0, 0, 96, 96]", "rect = [0, 0, 40, 96]")
        text = text.replace("96, 96] }", "40, 96] }").replace("96, 52] }", "40, 52] }")
        with pytest.raises(InputError, match="no piece lies there"):
            drying_of(read_job(text))


class TestAnswers:
    """What is said."""

    def test_open_with_every_aid(self, dried: Drying):
        """Every aid is tried; a heater dries faster than still air."""
        times = {t.aid: t.days_to_close_in for t in dried.spots[0].opened[0].times}
        assert set(times) == set(Aid)
        assert times[Aid.HEATER] is not None and times[Aid.NONE] is not None
        assert times[Aid.HEATER] < times[Aid.NONE]
        assert answers(dried)[0].startswith(
            "Left open to the air in April in the climate of Boston, Massachusetts the stud needs"
        )

    def test_the_repair_dries_the_foot(self, dried: Drying):
        """Caulked it is wet for months; opened it is not, and that change is named."""
        foot = dried.spots[1]
        assert foot.repaired is not None
        wet, after = foot.found.year.worst().wet_hours, foot.repaired.year.worst().wet_hours
        assert wet > 24 * 100 and after < 24 * 20
        first = foot.left_out[0]
        assert first.name == "cut the vinyl siding open at its bottom"
        assert first.share is not None and first.share > 0.5
        assert any(first.name in text for text in spot_texts(foot))

    def test_meter_against_run(self, dried: Drying):
        """Where the meter reads far from the run it is said."""
        off = abs(dried.spots[0].found.year.layers[0].mean_pct[-1] - 26.0) > 6.0
        said = any("the meter 26 %" in t for t in spot_texts(dried.spots[0]))
        assert off == said

    def test_table_holds_the_same(self, dried: Drying):
        """The table's days and shares are those of the answers, and a year has 365 days."""
        table = drying_table(dried)
        spot = table["spots"][1]
        assert spot["left_out"][0]["change"] == dried.spots[1].left_out[0].name
        wood = spot["found"]["wood"][0]
        assert len(wood["daily_pct"]) == 365
        assert wood["most_pct"] == round(dried.spots[1].found.year.layers[0].most_pct, 1)
        assert table["readings"][0]["moisture_pct"] == 26.0

    @pytest.mark.parametrize(
        ("days", "text"),
        [(None, "more than 120 days"), (0.4, "less than a day"), (1.2, "about 1 day"),
         (22.6, "about 23 days")],
    )  # fmt: skip
    def test_days_as_they_are_said(self, days: float | None, text: str):
        """Days are rounded as a person would."""
        assert days_text(days) == text

    def test_water_in_both_units(self):
        """A litre on a square metre is a fortieth of a gallon on a square foot."""
        assert water_text(10.0) == "10 L/m2 (0.25 gal/sq ft)"


class TestWeather:
    """Where the weather comes from."""

    def test_hours_and_months(self):
        """The first of March is day 60; the last hour of December is in December."""
        assert hour_of("2026-03-01") == 24 * 59
        assert hour_of("2024-02-29") == 24 * 58
        assert hour_of("") == 0
        assert (month_of(0), month_of(24 * 31), month_of(8759)) == (0, 1, 11)

    def test_a_file_that_was_not_handed_over(self):
        """The message names the file and another way."""
        text = WALL.replace('place = "boston-ma"', 'weather_file = "w.csv"')
        with pytest.raises(InputError, match=r"'w\.csv' was not handed over"):
            drying_of(read_job(text))

    def test_without_weather_there_is_no_answer(self):
        """A job without a climate is told what to write."""
        text = WALL[: WALL.index("[climate]")]
        with pytest.raises(InputError, match=r"it has no \[climate\]"):
            drying_of(read_job(text))


def test_the_porch_answers_all_three_spots():
    """In the demo the beam's end is soaked as found and stays dry as repaired."""
    demo = Path(__file__).parents[3] / "demo" / "porch-corner.toml"
    job = read_job(demo.read_text("utf-8"))
    assert len(job.dry) == 3
    assert build_corner(job).face_named[job.dry[2].face].id == "wall"
    dried = drying_of(job)
    beam = dried.spots[2]
    assert beam.repaired is not None
    assert beam.found.year.worst().most_pct > 40.0
    assert beam.repaired.year.worst().most_pct < 19.0
