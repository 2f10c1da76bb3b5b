"""Which candidates stand in solutions; the more of them are known, the less a search for deductions has to ask."""

from __future__ import annotations

import random
from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import combinations

from deduce.deadline import in_time
from deduce.errors import BudgetSpent
from deduce.kernel import Position
from deduce.links.statements import statements_of
from deduce.positions import bits, bitset, united
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout
from deduce.solving.propagation import where_chains_lead
from deduce.solving.search import propagate, solutions

__all__ = ["true_in_solutions"]

BRANCHES = 2_000
"""How many positions are branched on to find out whether there is one solution or several."""

ALLOWED = 10_000
"""How many may be branched on in vain for all solutions but the first, and twice that for the first."""

LARGE = 20_000_000
"""The same on large boards, divided by the number of candidates: a few seconds at any order."""

GROWTH = 1.3
"""How much longer each run is than the one before."""

STRONG = 15
"""How much more a position costs if chains are followed in it."""

FIRST = ((0.5, False), (2.0, True))
OTHERS = ((0.02, False), (0.2, False))
"""Which part of what is allowed the first solution, and the solution for each further candidate, may take in each turn,
and whether chains are followed."""


def true_in_solutions(layout: Layout, position: Position) -> int:
    """Return candidates that are true in some solution, as a bitset: all of the only one, or as many as were found.

    No argument rules out any of them.  Nothing that is concluded rests on it.

    Parameters
    ----------
    layout : Layout
        The layout.
    position : Position
        The position.

    Notes
    -----
    A search that goes through the branches in order tells whether there is one solution.  Where there are several,
    solutions are sought for each candidate that stands in none yet, in short runs that begin anew, shuffled, and branch
    first where runs have failed most often (restarts and constraint weights, after Boussemart, Hemery, Lecoutre and
    Sais, "Boosting systematic search by weighting constraints", ECAI 2004): a board that is nearly empty can lead the
    orderly search astray for ever.  Each solution is varied by changing two digits where they depend on one another.
    """
    live, true = position
    first: list[int] = []
    try:
        for solved in solutions(Grid(layout, live, true, true), 2, budget=BRANCHES):
            first.append(solved.true)  # noqa: PERF401 - what came before the budget was spent is kept
    except BudgetSpent:
        pass
    else:
        if len(first) < 2:
            return united(first)
    allowed = min(ALLOWED, LARGE // len(layout.model.names))
    runs = _Runs(layout)
    runs.left = 2 * allowed
    for part, strong in FIRST:
        if not first:
            first = runs.solution(live, true, 0, int(part * allowed), strong=strong)
    found = 0
    for solution in first:
        found = _varied(layout, live, found, solution)
    runs.left = allowed
    for part, strong in OTHERS if found else ():
        for candidate in bits(live & ~true):
            if not found >> candidate & 1 and runs.left > 0:
                supposed = live & ~layout.peers[candidate], true | 1 << candidate
                for solution in runs.solution(*supposed, found, int(part * allowed), strong=strong):
                    found = _varied(layout, live, found, solution)
    return found


def _varied(layout: Layout, live: int, found: int, solution: int) -> int:
    """Add a solution, and those that come of it by exchanges of two digits, as long as they bring something new."""
    found |= solution
    waiting = [solution]
    while waiting and live & ~found:
        solution = waiting.pop()
        for other in _exchanged(layout, solution):
            # With nothing else to choose from, singles lead to a solution exactly if it is one.
            if other & ~found and not other & ~live and propagate(layout, other, 0, layout.masks)[2] is not None:
                found |= other
                waiting.append(other)
    return found


def _exchanged(layout: Layout, solution: int) -> Iterator[int]:
    """Yield what becomes of a solution if two digits change places, as far as the one change forces the other."""
    places: dict[int, list[int]] = {}
    for candidate in bits(solution):
        places.setdefault(candidate // layout.cells, []).append(candidate)
    for one, other in combinations(sorted(places), 2):
        step = (other - one) * layout.cells
        moved = {c: c + step for c in places[one]} | {c: c - step for c in places[other]}
        left = {*moved}
        while left:
            together = [left.pop()]
            for candidate in together:
                clash = [c for c in bits(layout.peers[moved[candidate]] & solution) if c in left]
                left.difference_update(clash)
                together += clash
            yield solution & ~bitset(together) | bitset(moved[c] for c in together)


class _Runs:
    """Runs of searches in one layout that learn from each other where they fail.

    Parameters
    ----------
    layout : Layout
        The layout.

    Attributes
    ----------
    left : int
        How many positions may be branched on in vain.
    """

    def __init__(self, layout: Layout) -> None:
        self.left = 0
        self._layout = layout
        self._statements = statements_of(layout.model)
        self._plain = all(self._statements.plain)
        self._trouble: dict[int, int] = defaultdict(lambda: 1)
        self._random = random.Random(0)

    def solution(self, live: int, true: int, known: int, budget: int, *, strong: bool) -> list[int]:
        """Return the true candidates of a solution; nothing if there is none or the budget is spent before.

        Candidates that are not among the known ones are tried first.
        """
        strong = strong and self._plain
        # Each placement meets about four constraints; nothing is branched on where it follows from others.
        length = sum(1 for mask in self._layout.masks if not mask & true) / 4 + 1
        cost = STRONG if strong else 1
        left = min(max(budget, int(length) * cost), self.left) // cost
        branched = 0
        while branched < left:
            found, more, ended = self._run(live, true, known, min(int(length), left - branched), strong=strong)
            if found:
                return [found]
            branched += more
            if ended:
                break
            length *= GROWTH
        self.left -= branched * cost
        return []

    def _run(self, live: int, true: int, known: int, budget: int, *, strong: bool) -> tuple[int, int, bool]:
        """Return what is true in the solution that was found, how much was branched on, and whether this was all."""
        trouble = self._trouble
        branched = 0
        stack: list[tuple[int, int, Sequence[int], int]] = [(live, true, self._layout.masks, 0)]
        while stack:
            in_time()
            here, is_true, masks, origin = stack.pop()
            here, is_true, unmet = self._propagate(here, is_true, masks, strong=strong)
            if unmet is None:
                trouble[origin] += 1
                continue
            if not unmet:
                return is_true, branched, True
            if branched >= budget:
                return 0, branched, False
            branched += 1
            mask = min(unmet, key=lambda mask: (here & mask).bit_count() / trouble[mask])
            branches = bits(here & mask)
            self._random.shuffle(branches)
            branches.sort(key=lambda candidate: ~known >> candidate & 1)
            stack += [(here & ~self._layout.peers[c], is_true | 1 << c, unmet, mask) for c in branches]
        return 0, branched, True

    def _propagate(
        self, live: int, true: int, masks: Sequence[int], *, strong: bool
    ) -> tuple[int, int, Sequence[int] | None]:
        """Return where singles, or chains too, lead, and what is then not met; None if that shows a dead position."""
        if not strong:
            return propagate(self._layout, live, true, masks)
        end, _ = where_chains_lead(self._statements, live, true)
        if end is None:
            return live, true, None
        return end.live, end.true, [mask for mask in masks if not mask & end.true]
