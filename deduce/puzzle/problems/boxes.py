"""Forbidden combinations of three or more variables, gathered into boxes: one set of digits for each variable.

A box says that not every variable takes a digit of its set, which is one linear constraint.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import product

from deduce.positions import united

__all__ = ["Box", "gather_boxes"]

Box = tuple[tuple[int, ...], ...]


def gather_boxes(
    allowed: Sequence[tuple[int, ...]], digits: Sequence[Sequence[int]], forbidden: Iterable[tuple[int, ...]]
) -> list[Box]:
    """Cover forbidden combinations by boxes without any allowed one.

    Parameters
    ----------
    allowed : sequence of tuple of int
        The combinations that are allowed.
    digits : sequence of sequence of int
        The digits of each variable.
    forbidden : iterable of tuple of int
        What is to be covered.

    Returns
    -------
    list of Box
        Each as large as it can be; it is widened from its last variable to its first and the other way round, so
        that there may be two for one combination.

    Examples
    --------
    Of two bits and their exclusive or (0 and 1 stand for themselves):

    >>> gather_boxes([(0, 0, 0), (0, 1, 1), (1, 0, 1), (1, 1, 0)], [(0, 1)] * 3, [(0, 0, 1)])
    [((0,), (0,), (1,))]
    """
    size = len(digits)
    holding: list[dict[int, int]] = [dict.fromkeys(column, 0) for column in digits]
    for number, combination in enumerate(allowed):
        for column, digit in zip(holding, combination, strict=True):
            column[digit] |= 1 << number
    found: dict[Box, None] = {}
    covered: set[tuple[int, ...]] = set()
    for combination in forbidden:
        if combination in covered:
            continue
        for order in (range(size - 1, -1, -1), range(size)):
            box = _widened(combination, holding, order)
            if box not in found:
                found[box] = None
                covered.update(product(*box))
    return list(found)


def _widened(combination: tuple[int, ...], holding: list[dict[int, int]], order: Iterable[int]) -> Box:
    """Return the box that grows from one combination, variable after variable."""
    box = [[digit] for digit in combination]
    for place in order:
        rest = -1
        for other, chosen in enumerate(box):
            if other != place:
                rest &= united(holding[other][digit] for digit in chosen)
        box[place] = [digit for digit, numbers in holding[place].items() if not numbers & rest]
    return tuple(tuple(sorted(chosen)) for chosen in box)
