"""Conflicts between pairs of candidates, gathered into few constraints that say "at most one of these".

The larger such a constraint, the more a sum can conclude from it: of five candidates any two of which exclude each
other at most one is true, which the ten pairs do not say when they are added up.  Two shapes are sought, because these
can be read: one candidate for each of several variables (neighbours of one colour, queens on one diagonal), and some
values of one variable against some of another (everything from 3 up here, everything up to 3 there).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from deduce.positions import bits

__all__ = ["between_two", "gather", "sparse"]

_MOST_BARRED = 3
"""A table in which some value excludes more values than this is one of order rather than of difference."""

Pair = tuple[int, int]


def sparse(conflicts: Iterable[Pair], size: int) -> bool:
    """Whether conflicts between two variables look like a difference: few for each candidate, and few of all pairs.

    Parameters
    ----------
    conflicts : iterable of (int, int)
        Pairs of candidates, those of the first variable first.
    size : int
        How many pairs there are.

    Examples
    --------
    >>> unequal = [(0, 3), (1, 4), (2, 5)]
    >>> sparse(unequal, 9), sparse([(0, 3), (1, 3), (1, 4), (2, 3), (2, 4), (2, 5)], 9)
    (True, False)
    """
    listed = list(conflicts)
    counts = Counter(candidate for pair in listed for candidate in pair)
    return 2 * len(listed) <= size and max(counts.values(), default=0) <= _MOST_BARRED


def gather(conflicts: Sequence[int], own: Sequence[int]) -> list[int]:
    """Find sets of candidates of three or more variables, one of each, any two of which exclude each other.

    Parameters
    ----------
    conflicts : sequence of int
        For each candidate the bitset of those of other variables that it excludes; symmetric.
    own : sequence of int
        For each candidate the bitset of the candidates of its variable, itself included.

    Returns
    -------
    list of int
        Bitsets; together they hold every conflict that lies in such a set.  None can be made larger, and each has a
        conflict that those before it lack.

    Notes
    -----
    A set grows by the candidate that leaves most to grow by, the lowest among equals.

    Examples
    --------
    Three candidates of three variables that exclude one another, and a fourth that excludes the last:

    >>> gather([0b0110, 0b0101, 0b1011, 0b0100], [1, 2, 4, 8])
    [7]
    """
    left = [*conflicts]
    found = []
    for first in range(len(conflicts)):
        while left[first]:
            second = (left[first] & -left[first]).bit_length() - 1
            clique = 1 << first | 1 << second
            room = conflicts[first] & conflicts[second]
            while room:
                best = max(bits(room), key=lambda c: ((conflicts[c] & room).bit_count(), -c))
                clique |= 1 << best
                room &= conflicts[best] & ~own[best]
            for member in bits(clique):
                left[member] &= ~clique
            if clique.bit_count() > 2:
                found.append(clique)
    return found


def between_two(conflicts: Iterable[Pair], covered: Iterable[Pair] = ()) -> list[int]:
    """Cover the conflicts between two variables by sets: some candidates of the one, some of the other.

    Parameters
    ----------
    conflicts : iterable of (int, int)
        Pairs of candidates, those of the first variable first.
    covered : iterable of (int, int)
        Conflicts that need not be covered, since another constraint says them.

    Returns
    -------
    list of int
        Bitsets of all conflicts of a candidate with every candidate that has them too; those within others, and those
        that have nothing uncovered, are left out.

    Examples
    --------
    The first variable (candidates 0, 1, 2) is to be less than the second (3, 4, 5):

    >>> [f"{mask:06b}" for mask in between_two([(0, 3), (1, 3), (1, 4), (2, 3), (2, 4), (2, 5)])]
    ['001111', '011110', '111100']
    """
    listed = sorted(conflicts)
    left = {*listed} - {*covered}
    bars: tuple[dict[int, int], dict[int, int]] = {}, {}
    for pair in listed:
        for side in (0, 1):
            bars[side][pair[side]] = bars[side].get(pair[side], 0) | 1 << pair[1 - side]
    sets: dict[int, None] = {}
    for side in (0, 1):
        for barred in bars[side].values():
            like = sum(1 << other for other, its in bars[side].items() if not barred & ~its)
            sets[like | barred] = None
    found = []
    for mask in sorted(sets):
        inside = {pair for pair in listed if mask >> pair[0] & 1 and mask >> pair[1] & 1}
        if inside & left and not any(mask != other and not mask & ~other for other in sets):
            found.append(mask)
    return found
