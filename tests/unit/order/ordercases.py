"""Small jobs for the tests of take-down and put-back."""

from __future__ import annotations

from typing import Any

import networkx as nx
from hypothesis import strategies as st

from weatherlap.building.corner import Corner, build_corner
from weatherlap.building.laps import overlaps
from weatherlap.job.model import Job
from weatherlap.order.takedown import TakeDown, take_down

SIDE_IN = 24
SHEETS = ("sheds", "resists", "absorbs", "open")


def wall_job(pieces: list[dict[str, Any]], changes: list[dict[str, Any]], **more: Any) -> Job:
    """A job of one wall, or of the faces given."""
    wall = {"id": "wall", "facing": 180, "tilt": 90, "origin": [0, 0, 0], "width": 96, "height": 96}
    table = {"job": {"title": "case"}, "face": [wall], "piece": pieces, "change": changes}
    return Job.model_validate(table | more)


def piece(name: str, rect: tuple[float, float, float, float], **more: Any) -> dict[str, Any]:
    """A piece that sheds, on the wall."""
    return {"id": name, "sheet": "sheds", "on": [{"face": "wall", "rect": rect}], **more}


def planned(job: Job, repaired: Job) -> tuple[Corner, Corner, TakeDown]:
    """Both corners and the take-down."""
    found, after = build_corner(job), build_corner(repaired)
    return found, after, take_down(found, after, job.change)


def over_graph(corner: Corner) -> nx.DiGraph:
    """An arrow from each piece to every piece that it lies over, by id."""
    graph = nx.DiGraph()
    graph.add_nodes_from(p.id for p in corner.pieces)
    for i, j in overlaps(corner):
        a, b = corner.pieces[corner.panels[i].piece], corner.pieces[corner.panels[j].piece]
        outer, inner = (a, b) if corner.outside(a.index, b.index) else (b, a)
        graph.add_edge(outer.id, inner.id)
    return graph


@st.composite
def stacks(draw: st.DrawFn, *, free: bool) -> Job:
    """A wall with up to nine pieces laid anyhow and one or two changes.

    With ``free`` some pieces slide out and some can be bent up.
    """
    count = draw(st.integers(2, 9))
    rows = []
    for k in range(count):
        u0, v0 = draw(st.integers(0, 20)), draw(st.integers(0, 20))
        u1 = draw(st.integers(u0 + 1, SIDE_IN))
        v1 = draw(st.integers(v0 + 1, SIDE_IN))
        row = piece(f"p{k}", (u0, v0, u1, v1), sheet=draw(st.sampled_from(SHEETS)))
        if free:
            row["slides"] = draw(st.sampled_from(([], [], ["bottom"])))
            row["bends"] = draw(st.sampled_from((False, False, True)))
        rows.append(row)
    names = draw(st.lists(st.sampled_from([r["id"] for r in rows]), min_size=1, max_size=2,
                          unique=True))  # fmt: skip
    does = ("take-away", "replace", "reuse")
    changes = [{"do": draw(st.sampled_from(does)), "piece": name} for name in names]
    return wall_job(rows, changes)
