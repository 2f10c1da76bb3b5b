"""What finders read of a position, worked out once and only when asked for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property, lru_cache, partial
from typing import Any, TypeVar

from deduce.links.closure import Closure, closure
from deduce.links.linkset import Links, all_links, set_links
from deduce.links.restricted import restricted_commons
from deduce.links.sets import AlmostLocked, Shape, almost_locked_sets, constraints_holding, shape_of
from deduce.positions import bits
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout

__all__ = ["SETS", "Board", "Scope", "by_digit", "by_house", "everywhere", "house_order"]

SETS = partial(set_links, groups=True, almost_locked_sets=True)
"""All links between single candidates, groups, and places in almost locked sets."""

_Result = TypeVar("_Result")


class Board:
    """Derived facts of one position.

    Parameters
    ----------
    grid : Grid
        The position.

    Attributes
    ----------
    open : int
        Bitset of the live candidates of cells that hold no digit yet.
    """

    def __init__(self, grid: Grid) -> None:
        self.grid = grid
        self.layout = grid.layout
        self.open = grid.live & ~grid.true
        self._conflicts: dict[int, int] = {}
        self._remembered: dict[tuple[object, ...], Any] = {}

    def remember(self, key: tuple[object, ...], work: Callable[[], _Result]) -> _Result:
        """Return what `work` returned for this key, working it out only once: for what two finders have in common."""
        if key not in self._remembered:
            self._remembered[key] = work()
        found: _Result = self._remembered[key]
        return found

    @cached_property
    def planes(self) -> tuple[int, ...]:
        """For each digit (from 1; item 0 is empty) the bitset of cells where it is open."""
        cells = self.layout.cells
        full = (1 << cells) - 1
        return (0, *((self.open >> shift) & full for shift in range(0, self.layout.order * cells, cells)))

    @cached_property
    def digits(self) -> tuple[int, ...]:
        """For each cell the bitset of its open digits (bit d is digit d); 0 for a cell that holds a digit."""
        found = [0] * self.layout.cells
        for digit, plane in enumerate(self.planes):
            for cell in bits(plane):
                found[cell] |= 1 << digit
        return tuple(found)

    @cached_property
    def pairs(self) -> tuple[int, ...]:
        """The cells with exactly two candidates, in reading order."""
        return tuple(cell for cell, digits in enumerate(self.digits) if digits.bit_count() == 2)

    @cached_property
    def single_cells(self) -> int:
        """Bitset of the open cells with exactly one candidate."""
        once = twice = 0
        for plane in self.planes:
            twice |= once & plane
            once |= plane
        return once & ~twice

    def two_places(self, digit: int) -> list[tuple[int, int, int]]:
        """List the houses where a digit has exactly two places: house, first cell, second cell."""
        found = []
        plane = self.planes[digit]
        for house, mask in enumerate(self.layout.house_masks):
            here = plane & mask
            rest = here & (here - 1)
            if rest and not rest & (rest - 1):
                found.append((house, (here ^ rest).bit_length() - 1, rest.bit_length() - 1))
        return found

    def seeing(self, *cells: int) -> int:
        """Return the bitset of cells that share a house with each of these cells."""
        seen = -1
        for cell in cells:
            seen &= self.layout.neighbours[cell]
        return seen

    def shift(self, digit: int, cells: int) -> int:
        """Turn a bitset of cells into the bitset of a digit's candidates there."""
        return cells << (digit - 1) * self.layout.cells

    def linked(self, build: Callable[..., Links], digit: int = 0) -> tuple[Links, Closure]:
        """Return the links of one kind, on one digit if that is not 0, and what chains over them conclude."""

        def work() -> tuple[Links, Closure]:
            links = build(self.grid, digit=digit) if digit else build(self.grid)
            return links, closure(links)

        return self.remember((build, digit), work)

    @property
    def links(self) -> Links:
        """All links between single candidates."""
        return self.linked(all_links)[0]

    @property
    def reach(self) -> Closure:
        """What chains over `links` conclude."""
        return self.linked(all_links)[1]

    @property
    def set_reach(self) -> Closure:
        """What chains over single candidates, groups and almost locked sets conclude."""
        return self.linked(SETS)[1]

    @cached_property
    def shape(self) -> Shape:
        """What the search for sets reads of the layout."""
        return shape_of(self.layout)

    @cached_property
    def almost_locked(self) -> tuple[AlmostLocked, ...]:
        """The almost locked sets of one to four cells, those with fewer cells first, then by their cells."""
        return almost_locked_sets(self.layout, self.open)

    @cached_property
    def restricted(self) -> list[dict[int, int]]:
        """For each of these sets and of its digits those with which it is a restricted common digit (bitset)."""
        return restricted_commons(self.layout, self.almost_locked)

    @cached_property
    def _seeing_sets(self) -> dict[int, list[AlmostLocked]]:
        """For each candidate the almost locked sets all of whose places of its digit conflict with it."""
        found: dict[int, list[AlmostLocked]] = {}
        for one in self.almost_locked:
            for places in one.places:
                for candidate in bits(self.conflicts(places) & self.plane_of(places)):
                    found.setdefault(candidate, []).append(one)
        return found

    def plane_of(self, node: int) -> int:
        """Return all candidates of the digit of a node (a bitset)."""
        cells = self.layout.cells
        return ((1 << cells) - 1) << (node.bit_length() - 1) // cells * cells

    def sets_seeing(self, candidate: int) -> list[AlmostLocked]:
        """Return the almost locked sets all of whose places of a candidate's digit conflict with it, in order."""
        return self._seeing_sets.get(candidate, [])

    def conflicts(self, node: int) -> int:
        """Return the open candidates that a cell or house holds together with all of a node of one digit (bitsets)."""
        found = self._conflicts.get(node)
        if found is None:
            if node & (node - 1):
                found = 0
                for number in constraints_holding(self.shape, node):
                    found |= self.layout.masks[number]
            else:
                found = self.layout.house_peers[node.bit_length() - 1]
            found &= self.open & ~node
            self._conflicts[node] = found
        return found


@dataclass(frozen=True, slots=True)
class Scope:
    """A part of the board such that what a finder sees there depends on these candidates alone.

    Parameters
    ----------
    item : int
        Which house, which digit, or 0 for the whole board.
    mask : int
        Bitset of the candidates that matter.
    """

    item: int
    mask: int


@lru_cache(maxsize=64)
def house_order(layout: Layout) -> tuple[int, ...]:
    """Return the houses in the order in which they are searched, regions first: they are what one sees first."""
    return tuple(sorted(range(len(layout.houses)), key=lambda h: (layout.houses[h].kind in ("row", "column"), h)))


@lru_cache(maxsize=64)
def by_house(layout: Layout) -> tuple[Scope, ...]:
    """Return one scope for each house, in `house_order`."""
    full = range(0, layout.order * layout.cells, layout.cells)
    return tuple(Scope(h, sum(layout.house_masks[h] << shift for shift in full)) for h in house_order(layout))


@lru_cache(maxsize=64)
def by_digit(layout: Layout) -> tuple[Scope, ...]:
    """Return one scope for each digit."""
    plane = (1 << layout.cells) - 1
    return tuple(Scope(digit, plane << (digit - 1) * layout.cells) for digit in range(1, layout.order + 1))


@lru_cache(maxsize=64)
def everywhere(layout: Layout) -> tuple[Scope, ...]:
    """Return the whole board as the only scope."""
    return (Scope(0, layout.every),)
