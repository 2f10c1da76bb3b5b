"""Hitting sets: choices of items that have one in common with each of some sets; all of them bitsets."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from deduce.positions import bits

__all__ = ["hitting_also", "hitting_of_size", "smallest_hitting"]

MOST = 5_000
"""How many hitting sets may be held at once."""


def hitting_of_size(count: int, sets: Sequence[int], size: int) -> Iterator[int]:
    """Yield the choices of `size` out of `count` items that hit every set, those with the first items first."""
    for items in combinations([1 << item for item in range(count)], size):
        chosen = sum(items)
        if all(chosen & one for one in sets):
            yield chosen


def hitting_also(hitting: Sequence[int], wanted: int) -> list[int] | None:
    """Return the smallest sets that hit one set more; None if they are too many to hold.

    Parameters
    ----------
    hitting : sequence of int
        The smallest sets that hit all others: ``[0]`` where there are none.
    wanted : int
        The set that is to be hit as well.
    """
    old = [hit for hit in hitting if hit & wanted]
    # Each new set has one of the items that are wanted, so that none of them holds another.
    new = (hit | 1 << i for hit in hitting if not hit & wanted for i in bits(wanted))
    kept = old + [hit for hit in new if not any(smaller & ~hit == 0 for smaller in old)]
    return kept if len(kept) <= MOST else None


def smallest_hitting(size: int, sets: Sequence[int], below: int) -> int | None:
    """Return the fewest of `size` items that hit every set; None unless fewer than `below` do.

    Notes
    -----
    Branches on the items of a smallest set not yet met; a choice is cut off where disjoint sets that are left need more
    items than are allowed.
    """
    for most in range(below):
        found = _smallest((1 << size) - 1, sorted(sets, key=int.bit_count), 0, most)
        if found is not None:
            return found
    return None


def _smallest(allowed: int, sets: Sequence[int], chosen: int, most: int) -> int | None:
    """Return a choice of at most so many more items that meets every set."""
    left = [s for s in sets if not s & chosen]
    if not left:
        return chosen
    apart, used = 0, 0
    for s in left:
        if not s & used:
            apart += 1
            used |= s
    if apart > most:
        return None
    smallest = min(left, key=lambda s: (s & allowed).bit_count())
    for item in bits(smallest & allowed):
        found = _smallest(allowed, left, chosen | 1 << item, most - 1)
        if found is not None:
            return found
        # Every choice with this item has been looked at.
        allowed &= ~(1 << item)
        if any(not s & allowed for s in left):
            return None
    return None
