"""Members of the frame in the take-down."""

from __future__ import annotations

from pathlib import Path

from weatherlap.job.reading import read_job
from weatherlap.run.ordering import order_job
from weatherlap.run.ordertold import removal_words

DEMO = Path(__file__).parents[3] / "demo" / "porch-corner.toml"


def test_a_carrying_piece_is_shored_before_it_comes_off() -> None:
    """Beam and post of the porch are members of the surveyed frame; a soffit panel is none."""
    ordered = order_job(read_job(DEMO.read_text("utf-8")))
    said = {ordered.found.pieces[r.piece].id: removal_words(ordered, r)
            for r in ordered.down.removals}  # fmt: skip
    assert "shore before it comes off" in said["post"] and "shore before" in said["beam"]
    assert "shore" not in said["soffit-1"]


def test_a_soft_member_that_stays_is_said() -> None:
    """Without the change that replaces the post, its soft member is named among what stays."""
    job = read_job(DEMO.read_text("utf-8"))
    kept = job.model_copy(update={"change": tuple(c for c in job.change if c.piece != "post")})
    texts = " ".join(order_job(kept).left_in)
    assert "surveyed as soft and no change takes it out" in texts


def test_a_soft_member_that_is_not_drawn_is_said() -> None:
    """What covers a member that is no piece is not known, and the list says so."""
    job = read_job(DEMO.read_text("utf-8"))
    loose = tuple(m.model_copy(update={"piece": None, "new": None}) for m in job.member)
    texts = " ".join(order_job(job.model_copy(update={"member": loose})).left_in)
    assert "is not drawn as a piece" in texts
