"""Mending finds the least set of changes on planted faults, and respects what is kept."""

from __future__ import annotations

import itertools
import time

import pytest

from weatherlap.building.changes import as_repaired, changed
from weatherlap.building.corner import build_corner
from weatherlap.errors import InputError, JobError
from weatherlap.job.model import Job
from weatherlap.job.reading import read_job
from weatherlap.water.mend import mend
from weatherlap.water.mendcosts import Pricer, invented_costs, read_costs
from weatherlap.water.newpieces import Remedy
from weatherlap.water.rain import site_rain
from weatherlap.water.remedies import remedies
from weatherlap.water.rulefixes import broken_rules, rule_remedies
from weatherlap.water.trace import trace

HEAD = """
[job]
title = "planted"
[[face]]
id = "wall"
facing = 180
tilt = 90
origin = [0, 0, 0]
width = 96
height = 96
[[piece]]
id = "wood"
sheet = "absorbs"
on = [{ face = "wall", rect = [0, 0, 96, 96] }]
"""


def sheet(name: str, low: float, high: float, more: str = "") -> str:
    """A barrier sheet across the wall."""
    panel = f'{{ face = "wall", rect = [0, {low}, 96, {high}] }}'
    return f'[[piece]]\nid = "{name}"\nwhat = "housewrap"\non = [{panel}]\n{more}\n'


def siding(name: str, low: float, high: float, more: str = "") -> str:
    """A siding course across the wall."""
    panel = f'{{ face = "wall", rect = [0, {low}, 96, {high}] }}'
    return f'[[piece]]\nid = "{name}"\nwhat = "vinyl-siding"\non = [{panel}]\n{more}\n'


def planted(faults: frozenset[str], keep: str = "") -> Job:
    """A wall of three barrier sheets behind siding with up to four faults planted."""
    laps = {"low": 'behind = ["mid"]', "mid": 'behind = ["top"]'}
    low = "" if "lap-low" in faults else laps["low"]
    mid = "" if "lap-mid" in faults else laps["mid"]
    top_foot = 66 if "short-top" in faults else 60
    bottom = 'sealed = ["bottom"]' if "sealed" in faults else ""
    text = HEAD + sheet("top", top_foot, 96) + sheet("mid", 30, 64, mid) + sheet("low", 0, 34, low)
    text += siding("course-1", 1, 48, bottom) + siding("course-2", 46, 96)
    for name in filter(None, [keep]):
        text = text.replace(f'id = "{name}"', f'id = "{name}"\nkeep = true')
    return read_job(text)


def choices(job: Job) -> list[Remedy]:
    """Every remedy of every crossing and broken rule of a job as found."""
    corner, rain = build_corner(job), site_rain(job.site)
    result = trace(corner, rain)
    found: dict[str, Remedy] = {}
    from weatherlap.water.hops import Crossing

    for t, step in enumerate(result.ways.trails.steps):
        if isinstance(step.what, Crossing) and result.flows.trouble[t] > 0:
            _, u, v = result.ways.trails.places[t]
            found |= {r.key: r for r in remedies(corner, step.what, (u, v))}
    for fault in broken_rules(corner, rain):
        found |= {r.key: r for r in rule_remedies(corner, fault)}
    return list(found.values())


def drains(job: Job, picked: tuple[Remedy, ...]) -> bool:
    """Whether a corner drains and no mendable rule is broken after remedies."""
    rain = site_rain(job.site)
    try:
        corner = build_corner(changed(job, [c for r in picked for c in r.changes]))
        if not trace(corner, rain).clean:
            return False
    except JobError:
        return False
    return not any(list(rule_remedies(corner, b)) for b in broken_rules(corner, rain))


def least_by_exhaustion(job: Job) -> float:
    """The least cost over all sets of up to four remedies."""
    corner = build_corner(job)
    pricer = Pricer(corner, invented_costs())
    best = float("inf")
    all_choices = choices(job)
    for count in range(5):
        for picked in itertools.combinations(all_choices, count):
            cost = sum(pricer.cost(r) for r in picked)
            if cost < best and drains(job, picked):
                best = cost
    return best


FAULTS = ("lap-low", "lap-mid", "sealed", "short-top")


@pytest.mark.parametrize(
    "faults",
    [
        pytest.param(frozenset(c), id="+".join(c))
        for n in (1, 2, 3, 4)
        for c in itertools.combinations(FAULTS, n)
    ],
)
def test_the_least_set_is_found_as_exhaustive_search_finds_it(faults: frozenset[str]) -> None:
    """For every set of planted faults the answer costs what the best of all sets costs."""
    job = planted(faults)
    begin = time.perf_counter()
    answer = mend(job, site_rain(job.site), invented_costs(), runners_up=0)
    assert time.perf_counter() - begin < 3
    assert answer.proven
    assert answer.best is not None
    assert drains(job, answer.best.remedies)
    assert answer.best.cost_usd == pytest.approx(least_by_exhaustion(job))
    assert len(answer.needs) == len(answer.best.remedies)


def test_a_sound_wall_needs_nothing() -> None:
    """Where nothing is wrong the answer is empty, costs nothing and is proven."""
    job = planted(frozenset())
    answer = mend(job, site_rain(job.site), invented_costs())
    assert answer.best is not None
    assert (answer.best.cost_usd, answer.best.remedies, answer.proven) == (0, (), True)


def test_what_the_client_keeps_is_not_changed() -> None:
    """With the sealed course kept, no answer touches it, and the finding is left open."""
    job = planted(frozenset({"sealed", "lap-mid"}), keep="course-1")
    answer = mend(job, site_rain(job.site), invented_costs())
    assert answer.best is not None
    assert all("course-1" not in r.pieces() for r in answer.best.remedies)
    assert any("course-1" in text for text in answer.left_open)


def test_each_need_says_what_happens_without_the_change() -> None:
    """Taking a change out of the answer brings its finding back."""
    job = planted(frozenset({"lap-mid", "sealed"}))
    answer = mend(job, site_rain(job.site), invented_costs())
    texts = [need.without for need in answer.needs]
    assert any("sealed shut" in t for t in texts)
    assert any("wrong way round" in t for t in texts)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("rate_per_hour = [", "TOML"),
        ("rate_per_hour = 75\nreach_hours = 1", r"no table \[take-away\]"),
        ("rate_per_hour = -1", "no table"),
    ],
)
def test_a_bad_cost_table_is_refused(text: str, words: str) -> None:
    """A table that is short or no TOML says what it lacks."""
    with pytest.raises(InputError, match=words):
        read_costs(text)


def test_a_split_coat_over_wood_is_mended_by_a_sound_one() -> None:
    """Trim that lets rain by onto the wood under it is replaced by a piece without a joint."""
    rows = [
        {"id": "wood", "what": "bare-trim", "on": [{"face": "wall", "rect": [0, 0, 96, 48]}]},
        {
            "id": "coat",
            "what": "window-sill-wood",
            "passes": 0.05,
            "on": [{"face": "wall", "rect": [0, 0, 96, 48]}],
        },
    ]
    face = {"id": "wall", "facing": 180, "tilt": 90, "origin": [0, 0, 0], "width": 96, "height": 48}
    job = Job.model_validate({"job": {"title": "coat"}, "face": [face], "piece": rows})
    answer = mend(job, site_rain(job.site), invented_costs())
    assert answer.proven and answer.best is not None
    (change,) = answer.best.changes
    assert (change.do.value, change.piece, change.passes) == ("replace", "coat", 0.0)
    assert trace(build_corner(as_repaired(job, [change])), site_rain(job.site)).clean
