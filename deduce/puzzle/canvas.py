"""Layouts made from layouts: several grids on one canvas, and the usual further houses."""

from __future__ import annotations

from collections.abc import Sequence
from math import isqrt

from deduce.errors import LayoutError
from deduce.puzzle.layout import House, Layout
from deduce.puzzle.rules import Rule

__all__ = ["diagonals", "join", "windows"]


def join(parts: Sequence[tuple[Layout, int, int]]) -> Layout:
    """Return several layouts on one canvas; places that coincide are one cell.

    Parameters
    ----------
    parts : sequence of (Layout, int, int)
        Each with the row and column, from 0, of its upper left corner.  All have the same digits.

    Returns
    -------
    Layout
        Houses are named after the grid that they come from, as in ``row 3 of grid 2``; one that two grids have in
        common belongs to the first.

    Raises
    ------
    LayoutError
        If the digits differ, or there is nothing to join.

    Examples
    --------
    >>> small = Layout.standard(4)
    >>> join([(small, 0, 0), (small, 2, 2)])
    <Layout of order 4 with 28 cells and 23 houses>
    """
    if not parts:
        raise LayoutError("there is nothing to join", "give at least one layout with its row and column")
    first = parts[0][0]
    if any(layout.symbols != first.symbols for layout, _, _ in parts):
        raise LayoutError("the layouts have different digits", "join layouts of one order with the same symbols")
    moved = [[(row + down, column + right) for row, column in layout.places] for layout, down, right in parts]
    places = sorted({place for part in moved for place in part})
    number = {place: cell for cell, place in enumerate(places)}
    houses: dict[frozenset[int], House] = {}
    rules: dict[Rule, None] = {}
    for grid, ((layout, _, _), part) in enumerate(zip(parts, moved, strict=True), 1):
        to = [number[place] for place in part]
        for house in layout.houses:
            cells = tuple(sorted(to[cell] for cell in house.cells))
            name = House(house.kind, house.number, cells, grid if len(parts) > 1 else house.grid)
            houses.setdefault(frozenset(cells), name)
        rules.update(dict.fromkeys(rule.moved(to) for rule in layout.rules))
    return Layout.build(first.order, places, houses.values(), rules, symbols=first.symbols)


def diagonals(layout: Layout) -> Layout:
    """Return a square grid with its two diagonals as houses.

    Raises
    ------
    LayoutError
        If the layout is no square of as many rows as digits.
    """
    order = layout.order
    _square(layout, "diagonals")
    at = layout.cell_at
    falling = [at[i, i] for i in range(order)]
    rising = [at[order - 1 - i, i] for i in range(order)]
    return layout.with_houses("diagonal", [falling, rising])


def windows(layout: Layout) -> Layout:
    """Return a square grid with extra boxes as houses that are set off from the others by one row and column.

    On a 9x9 grid these are the four that lie in rows and columns 2 to 4 and 6 to 8.

    Raises
    ------
    LayoutError
        If the layout is no square with square boxes.
    """
    _square(layout, "windows")
    side = isqrt(layout.order)
    if side * side != layout.order:
        raise LayoutError(f"windows do not fit a grid of order {layout.order}", "give an order such as 9 or 16")
    corners = range(1, layout.order - side, side + 1)
    inside = range(side)
    sets = [[layout.cell_at[r + i, c + j] for i in inside for j in inside] for r in corners for c in corners]
    return layout.with_houses("window", sets)


def _square(layout: Layout, what: str) -> None:
    """Refuse a layout that is no square of as many rows as digits."""
    if layout.cells != layout.order**2 or (layout.height, layout.width) != (layout.order, layout.order):
        raise LayoutError(f"{what} need a square grid", "add them to each grid before joining grids on a canvas")
