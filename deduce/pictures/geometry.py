"""Where things stand in a drawing: cells, notes, outlines of sets of cells, and the lanes that keep these apart."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from itertools import groupby, product, starmap
from math import ceil, isqrt

from deduce.puzzle.layout import Layout

__all__ = ["LANES", "NODE", "PITCH", "Geometry", "Point", "box", "figure"]

PITCH = 20.0
"""Distance between neighbouring notes, in user units."""

NODE = 7.6
"""Half the width of the shape around a marked note."""

LANES = (2.2, 4.8, 7.0)
"""How far inside their borders outlines may run, so that up to three of them stand side by side."""

_MARGIN = 24.0

Point = tuple[float, float]

Step = tuple[int, int]
"""Down and right: from one place to another, or from the first place of all."""


def figure(number: float) -> str:
    """Print a coordinate with at most one decimal."""
    return f"{number:.1f}".removesuffix(".0")


def box(x: float, y: float, wide: float, high: float) -> str:
    """Return the path of a rectangle from its upper left corner."""
    return f"M{figure(x)} {figure(y)}h{figure(wide)}v{figure(high)}h{figure(-wide)}z"


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
        half = self.cell / 2
        self._middles = [(x + half, y + half) for x, y in map(self.corner, range(len(self.places)))]
        spots = (divmod(number, self.across) for number in range(self.order))
        aside, above = (self.across - 1) / 2, (self.down - 1) / 2
        self._spots = [((across - aside) * PITCH, (down - above) * PITCH) for down, across in spots]

    def corner(self, cell: int) -> Point:
        """Return the upper left corner of a cell."""
        row, column = self.places[cell]
        return self.left + column * self.cell, self.top + row * self.cell

    def centre(self, cell: int) -> Point:
        """Return the middle of a cell."""
        return self._middles[cell]

    def note(self, cell: int, digit: int) -> Point:
        """Return the fixed place of a note."""
        (x, y), (across, down) = self._middles[cell], self._spots[digit - 1]
        return x + across, y + down

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
        taken: dict[tuple[int, Step], set[int]] = {}
        chosen = []
        for wish, cells in sets:
            sides = [*self._sides(set(cells))]
            barred = {lane for side in sides for lane in taken.get(side, ())}
            lanes = sorted(range(len(LANES)), key=lambda lane: (lane in barred, lane != wish, -lane))
            chosen.append(LANES[lanes[0]])
            for side in sides:
                taken.setdefault(side, set()).add(lanes[0])
        return chosen

    def _beside(self, cell: int, *steps: Step) -> int | None:
        """Return the cell some steps from another one, if there is any."""
        row, column = self.places[cell]
        return self.cell_at.get((row + sum(down for down, _ in steps), column + sum(right for _, right in steps)))

    def _sides(self, held: set[int]) -> Iterator[tuple[int, Step]]:
        """Yield the sides of cells that lie on the border of a set: the cell, and the step out of it."""
        for cell in sorted(held):
            for out in ((-1, 0), (1, 0), (0, -1), (0, 1)):
                if self._beside(cell, out) not in held:
                    yield cell, out

    def outline(self, cells: Collection[int], inset: float) -> str:
        """Return a path around a set of cells, drawn a little inside its border."""
        held = set(cells)
        rows, columns = {self.places[c][0] for c in held}, {self.places[c][1] for c in held}
        if len(held) == (max(rows) - min(rows) + 1) * (max(columns) - min(columns) + 1):
            (x, y), wide, high = self.corner(min(held)), len(columns) * self.cell, len(rows) * self.cell
            return box(x + inset, y + inset, wide - 2 * inset, high - 2 * inset)
        path = ""
        for cell, out in self._sides(held):
            (x, y), (down, right) = self.centre(cell), out
            ends = []
            for turn in (-1, 1):
                # At corners a side is shortened or lengthened by the inset.
                aside = (turn * abs(right), turn * abs(down))
                corner = inset if self._beside(cell, aside, out) in held else 0.0
                ends.append(turn * (self.cell / 2 + (corner if self._beside(cell, aside) in held else -inset)))
            level = self.cell / 2 - inset
            if down:
                path += f"M{figure(x + ends[0])} {figure(y + down * level)}H{figure(x + ends[1])}"
            else:
                path += f"M{figure(x + right * level)} {figure(y + ends[0])}V{figure(y + ends[1])}"
        return path

    def brackets(self, cells: Collection[int], inset: float) -> str:
        """Return a path that joins the pieces of a set of cells: along the borders of cells, clear of all notes."""
        path, joined = "", {min(cells)}
        while joined < {*cells}:
            one, other = min(product(sorted(joined), sorted({*cells} - joined)), key=self._steps)
            joined.add(other)
            if self._steps((one, other)) == 1:
                continue
            (x, y), (u, v) = self.corner(one), self.corner(other)
            near, far = inset, self.cell - inset
            if u == x:
                path += f"M{figure(x + near)} {figure(min(y, v) + far)}V{figure(max(y, v) + near)}"
            else:
                # Beside the first cell, then up or down to the other one.
                start, stop = (x + far, u + near) if u > x else (x + near, u + far)
                path += f"M{figure(start)} {figure(y + near)}H{figure(stop)}"
                path += f"V{figure(v + (near if v > y else far))}" if v != y else ""
        return path

    def tab(self, cells: Collection[int], marked: Collection[Point]) -> Point:
        """Return where a letter of 10 by 11 stands in a corner of a set of cells; away from marked notes if it can."""
        corners = [
            (x + right, y + down)
            for x, y in map(self.corner, sorted(cells))
            for right, down in ((1, 1), (self.cell - 11, 1), (1, self.cell - 12))
        ]
        return min(
            corners, key=lambda at: any(abs(a - at[0] - 5) < 18 and abs(b - at[1] - 5.5) < 18 for a, b in marked)
        )

    def _steps(self, cells: tuple[int, int]) -> int:
        """Return how many steps to the side, up and down lead from one cell to another."""
        (row, column), (down, right) = (self.places[cell] for cell in cells)
        return abs(row - down) + abs(column - right)

    def borders(self, regions: Iterable[Collection[int]]) -> str:
        """Return a path around all cells, and of all edges between different regions."""
        owner: dict[Step, int] = dict.fromkeys(self.places, -1)
        for number, region in enumerate(regions):
            owner.update((self.places[cell], number) for cell in region)
        return self._lines(lambda first, second: owner.get(first, -2) != owner.get(second, -2))

    def edges(self) -> str:
        """Return a path of all edges between two cells."""
        return self._lines(lambda first, second: first in self.cell_at and second in self.cell_at)

    def _lines(self, wanted: Callable[[Step, Step], bool]) -> str:
        """Return a path of the edges between two places that are wanted, neighbouring edges drawn as one line."""
        path = ""
        for upright, count, length in ((False, self.rows, self.columns), (True, self.columns, self.rows)):
            for line in range(count + 1):
                pairs = [
                    ((at, line - 1), (at, line)) if upright else ((line - 1, at), (line, at)) for at in range(length)
                ]
                start = 0
                for drawn, run in groupby(starmap(wanted, pairs)):
                    end = start + len([*run])
                    if drawn:
                        across, down = (line, start) if upright else (start, line)
                        spot = f"M{figure(self.left + across * self.cell)} {figure(self.top + down * self.cell)}"
                        path += f"{spot}{'v' if upright else 'h'}{figure((end - start) * self.cell)}"
                    start = end
        return path
