"""A job file read block by block holds what it holds read as a whole."""

import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from weatherlap.job.blocks import FEW, blocks_of


def read_blocks(text):
    """The data that the blocks of a text hold, or None."""
    blocks = blocks_of(text)
    return None if blocks is None else blocks.data()


PIECE = '[[piece]]  # a piece\nid = "p{n}"\non = [{{ face = "wall", rect = [0, 0, 1, 1] }}]\n'
MANY = "".join(PIECE.format(n=n) for n in range(FEW + 2))


def test_blocks_hold_the_same_as_the_whole():
    """Heads with comments, blank lines and tables before them come out the same."""
    text = f'a = 1\n[job]\ntitle = "T"\n\n{MANY}\n# the end\n[[cut]]\nid = "x"\n'
    assert read_blocks(text) == tomllib.loads(text)


def test_tables_between_items_are_cut_too():
    """A table that stands once may lie anywhere between the items."""
    text = f"a = 1\n{MANY}\n# the job\n[job] # j\nt = 1\n[job.x]\nu = 2\n{MANY}[site]\nb = 3\n"
    assert read_blocks(text) == tomllib.loads(text)


def test_tables_inside_a_record_stay_with_it():
    """A table under a repeated one belongs to the record before it."""
    text = f"{MANY}[piece.gutter]\nwidth = 5\n[[piece.panel]]\nu = 1\n[[cut]]\nid = 1\n"
    assert read_blocks(text) == tomllib.loads(text)


@pytest.mark.parametrize(
    "tail",
    [
        'x = """\n[[piece]]\n"""\n',
        "x = [\n[[1]]\n]\n",
        "x = '''\n[[cut]]\n'''\n[[cut]]\nid = 1\n",
        "[job]\na = 1\n",
        "[job]\na = 1\n[job]\nb = 1\n",
        "[job]\na = 1\n[piece.x]\nb = 1\n",
        "[cut]\na = 1\n[[cut]]\nb = 1\n",
        "[[cut]]\na = 1\n[cut]\nb = 1\n",
        "[piece]\na = 1\n",
        "[[piece]]\nid = \n",
        "[job.x]\na = 1\n[[cut]]\nid = 2\n[job]\nb = 1\n",
    ],
)
def test_what_cannot_be_cut_is_read_as_a_whole(tail):
    """Heads inside strings and lists, tables that stand twice: never another answer."""
    for text in (MANY + tail, f"[job]\nt = 1\n{tail}{MANY}"):
        found = read_blocks(text)
        try:
            whole = tomllib.loads(text)
        except tomllib.TOMLDecodeError:
            whole = None
        assert found is None or found == whole


LINES = st.sampled_from(
    [
        "[[piece]]",
        "[[cut]]",
        "[job]",
        "[piece.a]",
        "[site] # c",
        'x = """',
        '"""',
        "y = [",
        "]",
        "z = 1",
        "w = '''",
        "'''",
        "[[1]]",
        "# note",
        "",
        "v = { a = 1 }",
        "[[piece]] # c",
        "q = [[1]]",
    ]
)


@given(st.lists(LINES, min_size=FEW, max_size=60))
@settings(max_examples=400, deadline=None)
def test_any_lines_hold_the_same_as_the_whole(lines):
    """Whatever stands in a text, blocks are the whole or nothing."""
    text = "\n".join(lines)
    found = read_blocks(text)
    try:
        whole = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        whole = None
    assert found is None or found == whole


def test_line_breaks_of_other_machines_are_cut_too():
    """A file with carriage returns falls into the same blocks."""
    text = f'[job]\ntitle = "T"\n\n{MANY}'.replace("\n", "\r\n")
    assert read_blocks(text) == tomllib.loads(text)
