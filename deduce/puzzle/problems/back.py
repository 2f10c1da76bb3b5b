"""A position of a problem as a python-constraint problem again."""

from __future__ import annotations

from collections.abc import Callable
from copy import copy
from typing import TYPE_CHECKING, Any

from deduce.errors import ProblemError
from deduce.kernel import Constraint
from deduce.positions import bits
from deduce.puzzle.problems.layout import ProblemLayout

if TYPE_CHECKING:
    from constraint import Problem

__all__ = ["as_function", "rebuilt"]


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
    number = {value: digit for digit, value in enumerate(layout.values)}
    for _, cells, _ in layout.groups:
        problem.addConstraint(AllDifferentConstraint(), [layout.variables[cell] for cell in cells])
    for part in layout.parts:
        for constraint in part.constraints:
            holds, scope = as_function(constraint, layout.cells, lambda value: number[value])
            # A constraint over nothing is put on all variables, which is what an empty scope means there.
            problem.addConstraint(FunctionConstraint(holds), [layout.variables[cell] for cell in scope])
    return problem


def as_function(
    constraint: Constraint, cells: int, digit: Callable[[Any], int]
) -> tuple[Callable[..., bool], list[int]]:
    """Return a linear constraint as a function of the values of its cells, and these cells.

    Parameters
    ----------
    constraint : Constraint
        Over the candidates of a layout.
    cells : int
        How many cells the layout has.
    digit : callable
        From a value to the number of its digit, from 0.
    """
    weights = dict(constraint.terms)
    low, high = constraint.lower, constraint.upper
    scope = sorted({candidate % cells for candidate in weights})

    def holds(*values: Any) -> bool:
        total = sum(weights.get(digit(value) * cells + cell, 0) for value, cell in zip(values, scope, strict=False))
        return (low is None or total >= low) and (high is None or total <= high)

    holds.__doc__ = constraint.name
    return holds, scope
