"""Whether a claim is true: judged by the solutions of the puzzle, never by an argument."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from deduce.errors import BudgetSpent
from deduce.kernel import Position, place
from deduce.positions import bits
from deduce.puzzle.grid import Grid
from deduce.solving.search import solutions
from deduce.solving.uniqueness import puzzle_of

__all__ = ["NODES", "Count", "SolutionFacts", "Truth", "facts_of", "puzzle_of", "truth_of"]

NODES = 100_000
"""How many positions each search for a solution may branch on, unless a caller says otherwise."""


class Count(StrEnum):
    """How many solutions there are."""

    NONE = "none"
    ONE = "one"
    MANY = "many"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class SolutionFacts:
    """What is known about the solutions of a puzzle.

    Parameters
    ----------
    puzzle : Grid
        The givens alone.
    solutions : tuple of Grid
        At most two of them, in the order of :func:`deduce.solutions`.
    count : Count
        `UNKNOWN` if the budget was spent before the second one, or the absence of one, was found.
    budget : int
        How many positions each search may branch on.
    """

    puzzle: Grid
    solutions: tuple[Grid, ...]
    count: Count
    budget: int

    @property
    def solution(self) -> Grid | None:
        """The only solution, if it is known that there is just one."""
        return self.solutions[0] if self.count is Count.ONE else None

    def lost(self, grid: Grid) -> tuple[int, ...]:
        """Return the candidates of the only solution that a position rules out, ascending; empty if it is in order."""
        return tuple(bits(self.solution.true & ~grid.live)) if self.solution else ()


@dataclass(frozen=True, slots=True)
class Truth:
    """Whether everything that is claimed holds in every solution.

    Parameters
    ----------
    holds : bool or None
        None if that is not known: the budget was spent, or there is no solution at all.
    false : tuple of int
        The claimed candidates of which the opposite holds in some solution.
    counter : Grid, optional
        A solution in which the first of them fails.
    """

    holds: bool | None
    false: tuple[int, ...] = ()
    counter: Grid | None = None


def facts_of(grid: Grid, budget: int = NODES) -> SolutionFacts:
    """Look for two solutions of the puzzle behind a position."""
    puzzle = puzzle_of(grid)
    found: list[Grid] = []
    try:
        found.extend(solutions(puzzle, 2, budget=budget))
    except BudgetSpent:
        return SolutionFacts(puzzle, tuple(found), Count.UNKNOWN, budget)
    return SolutionFacts(puzzle, tuple(found), (Count.NONE, Count.ONE, Count.MANY)[len(found)], budget)


def truth_of(grid: Grid, facts: SolutionFacts, eliminates: Iterable[int], places: Iterable[int]) -> Truth:
    """Say whether candidates are false, or true, in every solution.

    Parameters
    ----------
    grid : Grid
        The position.
    facts : SolutionFacts
        What is known of its puzzle.
    eliminates, places : iterable of int
        The candidates claimed to be false, and those claimed to be true.

    Notes
    -----
    A puzzle with one solution is judged by it, whatever the position says.  Otherwise the claim is denied in the
    position, one candidate at a time, and a solution sought: "false" is true exactly if no solution has the candidate.
    A position without a solution is passed over for its puzzle.
    """
    wanted = [*((c, True) for c in eliminates), *((c, False) for c in places)]
    if facts.solution is not None:
        true = facts.solution.true
        false = tuple(sorted(c for c, denied in wanted if (true >> c & 1) == denied))
        return Truth(not false, false, facts.solution if false else None)
    if facts.count is Count.NONE:
        return Truth(None)
    base = grid
    unknown = False
    false_: list[int] = []
    counter = None
    try:
        if not list(solutions(grid, 1, budget=facts.budget)):
            base = facts.puzzle
    except BudgetSpent:
        return Truth(None)
    for candidate, denied in wanted:
        try:
            found = _denied(base, candidate, true=denied, budget=facts.budget)
        except BudgetSpent:
            unknown = True
            continue
        if found is not None:
            false_.append(candidate)
            counter = counter or found
    if false_:
        return Truth(False, tuple(sorted(false_)), counter)
    return Truth(None if unknown else True)


def _denied(grid: Grid, candidate: int, *, true: bool, budget: int) -> Grid | None:
    """Return a solution in which a candidate is true, or one in which it is not."""
    bit, position = 1 << candidate, Position(grid.live, grid.true)
    if not grid.live & bit if true else grid.true & bit:
        return None
    denied = place(grid.model, position, candidate) if true else Position(grid.live & ~bit, grid.true)
    return next(solutions(grid.moved(denied), 1, budget=budget), None)
