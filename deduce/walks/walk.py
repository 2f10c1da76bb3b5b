"""Walk: from a grid towards its solution, one checked proof at a time."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from deduce.counting.names import NAMES as BEYOND
from deduce.kernel import Argument, Checked, bits, check
from deduce.patterns.board import Board
from deduce.patterns.catalogue import Barren, choose, contradictions, first
from deduce.patterns.vocabulary import meant
from deduce.proof import Candidate, Proof
from deduce.puzzle.bounds import unreachable_rules
from deduce.puzzle.grid import Grid
from deduce.solving.uniqueness import one_solution
from deduce.window import ShownWalk

if TYPE_CHECKING:
    from deduce.counting.meter import Meter

__all__ = ["Outcome", "Step", "Walk", "dead_end", "walk"]


class Outcome(StrEnum):
    """How a walk ended."""

    SOLVED = "solved"
    REACHED = "goal reached"
    STUCK = "stuck"
    BUDGET_SPENT = "budget spent"
    IMPOSSIBLE = "impossible"


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a walk.

    Parameters
    ----------
    before : Grid
        The position in which the proof was found.
    proof : Proof
        The deduction.
    after : Grid
        The position that it leads to, with the peers of a placed digit cleared.
    checked : Checked
        The kernel's word for it.
    """

    before: Grid
    proof: Proof
    after: Grid
    checked: Checked

    def __reduce__(self) -> tuple[object, ...]:
        return _again, (self.before, self.proof, self.after)


def _again(before: Grid, proof: Proof, after: Grid) -> Step:
    """Return a step that was copied or pickled; the kernel's word does not travel, so it checks the proof again."""
    return Step(before, proof, after, check(before, proof))


@dataclass(frozen=True, slots=True)
class Walk(ShownWalk):
    """The course of a solve.

    Parameters
    ----------
    start : Grid
        Where it began.
    steps : tuple of Step
        In order; every step has passed the kernel.
    outcome : Outcome
        `SOLVED`; `REACHED` for a walk that was pruned to what a chosen placement needs; `STUCK` if no allowed pattern
        finds anything more, although a step might exist outside them; `BUDGET_SPENT` if the walk was cut off while
        there was, or may have been, more to find; `IMPOSSIBLE` if the last step proves that the position has no
        solution.
    patterns : tuple of str
        The names that were allowed.
    one_solution : bool or None
        True if the puzzle was seen to have no second solution before steps were to assume it; None if nobody asked or
        the search did not come to an end.
    """

    start: Grid
    steps: tuple[Step, ...]
    outcome: Outcome
    patterns: tuple[str, ...]
    one_solution: bool | None = None

    @property
    def grid(self) -> Grid:
        """The last position."""
        return self.steps[-1].after if self.steps else self.start

    @property
    def solved(self) -> bool:
        """Whether the walk reached the solution."""
        return self.outcome is Outcome.SOLVED

    @property
    def assumes_unique(self) -> bool:
        """Whether a step rests on the puzzle having one solution only."""
        return any(step.proof.assumes_unique for step in self.steps)

    def check(self) -> tuple[Checked, ...]:
        """Verify the whole walk again, each proof in the position that the one before it left.

        Raises
        ------
        ProofError
            For the first proof that does not hold where it stands.
        """
        position = self.start
        verdicts = []
        for step in self.steps:
            verdicts.append(check(position, step.proof))
            position = position.moved(verdicts[-1].after, step.proof)
        return tuple(verdicts)

    def prune(self, goal: Iterable[Candidate | str] | None = None, *, narrow: bool = False) -> Walk:
        """Return the walk with only the steps that its goal needs; see :func:`deduce.walks.prune`."""
        from deduce.walks.prune import prune

        return prune(self, goal, narrow=narrow)

    def __len__(self) -> int:
        return len(self.steps)

    def __repr__(self) -> str:
        return f"<Walk: {self.outcome.value} after {len(self.steps)} steps>"


def walk(
    grid: Grid,
    patterns: Iterable[str] | None = None,
    budget: int | None = None,
    *,
    assume_unique: bool = False,
    trials: int | None = None,
) -> Walk:
    """Walk a grid towards its solution, always by the first deduction of the catalogue.

    Parameters
    ----------
    grid : Grid
        Where to begin.
    patterns : iterable of str, optional
        Names of the patterns that may be used: those of `deduce.patterns.NAMES`, and `deduce.counting.NAMES` for what
        goes beyond them, counting arguments and suppositions; or words that stand for several, such as ``"singles"``
        or ``"no chains"`` (`deduce.patterns.VOCABULARY`).  By default all that may be used; on 9x9
        grids no puzzle with one solution is known at which such a walk gets stuck.
    budget : int, optional
        How many steps the walk may take; by default as many as it needs (never more than there are candidates).
    assume_unique : bool
        Whether steps may use patterns that hold only in a puzzle with one solution (`deduce.patterns.UNIQUE`).  A
        bounded search first looks for a second solution; if it cannot tell, the assumption stands.  Every step that
        rests on it, or on such a step, says so (``proof.assumes_unique``).
    trials : int, optional
        How many suppositions may be tried and linear programs solved in search of counting arguments and suppositions,
        along the whole walk.  By default 22,000 on grids of order 9, of which the hardest take up to 10,000 and some
        seconds, and about a thousand on the largest grids, which is about a minute.

    Returns
    -------
    Walk
        Being stuck, out of budget or in a dead end is an outcome, not an error.

    Raises
    ------
    PatternError
        For an unknown name.
    UniquenessError
        For a name that assumes a unique solution, without `assume_unique`.
    SeveralSolutionsError
        With `assume_unique`, for a puzzle that is seen to have two solutions; it holds both.
    ValueError
        If the budget or the number of trials is negative.

    Notes
    -----
    Every step passes :func:`deduce.check` before the next one is sought.  Counting arguments and suppositions are
    sought only where no pattern of the catalogue finds anything.  A part of the board in which a finder saw nothing is
    not searched again until one of its candidates has gone.

    Examples
    --------
    >>> walk(Grid.parse("..24......1..2.."), patterns=["hidden single"])
    <Walk: solved after 12 steps>
    """
    if budget is not None and budget < 0:
        raise ValueError(f"budget is {budget}; give a number of steps, or None for as many as are needed")
    if trials is not None and trials < 0:
        raise ValueError(f"trials is {trials}; give how much may be tried, or None for what suits the size of the grid")
    allowed = None if patterns is None else meant(patterns, BEYOND, assume_unique=assume_unique)
    finders = choose(allowed, BEYOND, assume_unique=assume_unique)
    known = one_solution(grid) if assume_unique else None
    beyond = BEYOND if allowed is None else tuple(name for name in BEYOND if name in allowed)
    names = tuple(name for _, finder, wanted in finders for name in finder.names if name in wanted) + beyond
    search = _Beyond(beyond, trials)
    steps: list[Step] = []
    barren: Barren = {}
    position = grid
    proof = next(contradictions(Board(grid)), None)
    while True:
        if proof is None:
            if position.true == position.live and position.true.bit_count() == position.layout.cells:
                return Walk(grid, tuple(steps), Outcome.SOLVED, names, known)
            proof, _ = first(position, finders, barren)
            if proof is None and beyond:
                proof = search.next(position)
            if proof is None:
                outcome = Outcome.BUDGET_SPENT if search.spent else Outcome.STUCK
                return Walk(grid, tuple(steps), outcome, names, known)
        if len(steps) == budget:
            return Walk(grid, tuple(steps), Outcome.BUDGET_SPENT, names, known)
        checked = check(position, proof)
        after = position.moved(checked.after, proof)
        steps.append(Step(position, proof, after, checked))
        if checked.contradiction:
            return Walk(grid, tuple(steps), Outcome.IMPOSSIBLE, names, known)
        proof = dead_end(position, after)
        position = after


class _Beyond:
    """Finds counting arguments and suppositions along one walk; HiGHS is loaded where the first one is sought."""

    def __init__(self, names: tuple[str, ...], trials: int | None) -> None:
        self.spent = False
        self._names = names
        self._trials = trials
        self._memory: list[Argument] = []
        self._meter: Meter | None = None

    def next(self, position: Grid) -> Proof | None:
        """Return the next proof; if there is none, `spent` says whether the search was cut off."""
        from deduce.counting.meter import Meter, allowance
        from deduce.suppositions.step import next_proof

        if self._meter is None:
            self._meter = Meter(allowance(position.model) if self._trials is None else self._trials)
        proof, _ = next_proof(position, names=self._names, budget=self._meter, memory=self._memory)
        self.spent = proof is None and self._meter.spent
        return proof


def dead_end(before: Grid, after: Grid) -> Proof | None:
    """Return a contradiction if a step left a constraint out of reach; only what the gone candidates touch matters."""
    layout, live = after.layout, after.live
    if layout.rules:
        moved = bits((before.live & ~live) | (after.true & ~before.true))
        exact = layout.exact
        touched = sorted({number for candidate in moved for number in layout.model.touching[candidate]})
        if next(unreachable_rules(layout, live, after.true, (n for n in touched if n >= exact)), None) is not None:
            return next(contradictions(Board(after)))
    for candidate in bits(before.live & ~live):
        for number in layout.touching[candidate]:
            if not live & layout.masks[number]:
                return next(contradictions(Board(after)))
    return None
