"""Random minimal puzzles: one solution, and no clue that could be left out."""

from __future__ import annotations

import random

from deduce.kernel import bits
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout
from deduce.puzzle.search import solutions

__all__ = ["minimal_puzzle", "random_solution"]


def random_solution(rng: random.Random, layout: Layout | None = None) -> Grid:
    """Return a random solved grid; not every grid is equally likely."""
    return next(solutions(Grid.empty(layout), 1, shuffle=rng))


def minimal_puzzle(seed: int, layout: Layout | None = None) -> Grid:
    """Return a puzzle with exactly one solution from which no clue can be taken away.

    Parameters
    ----------
    seed : int
        The same seed gives the same puzzle.
    layout : Layout, optional
        By default the 9x9 grid.

    Returns
    -------
    Grid
        The puzzle.

    Raises
    ------
    BudgetSpent
        On large layouts, where showing that a puzzle has one solution can take too long.

    Notes
    -----
    Clues of a random solved grid are taken away in random order wherever the solution stays unique.  That samples
    puzzles with few clues more often than an unbiased method would.

    Examples
    --------
    >>> puzzle = minimal_puzzle(1, Layout.standard(4))
    >>> len(list(solutions(puzzle)))
    1
    """
    rng = random.Random(seed)
    solved = random_solution(rng, layout)
    clues = bits(solved.true)
    order = clues[:]
    rng.shuffle(order)
    for clue in order:
        fewer = [kept for kept in clues if kept != clue]
        if len(list(solutions(Grid.from_numbers(solved.layout, fewer), 2))) == 1:
            clues = fewer
    return Grid.from_numbers(solved.layout, clues)
