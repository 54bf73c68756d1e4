"""The questions: days open, the year, which change did it, how much leakage, how sure."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from weatherlap.drying.band import days_band, draw_walls, year_band
from weatherlap.drying.capacity import drying_capacity, spread_leak
from weatherlap.drying.climate import Climate, from_hour
from weatherlap.drying.compare import found_and_repaired
from weatherlap.drying.model import Aid, Wall
from weatherlap.drying.open_drying import OpenMember, days_to_dry
from weatherlap.drying.year import wall_year, wettest_profile
from weatherlap.errors import InputError
from weatherlap.sources.register import sources

STUD = OpenMember("stud", "softwood", 0.038, 28.0)
MAY = 24 * 120


class TestOpen:
    """How many days an opened piece of wood needs."""

    def test_answer_begins_with_a_sentence(self, boston: Climate) -> None:
        """The first field is the answer in words, with both days."""
        found = days_to_dry(STUD, climate=boston, first_hour=MAY)
        assert found.sentence.startswith("stud at 28 %, open: about ")
        assert "to 19 %" in found.sentence and "to 16 %" in found.sentence
        assert set(found.source_keys) <= sources().keys()

    def test_days_are_where_the_course_crosses(self, boston: Climate) -> None:
        """The hourly course is at 19 % on the day given."""
        found = days_to_dry(STUD, climate=boston, first_hour=MAY)
        assert found.days_to_close_in is not None and found.days_to_dry is not None
        at = found.mean_pct[round(24 * found.days_to_close_in) - 1]
        assert at == pytest.approx(19.0, abs=0.1)
        assert found.days_to_dry > found.days_to_close_in

    def test_help_helps_in_order(self, boston: Climate) -> None:
        """A fan is no slower than nothing, a heater faster, both fastest; heat is cautioned."""
        days = [
            days_to_dry(STUD, climate=boston, first_hour=MAY, aid=aid).days_to_close_in
            for aid in Aid
        ]
        warned = [days_to_dry(STUD, climate=boston, aid=aid, most_days=1).cautions for aid in Aid]
        assert [len(cautions) for cautions in warned] == [0, 0, 1, 1]
        assert days[1] <= days[0] and days[2] < 0.8 * days[0] and days[3] <= days[2]

    def test_thicker_and_shut_is_slower(self, boston: Climate) -> None:
        """Twice the thickness or one face shut takes several times as long."""
        thick = replace(STUD, thickness_m=0.076)
        shut = replace(STUD, both_faces_open=False)
        base, two, one = (
            days_to_dry(m, climate=boston, first_hour=MAY).days_to_close_in or 120.0
            for m in (STUD, thick, shut)
        )
        assert two > 2.5 * base and one > 2.5 * base

    def test_dry_wood_is_dry_at_once(self, boston: Climate) -> None:
        """Wood at 14 % needs no days."""
        found = days_to_dry(replace(STUD, start_pct=14.0), climate=boston)
        assert (found.days_to_close_in, found.days_to_dry) == (0.0, 0.0)
        assert "already down" in found.sentence

    def test_what_does_not_dry_is_said(self, boston: Climate) -> None:
        """A wet beam in a fortnight of winter does not get there, and the answer says why."""
        beam = OpenMember("beam", "softwood", 0.14, 40.0)
        found = days_to_dry(beam, climate=boston, most_days=14)
        assert found.days_to_close_in is None
        assert "not down to 19 % within 14 days; this air keeps wood at about" in found.sentence

    @pytest.mark.parametrize(
        ("member", "want"),
        [
            (OpenMember("lining", "gypsum", 0.0127, 20.0), "gypsum is not wood"),
            (replace(STUD, thickness_m=0.0), "0 m thick"),
            (replace(STUD, start_pct=-3.0), "-3 % at the start"),
        ],
    )
    def test_impossible_members_are_refused(
        self, boston: Climate, member: OpenMember, want: str
    ) -> None:
        """No wood, no thickness or an impossible reading is refused."""
        with pytest.raises(InputError, match=want):
            days_to_dry(member, climate=boston)

    def test_band_holds_the_middle(self, boston: Climate) -> None:
        """The middle answer lies in the band of the draws, and progress is told."""
        told: list[tuple[int, int]] = []
        band = days_band(
            STUD, climate=boston, first_hour=MAY, draws=8,
            progress=lambda done, total: told.append((done, total)),
        )  # fmt: skip
        middle = days_to_dry(STUD, climate=boston, first_hour=MAY).days_to_close_in
        assert band.close_in is not None and middle is not None
        assert band.close_in.low < middle < band.close_in.high
        assert told[-1] == (8, 8) and len(told) == 8


class TestYear:
    """A wall through the year."""

    def test_leaking_wall_is_wet_and_repaired_wall_dry(
        self, boston: Climate, tight_wall: Wall, vented_wall: Wall
    ) -> None:
        """The leak wets the sheathing of the wall as found; the repair keeps it under 19 %."""
        found, repaired = (wall_year(w, climate=boston) for w in (tight_wall, vented_wall))
        assert found.worst().layer_id == "sheathing"
        assert found.worst().most_pct > repaired.worst().most_pct + 5.0
        assert repaired.worst().most_pct < 19.0 < found.worst().most_pct
        assert found.leaked_kg_m2 == pytest.approx(float(tight_wall.leaks[0].kg_m2_h.sum()))
        assert "sheathing goes up to" in found.sentence

    def test_books_close_to_a_millionth(self, boston: Climate, tight_wall: Wall) -> None:
        """Water in, leaked, drained and stored agree to a millionth of the leak."""
        books = wall_year(tight_wall, climate=boston).books
        assert abs(books.water_gap_kg_m2) < 1e-6 * books.leaked_kg_m2
        assert abs(books.heat_gap_j_m2) < 1e-6 * abs(books.heat_in_j_m2) + 1.0

    def test_second_year_forgets_the_start(self, boston: Climate, vented_wall: Wall) -> None:
        """After a year the start counts little: dry and damp starts end alike."""
        dry, damp = (
            wall_year(
                replace(
                    vented_wall,
                    layers=tuple(replace(x, start_humidity_pct=h) for x in vented_wall.layers),
                ),
                climate=boston,
                years=2,
            )
            for h in (50.0, 90.0)
        )
        one, other = dry.worst().mean_pct[-1], damp.worst().mean_pct[-1]
        assert one == pytest.approx(other, abs=0.1)

    def test_profile_is_the_wettest_hour(self, boston: Climate, tight_wall: Wall) -> None:
        """The profile's mean over the wettest layer is its highest mean of the year."""
        year = wall_year(tight_wall, climate=boston)
        profile = wettest_profile(year, climate=boston)
        worst = max(year.layers, key=lambda layer: layer.most_pct)
        here = np.array([x == worst.layer_id for x in profile.layer_ids])
        assert np.nanmax(profile.moisture_pct[here]) >= worst.most_pct - 0.05
        assert np.nanmin(profile.moisture_pct[here]) <= worst.most_pct + 0.05
        assert np.isnan(profile.moisture_pct[-1])
        assert np.all(np.diff(profile.depth_m) > 0.0)

    def test_a_wall_without_wood_is_refused(self, boston: Climate, vented_wall: Wall) -> None:
        """Without wood there is nothing to answer."""
        bare = replace(vented_wall, layers=vented_wall.layers[:3])
        with pytest.raises(InputError, match="no layer of wood"):
            wall_year(bare, climate=boston)


class TestCompare:
    """As found against as repaired."""

    def test_which_change_did_it(
        self, boston: Climate, tight_wall: Wall, vented_wall: Wall
    ) -> None:
        """Changes are ranked by what is lost without each; progress counts every wall."""
        told: list[int] = []
        result = found_and_repaired(
            tight_wall, vented_wall, climate=boston,
            without={
                "paint renewed": vented_wall,
                "gap vented": tight_wall,
            },
            progress=lambda done, _: told.append(done),
        )  # fmt: skip
        assert result.left_out[0].name == "gap vented"
        assert result.left_out[0].share == pytest.approx(1.0)
        assert result.left_out[1].share == pytest.approx(0.0)
        assert told == [1, 2, 3, 4]
        assert "What does most: gap vented" in result.sentence

    def test_no_improvement_has_no_shares(self, boston: Climate, vented_wall: Wall) -> None:
        """Where the repair changes nothing no change is credited."""
        result = found_and_repaired(
            vented_wall, vented_wall, climate=boston, without={"nothing": vented_wall}
        )
        assert result.left_out[0].share is None


class TestCapacity:
    """How much leakage a wall can lose."""

    def test_capacity_is_bracketed(
        self, boston: Climate, vented_wall: Wall, rain: np.ndarray
    ) -> None:
        """At the amount found the wood stays under the limit, a little above it does not."""
        found = drying_capacity(
            vented_wall, climate=boston, pattern=rain, layer_id="sheathing", years=1
        )
        assert found.dry_wall and found.limited_by == "sheathing"
        assert found.too_much_kg_m2_year is not None
        assert 0.0 < found.kg_m2_year < found.too_much_kg_m2_year < 1.05 * found.kg_m2_year
        worst = max(layer.most_pct for layer in found.at_capacity.layers)
        assert worst <= found.limit_pct
        assert worst == pytest.approx(found.limit_pct, abs=1.0)

    def test_a_wet_wall_has_nothing_to_spare(
        self, boston: Climate, vented_wall: Wall, rain: np.ndarray
    ) -> None:
        """Under a limit the wall passes by itself the capacity is nothing, in words."""
        found = drying_capacity(
            vented_wall, climate=boston, pattern=rain, layer_id="sheathing", limit_pct=12.0,
            years=1,
        )  # fmt: skip
        assert not found.dry_wall and found.kg_m2_year == 0.0
        assert "nothing to spare" in found.sentence

    def test_no_rain_is_no_pattern(self) -> None:
        """A pattern without rain cannot be spread."""
        with pytest.raises(InputError, match="some rain"):
            spread_leak(np.zeros(24), kg_m2_year=1.0)


@pytest.fixture(scope="module")
def spring(boston: Climate) -> Climate:
    """Forty days from the first of March."""
    return from_hour(boston, first_hour=24 * 59, hours=24 * 40)


@pytest.fixture(scope="module")
def spring_wall(tight_wall: Wall) -> Wall:
    """The wall as found, with the leak of those days."""
    leaks = tuple(
        replace(leak, kg_m2_h=leak.kg_m2_h[24 * 59 : 24 * 99]) for leak in tight_wall.leaks
    )
    return replace(tight_wall, leaks=leaks)


class TestBand:
    """Draws from the ranges."""

    def test_band_is_the_same_for_a_seed_and_any_workers(
        self, spring: Climate, spring_wall: Wall
    ) -> None:
        """One seed gives one band, whatever the number of threads; another seed another."""
        one = year_band(spring_wall, climate=spring, draws=4, seed=3)
        two = year_band(spring_wall, climate=spring, draws=4, seed=3, workers=2)
        other = year_band(spring_wall, climate=spring, draws=4, seed=4)
        assert one.sentence == two.sentence
        assert np.array_equal(one.layers[1].daily_pct, two.layers[1].daily_pct)
        assert not np.array_equal(one.layers[1].daily_pct, other.layers[1].daily_pct)

    def test_band_is_ordered(self, spring: Climate, spring_wall: Wall) -> None:
        """Low is under middle is under high on every day."""
        band = year_band(spring_wall, climate=spring, draws=4, seed=3)
        for layer in band.layers:
            assert layer.most_pct.low <= layer.most_pct.middle <= layer.most_pct.high
            assert np.all(np.diff(layer.daily_pct, axis=0) >= 0.0)

    def test_each_strip_of_a_range_is_used_once(self, tight_wall: Wall) -> None:
        """Eight draws of the sheathing's density fall into eight strips of its range."""
        draws = draw_walls(tight_wall, draws=8, seed=1)
        found = sorted(d.choice["sheathing"].density_kg_m3 for d in draws)
        assert len({round(value, 6) for value in found}) == 8
        assert found[0] >= 600.0 and found[-1] <= 680.0

    def test_no_draws_are_refused(self, tight_wall: Wall) -> None:
        """A band of nothing is refused."""
        with pytest.raises(InputError, match="0 draws; expected 1 to 4096"):
            draw_walls(tight_wall, draws=0, seed=1)
