"""In which order to teach patterns, so that the pupil soon solves many puzzles.

A puzzle is solved once the patterns taught hold one of its smallest solving sets.  The gain of an order is the number
of puzzles solved after the first lesson, plus that after the second, and so on: what a pupil has had by the end.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from deduce.counting.milp import Rows, maximum
from deduce.positions import bits
from deduce.solving.hitting import hitting_also

__all__ = ["Families", "Order", "exact_order", "gain", "greedy_order"]

Families = Mapping[tuple[tuple[str, ...], ...], int]
"""How many puzzles have which smallest solving sets."""


@dataclass(frozen=True, slots=True)
class Order:
    """An order of lessons.

    Parameters
    ----------
    patterns : tuple of str
        The patterns, first lesson first; those that no puzzle needs are left out.
    solved : tuple of int
        How many puzzles are solved before the first lesson, and after each.
    method : str
        How it was found.
    exact : bool
        Whether no order gains more.
    bound : int
        No order gains more than this.
    """

    patterns: tuple[str, ...]
    solved: tuple[int, ...]
    method: str
    exact: bool
    bound: int

    @property
    def gain(self) -> int:
        """The sum of `solved` over the lessons."""
        return sum(self.solved[1:])


def greedy_order(families: Families, catalogue: Sequence[str]) -> Order:
    """Return the order in which each lesson solves as many more puzzles as one pattern can.

    Parameters
    ----------
    families : Families
        What each puzzle needs.
    catalogue : sequence of str
        All patterns; of equally good ones the earlier is taken.

    Notes
    -----
    When no single pattern solves a puzzle more, the one that comes nearest is taken: the pattern for which the most
    puzzles lack the least, counted as 1 / 2^(patterns still missing).

    Examples
    --------
    >>> greedy_order({(("b",),): 3, (("a", "d"), ("c",)): 2}, "abcd").patterns
    ('b', 'c', 'a', 'd')
    """
    left = _used(families, catalogue)
    order: list[str] = []
    while left:
        # Of equals the first of the catalogue.
        best = max(left, key=lambda name: (gain(families, (*order, name)), _nearness(families, (*order, name))))
        order.append(best)
        left.remove(best)
    return _order(families, order, "greedy", bound=None)


def exact_order(families: Families, catalogue: Sequence[str], *, seconds: float = 60.0) -> Order:
    """Return an order with the greatest gain, by mixed-integer programming.

    Parameters
    ----------
    families : Families
        What each puzzle needs.
    catalogue : sequence of str
        All patterns.
    seconds : float
        How long the solver may take; the order is then the best found, with a bound on the best there is.

    Notes
    -----
    A puzzle is solved when what is taught meets every smallest set that hits all its solving sets.  So one variable for
    each pattern and lesson says whether it has been taught by then, and one for each puzzle and lesson, at most the sum
    over each hitting set, whether it is solved.  The solver is HiGHS.

    Examples
    --------
    >>> best = exact_order({(("b",),): 3, (("a", "d"), ("c",)): 2}, "abcd")
    >>> best.patterns, best.solved, best.exact
    (('b', 'c', 'a', 'd'), (0, 3, 5, 5, 5), True)
    """
    names = _used(families, catalogue)
    lessons = len(names)
    worth = [0.0] * (lessons * lessons)
    rows = Rows()

    def taught(pattern: int, lesson: int) -> int:
        return pattern * lessons + lesson

    for lesson in range(lessons):
        rows.add([(taught(p, lesson), 1.0) for p in range(lessons)], lesson + 1, lesson + 1)
    for p in range(lessons):
        for lesson in range(lessons - 1):
            rows.add([(taught(p, lesson), 1.0), (taught(p, lesson + 1), -1.0)], None, 0)
    for sets, weight in families.items():
        if not sets or not all(sets):
            continue
        hitting = [0]
        for members in sets:
            more = hitting_also(hitting, sum(1 << names.index(name) for name in members))
            if more is None:
                greedy = greedy_order(families, catalogue)
                return replace(greedy, method="greedy; too much to choose from for the solver")
            hitting = more
        for lesson in range(lessons):
            solved = len(worth)
            worth.append(float(weight))
            for hit in hitting:
                rows.add([(solved, 1.0), *((taught(p, lesson), -1.0) for p in bits(hit))], None, 0)
    if not lessons:
        return _order(families, [], "exact", bound=0)
    found = maximum(worth, rows, whole=lessons * lessons, seconds=seconds)
    if found is None:
        greedy = greedy_order(families, catalogue)
        return _order(families, greedy.patterns, "greedy; the solver found nothing in time", bound=None)
    by_lesson = sorted(range(lessons), key=lambda p: (-sum(found.values[taught(p, k)] for k in range(lessons)), p))
    bound = int(found.bound + 1e-6) + gain(families, ()) * lessons
    return _order(families, _settled(families, [names[p] for p in by_lesson], names), "HiGHS", bound=bound)


def _settled(families: Families, order: Sequence[str], names: Sequence[str]) -> list[str]:
    """Exchange neighbours that could as well stand in the order of the catalogue, so that equal gains look equal."""
    settled = [*order]
    moving = True
    while moving:
        moving = False
        for i, (one, other) in enumerate(pairwise(settled)):
            known = settled[:i]
            if names.index(one) > names.index(other) and gain(families, (*known, one)) == gain(
                families, (*known, other)
            ):
                settled[i : i + 2] = other, one
                moving = True
                break
    return settled


def gain(families: Families, taught: Iterable[str]) -> int:
    """Return how many puzzles are solved with the patterns taught."""
    known = {*taught}
    return sum(weight for sets, weight in families.items() if any(known.issuperset(members) for members in sets))


def _nearness(families: Families, taught: Iterable[str]) -> float:
    """Return how near the puzzles are to being solved."""
    known = {*taught}
    near = ((weight, min(len({*members} - known) for members in sets)) for sets, weight in families.items() if sets)
    return sum(weight * 0.5**missing for weight, missing in near)


def _used(families: Families, catalogue: Sequence[str]) -> list[str]:
    """Return the patterns that some puzzle needs, in the order of the catalogue."""
    used = {name for sets in families for members in sets for name in members}
    return [name for name in catalogue if name in used]


def _order(families: Families, patterns: Sequence[str], method: str, *, bound: int | None) -> Order:
    """Count what an order brings; without a bound the sum of what is possible stands in for it."""
    solved = tuple(gain(families, patterns[:lesson]) for lesson in range(len(patterns) + 1))
    total = sum(solved[1:])
    most = solved[-1] * len(patterns) if bound is None else max(bound, total)
    return Order(tuple(patterns), solved, method, total == most, most)
