"""Nodes of several candidates: groups, and the places of a digit in an almost locked set."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

from deduce.positions import bits, bitset, united
from deduce.puzzle.layout import Layout

__all__ = ["LARGEST", "AlmostLocked", "Shape", "almost_locked", "almost_locked_sets", "constraints_holding", "forget"]
__all__ += ["houses_holding", "shape_of", "splits"]

LARGEST = 4
"""The most cells of an almost locked set."""


class AlmostLocked(NamedTuple):
    """Some open cells of a house that hold one digit more than there are cells.

    If one of the digits has no place in them, every other digit does; so of any two of its digits at least one has its
    place there.

    Parameters
    ----------
    cells : tuple of int
        In reading order.
    digits : tuple of int
        From 1, ascending; one more than there are cells.
    places : tuple of int
        For each of the digits the bitset of its candidates in the cells.
    """

    cells: tuple[int, ...]
    digits: tuple[int, ...]
    places: tuple[int, ...]


class Shape:
    """What the search for sets reads of a layout, worked out once.

    Compared by identity, so that it costs nothing to remember what a house held when it was last looked at.

    Attributes
    ----------
    layout : Layout
        The layout.
    crossings : tuple of tuple of int
        For each house the bitsets of two cells or more that it shares with another house.
    widest : int
        The most cells that two houses share.
    house_candidates : tuple of int
        For each house the bitset of all candidates of its cells.
    """

    def __init__(self, layout: Layout) -> None:
        self.layout = layout
        masks = layout.house_masks
        shared = [[mask & other for h, other in enumerate(masks) if h != house] for house, mask in enumerate(masks)]
        self.crossings = tuple(tuple(dict.fromkeys(m for m in row if m & (m - 1))) for row in shared)
        self.widest = max((mask.bit_count() for row in self.crossings for mask in row), default=0)
        spread = sum(1 << shift for shift in range(0, layout.order * layout.cells, layout.cells))
        self.house_candidates = tuple(mask * spread for mask in masks)


@lru_cache(maxsize=16)
def shape_of(layout: Layout) -> Shape:
    """Return the shape of a layout, the same object each time."""
    return Shape(layout)


@lru_cache(maxsize=1 << 15)
def houses_holding(shape: Shape, cells: int) -> tuple[int, ...]:
    """Return the houses that hold every cell of a bitset."""
    masks = shape.layout.house_masks
    return tuple(h for h in shape.layout.houses_of[cells.bit_length() - 1] if not cells & ~masks[h])


def constraints_holding(shape: Shape, node: int) -> tuple[int, ...]:
    """Return the constraints of houses that hold every candidate of a node (a bitset, of one digit), in order."""
    layout = shape.layout
    digit = (node.bit_length() - 1) // layout.cells
    houses = houses_holding(shape, node >> digit * layout.cells)
    return tuple(layout.cells + house * layout.order + digit for house in houses)


@lru_cache(maxsize=1 << 15)
def splits(shape: Shape, house: int, places: int) -> tuple[tuple[int, int], ...]:
    """Return each way to share out the places of a digit in a house between two nodes, at least one of them a group.

    Parameters
    ----------
    shape : Shape
        The layout.
    house : int
        The house.
    places : int
        Bitset of the cells where it has the digit, three or more.

    Returns
    -------
    tuple of (int, int)
        Bitsets of cells.  Each is one cell, or a group: two or more that the house shares with another house.
    """
    wholes = {*(places & crossing for crossing in shape.crossings[house])} - {0}
    singles = {1 << cell for cell in bits(places)}
    found = set()
    for whole in wholes | singles:
        part = whole
        while part:
            rest = places & ~part
            if rest in singles or (rest and any(not rest & ~other for other in wholes)):
                found.add((min(part, rest), max(part, rest)))
            part = (part - 1) & whole
    return tuple(sorted(found))


def almost_locked_sets(layout: Layout, live: int, largest: int = LARGEST) -> tuple[AlmostLocked, ...]:
    """Return the almost locked sets of a position, those with fewer cells first, then by their cells.

    Parameters
    ----------
    layout : Layout
        The layout.
    live : int
        Bitset of the live candidates of open cells.
    largest : int
        The most cells that a set may have.

    Notes
    -----
    What a house holds is remembered, so from one step of a walk to the next only houses that have changed are
    searched.
    """
    shape = shape_of(layout)
    found: dict[tuple[int, ...], AlmostLocked] = {}
    for house, candidates in enumerate(shape.house_candidates):
        for one in _in_house(shape, house, live & candidates, largest):
            found.setdefault(one.cells, one)
    return tuple(sorted(found.values(), key=lambda one: (len(one.cells), one.cells)))


def almost_locked(layout: Layout, open_: int, cells: Sequence[int]) -> AlmostLocked | None:
    """Return some cells as an almost locked set; None if they are none.

    Parameters
    ----------
    layout : Layout
        The layout.
    open_ : int
        Bitset of the live candidates of open cells.
    cells : sequence of int
        Different open cells of one house, if they are such a set.
    """
    inside = [open_ & layout.masks[cell] for cell in cells]
    here, plane = united(inside), (1 << layout.cells) - 1
    if not cells or not all(inside) or len({*cells}) != len(cells):
        return None
    if not houses_holding(shape_of(layout), bitset(cells)):
        return None
    planes = ((digit, here & plane << (digit - 1) * layout.cells) for digit in range(1, layout.order + 1))
    held = [(digit, places) for digit, places in planes if places]
    if len(held) != len(cells) + 1:
        return None
    digits, spots = zip(*held, strict=True)
    return AlmostLocked(tuple(cells), digits, spots)


def forget() -> None:
    """Forget what houses held; for those who measure how long it takes to find out."""
    for remembered in (_in_house, splits, houses_holding):
        remembered.cache_clear()


@lru_cache(maxsize=1 << 13)
def _in_house(shape: Shape, house: int, here: int, largest: int) -> tuple[AlmostLocked, ...]:
    """Return the almost locked sets in one house, given its live candidates."""
    layout = shape.layout
    size, plane = layout.cells, (1 << layout.cells) - 1
    digits = dict.fromkeys(layout.houses[house].cells, 0)
    for candidate in bits(here):
        digits[candidate % size] |= 1 << candidate // size
    items = [(cell, mask) for cell, mask in digits.items() if mask and mask.bit_count() <= largest + 1]

    def extend(start: int, cells: tuple[int, ...], union: int) -> Iterator[AlmostLocked]:
        for i in range(start, len(items)):
            cell, mask = items[i]
            joined = union | mask
            extra = joined.bit_count() - len(cells) - 1
            if extra > largest - len(cells):
                continue
            chosen = (*cells, cell)
            if extra == 1:
                inside = sum(1 << c for c in chosen)
                held = bits(joined)
                places = tuple(here & (inside << d * size) & (plane << d * size) for d in held)
                yield AlmostLocked(chosen, tuple(d + 1 for d in held), places)
            if len(chosen) < largest:
                yield from extend(i + 1, chosen, joined)

    return tuple(extend(0, (), 0))
