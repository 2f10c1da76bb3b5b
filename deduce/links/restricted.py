"""Restricted common digits: what only one of two almost locked sets can have."""

from __future__ import annotations

from collections.abc import Sequence

from deduce.links.sets import AlmostLocked, constraints_holding, shape_of
from deduce.puzzle.layout import Layout

__all__ = ["restricted_commons"]


def restricted_commons(layout: Layout, sets: Sequence[AlmostLocked], first: int = 0) -> list[dict[int, int]]:
    """Return with which sets each almost locked set has a restricted common digit.

    Parameters
    ----------
    layout : Layout
        The layout.
    sets : sequence of AlmostLocked
        The sets.
    first : int
        Those before this one get no answer of their own.

    Returns
    -------
    list of dict of int to int
        For each set, from `first` on, and each of its digits (from 1) the bitset of the other sets, by their numbers in
        the sequence, that have no cell in common with it and whose places for the digit lie in one house with its own.
    """
    shape = shape_of(layout)
    within: dict[int, int] = {}
    holders: dict[int, tuple[int, ...]] = {}
    standing: dict[int, int] = {}
    for i, one in enumerate(sets):
        for cell in one.cells:
            standing[cell] = standing.get(cell, 0) | 1 << i
        for places in one.places:
            if places not in holders:
                holders[places] = constraints_holding(shape, places)
            for number in holders[places]:
                within[number] = within.get(number, 0) | 1 << i
    found = []
    for one in sets[first:]:
        overlapping = 0
        for cell in one.cells:
            overlapping |= standing[cell]
        here = {}
        for digit, places in zip(one.digits, one.places, strict=True):
            near = 0
            for number in holders[places]:
                near |= within[number]
            here[digit] = near & ~overlapping
        found.append(here)
    return found
