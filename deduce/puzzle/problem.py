"""The bridge to python-constraint: a grid as a constraint problem for any solver of that library."""

from __future__ import annotations

from typing import TYPE_CHECKING

from deduce.puzzle.grid import Grid

if TYPE_CHECKING:
    from constraint import Problem

__all__ = ["to_problem"]


def to_problem(grid: Grid) -> Problem:
    """Return a grid as a python-constraint problem.

    Parameters
    ----------
    grid : Grid
        The position; ruled out candidates are left out of the domains.

    Returns
    -------
    constraint.Problem
        One variable for each cell, named ``r1c1`` and so on, with its live digits as domain, and an
        `AllDifferentConstraint` for each house.

    Raises
    ------
    ValueError
        If a cell has no candidate: python-constraint has no empty domains.

    Examples
    --------
    >>> problem = to_problem(Grid.parse("..24......1..2.."))
    >>> problem.getSolution()["r1c1"]
    3
    """
    from constraint import AllDifferentConstraint, Problem

    layout = grid.layout
    problem = Problem()
    for cell in range(layout.cells):
        row, column = layout.places[cell]
        digits = grid.notes(row + 1, column + 1)
        if not digits:
            raise ValueError(f"{layout.cell_name(cell)} has no candidate, so there is no domain to give it")
        problem.addVariable(layout.cell_name(cell), list(digits))
    for house in layout.houses:
        problem.addConstraint(AllDifferentConstraint(), [layout.cell_name(cell) for cell in house.cells])
    return problem
