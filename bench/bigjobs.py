"""Big jobs for the benches of the web app."""

from __future__ import annotations

from pathlib import Path

from weatherlap.job.model import FaceRecord, PieceRecord
from weatherlap.job.reading import read_job
from weatherlap.job.writing import write_job

DEMO = Path(__file__).parents[1] / "demo" / "porch-corner.toml"
APART_IN = 2000.0


def rows_of_porches(count: int = 3) -> str:
    """The job file of so many porch corners beside each other, about 70 pieces each."""
    one = read_job(DEMO.read_text("utf-8"))
    faces = [_moved(f, k) for k in range(count) for f in one.face]
    pieces = [_renamed(p, k) for k in range(count) for p in one.piece]
    about = one.job.model_copy(update={"title": f"{count} porches"})
    kept = {"job": about, "site": one.site, "face": tuple(faces), "piece": tuple(pieces)}
    return write_job(type(one).model_construct(**kept))


def _moved(face: FaceRecord, k: int) -> FaceRecord:
    x, y, z = face.origin
    at = (x, y + k * APART_IN, z)
    return face.model_copy(update={"id": f"{face.id}-{k}", "origin": at})


def _renamed(piece: PieceRecord, k: int) -> PieceRecord:
    on = tuple(p.model_copy(update={"face": f"{p.face}-{k}"}) for p in piece.on)
    behind = tuple(f"{b}-{k}" for b in piece.behind)
    new = {"id": f"{piece.id}-{k}", "on": on, "behind": behind, "run": None}
    if piece.gutter is not None:
        line = tuple((x, y + k * APART_IN, z) for x, y, z in piece.gutter.line)
        new["gutter"] = piece.gutter.model_copy(update={"line": line})
    return piece.model_copy(update=new)
