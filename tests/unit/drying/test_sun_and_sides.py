"""The sun on a face, the sky above it, the room behind it."""

from __future__ import annotations

import numpy as np
import pytest

from weatherlap.drying.climate import Climate
from weatherlap.drying.model import Aid, Inside, Layer, Wall
from weatherlap.drying.sides import open_airs, room_air, sky_loss_w_m2, wall_airs
from weatherlap.drying.sun import diffuse_share, sun_on_face, sun_position
from weatherlap.errors import InputError

NOON_21_JUNE, NOON_21_MARCH = 24.0 * 171 + 11.5, 24.0 * 79 + 11.5


def test_noon_height_at_the_solstice() -> None:
    """At 40 N on 21 June the noon sun stands 90 - 40 + 23.45 degrees high, in the south."""
    height, bearing = sun_position(40.0, hours=np.array([NOON_21_JUNE]))
    assert np.degrees(np.arcsin(height[0])) == pytest.approx(73.45, abs=0.1)
    assert bearing[0] == pytest.approx(180.0, abs=0.5)


def test_equinox_day_is_twelve_hours() -> None:
    """In March day and night are as long, and the sun rises in the east."""
    hours = 24.0 * 79 + np.arange(24.0)
    height, bearing = sun_position(40.0, hours=hours)
    assert int(np.count_nonzero(height > 0.0)) == 12
    assert bearing[6] == pytest.approx(96.0, abs=4.0)


@pytest.mark.parametrize(
    ("facing", "share"), [(180.0, np.sin(np.radians(40.0))), (0.0, 0.0), (90.0, 0.0)]
)
def test_noon_beam_by_facing(facing: float, share: float) -> None:
    """At the equinox noon in 40 N a south wall meets the beam at 40 degrees, north not at all."""
    found = sun_on_face(
        40.0, hours=np.array([NOON_21_MARCH]), level=np.zeros(1), direct=np.array([800.0]),
        diffuse=np.zeros(1), facing_deg=facing, tilt_deg=90.0,
    )  # fmt: skip
    assert found[0] == pytest.approx(800.0 * np.cos(np.radians(50.0)) * (share > 0.0), abs=12.0)


def test_level_face_sees_the_whole_sky() -> None:
    """A level top takes all of the diffuse and nothing from the ground; a wall half and a tenth."""
    given = {
        "hours": np.array([12.0]), "level": np.array([300.0]), "direct": np.zeros(1),
        "diffuse": np.array([200.0]), "facing_deg": 0.0,
    }  # fmt: skip
    assert sun_on_face(40.0, tilt_deg=0.0, **given)[0] == pytest.approx(200.0)
    assert sun_on_face(40.0, tilt_deg=90.0, **given)[0] == pytest.approx(100.0 + 30.0)


def test_diffuse_share_falls_as_it_clears() -> None:
    """A dull sky is nearly all diffuse, a clear one a sixth; the pieces join."""
    assert diffuse_share(np.array([0.1, 0.9])) == pytest.approx([0.991, 0.165])
    low, high = diffuse_share(np.array([0.2199, 0.2201]))
    assert low == pytest.approx(high, abs=0.01)


@pytest.mark.parametrize(
    ("outside", "warm", "humid"), [(-20.0, 20.0, 0.30), (5.0, 20.0, 0.45), (25.0, 25.0, 0.60)]
)
def test_room_follows_the_daily_mean(outside: float, warm: float, humid: float) -> None:
    """A heated room is 20 to 25 C and 30 to 60 % by the mean outdoors."""
    from weatherlap.drying.air import saturation_pressure_pa

    celsius, pascal = room_air(np.full(72, outside))
    assert celsius[30] == pytest.approx(warm)
    assert pascal[30] / saturation_pressure_pa(warm) == pytest.approx(humid)


def test_sky_is_lost_to_by_what_is_seen_of_it() -> None:
    """A level top loses twice what a wall does, an underside nothing, none while it rains."""
    dry = np.zeros(1)
    top, wall, under = (sky_loss_w_m2(t, rain_mm_h=dry)[0] for t in (0.0, 90.0, 180.0))
    assert top == pytest.approx(2.0 * wall) and under == pytest.approx(0.0)
    assert sky_loss_w_m2(90.0, rain_mm_h=np.ones(1))[0] == 0.0


def test_sheltered_inside_has_the_air_of_outdoors(boston: Climate) -> None:
    """A stack with open air behind it has outdoor air on both sides."""
    wall = Wall("soffit", (Layer("a", "plywood", 0.0095),), inside=Inside.OUTDOORS)
    airs = wall_airs(wall, climate=boston)
    assert np.array_equal(airs.inside_c, airs.outside_c)
    assert np.array_equal(airs.inside_pa, airs.outside_pa)


def test_fan_moves_air_and_heater_warms_it(boston: Climate) -> None:
    """A fan raises the film, a heater the temperature; neither changes the vapour in the air."""
    plain, fan, heater = (
        open_airs(boston, aid=aid, heater_rise_k=8.0, both_open=True)
        for aid in (Aid.NONE, Aid.FAN, Aid.HEATER)
    )
    assert np.all(fan.outside_film_vapour > 2.0 * plain.outside_film_vapour)
    assert heater.outside_c == pytest.approx(plain.outside_c + 8.0)
    assert np.array_equal(heater.outside_pa, plain.outside_pa)


def test_an_oven_is_no_heater(boston: Climate) -> None:
    """A heater that warms by 60 K is refused."""
    with pytest.raises(InputError, match="60 K warmer; expected 0 to 40 K"):
        open_airs(boston, aid=Aid.HEATER, heater_rise_k=60.0, both_open=True)
