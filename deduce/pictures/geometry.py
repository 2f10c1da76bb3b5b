"""Where things stand in a drawing: cells, notes, outlines of sets of cells, and the lanes that keep these apart."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from math import ceil, isqrt

from deduce.puzzle.layout import Layout

__all__ = ["LANES", "NODE", "PITCH", "Geometry", "Point", "figure"]

PITCH = 20.0
"""Distance between neighbouring notes, in user units."""

NODE = 7.6
"""Half the width of the shape around a marked note."""

LANES = (2.2, 4.8, 7.0)
"""How far inside their borders outlines may run, so that up to three of them stand side by side."""

_MARGIN = 24.0

Point = tuple[float, float]


def figure(number: float) -> str:
    """Print a coordinate with at most one decimal."""
    return f"{number:.1f}".removesuffix(".0")


class Geometry:
    """Coordinates for one layout; x to the right, y down.

    Parameters
    ----------
    layout : Layout
        Gives the order, and the places of the cells.
    """

    def __init__(self, layout: Layout) -> None:
        self.order = layout.order
        self.places = layout.places
        self.cell_at = layout.cell_at
        self.rows, self.columns = layout.height, layout.width
        self.across = isqrt(self.order - 1) + 1
        self.down = ceil(self.order / self.across)
        # Beside the shapes of the outermost notes there is room for three outlines; whole coordinates are short ones.
        # Where rules are marked along the borders of cells, these are further from the notes.
        self.cell = PITCH * self.across + (26 if layout.rules else 16)
        self.left = self.top = _MARGIN
        self.wide, self.high = self.cell * self.columns, self.cell * self.rows
        self.width = self.wide + _MARGIN + 8
        self.big = min(self.cell * 0.62, 46.0)

    def corner(self, cell: int) -> Point:
        """Return the upper left corner of a cell."""
        row, column = self.places[cell]
        return self.left + column * self.cell, self.top + row * self.cell

    def centre(self, cell: int) -> Point:
        """Return the middle of a cell."""
        x, y = self.corner(cell)
        return x + self.cell / 2, y + self.cell / 2

    def note(self, cell: int, digit: int) -> Point:
        """Return the fixed place of a note."""
        x, y = self.centre(cell)
        down, across = divmod(digit - 1, self.across)
        return x + (across - (self.across - 1) / 2) * PITCH, y + (down - (self.down - 1) / 2) * PITCH

    def lanes(self, sets: Sequence[tuple[int, Collection[int]]]) -> list[float]:
        """Choose for each set of cells how far inside its border its outline runs.

        Parameters
        ----------
        sets : sequence of (int, collection of int)
            For each set the lane that it would like best, from 0, and its cells.

        Returns
        -------
        list of float
            Two outlines along the same side of a cell run in different lanes, as long as there are enough.
        """
        taken: dict[tuple[int, int], set[int]] = {}
        chosen = []
        for wish, cells in sets:
            sides = self._sides(set(cells))
            barred = {lane for side in sides for lane in taken.get(side, ())}
            lanes = sorted(range(len(LANES)), key=lambda lane: (lane in barred, lane != wish, -lane))
            chosen.append(LANES[lanes[0]])
            for side in sides:
                taken.setdefault(side, set()).add(lanes[0])
        return chosen

    def _sides(self, held: set[int]) -> list[tuple[int, int]]:
        """List the sides of cells that lie on the border of a set: the cell, and the step out of it."""
        sides = []
        for cell in sorted(held):
            row, column = self.places[cell]
            for side, (down, right) in enumerate(((-1, 0), (1, 0), (0, -1), (0, 1))):
                if self.cell_at.get((row + down, column + right)) not in held:
                    sides.append((cell, side))
        return sides

    def outline(self, cells: Collection[int], inset: float) -> str:
        """Return a path around a set of cells, drawn a little inside its border."""
        held = set(cells)
        rows, columns = {self.places[c][0] for c in held}, {self.places[c][1] for c in held}
        if len(held) == (max(rows) - min(rows) + 1) * (max(columns) - min(columns) + 1):
            x, y = self.corner(min(held))
            wide = len(columns) * self.cell - 2 * inset
            high = len(rows) * self.cell - 2 * inset
            return f"M{figure(x + inset)} {figure(y + inset)}h{figure(wide)}v{figure(high)}h{figure(-wide)}z"
        return "".join(self._edges(held, inset))

    def brackets(self, cells: Collection[int], inset: float) -> str:
        """Return a path that joins the pieces of a set of cells: along the borders of cells, clear of all notes."""
        pieces: list[set[int]] = []
        for cell in sorted(cells):
            row, column = self.places[cell]
            beside = {
                self.cell_at.get(at)
                for at in ((row - 1, column), (row + 1, column), (row, column - 1), (row, column + 1))
            }
            touched = [piece for piece in pieces if piece & beside]
            pieces = [piece for piece in pieces if piece not in touched] + [{cell}.union(*touched)]
        path, joined = "", pieces[0]
        for piece in pieces[1:]:
            one, other = min(((a, b) for a in sorted(joined) for b in sorted(piece)), key=self._steps)
            (x, y), (u, v) = self.corner(one), self.corner(other)
            near, far = inset, self.cell - inset
            # Beside the first cell, then up or down to the other one.
            turn = (u + near if y != v else u + (near if u > x else far)) if u != x else x + near
            if u != x:
                path += f"M{figure(x + (far if u > x else near))} {figure(y + near)}H{figure(turn)}"
            if v != y:
                start = y + near if u != x else y + (far if v > y else near)
                path += f"M{figure(turn)} {figure(start)}V{figure(v + (near if v > y else far))}"
            joined = joined | piece
        return path

    def tab(self, cells: Collection[int], marked: Collection[Point]) -> Point:
        """Return where a letter of 10 by 11 stands in a corner of a set of cells; away from marked notes if it can."""
        found: list[tuple[bool, int, Point]] = []
        for cell in sorted(cells):
            x, y = self.corner(cell)
            for u, v in ((x + 1, y + 1), (x + self.cell - 11, y + 1), (x + 1, y + self.cell - 12)):
                near = any(abs(a - u - 5) < 18 and abs(b - v - 5.5) < 18 for a, b in marked)
                found.append((near, len(found), (u, v)))
        return min(found)[2]

    def _steps(self, cells: tuple[int, int]) -> int:
        """Return how many steps to the side, up and down lead from one cell to another."""
        (row, column), (down, right) = (self.places[cell] for cell in cells)
        return abs(row - down) + abs(column - right)

    def _edges(self, held: set[int], inset: float) -> Iterable[str]:
        """Draw each border edge by itself; at corners it is shortened or lengthened by the inset."""
        size = self.cell

        def has(row: int, column: int) -> bool:
            return self.cell_at.get((row, column)) in held

        for cell in sorted(held):
            row, column = self.places[cell]
            x, y = self.corner(cell)
            for side in (-1, 1):
                if not has(row + side, column):
                    level = y + inset if side < 0 else y + size - inset
                    ends = []
                    for turn in (-1, 1):
                        reach = 0.0 if has(row, column + turn) else -inset
                        reach = inset if has(row, column + turn) and has(row + side, column + turn) else reach
                        ends.append((x if turn < 0 else x + size) + turn * reach)
                    yield f"M{figure(ends[0])} {figure(level)}H{figure(ends[1])}"
                if not has(row, column + side):
                    level = x + inset if side < 0 else x + size - inset
                    ends = []
                    for turn in (-1, 1):
                        reach = 0.0 if has(row + turn, column) else -inset
                        reach = inset if has(row + turn, column) and has(row + turn, column + side) else reach
                        ends.append((y if turn < 0 else y + size) + turn * reach)
                    yield f"M{figure(level)} {figure(ends[0])}V{figure(ends[1])}"

    def borders(self, regions: Iterable[Collection[int]]) -> str:
        """Return a path of all edges between different regions, neighbouring edges drawn as one line."""
        owner: dict[tuple[int, int], int] = dict.fromkeys(self.places, -1)
        for number, region in enumerate(regions):
            owner.update((self.places[cell], number) for cell in region)
        return self._lines(lambda first, second: owner.get(first, -2) != owner.get(second, -2))

    def edges(self) -> str:
        """Return a path of all edges between two cells."""
        if len(self.places) < self.rows * self.columns:
            return self._lines(lambda first, second: first in self.cell_at and second in self.cell_at)
        high, wide = figure(self.high), figure(self.wide)
        path = []
        for i in range(1, max(self.rows, self.columns)):
            if i < self.columns:
                path.append(f"M{figure(self.left + i * self.cell)} {figure(self.top)}v{high}")
            if i < self.rows:
                path.append(f"M{figure(self.left)} {figure(self.top + i * self.cell)}h{wide}")
        return "".join(path)

    def frame(self) -> str:
        """Return a path around all cells."""
        if len(self.places) < self.rows * self.columns:
            return self._lines(lambda first, second: (first in self.cell_at) != (second in self.cell_at), outer=True)
        high, wide = figure(self.high), figure(self.wide)
        return f"M{figure(self.left)} {figure(self.top)}h{wide}v{high}h-{wide}z"

    def _lines(self, wanted: Callable[[tuple[int, int], tuple[int, int]], bool], *, outer: bool = False) -> str:
        """Return a path of the edges between two places that are wanted, neighbouring edges drawn as one line."""
        path = []
        turns = [
            (line, upright)
            for line in range(0 if outer else 1, max(self.rows, self.columns) + outer)
            for upright in (False, True)
            if line < (self.columns if upright else self.rows) + outer
        ]
        for line, upright in turns:
            length = self.rows if upright else self.columns
            start = None
            for along in range(length + 1):
                first = (along, line - 1) if upright else (line - 1, along)
                second = (along, line) if upright else (line, along)
                differs = along < length and wanted(first, second)
                if differs and start is None:
                    start = along
                elif not differs and start is not None:
                    path.append(self._border(line, start, along, upright))
                    start = None
        return "".join(path)

    def _border(self, line: int, start: int, end: int, upright: bool) -> str:
        size = self.cell
        if upright:
            x, y = self.left + line * size, self.top + start * size
            return f"M{figure(x)} {figure(y)}v{figure((end - start) * size)}"
        x, y = self.left + start * size, self.top + line * size
        return f"M{figure(x)} {figure(y)}h{figure((end - start) * size)}"
