"""Placing naked and hidden singles until none is left, without their reasons."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

__all__ = ["place_singles"]


def place_singles(
    peers: Sequence[int], live: int, true: int, masks: Iterable[int]
) -> tuple[int, int, Sequence[int] | None]:
    """Return the position in which no single is left, and the constraints that it has not met.

    Parameters
    ----------
    peers : sequence of int
        For each candidate the bitset of those that it excludes.
    live, true : int
        The position.
    masks : iterable of int
        Bitsets of the constraints "at least one of these" that may not be met yet.

    Returns
    -------
    int, int
        The position; as far as it was followed if it is dead.
    sequence of int or None
        The masks that are not met; None if one can no longer be met, so that the position is dead.
    """
    while True:
        before = true
        unmet = []
        for mask in masks:
            here = live & mask
            if here & (here - 1):
                unmet.append(mask)
            elif not here:
                return live, true, None
            elif not here & true:
                true |= here
                live &= ~peers[here.bit_length() - 1]
        if true == before:
            return live, true, unmet
        masks = unmet
