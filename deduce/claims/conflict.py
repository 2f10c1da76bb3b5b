"""Conflict: which constraints of a problem cannot hold together, as few as are found, and why."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from deduce.counting import eliminations
from deduce.errors import BudgetSpent
from deduce.kernel import Counting, check
from deduce.proof import Proof
from deduce.puzzle.grid import Grid
from deduce.puzzle.problems.layout import Among, ProblemLayout
from deduce.solving.search import solutions
from deduce.walks.walk import Outcome, Step, Walk, walk
from deduce.window import ShownConflict

__all__ = ["NODES", "Conflict", "conflict"]

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


@dataclass(frozen=True, slots=True)
class _Problem:
    """A problem taken apart into constraints that can be left out one by one."""

    titles: dict[int, str]
    keep: Callable[[frozenset[int]], ProblemLayout]


def conflict(grid: Grid, *, budget: int = NODES) -> Conflict | None:
    """Find a small set of constraints that cannot hold together.

    Parameters
    ----------
    grid : Grid
        On a `ProblemLayout`; what has been ruled out or placed since takes no part.
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
    layout = grid.layout
    if not isinstance(layout, ProblemLayout):
        raise TypeError("conflicts are found among the constraints of a problem; ask a grid for its status()")
    problem = _taken_apart(layout)
    every = frozenset(problem.titles)
    if _solvable(problem, every, budget):
        return None
    orders = [sorted(every), sorted(every, reverse=True)]
    used = _used_by_a_sum(layout) & every
    if used and used != every and not _solvable_or_unknown(problem, used, budget):
        orders.append(sorted(used))
    found = [_reduced(problem, frozenset(order), order, budget) for order in orders]
    kept, minimal = min(found, key=lambda item: (len(item[0]), not item[1], sorted(item[0])))
    numbers = tuple(sorted(kept))
    core = Grid.empty(problem.keep(kept))
    return Conflict(numbers, tuple(problem.titles[n] for n in numbers), minimal, core, _refuted(core))


def _taken_apart(layout: ProblemLayout) -> _Problem:
    """Return the constraints of a problem by number, and what makes a problem of some of them."""
    described = layout.described
    if described is not None:

        def read(kept: frozenset[int]) -> ProblemLayout:
            stated = tuple(one for one in described.stated if one.number in kept)
            return ProblemLayout.described_by(replace(described, stated=stated))

        return _Problem({one.number: one.title for one in described.stated}, read)
    # A problem that came as a document has lost its statements; its houses and its linear constraints are left.
    domains = [part for part in layout.parts if not part.sources]
    stated = [part for part in layout.parts if part.sources]
    groups = layout.groups
    titles = [f"{name} take every value once" for name, _, _ in groups] + [part.title for part in stated]

    def linear(kept: frozenset[int]) -> ProblemLayout:
        return ProblemLayout(
            layout.variable_names,
            tuple(layout.symbols),
            [group for number, group in enumerate(groups, 1) if number in kept],
            [*domains, *(part for number, part in enumerate(stated, 1 + len(groups)) if number in kept)],
        )

    return _Problem(dict(enumerate(titles, 1)), linear)


def _solvable(problem: _Problem, kept: frozenset[int], budget: int) -> bool:
    """Whether some of the constraints have a solution."""
    return next(solutions(Grid.empty(problem.keep(kept)), 1, budget=budget), None) is not None


def _solvable_or_unknown(problem: _Problem, kept: frozenset[int], budget: int) -> bool:
    try:
        return _solvable(problem, kept, budget)
    except BudgetSpent:
        return True


def _reduced(problem: _Problem, kept: frozenset[int], order: Sequence[int], budget: int) -> tuple[frozenset[int], bool]:
    """Leave out constraints in an order as long as the rest has no solution; say whether all searches ended."""
    minimal = True
    for number in order:
        rest = kept - {number}
        try:
            if not _solvable(problem, rest, budget):
                kept = rest
        except BudgetSpent:
            minimal = False
    return kept, minimal


def _used_by_a_sum(layout: ProblemLayout) -> frozenset[int]:
    """Return the numbers of the constraints that a contradictory sum uses; empty if there is no such sum."""
    described = layout.described
    proof = _contradictory_sum(Grid.empty(layout))
    if proof is None or described is None:
        return frozenset()
    found: set[int] = set()
    for constraint in _constraints(proof):
        place = layout.house_of(constraint)
        rule = layout.rule_of(constraint)
        if place is not None:
            found.add(layout.groups[place[0]][2])
        elif isinstance(rule, Among):
            found.update(rule.part.sources)
    return frozenset(found)


def _constraints(proof: Proof) -> Iterable[int]:
    """Yield the constraints that the counting arguments of a proof use."""
    for inference in proof.inferences:
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
