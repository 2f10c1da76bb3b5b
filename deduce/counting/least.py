"""The least argument for one conclusion, and over the whole board, proved least."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from heapq import heappop, heappush
from math import ceil, floor, inf, isfinite

from deduce.counting.costs import Cost, unit_cost
from deduce.counting.exact import CountingError, concluded, read_off
from deduce.counting.program import INTEGRAL, Entry, Program
from deduce.counting.reach import Scan
from deduce.counting.system import System
from deduce.deadline import in_time
from deduce.kernel import Counting

__all__ = ["NODES", "Least", "Searcher", "least_contradiction", "least_on_board"]

NODES = 400
"""How many branchings the search for whole weights may try for one candidate before HiGHS takes over."""

_HARD_NODES = 2_000

_USUAL = 150_000
"""Sides of rules times open candidates: up to so many, as on most 9x9 boards, HiGHS gets all its branchings."""

_LARGEST = 500_000
"""Beyond this its cuts alone would take a quarter of a minute, so it is not asked."""

Wanted = Mapping[int, int]
"""What is to be concluded: a column with +1 (false) or -1 (true); empty for a contradiction."""


@dataclass(frozen=True, slots=True)
class Least:
    """A cheapest argument.

    Parameters
    ----------
    argument : Counting or None
        The argument; None if the search stopped before it found one.
    cost : int
        What it costs; if there is no argument, the limit below which none was found.
    proved : bool
        Whether the solver has shown that none is cheaper; otherwise the search ran out of branchings.
    bound : int
        No argument costs less than this; the same as `cost` if that is proved.
    """

    argument: Counting | None
    cost: int
    proved: bool
    bound: int


class Searcher:
    """Finds least arguments in one position.

    Parameters
    ----------
    system : System
        The position.
    cost : Cost
        The measure.
    nodes : int
        Branchings allowed for each conclusion.
    hand_over : bool
        Whether HiGHS' own search takes over when they are used up.

    Notes
    -----
    The linear program behind it lets every row be broken by ``weight * e`` and asks for the least e at which the
    conclusion can be contradicted.  By duality ``1 / e`` is what the cheapest argument with fractional weights costs,
    and the dual values times ``1 / e`` are that argument.  On most positions the weights come out whole, so that the
    bound is the answer; otherwise a search branches on the weights that are not.
    """

    def __init__(self, system: System, cost: Cost, nodes: int = NODES, *, hand_over: bool = True) -> None:
        self.system = system
        self.cost = cost
        self.nodes = nodes
        self.hand_over = hand_over
        rows: list[tuple[list[Entry], float, float]] = []
        size = len(system.open)
        self.sides: list[tuple[int, int]] = []
        for place, row in enumerate(system.rows):
            if row.lower is not None:
                self.sides.append((place, -1))
                rows.append(([*row.terms, (size, cost.bases[row.number])], row.lower, inf))
            if row.upper is not None:
                self.sides.append((place, 1))
                rows.append(([*row.terms, (size, -cost.covers[row.number])], -inf, row.upper))
        self._program = Program([(0.0, 1.0, 0.0)] * size + [(0.0, inf, 1.0)], rows, primal=False)

    def least(self, wanted: Wanted, below: float = inf) -> Least | None:
        """Return the cheapest argument for a conclusion that costs less than `below`, or None if there is none.

        What comes back may also say that the search stopped: an argument that is not proved least, or no argument.

        Parameters
        ----------
        wanted : mapping of int to int
            Column to +1 (to be shown false) or -1 (true); empty for a contradiction.
        below : float
            Dearer arguments are of no interest.
        """
        relaxed = self._relaxed(wanted)
        if relaxed is None:
            return None
        bound, weights = relaxed
        if _up(bound) >= below:
            return None
        best: Least | None = None
        argument = self._whole(weights, wanted)
        if argument is not None:
            price = self.cost.of(argument)
            if price < below:
                best = Least(argument, price, price == _up(bound), _up(bound))
                if best.proved:
                    return best
        return _Branching(self, wanted, best, below, _up(bound)).run()

    def _relaxed(self, wanted: Wanted) -> tuple[float, list[float]] | None:
        """Return the cost of the cheapest argument with fractional weights, and its weights by side of a row."""
        program = self._program
        for column, sign in wanted.items():
            program.bound(column, max(0.0, sign), max(0.0, sign))
        strain = program.solve()
        duals = program.duals()
        for column in wanted:
            program.bound(column, 0.0, 1.0)
        if strain is None:  # pragma: no cover - a large enough e meets every row
            raise CountingError("any strain at all", None)
        # Values below a millionth are the solver's zero: the conclusion can be contradicted without breaking a row.
        if strain < INTEGRAL:
            return None
        return 1 / strain, [abs(y) / strain for y in duals]

    def _whole(self, weights: list[float], wanted: Wanted) -> Counting | None:
        """Return the argument with these weights, made whole in proportion, if the kernel sees the conclusion in it."""
        if all(abs(y - round(y)) < INTEGRAL for y in weights):
            scaled = {i: round(y) for i, y in enumerate(weights) if round(y)}
        else:
            scaled = read_off(weights) or {}
        return self.verified(scaled, wanted)

    def verified(self, weights: Mapping[int, int], wanted: Wanted) -> Counting | None:
        """Return the argument with these weights by side of a row if the kernel sees the conclusion in it."""
        bases = [(self.sides[i][0], w) for i, w in weights.items() if self.sides[i][1] < 0]
        covers = [(self.sides[i][0], w) for i, w in weights.items() if self.sides[i][1] > 0]
        if not bases and not covers:
            return None
        system = self.system
        argument = system.argument(bases, covers)
        false = next((system.open[c] for c, sign in wanted.items() if sign > 0), None)
        true = next((system.open[c] for c, sign in wanted.items() if sign < 0), None)
        return argument if concluded(system.model, system.position, argument, false, true) else None

    def dual_program(self, wanted: Wanted, below: float) -> tuple[Program, int]:
        """Return the program over the weights themselves, and how many of its columns must be whole.

        Parameters
        ----------
        wanted : mapping of int to int
            The conclusion.
        below : float
            The cost that a better argument stays below; bounds the weights where digits are counted.

        Notes
        -----
        A weight for each side of a row, then one 0-1 column for each digit if digits cost something, then for each
        candidate but the wanted one how far its coefficient is below zero.  The last row says that what is left for the
        wanted candidate exceeds the slack by one.
        """
        system, cost = self.system, self.cost
        sides, size = self.sides, len(system.open)
        used = sorted({cost.digits[system.rows[p].number] for p, _ in sides} - {0}) if cost.each_digit else []
        digit_column = {digit: len(sides) + i for i, digit in enumerate(used)}
        whole = len(sides) + len(used)
        columns: list[tuple[float, float, float]] = []
        by_candidate: list[list[Entry]] = [[] for _ in range(size)]
        margin: list[Entry] = []
        by_digit: dict[int, list[Entry]] = {digit: [] for digit in used}
        for i, (place, sign) in enumerate(sides):
            row = system.rows[place]
            bound = (row.lower if sign < 0 else row.upper) or 0
            price = (cost.bases if sign < 0 else cost.covers)[row.number]
            columns.append((0.0, inf, float(price)))
            left = -sign * bound
            for column, a in row.terms:
                if wanted.get(column) == 1:
                    left += sign * a
                elif column not in wanted:
                    by_candidate[column].append((i, sign * a))
            if left:
                margin.append((i, left))
            if used and cost.digits[row.number]:
                by_digit[cost.digits[row.number]].append((i, 1.0))
        columns += [(0.0, 1.0, float(cost.each_digit))] * len(used) + [(0.0, inf, 0.0)] * size
        rows: list[tuple[list[Entry], float, float]] = []
        for column in range(size):
            if column not in wanted:
                rows.append(([*by_candidate[column], (whole + column, 1.0)], 0.0, inf))
                margin.append((whole + column, -1.0))
        most = below if below < inf else 1000.0
        rows += [([*entries, (digit_column[digit], -most)], -inf, 0.0) for digit, entries in by_digit.items()]
        rows.append((margin, 1.0, inf))
        return Program(columns, rows, primal=False), whole


class _Branching:
    """Branch and bound over the weights of one argument, the lowest bound first and of equals the newest."""

    def __init__(self, searcher: Searcher, wanted: Wanted, best: Least | None, below: float, bound: int) -> None:
        self._searcher = searcher
        self._wanted = wanted
        self._argument = best.argument if best else None
        self._price: float = best.cost if best else below
        self._bound = bound
        self._program, self._count = searcher.dual_program(wanted, min(below, self._price))
        self._fixed: dict[int, tuple[float, float]] = {}

    def run(self) -> Least | None:
        """Search; return the cheapest argument, or None if none is cheap enough."""
        heap: list[tuple[int, int, dict[int, tuple[float, float]], list[float]]] = []
        order = 0

        def open_node(fixed: dict[int, tuple[float, float]]) -> None:
            nonlocal order
            order += 1
            solved = self._solve(fixed)
            if solved is not None and _up(solved[0]) < self._price:
                heappush(heap, (_up(solved[0]), -order, fixed, solved[1]))

        open_node({})
        while heap and order < self._searcher.nodes:
            in_time()
            bound, _, fixed, values = heappop(heap)
            self._bound = max(self._bound, bound)
            if bound >= self._price:
                break
            column = max(range(self._count), key=lambda i: (abs(values[i] - round(values[i])), -i))
            value = values[column]
            if abs(value - round(value)) < INTEGRAL:
                self._accept(values)
                continue
            low, high = fixed.get(column, (0.0, inf))
            open_node({**fixed, column: (low, float(floor(value)))})
            open_node({**fixed, column: (float(ceil(value)), high)})
        if heap and heap[0][0] < self._price:
            self._bound = max(self._bound, heap[0][0])
            if self._searcher.hand_over and self._hard_nodes():
                self._hand_over()
        elif self._price < inf:
            self._bound = max(self._bound, int(self._price))
        if self._argument is None and (self._bound >= self._price or not heap):
            return None
        price = int(min(self._price, 2**31))
        return Least(
            self._argument, price, self._argument is not None and self._bound >= price, min(self._bound, price)
        )

    def _solve(self, fixed: dict[int, tuple[float, float]]) -> tuple[float, list[float]] | None:
        """Solve the program with some weights bounded."""
        for column in self._fixed.keys() | fixed.keys():
            if self._fixed.get(column) != fixed.get(column):
                top = 1.0 if column >= len(self._searcher.sides) else inf
                self._program.bound(column, *fixed.get(column, (0.0, top)))
        self._fixed = fixed
        value = self._program.solve()
        return None if value is None else (value, self._program.values()[: self._count])

    def _accept(self, values: list[float]) -> None:
        """Take whole weights as the best so far."""
        sides = len(self._searcher.sides)
        argument = self._searcher.verified(
            {i: round(v) for i, v in enumerate(values[:sides]) if round(v)}, self._wanted
        )
        if argument is None:
            raise CountingError("the conclusion of whole weights", None)
        price = self._searcher.cost.of(argument)
        if price < self._price:
            self._argument, self._price = argument, price

    def _hard_nodes(self) -> int:
        """Return how many branchings HiGHS may try: fewer on a large model, where each takes longer, then none."""
        size = self._count * len(self._searcher.system.open)
        return 0 if size > _LARGEST else min(_HARD_NODES, _HARD_NODES * _USUAL**2 // size**2)

    def _hand_over(self) -> None:
        """Give the rest of the search to HiGHS, whose cuts close large gaps that branching alone does not."""
        self._solve({})
        values, bound = self._program.whole(self._count, self._hard_nodes(), self._price)
        if values is not None:
            self._accept(values)
        # A search that stopped at once may know no bound, and there may be no price yet either.
        known = min(bound, self._price)
        if isfinite(known):
            self._bound = max(self._bound, _up(known))


def least_contradiction(system: System) -> Counting:
    """Return the argument of least weight that shows a position to be contradictory.

    Raises
    ------
    CountingError
        If it is not.
    """
    found = Searcher(system, unit_cost(system.model)).least({})
    if found is None or found.argument is None:
        raise CountingError("a contradiction", None)
    return found.argument


def least_on_board(
    system: System, cost: Cost, *, below: float = inf, nodes: int = NODES, solution: int = 0
) -> Least | None:
    """Return the cheapest argument that concludes anything in a position.

    Parameters
    ----------
    system : System
        The position.
    cost : Cost
        The measure.
    below : float
        Arguments that cost as much or more are of no interest.
    nodes : int
        Branchings allowed for each candidate.
    solution : int
        Bitset of the true candidates of a solution, if one is known.

    Returns
    -------
    Least or None
        None if nothing is concluded by an argument that costs less than `below`.

    Notes
    -----
    One linear program asks for every candidate whether it has an argument below the best cost so far; each time a
    better one is found its rows are eased further, so that ever fewer candidates are left.
    """
    scan = Scan(system, solution)
    searcher = Searcher(system, cost, nodes)
    below_rows = [cost.bases[row.number] for row in system.rows]
    above_rows = [cost.covers[row.number] for row in system.rows]
    best: Least | None = None
    doubt = inf

    def ease(limit: float) -> None:
        # Whole costs below `limit` are at most limit - 1; the half keeps clear of the solver's tolerance.
        most = limit - 0.5
        scan.ease([w / most for w in below_rows], [w / most for w in above_rows])

    if below < inf:
        if below < 1:
            return None
        ease(below)
    for question in scan.questions():
        found = searcher.least(question, best.cost if best else below)
        if found is None:
            continue
        if not found.proved:
            doubt = min(doubt, found.bound)
        if found.argument is None:
            continue
        best = found
        if best.cost <= 1:
            break
        ease(best.cost)
    if best is None:
        return None if doubt == inf else Least(None, int(min(below, 2**31)), False, int(doubt))
    return Least(best.argument, best.cost, doubt >= best.cost, int(min(doubt, best.cost)))


def _up(value: float) -> int:
    """Round a bound on whole costs up, forgiving the solver's tolerance."""
    return ceil(value - 1e-6 * max(1.0, value))
