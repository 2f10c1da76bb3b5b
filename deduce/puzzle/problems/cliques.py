"""Conflicts between pairs of candidates, gathered into few constraints that say "at most one of these".

The larger such a constraint, the more a sum can conclude from it: of five candidates any two of which exclude each
other at most one is true, which the ten pairs do not say when they are added up.
"""

from __future__ import annotations

from collections.abc import Sequence

from deduce.kernel import bits

__all__ = ["gather"]


def gather(conflicts: Sequence[int], own: Sequence[int]) -> list[int]:
    """Cover conflicts by sets of candidates any two of which exclude each other.

    Parameters
    ----------
    conflicts : sequence of int
        For each candidate the bitset of those of other variables that it excludes; symmetric.
    own : sequence of int
        For each candidate the bitset of the other candidates of its variable, which it excludes as well.

    Returns
    -------
    list of int
        Bitsets; every conflict lies within one, each is as large as it can be, and each has a conflict that those
        before it lack.

    Notes
    -----
    A set grows by the candidate that leaves most to grow by, the lowest among equals.

    Examples
    --------
    Three candidates of three variables that exclude one another, and a fourth that excludes the last:

    >>> gather([0b0110, 0b0101, 0b1011, 0b0100], [0, 0, 0, 0])
    [7, 12]
    """
    every = [mask | mine for mask, mine in zip(conflicts, own, strict=True)]
    left = [*conflicts]
    found = []
    for first in range(len(conflicts)):
        while left[first]:
            second = (left[first] & -left[first]).bit_length() - 1
            clique = 1 << first | 1 << second
            room = every[first] & every[second]
            while room:
                best = max(bits(room), key=lambda c: ((every[c] & room).bit_count(), -c))
                clique |= 1 << best
                room &= every[best]
            for member in bits(clique):
                left[member] &= ~clique
            found.append(clique)
    return found
