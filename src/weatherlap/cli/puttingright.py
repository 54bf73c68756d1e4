"""Compare, order and nights on the terminal, or as JSON."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from weatherlap.cli.answers import say, say_row
from weatherlap.cli.files import print_json
from weatherlap.cli.progress import OnTheWay
from weatherlap.cli.tables import table_text
from weatherlap.job.model import Job
from weatherlap.order.days import Move
from weatherlap.order.hours import CrewHours, invented_hours, read_hours
from weatherlap.order.nights import Exposure, Night
from weatherlap.run.changewords import change_words
from weatherlap.run.comparing import Became, Comparison, compare
from weatherlap.run.ordering import Nights, Ordered, nights_of, order_job
from weatherlap.run.ordertables import compare_table, nights_table, order_table
from weatherlap.run.ordertold import left_words, removal_words, step_words, then_words, wet_words
from weatherlap.run.places import capital
from weatherlap.run.verdict import verdict
from weatherlap.water.wording import amount


def print_compare(job: Job, *, as_json: bool) -> None:
    """Print what each change did to each finding."""
    on_the_way = OnTheWay()
    try:
        done = compare(job, tell=lambda k, n: on_the_way(f"Without change {k} of {n}"))
    finally:
        on_the_way.done()
    if as_json:
        print_json(compare_table(done))
        return
    say(f"{job.job.title}: as found against as repaired")
    print()
    say(f"As found: {verdict(done.found.trace)}")
    say(f"As repaired: {verdict(done.repaired.trace)}")
    _print_findings(done)
    _print_changes(done)
    open_rules = list(dict.fromkeys(r.text for r in done.repaired.rules if not r.ok))
    if open_rules:
        print()
        say("Lap rules that are not kept as repaired:")
        for text in open_rules:
            say_row(capital(text))


def _print_findings(done: Comparison) -> None:
    print()
    say("The findings:")
    for row in done.findings:
        by = ", ".join(str(n) for n in row.cured_by)
        cured = row.became is Became.CURED
        none = " No change alone brings it back." if cured else ""
        by = f" It comes back without change {by}." if by else none
        before, after = amount(row.before_l), amount(row.after_l)
        water = f"{before} a year before, {after} after"
        if row.became is Became.CURED:
            water = f"{before} a year before, none after"
        say_row(f"{capital(row.became.value)} ({water}). {row.text}{by}")


def _print_changes(done: Comparison) -> None:
    print()
    say("The changes, and what happens without each:")
    for effect in done.changes:
        words = change_words(done.found.corner, done.repaired.corner, effect.change)
        why = f" Why: {effect.change.why.rstrip('.')}." if effect.change.why else ""
        say(f"{effect.number}. {capital(words)}.{why}", indent="  ", hang="     ")
        say(f"Without it: {effect.without}", indent="     ", hang="     ")


def print_order(job: Job, *, as_json: bool) -> None:
    """Print take-down and put-back."""
    ordered = order_job(job)
    if as_json:
        print_json(order_table(ordered))
        return
    say(f"{job.job.title}: take-down")
    print()
    for row in ordered.down.removals:
        say(f"{row.number:>3}. {removal_words(ordered, row)}", hang="     ")
    if not ordered.down.removals:
        say("Nothing has to come off.")
    print()
    say("Put-back")
    print()
    for laying in ordered.back.layings:
        say(f"{laying.number:>3}. {step_words(ordered, laying)}", hang="     ")
        if then := then_words(ordered, laying.number):
            say(then, indent="     ")
    _print_traps(ordered)
    if ordered.left_in:
        print()
        say("Found bad, and no change names it:")
        for text in ordered.left_in:
            say_row(text)


def _print_traps(ordered: Ordered) -> None:
    if ordered.back.traps:
        print()
        say("Easily done in the wrong order:")
        for trap in ordered.back.traps:
            say_row(trap.text)


def asked_hours(place: Path | None, *, crew: float | None, day: float | None) -> CrewHours:
    """The table of hours, the firm's or the invented one, with the crew and day asked for. [h]"""
    table = invented_hours() if place is None else read_hours(table_text(place, "hours"))
    return replace(
        table,
        crew=table.crew if crew is None else crew,
        hours_a_day=table.hours_a_day if day is None else day,
    )


def print_nights(
    job: Job, table: CrewHours, *, own: bool, night_mm: float | None, as_json: bool
) -> None:
    """Print what gets wet in each night of the work, and the covers."""
    on_the_way = OnTheWay()
    try:
        on_the_way("Following the rain over each evening")
        found = nights_of(job, table, night_mm=night_mm)
    finally:
        on_the_way.done()
    if as_json:
        print_json(nights_table(found))
        return
    _print_nights(job, found, own_hours=own)


def _print_nights(job: Job, found: Nights, *, own_hours: bool) -> None:
    table = found.table
    say(f"{job.job.title}: the nights of the work")
    whose = "your table" if own_hours else "an invented table: put in your own"
    say(
        f"A crew of {table.crew:g} at {table.hours_a_day:g} hours a day, hours from {whose}. A "
        f"usual rainy night brings {found.night_mm:.1f} mm."
    )
    if found.offer is not None:
        print()
        say(_offer_words(found.usual, found.offer))
    for night in found.rows:
        print()
        _print_night(found.ordered, night)


def _offer_words(usual: Exposure, offer: Exposure) -> str:
    return (
        "The order below is not the usual one of all down, then all back: it takes no more days "
        f"and no more changes of trade, and lets in {amount(offer.wet_l)} instead of "
        f"{amount(usual.wet_l)} if it rained every night."
    )


def _print_night(ordered: Ordered, night: Night) -> None:
    evening = night.evening
    say(f"Day {evening.day}, {evening.hours:.1f} hours of work")
    for move, verb in ((Move.OFF, "Comes off"), (Move.ON, "Is laid")):
        titles = [s.title for s in evening.steps if s.move is move]
        if titles:
            say(f"{verb}: {'; '.join(titles)}.", indent="  ", hang="    ")
    say(wet_words(ordered, night), indent="  ", hang="    ")
    for cover in night.covers:
        say_row(cover.text)
    if night.covers:
        say(left_words(ordered, night), indent="  ", hang="    ")
