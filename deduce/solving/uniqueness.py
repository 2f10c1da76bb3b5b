"""Whether a puzzle may be taken to have one solution: asked before any deduction that assumes it."""

from __future__ import annotations

from functools import lru_cache

from deduce.errors import BudgetSpent, OutOfTime, SeveralSolutionsError
from deduce.positions import bits
from deduce.puzzle.grid import Grid
from deduce.solving.search import solutions

__all__ = ["BRANCHINGS", "one_solution", "puzzle_of"]

BRANCHINGS = 20_000
"""How many positions the search for a second solution may branch on."""


def puzzle_of(grid: Grid) -> Grid:
    """Return the puzzle behind a position: its givens alone, or the position itself if it has no givens."""
    return Grid.from_numbers(grid.layout, bits(grid.givens)) if grid.givens else grid


def one_solution(grid: Grid, budget: int = BRANCHINGS) -> bool | None:
    """Say whether the puzzle behind a position is known to have no more than one solution.

    Parameters
    ----------
    grid : Grid
        A position; its givens and the rules of its layout are the puzzle, whether or not there are givens.
    budget : int
        How many positions the search may branch on.

    Returns
    -------
    bool or None
        True if there is no second solution; None if the budget was spent before that was known.

    Raises
    ------
    SeveralSolutionsError
        With two solutions, if there are two.

    Examples
    --------
    >>> one_solution(Grid.parse("..24......1..2.."))
    True
    """
    # A swap keeps to the rules and the givens, not to what a position has ruled out: notes are no part of the puzzle.
    puzzle = Grid.from_numbers(grid.layout, bits(grid.givens))
    found = _two(puzzle, budget)
    if found is not None and len(found) > 1:
        one, other = found
        layout = grid.layout
        cells = sorted({c % layout.cells for c in bits(one.true ^ other.true)})
        names = tuple(map(layout.cell_name, cells))
        raise SeveralSolutionsError(one.line(), other.line(), names, not grid.givens and grid != puzzle)
    return None if found is None else True


@lru_cache(maxsize=64)
def _two(puzzle: Grid, budget: int) -> tuple[Grid, ...] | None:
    """Return two solutions, or as many as there are; None if the budget was spent.

    Remembered, since a plan asks anew for every walk that it tries.
    """
    try:
        return tuple(solutions(puzzle, 2, budget=budget))
    except OutOfTime:
        raise  # a deadline is no word on the puzzle, and must not be remembered
    except BudgetSpent:
        return None
