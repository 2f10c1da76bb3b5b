"""Walk: from a grid towards its solution, one checked proof at a time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, overload

from deduce.counting.names import NAMES as BEYOND, SUPPOSITION
from deduce.deadline import Cancel, in_time, within
from deduce.errors import MissingExtra, OutOfTime
from deduce.kernel import Argument, Checked, check
from deduce.patterns.board import Board
from deduce.patterns.catalogue import Barren, choose, contradictions, first
from deduce.patterns.finder import Finder
from deduce.patterns.singles import SINGLES
from deduce.patterns.vocabulary import meant
from deduce.positions import bits
from deduce.proof import Candidate, Proof
from deduce.puzzle.bounds import unreachable_rules
from deduce.puzzle.grid import Grid
from deduce.solving.uniqueness import one_solution
from deduce.walks.attention import Attention
from deduce.window import ShownWalk

if TYPE_CHECKING:
    from deduce.counting.meter import Meter

__all__ = ["ORDERS", "Outcome", "Step", "Walk", "dead_end", "next_step", "walk"]

ATTENTION = "attention"
ORDERS = (ATTENTION, "catalogue")
"""Which of equally simple deductions a walk takes first."""


class Outcome(StrEnum):
    """How a walk ended."""

    SOLVED = "solved"
    REACHED = "goal reached"
    STUCK = "stuck"
    UNTRIED = "stuck, not all tried"
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
class Walk(ShownWalk, Sequence[Step]):
    """The course of a solve, a sequence of its steps.

    Parameters
    ----------
    start : Grid
        Where it began.
    steps : tuple of Step
        In order; every step has passed the kernel.
    outcome : Outcome
        `SOLVED`; `REACHED` for a walk that was pruned to what a chosen placement needs; `STUCK` if no allowed pattern
        finds anything more, although a step might exist outside them; `UNTRIED` if besides some could not be tried;
        `BUDGET_SPENT` if the walk was cut off while
        there was, or may have been, more to find; `IMPOSSIBLE` if the last step proves that the position has no
        solution.
    patterns : tuple of str
        The names that were allowed.
    one_solution : bool or None
        True if the puzzle was seen to have no second solution before steps were to assume it; None if nobody asked or
        the search did not come to an end.
    untried : tuple of str
        Names that were allowed and could not be tried, because HiGHS cannot be had here (as in a browser).
    """

    start: Grid
    steps: tuple[Step, ...]
    outcome: Outcome
    patterns: tuple[str, ...]
    one_solution: bool | None = None
    untried: tuple[str, ...] = ()

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

    @overload
    def __getitem__(self, index: int) -> Step: ...
    @overload
    def __getitem__(self, index: slice) -> tuple[Step, ...]: ...
    def __getitem__(self, index: int | slice) -> Step | tuple[Step, ...]:
        return self.steps[index]

    def __iter__(self) -> Iterator[Step]:
        return iter(self.steps)

    def __repr__(self) -> str:
        return f"<Walk: {self.outcome.value} after {len(self.steps)} steps>"


def walk(
    grid: Grid,
    patterns: Iterable[str] | None = None,
    budget: int | None = None,
    *,
    assume_unique: bool = False,
    trials: int | None = None,
    order: str = ATTENTION,
    seconds: float | None = None,
    cancel: Cancel | None = None,
) -> Walk:
    """Walk a grid towards its solution, always by the simplest pattern that finds something.

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
    order : str
        Which of equally simple deductions comes first: by ``"attention"`` what a person would take who has just made
        the last step, by ``"catalogue"`` the first that the finders see, wherever it is on the board.  Where a walk
        with some patterns ends does not depend on it.
    seconds : float, optional
        How long it may take by the clock; the walk so far is returned then, with the outcome `BUDGET_SPENT`.
    cancel : callable, optional
        Asked now and then; the walk ends in the same way once it returns True.

    Returns
    -------
    Walk
        Being stuck, out of budget or time, or in a dead end is an outcome, not an error.

    Raises
    ------
    PatternError
        For an unknown name.
    UniquenessError
        For a name that assumes a unique solution, without `assume_unique`.
    SeveralSolutionsError
        With `assume_unique`, for a puzzle that is seen to have two solutions; it holds both.
    ValueError
        If the budget, the number of trials or of seconds is negative, or for an unknown order.
    TypeError
        If the grid is none, or the budget or the number of trials is no whole number.

    Notes
    -----
    Every step passes :func:`deduce.check` before the next one is sought.  Counting arguments and suppositions are
    sought only where no pattern of the catalogue finds anything.  There the way to the solution is planned as a whole,
    so that little is to be told, and followed with nothing but singles in between; patterns that it does not need are
    passed over.  A part of the board in which a finder saw nothing is not searched again until one of its candidates
    has gone.

    Examples
    --------
    >>> walk(Grid.parse("..24......1..2.."), patterns=["hidden single"])
    <Walk: solved after 12 steps>
    """
    if not isinstance(grid, Grid):
        raise TypeError(f"a walk needs a Grid, not {type(grid).__name__}; Grid.parse reads one from text")
    for name, limit, of in (("budget", budget, "steps"), ("trials", trials, "trials")):
        if limit is not None and type(limit) is not int:
            raise TypeError(f"{name} is {limit!r}; give a whole number of {of}, or None for what is needed")
        if limit is not None and limit < 0:
            raise ValueError(f"{name} is {limit}; give a number of {of}, or None for what is needed")
    if order not in ORDERS:
        raise ValueError(f"order is {order!r}; give one of {', '.join(map(repr, ORDERS))}")
    allowed = None if patterns is None else meant(patterns, BEYOND, assume_unique=assume_unique)
    finders = choose(allowed, BEYOND, assume_unique=assume_unique)
    beyond = BEYOND if allowed is None else tuple(name for name in BEYOND if name in allowed)
    names = tuple(name for _, finder, wanted in finders for name in finder.names if name in wanted) + beyond
    attention = Attention(grid, names) if order == ATTENTION else None
    if attention is not None:
        finders = tuple(item for item in finders if not item[2] <= {*SINGLES})
    steps: list[Step] = []
    known = None
    search = _Beyond(beyond, trials)
    outcome = Outcome.BUDGET_SPENT
    try:
        with within(seconds, cancel):
            known = one_solution(grid) if assume_unique else None
            outcome = _go(grid, finders, steps, budget, search, attention)
    except OutOfTime:
        pass
    return Walk(grid, tuple(steps), outcome, names, known, search.untried)


def _go(
    position: Grid,
    finders: Iterable[tuple[int, Finder, frozenset[str]]],
    steps: list[Step],
    budget: int | None,
    search: _Beyond,
    attention: Attention | None,
) -> Outcome:
    """Add step after step; say how it ended."""
    barren: Barren = {}
    singles = [item for item in finders if item[2] <= {*SINGLES}]
    proof = next(contradictions(Board(position)), None)
    while True:
        in_time()
        if proof is None:
            if position.true == position.live and position.true.bit_count() == position.layout.cells:
                return Outcome.SOLVED
            proof = attention.single(position) if attention is not None else None
            if proof is None:
                # Along a way that was planned nothing else is told but the singles that it opens; but sums over what
                # a problem asks for are hard to follow where a pattern would do.
                wanted = singles if search.planned and not position.layout.problem else finders
                proof, _ = first(position, wanted, barren, attention.moved if attention is not None else 0)
            if proof is None and search.names:
                if len(steps) == budget:
                    # There may be more to find, but to look would take long.
                    return Outcome.BUDGET_SPENT
                proof = search.next(position)
            if proof is None:
                stuck = Outcome.UNTRIED if search.untried else Outcome.STUCK
                return Outcome.BUDGET_SPENT if search.spent else stuck
        if len(steps) == budget:
            return Outcome.BUDGET_SPENT
        checked = check(position, proof)
        after = position.moved(checked.after, proof)
        steps.append(Step(position, proof, after, checked))
        if checked.contradiction:
            return Outcome.IMPOSSIBLE
        if attention is not None:
            attention.turn(position, proof, after)
        proof = dead_end(position, after)
        position = after


def next_step(
    grid: Grid,
    patterns: Iterable[str] | None = None,
    *,
    assume_unique: bool = False,
    trials: int | None = None,
    seconds: float | None = None,
    cancel: Cancel | None = None,
) -> Step | None:
    """Return the step that a walk would take now, whatever it takes.

    Parameters
    ----------
    grid, patterns, assume_unique, trials, seconds, cancel
        As for :func:`walk`.

    Returns
    -------
    Step or None
        A pattern, a counting argument, a supposition, or the contradiction of an impossible position; None if the grid
        is solved, or nothing allowed was found within the limits (:func:`walk` tells which).
        ``step.proof.words`` tells it in turns.

    Raises
    ------
    PatternError, UniquenessError, SeveralSolutionsError, ValueError, TypeError
        As for :func:`walk`.

    Notes
    -----
    Where a pattern is found nothing else is sought.  Beyond the patterns the way to the solution is planned first.

    Examples
    --------
    >>> print(next_step(Grid.parse("12.. 3... .... ...1")).proof)
    last open cell: +4r2c2
    """
    walked = walk(grid, patterns, 1, assume_unique=assume_unique, trials=trials, seconds=seconds, cancel=cancel)
    return walked.steps[0] if walked.steps else None


class _Beyond:
    """Finds counting arguments and suppositions along one walk; HiGHS is loaded where the first one is sought.

    Where it cannot be had, suppositions that break down without sums are still found; `untried` names what is not.
    """

    def __init__(self, names: tuple[str, ...], trials: int | None) -> None:
        self.spent = False
        self.names = names
        self.untried: tuple[str, ...] = ()
        self._trials = trials
        self._memory: list[Argument] = []
        self._meter: Meter | None = None

    @property
    def planned(self) -> bool:
        """Whether a way has been planned that has not come to its end."""
        return bool(self._memory)

    def next(self, position: Grid) -> Proof | None:
        """Return the next proof; if there is none, `spent` says whether the search was cut off."""
        from deduce.counting.meter import Meter, allowance
        from deduce.suppositions.step import next_proof

        if self._meter is None:
            self._meter = Meter(allowance(position.model) if self._trials is None else self._trials)
        proof = None
        while self.names:
            try:
                proof, _ = next_proof(position, names=self.names, budget=self._meter, memory=self._memory)
                break
            except MissingExtra:
                rest = (SUPPOSITION,) if len(self.names) > 1 else ()
                self.untried += tuple(name for name in self.names if name not in rest)
                self.names, self._memory = rest, []
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
