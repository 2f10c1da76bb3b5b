"""Attention: which of the deductions of equal ease a person would take, who has just made another.

A person who has placed a digit goes on where the eye already is.  So a last open cell of a house comes first; then, of
what shares a house or the digit with the last placement, or was opened by the last step, a house with two or three open
cells, the digit in hand, and the house in hand; then houses elsewhere with two or three open cells; and then the rest.
Nothing here decides what is true, or which patterns may be used, so whatever order is kept, a walk with the same
patterns ends in the same position.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from deduce.patterns.board import by_house
from deduce.patterns.catalogue import named
from deduce.patterns.singles import HIDDEN, LAST, NAKED, alone_in_cell, alone_in_house
from deduce.positions import bits
from deduce.proof import Proof
from deduce.puzzle.grid import Grid

__all__ = ["Attention"]

_Single = tuple[int, int, int]
"""A candidate, the house that places it (or -1: nothing else fits its cell), and how many cells are open there."""

_House = tuple[int, int, list[int]]
"""The number of a house, the bitset of its candidates, and that of each digit there."""

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
        planes = [((1 << layout.cells) - 1) << shift for shift in range(0, layout.order * layout.cells, layout.cells)]
        self._open: list[_House] = [
            (scope.item, scope.mask, [scope.mask & plane for plane in planes]) for scope in by_house(layout)
        ]
        self._cell = self._digit = self._house = -1
        self._placed = False

    def single(self, position: Grid) -> Proof | None:
        """Return the single that attention goes to, or None if there is none."""
        open_ = position.live & ~position.true
        houses, found = [], []
        for house in self._open:
            here = open_ & house[1]
            if here:
                houses.append(house)
                if not here & (here - 1):
                    found.append((here.bit_length() - 1, house[0], 1))
        self._open = houses  # what is full stays full
        if not (found and (self._last or self._hidden)):
            cells = self._alone(open_) if self._naked else []
            found = self._nearby(open_, cells) or self._anywhere(open_, cells)
        if not found:
            return None
        candidate, number, count = min(found, key=self._distance) if len(found) > 1 else found[0]
        if number < 0:
            return named(position, alone_in_cell(position, candidate))
        name = LAST if count == 1 and self._last else HIDDEN
        return named(position, alone_in_house(position, name, candidate, number))

    def turn(self, before: Grid, proof: Proof, after: Grid) -> None:
        """Turn to where a step was made."""
        self.moved = (before.live & ~after.live) | (after.true & ~before.true)
        placed = proof.inferences[-1].true
        self._placed = bool(placed)
        if placed:
            self._digit, self._cell = divmod(placed[-1], self._layout.cells)
            house = proof.pattern.role("house")
            self._house = house[0] if house else -1

    def _nearby(self, open_: int, cells: Sequence[_Single]) -> list[_Single]:
        """List the singles of the cells, houses and digit to which the last step drew attention.

        Those are, of a placed digit, this digit everywhere and all that its cell sees; otherwise what lost a candidate.
        """
        layout, moved = self._layout, self.moved
        if self._placed:
            seen, digits = layout.neighbours[self._cell], [self._digit]
            near = [one for one in cells if seen >> one[0] % layout.cells & 1]
        else:
            gone = list(bits(moved))
            digits = sorted({candidate // layout.cells for candidate in gone})
            lost = {candidate % layout.cells for candidate in gone}
            near = [one for one in cells if one[0] % layout.cells in lost]
        if self._hidden:
            around = layout.houses_of[self._cell] if self._placed else ()
            for house in self._open:
                every = house[0] in around
                for digit in range(layout.order) if every else digits:
                    one = open_ & house[2][digit]
                    if one and not one & (one - 1) and (every or self._placed or moved & house[2][digit]):
                        near.append(_with_count(open_, house, one))
        return near

    def _anywhere(self, open_: int, cells: list[_Single]) -> list[_Single]:
        """List all singles, of the houses first."""
        if not self._hidden:
            return cells
        lone = (
            _with_count(open_, house, one)
            for house in self._open
            for part in house[2]
            if (one := open_ & part) and not one & (one - 1)
        )
        return [*lone, *cells]

    def _alone(self, open_: int) -> list[_Single]:
        """List the open cells with one candidate, in reading order."""
        once = twice = 0
        cells = self._layout.cells
        full = (1 << cells) - 1
        shifted = open_
        while shifted:
            plane = shifted & full
            twice |= once & plane
            once |= plane
            shifted >>= cells
        masks = self._layout.masks
        return [((open_ & masks[cell]).bit_length() - 1, -1, self._layout.order) for cell in bits(once & ~twice)]

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


def _with_count(open_: int, house: _House, one: int) -> _Single:
    """Return a candidate that is alone in a house, with how many of the house's digits are open."""
    return one.bit_length() - 1, house[0], sum(1 for part in house[2] if open_ & part)
