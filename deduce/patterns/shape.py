"""The shape of a sum: the parts of a counting argument by kind, from which families read what the trade calls it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from deduce.kernel import Counting, Inference
from deduce.proof import Pattern
from deduce.puzzle.grid import Grid

__all__ = ["ShapeReading", "SumShape"]


@dataclass(frozen=True, slots=True)
class SumShape:
    """The parts of a counting argument, by kind.

    Parameters
    ----------
    base_cells, cover_cells : tuple of int
        Cells used as bases and as covers.
    base_houses, cover_houses : tuple of (int, int)
        House and digit (from 1) of the others.
    further : bool
        Whether there are also constraints of rules beyond houses.
    """

    base_cells: tuple[int, ...]
    base_houses: tuple[tuple[int, int], ...]
    cover_cells: tuple[int, ...]
    cover_houses: tuple[tuple[int, int], ...]
    further: bool

    @property
    def parts(self) -> int:
        """How many cells, and digits in houses, there are on both sides."""
        return sum(map(len, (self.base_cells, self.base_houses, self.cover_cells, self.cover_houses)))

    @classmethod
    def of(cls, grid: Grid, argument: Counting) -> SumShape:
        """Return the shape of an argument, weights left aside."""
        cells, layout = grid.layout.cells, grid.layout

        def split(side: Iterable[tuple[int, int]]) -> tuple[tuple[int, ...], tuple[tuple[int, int], ...]]:
            numbers = [number for number, _ in side]
            houses = tuple(place for place in map(layout.house_of, numbers) if place is not None)
            return tuple(n for n in numbers if n < cells), houses

        further = any(number >= layout.exact for side in (argument.bases, argument.covers) for number, _ in side)
        return cls(*split(argument.bases), *split(argument.covers), further)


@dataclass(frozen=True, slots=True)
class ShapeReading:
    """How a family reads a sum as one of its patterns.

    Parameters
    ----------
    read : callable
        From a grid, an inference and the shape of its sum to patterns with the roles that they would have; what is not
        as its name says is sorted out by the fault of the family.
    settles : bool
        Whether nobody else need be asked where this reads something.
    beyond : bool, optional
        Whether it reads sums with rules beyond houses, or those without; None for both.
    """

    read: Callable[[Grid, Inference, SumShape], Iterable[Pattern]]
    settles: bool = False
    beyond: bool | None = False
