"""The sizes of the smallest arguments where a walk found it hardest, by the search of `deduce.counting`."""

from __future__ import annotations

from deduce.kernel import Position, check
from deduce.proof import Pattern, Proof, conclude
from deduce.puzzle.grid import Grid
from deduce.surveys.ranks import hardest_of
from deduce.surveys.sweep import Explorer, SurveyedWalk
from deduce.walks.walk import Outcome

__all__ = ["smallest"]


def smallest(explorer: Explorer, course: SurveyedWalk) -> tuple[int | None, int | None, int]:
    """Return how large the smallest counting arguments are at the hardest step of a walk, and where it is stuck.

    Parameters
    ----------
    explorer : Explorer
        The walks of the puzzle.
    course : SurveyedWalk
        The walk.

    Returns
    -------
    int or None
        The size of the smallest argument in the position before the hardest step: how many constraints it adds up,
        each use counted.  None if the walk has no step.
    int or None
        The same where the walk is stuck; None if it is not, or if no counting argument concludes anything there.
    int
        1 if both are proved smallest, 0 if the search for one of them ran out of its budget.
    """
    at = hardest_of(course.moves)
    before = None
    if at is not None:
        before = explorer.start if at == 0 else course.moves[at - 1].after
    stuck = course.end if course.outcome is Outcome.STUCK else None
    hardest, sure = _size(None if before is None else before.grid)
    further, also_sure = _size(None if stuck is None else stuck.grid)
    return hardest, further, int(sure and also_sure)


def _size(grid: Grid | None) -> tuple[int | None, bool]:
    """Return the size of the smallest argument in a position, and whether it is proved smallest."""
    if grid is None:
        return None, True
    # HiGHS and numpy are loaded only by those surveys that ask for it.
    from deduce.counting.costs import cost_named
    from deduce.counting.least import least_on_board
    from deduce.counting.system import System

    system = System(grid.model, Position(grid.live, grid.true))
    found = least_on_board(system, cost_named("constraints", grid.model, grid.layout))
    if found is None:
        return None, True
    if found.argument is None:
        return None, False
    check(grid, Proof(grid, conclude(grid, [found.argument]), Pattern("counting argument")))
    return found.cost, found.proved
