"""Chains of implications in a position of any model, the least effort first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from itertools import pairwise
from math import inf

from deduce.kernel import Counting
from deduce.links.closure import entailed
from deduce.links.linkset import strong_links
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
    web = _Web(statements, live, true)
    _, false, placed = entailed(web.strong, statements.weak, live, web.active)
    search = _Search(web, price, longest)
    for candidate in bits(false & web.open):
        argument = search.refute(candidate)
        if argument is not None:
            yield argument
    for candidate in bits(placed):
        argument = search.confirm(candidate)
        if argument is not None:
            yield argument


class _Web:
    """The links of one position."""

    def __init__(self, statements: Statements, live: int, true: int) -> None:
        self.statements = statements
        self.open = live & ~true
        self.behind: dict[int, list[int]] = {}
        behind = self.behind
        for mask, numbers in statements.choices.items():
            here = mask & live
            rest = here & (here - 1)
            if rest and not rest & (rest - 1) and not here & true:
                behind.setdefault(here, []).extend(numbers)
        self.strong, self.active = strong_links(live, behind)


class _Search:
    """Searches for short chains over the links of one position."""

    def __init__(self, web: _Web, price: Callable[[int], int], longest: float) -> None:
        self._web = web
        self._statements = web.statements
        self._depth = max(1.0, (longest + 1) / 2)
        self._price: dict[int, tuple[int, int]] = {
            pair: min((price(number), number) for number in numbers) for pair, numbers in web.behind.items()
        }

    def refute(self, candidate: int) -> Counting | None:
        """Return the argument of a chain from "true" to "false" for a candidate, or None."""
        statements = self._statements
        sees = statements.weak[candidate] & self._web.open
        path = self._path(sees & self._web.active, sees)
        if not path:
            return None
        bases, covers = self._constraints(path)
        ends = [k for k in statements.touching[candidate] if statements.model.exclusive[k]]
        both = [k for k in ends if statements.masks[k] >> path[0] & statements.masks[k] >> path[-1] & 1]
        covers.update(both[:1] or [statements.shared(candidate, path[0]), statements.shared(candidate, path[-1])])
        return counting(bases.items(), covers.items())

    def confirm(self, candidate: int) -> Counting | None:
        """Return the argument of a chain from "false" to "true" for a candidate, or None."""
        path = self._path(1 << candidate, 1 << candidate)
        if not path:
            return None
        bases, covers = self._constraints(path)
        return counting(bases.items(), covers.items())

    def _constraints(self, path: list[int]) -> tuple[Counter[int], Counter[int]]:
        """Return the constraints behind the links of a path, strong ones and weak ones."""
        pairs = list(pairwise(path))
        bases = Counter(self._price[1 << a | 1 << b][1] for a, b in pairs[::2])
        return bases, Counter(self._statements.shared(a, b) for a, b in pairs[1::2])

    def _path(self, starts: int, targets: int) -> list[int]:
        """Return candidates joined strongly and weakly by turns, from a false start to a true target; or nothing."""
        weak, strong, active = self._statements.weak, self._web.strong, self._web.active
        falls, rises = [starts], []
        all_false, all_true = starts, 0
        while True:
            rise = 0
            fall = falls[-1]
            while fall:
                low = fall & -fall
                fall ^= low
                rise |= strong[low.bit_length() - 1]
            rise &= ~all_true
            all_true |= rise
            rises.append(rise)
            if rise & targets:
                break
            while rise:
                low = rise & -rise
                rise ^= low
                fall |= weak[low.bit_length() - 1]
            fall &= active & ~all_false
            if not fall or len(rises) >= self._depth:
                return []
            all_false |= fall
            falls.append(fall)
        hit = rises[-1] & targets
        path = [(hit & -hit).bit_length() - 1]
        for depth in range(len(falls) - 1, -1, -1):
            b = path[-1]
            bit = 1 << b
            a = min(bits(strong[b] & falls[depth]), key=lambda a: (self._price[1 << a | bit][0], a))
            path.append(a)
            if depth:
                cause = weak[a] & rises[depth - 1]
                path.append((cause & -cause).bit_length() - 1)
        return path[::-1]
