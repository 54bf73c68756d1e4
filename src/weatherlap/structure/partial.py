"""Snow or live load on some spans only of a member that runs over three supports or more."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from weatherlap.structure.member_checks import check_stage
from weatherlap.structure.model import (
    Case,
    Framing,
    Hold,
    LineLoad,
    Member,
    PointLoad,
    Stage,
    StageKind,
)
from weatherlap.structure.results import Check
from weatherlap.structure.staging import StageResult, run_stages

SAME_PLACE_IN = 6.0
LESS = {
    Case.SNOW: 0.5, Case.RAIN_ON_SNOW: 0.5, Case.LIVE: 0.0, Case.ROOF_LIVE: 0.0,
}  # fmt: skip
DRIFT = "snow drift"
Spans = tuple[tuple[float, float], ...]


def carried_spans(framing: Framing, stage: StageResult, name: str) -> Spans:
    """Spans of a lying member between the places that carry it, overhangs included. [in]"""
    member = framing.member(name)
    places = sorted(
        {member.distance_along(link.at_in) for link in stage.links if link.owner == name}
    )
    apart = [p for k, p in enumerate(places) if k == 0 or p - places[k - 1] > SAME_PLACE_IN]
    if len(apart) < 3:
        return ()
    ends = [e for e in (0.0, member.length_in) if min(abs(e - p) for p in apart) > SAME_PLACE_IN]
    return tuple(pairwise(sorted((*apart, *ends))))


def loaded_sets(count: int) -> tuple[frozenset[int], ...]:
    """Which spans carry the full load while the others carry less.

    Sources
    -------
    S-068 : either end span alone, all but either end span, each two neighbours; for live load
    every second span too.
    """
    spans = range(count)
    sets = [frozenset({0}), frozenset({count - 1})]
    sets += [frozenset(spans) - {0}, frozenset(spans) - {count - 1}]
    sets += [frozenset(pair) for pair in pairwise(spans)]
    sets += [frozenset(k for k in spans if k % 2 == odd) for odd in (0, 1)]
    whole = frozenset(spans)
    return tuple(dict.fromkeys(s for s in sets if s and s != whole))


def partial_checks(
    framing: Framing, stage: StageResult, plain: tuple[Check, ...], *,
    snow_is_strength_level: bool = False,
) -> tuple[Check, ...]:  # fmt: skip
    """Checks of continuous members that partial loading makes worse than full loading.

    The members are taken as they stand, unstrained by the work. Drifts stay where they are.

    Parameters
    ----------
    plain : tuple of Check
        The checks of the stage under full loading.
    snow_is_strength_level : bool
        Snow is that of ASCE 7-22.

    Sources
    -------
    S-068 : half the snow, no live load, on the spans that are not loaded.
    """
    worst = {(c.about, c.what): c for c in plain}
    for member in framing.members:
        hung = any(x.owner == member.id and x.hold is Hold.HUNG for x in stage.links)
        if member.use.upright or member.temporary or hung or member.id not in stage.present:
            continue
        spans = carried_spans(framing, stage, member.id)
        for loaded in loaded_sets(len(spans)) if spans else ():
            trial = _partly(framing, stage, member, spans, loaded)
            for c in _one(trial, stage, member.id, snow_is_strength_level):
                kept = worst.get((c.about, c.what))
                if kept is None or c.ratio > kept.ratio * 1.001:
                    words = ", ".join(str(k + 1) for k in sorted(loaded))
                    worst[c.about, c.what] = replace(
                        c, combination=f"{c.combination}, full on spans {words} of {member.id}",
                        stage=stage.stage.id,
                    )  # fmt: skip
    before = {(c.about, c.what): c for c in plain}
    return tuple(c for key, c in worst.items() if before.get(key) is not c)


def _one(
    trial: Framing, stage: StageResult, name: str, snow_is_strength_level: bool
) -> Iterator[Check]:
    """Checks of the member and of what carries it under one pattern."""
    result = run_stages(
        trial, (Stage("partial", StageKind.AS_FOUND),), first=stage.present,
        snow_is_strength_level=snow_is_strength_level,
    )[0]  # fmt: skip
    found, _ = check_stage(trial, result)
    mine = {name, *(link.id for link in result.links if link.owner == name)}
    yield from (c for c in found if c.about in mine)


def _partly(
    framing: Framing, stage: StageResult, member: Member, spans: Spans, loaded: frozenset[int]
) -> Framing:
    """The framing with less load on some spans of a member."""
    sits = {
        j.upper: member.distance_along(j.at_in) for j in stage.joints if j.lower == member.id
    }  # fmt: skip
    lines: list[LineLoad] = []
    for load in framing.line_loads:
        if load.case not in LESS or load.why == DRIFT:
            lines.append(load)
        elif load.member == member.id:
            lines += _cut(load, member, spans, loaded)
        elif load.member in sits:
            lines.append(_scaled(load, _share(load.case, sits[load.member], spans, loaded)))
        else:
            lines.append(load)
    points = tuple(_point(p, member, spans, loaded) for p in framing.point_loads)
    return replace(framing, line_loads=tuple(lines), point_loads=points)


def _point(
    load: PointLoad, member: Member, spans: Spans, loaded: frozenset[int]
) -> PointLoad:  # fmt: skip
    """A load at a place, less where its span is not loaded."""
    if load.member != member.id or load.case not in LESS:
        return load
    return replace(load, load_lb=load.load_lb * _share(load.case, load.at_in, spans, loaded))


def _share(case: Case, along_in: float, spans: Spans, loaded: frozenset[int]) -> float:
    """Share of a load at a place along the member."""
    inside = next((k for k, (a, b) in enumerate(spans) if a <= along_in <= b), None)
    return 1.0 if inside is None or inside in loaded else LESS[case]


def _scaled(load: LineLoad, share: float) -> LineLoad:
    return replace(load, start_plf=load.start_plf * share, end_plf=load.end_plf * share)


def _cut(
    load: LineLoad, member: Member, spans: Spans, loaded: frozenset[int]
) -> Iterator[LineLoad]:  # fmt: skip
    """A load along the member itself, cut at its supports."""
    start = 0.0 if load.from_in is None else load.from_in
    end = member.length_in if load.to_in is None else load.to_in
    rate = (load.end_plf - load.start_plf) / (end - start)
    for k, (a, b) in enumerate(spans):
        low, high = max(a, start), min(b, end)
        if high - low < 0.05:
            continue
        part = replace(
            load, from_in=low, to_in=high, start_plf=load.start_plf + rate * (low - start),
            end_plf=load.start_plf + rate * (high - start),
        )  # fmt: skip
        yield _scaled(part, 1.0 if k in loaded else LESS[load.case])
