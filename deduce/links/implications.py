"""Chains of implications in a position of any model, the least effort first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from itertools import pairwise
from math import ceil, inf

from deduce.kernel import Counting
from deduce.links.closure import entailed
from deduce.links.linkset import Links, strong_links
from deduce.links.search import layers
from deduce.links.statements import Statements
from deduce.positions import bits, counting

__all__ = ["chained"]


def chained(
    statements: Statements, live: int, true: int, price: Callable[[int], int], longest: float = inf
) -> Iterator[Counting]:
    """Yield the argument of a short chain for each candidate that chains settle, those that fall first.

    Parameters
    ----------
    statements : Statements
        The model.
    live, true : int
        The position.
    price : callable
        From a constraint with two candidates left to what it takes to use it as a strong link.
    longest : float
        Chains of more links are left out.

    Notes
    -----
    A chain that makes z false leads from "z is true" over weak and strong links to "z is false"; one that makes z true
    leads from "z is false" back to "z is true".  A closure over bitsets says which candidates these are; for each of
    them follows a breadth-first search for the fewest links, which goes back by the cheapest cause of each step.
    """
    search = _Search(statements, live, true, price, longest)
    links = search.links
    _, false, placed = entailed(links.strong, links.weak, live, links.active)
    for candidate in bits(false & links.live):
        argument = search.refute(candidate)
        if argument is not None:
            yield argument
    for candidate in bits(placed):
        argument = search.confirm(candidate)
        if argument is not None:
            yield argument


class _Search:
    """Searches for short chains over the links of one position."""

    def __init__(
        self, statements: Statements, live: int, true: int, price: Callable[[int], int], longest: float
    ) -> None:
        behind: dict[int, list[int]] = {}
        for mask, numbers in statements.choices.items():
            here = mask & live
            rest = here & (here - 1)
            if rest and not rest & (rest - 1) and not here & true:
                behind.setdefault(here, []).extend(numbers)
        strong, _ = strong_links(live, behind)
        self.links = Links(live & ~true, strong, statements.weak, (), strong)
        self._statements = statements
        self._longest = None if longest == inf else max(1, 2 * ceil((longest + 1) / 2) - 1)
        self._price = {pair: min((price(number), number) for number in numbers) for pair, numbers in behind.items()}

    def refute(self, candidate: int) -> Counting | None:
        """Return the argument of a chain from "true" to "false" for a candidate, or None."""
        statements = self._statements
        sees = statements.weak[candidate] & self.links.live
        path = self._path(sees)
        if not path:
            return None
        bases, covers = self._constraints(path)
        ends = [k for k in statements.touching[candidate] if statements.model.exclusive[k]]
        both = [k for k in ends if statements.masks[k] >> path[0] & statements.masks[k] >> path[-1] & 1]
        covers.update(both[:1] or [statements.shared(candidate, path[0]), statements.shared(candidate, path[-1])])
        return counting(bases.items(), covers.items())

    def confirm(self, candidate: int) -> Counting | None:
        """Return the argument of a chain from "false" to "true" for a candidate, or None."""
        path = self._path(1 << candidate)
        return counting(*(side.items() for side in self._constraints(path))) if path else None

    def _constraints(self, path: list[int]) -> tuple[Counter[int], Counter[int]]:
        """Return the constraints behind the links of a path, strong ones and weak ones."""
        pairs = list(pairwise(path))
        bases = Counter(self._price[1 << a | 1 << b][1] for a, b in pairs[::2])
        return bases, Counter(self._statements.shared(a, b) for a, b in pairs[1::2])

    def _path(self, ends: int) -> list[int]:
        """Return candidates joined strongly and weakly by turns, from a false end to a true one; or nothing."""
        found = layers(self.links, ends, ends, self._longest)
        if found is None:
            return []
        hit = found.true[-1] & ends
        path = [(hit & -hit).bit_length() - 1]
        for depth in range(len(found.false) - 1, -1, -1):
            bit = 1 << path[-1]
            causes = bits(self.links.strong[path[-1]] & found.false[depth])
            path.append(min(causes, key=lambda a: (self._price[1 << a | bit][0], a)))
            if depth:
                cause = self.links.weak[path[-1]] & found.true[depth - 1]
                path.append((cause & -cause).bit_length() - 1)
        return path[::-1]
