"""Grids as text: every form read, every slip met with its place."""

import pytest
from hypothesis import given, strategies as st

from deduce import Grid, GridError, Layout, find
from deduce.errors import LayoutError
from deduce.puzzle.text import puzzles
from deduce.solving.generate import minimal_puzzle

LINE = minimal_puzzle(11).line()
GRID = Grid.parse(LINE)
ROWS = [LINE[i : i + 9] for i in range(0, 81, 9)]


@pytest.mark.parametrize("empty", list("0_* ."))
def test_empty_cells_have_five_spellings(empty):
    text = LINE.replace(".", empty)
    assert Grid.parse(text) == GRID
    assert Grid.parse("\n".join(text[i : i + 9] for i in range(0, 81, 9))) == GRID


@pytest.mark.parametrize(
    "text",
    [
        "\n".join(ROWS),
        "\r\n".join(ROWS) + "\r\n\r\n",
        "\n".join(" ".join(row) for row in ROWS),
        "\n".join(f"{row[:3]} {row[3:6]} {row[6:]}" for row in ROWS),
        "# a title\n\n" + "\n".join(f"| {row[:3]} | {row[3:6]} | {row[6:]} |" for row in ROWS),
        "+---+---+---+\n" + "\n".join(f"|{row[:3]}|{row[3:6]}|{row[6:]}|" for row in ROWS) + "\n+===+===+===+",
        str(GRID),
        GRID.line(),
        GRID.pencil(),
    ],
)
def test_forms_of_a_grid(text):
    assert Grid.parse(text) == GRID


@pytest.mark.parametrize("order", [4, 6, 9, 12, 16, 25])
def test_orders_are_told_by_size(order):
    layout = Layout.standard(order)
    grid = Grid.of([layout.candidate(layout.number(order, 0))], layout=layout)
    assert Grid.parse(grid.line()).layout is layout
    assert Grid.parse(grid.line()) == Grid.parse(str(grid)) == Grid.parse(grid.pencil()) == grid
    assert grid.digit(1, 1) == order


def test_letters_may_be_small():
    assert Grid.parse("g" + "." * 255) == Grid.parse("G" + "." * 255)
    assert str(Grid.parse("G" + "." * 255).candidate(15 * 256)) == "Gr1c1"


@pytest.mark.parametrize(
    ("text", "line", "column", "said"),
    [
        ("", 0, 0, "no cells"),
        ("# only a remark", 0, 0, "no cells"),
        (LINE[:-1], 1, 81, "80 cells found"),
        (LINE + "1", 1, 83, "82 cells found"),
        ("x" + LINE[1:], 1, 1, "'x' is no digit"),
        (LINE[:40] + "\uff15" + LINE[41:], 1, 41, "a fullwidth digit five; write a plain 5"),
        (LINE[:40] + "²" + LINE[41:], 1, 41, "a superscript two; write a plain 2"),
        (LINE[:40] + "٣" + LINE[41:], 1, 41, "'٣' is no digit (arabic-indic digit three)"),
        ("7" + "." * 35, 1, 1, "7 is beyond the digits of a 6x6 grid"),
        ("\n".join([*ROWS[:4], ROWS[4][:8], *ROWS[5:]]), 5, 9, "this row has 8 cells"),
        ("\n".join([*ROWS[:4], ROWS[4] + "1", *ROWS[5:]]), 5, 10, "this row has 10 cells"),
        (LINE.replace(".", "-"), 1, 0, "'-' is read as a ruler"),
        ("\n".join(["11 2 3 4"] + ["1234 1234 1234 1234"] * 3), 1, 2, "1 stands twice in one cell"),
        ("\n".join(["12 2 3 5"] + ["1234 1234 1234 1234"] * 3), 1, 8, "5 is beyond the digits"),
        ("\n".join(["[12] 2 3 4"] + ["1234 1234 1234 1234"] * 3), 1, 1, "[12] does not hold one digit"),
        ("\n".join(["[1 2 3 4"] + ["1234 1234 1234 1234"] * 3), 1, 1, "'[' is no digit"),
    ],
)
def test_slips_are_met_with_their_place(text, line, column, said):
    with pytest.raises(GridError) as caught:
        Grid.parse(text)
    error = caught.value
    assert said in str(error)
    assert error.line == line
    if column:
        assert error.column == column
        shown, caret = str(error).splitlines()[-2:]
        assert caret.endswith("^")
        assert len(caret) <= len(shown) + 1


def test_marks_of_a_candidate_grid():
    text = "\n".join(["1 [2] {3} 4", "34 34 12 12", "2 {1} 134 .", "{} 14 14 23"])
    grid = Grid.parse(text)
    layout = grid.layout
    assert grid.givens == sum(1 << layout.parse_candidate(token) for token in ("1r1c1", "4r1c4", "2r3c1"))
    assert grid.true & ~grid.givens == 1 << layout.parse_candidate("2r1c2")
    assert grid.digit(1, 3) is None
    assert grid.notes(1, 3) == (3,)
    assert grid.notes(4, 1) == ()
    assert grid.notes(3, 4) == (1, 3)
    assert Grid.parse(grid.pencil()) == grid


def test_notes_enter_as_assumptions_and_are_named():
    grid = Grid.parse("1... .... .... ....".replace(" ", ""))
    noted = grid.without(["2r1c2", "3r1c2"])
    assert noted.notes(1, 2) == (4,)
    assert Grid.parse(noted.pencil()).assumed == noted.assumed
    (proof,) = find(noted, ["naked single"])
    assert [str(c) for c in proof.assumes] == ["2r1c2", "3r1c2"]
    assert "2 is not in r1c2 and that 3 is not in r1c2" in proof.words()
    with pytest.raises(GridError, match="1r1c1 is placed"):
        grid.without(["1r1c1"])


def test_stale_notes_are_cleared():
    words = [["1234"] * 4 for _ in range(4)]
    words[0][0] = "1"
    grid = Grid.parse("\n".join(map(" ".join, words)))
    assert grid == Grid.parse("1...............")
    assert not grid.assumed


@pytest.mark.parametrize(
    "token", ["", "r4c7", "5", "0r1c1", "10r1c1", "5r0c1", "5r10c1", "5r4c", "5R4C7", "\uff15r4c7", "5r4c7x"]
)
def test_bad_tokens_are_refused(token):
    with pytest.raises(GridError):
        GRID.number(token)


def test_tokens_and_cells_round_trip():
    layout = Layout.standard(16)
    for number in range(0, 16 * 256, 37):
        assert layout.parse_candidate(str(layout.candidate(number))) == number
    for cell in range(256):
        assert layout.parse_cell(layout.cell_name(cell)) == cell


@pytest.mark.parametrize("order", [0, 1, 2, 3, 5, 7, 11, 13, 26, "9", True])
def test_orders_without_boxes_are_refused(order):
    with pytest.raises(LayoutError):
        Layout.standard(order)


@pytest.mark.parametrize(
    "make",
    [
        lambda: Layout.standard(9, (2, 4)),
        lambda: Layout(4, [(0, 1, 4)]),
        lambda: Layout(4, [(0, 1, 4, 99)]),
        lambda: Layout(4, symbols="1123"),
        lambda: Layout(4, symbols="123."),
        lambda: Layout(4, symbols="12345"),
    ],
)
def test_layouts_that_cannot_be_are_refused(make):
    with pytest.raises(LayoutError) as caught:
        make()
    assert caught.value.advice in str(caught.value)


def test_files_of_puzzles():
    assert puzzles("") == []
    assert puzzles(f"# one\n{LINE}\n\n# two\n{LINE}\n") == [LINE, LINE]
    assert len(puzzles(str(GRID))) == 1
    assert Grid.parse(puzzles(GRID.pencil())[0]) == GRID


@given(st.text(alphabet="123456789.0_* |-+=[]{}#\nxG\uff15²\t", max_size=200) | st.text(max_size=120))
def test_any_text_is_read_or_refused_with_a_grid_error(text):
    try:
        grid = Grid.parse(text)
    except GridError:
        return
    assert Grid.parse(grid.pencil()) == grid


def test_a_grid_does_not_change():
    with pytest.raises(AttributeError):
        GRID.live = 0
    with pytest.raises(AttributeError):
        del GRID.live
    import pickle

    assert pickle.loads(pickle.dumps(GRID)) == GRID
    assert pickle.loads(pickle.dumps(GRID)).layout is GRID.layout


def test_one_bad_line_of_many_leaves_the_others_lines() -> None:
    """The text is no grid, and most lines have the size of one: each is a puzzle, or is refused, by itself."""
    good = "..24......1..2.."
    assert puzzles(f"{good}\nno puzzle\n{good}\n") == [good, "no puzzle", good]
    assert puzzles("no puzzle\nnor this\n") == ["no puzzle\nnor this\n"]
