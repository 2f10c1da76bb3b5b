"""The bridge to python-constraint: a grid as a constraint problem for any solver of that library."""

from __future__ import annotations

from typing import TYPE_CHECKING

from deduce.puzzle.grid import Grid
from deduce.puzzle.problems.back import as_function, rebuilt
from deduce.puzzle.rules import Cage

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
        One variable for each cell, named ``r1c1`` and so on, with its live digits as domain, an
        `AllDifferentConstraint` for each house and cage, sums as sums, and any other rule as a function of its cells.
        A grid that came from a problem goes back to one with the same variables, what is left of their values, and
        copies of the same constraints.

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
    from constraint import AllDifferentConstraint, ExactSumConstraint, Problem

    layout = grid.layout
    if layout.problem:
        return rebuilt(layout.problem, grid.live)
    problem = Problem()
    for cell in range(layout.cells):
        row, column = layout.places[cell]
        digits = grid.notes(row + 1, column + 1)
        if not digits:
            raise ValueError(f"{layout.cell_name(cell)} has no candidate, so there is no domain to give it")
        problem.addVariable(layout.cell_name(cell), list(digits))
    for house in layout.houses:
        problem.addConstraint(AllDifferentConstraint(), [layout.cell_name(cell) for cell in house.cells])
    for rule in layout.rules:
        names = [layout.cell_name(cell) for cell in rule.cells]
        if isinstance(rule, Cage):
            problem.addConstraint(AllDifferentConstraint(), names)
            if rule.total is not None:
                problem.addConstraint(ExactSumConstraint(rule.total), names)
    for number in range(layout.exact, len(layout.model.constraints)):
        if not isinstance(layout.rule_of(number), Cage):
            holds, cells = as_function(layout.model.constraints[number], layout.cells, lambda digit: digit - 1)
            problem.addConstraint(holds, [layout.cell_name(cell) for cell in cells])
    return problem
