"""Questions about one position: everything that counting reaches, the least argument, the least one for a candidate."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import islice
from math import inf

from deduce.counting.costs import Cost, cost_named
from deduce.counting.least import NODES, Least, Searcher, least_on_board
from deduce.counting.reach import Scan, counting_reach
from deduce.counting.shapes import proof_of
from deduce.counting.system import System, faults
from deduce.deadline import Cancel, within
from deduce.errors import BudgetSpent, OutOfTime
from deduce.kernel import Counting, Position
from deduce.links.statements import statements_of
from deduce.patterns.catalogue import PLAIN, find
from deduce.positions import conclusions
from deduce.proof import Candidate, Proof
from deduce.puzzle.grid import Grid
from deduce.solving.propagation import witness

__all__ = ["Eliminations", "eliminations", "simplest", "smallest"]

_FIRST = 8
"""How many deductions of the patterns are priced before the search for the least argument."""

_SEARCH = "the search for the least argument"

_LEVELS = (4, 9, 18, 36)
"""Prices below which an argument is sought first where rules have totals.  Under a low one few candidates are in
question; under a high one, such as that of what the cells of a house come to, each takes its time, since large weights
leave wide gaps between bound and answer.  Without totals prices are low to begin with."""


@dataclass(frozen=True, slots=True)
class Eliminations:
    """Everything that counting arguments conclude in a position.

    Parameters
    ----------
    false, true : tuple of Candidate
        The candidates that some counting argument eliminates, and those that one places.
    proofs : tuple of Proof
        Each holds in the position by itself; between them they conclude all of this.  In a contradictory position the
        only one is the contradiction, and nothing is listed as false or true.
    complete : bool
        Whether this is all that counting reaches; otherwise the budget was spent.
    """

    false: tuple[Candidate, ...]
    true: tuple[Candidate, ...]
    proofs: tuple[Proof, ...]
    complete: bool = True


def eliminations(grid: Grid, *, budget: int | None = None) -> Eliminations:
    """Find every candidate that some counting argument eliminates or places.

    Parameters
    ----------
    grid : Grid
        The position.
    budget : int, optional
        How many linear programs may be solved; by default as many as it takes.

    Returns
    -------
    Eliminations
        The candidates and proofs for them.  The proofs are the solver's, not the smallest; see :func:`smallest`.

    Notes
    -----
    Complete: whatever singles, subsets, fish, wings, chains, loops and almost locked sets conclude one at a time is
    among it, since they all are counting arguments.  See :func:`deduce.counting.reach.reach` for how and why.

    Examples
    --------
    >>> found = eliminations(Grid.parse("12.. 3... .... ...1"))
    >>> len(found.true), len(found.false)
    (5, 8)
    """
    found = counting_reach(grid.model, Position(grid.live, grid.true), budget)
    proofs = tuple(proof_of(grid, inference) for inference in found.inferences)
    return Eliminations(_named(grid, found.false), _named(grid, found.true), proofs, found.complete)


def simplest(
    grid: Grid,
    *,
    cost: str = "constraints",
    budget: int = NODES,
    seconds: float | None = None,
    cancel: Cancel | None = None,
) -> Proof | None:
    """Return a counting argument of least cost on the whole board, proved least.

    Parameters
    ----------
    grid : Grid
        The position.
    cost : str
        ``"constraints"``: each use of a base or a cover counts 1.  ``"people"``: as a base a cell counts 2 and a digit
        in a house 3, as a cover anything counts 1, and each different digit adds 2.
    budget : int
        How many branchings the search for whole weights may take for one candidate before HiGHS' own search takes over,
        which is given up to five times as many, fewer on a large board and none on a very large one.
    seconds : float, optional
        How long it may take by the clock.
    cancel : callable, optional
        Asked now and then; the search ends once it returns True.

    Returns
    -------
    Proof or None
        None if no counting argument concludes anything.  ``proof.proved_smallest`` says whether the solver has shown
        that there is no cheaper argument; it is false only if the budget was spent or the time was over.  In a
        contradictory position it is the cheapest contradiction, which settles everything, whatever there is that costs
        less and concludes less.

    Raises
    ------
    ValueError
        If no cost has that name, or the budget is negative.
    BudgetSpent
        If the search stopped (`OutOfTime`, where the clock stopped it) before it found an argument, and no pattern
        sees one.

    Examples
    --------
    >>> proof = simplest(Grid.parse("12.. 3... .... ...1"))
    >>> print(proof, proof.proved_smallest)
    hidden single: +1r2c3 True
    """
    if budget < 0:
        raise ValueError(f"budget is {budget}; give how many branchings the search may take, 0 or more")
    measure = cost_named(cost, grid.model, grid.layout)
    seen: Least | None = None
    try:
        with within(seconds, cancel):
            fault = _fault(grid, measure)
            seen = fault or _seen(grid, measure)
            return _proof(grid, _simplest(grid, measure, budget, fault, seen), budget)
    except OutOfTime:
        if seen is None:
            raise
        return _proof(grid, replace(seen, proved=False), budget)


def _simplest(grid: Grid, measure: Cost, budget: int, fault: Least | None, seen: Least | None) -> Least | None:
    """Return the least argument on the board; what the patterns see at once bounds its price."""
    position = Position(grid.live, grid.true)
    statements, system = statements_of(grid.model), System(grid.model, position)
    if fault is not None or not Scan(system).feasible():
        return _cheaper(Searcher(system, measure, budget).least({}, fault.cost if fault else inf), fault)
    solution = witness(statements, position)
    # Most candidates are never asked about.  The solver works with tolerances: should it then find nothing, it is asked
    # again without the bound.
    most = seen.cost + 1 if seen else inf
    found = None
    for below in (limit for limit in _LEVELS if limit < most and not all(statements.plain)):
        found = least_on_board(system, measure, below=below, nodes=budget, solution=solution)
        if found is not None:
            break
    if found is None or found.argument is None:
        found = least_on_board(system, measure, below=most, nodes=budget, solution=solution)
    if found is None and most < inf:
        found = least_on_board(system, measure, nodes=budget, solution=solution)
    return _cheaper(found, seen) if found else seen


def _cheaper(found: Least | None, known: Least | None) -> Least | None:
    """Return what a search below the price of a known argument found, or that argument if it is left the cheapest."""
    if known is None or (found is not None and found.argument is not None):
        return found
    return replace(known, proved=found is None, bound=known.cost if found is None else found.bound)


def _fault(grid: Grid, measure: Cost) -> Least | None:
    """Return the cheapest constraint that the position by itself makes impossible to meet, or None."""
    arguments = faults(grid.model, Position(grid.live, grid.true))
    found = [Least(argument, measure.of(argument), proved=False, bound=1) for argument in arguments]
    return min(found, key=lambda least: least.cost, default=None)


def _seen(grid: Grid, measure: Cost) -> Least | None:
    """Return the cheapest of the first counting arguments that a pattern makes, or None if none does."""
    first = islice(find(grid, PLAIN), _FIRST)
    arguments = [inference.argument for proof in first for inference in proof.inferences]
    position = Position(grid.live, grid.true)
    found = [
        Least(argument, measure.of(argument), proved=False, bound=1)
        for argument in arguments
        if isinstance(argument, Counting) and conclusions(grid.model, position, argument)
    ]
    return min(found, key=lambda least: least.cost, default=None)


def smallest(grid: Grid, candidate: Candidate | str, *, cost: str = "constraints", budget: int = NODES) -> Proof | None:
    """Return a counting argument of least cost that eliminates or places one candidate, proved least.

    Parameters
    ----------
    grid : Grid
        The position.
    candidate : Candidate or str
        An open candidate, such as ``"5r4c7"``.
    cost, budget
        As for :func:`simplest`.

    Returns
    -------
    Proof or None
        None if no counting argument settles the candidate, although chains of several steps or suppositions might.  It
        concludes whatever else its sum proves, too.  In a contradictory position it may be the contradiction.

    Raises
    ------
    ValueError
        If the candidate is not open, or no cost has that name.
    GridError
        If the layout has no such candidate.
    BudgetSpent
        If the search stopped before it found an argument.

    Examples
    --------
    >>> print(smallest(Grid.parse("12.. 3... .... ...1"), "1r3c2"))
    hidden single: +1r3c2
    """
    measure = cost_named(cost, grid.model, grid.layout)
    number = grid.number(candidate)
    position = Position(grid.live, grid.true)
    system = System(grid.model, position)
    if number not in system.column:
        raise ValueError(f"{candidate} is not open; ask about a candidate that is neither placed nor ruled out")
    searcher = Searcher(system, measure, budget)
    column = system.column[number]
    fault = _fault(grid, measure)
    best: Least | None = None
    below, doubt = fault.cost + 1 if fault else inf, inf
    # A contradictory position shows both that a candidate is false and that it is true.
    for sign in (1, -1):
        found = searcher.least({column: sign}, best.cost if best else below)
        if found is not None and not found.proved:
            doubt = min(doubt, found.bound)
        if found is not None and found.argument is not None:
            best = found
    best = best or fault
    if best is not None:
        best = replace(best, proved=doubt >= best.cost, bound=int(min(doubt, best.cost)))
    elif doubt < inf:
        raise BudgetSpent(_SEARCH, budget, "branchings")
    return _proof(grid, best, budget)


def _proof(grid: Grid, found: Least | None, budget: int) -> Proof | None:
    """Return the proof of a least argument."""
    if found is None:
        return None
    if found.argument is None:
        raise BudgetSpent(_SEARCH, budget, "branchings")
    inference = conclusions(grid.model, Position(grid.live, grid.true), found.argument)
    if inference is None:  # pragma: no cover - the search has verified it
        return None
    return proof_of(grid, inference, proved_smallest=found.proved)


def _named(grid: Grid, mask: int) -> tuple[Candidate, ...]:
    """Return the candidates of a bitset."""
    return tuple(grid.candidate(number) for number in range(mask.bit_length()) if mask >> number & 1)
