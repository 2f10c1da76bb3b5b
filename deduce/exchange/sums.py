"""Sums as clauses: a decision diagram whose nodes say how much the rest of a sum has to reach."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import accumulate

__all__ = ["clauses"]


def clauses(cells: Sequence[Mapping[int, int]], least: int, fresh: Callable[[], int]) -> Iterator[tuple[int, ...]]:
    """Yield clauses that say that a sum reaches something; `fresh` makes a variable for each node.

    Parameters
    ----------
    cells : sequence of mapping of int to int
        For each cell what the candidates of it count, of which one at most is true.
    least : int
        What the sum has to reach.
    fresh : callable
        Returns a new variable.

    Examples
    --------
    Two cells with the digits 1 and 2 (candidates 1 and 2, 3 and 4) that total at least 3; 5 and 6 say that the second
    cell reaches 2, and 1:

    >>> more = iter([5, 6])
    >>> [*clauses([{1: 1, 2: 2}, {3: 1, 4: 2}], 3, lambda: next(more))]
    [(1, 2), (-1, 5), (-2, 6), (-5, 3, 4), (-5, -3), (-6, 3, 4)]
    """
    most = [*accumulate((max(0, *cell.values()) for cell in reversed(cells)), initial=0)][::-1]
    fewest = [*accumulate((min(0, *cell.values()) for cell in reversed(cells)), initial=0)][::-1]
    nodes = {(0, least): 0}
    waiting = [(0, least)] if least > fewest[0] else []
    if least > most[0]:
        yield ()
        return
    for at, need in waiting:
        here = (-nodes[at, need],) if at else ()
        for case, rest in (((*here, *cells[at]), need), *(((*here, -c), need - a) for c, a in cells[at].items())):
            if rest > most[at + 1]:
                yield case
            elif rest > fewest[at + 1]:
                if (at + 1, rest) not in nodes:
                    nodes[at + 1, rest] = fresh()
                    waiting.append((at + 1, rest))
                yield (*case, nodes[at + 1, rest])
