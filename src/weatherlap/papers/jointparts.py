"""Parts of the buy list that go to the site: joints and their gaps, and what must not touch."""

from __future__ import annotations

from collections.abc import Iterator

from weatherlap.papers.leaf import Block, Box, Column, Grid, Items, Part, Words
from weatherlap.run.places import capital
from weatherlap.run.shopping import Shop
from weatherlap.takeoff.coursing import STUDS_IN
from weatherlap.takeoff.joints import EndLap
from weatherlap.takeoff.movement import Splice
from weatherlap.units import tape

FINE = 32
LEAST_LAP_IN = 1 / 32
STUDS = (
    f"Joints of siding lie on studs, taken to stand {STUDS_IN:g} in apart from where the wall "
    "begins at the left: where they stand otherwise, shift each joint to the next one."
)


def site_parts(shop: Shop) -> Iterator[Part]:
    """What is kept apart, and joints, where there is anything to say."""
    if shop.touches.looked_at:
        yield _touching(shop)
    joints = shop.joints
    if joints.movements or joints.laps or joints.spliced:
        yield Part("Joints and room for heat", tuple(_joint_blocks(shop)))


def _touching(shop: Shop) -> Part:
    looked = shop.touches.looked_at
    apart = shop.touches.apart
    if not apart:
        words = f"{_contacts(looked)} of metal with its neighbours looked at; all may touch."
        return Part("What touches what", (Words(words),))
    columns = (
        Column("This", share=2.4), Column("on this", share=2.0), Column("Verdict", share=1.3),
        Column("Why", share=2.6), Column("What to do", share=2.8),
    )  # fmt: skip
    rows = tuple(
        (
            capital(row.outer),
            row.inner,
            row.judged.verdict.value,
            capital(row.judged.why),
            row.judged.do,
        )
        for row in apart
    )
    note = f"{_contacts(looked)} looked at; the others may touch."
    return Part("What must be kept apart", (Grid(columns, rows, note),))


def _joint_blocks(shop: Shop) -> Iterator[Block]:
    joints, day = shop.joints, shop.job.shop
    if joints.movements:
        columns = (
            Column("Piece", share=3), Column("Length", numeric=True),
            Column("Grows", numeric=True), Column("Shrinks", numeric=True),
            Column("Leave free", numeric=True), Column("How", share=2.6),
        )  # fmt: skip
        rows = tuple(
            (
                capital(m.title),
                tape(m.length_in),
                _fine(m.room.growth_in),
                _fine(m.room.shrink_in),
                _fine(m.gap_in),
                m.why,
            )
            for m in joints.movements
        )
        yield Grid(
            columns,
            rows,
            f"From {day.day:g} degrees F on the day to {day.hottest:g} in the sun and "
            f"{day.coldest:g} in the cold, of the metal itself.",
        )
    if joints.spliced:
        yield Items(tuple(splice_lines(shop)))
        if any(cut.on_studs for cut in shop.cut):
            yield Words(STUDS)
    short = [lap for lap in joints.laps if lap.is_short or not lap.right_way]
    good = [lap for lap in joints.laps if lap not in short]
    if good:
        yield Items(tuple(f"{_lap_words(lap)}: enough, {lap.why}." for lap in good))
    if short:
        yield Box("Laps to look at", tuple(_short_words(lap) for lap in short))


def splice_lines(shop: Shop) -> Iterator[str]:
    """Where long parts are joined, courses that are joined alike together."""
    alike: dict[tuple[str, str], list[str]] = {}
    for row in shop.joints.spliced:
        if row.plan is not None:
            key = row.part.title, "; ".join(_joint_words(one) for one in row.plan.splices)
            alike.setdefault(key, []).append(row.part.id.removeprefix(row.part.piece).lstrip("-"))
    for (title, words), numbers in alike.items():
        word = "courses" if len(numbers) > 1 else "course"
        which = f", {word} {', '.join(numbers)}" if all(numbers) else ""
        yield f"{capital(title)}{which}: {words}"


def _joint_words(splice: Splice) -> str:
    at, lap = tape(splice.from_in), splice.to_in - splice.from_in
    if lap < LEAST_LAP_IN:
        return f"a butt joint at {at} from its start, over a strip of flashing"
    over = f"the piece toward the {splice.over.value} over: {splice.why}"
    return f"a lap of {tape(lap)} at {at} from its start, {over}"


def _lap_words(lap: EndLap) -> str:
    return f"{capital(lap.outer)} laps {tape(lap.lap_in)} over {lap.inner}"


def _short_words(lap: EndLap) -> str:
    words = _lap_words(lap)
    if lap.is_short:
        words += f"; it needs {_fine(lap.need_in)}, so that 1 in stays when it is coldest"
    if not lap.right_way:
        words += f"; the other ought to lie over: {lap.why}"
    return f"{words}."


def _fine(inches: float) -> str:
    return tape(inches, sixteenths=FINE)


def _contacts(count: int) -> str:
    return "1 contact" if count == 1 else f"{count} contacts"
