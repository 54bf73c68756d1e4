"""Framing in a job file: read, or every fault with its line and what would be right."""

import pytest

from weatherlap.errors import JobError
from weatherlap.job.loads import parse_pounds, parse_psf, parse_size
from weatherlap.job.reading import read_job
from weatherlap.job.writing import write_job
from weatherlap.units import UnitError

HEAD = """[job]
title = "Framing"

[[face]]
id = "roof"
tilt = 14
origin = [0, 0, 96]
width = 96
height = 60

[framing.ground_snow]
value = "1.2 kPa"
said_by = "the department, by phone"
"""
BEAM = """
[[member]]
id = "beam"
use = "beam"
line = [[0, 0, 90], [96, 0, 90]]
size = "2-2x10"
species = "SPF"
grade = "No.2"
"""


def problems(text):
    """The problems of a job."""
    with pytest.raises(JobError) as caught:
        read_job(text, file="job.toml")
    return caught.value.problems


@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("2x10", (1, 1.5, 9.25)), ("2-2x10", (2, 1.5, 9.25)), ("3 - 2x12", (3, 1.5, 11.25)),
        ("4x4", (1, 3.5, 3.5)), ("6x6", (1, 5.5, 5.5)), ("6x8", (1, 5.5, 7.5)),
        ("1 5/8 in x 9 1/2 in", (1, 1.625, 9.5)), ("2-45 mm x 240 mm", (2, 45 / 25.4, 240 / 25.4)),
    ],
)  # fmt: skip
def test_sizes_are_dressed(text, want):
    """Nominal sizes become dressed ones, measured ones stay."""
    assert parse_size(text) == pytest.approx(want)


@pytest.mark.parametrize("text", ["", "big", "2x", "9-2x10", "2x11", "0 in x 3 in", "2x10x12"])
def test_what_is_no_size_is_refused(text):
    """Anything else is refused with what a size looks like."""
    with pytest.raises(UnitError):
        parse_size(text)


def test_loads_need_their_unit():
    """A load is text with a unit of its kind; nothing is negative."""
    assert parse_psf("1 kPa") == pytest.approx(20.885, abs=0.001)
    assert parse_pounds("1 kN") == pytest.approx(224.81, abs=0.01)
    for bad in (30, "30", "-30 psf", "30 lb", True):
        with pytest.raises(UnitError):
            parse_psf(bad)


def test_framing_is_read_and_written_back():
    """What is read is written so that it reads back as the same."""
    job = read_job(HEAD + BEAM)
    assert job.framing.ground_snow.value == pytest.approx(25.06, abs=0.01)
    assert job.member[0].size == "2-2x10"
    assert read_job(write_job(job)) == job


def test_a_job_without_framing_holds_none():
    """No framing keys: no members, and nothing is written for them."""
    job = read_job(HEAD[: HEAD.index("[framing")])
    assert job.member == () and "framing" not in write_job(job)


@pytest.mark.parametrize(
    ("old", "new", "where", "says"),
    [
        ('species = "SPF"', 'species = "SPFF"', "member 'beam': species", "'SPF'"),
        ('grade = "No.2"', 'grade = "No2"', "member 'beam': grade", "'No.2'"),
        ('use = "beam"', 'use = "beem"', "member 'beam': use", "'beam'"),
        ('size = "2-2x10"', 'size = "2-2x1o"', "member 'beam': size", "size of lumber"),
        ("[96, 0, 90]", "[0, 0, 90]", "member 'beam': line", "at least 0.5 in"),
        ('grade = "No.2"', 'grade = "No.2"\nspan = 3', "member 'beam': span", "unknown key"),
        ('grade = "No.2"', 'grade = "No.2"\ncondition = "soft"', "member 'beam': condition",
         "measured loss"),
        ('grade = "No.2"',
         'grade = "No.2"\nlosses = [{ start = 0, end = 9, bottom = 12 }]',
         "member 'beam', losses 1",
         "leaves nothing"),
        ('grade = "No.2"', 'grade = "No.2"\ncount = 3', "member 'beam': count", "step"),
        ('said_by = "the department, by phone"', 'said_by = ""', "framing, ground_snow: said_by",
         "text"),
        ('value = "1.2 kPa"', 'value = "-1 psf"', "framing, ground_snow: value", "negative"),
    ],
)  # fmt: skip
def test_faults_of_framing_name_line_and_key(old, new, where, says):
    """Each fault names its place and says what would be right, near names among it."""
    text = (HEAD + BEAM).replace(old, new, 1)
    found = [p for p in problems(text) if where in p.where]
    assert found, [str(p) for p in problems(text)]
    assert found[0].line > 0
    assert says in str(found[0])


def test_joints_of_members_that_are_not_there():
    """A joint on an unknown member is answered with the nearest name; a row's members are known."""
    row = BEAM.replace('"beam"\nuse', '"rafter"\nuse').replace(
        'grade = "No.2"', 'grade = "No.2"\ncount = 3\nstep = [16, 0, 0]'
    )
    joint = '\n[[joint]]\nupper = "rafter-3"\nlower = "baem"\n'
    only = problems(HEAD + BEAM + row + joint)
    assert len(only) == 1
    assert "'baem'" in only[0].found and "'beam'" in only[0].do


def test_a_length_to_cut_says_which_key_is_missing():
    """A post to cut without its footing's level names the key."""
    fit = '\n[[fit]]\nid = "p"\nwhat = "post"\nmember = "beam"\nunder = "beam"\n'
    assert any("`foot`" in str(p) for p in problems(HEAD + BEAM + fit))
