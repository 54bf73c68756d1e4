"""What is said of a bent piece, in the words of the shop."""

from __future__ import annotations

from weatherlap.metal.fits import Fit
from weatherlap.metal.model import Measure, Profile, Toward
from weatherlap.metal.pictures import block_words
from weatherlap.metal.remedies import Remedy
from weatherlap.run.bentmaking import Making
from weatherlap.run.bentpieces import BentPiece
from weatherlap.units import tape

SHOP_PARTS = 32
MEASURED = {
    Measure.INSIDE: "inside", Measure.OUTSIDE: "outside",
    Measure.BACK: "on the back", Measure.FINISH: "on the painted face",
}  # fmt: skip


def shop_length(inches: float) -> str:
    """A length as the tape at the brake reads it, to 1/32 in."""
    return tape(inches, sixteenths=SHOP_PARTS)


def size_words(piece: BentPiece) -> str:
    """How many, how wide, how long, of what."""
    count = "1 piece" if piece.count == 1 else f"{piece.count} pieces"
    return (
        f"{count}, {shop_length(piece.girth_in)} of girth ({piece.girth_in:.3f} in), "
        f"{tape(piece.length_in)} long, {piece.metal.name}, painted: {piece.painted}."
    )


def old_words(piece: BentPiece) -> tuple[str, ...]:
    """That a piece is not new in this job, where it is not."""
    if piece.is_new:
        return ()
    return (
        "It is there already and stays: no metal for it is on the buy list. The sheet is for "
        "making it again if it comes down damaged.",
    )


def order_words(piece: BentPiece) -> str:
    """Whether the brake can make it, in a sentence."""
    how = piece.making
    if not how.wanted.bends:
        return "It stays flat: there is nothing to bend."
    if how.plan is None:
        return f"It is too wide for the coil and is made of {len(how.cuts)} pieces, lapped."
    count = len(how.plan.steps)
    if how.plan.possible:
        bends = "1 bend" if count == 1 else f"{count} bends"
        return f"{bends} on the brake, in the order below: the one with the least handling."
    if how.cuts:
        return (
            "As asked for it has no bend order on this brake, and that is proven. "
            f"{how.changes[0].text} The sheet is for that."
        )
    return "It has no bend order on this brake, and no single change gives it one: that is proven."


def fit_words(fit: Fit) -> tuple[str, ...]:
    """What coil and brake are too small for, with the split that mends it."""
    return tuple(text for text in (fit.too_wide, fit.too_long) if text)


def blocked_words(how: Making) -> tuple[str, ...]:
    """The proof that there is no order, line by line, and each change that gives one."""
    if how.plan is None or how.plan.possible:
        return ()
    changes = tuple(f"Way out: {change.text}" for change in how.changes)
    return (*block_words(how.plan), *_part_words(how), *changes)


def _part_words(how: Making) -> tuple[str, ...]:
    """That no bend left part-open gives an order, where that is so."""
    if not how.parts_deg or any(c.remedy is Remedy.PART_OPEN for c in how.changes):
        return ()
    angles = ", ".join(f"{angle:g}" for angle in sorted(how.parts_deg))
    return (
        f"Nor is there one where a bend is left open and closed on the brake later: tried for "
        f"each bend at {angles} degrees, as far as that is less than its own.",
    )


def leg_rows(profile: Profile) -> tuple[tuple[str, ...], ...]:
    """Each leg with where it is measured and the bend at its end."""
    rows = []
    for number, leg in enumerate(profile.legs, 1):
        bend = ""
        if number <= len(profile.bends):
            b = profile.bends[number - 1]
            side = "painted side" if b.toward is Toward.FINISH else "back"
            kind = "hem" if b.is_hem else f"{b.angle_deg:.4g}\u00b0"
            gap = f", open {shop_length(2 * b.radius_in)}" if b.is_hem and b.radius_in else ""
            bend = f"{kind}{gap}, over the {side}"
        measured = MEASURED[leg.measure]
        rows.append((str(number), leg.name, shop_length(leg.length_in), measured, bend))
    return tuple(rows)
