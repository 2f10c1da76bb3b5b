"""Everything that counting arguments conclude in a position, by linear programming."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import inf

from deduce.counting.exact import whole_weights
from deduce.counting.fillings import Fillings
from deduce.counting.meter import Meter
from deduce.counting.program import INTEGRAL, Program
from deduce.counting.system import Row, System, first_fault
from deduce.kernel import Counting, Inference, Model, Position
from deduce.links.statements import statements_of
from deduce.solving.propagation import witness

__all__ = ["Reached", "Scan", "counting_reach"]

FIRST = 6
"""How many optima are taken over all unwitnessed candidates together before single ones are asked about."""


@dataclass(frozen=True, slots=True)
class Reached:
    """What counting concludes in one position.

    Parameters
    ----------
    inferences : tuple of Inference
        All of them hold in the position itself, none needs another; each concludes something that none before it does.
        A contradiction stands alone.
    false, true : int
        Bitsets of the candidates that some counting argument shows to be false, and to be true.
    complete : bool
        Whether every open candidate has been decided; otherwise the budget was spent, and more may be within reach.
    """

    inferences: tuple[Inference, ...]
    false: int
    true: int
    complete: bool = True

    @property
    def contradiction(self) -> bool:
        """Whether the position cannot be met."""
        return any(inference.contradiction for inference in self.inferences)


def counting_reach(model: Model, position: Position, budget: int | None = None) -> Reached:
    """Find every candidate that some counting argument eliminates or places.

    Parameters
    ----------
    model : Model
        The candidates and the rules; any linear constraints.
    position : Position
        What is live and what is true.
    budget : int, optional
        How many linear programs may be solved; by default as many as it takes, at most two for each open candidate and
        a few more.

    Returns
    -------
    Reached
        With an argument, verified by the kernel, for each candidate.

    Raises
    ------
    CountingError
        If the kernel refuses a sum that the solver found (an internal error).

    Notes
    -----
    Let every open candidate be a number from 0 to 1.  A candidate is false by counting if and only if its largest value
    under the rules is below 1: by duality some multiples of the rules then add up to that bound, and because they do so
    with fractions, they do so with whole weights.  In the same way it is true if its least value is above 0, and the
    position is contradictory if no values meet the rules.  A solution in which a candidate has value 1 (or 0)
    witnesses that no sum makes it false (or true), so that most candidates are never asked about.

    The solver decides between "below 1" and "1" in floating point, at a distance of a millionth; a wrong argument
    cannot come of that, but a sum that leaves less than a millionth of room would be missed.
    """
    fault = first_fault(model, position)
    if fault is not None:
        return Reached((Inference(fault),), 0, 0)
    system = System(model, position)
    meter = Meter(budget)
    scan = Scan(system, witness(statements_of(model), position), meter=meter)
    inferences: list[Inference] = []
    false = true = 0
    for argument, inference in scan.arguments():
        if inference.contradiction:
            return Reached((Inference(argument),), 0, 0)
        fresh = [c for c in inference.false if not false >> c & 1] + [c for c in inference.true if not true >> c & 1]
        if fresh:
            inferences.append(inference)
        for c in inference.false:
            false |= 1 << c
        for c in inference.true:
            true |= 1 << c
    return Reached(tuple(inferences), false, true, not meter.spent)


class Scan:
    """Asks the linear program about one candidate after the other.

    Parameters
    ----------
    system : System
        The position.
    solution : int, optional
        Bitset of the true candidates of a solution that is known; it witnesses for itself.
    limit : float
        Arguments that cost more than this, each use of a row counting 1, are of no interest (see :meth:`ease`).
    fillings : Fillings, optional
        Fillings found before, in any position of the model; what is found is added.
    meter : Meter, optional
        Counts the programs that are solved; when it is spent, no more questions are answered.
    """

    def __init__(
        self,
        system: System,
        solution: int = 0,
        *,
        limit: float = inf,
        fillings: Fillings | None = None,
        meter: Meter | None = None,
    ) -> None:
        self.system = system
        size = len(system.open)
        self.program = Program(
            [(0.0, 1.0, 0.0)] * size, [(row.terms, *_bounds(row, 0.0, 0.0)) for row in system.rows], primal=True
        )
        self.solves = 0
        self._high = [bool(solution >> candidate & 1) for candidate in system.open]
        self._low = [bool(solution) and not known for known in self._high]
        self._values = [0.0] * size
        self._fillings = fillings
        self._meter = meter
        self._limit = limit
        self._feasible = False
        if fillings is not None:
            can, need_not = fillings.known(system.position, limit)
            self._feasible = bool(can)
            self._high = [high or bool(can >> c & 1) for high, c in zip(self._high, system.open, strict=True)]
            self._low = [low or bool(need_not >> c & 1) for low, c in zip(self._low, system.open, strict=True)]
        if limit < inf:
            self.tighten(limit)

    def arguments(self) -> Iterator[tuple[Counting, Inference]]:
        """Yield arguments that between them conclude everything; a contradiction is yielded alone.

        Yields
        ------
        Counting
            The argument.
        Inference
            Everything that the kernel concludes from it.
        """
        column = self.system.column
        for question in self.questions():
            if not question:
                from deduce.counting.least import least_contradiction

                argument = least_contradiction(self.system)
                yield argument, Inference(argument)
                return
            argument, inference = whole_weights(self.system, self.covers(), self.program, question)
            for candidate in inference.false:
                self._high[column[candidate]] = True
            for candidate in inference.true:
                self._low[column[candidate]] = True
            yield argument, inference

    def questions(self) -> Iterator[dict[int, int]]:
        """Yield each column that cannot be 1 (with +1) or cannot be 0 (with -1), the program just solved for it.

        An empty answer says that no values meet the rows.
        """
        size = len(self.system.open)
        for turn in range(FIRST):
            # With few questions left, each one is asked by itself.
            if self._feasible and self._high.count(False) <= FIRST:
                break
            weights = [0.0 if self._high[i] else 1.0 + (i * 7919 + turn * 104729) % 1009 / 10_000 for i in range(size)]
            if not self._may():
                return
            self.program.costs([-weight for weight in weights])
            if not self._solve():
                yield {}
                return
        self.program.costs([0.0] * size)
        yield from self._ask(self._high, 1)
        yield from self._ask(self._low, -1)

    def feasible(self) -> bool:
        """Whether any values from 0 to 1 meet the rows; if not, the position is contradictory."""
        self.program.costs([0.0] * len(self.system.open))
        return self._solve()

    def tighten(self, limit: float) -> None:
        """Ask from now on only for arguments that cost no more than a limit, each use of a row counting 1."""
        self._limit = limit
        # Whole costs are at most `limit`; the half keeps clear of the solver's tolerance.
        ease = [1 / (limit + 0.5)] * len(self.system.rows)
        self.ease(ease, ease)

    def answer(self, false: int, true: int, *, known: bool) -> None:
        """Take it as known, or as unknown, whether candidates can be 1 (those in `false`) or 0 (those in `true`)."""
        for i, candidate in enumerate(self.system.open):
            if false >> candidate & 1:
                self._high[i] = known
            if true >> candidate & 1:
                self._low[i] = known

    def ease(self, below: Sequence[float], above: Sequence[float]) -> None:
        """Move the bounds of each row outward; what has been witnessed stays witnessed.

        Parameters
        ----------
        below, above : sequence of float
            How far below its lower bound and above its upper bound each row may then be.

        Notes
        -----
        If both are ``weight / K``, a candidate that can still not be 1 is shown false by weights for which the sum of
        ``weight * use`` is below K, and the others are not (linear programming duality again).
        """
        for place, row in enumerate(self.system.rows):
            self.program.bound_row(place, *_bounds(row, below[place], above[place]))

    def covers(self) -> list[float]:
        """Return the multipliers of the last solution: positive for a cover, negative for a base."""
        return [-y for y in self.program.duals()]

    def _ask(self, known: list[bool], sign: int) -> Iterator[dict[int, int]]:
        """Push one column after the other up (sign 1) or down, always the unknown one that is furthest along."""
        while True:
            values = self._values
            unknown = [i for i, done in enumerate(known) if not done]
            if not unknown:
                return
            if not self._may():
                return
            column = max(unknown, key=lambda i: (sign * values[i], -i))
            self.program.cost(column, -float(sign))
            self._solve()
            if not known[column]:
                known[column] = True
                yield {column: sign}
            self.program.cost(column, 0.0)

    def _may(self) -> bool:
        """Count one more program; say whether it may be solved."""
        return self._meter is None or self._meter.take()

    def _solve(self) -> bool:
        """Solve the program and note what its solution witnesses; say whether there is one."""
        self.solves += 1
        before = self.program.iterations
        solved = self.program.solve() is not None
        if self._meter is not None:
            self._meter.pivots(self.program.iterations - before)
        if not solved:
            return False
        self._values = self.program.values()
        self._feasible = True
        high, low = self._high, self._low
        used = whole = self.system.position.true
        for i, value in enumerate(self._values):
            if value < INTEGRAL:
                low[i] = True
                continue
            bit = 1 << self.system.open[i]
            used |= bit
            if value > 1 - INTEGRAL:
                high[i] = True
                whole |= bit
        if self._fillings is not None:
            self._fillings.add(used, whole, self._limit)
        return True


def _bounds(row: Row, below: float, above: float) -> tuple[float, float]:
    """Return the bounds of a row, moved outward."""
    return (-inf if row.lower is None else row.lower - below), (inf if row.upper is None else row.upper + above)
