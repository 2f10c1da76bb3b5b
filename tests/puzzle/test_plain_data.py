"""Grids from lists, mappings and arrays, digits entered, and what programs read back."""

from __future__ import annotations

import pickle

import numpy as np
import pytest

from deduce import Grid, GridError, Layout, find, next_step, walk

ROWS = [[1, 2, 0, 0], [3, 0, 0, 0], [0, 0, 0, 0], [0, 0, 0, 1]]
TEXT = "12.. 3... .... ...1".replace(" ", "")


@pytest.mark.parametrize(
    "givens",
    [
        ROWS,
        np.array(ROWS),
        tuple(map(tuple, ROWS)),
        [[cell or None for cell in row] for row in ROWS],
        [list("12.."), list("3..."), list("...."), list("...1")],
        [["1", "2", "", ""], ["3", "", "", ""], [""] * 4, ["", "", "", "1"]],
    ],
    ids=["lists", "numpy", "tuples", "None", "characters", "empty text"],
)
def test_rows_are_read(givens):
    assert Grid.of(givens) == Grid.parse(TEXT)


def test_mappings_and_tokens_are_read():
    layout = Layout.standard(4)
    wanted = Grid.parse(TEXT)
    assert Grid.of({"r1c1": 1, (1, 2): 2, "r2c1": "3", (4, 4): np.int64(1)}, layout=layout) == wanted
    assert Grid.of(["1r1c1", "2r1c2", "3r2c1", "1r4c4"], layout=layout) == wanted
    assert Grid.of(map(layout.candidate, range(0)), layout=layout) == Grid.empty(layout)


def test_values_are_entered_and_notes_are_assumptions():
    grid = Grid.of(ROWS, {"r1c3": 3}, {"r1c4": 4, "r2c2": [4]})
    assert grid.digit(1, 3) == 3
    assert not grid.givens >> grid.number("3r1c3") & 1
    assert (grid.notes(1, 4), grid.notes(2, 2), grid.notes(3, 3)) == ((4,), (4,), (2, 4))
    assert grid == Grid.of(ROWS, ["3r1c3"], ["4r1c4", "4r2c2"])


def test_digits_come_back_as_they_went_in():
    assert Grid.of(ROWS).digits == tuple(map(tuple, ROWS))
    assert np.array(Grid.parse(TEXT).digits).tolist() == ROWS
    solved = walk(Grid.of(ROWS)).grid
    assert Grid.of(solved.digits).line() == solved.line()
    holes = Layout.parse("regions\nAA.\nABB\n..B")
    assert Grid.of({"r1c1": 1}, layout=holes).digits == ((1, 0, 0), (0, 0, 0), (0, 0, 0))


@pytest.mark.parametrize(
    ("givens", "says"),
    [
        ([[1, 2], [3, 4], [1, 2], [2, 1]], "givens has 4 rows of 2 cells; give 4 rows of 4"),
        ([[5, 0, 0, 0], *ROWS[1:]], "r1c1 holds 5; give a digit from 1 to 4"),
        ([[True, 0, 0, 0], *ROWS[1:]], "r1c1 holds True"),
        ([[1.5, 0, 0, 0], *ROWS[1:]], "r1c1 holds 1.5"),
        ({"r9c9": 1, "r1c1": 12}, "r1c1 holds 12; give a digit from 1 to 9"),
    ],
)
def test_bad_data_says_where(givens, says):
    with pytest.raises(GridError, match=says):
        Grid.of(givens)


def test_text_is_for_parse():
    with pytest.raises(TypeError, match=r"Grid\.parse reads text"):
        Grid.of("12..")


def test_digits_are_entered_and_candidates_ruled_out():
    grid = Grid.parse(TEXT)
    entered = grid.enter("3r1c3", "4r1c4")
    assert entered.digits[0] == (1, 2, 3, 4)
    assert entered.givens == grid.givens
    assert not entered.live >> grid.number("3r2c3") & 1
    assert grid.enter("1r2c3").status() == ()
    assert "digit twice in a house" in {f.kind for f in grid.enter("1r1c3").status()}
    with pytest.raises(GridError, match="1r1c1 is placed there"):
        grid.enter("2r1c1")
    assert grid.without("3r1c3") == grid.without(["3r1c3"]) == grid.without(grid.candidate(grid.number("3r1c3")))
    assert grid.without("3r1c3", ["4r1c4"]).notes(1, 3) == (4,)


def test_a_walk_is_a_sequence_of_its_steps():
    walked = walk(Grid.parse(TEXT))
    assert [*walked] == [*walked.steps]
    assert (walked[0], walked[-1], walked[1:3]) == (walked.steps[0], walked.steps[-1], walked.steps[1:3])
    assert walked.index(walked[2]) == 2
    assert walked[0] in walked


def test_the_next_step_is_the_first_of_a_walk():
    grid = Grid.parse("9...8..428.......5...76.....4......1....2...9.2.1..5..4......9.21..4.7.67....32..")
    for _ in range(5):
        step = next_step(grid)
        assert step == walk(grid).steps[0]
        grid = step.after
    assert next_step(walk(Grid.parse(TEXT)).grid) is None
    assert next_step(Grid.parse(TEXT), ["X-wing"]) is None
    assert next_step(Grid.parse("11.." + "." * 12)).proof.contradiction


@pytest.mark.parametrize(
    ("call", "error", "says"),
    [
        (lambda: walk("9..."), TypeError, "needs a Grid, not str; Grid.parse reads one from text"),
        (lambda: walk(None), TypeError, "needs a Grid, not NoneType"),
        (lambda: walk(Grid.parse(TEXT), budget=3.5), TypeError, "budget is 3.5; give a whole number of steps"),
        (lambda: walk(Grid.parse(TEXT), budget=True), TypeError, "budget is True"),
        (lambda: walk(Grid.parse(TEXT), trials=-1), ValueError, "trials is -1"),
        (lambda: walk(Grid.parse(TEXT), seconds=-1), ValueError, "seconds is -1"),
    ],
)
def test_wrong_calls_get_a_sentence(call, error, says):
    with pytest.raises(error, match=says):
        call()


def test_premises_are_data_as_well_as_sentences() -> None:
    grid = Grid.parse("..24......1..2..")
    proof = next(find(grid, ["hidden single"]))
    (premise,) = proof.premises
    assert (premise, premise.house, premise.digit) == ("2 in box 1", "box 1", 2)
    assert premise.cells == ("r1c1", "r1c2", "r2c1", "r2c2")
    again = pickle.loads(pickle.dumps(premise))
    assert (again, again.house, again.digit, again.cells) == (premise, premise.house, premise.digit, premise.cells)
    (read,) = next(find(Grid.parse("123............."), ["naked single"])).premises
    assert (read, read.house, read.digit, read.cells) == ("cell r1c4", "", 0, ("r1c4",))


def test_premises_of_rules_and_problems() -> None:
    layout = Layout.parse("grid 4 without boxes\ntotal r1c1 r1c2 >= 7")
    proof = next(find(Grid.empty(layout)))
    (premise,) = proof.premises
    assert (premise.house, premise.digit, premise.cells) == ("", 0, ("r1c1", "r1c2"))
