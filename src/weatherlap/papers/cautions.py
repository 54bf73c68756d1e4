"""Cautions for opening up and repairing, each with the rule it comes from."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Caution:
    """A short warning; ``source`` is a key of the register."""

    head: str
    text: str
    source: str


OPENING_UP = (
    Caution(
        "Ladders",
        "Foot out a quarter of the height, rails 3 ft past the landing and tied. Nobody opens a "
        "wall with both hands from a ladder: use a staging.",
        "P-001",
    ),
    Caution(
        "Falls",
        "At 6 ft and more above what lies below: guardrail, net or harness. Wet sheathing may "
        "not carry a person.",
        "P-002",
    ),
    Caution(
        "Old paint",
        "A house from before 1978 is taken to have lead paint until a test says otherwise. Over "
        "20 sq ft outside, the federal rule asks for a firm and a renovator trained for it.",
        "P-003",
    ),
    Caution(
        "Electricity",
        "Cables run in wet walls too. Switch off the circuits near the work and prove them dead "
        "before cutting, and before pushing pins in.",
        "P-005",
    ),
    Caution(
        "Mould",
        "Rotten wood behind siding may hold mould. Gloves, goggles and a fitted mask; keep it "
        "damp, bag it, and close the room off. Over 10 sq ft, plan it first.",
        "P-006",
    ),
    Caution(
        "Silica dust",
        "Fibre cement, brick, mortar and concrete: cut wet or with a shroud and a fine-dust "
        "vacuum, out of doors.",
        "P-004",
    ),
    Caution(
        "Asbestos",
        "Old cement shingles, felts and putty may hold it. Have them tested before they are cut "
        "or broken.",
        "P-007",
    ),
    Caution(
        "What carries load",
        "Leave a beam, post or header in place until its load is held. Where a member is soft, "
        "a licensed engineer decides what may be taken out, and when.",
        "P-008",
    ),
)

GOVERNS = (
    "Local code and licensed practice decide what is built. This sheet follows what was measured "
    "and drawn; it replaces neither the meter nor the opening."
)
