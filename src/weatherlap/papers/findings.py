"""The findings sheet: where the water gets in, why, and what to look at next."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable, Sequence
from typing import Any

from weatherlap.drawings.look import END_WORDS
from weatherlap.papers.cautions import GOVERNS, OPENING_UP
from weatherlap.papers.paper import Paper
from weatherlap.papers.pictures import Picture
from weatherlap.papers.titleblock import title_block
from weatherlap.papers.typeset import NO_DAY, typeset
from weatherlap.run.opennext import OpenNext, open_next
from weatherlap.run.places import capital, place_words
from weatherlap.run.rulings import RuleRow, rule_rows
from weatherlap.run.states import State
from weatherlap.run.told import Told, tell
from weatherlap.run.verdict import verdict
from weatherlap.run.worked import Worked
from weatherlap.sources import source
from weatherlap.water.hops import EndKind
from weatherlap.water.wording import water_words

MOST_FINDINGS = 60
MOST_FACES = 6
"""Elevations on the sheet; every face has its drawing beside it."""

PT_PER_UNIT = 0.84
"""Points for a unit of a drawing: its smallest letters come to 9.7 points. [pt]"""
TALLEST_PT = {Paper.LETTER: 640.0, Paper.A4: 690.0}
FOOT_PT = {Paper.LETTER: 704.0, Paper.A4: 754.0}
"""Where the room for words ends, from the sheet's top. [pt]"""
LEAST_SCALE = 0.68
"""The first drawing is not shrunk below this to stand on the first sheet. [-]"""
_VIEW_BOX = re.compile(r'viewBox="0 0 ([0-9.]+) ([0-9.]+)"')

Table = dict[str, Any]


def findings_sheet(
    worked: Worked,
    drawings: Sequence[Picture],
    *,
    state: State = State.FOUND,
    paper: Paper = Paper.LETTER,
) -> bytes:
    """The findings sheet of one state of a job as a PDF.

    Parameters
    ----------
    worked : Worked
        The worked-out state of the job.
    drawings : sequence of Picture
        Its drawings; elevations of faces without a finding are left out.
    state : State
        Which state it is.
    paper : Paper
        Size of the sheet.
    """
    shown = _shown(worked, drawings)
    files = {f"drawing-{k}.svg": picture.svg for k, picture in enumerate(shown)}
    data = sheet_data(worked, state=state, paper=paper)
    data["drawings"] = [
        {"file": name, "alt": picture.title, **_size_pt(picture.svg, paper)}
        for name, picture in zip(files, shown, strict=True)
    ]
    return typeset("findings", data, drawings=files, stamp=stamp_of(worked.job.job.date))


def _size_pt(svg: str, paper: Paper) -> dict[str, float]:
    """How large a drawing stands: one scale for all, less where it would not fit the sheet. [pt]"""
    found = _VIEW_BOX.search(svg)
    assert found is not None
    wide, high = float(found[1]), float(found[2])
    scale = min(PT_PER_UNIT, TALLEST_PT[paper] / high)
    return {"width": wide * scale, "height": high * scale}


def stamp_of(day: str) -> datetime.datetime:
    """Noon of a day, or of a fixed one where the job names none."""
    if not day:
        return NO_DAY
    noon = datetime.time(12, tzinfo=datetime.UTC)
    return datetime.datetime.combine(datetime.date.fromisoformat(day), noon)


def sheet_data(worked: Worked, *, state: State, paper: Paper) -> Table:
    """Everything that the sheet says, without its drawings."""
    about, trace = worked.job.job, worked.trace
    told = [tell(worked, f) for f in trace.findings[:MOST_FINDINGS]]
    left = len(trace.findings) - len(told)
    opened = open_next(worked)
    rows = rule_rows(worked)
    return {
        "sheet": paper.sheet,
        "foot": FOOT_PT[paper],
        "least_scale": LEAST_SCALE,
        "paper_title": "Findings",
        "title": about.title,
        "subtitle": f"Findings, the corner {state.words}",
        "block": title_block(about),
        "people": _people(worked),
        "symptom": about.symptom,
        "verdict": verdict(trace),
        "findings": [_finding(t) for t in told],
        "list_note": _list_note(len(told), left),
        "tape_note": _TAPE_NOTE,
        "ends": _ends(worked),
        "open": _open(opened),
        "readings": _readings(worked),
        "rules": [_rule(r) for r in rows],
        "rules_note": _RULES_NOTE,
        "assumptions": [a.text for a in worked.rain.assumptions],
        "cautions": [{"head": c.head, "text": c.text, "source": c.source} for c in OPENING_UP],
        "governs": GOVERNS,
        "sources": _sources(told, rows, opened),
    }


def _list_note(told: int, left: int) -> str:
    """What is said under the list of findings."""
    notes = []
    if told > 1:
        notes.append("The same water can pass more than one of these places: they do not add up.")
    if left:
        notes.append(f"{left} smaller ones are in findings.json.")
    return " ".join(notes)


_TAPE_NOTE = (
    "Places are taken by tape on the face that is named: to the right from its left end and up "
    "from its foot, seen from outside. The letters are those on the drawings."
)
_RULES_NOTE = (
    "What was measured against codes, standards, good practice and physics; a rule that is not "
    "kept need not leak today. The local code governs. Figures in brackets name the source."
)


def _shown(worked: Worked, drawings: Sequence[Picture]) -> list[Picture]:
    """The drawings that the sheet shows: elevations with findings, the worst face first."""
    faces = list(dict.fromkeys(f.face for f in worked.trace.findings))
    faces = faces or [p.face for p in drawings if p.face is not None]
    by_face = {p.face: p for p in drawings if p.face is not None}
    elevations = [by_face[f] for f in faces if f in by_face][:MOST_FACES]
    return elevations + [p for p in drawings if p.face is None]


def _people(worked: Worked) -> list[Table]:
    about = worked.job.job
    rows = (
        ("Client", about.client),
        ("Place", about.place),
        ("Visited", about.date),
        ("Looked at by", about.by),
        ("Notes", about.notes),
    )
    return [{"name": name, "words": words} for name, words in rows if words]


def _finding(told: Told) -> Table:
    finding = told.finding
    return {
        "letter": finding.letter,
        "title": told.title,
        "cause": f"{capital(finding.cause.value)}.",
        "place": told.place,
        "water": capital(water_words(finding.per_year_l)),
        "text": finding.text,
        "flow": capital(told.flow),
        "reaches": told.reaches,
        "look": told.look,
        "source": f"{source(finding.source).title} [{finding.source}]",
    }


def _ends(worked: Worked) -> list[Table]:
    """Where the rain of a usual year goes, the trouble first. [L]"""
    sums: dict[tuple[EndKind, int | None], list[float]] = {}
    for row in worked.trace.ends:
        both = sums.setdefault((row.end, row.piece if row.end.is_trouble else None), [0.0, 0.0])
        both[row.layer] += row.per_year_l
    order = sorted(sums.items(), key=lambda r: (not r[0][0].is_trouble, -sum(r[1])))
    return [
        {
            "words": _end_words(worked, *key),
            "first": capital(water_words(first)) if first > 0 else "–",
            "second": capital(water_words(second)) if second > 0 else "–",
        }
        for key, (first, second) in order
    ]


def _end_words(worked: Worked, end: EndKind, piece: int | None) -> str:
    words = capital(END_WORDS[end])
    return words if piece is None else f"{words}: {worked.corner.pieces[piece].title}"


def _open(opened: OpenNext) -> Table:
    return {
        "text": opened.text,
        "looks": [
            {
                "do": look.do,
                "wet": look.wet_means,
                "dry": look.dry_means,
                "tells": look.tells,
            }
            for look in opened.looks
        ],
        "weighed": [
            {"name": w.name, "text": w.text, "chance": f"{w.chance:.0%}"} for w in opened.weighed
        ],
    }


def _readings(worked: Worked) -> list[Table]:
    corner = worked.corner
    rows = []
    for reading in worked.job.reading:
        what = f"{reading.percent:g} %"
        if reading.piece is not None:
            what += f", {corner.piece_named[reading.piece].title}"
        face = corner.face_named[reading.face].index
        place = place_words(corner, face=face, at=reading.at)
        rows.append({"what": what, "place": place, "note": reading.note, "date": reading.date})
    for damage in worked.job.damage:
        place = place_words(corner, face=corner.face_named[damage.face].index, at=damage.at)
        rows.append({"what": "Damage", "place": place, "note": damage.text, "date": ""})
    return rows


def _rule(row: RuleRow) -> Table:
    worst = row.worst
    return {
        "title": row.title,
        "kept": str(row.kept),
        "broken": str(len(row.broken)),
        "worst": "Kept at every place." if worst is None else capital(worst.text),
        "asked_by": row.asked_by,
        "source": row.source,
    }


def _sources(told: Iterable[Told], rows: Iterable[RuleRow], opened: OpenNext) -> list[Table]:
    """Every source that the sheet cites, by its key."""
    keys = {t.finding.source for t in told} | {r.source for r in rows}
    keys |= {c.source for c in OPENING_UP}
    if opened.weighed:
        keys |= {"F-220", "F-221"}
    if opened.wet_seen or opened.dry_seen:
        keys.add("P-010")
    return [{"key": key, "text": source(key).short()} for key in sorted(keys)]
