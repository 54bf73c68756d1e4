"""Reading a job file: the job, or every problem with its line, in plain words."""

from __future__ import annotations

import time
import tomllib

import pytest

from weatherlap.errors import JobError, Problem
from weatherlap.job.model import PieceRecord, Sheet, passes_of, sheet_of
from weatherlap.job.reading import LARGEST_BYTES, read_job

SMALLEST = """[job]
title = "Laps the wrong way round"

[[face]]
id = "wall"
facing = 180
tilt = 90
origin = [0, 0, 0]
width = "8'"
height = "8'"

[[piece]]
id = "sheathing"
sheet = "absorbs"
on = [{ face = "wall", rect = [0, 0, 96, 96] }]

[[piece]]
id = "barrier-upper"
sheet = "resists"
on = [{ face = "wall", rect = [0, 46, 96, 96] }]

[[piece]]
id = "barrier-lower"          # laid after the upper sheet, so it laps over it
sheet = "resists"
on = [{ face = "wall", rect = [0, 0, 96, 52] }]
"""
HEAD = SMALLEST[: SMALLEST.index("[[piece]]")]


def problems(text: str | bytes) -> tuple[Problem, ...]:
    """The problems of a job file that must have some."""
    with pytest.raises(JobError) as caught:
        read_job(text, file="corner.toml")
    return caught.value.problems


def only(text: str | bytes) -> Problem:
    """The one problem of a job file."""
    found = problems(text)
    assert len(found) == 1, [str(p) for p in found]
    return found[0]


def test_the_smallest_job_reads() -> None:
    """The smallest example must read into one face and three pieces, sizes in inches."""
    job = read_job(SMALLEST)
    assert job.face[0].width == 96.0
    assert [p.id for p in job.piece] == ["sheathing", "barrier-upper", "barrier-lower"]
    assert job.piece[1].on[0].rect == (0.0, 46.0, 96.0, 96.0)
    assert job.piece[2].sheet is Sheet.RESISTS


@pytest.mark.parametrize("text", [SMALLEST.encode(), "\ufeff" + SMALLEST,
                                  SMALLEST.replace("\n", "\r\n").encode()])  # fmt: skip
def test_bytes_marks_and_line_breaks_do_not_matter(text: str | bytes) -> None:
    """UTF-8 bytes, a byte mark and other line breaks must read as the same job."""
    assert read_job(text) == read_job(SMALLEST)


@pytest.mark.parametrize(
    ("raw", "found"),
    [
        (b"", "it is empty"),
        (b"  \n\n", "it is empty"),
        (b"\x00\x01\x02\x03", "no text"),
        (b"\x89PNG\r\n\x1a\n\x00", "not UTF-8"),
        (SMALLEST.encode("utf-16"), "UTF-16"),
        (b'[job]\ntitle = "caf\xe9"', "byte 19 is not UTF-8"),
        (b"#" * (LARGEST_BYTES + 1), "20 million"),
    ],
)
def test_what_is_no_text_is_refused(raw: bytes, found: str) -> None:
    """Empty, binary, foreign and huge files must be refused in one line that says why."""
    assert found in str(only(raw))


def test_a_bad_byte_has_its_line() -> None:
    """A byte that is not UTF-8 must be placed by its line."""
    assert only(b'[job]\ntitle = "caf\xe9"').line == 2


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("[job]\nwidth = 8'", 2, "in quotes"),
        ('[job]\ntitle = "12\' 4""', 2, "12 ft 4 1/2 in"),
        ("[job]\ntitle = x", 2, "in quotes"),
        ("[job]\n[job]", 2, "double brackets"),
        ("[job]\na = 1\na = 2", 3, "twice"),
        ("[job]\na = [1,\n2", 3, "Close the list"),
        ("[job]\na = { b = 1,\n c = 2 }", 2, "one line"),
        ('[job]\na = "x', 2, "quotes"),
        ("[job]\na = " + "9" * 5000, 2, "too many figures"),
        ("a = " + "[" * 5000, 1, "nested too deep"),
        (SMALLEST[:-20], 25, "cut short"),
    ],
)
def test_broken_toml_is_explained(text: str, line: int, words: str) -> None:
    """Text that is no TOML must be answered with the line, the row and what to do."""
    problem = only(text)
    assert words in str(problem)
    assert problem.line == line


def test_all_problems_come_at_once_in_order() -> None:
    """One reading must name every problem, whatever its kind, from top to bottom."""
    text = (
        SMALLEST.replace("tilt = 90", "tilt = true")
        .replace('title = "Laps', 'titel = "Laps')
        .replace('"sheathing"', '"barrier-upper"', 1)
        .replace('sheet = "absorbs"', 'what = "ozb"\nbehind = ["barrier-loewr"]')
    )
    found = problems(text)
    assert [p.line for p in found] == sorted(p.line for p in found)
    told = "\n".join(map(str, found))
    for words in (
        "Did you mean 'title'", "job: title: missing", "face 'wall': tilt: found true",
        "Did you mean 'osb'", "Did you mean 'barrier-lower'", "is used again",
    ):  # fmt: skip
        assert words in told
    assert len(found) == 6
    assert all(p.file == "corner.toml" for p in found)


@pytest.mark.parametrize(
    ("old", "new", "line", "where", "words"),
    [
        ("facing = 180", "facing = 400", 6, "face 'wall': facing", "at most 360"),
        ("facing = 180", 'facing = "180"', 6, "face 'wall': facing", "plain number"),
        ("tilt = 90", "", 4, "face 'wall': tilt", "missing"),
        ("tilt = 90", "tilt = nan", 7, "face 'wall': tilt", "plain number"),
        ("[0, 0, 0]", "[0, 0]", 8, "face 'wall': origin", "[east, north, up]"),
        ("[0, 0, 0]", "[0, 0, 70000]", 8, "face 'wall': origin, number 3", "a mile"),
        ("[0, 0, 0]", "3", 8, "face 'wall': origin", "[east, north, up]"),
        ("width = \"8'\"", 'width = "8 foott"', 9, "face 'wall': width", "'8 foott'"),
        ("width = \"8'\"", "width = -8", 9, "face 'wall': width", "more than 0"),
        ("width = \"8'\"", "width = true", 9, "face 'wall': width", "found true"),
        ("width = \"8'\"", "", 4, "face 'wall'", "`width` is missing"),
        ("width = \"8'\"\nheight = \"8'\"", "", 4, "face 'wall'", "neither size nor outline"),
        ("[[face]]", "[face]", 4, "face", "double brackets"),
        ('"absorbs"', '"absorb"', 14, "piece 'sheathing': sheet", "Did you mean 'absorbs'"),
        ('"absorbs"', "1", 14, "piece 'sheathing': sheet", "'sheds', 'resists'"),
        ('sheet = "absorbs"', "", 12, "piece 'sheathing'", "neither `what` nor `sheet`"),
        ('sheet = "absorbs"', 'what = "ozb"', 14, "piece 'sheathing': what", "'osb'"),
        ('id = "sheathing"', 'id = "the sheathing"', 13, "id", "no spaces"),
        ('id = "sheathing"', 'id = "sheathing"\ndrip = 1', 14, "drip", "true or false"),
        ('id = "sheathing"', 'id = "sheathing"\npasses = 2', 14, "passes", "at most 1"),
        ('id = "sheathing"', 'id = "sheathing"\npasses = 0.1', 14, "passes", "only on a piece"),
        ('id = "sheathing"', 'id = "sheathing"\nseald = []', 14, "seald", "'sealed'"),
        ('id = "sheathing"', 'id = "sheathing"\nsealed = ["tp"]', 14, "sealed, item 1", "'top'"),
        ('id = "sheathing"', 'id = "sheathing"\nsealed = "top"', 14, "sealed", "square brackets"),
        ('id = "sheathing"', 'id = "sheathing"\nbehind = ["sheathing"]', 14, "behind", "itself"),
        ('id = "sheathing"', 'id = "barrier-upper"', 18, "id", "line 13"),
        ('{ face = "wall", rect = [0, 0, 96, 96] }', "", 12, "'sheathing'", "no panel"),
        ('on = [{ face = "wall", rect = [0, 0, 96, 96] }]', "on = 3", 15, "on", "[[piece.on]]"),
        ('on = [{ face = "wall", rect = [0, 0, 96, 96] }]', "on = [3]", 15, "panel 1", "a table"),
        (", rect = [0, 0, 96, 96]", "", 15, "panel 1", "neither `rect` nor `outline`"),
        ("rect = [0, 0, 96, 96]", "rect = [0, 0, 96]", 15, "rect", "[left, bottom, right, top]"),
        ("rect = [0, 0, 96, 96]", "rect = [0, 0, 96, 96, 1]", 15, "rect", "[left, bottom"),
        ("rect = [0, 0, 96, 96]", "rect = [96, 0, 0, 96]", 15, "rect", "Swap left and right"),
        ("rect = [0, 0, 96, 96]", "rect = [0, 0, 96, 0]", 15, "rect", "is not below top 0"),
        ("rect = [0, 0, 96, 96]", "rect = [0, 0, 98.5, 96]", 15, "rect", 'by 2 1/2" near [98.5'),
        (
            "rect = [0, 0, 96, 96]", "outline = [[0, 0], [9, 9], [9, 0], [0, 9]]", 15, "outline",
            "crosses itself near [4.5, 4.5]",
        ),
        ("rect = [0, 0, 96, 96]", "outline = [[0, 0], [9, 9]]", 15, "outline", "or more"),
        ("rect = [0, 0, 96, 96]", "outline = [[0, 0], [9, 9], 3]", 15, "corner 3", "[right, up]"),
        ('face = "wall", rect', 'face = "wal", rect', 15, "panel 1: face", "Did you mean 'wall'"),
        (
            "96, 96] }", "96, 96], trough = { line = [[0, 9], [99, 9]] } }", 15, "trough: line",
            'leaves its panel by 3" near [99, 9]',
        ),
        (
            "96, 96] }", "96, 96], trough = { line = [[0, 9], [0, 9]] } }", 15, "trough: line",
            "the same place",
        ),
    ],
)  # fmt: skip
def test_a_mistake_is_named_with_line_and_cure(
    old: str, new: str, line: int, where: str, words: str
) -> None:
    """Each mistake alone must give one problem: its line, its place in trade words, the cure."""
    assert old in SMALLEST
    problem = only(SMALLEST.replace(old, new, 1))
    assert problem.line == line
    assert where in problem.where
    assert words in str(problem)


@pytest.mark.parametrize(
    ("more", "where", "words"),
    [
        ('[[cut]]\nid = "A"\nface = "wall"\nat = 97', "cut 'A': at", "0 to 96"),
        ('[[cut]]\nid = "A"\nface = "roof"\nat = 9', "cut 'A': face", "no face 'roof'"),
        ('[[reading]]\nface = "wall"\nat = [9, 100]\npercent = 20', "reading 1: at", '4" off'),
        ('[[reading]]\nface = "wall"\nat = [9, 9]\npercent = 120', "reading 1: percent", "100"),
        (
            '[[reading]]\nface = "wall"\nat = [9, 9]\npercent = 20\npiece = "x"',
            "reading 1: piece",
            "no piece 'x'",
        ),
        (
            '[[reading]]\nface = "wall"\nat = [9, 9]\npercent = 20\ndate = "May"',
            "reading 1: date",
            "YYYY-MM-DD",
        ),
        ('[[damage]]\nface = "wall"\nat = [9, 9]\ntext = ""', "damage 1: text", "some text"),
        ('[[damage]]\nface = "wal"\nat = [9, 9]\ntext = "rot"', "damage 1: face", "'wall'"),
        ('[[suspect]]\nid = "s"\ntext = "t"', "suspect 's'", "neither `leak` nor `finding`"),
        (
            '[[suspect]]\nid = "s"\ntext = "t"\nfinding = ["sheathing"]',
            "suspect 's': finding",
            "two pieces",
        ),
        (
            '[[suspect]]\nid = "s"\ntext = "t"\n'
            'leak = { face = "wall", at = [9, 90], on = "barrier-lower" }',
            "suspect 's', leak: at",
            "not on piece 'barrier-lower'",
        ),
        ("[site]\nrain_design = 4", "site: rain_design", "without a unit"),
        ('[site]\nwind_design = "4 in/h"', "site: wind_design", "not one of this kind"),
        ('[site]\ndriving_rain = "iso-15927-3"', "site: airfield_index", "missing"),
        ('[site]\nairfield_index = { "400" = 3 }', "airfield_index", "0 to 360"),
        ('[site]\nterrain = "suburbs"', "site: terrain", "Did you mean 'suburb'"),
        ("[roof]\npitch = 4", "roof", "unknown key 'roof'"),
        (
            '[[piece]]\nid = "g"\ngutter = { line = [[0, 0, 0], [0, 0, 0]] }',
            "piece 'g', gutter: line",
            "the same place",
        ),
        (
            '[[face]]\nid = "again"\nfacing = 180\ntilt = 90\norigin = [90, 0, 0]\n'
            "width = 9\nheight = 9",
            "face 'again'",
            "overlaps face 'wall'",
        ),
        (
            '[[face]]\nid = "top"\ntilt = 0\norigin = [0, 0, 96]\n'
            "outline = [[0, 0], [9, 0], [4, 0]]",
            "face 'top': outline",
            "no area",
        ),
        (
            '[[face]]\nid = "top"\ntilt = 0\norigin = [0, 0, 96]\nwidth = 9\nheight = 9\n'
            "outline = [[0, 0], [9, 0], [4, 9]]",
            "face 'top'",
            "both size and outline",
        ),
    ],
)
def test_a_mistake_in_an_added_table_is_named(more: str, where: str, words: str) -> None:
    """Tables beside faces and pieces must be checked as closely."""
    problem = only(SMALLEST + more)
    assert problem.where.startswith(where) or where in problem.where
    assert words in str(problem)
    assert problem.line > 25


@pytest.mark.parametrize(
    "more",
    [
        "[[face]]\nid = 'r'\nfacing = 180\ntilt = 90\norigin = [96, 0, 0]\nwidth = 9\nheight = 9",
        "[[face]]\nid = 'b'\nfacing = 0\ntilt = 90\norigin = [96, 0, 0]\nwidth = 96\nheight = 9",
        "[[face]]\nid = 'f'\nfacing = 180\ntilt = 90\norigin = [0, -2, 0]\nwidth = 9\nheight = 9",
        "[[reading]]\nface = 'wall'\nat = [96.05, 9]\npercent = 20\ndate = 2024-05-01",
        "[[piece]]\nid = 'g'\ngutter = { line = [[0, 0, 0], [9, 0, 0]] }",
        "[[piece]]\nid = 'c'\nwhat = 'wood-siding'\npasses = 0.02\n"
        "on = [{ face = 'wall', rect = ['-1/16', 0, 96, 96] }]\nbehind = ['barrier-lower']",
    ],
)
def test_what_is_right_is_not_refused(more: str) -> None:
    """Faces that only touch, places within 1/16 in and days without quotes must read."""
    job = read_job(SMALLEST + more)
    assert (len(job.face), len(job.piece), len(job.reading)) != (1, 3, 0)


def test_a_reading_keeps_its_day() -> None:
    """A day written without quotes must read as the same text as one in quotes."""
    rows = "[[reading]]\nface = 'wall'\nat = [9, 9]\npercent = 20\ndate = {}\n"
    bare = read_job(SMALLEST + rows.format("2024-05-01"))
    quoted = read_job(SMALLEST + rows.format('"2024-05-01"'))
    assert bare == quoted
    assert bare.reading[0].date == "2024-05-01"


def test_a_broken_record_raises_no_false_alarm() -> None:
    """A face with a mistake must not make its panels be told they lie on no face."""
    problem = only(SMALLEST.replace("tilt = 90", "tilt = 900"))
    assert "tilt" in problem.where


@pytest.mark.parametrize(
    ("keys", "sheet", "passes"),
    [
        ({"what": "osb"}, Sheet.ABSORBS, 0.0),
        ({"what": "wood-siding"}, Sheet.SHEDS, 0.01),
        ({"what": "step-flashing"}, Sheet.SHEDS, 0.0),
        ({"what": "step-flashing", "passes": 0.2}, Sheet.SHEDS, 0.2),
        ({"what": "wood-siding", "sheet": "absorbs"}, Sheet.ABSORBS, 0.0),
        ({"what": "osb", "sheet": "sheds"}, Sheet.SHEDS, 0.01),
        ({"sheet": "sheds"}, Sheet.SHEDS, 0.01),
        ({"sheet": "resists"}, Sheet.RESISTS, 0.0),
        ({"gutter": {"line": [[0, 0, 0], [9, 0, 0]]}}, Sheet.SHEDS, 0.0),
    ],
)
def test_a_piece_is_what_it_or_its_entry_says(
    keys: dict[str, object], sheet: Sheet, passes: float
) -> None:
    """The piece's own keys must win over its catalogue entry."""
    piece = PieceRecord.model_validate({"id": "p", **keys})
    assert sheet_of(piece) is sheet
    assert passes_of(piece) == passes


def _many(count: int) -> str:
    rows = [
        f'[[piece]]\nid = "p{i}"\nwhat = "housewrap"\n'
        f'on = [{{ face = "wall", rect = [{i % 60}, {i % 50}, 90, "{i % 50 + 9} in"] }}]\n'
        for i in range(count)
    ]
    return HEAD + "\n".join(rows)


def test_ten_thousand_pieces_read_soon() -> None:
    """Reading must take no more than a few times what plain TOML reading takes."""
    text = _many(10_000)
    started = time.process_time()
    tomllib.loads(text)
    plain = time.process_time() - started
    started = time.process_time()
    assert len(read_job(text).piece) == 10_000
    assert time.process_time() - started < 8 * plain


def test_ten_thousand_mistakes_are_all_named() -> None:
    """Every one of many mistakes must be named with its own line."""
    found = problems(_many(10_000).replace('"housewrap"', '"housewarp"'))
    assert len(found) == 10_000
    assert len({p.line for p in found}) == 10_000
