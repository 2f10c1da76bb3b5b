"""Curves for links: from mark to mark, around digits and notes and away from the links that stand already."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from math import hypot

from deduce.pictures.geometry import NODE, PITCH, Geometry, Point

__all__ = ["Router"]

# How far both ends of a curve lean to the side, in user units; the least that keeps clear is taken.
_LEANS = (0.0, 8.0, 14.0, 20.0, 27.0, 34.0, 42.0, 52.0, 64.0, 80.0, 100.0, 126.0)

# How far from its ends, as a part of the length, a curve has done its leaning; small for one that hugs a line.
_SHOULDERS = (0.33, 0.16, 0.06)

# What it costs, for each few units of a curve, to run over these.
_DIGIT, _OUTSIDE, _ON_FRAME, _BESIDE = 5.0, 4.0, 2.0, 0.7

# A link reaches under the mark at its end, so that no gap of a dashed one can show there.
_UNDER = NODE - 3.4

Curve = tuple[Point, Point, Point, Point]


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
        self.drawn: list[Point] = []

    def route(self, near: Point, far: Point) -> str:
        """Return the path of a link between the places of two notes.

        Notes
        -----
        Of many curves the one is drawn that disturbs least; among those that disturb nothing, the straightest.  A
        search for the best of all paths would cost more and bend in more places, which is harder to follow.
        """
        best: Curve = (near, near, far, far)
        least = float("inf")
        kept: list[Point] = []
        for price, curve in sorted(_curves(near, far), key=lambda choice: choice[0]):
            if price >= least:
                break
            points = _along(curve)
            cost = self._cost(points, near, far, price, least)
            if cost < least:
                best, least, kept = curve, cost, points
        self.drawn += [point for point in kept if _clear(point, near, far)]
        # The ends lie under marks and the handles steer only roughly, so whole numbers will do.
        (x, y), *rest = ((round(across), round(down)) for across, down in best)
        return f"M{x} {y}C{' '.join(f'{across} {down}' for across, down in rest)}"

    def _cost(self, points: list[Point], near: Point, far: Point, price: float, least: float) -> float:
        """Add up what a curve disturbs; stop early once it costs more than the best so far."""
        cost = price
        for point in points:
            cost += self._disturbs(point, near, far)
            if cost >= least:
                return cost
        for point in points:
            if _clear(point, near, far) and any(abs(point[0] - u) < 7 and abs(point[1] - v) < 7 for u, v in self.drawn):
                cost += _BESIDE
        return cost

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
                curve = (_toward(near, first, _UNDER), first, second, _toward(far, second, _UNDER))
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


def _toward(start: Point, goal: Point, distance: float) -> Point:
    """Return the point at a distance from one point in the direction of another."""
    dx, dy = goal[0] - start[0], goal[1] - start[1]
    length = hypot(dx, dy) or 1.0
    return start[0] + dx / length * distance, start[1] + dy / length * distance
