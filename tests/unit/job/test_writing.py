"""Writing a job: what is written reads back as the same job."""

from __future__ import annotations

import datetime
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from weatherlap.errors import InputError
from weatherlap.job.model import (
    About,
    CutLine,
    Damage,
    Edge,
    FaceRecord,
    GutterRecord,
    Job,
    Leak,
    LineEnd,
    PanelRecord,
    PieceRecord,
    Reading,
    Sheet,
    Site,
    Suspect,
    TroughRecord,
)
from weatherlap.job.reading import read_job
from weatherlap.job.writing import length_value, place_value, value_text, write_job
from weatherlap.units import parse_length

SIZES = st.one_of(
    st.integers(16, 16 * 900).map(lambda n: n / 16),
    st.integers(30, 20000).map(lambda mm: parse_length(f"{mm} mm")),
    st.floats(1, 900),
)
TEXTS = st.text(max_size=12)
RAINS = st.one_of(st.integers(1, 20).map(lambda n: f"{n} in/h"), st.just("101.3 mm/h"))


@st.composite
def faces(draw: st.DrawFn) -> tuple[FaceRecord, FaceRecord]:
    """A wall with a size, and a level top with an outline, well apart."""
    wall = FaceRecord(
        id="wall", tilt=90, facing=draw(st.floats(0, 360)), origin=(draw(SIZES), -3.5, 0),
        width=draw(SIZES), height=draw(SIZES), title=draw(TEXTS),
    )  # fmt: skip
    top = FaceRecord(
        id="top", tilt=0, origin=(0, 0, -5000), outline=((0, 0), (draw(SIZES), 0), (0, draw(SIZES)))
    )
    return wall, top


@st.composite
def pieces(draw: st.DrawFn, wall: FaceRecord, number: int) -> PieceRecord:
    """A piece on the wall, a gutter, or both."""
    assert wall.width is not None and wall.height is not None
    trough = TroughRecord(
        line=((0, 0), (wall.width, wall.height)),
        closed=tuple(draw(st.sets(st.sampled_from(LineEnd)))),
        width=draw(SIZES),
    )
    panel = PanelRecord(
        face="wall",
        rect=(0, 0, wall.width, wall.height),
        trough=draw(st.none() | st.just(trough)),
    )
    gutter = GutterRecord(line=((0, 0, 0), (draw(SIZES), 0, -1)), depth=draw(st.none() | SIZES))
    return PieceRecord(
        id=f"p{number}",
        what=draw(st.sampled_from(["osb", "wood-siding"])),
        sheet=draw(st.none() | st.just(Sheet.SHEDS)),
        on=(panel,) * draw(st.integers(1, 2)),
        sealed=tuple(draw(st.sets(st.sampled_from(Edge)))),
        drip=draw(st.booleans()),
        behind=("p0",) if number else (),
        gutter=draw(st.none() | st.just(gutter)),
        note=draw(TEXTS),
    )


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    """A whole job with something in every table."""
    wall, top = draw(faces())
    own = tuple(draw(pieces(wall, n)) for n in range(draw(st.integers(1, 3))))
    site = Site.model_validate(
        {
            "rain_design": draw(RAINS),
            "rain_year": "44 in",
            "wind_design": draw(st.sampled_from(["25 mph", "12.5 m/s", "40 km/h"])),
            "airfield_index": {"180": 350.5, "270": 420},
            "height": draw(SIZES),
        }
    )
    day = draw(st.just("") | st.dates().map(datetime.date.isoformat))
    return Job(
        job=About(title=draw(st.text(min_size=1, max_size=9)), date=day, notes=draw(TEXTS)),
        site=draw(st.sampled_from([Site(), site])),
        face=(wall, top),
        piece=own,
        cut=(CutLine(id="A", face="wall", at=0.5),),
        reading=(Reading(face="wall", at=(0.25, 0.5), percent=draw(st.floats(0, 100))),),
        damage=(Damage(face="wall", at=(1 / 3, 0.5), text="rot", piece="p0"),),
        suspect=(
            Suspect(id="s", text="t", leak=Leak(face="wall", at=(0.5, 0.5), on="p0"), odds=2.5),
            Suspect(id="f", text="t", finding=("p0", "p0")),
        ),
    )


@given(jobs())
@settings(max_examples=60, deadline=None)
def test_a_written_job_reads_back(job: Job) -> None:
    """Reading what was written must give the same job to the last bit."""
    assert read_job(write_job(job)) == job


@given(st.floats(min_value=-60000, max_value=60000))
def test_any_length_comes_back(inches: float) -> None:
    """Sizes and coordinates must be written so that they read back to the last bit."""
    assert parse_length(length_value(inches)) == inches
    assert parse_length(place_value(inches)) == inches


@pytest.mark.parametrize(
    ("inches", "size", "place"),
    [
        (96.0, "8 ft", 96),
        (148.5, "12 ft 4 1/2 in", "148 1/2 in"),
        (0.75, "3/4 in", "3/4 in"),
        (-0.75, "-3/4 in", "-3/4 in"),
        (-46.25, "-3 ft 10 1/4 in", "-46 1/4 in"),
        (38 / 25.4, "38 mm", 38 / 25.4),
        (1 / 3, 1 / 3, 1 / 3),
    ],
)
def test_lengths_are_written_as_a_tape_reads(
    inches: float, size: float | str, place: float | str
) -> None:
    """A size must be written as a tape reads or in mm, a coordinate in running inches."""
    assert length_value(inches) == size
    assert place_value(inches) == place


def test_defaults_are_left_out() -> None:
    """A job with nothing special must be written with nothing special."""
    face = FaceRecord(id="wall", tilt=90, origin=(0, 0, 0), width=96, height=96)
    assert write_job(Job(job=About(title="x"), face=(face,))) == (
        '[job]\ntitle = "x"\n\n[[face]]\nid = "wall"\ntilt = 90\norigin = [0, 0, 0]\n'
        'width = "8 ft"\nheight = "8 ft"\n'
    )


@pytest.mark.parametrize("value", [math.nan, math.inf, object(), None, [None], {"a": {1}}])
def test_what_toml_cannot_hold_is_refused(value: object) -> None:
    """A value that cannot be written must be refused, not written wrong."""
    with pytest.raises(InputError):
        value_text(value)
