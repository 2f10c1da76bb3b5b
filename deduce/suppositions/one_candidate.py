"""The least to read that proves one given candidate false, in the position itself."""

from __future__ import annotations

from math import inf

from deduce.counting.ask import simplest, smallest
from deduce.counting.meter import Meter
from deduce.counting.shapes import proof_of
from deduce.errors import BudgetSpent
from deduce.kernel import Inference, Position, Supposition
from deduce.links.statements import statements_of
from deduce.proof import Candidate, Proof
from deduce.puzzle.grid import Grid
from deduce.suppositions.choices import supposition
from deduce.suppositions.search import Search, order
from deduce.suppositions.step import Ending
from deduce.suppositions.trail import size_of

__all__ = ["TRIALS", "proofs_by_counting", "refute", "settle"]

TRIALS = 400
"""How many linear programs may be solved for one candidate: half a second or so on a grid of order 9."""

SHORT = 12
"""A sum of at most this effort is told as it is; beside a larger one a supposition may be less to read."""

BRANCHINGS = 400
"""How many branchings the search for the smallest sum may take."""


def settle(grid: Grid, candidate: Candidate | str, *, budget: int = TRIALS) -> tuple[Proof | None, Ending]:
    """Prove in one position that a candidate is false, or that it is true, by whatever is least to read.

    Parameters
    ----------
    grid : Grid
        The position.
    candidate : Candidate or str
        An open candidate, such as ``"5r4c7"``.
    budget : int
        How many linear programs may be solved.

    Returns
    -------
    Proof or None
        A smallest counting argument or, if that is long or there is none, the supposition of the candidate and the
        contradiction that it leads to, should this be less to read.  It may conclude more than was asked.
    Ending
        `FOUND`; `NONE` if no sum settles the candidate and what follows from it does not break down; `BUDGET_SPENT` if
        the search was cut off before that was known.

    Raises
    ------
    ValueError
        If the candidate is not open.
    GridError
        If the layout has no such candidate.

    Examples
    --------
    >>> proof, outcome = settle(Grid.parse("12.. 3... .... ...1"), "2r2c3")
    >>> print(proof.conclusion(), outcome.value)
    -2r2c3 -4r2c3 found
    """
    if budget <= 0:
        return None, Ending.BUDGET_SPENT
    spent = False
    try:
        counted = smallest(grid, candidate, budget=min(budget, BRANCHINGS))
    except BudgetSpent:
        counted, spent = None, True
    if counted is not None and counted.effort <= SHORT:
        return counted, Ending.FOUND
    supposed, outcome = refute(grid, grid.number(candidate), budget=budget)
    best = min(filter(None, (counted, supposed)), key=lambda proof: proof.effort, default=None)
    if best is not None:
        return best, Ending.FOUND
    return None, Ending.BUDGET_SPENT if spent else outcome


def refute(grid: Grid, candidate: int, *, budget: int = TRIALS) -> tuple[Proof | None, Ending]:
    """Prove that a candidate is false by what follows from it: the shortest of a few ways that were tried.

    Parameters
    ----------
    grid : Grid
        The position.
    candidate : int
        The number of an open candidate.
    budget : int
        How many linear programs may be solved.

    Returns
    -------
    Proof or None
        The supposition.
    Ending
        As for :func:`settle`.

    Notes
    -----
    Singles, locked candidates and chains are followed to the end, then chains over groups and almost locked sets, in
    two orders, and only if none of these breaks down, sums.
    """
    position = Position(grid.live, grid.true)
    statements = statements_of(grid.model)
    meter = Meter(budget)
    search = Search(statements, position, meter, grid.layout)
    if search.solution >> candidate & 1:
        return None, Ending.NONE
    best: Supposition | None = None
    limit = inf
    ways = [((), False)] + ([(search.chains, False), (search.chains, True)] if search.chains else [])
    for sources, together in ways:
        found = supposition(statements, position, candidate, sources, limit, together=together)
        if found is not None:
            best, limit = found, size_of(found) - 1.0
    if best is None:
        best = supposition(statements, position, candidate, (*search.chains, search.simplest_sums), limit)
    if best is None:
        return None, Ending.BUDGET_SPENT if meter.spent else Ending.NONE
    return proof_of(grid, Inference(best, (candidate,))), Ending.FOUND


def proofs_by_counting(grid: Grid, *, budget: int = 4 * TRIALS) -> tuple[Proof, ...]:
    """Return proofs by counting in a position in which every pattern is exhausted.

    Parameters
    ----------
    grid : Grid
        The position.
    budget : int
        How many suppositions may be tried and linear programs solved.

    Returns
    -------
    tuple of Proof
        An argument of the fewest constraints on the whole board, and the shortest of the suppositions that were found
        to break down; either may be missing.
    """
    position = Position(grid.live, grid.true)
    meter = Meter(budget)
    search = Search(statements_of(grid.model), position, meter, grid.layout)
    try:
        found = [simplest(grid)]
    except BudgetSpent:
        found = []
    supposed = [*search.refuted(position), *search.refuted_by_set_chains(position, inf)]
    if supposed:
        best = min(supposed, key=order)
        found.append(proof_of(grid, Inference(best, (best.candidate,))))
    return tuple(proof for proof in found if proof is not None)
