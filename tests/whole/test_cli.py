"""The commands as people run them: whole processes, real files, and all that can go wrong."""

from __future__ import annotations

import json
import os
import re
import stat
import subprocess
import sys
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pypdfium2
import pytest

from weatherlap import __version__
from weatherlap.building.details.shelf import details
from weatherlap.cli.app import main
from weatherlap.cli.files import write_packet
from weatherlap.cli.progress import OnTheWay
from weatherlap.errors import InputError
from weatherlap.job.reading import read_job

EXAMPLE = """[job]
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
id = "barrier-lower"
sheet = "resists"
on = [{ face = "wall", rect = [0, 0, 96, 52] }]
"""
TURN = '\n[[change]]\ndo = "turn"\npiece = "barrier-upper"\nover = "barrier-lower"\n'
Run = Callable[..., "Answer"]
Inside = Callable[..., str]
RUN = [sys.executable, "-c", "from weatherlap.cli import main; main()"]


@dataclass(frozen=True)
class Answer:
    """What a command gave: exit code, standard output, standard error."""

    code: int
    out: str
    err: str


def process(*words: str | Path, **environment: str) -> Answer:
    """A whole process of the program; a traceback is never an answer."""
    done = subprocess.run(
        [*RUN, *map(str, words)],
        env=os.environ | environment, capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip
    assert "Traceback" not in done.stderr, done.stderr
    return Answer(done.returncode, done.stdout, done.stderr)


@pytest.fixture
def weatherlap(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Callable[..., Answer]:
    """The program's own entry in this process: every way out ends in an exit code."""

    def run(*words: str | Path) -> Answer:
        monkeypatch.setattr(sys, "argv", ["weatherlap", *map(str, words)])
        with pytest.raises(SystemExit) as done:
            main()
        said = capsys.readouterr()
        assert "a fault of the program" not in said.err, said.err
        assert isinstance(done.value.code, int)
        return Answer(done.value.code, said.out, said.err)

    return run


@pytest.fixture
def inside(weatherlap: Callable[..., Answer]) -> Callable[..., str]:
    """What a command prints that must succeed."""

    def run(*words: str | Path) -> str:
        answer = weatherlap(*words)
        assert answer.code == 0, answer.err
        return answer.out

    return run


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """The example of the design as a file."""
    file = tmp_path / "laps.toml"
    file.write_text(EXAMPLE, "utf-8")
    return file


def test_trace_gives_the_areas_of_the_example(job: Path, inside: Inside) -> None:
    """What lands above the lower sheet's top edge (44 of 96 in) soaks, the rest runs clear."""
    table = json.loads(inside("trace", job, "--json"))
    first = [e for e in table["ends"] if e["layer"] == "first"]
    areas = {(e["end"], e["piece"]): e["area_in2"] for e in first}
    assert areas["soak", "sheathing"] == pytest.approx(44 * 96)
    assert sum(a for (end, _), a in areas.items() if end == "clear") == pytest.approx(52 * 96)
    assert table["balance"]["in_lph"] == pytest.approx(table["balance"]["out_lph"], rel=1e-9)
    assert table["clean"] is False
    assert table["state"] == "found"
    assert [f["letter"] for f in table["findings"]] == ["A"]


def test_trace_reads_well(job: Path, inside: Inside) -> None:
    """Verdict, letter, cause, place by tape; no line wider than a terminal."""
    text = inside("trace", job)
    assert "Water gets in, or cannot get out, at 1 place" in text
    assert "(A) laid the wrong way round: 4' right, 3' 10\" up on the wall" in text
    assert max(map(len, text.splitlines())) <= 88


def test_repaired_is_the_job_with_its_changes(job: Path, inside: Inside, weatherlap: Run) -> None:
    """The lap turned round, the wall drains; without changes there is no repaired state."""
    refused = weatherlap("trace", job, "--as", "repaired")
    assert refused.code == 2
    assert "no repaired state" in refused.err
    job.write_text(EXAMPLE + TURN, "utf-8")
    table = json.loads(inside("trace", job, "--as", "repaired", "--json"))
    assert table["clean"] is True
    assert json.loads(inside("trace", job, "--json"))["clean"] is False


def test_check_counts_what_is_there(job: Path, inside: Inside) -> None:
    """A job in order is said to be, with what it holds."""
    assert json.loads(inside("check", job, "--json")) == {
        "ok": True, "faces": 1, "pieces": 3, "folds": 0, "changes": 0, "problems": [],
    }  # fmt: skip
    assert " ".join(inside("check", job).split()).endswith("is in order: 1 face, 3 pieces.")


def test_check_makes_the_changes_too(job: Path, weatherlap: Run) -> None:
    """A change that cannot be made is a problem of the file."""
    job.write_text(EXAMPLE + TURN + TURN, "utf-8")
    result = weatherlap("check", job)
    assert result.code == 2
    assert "already" in result.err


def test_packet_is_whole(job: Path, tmp_path: Path, inside: Inside) -> None:
    """The sheet, the drawings and the figures are written; the listing names every file."""
    out = tmp_path / "papers"
    inside("packet", job, "-o", out)
    table = json.loads((out / "findings.json").read_text("utf-8"))
    assert sorted(p.name for p in out.iterdir()) == sorted(table["files"])
    assert {"findings.pdf", "elevation-wall.svg", "exploded.svg"} <= set(table["files"])
    assert table["open_next"]["causes"][0]["name"] == "A"
    assert len(pypdfium2.PdfDocument((out / "findings.pdf").read_bytes())) > 2
    assert not [p for p in tmp_path.iterdir() if p.name.startswith(".")]
    assert stat.S_IMODE((out / "findings.pdf").stat().st_mode) == 0o644


def test_packet_gives_the_same_bytes_in_another_process(job: Path, tmp_path: Path) -> None:
    """Two processes with other hash seeds write the same files, and say nothing on the way."""
    for name in ("1", "2"):
        done = process("packet", job, "-o", tmp_path / name, PYTHONHASHSEED=name)
        assert (done.code, done.err) == (0, "")
    for file in (tmp_path / "1").iterdir():
        assert file.read_bytes() == (tmp_path / "2" / file.name).read_bytes(), file.name


def test_a_later_packet_takes_its_place(job: Path, tmp_path: Path, inside: Inside) -> None:
    """Drawings that are no longer made go; files of others in the folder stay."""
    out = tmp_path / "papers"
    inside("packet", job, "-o", out)
    (out / "photo.svg").write_text("mine", "utf-8")
    job.write_text(EXAMPLE.replace('"wall"', '"south"'), "utf-8")
    inside("packet", job, "-o", out, "--paper", "a4")
    names = {p.name for p in out.iterdir()}
    assert "elevation-south.svg" in names
    assert "elevation-wall.svg" not in names
    assert "photo.svg" in names
    size = pypdfium2.PdfDocument((out / "findings.pdf").read_bytes())[0].get_size()
    assert size == pytest.approx((595.276, 841.89), abs=0.01)


def test_packet_tells_machines_what_it_wrote(job: Path, tmp_path: Path, inside: Inside) -> None:
    """With --json the answer names folder, files and findings."""
    table = json.loads(inside("packet", job, "-o", tmp_path / "p", "--json"))
    assert table["ok"] is True
    assert table["findings"] == 1
    assert all((tmp_path / "p" / name).exists() for name in table["files"])


def test_nothing_is_half_written(tmp_path: Path) -> None:
    """If one file of a packet cannot be written, none is, and nothing is left beside."""
    with pytest.raises(InputError, match="Nothing was written"):
        write_packet(tmp_path / "out", {"a.svg": b"1", "no/such/b.svg": b"2"})
    assert list(tmp_path.iterdir()) == []


def test_an_earlier_packet_stays_whole_when_the_next_fails(tmp_path: Path) -> None:
    """A folder that is there keeps its files if the new ones cannot all be written."""
    out = tmp_path / "out"
    write_packet(out, {"a.svg": b"old"})
    with pytest.raises(InputError):
        write_packet(out, {"a.svg": b"new", "no/such/b.svg": b"2"})
    assert (out / "a.svg").read_bytes() == b"old"


def test_a_disk_that_fills_up_leaves_nothing(job: Path, tmp_path: Path) -> None:
    """Where files may grow to 20 kB only, the packet is refused and nothing stays behind."""
    code = (
        "import resource; resource.setrlimit(resource.RLIMIT_FSIZE, (20000, 20000));"
        "from weatherlap.cli import main; main()"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, "packet", str(job), "-o", str(tmp_path / "out")],
        env=os.environ | {"PYTHONDONTWRITEBYTECODE": "1"},
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 2
    assert "file too large" in done.stderr
    assert [p.name for p in tmp_path.iterdir()] == [job.name]


def test_a_plain_terminal_gets_plain_signs(job: Path) -> None:
    """Where the output takes ASCII only, JSON stays JSON and words stay readable."""
    job.write_text(EXAMPLE.replace("Laps", "Größe"), "utf-8")
    table = process("trace", job, "--json", PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert json.loads(table.out)["job"].startswith("Größe")
    assert "Gr??e" in process("trace", job, PYTHONIOENCODING="ascii", PYTHONUTF8="0").out


def test_progress_shows_on_a_terminal_only(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Somebody who watches is told what is done, and the line is taken away at the end."""
    OnTheWay()("Drawing")
    assert capsys.readouterr().err == ""
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    monkeypatch.setenv("TERM", "xterm")
    on_the_way = OnTheWay()
    on_the_way("Drawing")
    on_the_way.done()
    said = capsys.readouterr().err
    assert "Drawing ..." in said
    assert said.endswith("\x1b[2K")


def test_a_file_in_the_folder_s_place_is_said(job: Path, tmp_path: Path, weatherlap: Run) -> None:
    """The packet does not write over a file."""
    (tmp_path / "papers").write_text("mine", "utf-8")
    result = weatherlap("packet", job, "-o", tmp_path / "papers")
    assert result.code == 2
    assert "not a folder" in result.err
    assert (tmp_path / "papers").read_text("utf-8") == "mine"


@pytest.mark.parametrize(
    "place",
    [
        pytest.param("/proc/papers", id="not-writable"),
        pytest.param("/dev/null/papers", id="under-a-file"),
        pytest.param("x" * 300, id="name-too-long"),
    ],
)
def test_a_place_that_cannot_be_written_is_said(job: Path, place: str, weatherlap: Run) -> None:
    """A folder that cannot be made ends with 2 and one plain line."""
    result = weatherlap("packet", job, "-o", place)
    assert result.code == 2
    assert "expected a place that can be written to" in result.err
    assert len(result.err.splitlines()) == 1


def test_a_full_disk_is_said(job: Path) -> None:
    """An answer that cannot be written out ends with 1 and one plain line."""
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [*RUN, "trace", str(job)], stdout=full, stderr=subprocess.PIPE, text=True, check=False
        )
    assert done.returncode == 1
    assert done.stderr == "weatherlap stopped: no space left on device\n"


def test_a_reader_that_stops_reading_is_no_fault() -> None:
    """Piped into something that closes early, the program ends quietly."""
    command = f"{sys.executable} -c 'from weatherlap.cli import main; main()' schema | true"
    done = subprocess.run(["sh", "-c", command], capture_output=True, text=True, check=False)
    assert done.stderr == ""


def test_a_bad_file_ends_a_whole_process_plainly(tmp_path: Path) -> None:
    """As a process too: exit code 2, one line, nothing printed as an answer."""
    file = tmp_path / "job.toml"
    file.write_bytes(bytes(range(256)))
    done = process("trace", file)
    assert (done.code, done.out) == (2, "")
    assert done.err.startswith(f"{file}:")


BAD = {
    "empty": b"",
    "blank": b" \n\n",
    "binary": bytes(range(256)) * 20,
    "nul": b"[job]\ntitle = 'a\x00b'\n",
    "utf-16": EXAMPLE.encode("utf-16"),
    "latin-1": EXAMPLE.replace("Laps", "Gr\xf6\xdfe").encode("latin-1"),
    "truncated": EXAMPLE.encode()[:-9],
    "not-toml": b"{\"job\": 1}",
    "only-a-title": b"[job]\ntitle = 'x'\n",
    "nan": EXAMPLE.replace("tilt = 90", "tilt = nan").encode(),
    "huge-number": EXAMPLE.replace("[0, 0, 96, 52]", "[0, 0, 1e300, 52]").encode(),
    "negative": EXAMPLE.replace('"8\'"', '"-8\'"').encode(),
    "circle": (
        EXAMPLE + '[[piece]]\nid = "c"\nsheet = "resists"\nbehind = ["barrier-upper"]\n'
        'on = [{ face = "wall", rect = [0, 40, 96, 60] }]\n'
    ).encode(),
    "deep": b"a = " + b"[" * 5000,
}  # fmt: skip


@pytest.mark.parametrize("name", BAD)
def test_a_bad_file_is_named_and_nothing_is_written(
    tmp_path: Path, name: str, weatherlap: Run
) -> None:
    """Exit code 2, the file's name and what is wrong; no traceback, no packet."""
    file = tmp_path / f"{name}.toml"
    file.write_bytes(BAD[name])
    result = weatherlap("packet", file, "-o", tmp_path / "out")
    assert result.code == 2
    assert "expected" in result.err
    assert not (tmp_path / "out").exists()
    problems = json.loads(weatherlap("check", file, "--json").out)
    assert problems["ok"] is False
    assert problems["problems"]


def test_files_that_are_none_are_named(tmp_path: Path, weatherlap: Run) -> None:
    """A missing file, a folder, an endless device, a file without leave to read."""
    for place, said in (
        (tmp_path / "none.toml", "there is no such file"),
        (tmp_path, "this is a folder"),
        (Path("/dev/zero"), "larger than 20 MB"),
        (Path("a" * 400), "file name too long"),
        (tmp_path / "a\x1b[31m.toml", "there is no such file"),
    ):
        result = weatherlap("check", place)
        assert result.code == 2
        assert said in result.err
        assert "\x1b" not in result.err


def test_a_slip_on_the_command_line_is_said(weatherlap: Run) -> None:
    """Unknown commands, options and choices end with 2 and name the slip."""
    for words, said in (
        (["trance"], "trance"),
        (["trace"], "job_file"),
        (["trace", "x.toml", "--as", "built"], "built"),
        (["packet", "x.toml"], "--out"),
        (["new", "roof-side-wal"], "Did you mean 'roof-side-wall'?"),
        (["new", "roof-side-wall", "--set", "pitch"], "NAME=LENGTH"),
        (["new", "roof-side-wall", "--set", "pich=3"], "pitch"),
        (["new", "roof-side-wall", "--set", "pitch=3 psf"], "pitch"),
        (["new", "roof-side-wall", "--variant", "wrong"], "no-diverter"),
        (["details", "nothing"], "roof-side-wall"),
    ):
        result = weatherlap(*words)
        assert result.code == 2, words
        assert said.lower() in result.err.lower(), words


@pytest.mark.parametrize("known", details(), ids=lambda d: d.id)
def test_each_ready_detail_becomes_a_job_that_works(known, tmp_path: Path, inside: Inside) -> None:  # type: ignore[no-untyped-def]
    """Each detail, written to a file, is in order and can be traced; the right way is clean."""
    file = tmp_path / "job.toml"
    inside("new", known.id, "-o", file)
    assert "is in order" in " ".join(inside("check", file).split())
    assert json.loads(inside("trace", file, "--json"))["clean"] is True


def test_new_takes_sizes_as_the_tape_reads(inside: Inside) -> None:
    """Feet and inches on the command line reach the file."""
    table = json.loads(
        inside("new", "roof-side-wall", "--set", "roof_run=5' 4\"", "--set", "pitch=6", "--json")
    )
    assert table["sizes_in"]["roof_run"] == 64
    assert table["sizes_in"]["pitch"] == 6
    assert read_job(table["toml"]).job.title == tomllib.loads(table["toml"])["job"]["title"]


def test_new_leaves_a_file_that_is_there(tmp_path: Path, inside: Inside, weatherlap: Run) -> None:
    """Nobody's job file is written over by a slip; --over does it on purpose."""
    file = tmp_path / "mine.toml"
    file.write_text("mine", "utf-8")
    refused = weatherlap("new", "wall-foot", "-o", file)
    assert refused.code == 2
    assert "--over" in refused.err
    assert file.read_text("utf-8") == "mine"
    inside("new", "wall-foot", "-o", file, "--over")
    assert file.read_text("utf-8").startswith("# ")


def test_details_are_listed(inside: Inside) -> None:
    """Each ready detail with each of its variants, in words and in JSON."""
    text = " ".join(inside("details").split())
    table = json.loads(inside("details", "--json"))
    assert len(table) >= 8
    for row in table:
        assert f"{row['id']}: {row['title']}" in text
        for variant in row["variants"]:
            assert variant["id"] in text
        one = " ".join(inside("details", row["id"]).split())
        assert all(f"{size['name']} = " in one for size in row["sizes"])


def test_open_next_says_what_each_answer_means(job: Path, inside: Inside) -> None:
    """The terminal gives look, wet and dry; JSON the chances, which add up to one."""
    text = inside("open-next", job)
    assert "1. Lift or take off the barrier-lower" in text
    assert "Wet:  Then most likely A (90%)" in text
    table = json.loads(inside("open-next", job, "--json"))
    assert sum(c["chance"] for c in table["causes"]) == pytest.approx(1)
    for look in table["looks"]:
        assert sum(look["if_wet"]) == pytest.approx(1)
        assert sum(look["if_dry"]) == pytest.approx(1)


def test_schema_is_the_schema(inside: Inside) -> None:
    """The schema printed is JSON Schema of this program's job file."""
    schema = json.loads(inside("schema"))
    assert schema["$schema"].startswith("https://json-schema.org/draft/2020-12")
    assert {"job", "face", "piece", "change"} <= set(schema["properties"])


def test_version(inside: Inside) -> None:
    """The version is the package's."""
    assert inside("--version").strip() == f"weatherlap {__version__}"


def test_help_explains_itself(inside: Inside) -> None:
    """The first page says how to begin, and each command has its line."""
    text = inside("--help")
    for word in ("details", "new", "check", "trace", "open-next", "packet", "schema"):
        assert re.search(rf"^  {word} +[A-Z][^.]*\.$", text, re.M), word
    assert "job file" in text
    assert "Local code and licensed practice decide" in text


def seconds(*command: str, **environment: str) -> float:
    """Processor time of a whole process, the least of two after a warm-up. [s]"""
    times = []
    for _ in range(3):
        begin = os.times()
        subprocess.run(command, env=os.environ | environment, stdout=subprocess.DEVNULL, check=True)
        end = os.times()
        user = end.children_user - begin.children_user
        times.append(user + end.children_system - begin.children_system)
    return min(times[1:])


def test_a_trace_is_quick(job: Path, tmp_path: Path) -> None:
    """A whole process takes at most four times as long as its three big packages take to load.

    On a machine of today that is well under a second.
    """
    # An installed program keeps its compiled modules; this one keeps them beside the job.
    warm = {"PYTHONDONTWRITEBYTECODE": "", "PYTHONPYCACHEPREFIX": str(tmp_path / "compiled")}
    bare = seconds(sys.executable, "-c", "import shapely, pydantic, typer.main", **warm)
    assert seconds(*RUN, "trace", str(job), **warm) < 4 * bare
