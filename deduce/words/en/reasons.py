"""Why a digit is missing from cells, and which rule cannot be met, so that words and pictures can point at them."""

from __future__ import annotations

from collections.abc import Iterator

from deduce.kernel import Counting
from deduce.positions import bits
from deduce.proof import Proof
from deduce.puzzle.grid import Grid

__all__ = ["barred", "unmet", "witnesses"]


def barred(grid: Grid, house: int, digit: int) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Find placed digits that keep a digit out of the open cells of a house.

    Parameters
    ----------
    grid : Grid
        The position.
    house : int
        Number of the house.
    digit : int
        From 1.

    Returns
    -------
    placed : tuple of int
        Cells that hold the digit and between them see the open cells that lack it; few, though not always fewest.
    others : tuple of int
        Open cells of the house that lack the digit for another reason.
    """
    layout = grid.layout
    missing = {
        cell
        for cell in layout.houses[house].cells
        if not grid.true & layout.masks[cell] and not grid.live >> layout.number(digit, cell) & 1
    }
    first = layout.number(digit, 0)
    holders = bits(grid.true >> first & (1 << layout.cells) - 1)
    placed = []
    while missing:
        seen = {cell: {c for c in missing if layout.neighbours[cell] >> c & 1} for cell in holders}
        best = max(holders, key=lambda cell: (len(seen[cell]), -cell), default=None)
        if best is None or not seen[best]:
            break
        placed.append(best)
        missing -= seen[best]
    return tuple(sorted(placed)), tuple(sorted(missing))


def witnesses(grid: Grid, cell: int) -> tuple[tuple[int, ...], bool]:
    """Find placed digits that a cell sees.

    Parameters
    ----------
    grid : Grid
        The position.
    cell : int
        The cell.

    Returns
    -------
    seen : tuple of int
        For each digit that the cell lacks the first cell that holds it and shares a house with it, in order.
    complete : bool
        Whether these account for every digit that it lacks.
    """
    layout = grid.layout
    seen = []
    complete = True
    for digit in range(1, layout.order + 1):
        first = layout.number(digit, 0)
        if grid.live >> first + cell & 1:
            continue
        holders = bits(grid.true >> first & (1 << layout.cells) - 1 & layout.neighbours[cell])
        seen += holders[:1]
        complete = complete and bool(holders)
    return tuple(sorted(seen)), complete


def unmet(proof: Proof) -> Iterator[int]:
    """Yield the constraints that contradictions are about, of those that rest on a single one."""
    for inference in proof.inferences:
        argument = inference.argument
        if inference.contradiction and isinstance(argument, Counting):
            numbers = [number for number, _ in (*argument.bases, *argument.covers)]
            if len(numbers) == 1:
                yield numbers[0]
