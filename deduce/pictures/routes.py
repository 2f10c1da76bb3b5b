"""Ways for links: from mark to mark, around digits and notes and away from the links that stand already.

A link is a curve if one disturbs nothing.  If none does, it takes the streets between the notes, which are free.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from functools import lru_cache
from heapq import heappop, heappush
from itertools import pairwise
from math import hypot

from deduce.pictures.geometry import NODE, PITCH, Geometry, Point, figure

__all__ = ["Router", "toward"]

# How far both ends of a curve lean to the side, in user units; the least that keeps clear is taken.
_LEANS = (0.0, 8.0, 14.0, 20.0, 27.0, 34.0, 42.0, 52.0, 64.0, 80.0, 100.0, 126.0)

# How far from its ends, as a part of the length, a curve has done its leaning; small for one that hugs a line.
_SHOULDERS = (0.33, 0.16, 0.06)

# What it costs, for each few units of a curve, to run over these.
_DIGIT, _OUTSIDE, _ON_FRAME, _BESIDE = 5.0, 4.0, 2.0, 0.7

# A link reaches under the mark at its end, so that no gap of a dashed one can show there.
_UNDER = NODE - 3.4

# What it costs on the streets to turn a corner, and to run, for a piece of a note's width, where a link runs already.
_TURN, _SHARED = 14.0, 40.0

_ROUND = 5.0
"""How far before a corner a link begins to turn."""

Curve = tuple[Point, Point, Point, Point]

Spot = tuple[int, int]
"""A crossing of the lattice, or a square of half a note's width: which one from the left, and which from above."""


_Ways = dict[tuple[tuple[Point, Point], ...], tuple[str, frozenset[Spot]]]
"""For links drawn one after the other, by their ends: the path of the last, and the squares that it runs through."""


@lru_cache(maxsize=32)
def _ways(*_: object) -> _Ways:
    """Return the links drawn so far around the same things: the turns of a step, and its themes, share most of them."""
    return {}


class Router:
    """Draws the links of one picture, one after the other.

    Parameters
    ----------
    place : Geometry
        Where things stand.
    digits : collection of int
        The cells that hold a digit.
    notes : mapping of (float, float) to float
        The places of the notes, and how bad it is to cross each.
    """

    def __init__(self, place: Geometry, digits: Collection[int], notes: Mapping[Point, float]) -> None:
        self.place = place
        self.digits = frozenset(digits)
        self.notes = notes
        self.taken: set[Spot] = set()
        # Lines half a note apart: those at even places are streets, at odd ones run through notes.
        self.lattice = tuple(
            tuple(
                start + (number + 0.5) * place.cell + (line - lines) * PITCH / 2
                for number in range(count)
                for line in range(2 * lines + 1)
            )
            for start, count, lines in ((place.left, place.columns, place.across), (place.top, place.rows, place.down))
        )
        self._asked: tuple[tuple[Point, Point], ...] = ()
        self._ways = _ways(self.lattice, place.places, place.order, self.digits, tuple(notes.items()))

    def route(self, near: Point, far: Point) -> str:
        """Return the path of a link between the places of two notes."""
        self._asked += ((near, far),)
        if self._asked not in self._ways:
            path, points = self._curve(near, far) or self._through_streets(near, far)
            taken = frozenset(_bucket(point) for point in points if _clear(point, near, far))
            self._ways[self._asked] = path, taken
        path, taken = self._ways[self._asked]
        self.taken |= taken
        return path

    def _curve(self, near: Point, far: Point) -> tuple[str, list[Point]] | None:
        """Return the path of a curve that disturbs nothing, with points along it, or None if there is none.

        Notes
        -----
        Of the curves that disturb nothing the straightest is drawn.  A search for the best of all paths costs more and
        bends in more places, which is harder to follow, so that is kept for where no curve is free.
        """
        best: tuple[float, Curve, list[Point]] | None = None
        for price, curve in sorted(_curves(near, far), key=lambda choice: choice[0]):
            if best is not None and price >= best[0]:
                break
            points = _along(curve)
            inside = all(0 < x < self.place.width and 0 < y < self.place.top + self.place.high for x, y in curve)
            if not inside or any(self._disturbs(point, near, far) for point in points):
                continue
            cost = price + _BESIDE * sum(_bucket(point) in self.taken for point in points if _clear(point, near, far))
            if best is None or cost < best[0]:
                best = cost, curve, points
        if best is None:
            return None
        # The ends lie under marks and the handles steer only roughly, so whole numbers will do.
        (x, y), *rest = ((round(across), round(down)) for across, down in best[1])
        return f"M{x} {y}C{' '.join(f'{across} {down}' for across, down in rest)}", best[2]

    def busy(self, point: Point) -> bool:
        """Whether a link runs through the square of half a note's width around a point."""
        return _bucket(point) in self.taken

    def _through_streets(self, near: Point, far: Point) -> tuple[str, list[Point]]:
        """Return the path of a link that leaves its note for a street beside it, and turns only on streets."""
        (column, row), goal = self._spot(near), self._spot(far)
        paths: dict[tuple[Spot, bool], tuple[Spot, bool] | None] = {}
        queue: list[tuple[float, float, Spot, bool, tuple[Spot, bool] | None]] = []
        for upright in (False, True):
            heappush(queue, (0.0, 0.0, (column, row), upright, None))
        while queue:
            _, cost, spot, upright, before = heappop(queue)
            if (spot, upright) in paths:
                continue
            paths[spot, upright] = before
            if spot == goal:
                break
            for turned, further in self._onward(spot, goal):
                if (further, turned) not in paths:
                    here, there = self._place(spot), self._place(further)
                    middle = (here[0] + there[0]) / 2, (here[1] + there[1]) / 2
                    price = cost + _away(here, there) + _TURN * (turned != upright)
                    price += _SHARED / 2 * self.busy(middle) + self._disturbs(middle, near, far)
                    heappush(queue, (price + _away(there, far), price, further, turned, (spot, upright)))
        corners: list[Point] = []
        way: tuple[Spot, bool] | None = (spot, upright)
        while way is not None:
            corners.insert(0, self._place(way[0]))
            way = paths[way]
        middles = [((x + u) / 2, (y + v) / 2) for (x, y), (u, v) in pairwise(corners)]
        return _rounded(corners), [*corners, *middles]

    def _place(self, spot: Spot) -> Point:
        """Return where a crossing of the lattice is."""
        return self.lattice[0][spot[0]], self.lattice[1][spot[1]]

    def _spot(self, note: Point) -> Spot:
        """Return the crossing of the lattice at a note."""
        across, down = (
            min(range(len(lines)), key=lambda at: abs(lines[at] - level))
            for lines, level in zip(self.lattice, note, strict=True)
        )
        return across, down

    def _onward(self, spot: Spot, goal: Spot) -> Iterator[tuple[bool, Spot]]:
        """Yield the next crossings from one, and whether the way there is upright; only the goal is a note."""
        places = (2 * self.place.across + 1, 2 * self.place.down + 1)
        for right, down in ((-1, 0), (1, 0), (0, -1), (0, 1)):
            further = spot[0] + right, spot[1] + down
            inside = all(0 <= at < len(lines) for at, lines in zip(further, self.lattice, strict=True))
            on_note = all(at % count % 2 for at, count in zip(further, places, strict=True))
            if inside and (further == goal or not (on_note or self._on_digit(self._place(further)))):
                yield not right, further

    def _on_digit(self, point: Point) -> bool:
        """Whether a link at a point runs over a placed digit."""
        return self._disturbs(point, point, point) == _DIGIT

    def _disturbs(self, point: Point, near: Point, far: Point) -> float:
        """Return how much one point of a curve disturbs what stands there."""
        x, y = point
        place = self.place
        column, row = int((x - place.left) // place.cell), int((y - place.top) // place.cell)
        cell = place.cell_at.get((row, column))
        if cell is None:
            return _OUTSIDE
        if not 4 < x - place.left < place.wide - 4 or not 4 < y - place.top < place.high - 4:
            return _ON_FRAME
        cx, cy = place.centre(cell)
        if cell in self.digits:
            # The body of a digit, and half the width of a link with its halo.
            return _DIGIT if abs(x - cx) < place.big * 0.34 + 4 and abs(y - cy) < place.big * 0.37 + 4 else 0.0
        across = round((x - cx) / PITCH + (place.across - 1) / 2)
        down = round((y - cy) / PITCH + (place.down - 1) / 2)
        digit = down * place.across + across + 1
        if not (0 <= across < place.across and 0 <= down < place.down and digit <= place.order):
            return 0.0
        spot = place.note(cell, digit)
        if spot not in self.notes or spot in (near, far):
            return 0.0
        weight = self.notes[spot]
        # A marked note has its shape around it.
        reach = NODE + 4 if weight > 1 else 8.0
        return weight if abs(x - spot[0]) < reach and abs(y - spot[1]) < reach else 0.0


def _bucket(point: Point) -> Spot:
    """Return which of the squares of half a note's width a point lies in."""
    return round(point[0] / 10), round(point[1] / 10)


def _away(one: Point, other: Point) -> float:
    return abs(one[0] - other[0]) + abs(one[1] - other[1])


def _rounded(points: list[Point]) -> str:
    """Return a path along points, with round corners."""
    kept = [points[0]]
    for before, here, after in zip(points, points[1:], points[2:], strict=False):
        if not (before[0] == here[0] == after[0] or before[1] == here[1] == after[1]):
            kept.append(here)
    kept.append(points[-1])
    path = "M{} {}".format(*map(figure, kept[0]))
    for before, here, after in zip(kept, kept[1:], kept[2:], strict=False):
        ends = [toward(here, other, min(_ROUND, _away(here, other) / 2)) for other in (before, after)]
        path += "L{} {}Q{} {} {} {}".format(*map(figure, (*ends[0], *here, *ends[1])))
    return path + "L{} {}".format(*map(figure, kept[-1]))


def _curves(near: Point, far: Point) -> Iterator[tuple[float, Curve]]:
    """Yield curves between two places, each with its price for being bent."""
    dx, dy = far[0] - near[0], far[1] - near[1]
    length = hypot(dx, dy) or 1.0
    right, down = -dy / length, dx / length
    short = length < 1.6 * PITCH
    for lean in _LEANS:
        # Neighbouring notes leave no room for a straight link, so a short one always swings out.
        if short and not 14 <= lean <= 27:
            continue
        if lean > max(24.0, length * 0.8):
            continue
        for shoulder in _SHOULDERS:
            for one, other in ((1, 1), (-1, -1), (1, -1), (-1, 1)):
                if lean == 0 and (one, other, shoulder) != (1, 1, _SHOULDERS[0]):
                    continue
                if one != other and short:
                    continue
                first = _leaning(near, (dx, dy), (right, down), shoulder, one * lean)
                second = _leaning(far, (-dx, -dy), (right, down), shoulder, other * lean)
                curve = (toward(near, first, _UNDER), first, second, toward(far, second, _UNDER))
                price = lean * 0.03 + (0.4 if shoulder < _SHOULDERS[0] else 0) + (0.8 if one != other else 0)
                yield price, curve


def _leaning(end: Point, along: Point, aside: Point, shoulder: float, lean: float) -> Point:
    """Return a handle of a curve: some way along, and to the side."""
    return end[0] + along[0] * shoulder + aside[0] * lean, end[1] + along[1] * shoulder + aside[1] * lean


def _along(curve: Curve) -> list[Point]:
    """Return points of a curve, no more than a few units apart."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = curve
    steps = max(10, int((abs(x3 - x0) + abs(y3 - y0)) / 6))
    points = []
    for step in range(1, steps):
        t = step / steps
        s = 1 - t
        a, b, c, d = s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t
        points.append((a * x0 + b * x1 + c * x2 + d * x3, a * y0 + b * y1 + c * y2 + d * y3))
    return points


def _clear(point: Point, near: Point, far: Point) -> bool:
    """Whether a point is away from both ends, where links have to come together."""
    return all(abs(point[0] - x) + abs(point[1] - y) > 2 * NODE for x, y in (near, far))


def toward(start: Point, goal: Point, distance: float) -> Point:
    """Return the point at a distance from one point in the direction of another."""
    dx, dy = goal[0] - start[0], goal[1] - start[1]
    length = hypot(dx, dy) or 1.0
    return start[0] + dx / length * distance, start[1] + dy / length * distance
