"""Where to look: the first thing that a teacher says, before any name or reason."""

from __future__ import annotations

from deduce.kernel import Counting, Inference, Supposition, Swap
from deduce.positions import bits
from deduce.proof import Proof
from deduce.puzzle.grid import Grid, grid_of
from deduce.words.en.names import Names, series

__all__ = ["tell_where"]


def tell_where(proof: Proof) -> str:
    """Say which houses to look at, and nothing else: neither a pattern nor a digit.

    These are the houses that are scanned, then as few as hold the cells that are read, if possible those in which
    something falls; of a supposition the house in which it is made.  Cells are named only where no house holds them.
    """
    grid = grid_of(proof)
    layout, names = grid.layout, Names(grid.layout)
    read = [part for inference in proof.inferences for part in _read(inference, grid)]
    scanned = dict.fromkeys(place[0] for number in read if (place := layout.house_of(number)))
    left = {cell for number in read if not layout.house_of(number) for cell in _cells(grid, number)}
    left -= {cell for house in scanned for cell in layout.houses[house].cells}
    houses = [*scanned]
    lone = {cell for cell in left if layout.problem or not layout.houses_of[cell]}
    left -= lone
    covers = {
        place[0]
        for inference in proof.inferences
        if isinstance(inference.argument, Counting)
        for number, _ in inference.argument.covers
        if (place := layout.house_of(number))
    }
    while left:
        inside = {house: left.intersection(layout.houses[house].cells) for c in left for house in layout.houses_of[c]}
        best = max(inside, key=lambda h: (len(inside[h]), h in covers, -len(names.open_cells(grid, h)), -h))
        houses.append(best)
        left -= inside[best]
    if 2 * len(houses) > len(layout.houses) > 0 and len(houses) > 1:
        return "Look at the whole board."
    return f"Look at {series([*names.by_kind(sorted(houses)), *map(names.cell, sorted(lone))])}."


def _read(inference: Inference, grid: Grid) -> list[int]:
    """List the constraints to be read for one inference; those of the cells for whatever asks for candidates."""
    argument = inference.argument
    if isinstance(argument, Supposition):
        return [argument.candidate % grid.layout.cells]
    if isinstance(argument, Swap):
        return [c % grid.layout.cells for c in (*argument.pattern, *argument.exits)]
    swapped = (c % grid.layout.cells for swap, _ in argument.swaps for c in (*swap.pattern, *swap.exits))
    return [*(number for number, _ in argument.bases or argument.covers), *swapped]


def _cells(grid: Grid, number: int) -> set[int]:
    """Return the cells that a constraint speaks of, those that are open if there are any."""
    cells = {c % grid.layout.cells for c in bits(grid.model.masks[number])}
    return {cell for cell in cells if not grid.true & grid.layout.masks[cell]} or cells
