"""Solutions against a published count, a SAT solver and python-constraint."""

from __future__ import annotations

import random
from itertools import islice

import constraint
import pytest
from hypothesis import given, strategies as st
from reference import Board, sat_solutions
from strategies import LAYOUTS, dead, positions, puzzles

import deduce
from deduce.errors import BudgetSpent
from deduce.positions import bits
from deduce.puzzle.layout import Layout
from deduce.solving.generate import random_solution


def fillings(grid: deduce.Grid, limit: int | None) -> list[tuple[int, ...]]:
    """The solutions of a grid as the digits of all cells."""
    order = grid.layout.order
    solved = list(deduce.solutions(grid, limit))
    for one in solved:
        assert one.solved
        assert (one.givens, one.layout) == (grid.givens, grid.layout)
        assert one.true & grid.live == one.true, "a solution uses what the notes rule out"
    return [tuple(one.digit(c // order + 1, c % order + 1) or 0 for c in range(order**2)) for one in solved]


def csp_solutions(grid: deduce.Grid) -> set[tuple[int, ...]]:
    """All solutions by python-constraint: a variable a cell, all different in every house."""
    board = Board.of(grid)
    problem = constraint.Problem()
    for cell in range(board.order**2):
        domain = [board.placed[cell]] if cell in board.placed else sorted(board.notes[cell])
        if not domain:
            return set()
        problem.addVariable(cell, domain)
    for _, cells in board.houses:
        problem.addConstraint(constraint.AllDifferentConstraint(), cells)
    return {tuple(found[cell] for cell in range(board.order**2)) for found in problem.getSolutions()}


# Counts. Source: OEIS A107739 (288 complete 4x4 grids, 12 up to the names of the digits). That 48 of them have both
# diagonals all different, and that there are 576 Latin squares of order 4, was recomputed by an independent program.


def test_complete_4x4_grids() -> None:
    found = fillings(deduce.Grid.empty(Layout.standard(4)), None)
    assert len(found) == len(set(found)) == 288
    assert sum(len({f[i] for i in (0, 5, 10, 15)}) == len({f[i] for i in (3, 6, 9, 12)}) == 4 for f in found) == 48
    assert sum(f[:4] == (1, 2, 3, 4) for f in found) == 12


def test_latin_squares_of_order_4() -> None:
    assert len(set(fillings(deduce.Grid.empty(Layout(4)), None))) == 576


def test_complete_6x6_grids_with_a_first_row_and_box() -> None:
    # 28,200,960 complete 6x6 grids (recomputed by an independent program) share out evenly over the 720 orders of the
    # first row and the 3! fillings of the rest of the first box.
    first = deduce.Grid.parse("123456456..." + "." * 24)
    assert sum(1 for _ in deduce.solutions(first, None)) == 28_200_960 // (720 * 6)


# Judges


@given(positions("4x4", "5x5", "6x6"))
def test_all_solutions_of_a_position(grid: deduce.Grid) -> None:
    found = fillings(grid, 50)
    assert len(found) == len(set(found))
    judged = sat_solutions(Board.of(grid), 51)
    if len(judged) > 50:
        assert len(found) == 50
    else:
        assert set(found) == judged == csp_solutions(grid), grid.pencil()


@given(positions("9x9"), st.integers(0, 4))
def test_some_solutions_of_a_9x9_position(grid: deduce.Grid, limit: int) -> None:
    found = fillings(grid, limit)
    judged = sat_solutions(Board.of(grid), limit + 1)
    assert len(found) == len(set(found)) == min(limit, len(judged)), grid.pencil()
    if len(judged) <= limit:
        assert set(found) == judged


@given(positions(), st.data())
def test_notes_that_contradict_each_other(grid: deduce.Grid, data: st.DataObject) -> None:
    """Ruling out true candidates too may leave no solution; the judge and the search agree on when."""
    open_ = bits(grid.live & ~grid.true)
    gone = data.draw(st.lists(st.sampled_from(open_), max_size=12)) if open_ else []
    wrong = grid.without(map(grid.candidate, gone))
    found, judged = fillings(wrong, 2), sat_solutions(Board.of(wrong), 3)
    assert len(found) == min(2, len(judged)), wrong.pencil()
    if len(judged) <= 2:
        assert set(found) == judged


@given(dead())
def test_no_solution(grid: deduce.Grid) -> None:
    judged = sat_solutions(Board.of(grid), 1)
    assert len(fillings(grid, 1)) == len(judged), grid.pencil()
    assert bool(judged) == (not grid.status())


def test_a_digit_twice_has_no_solution() -> None:
    for line in ("11" + "." * 14, "1...1" + "." * 11, "1....1" + "." * 10):
        assert list(deduce.solutions(deduce.Grid.parse(line))) == []


@given(puzzles())
def test_minimal_puzzles_are_minimal(grid: deduce.Grid) -> None:
    """One solution, and more than one without any of the givens; judged by SAT."""
    assert len(sat_solutions(Board.of(grid), 2)) == 1
    givens = bits(grid.givens)
    for left_out in givens:
        fewer = deduce.Grid.of([grid.candidate(c) for c in givens if c != left_out], layout=grid.layout)
        assert len(sat_solutions(Board.of(fewer), 2)) == 2, fewer.line()


# Limits and budgets


def test_limits() -> None:
    empty = deduce.Grid.empty(LAYOUTS["6x6"])
    first = fillings(empty, 7)
    assert [len(fillings(empty, n)) for n in (0, 1, 2)] == [0, 1, 2]
    assert len(list(deduce.solutions(empty))) == 2
    assert first[:2] == fillings(empty, 2), "the order of solutions depends on the limit"
    assert [one.line() for one in islice(deduce.solutions(empty, None), 7)] == ["".join(map(str, f)) for f in first]
    with pytest.raises(ValueError, match="limit is -1"):
        list(deduce.solutions(empty, -1))


def test_a_spent_budget_is_said() -> None:
    empty = deduce.Grid.empty(LAYOUTS["6x6"])
    search = deduce.solutions(empty, None, budget=40)
    found = []
    with pytest.raises(deduce.BudgetSpent) as caught:
        found.extend(search)
    assert caught.value.limit == 40
    assert isinstance(caught.value, RuntimeError)
    assert fillings(empty, len(found)) == [tuple(map(int, one.line())) for one in found]
    # Without a branching there is nothing to spend.
    assert len(list(deduce.solutions(deduce.Grid.parse("1234341221434321"), budget=0))) == 1


def test_a_solved_position_is_its_own_solution() -> None:
    grid = deduce.Grid.parse("1234341221434321")
    assert list(deduce.solutions(grid)) == [grid]


def test_puzzles_with_many_solutions(collections) -> None:
    """Source: a public benchmark set of grids with more than one solution (`many_solutions.txt`)."""
    lines = [line for line in (collections / "many_solutions.txt").read_text().splitlines() if line[0] != "#"]
    assert len(lines) == 500
    for line in lines:
        grid = deduce.Grid.parse(line)
        one, two = fillings(grid, 2)
        assert one != two, line
    for line in lines[::25]:
        grid = deduce.Grid.parse(line)
        assert len(sat_solutions(Board.of(grid), 3)) == len(fillings(grid, 3)), line


@pytest.mark.parametrize("seed", [0, 1, 5])
def test_a_board_with_rules_is_filled_by_runs_that_begin_anew(seed):
    """In order, the search on a board with the knight's rule spends a million branchings and finds nothing."""
    layout = deduce.Layout.parse("grid 9\nknight")
    made = random_solution(random.Random(seed), layout)
    assert made.solved
    assert made == random_solution(random.Random(seed), layout)


def test_runs_for_a_board_that_cannot_be_filled_come_to_an_end(monkeypatch):
    monkeypatch.setattr("deduce.solving.generate.FIRST_RUN", 1)
    monkeypatch.setattr("deduce.solving.generate.RUNS", 3)
    with pytest.raises(BudgetSpent, match="the search for a solved grid stopped after 3 runs"):
        random_solution(random.Random(0), deduce.Layout.parse("grid 9\nknight\nking"))
