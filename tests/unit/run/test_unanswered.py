"""The check before a scope is printed: what was seen and worked out and has no line is named."""

from __future__ import annotations

from pathlib import Path

import pytest

from weatherlap.job.reading import read_job
from weatherlap.order.hours import invented_hours
from weatherlap.run.tasks import tasks_of
from weatherlap.run.unanswered import unanswered

DEMO = (Path(__file__).parents[3] / "demo" / "porch-corner.toml").read_text("utf-8")
SOFT = DEMO.replace(
    'id = "post-far"\n',
    'id = "post-far"\ncondition = "soft"\nlosses = [{ start = 0, end = 6, sides = "1/2 in" }]\n',
    1,
)
DAMAGED = (
    '\n[[damage]]\nface = "fascia"\nat = [20, 3]\ntext = "dark and soft"\npiece = "sub-fascia"\n'
)
PICKED = '\n[[pick]]\nface = "fascia"\nat = [20, 3]\npiece = "sub-fascia"\nsays = "soft"\n'
WET = '\n[[reading]]\nface = "roof"\nat = [40, 30]\npercent = 28\npiece = "deck"\n'


def said(text: str) -> str:
    """All that has no line in a job."""
    return "\n".join(unanswered(tasks_of(read_job(text), invented_hours())))


def test_the_demo_has_a_line_for_everything():
    """Nothing of the porch is left without an answer."""
    assert said(DEMO) == ""


@pytest.mark.parametrize(
    ("text", "words"),
    [
        pytest.param(SOFT, "post post-far is surveyed as soft", id="member"),
        pytest.param(DEMO + DAMAGED, "(dark and soft): no step touches it", id="damage"),
        pytest.param(DEMO + PICKED, "The awl says soft at the sub-fascia", id="awl"),
        pytest.param(DEMO + WET, "porch roof deck reads 28 % and stays", id="wet"),
        pytest.param(
            DEMO.replace('jack = "12000 lb"', 'jack = "200 lb"'), "Holding up is not worked out",
            id="not-held",
        ),
        pytest.param(
            DEMO.replace("A licensed engineer looks", "Somebody looks"), "An engineer is asked for",
            id="engineer",
        ),
    ],
)  # fmt: skip
def test_what_has_no_line_is_named(text: str, words: str):
    """Each is found, though every change has its step."""
    assert words in said(text)


def test_an_allowance_answers_the_awl():
    """A soft piece that stays may be held by an allowance."""
    more = '\n[[allowance]]\nid = "sub"\ntext = "sub-fascia"\npiece = "sub-fascia"\nunit = "ft"\n'
    assert "The awl says" not in said(DEMO + PICKED + more + "included = 4\n")
