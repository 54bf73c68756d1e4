"""Where to open next as a plain table, for JSON."""

from __future__ import annotations

from weatherlap.run.opennext import OpenNext
from weatherlap.run.tables import Table
from weatherlap.run.worked import Worked


def open_next_table(worked: Worked, opened: OpenNext) -> Table:
    """Where to open next: causes with their chances, and looks, best first. [in, -]"""
    corner = worked.corner
    return {
        "text": opened.text,
        "causes": [{"name": w.name, "text": w.text, "chance": w.chance} for w in opened.weighed],
        "seen": {"wet": opened.wet_seen, "dry": opened.dry_seen},
        "looks": [
            {
                "face": corner.faces[k.face].id,
                "at": [k.u, k.v],
                "piece": corner.pieces[k.piece].id,
                "behind": [corner.pieces[p].id for p in k.covers],
                "chance_wet": k.chance_wet,
                "bits": k.bits,
                "if_wet": list(k.if_wet),
                "if_dry": list(k.if_dry),
                "do": k.do,
            }
            for k in opened.looks
        ],
    }
