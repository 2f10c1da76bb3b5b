"""Conflict: which constraints of a problem cannot hold together, as few as are found, and why."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from deduce.counting import eliminations
from deduce.errors import BudgetSpent
from deduce.kernel import Counting, check
from deduce.proof import Proof
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout
from deduce.solving.search import solutions
from deduce.walks.walk import Outcome, Step, Walk, walk
from deduce.window import ShownConflict

__all__ = ["NODES", "Conflict", "conflict"]

_Keeping = Callable[[frozenset[int]], Layout]
"""What makes a problem of some of the constraints of another."""

NODES = 100_000
"""How many positions each search for a solution may branch on, unless a caller says otherwise."""


@dataclass(frozen=True, slots=True)
class Conflict(ShownConflict):
    """Constraints of a problem that cannot hold together.

    Parameters
    ----------
    numbers : tuple of int
        Which constraints, from 1 in the order in which they were added; empty if the domains alone are at fault.
    titles : tuple of str
        Their names.
    minimal : bool
        Whether any one of them can be left out and the rest has a solution; False if a search for one ran out of
        budget.
    grid : Grid
        The problem with these constraints and no others.
    walk : Walk
        From that grid to the contradiction, with checked proofs.
    """

    numbers: tuple[int, ...]
    titles: tuple[str, ...]
    minimal: bool
    grid: Grid
    walk: Walk

    def __str__(self) -> str:
        return f"{len(self.numbers)} constraints conflict: {'; '.join(self.titles)}"


def conflict(grid: Grid, *, budget: int = NODES) -> Conflict | None:
    """Find a small set of constraints that cannot hold together.

    Parameters
    ----------
    grid : Grid
        On the layout of a problem; what has been ruled out or placed since takes no part.
    budget : int
        How many positions each search for a solution may branch on.

    Returns
    -------
    Conflict or None
        None if the problem has a solution.

    Raises
    ------
    BudgetSpent
        If neither a solution nor a contradiction was found within the budget.
    TypeError
        If the grid is not one of a problem.

    Notes
    -----
    Constraints are left out one by one as long as the rest has no solution: from the first to the last, from the last
    to the first, and once more within those that a contradictory sum uses, if there is one.  The smallest set is
    returned.  None of its members can be left out, yet there may be a smaller set elsewhere.

    Examples
    --------
    >>> from constraint import MaxSumConstraint, MinSumConstraint, Problem
    >>> problem = Problem()
    >>> problem.addVariables(["bread", "rolls"], [1, 2, 3])
    >>> problem.addConstraint(MinSumConstraint(5), ["bread", "rolls"])
    >>> problem.addConstraint(MaxSumConstraint(9))
    >>> problem.addConstraint(MaxSumConstraint(1), ["rolls"])
    >>> print(conflict(Grid.from_problem(problem)))
    2 constraints conflict: bread + rolls >= 5; rolls <= 1
    """
    problem = grid.layout.problem
    if problem is None:
        raise TypeError("conflicts are found among the constraints of a problem; ask a grid for its status()")
    keeping = problem.keeping
    every = frozenset(problem.titles)
    if next(solutions(Grid.empty(problem), 1, budget=budget), None) is not None:
        return None
    orders = [sorted(every), sorted(every, reverse=True)]
    proof = _contradictory_sum(Grid.empty(problem)) if problem.described else None
    used = frozenset(n for number in _constraints(proof) for n in problem.sources(number)) & every
    if used and used != every and _solvable(keeping, used, budget) is False:
        orders.append(sorted(used))
    found = [_reduced(keeping, frozenset(order), order, budget) for order in orders]
    kept, minimal = min(found, key=lambda item: (len(item[0]), not item[1], sorted(item[0])))
    numbers = tuple(sorted(kept))
    core = Grid.empty(keeping(kept))
    return Conflict(numbers, tuple(problem.titles[n] for n in numbers), minimal, core, _refuted(core))


def _solvable(keeping: _Keeping, kept: frozenset[int], budget: int) -> bool | None:
    """Whether some of the constraints have a solution; None if that was not found within the budget."""
    try:
        return next(solutions(Grid.empty(keeping(kept)), 1, budget=budget), None) is not None
    except BudgetSpent:
        return None


def _reduced(keeping: _Keeping, kept: frozenset[int], order: Sequence[int], budget: int) -> tuple[frozenset[int], bool]:
    """Leave out constraints in an order as long as the rest has no solution; say whether all searches ended."""
    minimal = True
    for number in order:
        solvable = _solvable(keeping, kept - {number}, budget)
        minimal = minimal and solvable is not None
        kept = kept - {number} if solvable is False else kept
    return kept, minimal


def _constraints(proof: Proof | None) -> Iterable[int]:
    """Yield the constraints that the counting arguments of a proof use, if there is one."""
    for inference in proof.inferences if proof else ():
        if isinstance(inference.argument, Counting):
            for number, _ in (*inference.argument.bases, *inference.argument.covers):
                yield number


def _contradictory_sum(grid: Grid) -> Proof | None:
    """Return a sum that no filling meets, as short as leaving out makes it; None if there is none."""
    found = eliminations(grid).proofs
    return found[0].shrink() if found and found[0].contradiction else None


def _refuted(core: Grid) -> Walk:
    """Return a walk to the contradiction: one sum if that is enough, otherwise the steps that it needs."""
    proof = _contradictory_sum(core)
    if proof is not None:
        checked = check(core, proof)
        return Walk(core, (Step(core, proof, core, checked),), Outcome.IMPOSSIBLE, (proof.pattern.name,))
    return walk(core).prune()
