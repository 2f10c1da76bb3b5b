"""Records from files and iterables, and what makes two of them the same puzzle."""

import csv
import gzip
import random

import pytest
import zstandard
from hypothesis import given, strategies as st
from strategies import JIGSAW, LAYOUTS, minimal
from surveys.lists import SMALL, small

import deduce
from deduce.errors import GridError
from deduce.puzzle.layout import Layout
from deduce.surveys import SurveyError
from deduce.surveys.identity import digest, identify, layout_text, plain
from deduce.surveys.reading import LONGEST, source

LINE = "..24......1..2.."
USUAL = "9...8..428.......5...76.....4......1....2...9.2.1..5..4......9.21..4.7.67....32.."


def read(path, **options):
    found = source(path, **options)
    try:
        return [(number, item) for number, item in found]
    finally:
        found.close()


def test_plain_lines(tmp_path):
    path = tmp_path / "mixed.txt"
    path.write_text(f"# heading\n{LINE}\n\n{USUAL} # a note\n  {LINE};7\r\n{LINE},x\n{LINE}\tx\n")
    assert read(path) == [(2, LINE), (4, USUAL), (5, LINE), (6, LINE), (7, LINE)]


def test_blanks_as_empty_cells(tmp_path):
    path = tmp_path / "blanks.txt"
    path.write_text(LINE.replace(".", " ") + "\n" + LINE.replace(".", "0") + "\n")
    assert [identify(item)[1] for _, item in read(path)] == [LINE, LINE]


@pytest.mark.parametrize("ending", ["", ".gz", ".zst"])
@pytest.mark.parametrize("bom", [False, True])
def test_packed_files(tmp_path, ending, bom):
    path = tmp_path / f"list.one.txt{ending}"
    body = ("\ufeff" * bom + "\n".join([*small(50), "word"])).encode()
    pack = {"": bytes, ".gz": gzip.compress, ".zst": zstandard.ZstdCompressor().compress}[ending]
    path.write_bytes(pack(body))
    found = source(path)
    assert found.name == "list.one"
    assert found.total is None
    assert [item for _, item in found] == [*small(50), "word"]
    assert found.share() == 1.0
    found.close()


@pytest.mark.parametrize("ending", [".gz", ".zst"])
def test_broken_files_say_how_far_they_were_read(tmp_path, ending):
    path = tmp_path / f"list.txt{ending}"
    lines = "\n".join(random.Random(5).choice("1234.") * 3 + line for line in small(50) * 400)
    pack = {".gz": gzip.compress, ".zst": zstandard.ZstdCompressor().compress}[ending]
    whole = pack(lines.encode())
    path.write_bytes(whole[: len(whole) // 2] + b"\0" * 64 + whole[len(whole) // 2 + 64 :])
    with pytest.raises(SurveyError, match=r"cannot be read beyond line \d+"):
        read(path)


def test_bytes_that_are_no_text_spoil_only_their_line(tmp_path):
    path = tmp_path / "bytes.txt"
    path.write_bytes(LINE.encode() + b"\n\xff\xfe\x00" + b"." * 13 + b"\n" + LINE.encode())
    (_, first), (number, bad), (_, last) = read(path)
    assert (first, number, last) == (LINE, 2, LINE)
    with pytest.raises(GridError):
        identify(bad)


def test_an_endless_line_is_one_bad_record(tmp_path):
    path = tmp_path / "long.txt"
    path.write_text(LINE + "\n" + "1" * (3 * LONGEST) + "\n" + LINE)
    (_, first), (number, bad), (after, last) = read(path)
    assert (first, number, after, last) == (LINE, 2, 3, LINE)
    assert isinstance(bad, GridError)


def test_a_line_as_long_as_may_be_is_whole(tmp_path):
    """Its end is within what is read at once, so the line behind it is not taken for its rest."""
    path = tmp_path / "long.txt"
    path.write_text("1" * (LONGEST - 1) + "\n" + LINE + "\n")
    (number, first), (after, last) = read(path)
    assert (number, after, last) == (1, 2, LINE)
    assert first == "1" * (LONGEST - 1)


@pytest.mark.parametrize(
    ("text", "column", "expected"),
    [
        (f"id,puzzle,clues\n1,{LINE},4\n2,{LINE},5\n", None, [(2, LINE), (3, LINE)]),
        (f"id;start;puzzle\n1;{USUAL};{LINE}\n", None, [(2, LINE)]),
        (f"id;start;puzzle\n1;{USUAL};{LINE}\n", "Start", [(2, USUAL)]),
        (f"a\tb\n7\t{LINE}\n", None, [(2, LINE)]),
        (f"7,{LINE}\n8,{USUAL}\n", None, [(1, LINE), (2, USUAL)]),
        (f'id,puzzle\n1,"{LINE}"\n', None, [(2, LINE)]),
        (f"# made today\nid,puzzle\n\n1,{LINE}\n", None, [(4, LINE)]),
        (f"\ufeffpuzzle\n{LINE}\n", None, [(2, LINE)]),
    ],
)
def test_tables(tmp_path, text, column, expected):
    path = tmp_path / "table.csv"
    path.write_text(text, encoding="utf-8")
    assert read(path, column=column) == expected


def test_tables_with_faults(tmp_path):
    path = tmp_path / "table.csv"
    path.write_text(f"id,puzzle\n1\n2,{LINE}\n3,short\n")
    (number, bad), good, (_, short) = read(path)
    assert number == 2
    assert isinstance(bad, GridError)
    assert good == (3, LINE)
    assert short == "short"
    with pytest.raises(SurveyError, match=r"no column is called 'grid'.*id, puzzle"):
        read(path, column="grid")
    path.write_text("a,b\nc,d\n")
    (_, bad) = read(path)[0]
    assert isinstance(bad, GridError)


@pytest.mark.parametrize("first", [f"1,{LINE[:-1]}", f"easy,{USUAL[:-1]}x", LINE + "1"])
def test_a_bad_first_row_of_a_table_is_not_taken_for_its_heading(tmp_path, first):
    path = tmp_path / "table.csv"
    path.write_text(f"{first}\n")
    ((number, bad),) = read(path)
    assert number == 1
    assert isinstance(bad, GridError)
    path.write_text(f"{first}\n2,{LINE}\n")
    assert [(number, isinstance(item, GridError)) for number, item in read(path)] == [(1, True), (2, False)]


def test_what_the_csv_module_writes(tmp_path):
    path = tmp_path / "written.csv"
    with path.open("w", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(["n", 'a "name", quoted', "puzzle"])
        writer.writerows([i, 'x, "y"', line] for i, line in enumerate(small(20)))
    assert [item for _, item in read(path)] == small(20)


def test_iterables():
    grid = deduce.Grid.parse(LINE)
    found = source([LINE, grid], name="two")
    assert (found.name, found.total, [*found]) == ("two", 2, [(1, LINE), (2, grid)])
    assert found.share() is None
    assert source(iter([LINE])).total is None


def test_no_such_file():
    with pytest.raises(SurveyError, match="there is no file"):
        source("nowhere.txt")
    with pytest.raises(SurveyError, match="a list of puzzles"):
        source(USUAL * 9)


# Identity


@given(st.sampled_from(sorted(LAYOUTS)), st.integers(0, 20), st.randoms(use_true_random=False))
def test_spellings_of_a_puzzle_are_one(shape, seed, rng):
    grid = minimal(shape, seed)
    layout = grid.layout
    line = grid.line()
    assert identify(grid) == (layout, line)
    spelled = "".join(rng.choice(".0_*") if char == "." else char for char in line)
    rows = "\n".join(spelled[i : i + layout.order] for i in range(0, layout.cells, layout.order))
    for text in (line, spelled, rows):
        assert identify(text, layout) == (layout, line)
    assert deduce.Grid.parse(line, layout) == grid


def test_letters_in_either_case():
    layout = Layout.standard(16)
    line = "." * 200 + "G" + "." * 55
    assert plain(line.lower()) == plain(line) == (layout, line)
    own = Layout(5, [], symbols="abcDE")
    assert plain("a" + "." * 24, own) == (own, "a" + "." * 24)
    assert plain("A" + "." * 24, own) is None
    assert identify("A" + "." * 24, own)[1] == "a" + "." * 24


@pytest.mark.parametrize("text", ["", "x", "1" * 15, "5...............", "¹..............."])
def test_what_is_no_puzzle_is_refused_with_its_place(text):
    assert plain(text) is None or text == ""
    with pytest.raises(GridError):
        identify(text)


def test_notes_belong_to_the_puzzle():
    grid = deduce.Grid.parse(LINE)
    noted = grid.without(["3r1c1"])
    layout, text = identify(noted)
    assert text != LINE
    assert deduce.Grid.parse(text, layout) == noted
    assert digest(layout, text) != digest(*identify(grid))


@pytest.mark.parametrize("layout", [SMALL, Layout.standard(6, (3, 2)), JIGSAW, Layout(4, [], symbols="wxyz")])
def test_layouts_as_text(layout):
    assert Layout.from_json(layout_text(layout)) == layout
    assert digest(layout, "") == digest(Layout.from_json(layout_text(layout)), "")


def test_the_same_line_on_another_layout_is_another_puzzle():
    line = "." * 36
    assert digest(Layout.standard(6), line) != digest(Layout.standard(6, (3, 2)), line)
