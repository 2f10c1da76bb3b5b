"""A position of a problem as a python-constraint problem again."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from copy import copy
from typing import TYPE_CHECKING

from deduce.errors import ProblemError
from deduce.kernel import Constraint
from deduce.positions import bits
from deduce.puzzle.problems.layout import ProblemLayout

if TYPE_CHECKING:
    from constraint import Problem

__all__ = ["rebuilt"]


def rebuilt(layout: ProblemLayout, live: int) -> Problem:
    """Return a position as a python-constraint problem.

    Parameters
    ----------
    layout : ProblemLayout
        The layout.
    live : int
        The candidates that are left.

    Returns
    -------
    constraint.Problem
        With the caller's variables, what is left of their values, and copies of his constraints.  A layout that was
        unpickled, or read from a document, has lost these: then each linear constraint becomes a function.

    Raises
    ------
    ProblemError
        If a variable has no value left: python-constraint has no empty domains.
    """
    from constraint import AllDifferentConstraint, FunctionConstraint, Problem

    problem = Problem()
    described = layout.described
    for cell, variable in enumerate(layout.variables):
        digits = [number // layout.cells for number in bits(live & layout.masks[cell])]
        if not digits:
            raise ProblemError(f"{layout.cell_name(cell)} has no value left", "ask for a position where each has one")
        own = described.domains[cell] if described else {}
        problem.addVariable(variable, [own.get(digit, layout.values[digit]) for digit in digits])
    if described is not None and all(one.own is not None for one in described.stated):
        for one in described.stated:
            if isinstance(one.own, str):
                problem.addConstraint(one.own)
            else:
                problem.addConstraint(copy(one.own), [layout.variables[cell] for cell in one.scope])
        return problem
    for _, cells, _ in layout.groups:
        problem.addConstraint(AllDifferentConstraint(), [layout.variables[cell] for cell in cells])
    for part in layout.parts:
        for constraint in part.constraints:
            cells = tuple(sorted({candidate % layout.cells for candidate, _ in constraint.terms}))
            holds = _function(layout, constraint, cells)
            # A constraint over nothing is put on all variables, which is what an empty scope means there.
            problem.addConstraint(FunctionConstraint(holds), [layout.variables[cell] for cell in cells])
    return problem


def _function(layout: ProblemLayout, constraint: Constraint, cells: Sequence[int]) -> Callable[..., bool]:
    """Return a function of the values of some variables that says what a linear constraint says."""
    number = {value: digit for digit, value in enumerate(layout.values)}
    weights = dict(constraint.terms)
    low, high = constraint.lower, constraint.upper

    def holds(*values: Hashable) -> bool:
        candidates = (number[value] * layout.cells + cell for value, cell in zip(values, cells, strict=False))
        total = sum(weights.get(candidate, 0) for candidate in candidates)
        return (low is None or total >= low) and (high is None or total <= high)

    holds.__doc__ = constraint.name
    return holds
