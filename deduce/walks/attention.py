"""Attention: which of the deductions of equal ease a person would take, who has just made another.

A person who has placed a digit goes on where the eye already is.  So a last open cell of a house comes first; then, of
what shares a house or the digit with the last placement, or was opened by the last step, a house with two or three open
cells, the digit in hand, and the house in hand; then houses elsewhere with two or three open cells; and then the rest.
Nothing here decides what is true, or which patterns may be used, so whatever order is kept, a walk with the same
patterns ends in the same position.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from functools import lru_cache
from itertools import chain

from deduce.patterns.board import by_house
from deduce.patterns.catalogue import named
from deduce.patterns.singles import HIDDEN, LAST, NAKED, alone_in_cell, alone_in_house
from deduce.positions import bits
from deduce.proof import Proof
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout

__all__ = ["Attention"]

_Single = tuple[int, int, int]
"""A candidate, the house that places it (or -1: nothing else fits its cell), and how many cells are open there."""

_Spot = tuple[int, int]
"""The rank of a house among those that are looked at, and a digit from 0; or the rank after them, and a cell."""


@lru_cache(maxsize=32)
def _spots(layout: Layout) -> tuple[tuple[tuple[int, ...], ...], tuple[tuple[_Spot, ...], ...]]:
    """Return the candidates of each spot as a bitset, by rank and number, and for each candidate its spots."""
    planes = [((1 << layout.cells) - 1) << shift for shift in range(0, layout.order * layout.cells, layout.cells)]
    parts = [tuple(scope.mask & plane for plane in planes) for scope in by_house(layout)]
    parts.append(tuple(layout.masks[: layout.cells]))
    of: list[list[_Spot]] = [[] for _ in layout.model.names]
    for rank, masks in enumerate(parts):
        for number, mask in enumerate(masks):
            for candidate in bits(mask):
                of[candidate].append((rank, number))
    return tuple(parts), tuple(map(tuple, of))


_FEW = 3
"""A house with so few open cells is looked at before the digit in hand."""


class Attention:
    """Chooses among the singles of the positions of one walk, and keeps in mind what the last step did.

    Parameters
    ----------
    grid : Grid
        Where the walk begins.
    names : collection of str
        Which singles may be used.

    Attributes
    ----------
    moved : int
        Bitset of the candidates that the last step settled; 0 before the first.
    """

    def __init__(self, grid: Grid, names: Collection[str]) -> None:
        self.moved = 0
        self._layout = layout = grid.layout
        self._last, self._hidden, self._naked = LAST in names, HIDDEN in names, NAKED in names
        self._open = [(scope.item, scope.mask) for scope in by_house(layout)]
        self._numbers = [number for number, _ in self._open]
        self._parts, self._spots = _spots(layout)
        self._alone: dict[_Spot, int] = {}
        self._cell = self._digit = self._house = -1
        self._placed = False
        every = (((rank, n) for n in range(len(masks))) for rank, masks in enumerate(self._parts))
        self._look(grid.live & ~grid.true, chain.from_iterable(every))

    def single(self, position: Grid) -> Proof | None:
        """Return the single that attention goes to, or None if there is none."""
        open_ = position.live & ~position.true
        self._open = [house for house in self._open if open_ & house[1]]  # what is full stays full
        alone = [(here, number) for number, mask in self._open if not (here := open_ & mask) & (here - 1)]
        found = [(here.bit_length() - 1, number, 1) for here, number in alone]
        if not (found and (self._last or self._hidden)):
            spots = self._nearby() or sorted(self._alone)
            found = [self._told(open_, spot) for spot in spots]
        if not found:
            return None
        candidate, number, count = min(found, key=self._distance) if len(found) > 1 else found[0]
        if number < 0:
            return named(position, alone_in_cell(position, candidate))
        name = LAST if count == 1 and self._last else HIDDEN
        return named(position, alone_in_house(position, name, candidate, number))

    def turn(self, before: Grid, proof: Proof, after: Grid) -> None:
        """Turn to where a step was made: only what it settled can make a single, or end one."""
        self.moved = (before.live & ~after.live) | (after.true & ~before.true)
        placed = proof.inferences[-1].true
        self._placed = bool(placed)
        if placed:
            self._digit, self._cell = divmod(placed[-1], self._layout.cells)
            house = proof.pattern.role("house")
            self._house = house[0] if house else -1
        open_ = after.live & ~after.true
        for candidate in bits(self.moved):
            self._look(open_, self._spots[candidate])

    def _look(self, open_: int, spots: Iterable[_Spot]) -> None:
        """See in which of these spots one candidate is alone."""
        for spot in spots:
            one = open_ & self._parts[spot[0]][spot[1]]
            if one and not one & (one - 1) and (self._hidden if spot[0] < len(self._numbers) else self._naked):
                self._alone[spot] = one
            else:
                self._alone.pop(spot, None)

    def _nearby(self) -> list[_Spot]:
        """List where something is alone among the cells, houses and digit to which the last step drew attention.

        Those are, of a placed digit, all that its cell sees and this digit everywhere; otherwise what lost a candidate.
        """
        cells = len(self._numbers)
        if self._placed:
            seen, around = self._layout.neighbours[self._cell], self._layout.houses_of[self._cell]
            found = [
                (rank, n)
                for rank, n in self._alone
                if (seen >> n & 1 if rank == cells else n == self._digit or self._numbers[rank] in around)
            ]
        else:
            found = [spot for spot in self._alone if self.moved & self._parts[spot[0]][spot[1]]]
        return sorted(found, key=lambda spot: (spot[0] != cells, spot))

    def _told(self, open_: int, spot: _Spot) -> _Single:
        """Return the single of a spot, with how many of its house's digits are open."""
        rank, candidate = spot[0], self._alone[spot].bit_length() - 1
        if rank == len(self._numbers):
            return candidate, -1, self._layout.order
        return candidate, self._numbers[rank], sum(1 for part in self._parts[rank] if open_ & part)

    def _distance(self, found: _Single) -> tuple[int, ...]:
        """Return how far a single is from where attention is; smaller is nearer."""
        candidate, house, count = found
        digit, cell = divmod(candidate, self._layout.cells)
        here = self._cell >= 0 and bool(self._layout.neighbours[self._cell] >> cell & 1)
        near = here or digit == self._digit
        if count == 1:
            return 0, not near, house != self._house
        if near and count <= _FEW:
            return 1, count, house != self._house
        if near and house >= 0:
            return 2, digit != self._digit, house != self._house, count
        if here:
            return 3, 0
        return (4, count) if count <= _FEW else (5, house < 0)
