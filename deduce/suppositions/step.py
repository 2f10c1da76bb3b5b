"""The next step of a walk when every named pattern is exhausted."""

from __future__ import annotations

from collections.abc import Collection
from enum import StrEnum

from deduce.counting.meter import Meter, allowance
from deduce.counting.names import NAMES
from deduce.counting.shapes import proof_of
from deduce.counting.system import first_fault
from deduce.kernel import Argument, Inference, Position
from deduce.links.statements import statements_of
from deduce.proof import Proof
from deduce.puzzle.grid import Grid
from deduce.suppositions.ahead import plan_ahead
from deduce.suppositions.refit import refitted

__all__ = ["Ending", "next_proof"]


class Ending(StrEnum):
    """How a search for the next step ended."""

    FOUND = "found"
    NONE = "none exists"
    BUDGET_SPENT = "budget spent"


def next_proof(
    grid: Grid,
    *,
    names: Collection[str] = NAMES,
    budget: int | Meter | None = None,
    memory: list[Argument] | None = None,
) -> tuple[Proof | None, Ending]:
    """Find a counting argument or a supposition that takes a position further.

    Parameters
    ----------
    grid : Grid
        The position.
    names : collection of str
        Which of `deduce.counting.NAMES` may be used.
    budget : int or Meter, optional
        How many suppositions may be tried and linear programs solved; a `Meter` is shared by several calls.  By default
        fewer the larger a grid is, and at order 9 more than the hardest puzzles take (see
        :func:`deduce.counting.meter.allowance`).
    memory : list of Argument, optional
        What was planned ahead and is still to come, updated in place.  Give the same list, empty at first, for each
        position of a walk, and only for positions of that walk.

    Returns
    -------
    Proof or None
        The step; what it concludes is open in the position.
    Ending
        `FOUND`; `NONE` if no sum concludes anything and no supposition of one candidate breaks down, with or without
        suppositions under it; `BUDGET_SPENT` if the budget ended the search before that was known.

    Notes
    -----
    The way from the position to its solution is planned ahead, by the least size of each deduction, and pruned to what
    the solution rests on (see :func:`plan_ahead`); its steps are then given out one by one.  Of a large sum
    and a supposition with a short refutation the smaller one is planned.  A step that is no longer of use, because a
    pattern has concluded the same meanwhile, is passed over.

    Examples
    --------
    >>> grid = Grid.parse("12.. 3... .... ...1")
    >>> proof, outcome = next_proof(grid)
    >>> print(proof.pattern.name, proof.conclusion(), outcome.value, sep=", ")
    naked single, +4r2c2, found
    """
    position = Position(grid.live, grid.true)
    statements = statements_of(grid.model)
    fault = first_fault(grid.model, position)
    if fault is not None:
        return proof_of(grid, Inference(fault)), Ending.FOUND
    waiting = [] if memory is None else memory
    meter = budget if isinstance(budget, Meter) else Meter(allowance(grid.model) if budget is None else budget)
    for planned in (False, True):
        if planned:
            waiting += plan_ahead(statements, position, names, meter, grid.layout)
        while waiting:
            inference = refitted(statements, position, waiting.pop(0))
            if inference is not None:
                return proof_of(grid, inference), Ending.FOUND
    return None, Ending.BUDGET_SPENT if meter.spent else Ending.NONE
