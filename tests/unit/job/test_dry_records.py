"""The tables of drying in a job file: what is read, what is refused, and with which words."""

from __future__ import annotations

from typing import get_args

import pytest

from weatherlap.drying.materials import materials
from weatherlap.drying.model import Inside
from weatherlap.drying.normals import places
from weatherlap.drying.wood import Species
from weatherlap.errors import JobError
from weatherlap.job.dryrecords import DryMaterial, DryRecord, KeptPlace
from weatherlap.job.reading import read_job
from weatherlap.job.records import WoodKind
from weatherlap.sources.catalogue import catalogue

HEAD = """
[job]
title = "x"
[[face]]
id = "wall"
tilt = 90
origin = [0, 0, 0]
width = 48
height = 96
"""
CLIMATE = '[climate]\nplace = "boston-ma"\n'


def problems(text: str) -> list[str]:
    """Everything that is wrong with a job."""
    with pytest.raises(JobError) as caught:
        read_job(HEAD + text)
    return [f"{p.where}: {p.found}; {p.want}" for p in caught.value.problems]


def test_choices_are_those_of_the_engine():
    """Places, materials, species and rooms of the job file are exactly those of the solver."""
    assert set(get_args(KeptPlace)) == set(places())
    assert set(get_args(DryMaterial)) == set(materials())
    assert set(get_args(WoodKind)) == {s.value for s in Species}
    inside = DryRecord.model_fields["inside"].annotation
    assert set(get_args(inside)) == {x.value for x in Inside}


def test_what_lies_in_a_wall_has_a_material_and_a_thickness():
    """Every entry of the catalogue but bare ground can be a layer of a stack."""
    unknown = [
        key
        for key, entry in catalogue().items()
        if entry.material not in materials() or not entry.thickness_in > 0
    ]
    assert unknown == ["soil"]


def test_a_spot_is_read():
    """Lengths, temperatures and defaults of a spot come out in the program's own units."""
    job = read_job(
        HEAD
        + CLIMATE
        + '[[dry]]\nid = "a"\nface = "wall"\nat = [4, "1 ft"]\n'
        + 'behind = [{ material = "gypsum", thickness = "1/2 in" }]\n'
        + '[[dry.open]]\ntitle = "stud"\nthickness = "38.1 mm"\nwood = "50 F"\nheater = "18 F"\n'
    )
    spot = job.dry[0]
    assert spot.at == (4.0, 12.0)
    assert spot.behind[0].thickness == 0.5
    assert spot.open[0].thickness == pytest.approx(1.5)
    assert spot.open[0].wood == pytest.approx(10.0)
    assert spot.open[0].heater == pytest.approx(10.0)
    assert spot.inside == "heated room"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        pytest.param(
            '[climate]\nplace = "bostn-ma"\n',
            "climate: place: found 'bostn-ma'",
            id="no-such-place",
        ),
        pytest.param("[climate]\n", "climate: found none; one of `place`", id="no-weather"),
        pytest.param(
            '[climate]\nplace = "miami-fl"\nweather_file = "a.csv"\n',
            "climate: found `place` and `weather_file`",
            id="weather-twice",
        ),
        pytest.param(
            '[climate]\nmonths = "temperature [F]"\n',
            "climate: latitude: missing",
            id="months-without-latitude",
        ),
        pytest.param(
            '[[dry]]\nid = "a"\nface = "wall"\nat = [4, 4]\n',
            "the job has no [climate]",
            id="spot-without-weather",
        ),
        pytest.param(
            CLIMATE + '[[dry]]\nid = "a"\nface = "wal"\nat = [4, 4]\n',
            "dry 'a': face: there is no face 'wal'",
            id="no-such-face",
        ),
        pytest.param(
            CLIMATE + '[[dry]]\nid = "a"\nface = "wall"\nat = [60, 4]\n',
            "dry 'a': at: [60, 4] is 1' off face 'wall'",
            id="off-its-face",
        ),
        pytest.param(
            CLIMATE
            + '[[dry]]\nid = "a"\nface = "wall"\nat = [4, 4]\n'
            + '[[dry.open]]\ntitle = "stud"\nthickness = 0\n',
            "dry 'a', open 1: thickness: found 0; a value of more than 0",
            id="no-thickness",
        ),
        pytest.param(
            CLIMATE
            + '[[dry]]\nid = "a"\nface = "wall"\nat = [4, 4]\n'
            + 'behind = [{ material = "gipsum", thickness = 1 }]\n',
            "dry 'a', behind 1: material: found 'gipsum'",
            id="no-such-material",
        ),
        pytest.param(
            CLIMATE + '[[reading]]\nface = "wall"\nat = [4, 4]\npercent = 20\nwood = 50\n',
            "wood: found 50 without a unit; a temperature with its unit",
            id="bare-temperature",
        ),
    ],
)
def test_mistakes_are_named(text: str, says: str):
    """Each mistake is answered with its place, what was found and what would be right."""
    found = problems(text)
    assert any(says in line for line in found), found
