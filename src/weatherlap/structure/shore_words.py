"""What the crew must know when a shore is set, lifted and released: order, marks, stops, cautions.

Rules of thumb are called rules of thumb. Nothing here says that a shore is approved.
"""

from __future__ import annotations

from math import ceil

from weatherlap.structure.results import Caution
from weatherlap.structure.shore_model import ShoreAsk, Step, TieDown
from weatherlap.units import tape

STEP_IN = 0.125

STANDING_CAUTIONS = (
    Caution("Local code and licensed practice decide. Ask the building department whether the work "
            "needs a permit and a designed shore.", "S-061"),
    Caution("Never work under a load that stands on jacks alone: block or post it as soon as it "
            "moves.", "S-055"),
    Caution("Never load a jack over the rating on its plate; stop before the end of its travel.",
            "S-054"),
    Caution("Jacks stand on firm footing or cribbing; a wood block keeps the cap from slipping.",
            "S-054"),
    Caution("A competent person looks at the framing before anything is cut: walls and floors that "
            "are damaged are braced first.", "S-056"),
    Caution("Hydraulic jacks are for moving only; hold on screw posts or wood. Rule of thumb.",
            "S-060"),
    Caution("Fall protection at 6 ft; scaffold on base plates and mud sills.", "S-057"),
    Caution("Look at the shore each morning, after wind and after any knock; the method here does "
            "not include earthquake.", "S-055"),
)  # fmt: skip

STOPS = (
    "A crack in plaster, masonry, siding or glass that opens by a hair more.",
    "A door or window nearby that binds.",
    "A jack that takes load faster than the others, leans, or turns hard before the eighth is up.",
    "A sill that sinks, a slab that cracks, soil that squeezes out.",
    "A post that bows, a header that rolls or crushes, a wedge that creeps.",
    "A sound of wood breaking, or a part lifting that is not meant to.",
    "Wind, or snow on the roof beyond what the shore was worked out for.",
)


def lift_rounds(lift_in: float) -> int:
    """Rounds of an eighth that a lift takes, all jacks in turn.

    Parameters
    ----------
    lift_in : float
        Lift. [in]

    Sources
    -------
    S-060 : steps of 1/8 in (rule of thumb).
    """
    return ceil(lift_in / STEP_IN - 1e-9)


def tie_words(ties: TieDown) -> str:
    """How what the shore carries is tied to the header, and the header down."""
    up = (
        f"{ties.nails} {ties.nail} toe-nails from each carried member into the header"
        if ties.nails
        else f"a strap rated {ties.member_lb:,.0f} lb from each carried member to the header"
    )
    down = max((p.pull_lb for p in ties.posts), default=0.0)
    if down <= 0:
        return f"{up}."
    return f"{up}; the header down at each post by a strap or cable of {down:,.0f} lb or more."


def steps_of(ask: ShoreAsk, *, posts: int, header_words: str, ties: str = "") -> tuple[Step, ...]:
    """Order of setting, lifting, taking out, putting in and releasing.

    ``ties`` says how the shore is held down in the wind, if it must be.
    """
    rounds = lift_rounds(ask.lift_in)
    rounds_words = "one round" if rounds == 1 else f"{rounds} rounds"
    out = ", ".join(ask.replaces)
    texts = [
        ("Mark and write down every level and gap of the monitoring list; photograph cracks.",
         "S-061"),
        ("Clear the ground, set the sills level on firm ground, full contact, no loose fill.",
         "S-054"),
        (f"Set the header ({header_words}) tight under what it carries, shimmed to each one.",
         "S-061"),
        (f"Set the {posts} posts plumb, from the middle out; snug, no lift yet; toe-nail heads and "
         "feet, wedge pairs nailed behind.", "S-058"),
        ("Brace both ways before any lift.", "S-060"),
        *([(f"Tie it down against the wind: {ties}", "S-062")] if ties else []),
        (f"Loosen what ties {out or 'the old members'} down, so that it does not pull back; only "
         f"on a calm day, and not before the braces{' and ties' if ties else ''} are in.", "S-061"),
        (f"Lift {tape(ask.lift_in)} at most, in {rounds_words} of 1/8 in, all jacks in turn; "
         "after each round block, wait, read the marks.", "S-060"),
        (f"Look whether the load is off {out}: the joint opens, a paper slips through. If not, "
         "stop and find what else holds it.", "S-061"),
        ("Lock the jacks or change them for wood posts with wedges before anyone works below.",
         "S-055"),
    ]  # fmt: skip
    if ask.replaces:
        texts.append((f"Cut and take out {out} in pieces, rigged, nobody under it.", "S-061"))
    if ask.puts_in:
        texts.append((f"Put in {', '.join(ask.puts_in)}; shim tight to the cut lengths; fasten "
                      "all joints and ties.", "S-061"))  # fmt: skip
    texts.append(("Release 1/8 in a round, all jacks in turn, from the ends to the middle; read "
                  "the marks; stop if a joint gaps.", "S-060"))  # fmt: skip
    texts.append(("Take the posts away only when every one is loose in the hand; read the marks "
                  "again the next day.", "S-061"))  # fmt: skip
    return tuple(Step(k, text, source) for k, (text, source) in enumerate(texts, 1))


def marks_of(ask: ShoreAsk) -> tuple[str, ...]:
    """Where to mark and measure before, during and after."""
    named = [f"Existing crack or joint: {name}" for name in ask.above]
    return (
        "Header: a laser mark at each end and in the middle.",
        "Each post: a line across foot and sill, and one across head and header.",
        "House wall: the gap of the roof to the wall at both ends of the roof.",
        "Each end of the old beam: level against a point on the house that does not move.",
        "Doors and windows within 8 ft: do they swing free.",
        *named,
    )


def lift_cautions(ask: ShoreAsk) -> tuple[Caution, ...]:
    """What cracks above when it is lifted."""
    found = [
        Caution(f"{name} is above the lift: it cracks before wood does. Lift by eighths and watch "
                "it.", "S-060", ask.id)
        for name in ask.above
    ]  # fmt: skip
    if ask.lift_in > STEP_IN:
        found.append(
            Caution(f"A lift of {ask.lift_in:g} in is more than taking the load off usually needs; "
                    "flashing, siding and glass above may move.", "S-060", ask.id)
        )  # fmt: skip
    return tuple(found)
