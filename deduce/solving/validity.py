"""Whether a puzzle is one: how many solutions, which clues could go, which clues conflict."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from deduce.deadline import Cancel, within
from deduce.envelope import enveloped
from deduce.errors import BudgetSpent
from deduce.kernel import Position
from deduce.positions import bits
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout
from deduce.solving.hitting import smallest_hitting
from deduce.solving.search import solutions
from deduce.solving.truth import NODES, Count, facts_of, puzzle_of
from deduce.window import ShownValidity

__all__ = ["CHECKS", "ClueConflict", "Validity", "validity"]

CHECKS = 2_000
"""How many sets of clues are searched for a solution before the smallest conflict counts as not found."""


@dataclass(frozen=True, slots=True)
class ClueConflict:
    """Clues that have no solution together.

    Parameters
    ----------
    clues : tuple of int
        Candidates, ascending.  Without any one of them the others have a solution.
    smallest : bool
        Whether it is proved that no conflicting set has fewer clues.
    at_least : int
        How many clues every conflicting set has, as far as that is proved.
    """

    clues: tuple[int, ...]
    smallest: bool
    at_least: int


@dataclass(frozen=True, slots=True)
class Validity(ShownValidity):
    """What can be said of a puzzle as such.

    Parameters
    ----------
    grid : Grid
        The puzzle: its givens alone.
    count : Count
        How many solutions it has.
    solutions : tuple of Grid
        At most two of them.
    differ : tuple of int
        The cells in which the two differ.
    redundant : tuple of int
        For a puzzle with one solution the clues each of which could be left out alone.
    spare : tuple of int
        Some of these that could be left out together, so that no further one could; chosen in reading order.
    conflict : ClueConflict, optional
        For a puzzle without solution, a set of clues that conflict.
    """

    grid: Grid
    count: Count
    solutions: tuple[Grid, ...] = ()
    differ: tuple[int, ...] = ()
    redundant: tuple[int, ...] = ()
    spare: tuple[int, ...] = ()
    conflict: ClueConflict | None = None

    def to_dict(self) -> dict[str, Any]:
        """Return the findings as plain data."""
        names, layout = self.grid.model.names, self.grid.layout
        told: dict[str, Any] = {
            "clues": self.grid.givens.bit_count(),
            "solutions": self.count.value,
            "found": [solution.line() for solution in self.solutions],
            "differ": [layout.cell_name(cell) for cell in self.differ],
            "redundant": [names[c] for c in self.redundant],
            "spare": [names[c] for c in self.spare],
            "findings": [finding.sentence for finding in self.grid.status()],
        }
        if self.conflict is not None:
            told["conflict"] = {
                "clues": [names[c] for c in self.conflict.clues],
                "smallest": self.conflict.smallest,
                "at_least": self.conflict.at_least,
            }
        return told

    def to_json(self) -> str:
        """Return the findings as JSON text."""
        return enveloped("status", self.to_dict())


def validity(
    grid: Grid, *, budget: int = NODES, checks: int = CHECKS, seconds: float | None = None, cancel: Cancel | None = None
) -> Validity:
    """Say how many solutions a puzzle has, and what is wrong or superfluous about its clues.

    Parameters
    ----------
    grid : Grid
        The puzzle; of a position its givens are looked at, and if it has none, its placed digits.
    budget : int
        How many positions each search for a solution may branch on.
    checks : int
        How many sets of clues may be searched for a solution in pursuit of the smallest conflict.
    seconds : float, optional
        How long it may take by the clock.
    cancel : callable, optional
        Asked now and then; the search ends once it returns True.

    Returns
    -------
    Validity
        With `UNKNOWN` as count, and nothing about clues, if budget or time do not suffice.

    Notes
    -----
    The smallest conflict is found from both sides: every conflicting set must meet the complement of each solvable set
    of clues, so the fewest clues that meet all complements seen so far are tried; if they have a solution, it yields a
    new complement, else they are a smallest conflict. [1]_

    References
    ----------
    .. [1] A. Ignatiev, A. Previti, M. Liffiton, J. Marques-Silva, "Smallest MUS extraction with minimal hitting set
       dualization", CP 2015.

    Examples
    --------
    >>> found = validity(Grid.parse("1... .... ..1. ...1"))
    >>> found.count.value, [found.grid.model.names[c] for c in found.conflict.clues], found.conflict.smallest
    ('none', ['1r3c3', '1r4c4'], True)
    """
    puzzle = puzzle_of(grid)
    with within(seconds, cancel):
        return _validity(puzzle, bits(puzzle.givens or puzzle.true), budget, checks)


def _validity(puzzle: Grid, clues: list[int], budget: int, checks: int) -> Validity:
    facts = facts_of(puzzle, budget)
    if facts.count is Count.NONE:
        return Validity(puzzle, facts.count, conflict=_conflict(puzzle.layout, clues, budget, checks))
    if facts.count is Count.MANY:
        one, other = facts.solutions
        cells = {c % puzzle.layout.cells for c in bits(one.true ^ other.true)}
        return Validity(puzzle, facts.count, facts.solutions, tuple(sorted(cells)))
    if facts.solution is None:
        return Validity(puzzle, facts.count, facts.solutions)
    try:
        redundant = tuple(c for c in clues if _follows(puzzle.layout, clues, c, budget))
        kept = list(clues)
        for clue in redundant:
            if _follows(puzzle.layout, kept, clue, budget):
                kept.remove(clue)
    except BudgetSpent:
        return Validity(puzzle, facts.count, facts.solutions)
    spare = tuple(c for c in clues if c not in kept)
    return Validity(puzzle, facts.count, facts.solutions, (), redundant, spare)


def _follows(layout: Layout, clues: Iterable[int], clue: int, budget: int) -> bool:
    """Whether a clue follows from the others: no solution of theirs is without it."""
    others = Grid.from_numbers(layout, [c for c in clues if c != clue])
    denied = others.moved(Position(others.live & ~(1 << clue), others.true))
    return next(solutions(denied, 1, budget=budget), None) is None


class _Oracle:
    """Says of sets of clues whether they have a solution, counting how often it was asked."""

    def __init__(self, layout: Layout, budget: int, checks: int) -> None:
        self.layout = layout
        self.budget = budget
        self.left = checks

    def solution(self, clues: Iterable[int]) -> Grid | None:
        """Return a solution that has all these clues, or None; `BudgetSpent` once nothing more may be asked."""
        if not self.left:
            raise BudgetSpent("the search for conflicting clues", 0, "sets of clues")
        self.left -= 1
        return next(solutions(Grid.from_numbers(self.layout, clues), 1, budget=self.budget), None)


def _conflict(layout: Layout, clues: Sequence[int], budget: int, checks: int) -> ClueConflict | None:
    """Return a smallest conflicting set of clues, or a set from which none can go if the searches run out."""
    oracle = _Oracle(layout, budget, checks)
    for i, one in enumerate(clues):
        for other in clues[i + 1 :]:
            if layout.peers[one] >> other & 1:
                # Where there is a solution at all, renaming its digits gives one with any single clue.
                try:
                    smallest = oracle.solution(()) is not None
                except BudgetSpent:
                    smallest = False
                return ClueConflict((one, other), smallest, 2 if smallest else 0)
    bound = 0
    complements: list[int] = []
    best = _irreducible(oracle, clues)
    try:
        while True:
            chosen = smallest_hitting(len(clues), complements, len(best) if best else len(clues))
            if chosen is None:
                return ClueConflict(tuple(best), True, len(best)) if best else None
            bound = max(bound, chosen.bit_count())
            solution = oracle.solution(clues[i] for i in bits(chosen))
            if solution is None:
                return ClueConflict(tuple(clues[i] for i in bits(chosen)), True, bound)
            complements.append(_complement(oracle, clues, chosen, solution))
    except BudgetSpent:
        return ClueConflict(tuple(best), False, bound) if best else None


def _irreducible(oracle: _Oracle, clues: Sequence[int]) -> list[int]:
    """Return a conflicting set from which no clue can go; empty if the searches ran out.

    Clues are left out one after the other where the rest still conflicts.
    """
    kept = list(clues)
    try:
        for clue in clues:
            fewer = [c for c in kept if c != clue]
            if oracle.solution(fewer) is None:
                kept = fewer
    except BudgetSpent:
        return []
    return kept


def _complement(oracle: _Oracle, clues: Sequence[int], chosen: int, solution: Grid) -> int:
    """Return as few clues as possible, as indices, without which the rest has a solution; the chosen ones stay in."""
    held = chosen | sum(1 << i for i, c in enumerate(clues) if solution.true >> c & 1)
    for i in range(len(clues)):
        if held >> i & 1:
            continue
        more = oracle.solution(clues[j] for j in bits(held | 1 << i))
        if more is not None:
            held |= sum(1 << j for j, c in enumerate(clues) if more.true >> c & 1)
    return (1 << len(clues)) - 1 & ~held
