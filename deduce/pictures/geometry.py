"""Where things stand in a drawing: cells, notes, outlines of sets of cells, curves that keep clear of digits."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from math import ceil, hypot, isqrt

from deduce.puzzle.layout import Layout

__all__ = ["NODE", "PITCH", "Geometry", "figure"]

PITCH = 20.0
"""Distance between neighbouring notes, in user units."""

NODE = 7.6
"""Half the width of the shape around a marked note."""

_MARGIN = 24.0
_BENDS = (0.0, 0.12, -0.12, 0.2, -0.2, 0.3, -0.3, 0.42, -0.42, 0.7, -0.7)

Point = tuple[float, float]


def figure(number: float) -> str:
    """Print a coordinate with at most one decimal."""
    return f"{number:.1f}".removesuffix(".0")


class Geometry:
    """Coordinates for one layout; x to the right, y down.

    Parameters
    ----------
    layout : Layout
        Gives the order.
    """

    def __init__(self, layout: Layout) -> None:
        self.order = layout.order
        self.across = isqrt(self.order - 1) + 1
        self.down = ceil(self.order / self.across)
        self.cell = PITCH * self.across + 6
        self.left = self.top = _MARGIN
        self.side = self.cell * self.order
        self.width = self.side + _MARGIN + 8

    def corner(self, cell: int) -> Point:
        """Return the upper left corner of a cell."""
        row, column = divmod(cell, self.order)
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

    def outline(self, cells: Collection[int], inset: float) -> str:
        """Return a path around a set of cells, drawn a little inside its border."""
        order, held = self.order, set(cells)
        rows, columns = {c // order for c in held}, {c % order for c in held}
        if len(held) == (max(rows) - min(rows) + 1) * (max(columns) - min(columns) + 1):
            x, y = self.corner(min(rows) * order + min(columns))
            wide = len(columns) * self.cell - 2 * inset
            high = len(rows) * self.cell - 2 * inset
            return f"M{figure(x + inset)} {figure(y + inset)}h{figure(wide)}v{figure(high)}h{figure(-wide)}z"
        return "".join(self._edges(held, inset))

    def _edges(self, held: set[int], inset: float) -> Iterable[str]:
        """Draw each border edge by itself; at corners it is shortened or lengthened by the inset."""
        order, size = self.order, self.cell

        def has(row: int, column: int) -> bool:
            return 0 <= row < order and 0 <= column < order and row * order + column in held

        for cell in sorted(held):
            row, column = divmod(cell, order)
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
        order = self.order
        owner = dict.fromkeys(range(order * order), -1)
        for number, region in enumerate(regions):
            owner.update(dict.fromkeys(region, number))
        path = []
        for line in range(1, order):
            for upright in (False, True):
                start = None
                for along in range(order + 1):
                    first = along * order + line - 1 if upright else (line - 1) * order + along
                    second = first + 1 if upright else first + order
                    differs = along < order and owner[first] != owner[second]
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

    def curve(
        self,
        near: Point,
        far: Point,
        *,
        taken: Mapping[Point, float] | None = None,
        digits: Collection[int] = (),
        drawn: Sequence[Point] = (),
    ) -> tuple[str, list[Point]]:
        """Return a path from the rim of one marked note to that of another, and points along it.

        Parameters
        ----------
        near, far : (float, float)
            The places of the two notes.
        taken : mapping of (float, float) to float, optional
            The places of all notes, and how bad it is to cross each.
        digits : collection of int
            The cells that hold a digit.
        drawn : sequence of (float, float)
            Points of the curves that stand already.

        Notes
        -----
        Of a few bends the one is drawn that meets the least of these; a straight line is preferred to a bent one.
        """
        best: tuple[str, list[Point]] = ("", [])
        least = float("inf")
        for bend in _BENDS:
            points, path = self._bent(near, far, bend)
            cost = abs(bend) * 2 + sum(self._cost(point, near, far, taken or {}, digits) for point in points)
            for x, y in points:
                if min(hypot(x - near[0], y - near[1]), hypot(x - far[0], y - far[1])) > NODE:
                    cost += 0.6 * any(abs(x - u) < 5 and abs(y - v) < 5 for u, v in drawn)
            if cost < least:
                best, least = (path, points), cost
        return best

    def _bent(self, near: Point, far: Point, bend: float) -> tuple[list[Point], str]:
        """Return points of a quadratic curve, and its path."""
        dx, dy = far[0] - near[0], far[1] - near[1]
        length = hypot(dx, dy) or 1.0
        # Neighbouring notes leave no room for a straight link, so a short one always swings out.
        swing = bend * length if length > 1.6 * PITCH else (18.0 if bend >= 0 else -18.0)
        swing = max(-110.0, min(110.0, swing))
        middle = (near[0] + dx / 2 - dy / length * swing, near[1] + dy / 2 + dx / length * swing)
        start, end = _toward(near, middle, NODE + 1), _toward(far, middle, NODE + 1)
        points = []
        steps = max(8, int(length / 5))
        for step in range(1, steps):
            t = step / steps
            a, b, c = (1 - t) ** 2, 2 * t * (1 - t), t**2
            points.append((a * start[0] + b * middle[0] + c * end[0], a * start[1] + b * middle[1] + c * end[1]))
        (x, y), (u, v), (p, q) = start, middle, end
        return points, f"M{figure(x)} {figure(y)}Q{figure(u)} {figure(v)} {figure(p)} {figure(q)}"

    def _cost(
        self, point: Point, near: Point, far: Point, taken: Mapping[Point, float], digits: Collection[int]
    ) -> float:
        """Return how much one point of a curve disturbs what stands there."""
        x, y = point
        column, row = int((x - self.left) // self.cell), int((y - self.top) // self.cell)
        if not (0 <= row < self.order and 0 <= column < self.order):
            return 3.0
        cell = row * self.order + column
        if cell in digits:
            cx, cy = self.centre(cell)
            return 1.5 if hypot(x - cx, y - cy) < self.cell * 0.3 else 0.0
        cx, cy = self.centre(cell)
        across = round((x - cx) / PITCH + (self.across - 1) / 2)
        down = round((y - cy) / PITCH + (self.down - 1) / 2)
        digit = down * self.across + across + 1
        if not (0 <= across < self.across and 0 <= down < self.down and digit <= self.order):
            return 0.0
        place = self.note(cell, digit)
        if place not in taken or place in (near, far):
            return 0.0
        return taken[place] if max(abs(x - place[0]), abs(y - place[1])) < NODE + 2 else 0.0


def _toward(start: Point, goal: Point, distance: float) -> Point:
    """Return the point at a distance from one point in the direction of another."""
    dx, dy = goal[0] - start[0], goal[1] - start[1]
    length = hypot(dx, dy) or 1.0
    return start[0] + dx / length * distance, start[1] + dy / length * distance
