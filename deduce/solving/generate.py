"""Random minimal puzzles: one solution, and no clue that could be left out; with a pattern of clues, or a wish."""

from __future__ import annotations

import random
from collections.abc import Callable, Collection, Iterable, Sequence
from contextlib import suppress

from deduce.errors import BudgetSpent
from deduce.positions import bits
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout
from deduce.solving.search import solutions

__all__ = ["SYMMETRIES", "minimal_puzzle", "random_solution", "wanted_puzzle"]

TRIES = 2000
"""How many solved grids a puzzle with symmetric clues may be cut from before the search gives up."""

FIRST_RUN = 2_000
"""How many branchings the first runs for a solved grid may take; every fourth doubles that."""

RUNS = 40

_Map = Callable[[int, int, int], tuple[int, int]]

SYMMETRIES: dict[str, tuple[_Map, ...]] = {
    "half turn": (lambda row, column, last: (last - row, last - column),),
    "quarter turn": (lambda row, column, last: (column, last - row),),
    "left-right": (lambda row, column, last: (row, last - column),),
    "top-bottom": (lambda row, column, last: (last - row, column),),
    "diagonal": (lambda row, column, _: (column, row),),
    "both diagonals": (lambda row, column, _: (column, row), lambda row, column, last: (last - column, last - row)),
}
"""For each symmetry of clues where it moves a cell, given row, column and the last row's number, all from 0."""


def random_solution(rng: random.Random, layout: Layout | None = None) -> Grid:
    """Return a random solved grid; not every grid is equally likely.

    An unlucky beginning can lead a search astray for ever, so it begins anew, and each run may take longer.

    Raises
    ------
    BudgetSpent
        If no run finds a solution.
    """
    for run in range(RUNS):
        with suppress(BudgetSpent):
            return next(solutions(Grid.empty(layout), 1, shuffle=rng, budget=FIRST_RUN << run // 4))
    raise BudgetSpent("the search for a solved grid", RUNS, "runs")


def minimal_puzzle(seed: int, layout: Layout | None = None, *, symmetry: str | None = None) -> Grid:
    """Return a puzzle with exactly one solution from which no clue can be taken away.

    Parameters
    ----------
    seed : int
        The same seed gives the same puzzle.
    layout : Layout, optional
        By default the 9x9 grid.
    symmetry : str, optional
        One of `SYMMETRIES`, which the places of the clues then have.  No clue can be taken away from such a puzzle
        either, so many solved grids are cut down in vain before one comes out: dozens on 9x9, now and then hundreds.

    Returns
    -------
    Grid
        The puzzle.

    Raises
    ------
    BudgetSpent
        On large layouts, where showing that a puzzle has one solution can take too long; and if no symmetric puzzle
        comes out of `TRIES` solved grids.
    ValueError
        For an unknown symmetry.

    Notes
    -----
    Clues of a random solved grid are taken away in random order wherever the solution stays unique, with symmetry all
    clues at once that belong together.  That samples puzzles with few clues more often than an unbiased method would.

    Examples
    --------
    >>> puzzle = minimal_puzzle(1, Layout.standard(4))
    >>> len(list(solutions(puzzle)))
    1
    """
    rng = random.Random(seed)
    if symmetry is None:
        solved = random_solution(rng, layout)
        order = [[clue] for clue in bits(solved.true)]
        rng.shuffle(order)
        return Grid.from_numbers(solved.layout, _cut(solved.layout, bits(solved.true), order))
    if symmetry not in SYMMETRIES:
        raise ValueError(f"symmetry is {symmetry!r}; give one of {', '.join(map(repr, SYMMETRIES))}")
    for _ in range(TRIES):
        solved = random_solution(rng, layout)
        clues = bits(solved.true)
        order = _together(solved.layout, clues, SYMMETRIES[symmetry])
        rng.shuffle(order)
        kept = _cut(solved.layout, clues, order)
        if not any(_unique(solved.layout, [other for other in kept if other != clue]) for clue in kept):
            return Grid.from_numbers(solved.layout, kept)
    raise BudgetSpent(f"the search for a minimal puzzle with the symmetry {symmetry!r}", TRIES, "solved grids")


def wanted_puzzle(
    seed: int,
    wanted: Callable[[Grid], bool],
    layout: Layout | None = None,
    *,
    symmetry: str | None = None,
    budget: int = 500,
) -> Grid:
    """Return the first of a row of random minimal puzzles that is as wanted.

    Parameters
    ----------
    seed : int
        The same seed gives the same puzzle, if `wanted` says the same.
    wanted : callable
        Says of a puzzle whether it will do.
    layout, symmetry
        As for :func:`minimal_puzzle`.
    budget : int
        How many puzzles may be looked at.

    Raises
    ------
    BudgetSpent
        If none of them will do.

    Examples
    --------
    >>> small = wanted_puzzle(1, lambda grid: grid.givens.bit_count() == 5, Layout.standard(4))
    >>> small.givens.bit_count()
    5
    """
    rng = random.Random(seed)
    for _ in range(budget):
        puzzle = minimal_puzzle(rng.randrange(2**32), layout, symmetry=symmetry)
        if wanted(puzzle):
            return puzzle
    raise BudgetSpent("the search for a puzzle as wanted", budget, "puzzles")


def _cut(layout: Layout, clues: Sequence[int], order: Iterable[Collection[int]]) -> list[int]:
    """Take clues away in this order, all of a group at once, wherever the solution stays unique."""
    kept = list(clues)
    for group in order:
        fewer = [clue for clue in kept if clue not in group]
        if _unique(layout, fewer):
            kept = fewer
    return kept


def _unique(layout: Layout, clues: Iterable[int]) -> bool:
    return len(list(solutions(Grid.from_numbers(layout, clues), 2))) == 1


def _together(layout: Layout, clues: Sequence[int], maps: Iterable[_Map]) -> list[list[int]]:
    """Group the clues of a full grid whose cells a symmetry moves into each other, in reading order."""
    clue_of = {clue % layout.cells: clue for clue in clues}
    last = layout.order - 1
    groups: list[list[int]] = []
    grouped: set[int] = set()
    for cell in range(layout.cells):
        if cell in grouped:
            continue
        orbit, todo = {cell}, [cell]
        while todo:
            row, column = layout.places[todo.pop()]
            for move in maps:
                moved_row, moved_column = move(row, column, last)
                moved = layout.cell_at[moved_row, moved_column]
                if moved not in orbit:
                    orbit.add(moved)
                    todo.append(moved)
        grouped |= orbit
        groups.append([clue_of[member] for member in sorted(orbit)])
    return groups
